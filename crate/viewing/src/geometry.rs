//! The windows of a scene on their wall, in metres: light shapes and openings.
//!
//! A saddle bar is an opaque strip as wide as the bar, in the plane of the glass like everything else in the window,
//! whichever side of the glass it stands on. Where leads and bars have depth, [`LeadDepth`] says what more they take.

use std::sync::Arc;

use panel::{Polygon, SaddleBar};
use plane::{
    PanelOnWall, RoomPoint, RoomVector, WallPoint, bounds, clip_to_convex, clip_to_left_of, edges, join_holes,
};
use scene::Resolved;

use crate::box_room::BoxRoom;
use crate::lead_depth::{Arriving, BarStretch, LeadDepth};
use crate::walled::Walled;

/// One piece on the window wall.
#[derive(Clone, Debug)]
pub struct PieceShape {
    /// Index of its window.
    pub window: usize,
    /// Index in the window's panel.
    pub piece: usize,
    /// The part that light passes through, on the wall: the glass within the leads that no saddle bar covers. Holes
    /// are joined to their outline by a cut of no width, which does not affect areas, form factors or shares of the
    /// sun.
    pub light: Vec<Vec<WallPoint>>,
    /// Area of the glass within the leads, in front of bars or not, m².
    pub area_m2: f64,
}

/// The room and everything in its window wall.
#[derive(Clone, Debug)]
pub struct WindowWall {
    /// The room.
    pub room: BoxRoom,
    /// Bearing that the outside faces, degrees.
    pub facing_deg: f64,
    /// The pieces of all windows, one window after the other.
    pub pieces: Vec<PieceShape>,
    /// The openings in the inner face of the wall: sight sizes, where no reveal widens them.
    pub openings: Vec<Vec<WallPoint>>,
    /// The wall around each window; `None` where it has no depth.
    pub(crate) walled: Vec<Option<Arc<Walled>>>,
    /// The depth of the leads around each piece; empty if all are flat.
    depths: Vec<Option<Arc<LeadDepth>>>,
}

impl WindowWall {
    /// The window wall of a scene.
    pub fn new(resolved: &Resolved) -> Self {
        let mut pieces = Vec::new();
        let mut openings = Vec::new();
        let mut walls = Vec::new();
        let mut depths = Vec::new();
        let arriving = std::cell::LazyCell::new(Arriving::everywhere);
        for (w, window) in resolved.windows.iter().enumerate() {
            let leaf_mm = resolved.scene.windows.get(w).and_then(|window| window.wall.as_ref()?.leaf_mm);
            let place = &window.placement;
            let walled = window.wall.as_ref().and_then(Walled::new);
            openings.push(match &walled {
                Some(walled) => walled.opening.inner_face(),
                None => on_wall(place, &window.panel.opening),
            });
            walls.push(walled.map(Arc::new));
            let bars: Vec<BarStretch> =
                window.panel.bars.iter().flat_map(|bar| stretches(place, bar)).collect();
            let strips: Vec<_> = bars.iter().filter_map(|bar| bar.strip([-bar.half_m, bar.half_m])).collect();
            for (p, piece) in window.panel.pieces.iter().enumerate() {
                let whole: Vec<Vec<WallPoint>> =
                    piece.light.iter().map(|polygon| on_wall(place, polygon)).collect();
                let area_m2: f64 = whole.iter().fold(0.0, |sum, l| sum + area_m2(l));
                let light = strips.iter().fold(whole.clone(), |light, strip| {
                    light.into_iter().flat_map(|polygon| without(polygon, strip)).collect()
                });
                depths.push(leaf_mm.map(|leaf_mm| {
                    Arc::new(LeadDepth::new(leaf_mm, place, &piece.light, [&whole, &light], &bars, &arriving))
                }));
                pieces.push(PieceShape { window: w, piece: p, light, area_m2 });
            }
        }
        Self {
            room: BoxRoom { size_m: resolved.room.size_m },
            facing_deg: resolved.room.facing_deg,
            pieces,
            openings,
            walled: walls,
            depths: if depths.iter().any(Option::is_some) { depths } else { Vec::new() },
        }
    }

    /// The depth of the leads around a piece; `None` if they are flat.
    pub(crate) fn lead_depth(&self, piece: usize) -> Option<&LeadDepth> {
        self.depths.get(piece)?.as_deref()
    }

    /// Share of the light from a direction through a piece that the depth of its leads and bars lets by: of light that goes
    /// straight on, and of light scattered in the piece that comes from there or goes there.
    pub(crate) fn past_leads(&self, piece: usize, direction: RoomVector) -> [f64; 2] {
        self.lead_depth(piece).map_or([1.0; 2], |of| [of.through(direction), of.one_side(direction)])
    }

    /// The wall around the window of a piece, if it has depth.
    pub(crate) fn around(&self, piece: usize) -> Option<&Arc<Walled>> {
        self.walled.get(self.pieces.get(piece)?.window)?.as_ref()
    }

    /// Area of all openings, m².
    pub fn opening_area_m2(&self) -> f64 {
        self.openings.iter().map(|o| area_m2(o)).sum()
    }

    /// Whether a point lies within the room, on the inner side of the glass.
    pub fn holds(&self, point: RoomPoint) -> bool {
        point[2] > 1e-3 && (0..3).all(|k| (0.0..=self.room.size_m[k]).contains(&point[k]))
    }
}

/// Area of a polygon on the wall, m².
///
/// Uses the shoelace formula about the origin of the wall. About the polygon's first corner, as in
/// [`plane::signed_area`], the sum is more accurate, by up to 4e-12 of an area. That decides the last printed digit of areas
/// halfway between two, such as 3 797.5 mm², which drawings contain: all reports round these as this sum does.
pub(crate) fn area_m2(polygon: &[WallPoint]) -> f64 {
    let twice: f64 = edges(polygon).fold(0.0, |sum, (a, b)| sum + a.vector().perp_dot(b.vector()));
    (0.5 * twice).abs()
}

/// A panel polygon on the wall, its holes joined in.
fn on_wall(place: &PanelOnWall, polygon: &Polygon) -> Vec<WallPoint> {
    let mut rings = polygon.rings().map(|ring| ring.iter().map(|&p| place.wall_from_panel(p)).collect());
    join_holes(rings.next().unwrap_or_default(), rings)
}

/// The straight stretches of a bar on the wall.
fn stretches(place: &PanelOnWall, bar: &SaddleBar) -> Vec<BarStretch> {
    let half_m = 0.5e-3 * bar.diameter_mm;
    let pairs = bar.axis.iter().flat_map(|line| line.windows(2));
    pairs
        .map(|pair| BarStretch { ends: [pair[0], pair[1]].map(|p| place.wall_from_panel(p)), half_m })
        .collect()
}

/// Parts of a polygon below this area are rounding, m².
const NOTHING_M2: f64 = 1e-12;

/// What an anticlockwise convex polygon leaves of another: one part beyond each of its edges.
fn without(polygon: Vec<WallPoint>, convex: &[WallPoint]) -> Vec<Vec<WallPoint>> {
    let apart = match (bounds(&polygon), bounds(convex)) {
        (Some(a), Some(b)) => (0..2).any(|k| a[1][k] < b[0][k] || b[1][k] < a[0][k]),
        _ => true,
    };
    if apart || area_m2(&clip_to_convex(&polygon, convex)) <= NOTHING_M2 {
        return vec![polygon];
    }
    let (mut left, mut rest) = (Vec::new(), polygon);
    for (from, to) in edges(convex) {
        left.push(clip_to_left_of(&rest, [to, from]));
        rest = clip_to_left_of(&rest, [from, to]);
    }
    left.retain(|part| part.len() >= 3 && area_m2(part) > NOTHING_M2);
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_covers_what_it_crosses() {
        let square = WallPoint::slice(&[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]).to_vec();
        let bar = WallPoint::slice(&[[-1.0, 0.4], [2.0, 0.4], [2.0, 0.5], [-1.0, 0.5]]);
        let left = without(square.clone(), bar);
        let mut areas: Vec<f64> = left.iter().map(|part| area_m2(part)).collect();
        areas.sort_by(f64::total_cmp);
        assert!(areas.len() == 2 && (areas[0] - 0.4).abs() < 1e-12 && (areas[1] - 0.5).abs() < 1e-12);
        // A bar that ends within the piece leaves glass beyond its end.
        let short = WallPoint::slice(&[[0.2, 0.4], [0.7, 0.4], [0.7, 0.5], [0.2, 0.5]]);
        let area: f64 = without(square.clone(), short).iter().map(|part| area_m2(part)).sum();
        assert!((area - 0.95).abs() < 1e-12);
        let beyond = WallPoint::slice(&[[2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [2.0, 1.0]]);
        assert_eq!(without(square.clone(), beyond), [square]);
    }
}
