//! Triangles to pixels as a GPU fills them.

use crate::shared::constants::NODES_PER_PIXEL;
use crate::shared::frame::Frame;
use crate::vector::V3;
use crate::window::vertex::Mesh;

pub(crate) struct Target {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) pixels: Vec<V3>,
}

impl Target {
    /// Draws triangles one over the other. `shade` gets the corners, the barycentric weights and the panel
    /// point, and answers with the light and the share of the pixel that it covers.
    pub(crate) fn triangles<V>(
        &mut self,
        mesh: &Mesh<V>,
        indices: &[u32],
        frame: &Frame,
        place: impl Fn(&V) -> ([f32; 2], [f32; 2], f32),
        shade: impl Fn([&V; 3], [f32; 3], [f32; 2]) -> (V3, f32),
    ) {
        let half = [self.width as f32 / 2.0, self.height as f32 / 2.0];
        for triangle in indices.as_chunks::<3>().0 {
            let corners = triangle.map(|i| &mesh.vertices[i as usize]);
            let placed = corners.map(|v| {
                let (position, fringe, coverage) = place(v);
                let moved = [position[0] + fringe[0] * frame.eye[3], position[1] + fringe[1] * frame.eye[3]];
                let clip = [0, 1].map(|axis| {
                    let nodes =
                        ((moved[axis] - frame.view[axis]) * frame.room[3] * NODES_PER_PIXEL + 0.5).floor();
                    nodes * (frame.eye[3] / NODES_PER_PIXEL) * frame.view[2 + axis]
                });
                // Drivers round to 1/256 of a pixel; so does this, that a corner set on a node lies on it to the bit.
                let screen = [(1.0 + clip[0]) * half[0], (1.0 - clip[1]) * half[1]];
                (moved, screen.map(|v| (v * 256.0).round() / 256.0), coverage)
            });
            self.triangle(placed.map(|p| p.1), |target, pixel, b| {
                let coverage: f32 = (0..3).map(|k| b[k] * placed[k].2).sum();
                let position = [0, 1].map(|axis| (0..3).map(|k| b[k] * placed[k].0[axis]).sum::<f32>());
                let (colour, share) = shade(corners, b, position);
                let coverage = coverage * share;
                for (below, c) in target.pixels[pixel].iter_mut().zip(colour) {
                    *below = c * coverage + *below * (1.0 - coverage);
                }
            });
        }
    }

    /// Visits the pixels whose centres lie in a triangle; a centre on a shared edge belongs to one side of it.
    fn triangle(&mut self, mut p: [[f32; 2]; 3], mut visit: impl FnMut(&mut Self, usize, [f32; 3])) {
        if p.iter().flatten().any(|v| !v.is_finite()) {
            return;
        }
        let edge = |a: [f32; 2], b: [f32; 2], x: f64, y: f64| {
            (f64::from(b[0]) - f64::from(a[0])) * (y - f64::from(a[1]))
                - (f64::from(b[1]) - f64::from(a[1])) * (x - f64::from(a[0]))
        };
        let mut area = edge(p[0], p[1], f64::from(p[2][0]), f64::from(p[2][1]));
        let flipped = area < 0.0;
        if flipped {
            p.swap(1, 2);
            area = -area;
        }
        if area <= 0.0 {
            return;
        }
        let span = |axis: usize, most: usize| {
            let low = p.iter().map(|c| c[axis]).fold(f32::MAX, f32::min);
            let high = p.iter().map(|c| c[axis]).fold(f32::MIN, f32::max);
            ((low - 0.5).ceil().max(0.0) as usize, ((high + 0.5).floor().max(0.0) as usize).min(most))
        };
        let (x0, x1) = span(0, self.width);
        let (y0, y1) = span(1, self.height);
        // The upper and left edges own the centres that lie on them.
        let owns = |a: [f32; 2], b: [f32; 2]| b[1] < a[1] || (b[1].total_cmp(&a[1]).is_eq() && b[0] > a[0]);
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
                    visit(self, y * self.width + x, b);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    pub(crate) fn triangles_that_share_an_edge_share_no_pixel() {
        let mut target = Target { width: 16, height: 16, pixels: vec![[0.0; 3]; 256] };
        let corners = [[2.5_f32, 2.5], [13.5, 3.5], [12.5, 13.5], [3.5, 12.5]];
        let mut hits = vec![0; 256];
        for t in [[0, 1, 2], [0, 2, 3]] {
            target.triangle(t.map(|i| corners[i]), |_, pixel, b| {
                hits[pixel] += 1;
                assert!((b.iter().sum::<f32>() - 1.0).abs() < 1e-5);
            });
        }
        assert!(hits.iter().all(|&h| h <= 1));
        assert!((90..=115).contains(&hits.iter().sum::<i32>()));
    }
}
