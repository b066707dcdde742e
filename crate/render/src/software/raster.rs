//! Turns triangles into pixels as a GPU does.

use glam::{Vec2, Vec3};

use crate::shared::frame::Frame;
use crate::software::prelude::clip_from_panel;
use crate::window::vertex::Mesh;

/// Sub-pixel positions, each way, to which drivers round corners.
const SUBPIXELS: f32 = 256.0;

/// A picture that triangles are drawn to.
pub(crate) struct Target {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) pixels: Vec<Vec3>,
}

impl Target {
    /// Draws triangles over one another. `place` gives a vertex's position, fringe and coverage. `shade` receives
    /// the corners, the barycentric weights and the panel point, and returns the light and the share of the pixel
    /// that it covers.
    pub(crate) fn triangles<V>(
        &mut self,
        mesh: &Mesh<V>,
        indices: &[u32],
        frame: &Frame,
        place: impl Fn(&V) -> (Vec2, Vec2, f32),
        shade: impl Fn([&V; 3], Vec3, Vec2) -> (Vec3, f32),
    ) {
        let half = Vec2::new(self.width as f32, self.height as f32) / 2.0;
        for triangle in indices.as_chunks::<3>().0 {
            let corners = triangle.map(|i| &mesh.vertices[i as usize]);
            let placed = corners.map(|v| {
                let (position, fringe, coverage) = place(v);
                let clip = clip_from_panel(frame, position, fringe);
                // As drivers do, so that a corner snapped to a node lies on it exactly.
                let screen = Vec2::new(1.0 + clip.x, 1.0 - clip.y) * half;
                (
                    position + fringe * frame.mm_per_px,
                    screen.map(|v| (v * SUBPIXELS).round() / SUBPIXELS),
                    coverage,
                )
            });
            self.triangle(placed.map(|p| p.1), |target, pixel, b| {
                let coverage = b.x * placed[0].2 + b.y * placed[1].2 + b.z * placed[2].2;
                let position = b.x * placed[0].0 + b.y * placed[1].0 + b.z * placed[2].0;
                let (colour, share) = shade(corners, b, position);
                let coverage = coverage * share;
                let below = &mut target.pixels[pixel];
                *below = colour * coverage + *below * (1.0 - coverage);
            });
        }
    }

    /// Visits the pixels whose centres lie in a triangle; a centre on a shared edge belongs to only one side.
    fn triangle(&mut self, mut p: [Vec2; 3], mut visit: impl FnMut(&mut Self, usize, Vec3)) {
        if p.iter().any(|v| !v.is_finite()) {
            return;
        }
        let edge = |a: Vec2, b: Vec2, x: f64, y: f64| {
            let (a, b) = (a.as_dvec2(), b.as_dvec2());
            (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x)
        };
        let mut area = edge(p[0], p[1], f64::from(p[2].x), f64::from(p[2].y));
        let flipped = area < 0.0;
        if flipped {
            p.swap(1, 2);
            area = -area;
        }
        if area <= 0.0 {
            return;
        }
        let low = p[0].min(p[1]).min(p[2]);
        let high = p[0].max(p[1]).max(p[2]);
        let span = |low: f32, high: f32, most: usize| {
            ((low - 0.5).ceil().max(0.0) as usize, ((high + 0.5).floor().max(0.0) as usize).min(most))
        };
        let (x0, x1) = span(low.x, high.x, self.width);
        let (y0, y1) = span(low.y, high.y, self.height);
        // The upper and left edges own the centres that lie on them.
        let owns = |a: Vec2, b: Vec2| b.y < a.y || (b.y.total_cmp(&a.y).is_eq() && b.x > a.x);
        let owned = [owns(p[1], p[2]), owns(p[2], p[0]), owns(p[0], p[1])];
        for y in y0..y1 {
            for x in x0..x1 {
                let (cx, cy) = (x as f64 + 0.5, y as f64 + 0.5);
                let w = [edge(p[1], p[2], cx, cy), edge(p[2], p[0], cx, cy), edge(p[0], p[1], cx, cy)];
                if w.iter().zip(owned).all(|(&w, owned)| w > 0.0 || (w >= 0.0 && owned)) {
                    let mut b = w.map(|w| (w / area) as f32);
                    if flipped {
                        b.swap(1, 2);
                    }
                    visit(self, y * self.width + x, Vec3::from_array(b));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn triangles_with_a_shared_edge_share_no_pixel() {
        let mut target = Target { width: 16, height: 16, pixels: vec![Vec3::ZERO; 256] };
        let corners = [[2.5, 2.5], [13.5, 3.5], [12.5, 13.5], [3.5, 12.5]].map(Vec2::from_array);
        let mut hits = vec![0; 256];
        for t in [[0, 1, 2], [0, 2, 3]] {
            target.triangle(t.map(|i| corners[i]), |_, pixel, b| {
                hits[pixel] += 1;
                assert!((b.element_sum() - 1.0).abs() < 1e-5);
            });
        }
        assert!(hits.iter().all(|&h| h <= 1));
        assert!((90..=115).contains(&hits.iter().sum::<i32>()));
    }
}
