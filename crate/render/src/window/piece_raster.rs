//! Which piece of glass is where, on a raster over the opening.

use std::ops::Range;

use glam::DVec2;
use plane::PanelPoint;

use crate::window::inner_wall::InnerWall;
use crate::window::model::WindowModel;

/// Cells of the raster, about.
const CELLS: f64 = 30_000.0;

/// Which piece is where.
#[derive(Clone, Debug)]
pub(crate) struct Raster {
    low: DVec2,
    step: f64,
    size: [usize; 2],
    /// One more than the piece's number; 0 for lead.
    cells: Vec<u32>,
}

/// A part of a piece.
pub(crate) struct Block {
    pub(crate) piece: u32,
    pub(crate) middle: DVec2,
    pub(crate) area: f64,
    pub(crate) side: f64,
    /// Middles and areas of its parts.
    pub(crate) cells: Vec<(DVec2, f64)>,
}

impl Raster {
    pub(crate) fn new(wall: &InnerWall, model: &WindowModel) -> Self {
        let [low, high] = plane::bounds(wall.wall.outline.corners()).unwrap_or_default();
        let (low, high) = (low.vector(), high.vector());
        let step = (((high - low).x * (high - low).y) / CELLS).sqrt().max(0.002);
        let size = ((high - low) / step).to_array().map(|n| (n.ceil() as usize).max(1));
        let mut raster = Self { low, step, size, cells: vec![0; size[0] * size[1]] };
        for (number, piece) in model.pieces.iter().enumerate() {
            let on_wall = |p: &PanelPoint| wall.placement.wall_from_panel(*p).vector();
            let rings: Vec<Vec<DVec2>> =
                piece.light_shape.iter().map(|ring| ring.iter().map(on_wall).collect()).collect();
            raster.fill(&rings, number as u32 + 1);
        }
        // Bars before the glass stop its light.
        for bar in &model.bars {
            let half = 0.0005 * bar.width_mm;
            for pair in bar.line.windows(2) {
                let [a, b] = [pair[0], pair[1]].map(|p| wall.placement.wall_from_panel(p).vector());
                let along = (b - a).normalize_or_zero();
                let across = DVec2::new(-along.y, along.x) * half;
                raster.fill(&[vec![a - across, b - across, b + across, a + across]], 0);
            }
        }
        raster
    }

    /// Sets the cells whose middles lie in an odd number of the rings.
    fn fill(&mut self, rings: &[Vec<DVec2>], number: u32) {
        let mut crossings = Vec::new();
        let within = |v: f64, n: usize| v.clamp(0.0, n as f64) as usize;
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for p in rings.iter().flatten() {
            (low, high) = (low.min(p.y), high.max(p.y));
        }
        let rows = [low, high].map(|y| within((y - self.low.y) / self.step, self.size[1]));
        for row in rows[0]..(rows[1] + 1).min(self.size[1]) {
            let y = self.low.y + (row as f64 + 0.5) * self.step;
            crossings.clear();
            for ring in rings {
                for (i, a) in ring.iter().enumerate() {
                    let b = ring[(i + 1) % ring.len()];
                    if (a.y <= y) != (b.y <= y) {
                        crossings.push(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
                    }
                }
            }
            sorting::numbers(&mut crossings);
            for pair in crossings.as_chunks::<2>().0 {
                let [from, to] =
                    pair.map(|x| within(((x - self.low.x) / self.step - 0.5).ceil(), self.size[0]));
                self.cells[row * self.size[0] + from..row * self.size[0] + to].fill(number);
            }
        }
    }

    pub(crate) fn piece_at(&self, at: DVec2) -> Option<usize> {
        let [x, y] = ((at - self.low) / self.step).to_array();
        if x < 0.0 || y < 0.0 || x >= self.size[0] as f64 || y >= self.size[1] as f64 {
            return None;
        }
        (self.cells[y as usize * self.size[0] + x as usize] as usize).checked_sub(1)
    }

    /// Parts of pieces about `side` across, m, those of each piece one after the other.
    pub(crate) fn blocks(&self, side: f64) -> Vec<Block> {
        let cells = ((side / self.step).round() as usize).max(1);
        let fine = (cells / 6).max(1);
        let mut parts = Vec::new();
        let mut number = 0;
        for rows in spans(0..self.size[1], cells) {
            for columns in spans(0..self.size[0], cells) {
                for rows in spans(rows.clone(), fine) {
                    for columns in spans(columns.clone(), fine) {
                        self.add_parts(number, [columns, rows.clone()], &mut parts);
                    }
                }
                number += 1;
            }
        }
        sorting::by_key(&mut parts, |part| part.piece);
        parts
            .chunk_by(|a, b| (a.piece, a.block) == (b.piece, b.block))
            .map(|own| {
                let cell = self.step * self.step;
                let place = |sum: DVec2, cells: f64| self.low + sum * (self.step / cells);
                let (n, sum) = own.iter().fold((0.0, DVec2::ZERO), |s, p| (s.0 + p.cells, s.1 + p.sum));
                Block {
                    piece: own[0].piece,
                    middle: place(sum, n),
                    area: n * cell,
                    side: cells as f64 * self.step,
                    cells: own.iter().map(|p| (place(p.sum, p.cells), p.cells * cell)).collect(),
                }
            })
            .collect()
    }

    /// Adds what lies within some columns and rows of each piece.
    fn add_parts(&self, block: usize, [columns, rows]: [Range<usize>; 2], parts: &mut Vec<Part>) {
        let first = parts.len();
        for y in rows {
            for x in columns.clone() {
                let Some(piece) = self.cells[y * self.size[0] + x].checked_sub(1) else { continue };
                let known = parts[first..].iter().position(|part| part.piece == piece);
                let place = known.map_or(parts.len(), |k| first + k);
                if known.is_none() {
                    parts.push(Part { piece, block, cells: 0.0, sum: DVec2::ZERO });
                }
                parts[place].cells += 1.0;
                parts[place].sum += DVec2::new(x as f64 + 0.5, y as f64 + 0.5);
            }
        }
    }
}

/// Some cells of a piece, side by side within a block.
struct Part {
    piece: u32,
    /// Number of the block.
    block: usize,
    /// Their number.
    cells: f64,
    /// Sum of their middles, in cells.
    sum: DVec2,
}

/// A range in parts of one length, the last of which may be shorter.
fn spans(range: Range<usize>, length: usize) -> impl Iterator<Item = Range<usize>> {
    range.clone().step_by(length).map(move |from| from..(from + length).min(range.end))
}
