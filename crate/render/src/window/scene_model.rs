//! From a resolved window to shapes and sheets.

use glam::DVec2;
use plane::{PanelPoint, PanelVector, RoomPoint};
use scene::{Face, Resolved, ResolvedWindow};

use crate::glazing::sheet::sheet_model;
use crate::light::field::Eye;
use crate::paint::brushwork::fading;
use crate::window::model::{Came, Fade, Joint, PieceModel, Strip, WindowModel};
use crate::window::region::Region;

/// Points closer than this count as one, mm.
const SAME_POINT_MM: f64 = 1e-6;

/// Shapes of a window without its pieces and their overlays.
pub(crate) fn frame_model(window: &ResolvedWindow) -> WindowModel {
    let panel = &window.panel;
    WindowModel {
        opening: region(&panel.opening),
        pieces: Vec::new(),
        overlays: Vec::new(),
        leads: lead_order(panel).into_iter().map(|lead| lead_model(&panel.leads[lead])).collect(),
        joints: joint_models(panel),
        bars: bars_in_front(window),
        inner: None,
    }
}

/// The panel's leads in drawing order: wider ones lie in front.
pub(crate) fn lead_order(panel: &panel::Panel) -> Vec<usize> {
    let mut order: Vec<usize> = (0..panel.leads.len()).collect();
    sorting::by(&mut order, |a, b| panel.leads[*a].face_mm.total_cmp(&panel.leads[*b].face_mm));
    order
}

pub(crate) fn lead_model(lead: &panel::LeadLine) -> Strip {
    Strip {
        line: lead.points.clone(),
        closed: lead.from_joint == lead.to_joint && lead.points.len() > 3,
        width_mm: lead.face_mm,
    }
}

pub(crate) fn joint_models(panel: &panel::Panel) -> Vec<Joint> {
    panel.solder_joints().map(|joint| joint_model(panel, joint)).collect()
}

/// The bars on the room side.
pub(crate) fn bars_in_front(window: &ResolvedWindow) -> Vec<Strip> {
    let bars = window.panel.bars.iter().zip(&window.bar_sides).filter(|(_, side)| **side == Face::Inside);
    bars.flat_map(|(bar, _)| {
        let strip = |line: &Vec<_>| Strip { line: line.clone(), closed: false, width_mm: bar.diameter_mm };
        bar.axis.iter().map(strip)
    })
    .collect()
}

pub(crate) fn region(polygon: &panel::Polygon) -> Region {
    polygon.rings().map(<[_]>::to_vec).collect()
}

/// Shape and sheet of a piece. The scale of its fade is found only after the glass has been triangulated.
pub(crate) fn piece_model(window: &ResolvedWindow, index: usize) -> PieceModel {
    let piece = &window.pieces[index];
    let (length_mm, paint_density) = fading(piece);
    PieceModel {
        light_shape: window.panel.pieces[index].light.iter().flat_map(region).collect(),
        makeup: index,
        thickness_factor: 1.0,
        paint_factor: 1.0,
        paint_density,
        sheet: sheet_model(piece),
        fade: Fade { length_mm, ..Fade::default() },
    }
}

/// Position in the space before a window's panel of an eye whose distance is measured from the glass of the
/// first window, as [`Resolved::eye_m`] gives it.
pub fn eye_before(scene: &Resolved, window: &ResolvedWindow, eye_m: RoomPoint) -> Eye {
    let [x, y, z] = scene.in_room(eye_m).to_array();
    let inner_m = window.wall.as_ref().map_or(0.0, |wall| wall.depths.inner.depth_m);
    Eye { position_mm: window.placement.panel_from_room(RoomPoint::new(x, y, z + inner_m)) }
}

/// A joint and the directions in which its leads leave.
fn joint_model(panel: &panel::Panel, joint: &panel::Joint) -> Joint {
    let at = joint.at.vector();
    let mut cames: Vec<Came> = Vec::with_capacity(joint.leads.len());
    for lead in joint.leads.iter().filter_map(|lead| panel.leads.get(*lead)) {
        let points = || lead.points.iter().copied().map(PanelPoint::vector);
        // A ring that closes here appears twice in the list.
        for end in [came(at, points(), lead.face_mm), came(at, points().rev(), lead.face_mm)] {
            cames.extend(end.filter(|end| !cames.contains(end)));
        }
    }
    Joint { at: joint.at, cames }
}

/// The came that leaves a joint along a line, if the line begins there.
fn came(at: DVec2, mut line: impl Iterator<Item = DVec2>, face_mm: f64) -> Option<Came> {
    let first = line.next().filter(|p| p.distance(at) < SAME_POINT_MM)?;
    // The chords of a curve are short: look along it as far as the solder runs.
    let mut last = first;
    let ahead = line.inspect(|p| last = *p).find(|p| p.distance(at) >= face_mm);
    let toward = (ahead.unwrap_or(last) - at).try_normalize()?;
    Some(Came { toward: PanelVector::from(toward), face_mm })
}
