//! Pictures of any size, drawn in tiles and joined into rows.

use crate::eye::look::{Look, Mode};
use crate::eye::spread::{margin_of, tile_grid};
use crate::light::tables::LightTables;
use crate::output::view::View;

/// Default side of a tile, pixels.
const TILE_PX: u32 = 1024;

/// How a picture is divided into tiles. [`SoftwarePicture::new`](crate::SoftwarePicture::new) draws them, each with
/// its own margin and on a common grid, so that light spread in the eye joins without a seam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TilePlan {
    view: View,
    side: u32,
}

/// One tile: its upper-left pixel in the picture, and its view.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tile {
    /// Left and upper pixel.
    pub at_px: [u32; 2],
    /// What it shows.
    pub view: View,
}

impl TilePlan {
    /// `tables`: the light it is drawn in; `None` if there is none. `largest_px`: the longest side that can be
    /// drawn at once, at least 2048 on every device.
    pub fn new(view: View, tables: Option<&LightTables>, look: &Look, largest_px: u32) -> Self {
        let view = View { size_px: view.size_px.map(|s| s.max(1)), ..view };
        let spread = tables.filter(|_| look.mode == Mode::Appearance).map(|tables| {
            let grid = tile_grid(tables, &view);
            (grid, margin_of(grid))
        });
        let (grid, margin) = spread.unwrap_or((8, 0));
        let side = TILE_PX.min(largest_px.saturating_sub(2 * margin));
        Self { view, side: (side / grid).max(1) * grid }
    }

    /// The whole picture.
    pub fn view(&self) -> View {
        self.view
    }

    /// Number of tiles.
    pub fn count(&self) -> usize {
        let [across, down] = self.view.size_px.map(|s| s.div_ceil(self.side) as usize);
        across * down
    }

    /// From the upper left, row by row.
    pub fn tiles(&self) -> impl Iterator<Item = Tile> + use<> {
        let Self { view, side } = *self;
        let [width, height] = view.size_px;
        let starts = move |length: u32| (0..length).step_by(side as usize);
        starts(height).flat_map(move |y| {
            starts(width).map(move |x| Tile {
                at_px: [x, y],
                view: view.tile([x, y], [side.min(width - x), side.min(height - y)]),
            })
        })
    }

    /// Starts joining tiles into whole rows.
    pub fn join(&self) -> TileRows {
        TileRows { width: self.view.size_px[0], rows: Vec::new() }
    }
}

/// Joins tiles side by side as they arrive.
#[derive(Debug)]
pub struct TileRows {
    width: u32,
    rows: Vec<u8>,
}

impl TileRows {
    /// Adds the next tile's RGBA8 pixels; returns the complete rows if this tile was the last across.
    pub fn take(&mut self, tile: &Tile, rgba: &[u8]) -> Option<&[u8]> {
        let [width, height] = tile.view.size_px.map(|s| s as usize);
        let row = self.width as usize * 4;
        self.rows.resize(row * height, 0);
        let left = tile.at_px[0] as usize * 4;
        for (line, to) in rgba.chunks_exact(width * 4).zip(self.rows.chunks_exact_mut(row)) {
            if let Some(to) = to.get_mut(left..left + line.len()) {
                to.copy_from_slice(line);
            }
        }
        (tile.at_px[0] + tile.view.size_px[0] >= self.width).then_some(self.rows.as_slice())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tiles_cover_the_picture_once_and_join_to_its_rows() {
        let view = View { centre_mm: plane::PanelPoint::default(), mm_per_px: 1.0, size_px: [21, 19] };
        let plan = TilePlan { view, side: 8 };
        let mut rows = plan.join();
        let mut picture = Vec::new();
        for tile in plan.tiles() {
            let [w, h] = tile.view.size_px;
            let pixels = (0..h).flat_map(|y| (0..w).map(move |x| [x, y]));
            let rgba: Vec<u8> = pixels
                .flat_map(|[x, y]| [(x + tile.at_px[0]) as u8, (y + tile.at_px[1]) as u8, 0, 255])
                .collect();
            picture.extend_from_slice(rows.take(&tile, &rgba).unwrap_or_default());
        }
        let expected: Vec<u8> = (0..19).flat_map(|y| (0..21).flat_map(move |x| [x, y, 0, 255])).collect();
        assert_eq!(picture, expected);
        assert_eq!(plan.count(), 9);
    }
}
