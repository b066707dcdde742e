//! A window of a scene, prepared to be drawn.

use std::f64::consts::PI;
use std::sync::{Arc, OnceLock};

use daylight::{Horizon, Outside};
use plane::RoomPoint;
use scene::{Resolved, ResolvedRoom, ResolvedWindow};

use spectra::Spectrum;

use crate::eye::shares::Viewer;
use crate::glazing::makeup::Glazing;
use crate::glazing::optics::{Factors, PieceOptics, Transmittance};
use crate::light::field::{DirectionField, Eye, SKY_COLUMNS, Seen};
use crate::light::horizon::{Edges, seen};
use crate::light::inner::InnerLight;
use crate::light::instant::Light;
use crate::light::lobe_shade::Shade;
use crate::light::lobes::LobeLight;
use crate::light::outside::{OutsideOfWall, Weights, compass, toward};
use crate::light::tables::LightTables;
use crate::light::wall::{Around, WallLight};
use crate::paint::fade::fade_scale;
use crate::paint::overlays::{bars_behind, overlays};
use crate::window::inner_glass::InnerGlass;
use crate::window::inner_view::InnerView;
use crate::window::inner_wall::InnerWall;
use crate::window::mesh::{WindowMesh, WindowParts};
use crate::window::model::WindowModel;
use crate::window::outer_wall::{OuterWall, StoneSeen};
use crate::window::piece_mesh::{overlay_mesh, piece_mesh};
use crate::window::region::Bounds;
use crate::window::scene_model::{eye_before, frame_model, lead_order, piece_model};

/// Solid angle of the sun's disc, sr.
const SUN_SR: f64 = {
    let radius = (daylight::SUN_DIAMETER_DEG / 2.0).to_radians();
    PI * radius * radius
};

/// The viewer of a scene.
fn viewer(scene: &Resolved) -> Viewer {
    let scene::Viewer { age_years, pigmentation } = scene.scene.viewer;
    Viewer { age_years, pigmentation }
}

/// A window of a scene, prepared to be drawn from one eye: everything that stays the same while the sun moves.
#[derive(Clone, Debug)]
pub struct SceneWindow {
    /// Shapes and sheets.
    pub model: WindowModel,
    /// Triangles.
    pub mesh: WindowMesh,
    /// Sampled pieces, then overlays.
    pub optics: Vec<PieceOptics>,
    /// The eye's position.
    pub eye: Eye,
    /// The viewer.
    pub viewer: Viewer,
    pub(crate) parts: WindowParts,
    pub(crate) glazing: Glazing,
    /// The panel's leads in the order of `model.leads`.
    pub(crate) lead_order: Vec<usize>,
    /// The bars behind the glass.
    pub(crate) behind: Vec<panel::BrushLine>,
    facing_deg: f64,
    latitude_deg: f64,
    horizon: Horizon,
    /// What stands before the glass outside, and what the eye sees of it.
    outer: Option<(Arc<OuterWall>, Arc<StoneSeen>)>,
    /// The reveal inside; found when there is light, what it sees of the glass and what the glass lets by.
    inner: Option<Arc<InnerWall>>,
    pub(crate) inner_view: OnceLock<Arc<InnerView>>,
    pub(crate) inner_glass: OnceLock<Arc<InnerGlass>>,
}

impl SceneWindow {
    /// Window `index` of a scene, seen from `eye_m`; `None` without such a window.
    pub fn new(scene: &Resolved, index: usize, eye_m: RoomPoint) -> Option<Self> {
        let window = scene.windows.get(index)?;
        let glazing = Glazing::new(&window.pieces);
        let mut model = frame_model(window);
        let behind = bars_behind(window);
        let mut glass = Vec::with_capacity(window.pieces.len());
        for index in 0..window.pieces.len() {
            let mut piece = piece_model(window, index);
            let mesh = piece_mesh(&piece);
            piece.fade.scale = fade_scale(&mesh, &piece);
            glass.push(mesh);
            for overlay in overlays(window, index, &behind) {
                glass.push(overlay_mesh(&piece, &overlay));
                model.overlays.push(overlay);
            }
            model.pieces.push(piece);
        }
        let eye = eye_before(scene, window, eye_m);
        let optics = PieceOptics::of_window(&model, eye, |m, f, a| glazing.transmittance(m, f, a));
        let ResolvedRoom { facing_deg, .. } = scene.room;
        let (mesh, parts) = WindowMesh::with_parts(&model, glass);
        let mut built = Self {
            model,
            mesh,
            optics,
            eye,
            viewer: viewer(scene),
            parts,
            glazing,
            lead_order: lead_order(&window.panel),
            behind,
            facing_deg,
            latitude_deg: scene.place.latitude_deg,
            horizon: scene.horizon.clone(),
            outer: None,
            inner: None,
            inner_view: OnceLock::new(),
            inner_glass: OnceLock::new(),
        };
        built.set_wall(window);
        Some(built)
    }

    /// Sets the wall around the window. Returns whether the mesh has changed, as it does with the reveal inside.
    pub fn set_wall(&mut self, window: &ResolvedWindow) -> bool {
        let same = match (&self.outer, OuterWall::before(window)) {
            (Some((outer, _)), Some(wall)) => outer.wall == *wall && outer.placement == window.placement,
            (outer, wall) => outer.is_none() && wall.is_none(),
        };
        if !same {
            self.outer = OuterWall::new(window).map(|outer| (Arc::new(outer), Arc::default()));
            self.look_at_wall();
            self.inner_view.take();
        }
        let same = match (&self.inner, InnerWall::within(window)) {
            (Some(inner), Some(wall)) => inner.wall == *wall && inner.placement == window.placement,
            (inner, wall) => inner.is_none() && wall.is_none(),
        };
        if same {
            return false;
        }
        self.inner = InnerWall::new(window).map(Arc::new);
        self.inner_view.take();
        let net = self.inner.as_ref().map(|inner| inner.net.clone());
        let changed = self.model.inner != net;
        if changed {
            self.model.inner = net;
            self.parts.replace_wall(&mut self.mesh, &self.model);
        }
        changed
    }

    /// Finds what the eye sees of the wall through the panel, unless it is known.
    pub(crate) fn look_at_wall(&mut self) {
        let (eye, bounds) = (self.eye, self.model.bounds());
        if let Some((outer, seen)) = &mut self.outer
            && seen.from != Some((eye, bounds))
        {
            *seen = Arc::new(outer.seen_from(eye, bounds));
        }
    }

    /// Moves the eye to a place in the panel's frame.
    pub fn set_eye(&mut self, eye: Eye) {
        self.eye = eye;
        let glazing = &self.glazing;
        self.optics = PieceOptics::of_window(&self.model, eye, |m, f, a| glazing.transmittance(m, f, a));
        self.look_at_wall();
    }

    /// Sets surroundings, the wall's bearing and the viewer from a scene with the same window.
    pub fn set_outdoors(&mut self, scene: &Resolved) {
        self.viewer = viewer(scene);
        self.facing_deg = scene.room.facing_deg;
        self.latitude_deg = scene.place.latitude_deg;
        self.horizon = scene.horizon.clone();
    }

    /// Tables of an instant.
    pub fn tables(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> LightTables {
        LightTables::new(&self.model, &self.optics, &self.light(outside, room_white_cd_m2))
    }

    /// The light of an instant in the form the tables need. With the date, the place's latitude decides how far
    /// trees are in leaf.
    pub fn light(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> Light {
        let basis = outside.basis(SKY_COLUMNS);
        let edges = Edges::new(
            &self.horizon,
            daylight::leaf_share(self.latitude_deg, outside.instant().day_of_year()),
        );
        let sun = outside.sun();
        let beam = outside.beam_normal();
        let shines = beam.max() > 0.0;
        let disc = beam * (1.0 / SUN_SR);
        let around = Around { outside, basis: &basis, facing_deg: self.facing_deg, disc };
        let wall = self
            .outer
            .as_ref()
            .map(|(outer, seen)| WallLight::new(outer, seen, &around, &self.model, &self.optics));
        let inner = self.inner.as_ref().map(|inner| {
            let outer = self.outer.as_ref().map(|(outer, _)| &**outer);
            let view = || Arc::new(InnerView::new(inner, outer, &self.model));
            let glass = || Arc::new(InnerGlass::new(&self.model, &self.glazing));
            let of_glass = (&**self.inner_view.get_or_init(view), &**self.inner_glass.get_or_init(glass));
            InnerLight::new(inner, of_glass, outer.zip(wall.as_ref()), &around)
        });
        let mut sky: Vec<_> = basis.spectra.iter().skip(2).copied().collect();
        let mut columns = SKY_COLUMNS;
        if let Some(own) = wall.as_ref().and_then(|wall| wall.own) {
            columns = SKY_COLUMNS - 1;
            sky.resize(columns, Spectrum::ZERO);
            sky.push(own);
        }
        let toward_sun = shines.then(|| toward(self.facing_deg, sun.direction()));
        let lobes = LobeLight::new(
            self.optics.iter().filter_map(|optics| optics.forward.as_ref()),
            &around,
            &edges,
            (self.eye, self.model.bounds()),
            toward_sun,
            self.outer.as_ref().zip(wall.as_ref()).map(|((outer, _), light)| Shade {
                wall: outer,
                light,
                eye: self.eye,
            }),
        );
        let mut weights = Weights { basis: &basis, columns, found: [0.0; SKY_COLUMNS + 2] };
        Light {
            sky,
            ground: outside.ground_radiance(),
            disc,
            glow: OutsideOfWall::new(outside, self.facing_deg).glow,
            toward_sun,
            field: DirectionField::new(
                self.model.bounds(),
                self.eye,
                &edges.breaks_deg(self.facing_deg),
                |d| Seen { weights: seen(&mut weights, &edges, compass(self.facing_deg, d)) },
                |level| edges.seen(compass(self.facing_deg, level).azimuth_deg),
            ),
            wall,
            inner,
            lobes,
            eye: self.eye,
            room_white_cd_m2,
            viewer: self.viewer,
        }
    }

    /// The light of an instant in the form the 81-sample path needs.
    pub fn surroundings<'a>(&self, outside: &'a Outside) -> OutsideOfWall<'a> {
        OutsideOfWall::new(outside, self.facing_deg)
    }

    /// What a picture of the whole window shows, mm.
    pub fn bounds(&self) -> Bounds {
        self.model.bounds_with_reveal(self.eye)
    }

    /// What a picture shows of the sides of the inner reveal: for each, what it belongs to, its area, m², and
    /// the mean light that it sends of what comes through the glass, linear RGB in cd/m². Empty without one.
    pub fn inner_sides(&self, tables: &LightTables) -> Vec<(reveal::Face, f64, [f64; 3])> {
        self.inner.as_ref().map_or(Vec::new(), |inner| inner.means(&tables.inner))
    }

    /// The surroundings.
    pub fn horizon(&self) -> &Horizon {
        &self.horizon
    }

    /// Transmittance of a piece or an overlay by the number of its make-up, factors and angle in degrees: of a piece
    /// beside its strokes, of an overlay within them.
    pub fn transmittance(&self) -> impl Fn(usize, Factors, f64) -> Transmittance {
        |makeup, factors, angle_deg| self.glazing.transmittance(makeup, factors, angle_deg)
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;

    #[test]
    fn what_the_inner_reveal_sees_is_kept_after_an_edit_of_something_else() {
        let text = include_str!("../../../../demo-scenes/small-rose.json");
        let mut document: Value = serde_json::from_str(text).unwrap();
        document["clerestory"] = json!(5);
        for wall in [
            json!({ "inner": { "depth_m": 0.2 } }),
            json!({ "inner": { "depth_m": 0.2 }, "outer": { "depth_m": 0.3 } }),
        ] {
            document["windows"][0]["wall"] = wall.clone();
            let scene = scene::resolve(&scene::read(&document.to_string()).unwrap(), None).unwrap();
            let outside = scene.outside(scene.instant("2026-06-21T08:00").unwrap().utc).unwrap();
            let mut window = SceneWindow::new(&scene, 0, scene.eye_m(None).unwrap()).unwrap();
            window.tables(&outside, None);
            let before = window.inner_view.get().unwrap().clone();
            window.set_outdoors(&scene);
            assert!(!window.set_wall(&scene.windows[0]));
            let mut other = scene.windows[0].clone();
            other.pieces[0].makeup = other.pieces[8].makeup.clone();
            window.set_piece(&other, 0);
            let kept = window.inner_view.get().expect("what it sees");
            assert!(Arc::ptr_eq(kept, &before) && window.inner_glass.get().is_some(), "{wall}");

            let mut deeper = scene.windows[0].clone();
            deeper.wall.as_mut().unwrap().depths.inner.depth_m = 0.25;
            assert!(window.set_wall(&deeper) && window.inner_view.get().is_none(), "{wall}");
        }
    }
}
