//! Keeping a window in step with edits: unchanged parts are neither triangulated nor sampled again.

use std::collections::HashMap;
use std::sync::Arc;

use scene::ResolvedWindow;

use crate::glazing::makeup::Part;
use crate::glazing::optics::PieceOptics;
use crate::paint::fade::fade_scale;
use crate::paint::overlays::{bars_behind, overlays};
use crate::window::mesh::Solid;
use crate::window::model::{Overlay, PieceModel, Strip, WindowModel};
use crate::window::parts::MeshPart;
use crate::window::piece_mesh::{overlay_mesh, piece_mesh};
use crate::window::scene_model::{bars_in_front, joint_models, lead_model, lead_order, piece_model, region};
use crate::window::scene_window::SceneWindow;
use crate::window::vertex::{GlassVertex, Mesh};

/// Which pieces and leads of a window are the same as before an edit, though perhaps at another index.
#[derive(Clone, Copy, Debug, Default)]
pub struct SameParts<'a> {
    /// For each current piece, the index of the earlier piece with the same light shape, number, make-up, sheet and
    /// brushwork; `None` for a piece that is new or changed.
    pub pieces: &'a [Option<usize>],
    /// For each current lead, the index of the earlier lead with the same line and face width, also open or closed
    /// alike; `None` for a lead that is new or changed.
    pub leads: &'a [Option<usize>],
}

/// Cleans a mapping of `now` entries: drops indices beyond the `before` entries and repeated indices. Missing
/// entries count as new.
fn plausible(account: &[Option<usize>], now: usize, before: usize) -> Vec<Option<usize>> {
    let mut taken = vec![false; before];
    let mut once = |k: &usize| taken.get_mut(*k).is_some_and(|taken| !std::mem::replace(taken, true));
    let said = account.iter().copied().chain(std::iter::repeat(None));
    said.take(now).map(|kept| kept.filter(&mut once)).collect()
}

impl SceneWindow {
    /// Updates the window after an edit of its drawing, its bars, or the glass and paint of its pieces. Pieces,
    /// leads and joints that are the same keep their triangles and their optics. The result equals a window built
    /// from scratch for the same eye and surroundings. A part that `same` wrongly lists as unchanged is not
    /// updated.
    pub fn follow(&mut self, window: &ResolvedWindow, same: &SameParts<'_>) {
        let mut before = std::mem::take(&mut self.model);
        let [leads_before, joints_before] = [before.leads.len(), before.joints.len()];
        let (opening, joints, bars) =
            (region(&window.panel.opening), joint_models(&window.panel), bars_in_front(window));

        // Leads, joints and bars, each with its earlier index.
        let mut places: Vec<Option<usize>> = Vec::new();
        let order = lead_order(&window.panel);
        let kept = plausible(same.leads, window.panel.leads.len(), leads_before);
        let mut place_before = vec![0; leads_before];
        self.lead_order.iter().enumerate().for_each(|(place, lead)| place_before[*lead] = place);
        let mut strips: Vec<Option<Strip>> =
            std::mem::take(&mut before.leads).into_iter().map(Some).collect();
        let mut leads = Vec::with_capacity(order.len());
        for &lead in &order {
            let place = kept[lead].map(|k| place_before[k]);
            let strip = place.and_then(|place| strips[place].take());
            places.push(place.filter(|_| strip.is_some()));
            leads.push(strip.unwrap_or_else(|| lead_model(&window.panel.leads[lead])));
        }
        let joint_at: HashMap<[u64; 2], usize> =
            before.joints.iter().enumerate().map(|(k, joint)| (joint.at.bits(), k)).collect();
        places.extend(joints.iter().map(|joint| {
            let k = joint_at.get(&joint.at.bits()).copied().filter(|k| before.joints[*k] == *joint)?;
            Some(leads_before + k)
        }));
        let bar_at = |(k, bar): (usize, &Strip)| {
            (before.bars.get(k) == Some(bar)).then_some(leads_before + joints_before + k)
        };
        places.extend(bars.iter().enumerate().map(bar_at));
        let same_opening = opening == before.opening;

        let inner = before.inner.take();
        let mut model = WindowModel { opening, leads, joints, bars, inner, ..WindowModel::default() };
        let glass = self.follow_pieces(window, same.pieces, before, &mut model);
        let solid = Solid { same_opening, lines_and_joints: &places };
        self.parts.follow(&mut self.mesh, &model, &glass, &solid);
        self.model = model;
        self.lead_order = order;
        self.inner_view.take();
        self.inner_glass.take();
        self.set_wall(window);
        // The wall may have been set before, when the panel had other bounds.
        self.look_at_wall();
    }

    /// Updates pieces and overlays for [`SceneWindow::follow`]: their models, their optics, then their triangles.
    fn follow_pieces(
        &mut self,
        window: &ResolvedWindow,
        same: &[Option<usize>],
        before: WindowModel,
        model: &mut WindowModel,
    ) -> Vec<MeshPart<GlassVertex>> {
        let behind = bars_behind(window);
        let same_bars = behind == self.behind;
        let count = before.pieces.len();
        let kept = plausible(same, window.pieces.len(), count);
        self.glazing.follow(&window.pieces, &kept);
        let ranges: Vec<_> = (0..count).map(|k| before.overlay_range(k)).collect();
        let mut pieces: Vec<Option<PieceModel>> = before.pieces.into_iter().map(Some).collect();
        let mut laid: Vec<Option<Overlay>> = before.overlays.into_iter().map(Some).collect();
        let mut sampled: Vec<Option<PieceOptics>> =
            std::mem::take(&mut self.optics).into_iter().map(Some).collect();
        let (eye, glazing) = (self.eye, &self.glazing);
        let transmittance = |makeup, factors, angle_deg| glazing.transmittance(makeup, factors, angle_deg);

        let mut glass = Vec::with_capacity(kept.len());
        let (mut own, mut over) = (Vec::with_capacity(kept.len()), Vec::new());
        for (index, kept) in kept.into_iter().enumerate() {
            let old = kept.and_then(|k| Some((k, pieces[k].take()?, sampled.get_mut(k)?.take()?)));
            let (piece, optics, part) = match old {
                Some((k, piece, optics)) => {
                    let piece = PieceModel { makeup: Part::Bare.number(index), ..piece };
                    (piece, optics, MeshPart::Kept(k + ranges[k].start))
                }
                None => {
                    let mut piece = piece_model(window, index);
                    let mesh = piece_mesh(&piece);
                    piece.fade.scale = fade_scale(&mesh, &piece);
                    let optics = PieceOptics::new(&piece, eye, transmittance);
                    (piece, optics, MeshPart::New(mesh))
                }
            };
            let part_before = if let MeshPart::Kept(part) = part { Some(part) } else { None };
            glass.push(part);
            own.push(optics);
            match kept.filter(|_| same_bars).zip(part_before) {
                Some((k, part)) => {
                    for (nth, old) in ranges[k].clone().enumerate() {
                        let Some((overlay, optics)) = laid[old].take().zip(sampled[count + old].take())
                        else {
                            continue;
                        };
                        let makeup = Part::renumbered(overlay.makeup, index);
                        glass.push(MeshPart::Kept(part + 1 + nth));
                        model.overlays.push(Overlay { piece: index, makeup, ..overlay });
                        over.push(optics);
                    }
                }
                None => {
                    for overlay in overlays(window, index, &behind) {
                        glass.push(MeshPart::New(overlay_mesh(&piece, &overlay)));
                        over.push(PieceOptics::of_overlay(&piece, &overlay, eye, transmittance));
                        model.overlays.push(overlay);
                    }
                }
            }
            model.pieces.push(piece);
        }
        own.append(&mut over);
        self.optics = own;
        self.behind = behind;
        glass
    }

    /// Updates one piece's glass or paint from its window; the others stay as they are. Returns whether the mesh
    /// has changed, as it does for new strokes or a new fade. An index beyond the last piece is ignored.
    pub fn set_piece(&mut self, window: &ResolvedWindow, index: usize) -> bool {
        if index >= window.pieces.len().min(self.model.pieces.len()) {
            return false;
        }
        self.glazing.set(index, &window.pieces[index]);
        let range = self.model.overlay_range(index);
        let glass = index + range.start;
        let mut model = piece_model(window, index);
        let same_fade = (model.fade.length_mm - self.model.pieces[index].fade.length_mm).abs() <= 0.0;
        let mesh = if !same_fade {
            piece_mesh(&model)
        } else if model.fade.length_mm > 0.0 {
            self.parts.glass.part(&self.mesh.glass, glass)
        } else {
            Mesh::default()
        };
        model.fade.scale = fade_scale(&mesh, &model);

        let now = overlays(window, index, &self.behind);
        let transmittance = |m, f, a| self.glazing.transmittance(m, f, a);
        let over: Vec<_> =
            now.iter().map(|o| PieceOptics::of_overlay(&model, o, self.eye, transmittance)).collect();
        self.optics[index] = PieceOptics::new(&model, self.eye, transmittance);
        let lines = |overlays: &[Overlay]| overlays.iter().map(|o| o.lines.clone()).collect::<Vec<_>>();
        let same_lines = lines(&now) == lines(self.model.overlays_of(index));
        let mut with = vec![if same_fade { MeshPart::Kept(glass) } else { MeshPart::New(mesh) }];
        if same_lines {
            with.extend((1..=range.len()).map(|nth| MeshPart::Kept(glass + nth)));
        } else {
            with.extend(now.iter().map(|overlay| MeshPart::New(overlay_mesh(&model, overlay))));
        }
        let count = self.model.pieces.len();
        self.model.overlays.splice(range.clone(), now);
        self.model.pieces[index] = model;
        self.optics.splice(count + range.start..count + range.end, over);
        if let Some(glass) = self.inner_glass.get_mut() {
            Arc::make_mut(glass).set(index, &self.model, &self.glazing);
        }
        let changed = !(same_fade && same_lines);
        if changed {
            self.parts.replace_piece(&mut self.mesh, &self.model, glass..glass + 1 + range.len(), &with);
        }
        changed
    }
}
