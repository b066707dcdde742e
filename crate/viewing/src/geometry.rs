//! The windows of a scene on their wall, in metres: light shapes, openings, what the bars cover.

use panel::{Polygon, SaddleBar};
use scene::{Resolved, ResolvedWindow};

use crate::box_room::BoxRoom;
use crate::plane::{P2, bounds, signed_area};
use crate::vector::V3;

/// One piece on the window wall.
#[derive(Clone, Debug)]
pub struct PieceShape {
    /// Index of its window.
    pub window: usize,
    /// Index in the window's panel.
    pub piece: usize,
    /// What lets light pass, m, on the wall. Holes are joined to their outline by a cut of no width, which no area, form
    /// factor or share of the sun notices.
    pub light: Vec<Vec<P2>>,
    /// Area of `light`, m².
    pub area_m2: f64,
    /// Share of `light` that no saddle bar covers.
    pub free: f64,
}

/// The room and everything in its window wall.
#[derive(Clone, Debug)]
pub struct WindowWall {
    /// The room.
    pub room: BoxRoom,
    /// Bearing the outside looks toward, degrees.
    pub facing_deg: f64,
    /// The pieces of all windows, one window after the other.
    pub pieces: Vec<PieceShape>,
    /// The openings, m: sight sizes.
    pub openings: Vec<Vec<P2>>,
}

impl WindowWall {
    /// From a scene.
    pub fn new(resolved: &Resolved) -> Self {
        let mut pieces = Vec::new();
        let mut openings = Vec::new();
        for (w, window) in resolved.windows.iter().enumerate() {
            openings.push(on_wall(window, &window.panel.opening));
            let bars: Vec<_> = window.panel.bars.iter().flat_map(|bar| bar_strips(window, bar)).collect();
            for (p, piece) in window.panel.pieces.iter().enumerate() {
                let light: Vec<Vec<P2>> =
                    piece.light.iter().map(|polygon| on_wall(window, polygon)).collect();
                let area_m2: f64 = light.iter().fold(0.0, |sum, l| sum + signed_area(l).abs());
                let covered: f64 =
                    light.iter().map(|l| bars.iter().map(|strip| shared_area(l, strip)).sum::<f64>()).sum();
                let free = if area_m2 > 0.0 { (1.0 - covered / area_m2).clamp(0.0, 1.0) } else { 1.0 };
                pieces.push(PieceShape { window: w, piece: p, light, area_m2, free });
            }
        }
        Self {
            room: BoxRoom { size_m: resolved.room.size_m },
            facing_deg: resolved.room.facing_deg,
            pieces,
            openings,
        }
    }

    /// Area of all openings, m².
    pub fn opening_area_m2(&self) -> f64 {
        self.openings.iter().map(|o| signed_area(o).abs()).sum()
    }

    /// Whether a point lies within the room and before the glass.
    pub fn holds(&self, point: V3) -> bool {
        point[2] > 1e-3 && (0..3).all(|k| (0.0..=self.room.size_m[k]).contains(&point[k]))
    }
}

/// A panel polygon on the wall in metres, its holes joined in.
fn on_wall(window: &ResolvedWindow, polygon: &Polygon) -> Vec<P2> {
    let [x, y] = window.lower_left_m;
    let to_wall = |ring: &[P2]| ring.iter().map(|p| [x + p[0] * 1e-3, y + p[1] * 1e-3]).collect::<Vec<P2>>();
    let mut outline = to_wall(&polygon.outer);
    for hole in &polygon.holes {
        let hole = to_wall(hole);
        let mut best = (f64::INFINITY, 0, 0);
        for (i, a) in outline.iter().enumerate() {
            for (j, b) in hole.iter().enumerate() {
                let d = (a[0] - b[0]).hypot(a[1] - b[1]);
                if d < best.0 {
                    best = (d, i, j);
                }
            }
        }
        if best.0.is_finite() {
            let (_, i, j) = best;
            let mut joined = outline[..=i].to_vec();
            joined.extend_from_slice(&hole[j..]);
            joined.extend_from_slice(&hole[..=j]);
            joined.extend_from_slice(&outline[i..]);
            outline = joined;
        }
    }
    outline
}

/// A bar as rectangles on the wall, one a straight stretch.
fn bar_strips(window: &ResolvedWindow, bar: &SaddleBar) -> Vec<[P2; 4]> {
    let [x, y] = window.lower_left_m;
    let half = 0.5e-3 * bar.diameter_mm;
    let mut strips = Vec::new();
    for pair in bar.axis.iter().flat_map(|line| line.windows(2)) {
        let [a, b] = [pair[0], pair[1]].map(|p| [x + p[0] * 1e-3, y + p[1] * 1e-3]);
        let d = [b[0] - a[0], b[1] - a[1]];
        let length = d[0].hypot(d[1]);
        if length > 1e-9 {
            let n = [-d[1] / length * half, d[0] / length * half];
            strips.push([
                [a[0] - n[0], a[1] - n[1]],
                [b[0] - n[0], b[1] - n[1]],
                [b[0] + n[0], b[1] + n[1]],
                [a[0] + n[0], a[1] + n[1]],
            ]);
        }
    }
    strips
}

/// Area shared by a polygon and an anticlockwise convex one.
fn shared_area(polygon: &[P2], convex: &[P2]) -> f64 {
    let (Some(a), Some(b)) = (bounds(polygon), bounds(convex)) else { return 0.0 };
    if (0..2).any(|k| a[1][k] < b[0][k] || b[1][k] < a[0][k]) {
        return 0.0;
    }
    let mut part = polygon.to_vec();
    for (i, p) in convex.iter().enumerate() {
        let q = convex[(i + 1) % convex.len()];
        let side = |v: &P2| (q[0] - p[0]) * (v[1] - p[1]) - (q[1] - p[1]) * (v[0] - p[0]);
        let mut kept = Vec::with_capacity(part.len() + 2);
        for (k, v) in part.iter().enumerate() {
            let w = part[(k + 1) % part.len()];
            let (dv, dw) = (side(v), side(&w));
            if dv >= 0.0 {
                kept.push(*v);
            }
            if (dv > 0.0 && dw < 0.0) || (dv < 0.0 && dw > 0.0) {
                let t = dv / (dv - dw);
                kept.push([v[0] + t * (w[0] - v[0]), v[1] + t * (w[1] - v[1])]);
            }
        }
        part = kept;
    }
    signed_area(&part).abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_covers_what_it_crosses() {
        let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        let bar = [[-1.0, 0.4], [2.0, 0.4], [2.0, 0.5], [-1.0, 0.5]];
        assert!((shared_area(&square, &bar) - 0.1).abs() < 1e-12);
        let beyond = [[2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [2.0, 1.0]];
        assert!(shared_area(&square, &beyond).abs() < 1e-12);
    }
}
