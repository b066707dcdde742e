//! From a resolved window to shapes and sheets.

use scene::{Face, ResolvedWindow};

use crate::glazing::sheet::sheet_model;
use crate::light::field::Eye;
use crate::paint::brushwork::fading;
use crate::window::model::{Came, Fade, Joint, PieceModel, Strip, WindowModel};
use crate::window::region::Region;

/// Points closer than this are one, mm.
const SAME_POINT_MM: f64 = 1e-6;

/// Shapes of a window without its pieces and what lies over them.
pub(crate) fn frame_model(window: &ResolvedWindow) -> WindowModel {
    let panel = &window.panel;
    let mut leads: Vec<&panel::LeadLine> = panel.leads.iter().collect();
    // Wider leads stand in front.
    leads.sort_by(|a, b| a.face_mm.total_cmp(&b.face_mm));
    WindowModel {
        opening: region(&panel.opening),
        pieces: Vec::new(),
        overlays: Vec::new(),
        leads: leads
            .into_iter()
            .map(|lead| Strip {
                line: lead.points.clone(),
                closed: lead.from_joint == lead.to_joint && lead.points.len() > 3,
                width_mm: lead.face_mm,
            })
            .collect(),
        joints: panel.solder_joints().map(|joint| joint_model(panel, joint)).collect(),
        bars: panel
            .bars
            .iter()
            .zip(&window.bar_sides)
            .filter(|(_, side)| **side == Face::Inside)
            .flat_map(|(bar, _)| {
                bar.axis.iter().map(|line| Strip {
                    line: line.clone(),
                    closed: false,
                    width_mm: bar.diameter_mm,
                })
            })
            .collect(),
    }
}

pub(crate) fn region(polygon: &panel::Polygon) -> Region {
    polygon.rings().map(<[_]>::to_vec).collect()
}

/// Shape and sheet of a piece, which is its own makeup, but for the scale of its fade: that is known when the glass is
/// cut into triangles.
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

/// Where an eye of the room (metres) is in a window's panel plane (mm).
pub fn eye_before(window: &ResolvedWindow, eye_m: [f64; 3]) -> Eye {
    let [x, y] = window.lower_left_m;
    Eye { position_mm: [(eye_m[0] - x) * 1000.0, (eye_m[1] - y) * 1000.0, eye_m[2] * 1000.0] }
}

/// A joint and the directions in which its leads leave.
fn joint_model(panel: &panel::Panel, joint: &panel::Joint) -> Joint {
    let ends = joint.leads.iter().filter_map(|lead| panel.leads.get(*lead)).flat_map(|lead| {
        let near = |p: &[f64; 2]| (p[0] - joint.at[0]).hypot(p[1] - joint.at[1]) < SAME_POINT_MM;
        let forward: Vec<_> = lead.points.iter().collect();
        let backward: Vec<_> = lead.points.iter().rev().collect();
        [forward, backward].into_iter().filter(move |line| line.first().is_some_and(|p| near(p))).filter_map(
            |line| {
                // The chords of a curve are short: look as far along as solder runs.
                let ahead = |p: &&&[f64; 2]| (p[0] - joint.at[0]).hypot(p[1] - joint.at[1]) >= lead.face_mm;
                let to = line.iter().find(ahead).or(line.last())?;
                let [x, y] = [to[0] - joint.at[0], to[1] - joint.at[1]];
                let length = x.hypot(y);
                (length > 0.0).then(|| Came { toward: [x / length, y / length], face_mm: lead.face_mm })
            },
        )
    });
    let mut cames: Vec<Came> = Vec::new();
    for end in ends {
        // A ring that closes here stands twice in the list.
        if !cames.contains(&end) {
            cames.push(end);
        }
    }
    Joint { at: joint.at, cames }
}
