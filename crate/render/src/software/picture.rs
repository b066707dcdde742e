//! The whole picture without a GPU: the same triangles and passes, pixel by pixel on the CPU. Slower, and within
//! 2/255 of a GPU's picture.

use glam::{Vec2, Vec3};

use crate::eye::exposure::WindowLevel;
use crate::eye::look::Look;
use crate::eye::tone::Tone;
use crate::light::tables::LightTables;
use crate::output::tiles::TilePlan;
use crate::output::view::View;
use crate::shared::constants::WALL_REFLECTANCE;
use crate::shared::frame::Frame;
use crate::software::glass::glass;
use crate::software::paint::moved_brush;
use crate::software::raster::Target;
use crate::software::solid::{SolidPoint, inner_light, on_panel, solid};
use crate::software::spread::{Layer, added, around_levels, spread};
use crate::software::tone::{seen, tone};
use crate::window::mesh::WindowMesh;
use crate::window::vertex::SolidVertex;

/// Draws scene light: linear RGB times exposure, row by row from the top.
pub(crate) fn scene_light(mesh: &WindowMesh, tables: &LightTables, frame: &Frame, view: &View) -> Vec<Vec3> {
    let [width, height] = view.size_px.map(|s| s as usize);
    let wall = frame.room_white * WALL_REFLECTANCE * frame.exposure;
    let mut target = Target { width, height, pixels: vec![wall; width * height] };
    let solids = |indices: &[u32], target: &mut Target| {
        target.triangles(
            &mesh.solid,
            indices,
            frame,
            |v| {
                let position = on_panel(frame, v).unwrap_or(Vec2::NAN);
                (position, Vec2::from(v.fringe), v.coverage)
            },
            |corners, b, position| {
                let light = corners.map(|v| inner_light(frame, &tables.inner, v));
                let mixed = |of: fn(&SolidVertex) -> f32| {
                    b.x * of(corners[0]) + b.y * of(corners[1]) + b.z * of(corners[2])
                };
                let point = SolidPoint {
                    material: corners[0].material,
                    position,
                    across: mixed(|v| v.across),
                    left: Vec2::new(mixed(|v| v.left[0]), mixed(|v| v.left[1])),
                    half_mm: mixed(|v| v.half_mm),
                    light: b.x * light[0] + b.y * light[1] + b.z * light[2],
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
        |v| (Vec2::from(v.position), Vec2::from(v.fringe), v.coverage),
        |corners, b, position| {
            let moved = corners.map(|v| moved_brush(frame, v.brush.into(), v.fringe.into()));
            let brush = b.x * moved[0] + b.y * moved[1] + b.z * moved[2];
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

/// Pictures of one window in one light without a GPU. The light that spreads from the whole window is computed once.
#[derive(Debug)]
pub struct SoftwarePicture<'a> {
    mesh: &'a WindowMesh,
    tables: &'a LightTables,
    look: Look,
    level: WindowLevel,
    tiled: bool,
    /// Levels of the whole window, finest first; empty before the first tile and if no light spreads.
    around: Vec<Layer>,
}

impl<'a> SoftwarePicture<'a> {
    /// For a picture drawn in tiles on the grid of [`TilePlan`].
    pub fn new(mesh: &'a WindowMesh, tables: &'a LightTables, look: Look) -> Self {
        let level = WindowLevel::new(tables);
        Self { mesh, tables, look, level, tiled: true, around: Vec::new() }
    }

    /// As on a screen: drawn as a whole, and less exact at its edges.
    pub fn on_screen(mesh: &'a WindowMesh, tables: &'a LightTables, look: Look) -> Self {
        Self { tiled: false, ..Self::new(mesh, tables, look) }
    }

    /// Draws a picture of any size in tiles of at most `tile_px` a side, margins included. After each tile, `rows`
    /// receives the rows completed so far, from the top, RGBA8 (none while a row of tiles is incomplete), and the
    /// share of the picture that is done.
    ///
    /// # Errors
    /// Any error of `rows`.
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
                    self.around = around_levels(plan, light(frame, &plan.around));
                }
                Some(spread(plan, &drawn, &self.around))
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
            let light = blurred.map_or(light, |b| seen(toning, light, added(b, dx, dy)));
            out.extend(tone(toning, light, [x, y]).to_array().map(|v| (v * 255.0 + 0.5) as u8));
            out.push(255);
        }
    }
    out
}
