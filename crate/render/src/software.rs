//! The whole picture without a GPU: the same triangles, the same passes, pixel by pixel on the CPU. Slower, and
//! within 2/255 of what a GPU draws.

use crate::{
    constants::{NODES_PER_PIXEL, WALL_REFLECTANCE},
    exposure::WindowLevel,
    frame::{Frame, View},
    glass_pass::glass,
    mesh::{Mesh, WindowMesh},
    paint_pass::moved_brush,
    picture::Look,
    solid_pass::{SolidPoint, solid},
    spread::{self, Layer},
    tables::LightTables,
    tiles::TilePlan,
    tone::{Tone, tone},
    vector::V3,
};

/// Draws scene light: linear RGB times exposure, row by row from the top.
pub(crate) fn scene_light(mesh: &WindowMesh, tables: &LightTables, frame: &Frame, view: &View) -> Vec<V3> {
    let [width, height] = view.size_px.map(|s| s as usize);
    let wall = [0, 1, 2].map(|k| frame.room[k] * WALL_REFLECTANCE * frame.exposure());
    let mut target = Target { width, height, pixels: vec![wall; width * height] };
    let solids = |indices: &[u32], target: &mut Target| {
        target.triangles(
            &mesh.solid,
            indices,
            frame,
            |v| (v.position, v.fringe, v.coverage),
            |corners, b, position| {
                let mixed = |of: fn(&crate::mesh::SolidVertex) -> f32| {
                    (0..3).map(|k| b[k] * of(corners[k])).sum::<f32>()
                };
                let point = SolidPoint {
                    material: corners[0].material,
                    position,
                    across: mixed(|v| v.across),
                    left: [mixed(|v| v.left[0]), mixed(|v| v.left[1])],
                    half_mm: mixed(|v| v.half_mm),
                };
                (solid(frame, &point), 1.0)
            },
        );
    };
    let part = |range: &std::ops::Range<u32>| &mesh.solid.indices[range.start as usize..range.end as usize];
    solids(part(&mesh.behind), &mut target);
    target.triangles(
        &mesh.glass,
        &mesh.glass.indices,
        frame,
        |v| (v.position, v.fringe, v.coverage),
        |corners, b, position| {
            let moved = corners.map(|v| moved_brush(frame, v.brush, v.fringe));
            let brush = [0, 1].map(|k| (0..3).map(|i| b[i] * moved[i][k]).sum::<f32>());
            glass(frame, tables, corners[0].piece as usize, position, brush)
        },
    );
    solids(part(&mesh.before), &mut target);
    target.pixels
}

/// Draws a picture as RGBA8, row by row from the top.
pub fn picture(mesh: &WindowMesh, tables: &LightTables, view: &View, look: &Look) -> Vec<u8> {
    SoftwarePicture::on_screen(mesh, tables, *look).tile(*view)
}

/// Pictures of one window in one light without a GPU, piece by piece: what light is spread from afar is worked out
/// once.
#[derive(Debug)]
pub struct SoftwarePicture<'a> {
    mesh: &'a WindowMesh,
    tables: &'a LightTables,
    look: Look,
    level: WindowLevel,
    tiled: bool,
    /// The whole window, finest first; empty before the first tile and where no light spreads.
    around: Vec<Layer>,
}

impl<'a> SoftwarePicture<'a> {
    /// For a picture drawn in tiles that lie on the grid of [`TilePlan`].
    pub fn new(mesh: &'a WindowMesh, tables: &'a LightTables, look: Look) -> Self {
        let level = WindowLevel::new(tables);
        Self { mesh, tables, look, level, tiled: true, around: Vec::new() }
    }

    /// As a screen has it: a whole, less exact at its edges.
    pub fn on_screen(mesh: &'a WindowMesh, tables: &'a LightTables, look: Look) -> Self {
        Self { tiled: false, ..Self::new(mesh, tables, look) }
    }

    /// Draws a picture of any size in tiles of at most `tile_px` a side, margins included. After each tile `rows` gets
    /// the rows that have become whole, from the top, RGBA8 (none while a row of tiles is incomplete), and the share
    /// of the picture that is done.
    ///
    /// # Errors
    /// Whatever `rows` says.
    pub fn picture_rows<E>(
        &mut self,
        view: View,
        tile_px: u32,
        mut rows: impl FnMut(&[u8], f64) -> Result<(), E>,
    ) -> Result<(), E> {
        let plan = TilePlan::new(view, Some(self.tables), &self.look, tile_px);
        let mut joined = plan.join();
        for (drawn, tile) in plan.tiles().enumerate() {
            let rgba = self.tile(tile.view);
            let share = (drawn + 1) as f64 / plan.count() as f64;
            rows(joined.take(&tile, &rgba).unwrap_or_default(), share)?;
        }
        Ok(())
    }

    /// RGBA8, row by row from the top.
    pub fn tile(&mut self, view: View) -> Vec<u8> {
        let view = View { size_px: view.size_px.map(|s| s.max(1)), ..view };
        let uniforms = self.look.uniforms(&self.level, self.tables, &view, self.tiled);
        let light = |frame: &Frame, view: &View| Layer {
            size: view.size_px,
            pixels: scene_light(self.mesh, self.tables, frame, view),
        };
        let target = uniforms.plan.as_ref().map_or(view, |plan| plan.target);
        let drawn = light(&uniforms.frame, &target);
        let blurred = match (&uniforms.plan, &uniforms.around) {
            (Some(plan), Some(frame)) => {
                if self.around.is_empty() {
                    self.around = spread::around_levels(plan, light(frame, &plan.around));
                }
                Some(spread::spread(plan, &drawn, &self.around))
            }
            _ => None,
        };
        let margin = uniforms.plan.as_ref().map_or(0, |plan| plan.margin);
        toned(&drawn, blurred.as_ref(), &uniforms.tone, view.size_px, margin)
    }
}

fn toned(drawn: &Layer, blurred: Option<&Layer>, toning: &Tone, size: [u32; 2], margin: u32) -> Vec<u8> {
    let [width, height] = size;
    let mut out = Vec::with_capacity(width as usize * height as usize * 4);
    for y in 0..height {
        for x in 0..width {
            let [dx, dy] = [x + margin, y + margin];
            let light = drawn.pixels[dy as usize * drawn.size[0] as usize + dx as usize];
            let seen = blurred.map_or(light, |b| toning.seen(light, spread::added(b, dx, dy)));
            out.extend(tone(toning, seen, [x, y]).map(|v| (v * 255.0 + 0.5) as u8));
            out.push(255);
        }
    }
    out
}

struct Target {
    width: usize,
    height: usize,
    pixels: Vec<V3>,
}

impl Target {
    /// Draws triangles one over the other. `shade` gets the corners, the barycentric weights and the panel
    /// point, and answers with the light and the share of the pixel that it covers.
    fn triangles<V>(
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
    fn triangles_that_share_an_edge_share_no_pixel() {
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
