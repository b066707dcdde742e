//! What an inner reveal sees of the glass, and through it of the outside: the same at every hour and for every glass.

use std::f64::consts::PI;

use glam::{DVec2, DVec3};
use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{InnerFacet, Way};

use crate::window::inner_glass::place_of_angle;
use crate::window::inner_lobes::cell_of;
use crate::window::inner_wall::InnerWall;
use crate::window::model::WindowModel;
use crate::window::outer_wall::OuterWall;
use crate::window::piece_raster::{Block, Raster};

// What the values cost was measured with the demo of 165 pieces in three walls at three hours.

/// Blocks by which stone sees the glass, about. Sixteen times as many, with [`NEAR`] at 6, change the light of the
/// nodes by 0.6 to 2 % in the mean and of half of them by up to 4 %, and take seven times as long.
const BLOCKS: f64 = 150.0;
/// Stone nearer to a block than this many of its sides sees its cells one by one. Beside that finer division, half
/// of the nodes are within 4.2 % with 2, 5.4 % with 1 and 2.8 % with 4.
const NEAR: f64 = 2.0;
/// Rows of the parts into which directions outside are divided, and the height of each, degrees. Beside parts of
/// 2.5°, the light of the nodes is within 0.7 % in the mean with 5°, and 1.8 % with 10°.
const ROWS: usize = 36;
const PART_DEG: f64 = 180.0 / ROWS as f64;

/// A part of a piece that a fine patch of stone sees, and what is behind it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SeenGlass {
    pub(crate) piece: u32,
    /// Of [`InnerView::sources`].
    pub(crate) source: u32,
    /// Form factor, times what bars and mesh let by.
    pub(crate) form: f32,
    /// Place of the angle of incidence among those at which transmittances are known.
    pub(crate) angle: f32,
}

/// A piece that a fine patch of stone sees, without regard to what is behind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SeenPiece {
    pub(crate) piece: u32,
    /// Form factor.
    pub(crate) form: f32,
    /// First of its [`SeenPart`]s, and the one after its last.
    parts: [u32; 2],
}

/// What lies of a piece in one cell of directions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SeenPart {
    /// Form factor.
    pub(crate) form: f32,
    /// Direction cosines along the glass of the line of sight outward.
    pub(crate) along: [f32; 2],
}

/// Where light comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Source {
    /// Middle directions of the parts of a small part of the sky or ground.
    Outside([RoomVector; 2]),
    /// A fine patch of the outer reveal or the overhang.
    Stone(usize),
}

/// The glass as the fine patches of the inner reveal see it.
#[derive(Clone, Debug)]
pub(crate) struct InnerView {
    raster: Raster,
    pub(crate) sources: Vec<Source>,
    /// For each fine patch, by piece.
    pub(crate) seen: Vec<Vec<SeenGlass>>,
    pub(crate) pieces: Vec<Vec<SeenPiece>>,
    parts: Vec<SeenPart>,
}

impl InnerView {
    pub(crate) fn new(wall: &InnerWall, outer: Option<&OuterWall>, model: &WindowModel) -> Self {
        let raster = Raster::new(wall, model);
        let blocks = raster.blocks((wall.wall.outline.area_m2() / BLOCKS).sqrt());
        let mut view =
            Self { raster, sources: Vec::new(), seen: Vec::new(), pieces: Vec::new(), parts: Vec::new() };
        let mut sources = Sources::new();
        let [mut behind, mut toward] = [Sums::default(), Sums::default()];
        for (patch, facet) in wall.facets.iter().enumerate() {
            let place = Place { wall, outer, facet, patch };
            let (mut seen, mut pieces) = (Vec::new(), Vec::new());
            for of_piece in blocks.chunk_by(|a, b| a.piece == b.piece) {
                place.sum(of_piece, &mut sources, &mut behind, &mut toward);
                let piece = of_piece[0].piece;
                seen.extend(behind.take().map(|(source, sum)| SeenGlass {
                    piece,
                    source: source as u32,
                    form: sum.form as f32,
                    angle: place_of_angle(-sum.mean()[2]) as f32,
                }));
                let (first, mut form) = (view.parts.len() as u32, 0.0);
                view.parts.extend(toward.take().map(|(_, sum)| {
                    form += sum.form;
                    let [x, y, _] = sum.mean().as_vec3().to_array();
                    SeenPart { form: sum.form as f32, along: [x, y] }
                }));
                if form > 0.0 {
                    let parts = [first, view.parts.len() as u32];
                    pieces.push(SeenPiece { piece, form: form as f32, parts });
                }
            }
            view.seen.push(seen);
            view.pieces.push(pieces);
        }
        view.sources = sources.all;
        view
    }

    /// The piece at a point of the glass.
    pub(crate) fn piece_at(&self, at: DVec2) -> Option<usize> {
        self.raster.piece_at(at)
    }

    /// What a fine patch sees of a piece, by direction.
    pub(crate) fn parts(&self, of: &SeenPiece) -> &[SeenPart] {
        &self.parts[of.parts[0] as usize..of.parts[1] as usize]
    }
}

/// Sums by number, found without a search; few of many numbers are in use at a time.
#[derive(Default)]
struct Sums {
    found: Vec<(usize, Sum)>,
    /// For each number its place in the list, if it is there.
    places: Vec<usize>,
}

/// A form factor, and the same times the direction of sight.
#[derive(Clone, Copy, Default)]
struct Sum {
    form: f64,
    toward: DVec3,
}

impl Sum {
    /// The mean direction, not of length one.
    fn mean(&self) -> DVec3 {
        self.toward / self.form.max(1e-300)
    }
}

impl Sums {
    fn add(&mut self, number: usize, form: f64, toward: RoomVector) {
        if number >= self.places.len() {
            self.places.resize(number + 1, 0);
        }
        let known = self.found.get(self.places[number]).is_some_and(|(other, _)| *other == number);
        if !known {
            self.places[number] = self.found.len();
            self.found.push((number, Sum::default()));
        }
        let sum = &mut self.found[self.places[number]].1;
        sum.form += form;
        sum.toward += DVec3::from(toward.to_array()) * form;
    }

    /// Empties the list, in the order in which the numbers came.
    fn take(&mut self) -> impl Iterator<Item = (usize, Sum)> {
        self.found.drain(..)
    }
}

/// Numbers the sources that are seen.
struct Sources {
    all: Vec<Source>,
    /// One more than the number of each part of the outside, then of each patch of stone; 0 if it was not seen yet.
    numbers: Vec<usize>,
    /// Parts of the outside side by side in each row, from the lowest.
    columns: [usize; ROWS],
}

impl Sources {
    fn new() -> Self {
        let middle = |row: usize| (row as f64 + 0.5) * PART_DEG - 90.0;
        let columns = |row| (ROWS as f64 * middle(row).to_radians().cos()).ceil().max(2.0) as usize;
        Self { all: Vec::new(), numbers: Vec::new(), columns: std::array::from_fn(columns) }
    }

    fn outside(&mut self, toward: RoomVector) -> usize {
        let [x, y, z] = toward.to_array();
        let altitude = y.clamp(-1.0, 1.0).asin().to_degrees();
        let bearing = x.atan2(-z).to_degrees();
        let row = (((altitude + 90.0) / PART_DEG) as usize).min(ROWS - 1);
        let columns = self.columns[row];
        let width = 180.0 / columns as f64;
        let column = (((bearing + 90.0) / width).max(0.0) as usize).min(columns - 1);
        self.number(row * ROWS + column, || {
            let middle = (column as f64 + 0.5) * width - 90.0;
            let low = row as f64 * PART_DEG - 90.0;
            Source::Outside([0.25, 0.75].map(|share| RoomVector::toward_sky(middle, low + share * PART_DEG)))
        })
    }

    fn stone(&mut self, patch: usize) -> usize {
        self.number(ROWS * ROWS + patch, || Source::Stone(patch))
    }

    fn number(&mut self, key: usize, source: impl FnOnce() -> Source) -> usize {
        if key >= self.numbers.len() {
            self.numbers.resize(key + 1, 0);
        }
        if self.numbers[key] == 0 {
            self.all.push(source());
            self.numbers[key] = self.all.len();
        }
        self.numbers[key] - 1
    }
}

/// A fine patch that looks.
struct Place<'a> {
    wall: &'a InnerWall,
    outer: Option<&'a OuterWall>,
    facet: &'a InnerFacet,
    patch: usize,
}

impl Place<'_> {
    /// Sums what it sees of a piece's blocks: by source, and without regard to that by cell of directions.
    fn sum(&self, blocks: &[Block], sources: &mut Sources, behind: &mut Sums, toward: &mut Sums) {
        let mut add = |at: DVec2, area: f64| {
            let Some((ray, form)) = self.form(at, area) else { return };
            toward.add(cell_of(ray), form, ray);
            let (source, passed) = self.source(at, ray, sources);
            behind.add(source, form * passed, ray);
        };
        for block in blocks {
            let away = (block.middle - DVec2::new(self.facet.middle[0], self.facet.middle[1])).length();
            if away.hypot(self.facet.middle[2]) > NEAR * block.side {
                add(block.middle, block.area);
            } else {
                block.cells.iter().for_each(|&(at, area)| add(at, area));
            }
        }
    }

    /// Direction to a small part of the glass, and its form factor; `None` if it is not seen.
    fn form(&self, at: DVec2, area: f64) -> Option<(RoomVector, f64)> {
        let ray = RoomPoint::new(at.x, at.y, 0.0) - self.facet.middle;
        let far = ray.length();
        let toward = ray * (1.0 / far.max(1e-9));
        let (leaving, arriving) = (-toward[2], self.facet.normal.dot(toward));
        if leaving <= 1e-6 || arriving <= 0.0 {
            return None;
        }
        let notched = !self.wall.wall.outline.is_convex();
        if notched && self.wall.opening.inward(WallPoint::new(at.x, at.y), -toward) != Way::Patch(self.patch)
        {
            return None;
        }
        Some((toward, leaving * arriving * area / (PI * far * far)))
    }

    /// Number of what is behind a point of the glass, and the share of its light that bars and mesh let by.
    fn source(&self, at: DVec2, toward: RoomVector, sources: &mut Sources) -> (usize, f64) {
        let Some(outer) = self.outer else { return (sources.outside(toward), 1.0) };
        match outer.opening.outward(WallPoint::new(at.x, at.y), toward) {
            Way::Patch(patch) => (sources.stone(patch), outer.openness_to(patch, toward)),
            Way::Open => (sources.outside(toward), outer.openness(toward)),
        }
    }
}
