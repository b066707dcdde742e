//! The wall before a window's glass, as a picture needs it: what is the same at every hour.

use plane::{PanelOnWall, PanelPoint, RoomPoint, RoomVector, WallPoint};
use reveal::{Face, Opening, OuterResponse, OuterSides, Patches, Way};
use scene::{ResolvedWall, ResolvedWindow};
use spectra::Spectrum;

use crate::light::field::{DirectionField, Eye};
use crate::shared::constants::{STONE_COLUMNS, STONE_ROWS};
use crate::window::region::Bounds;

/// Size of the cells into which the outside is divided for the light on the stone and behind it, degrees. With a
/// third of it, light on the pieces changes by 1.9 % in the mean and light inside by 0.5 %; with twice as much, that
/// inside differs by 1 % (the demo of 165 pieces behind a reveal and a canopy, three hours).
const CELL_DEG: f64 = 4.5;
/// Places across and up the glass at which the light from outside is known. Three times as many each way change the
/// light on the pieces by 0.2 % in the mean, on half of them by up to 0.9 %; from half as many it differs by 1.9 %
/// and 2.9 % (the same window).
const PLACES: [usize; 2] = [8, 12];
/// Distance of an edge that is nowhere in the picture, m.
const NOWHERE_M: f64 = 1e3;

/// A cell of the outside.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell {
    pub(crate) toward: RoomVector,
    /// Weighted by the cosine to the normal of the glass, sr.
    pub(crate) projected_sr: f64,
    /// Share of its light that bars and mesh let by.
    pub(crate) openness: f64,
    bearings_deg: [f64; 2],
    altitudes_deg: [f64; 2],
}

/// Outer reveal, overhang, bars and mesh. Lengths in m, in the frame of the glass.
///
/// Light is exchanged among few patches, and each fine patch gathers it, as for the figures.
#[derive(Clone, Debug)]
pub(crate) struct OuterWall {
    pub(crate) wall: ResolvedWall,
    pub(crate) placement: PanelOnWall,
    pub(crate) cells: Vec<Cell>,
    pub(crate) opening: Opening,
    pub(crate) few: Opening,
    pub(crate) sides: OuterSides,
    /// Of the fine patches and of the few to the cells.
    pub(crate) responses: [OuterResponse; 2],
    /// What each fine patch sees of the few, row by row.
    pub(crate) factors: Vec<f64>,
    /// What each fine patch belongs to: those of the reveal, then those of the overhang.
    pub(crate) faces: Vec<Face>,
    pub(crate) of_reveal: usize,
    /// Share of the light that bars and mesh let by between the overhang and the reveal.
    pub(crate) below: f64,
    /// For each of [`PLACES`], row by row from the lowest, what it sees in each cell: 0 the outside, or one
    /// more than the number of a fine patch.
    pub(crate) ways: Vec<Vec<u16>>,
    /// The box around the glass.
    glass: [WallPoint; 2],
}

/// What one eye sees of the wall through the glass.
#[derive(Clone, Debug, Default)]
pub(crate) struct StoneSeen {
    /// The eye, and the bounds of the panel.
    pub(crate) from: Option<(Eye, Bounds)>,
    /// On a grid over the bounds of the direction field, row by row from the lowest.
    pub(crate) nodes: Vec<SeenNode>,
}

/// A node of that grid.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SeenNode {
    /// The fine patch nearest to it; `None` if none is seen.
    pub(crate) patch: Option<usize>,
    /// Distance to the edge of the stone on the panel, mm; negative where stone is seen.
    pub(crate) distance_mm: f32,
    /// Share of the light that bars and mesh let by.
    pub(crate) openness: f32,
}

impl OuterWall {
    /// The wall of a window, if any of it stands before the glass.
    pub(crate) fn before(window: &ResolvedWindow) -> Option<&ResolvedWall> {
        window.wall.as_ref().filter(|wall| {
            let depths = &wall.depths;
            depths.outer.depth_m > 0.0 || depths.overhang.is_some() || !wall.guards.is_empty()
        })
    }

    /// `None` if there is nothing before the glass.
    pub(crate) fn new(window: &ResolvedWindow) -> Option<Self> {
        let wall = Self::before(window)?;
        let depths = &wall.depths;
        let [opening, few] =
            [Patches::Fine, Patches::Few].map(|p| Opening::new(wall.outline.clone(), depths, p).ok());
        let (opening, few) = (opening?, few?);
        let cells = cells(wall);
        let directions: Vec<RoomVector> = cells.iter().map(|cell| cell.toward).collect();
        let sides = few.outer_sides();
        let faces: Vec<Face> = opening.outer_surfaces().into_iter().map(|(_, face)| face).collect();
        let glass = plane::bounds(wall.outline.corners())?;
        Some(Self {
            responses: [opening.outer_response(&directions), sides.response(&directions)],
            factors: few.outer_seen_by(&opening),
            of_reveal: faces.iter().filter(|face| **face != Face::Overhang).count(),
            below: below(wall, &opening),
            ways: ways(&opening, glass, &cells),
            placement: window.placement,
            wall: wall.clone(),
            cells,
            opening,
            few,
            sides,
            faces,
            glass,
        })
    }

    /// What a face reflects.
    pub(crate) fn reflectance(&self, face: Face) -> Spectrum {
        match face {
            Face::Overhang => self.wall.overhang,
            Face::Sill => self.wall.sills[0],
            Face::Jamb | Face::Head => self.wall.sides[0],
        }
    }

    /// Share of the light of a patch that bars and mesh let by toward the glass.
    pub(crate) fn openness_to(&self, patch: usize, toward: RoomVector) -> f64 {
        if patch < self.of_reveal { 1.0 } else { openness(&self.wall, toward) }
    }

    /// Share of the light from a direction that bars and mesh let by.
    pub(crate) fn openness(&self, toward: RoomVector) -> f64 {
        openness(&self.wall, toward)
    }

    /// How far behind the glass the edge of the stone lies, mm.
    pub(crate) fn depth_mm(&self) -> f64 {
        1000.0 * self.wall.depths.outer.depth_m
    }

    /// A point of the panel on the glass.
    pub(crate) fn on_glass(&self, point: PanelPoint) -> WallPoint {
        self.placement.wall_from_panel(point)
    }

    /// The point of the panel at a point of the glass.
    pub(crate) fn on_panel(&self, point: WallPoint) -> PanelPoint {
        self.placement.panel_from_wall(point)
    }

    /// A little more than the glass, as a polygon.
    pub(crate) fn around_glass(&self) -> [WallPoint; 4] {
        const MORE_M: f64 = 0.1;
        let [low, high] = self.glass.map(|corner| corner.to_array());
        let [x0, y0] = low.map(|v| v - MORE_M);
        let [x1, y1] = high.map(|v| v + MORE_M);
        [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(WallPoint::from)
    }

    /// Side of a cell, in direction cosines.
    pub(crate) fn cell_side(&self) -> f64 {
        CELL_DEG.to_radians()
    }

    /// Middles of the places of [`Self::ways`].
    pub(crate) fn places(&self) -> impl Iterator<Item = WallPoint> {
        let [low, high] = self.glass;
        (0..PLACES[0] * PLACES[1]).map(move |number| place(number, low, high))
    }

    /// Four of the places around a point of the panel with their weights: linear between them, and beyond the
    /// outermost.
    pub(crate) fn around(&self, point: PanelPoint) -> [(usize, f64); 4] {
        let at = self.on_glass(point);
        let [x, y] = [0, 1].map(|k| {
            let (low, high) = (self.glass[0][k], self.glass[1][k]);
            let place = (at[k] - low) / (high - low) * PLACES[k] as f64 - 0.5;
            let first = place.floor().clamp(0.0, PLACES[k] as f64 - 2.0);
            (first as usize, place - first)
        });
        [[0, 0], [1, 0], [0, 1], [1, 1]].map(|[i, j]: [usize; 2]| {
            let weight = |(_, share): (usize, f64), far: usize| if far == 1 { share } else { 1.0 - share };
            ((y.0 + j) * PLACES[0] + x.0 + i, weight(x, i) * weight(y, j))
        })
    }

    /// What an eye sees of the wall through a panel within these bounds.
    pub(crate) fn seen_from(&self, eye: Eye, panel: Bounds) -> StoneSeen {
        let [x, y, z] = eye.position_mm.to_array();
        let foot = self.on_glass(PanelPoint::new(x, y));
        // An eye within the inner reveal sees as from its end.
        let away = (z / 1000.0).max(self.wall.depths.inner.depth_m + 0.002);
        let split = self
            .opening
            .from_eye(RoomPoint::new(foot[0], foot[1], away))
            .map(|view| view.through(self.wall.outline.corners()))
            .unwrap_or_default();
        let boxed = |ring: Vec<WallPoint>| plane::bounds(&ring).map(|bounds| (bounds, ring));
        let open: Vec<_> = split.open.into_iter().filter_map(boxed).collect();
        let (patches, stone): (Vec<usize>, Vec<_>) =
            split.patches.into_iter().filter_map(|(patch, ring)| Some((patch, boxed(ring)?))).unzip();
        let field = DirectionField::bounds_around(panel);
        let [width, height] = field.size();
        let mut nodes = Vec::with_capacity((STONE_COLUMNS * STONE_ROWS) as usize);
        for row in 0..STONE_ROWS {
            for column in 0..STONE_COLUMNS {
                let share = |k: u32, of: u32| f64::from(k) / f64::from(of - 1);
                let point = PanelPoint::new(
                    field.min[0] + width * share(column, STONE_COLUMNS),
                    field.min[1] + height * share(row, STONE_ROWS),
                );
                let at = self.on_glass(point);
                let toward = RoomVector::from(eye.direction_through(point).to_array());
                let (_, to_open) = nearest(&open, at);
                let (patch, to_stone) = nearest(&stone, at);
                let patch = patch.map(|k| patches[k]);
                nodes.push(SeenNode {
                    patch,
                    distance_mm: (1000.0 * (to_stone - to_open)) as f32,
                    openness: self.openness(toward) as f32,
                });
            }
        }
        StoneSeen { from: Some((eye, panel)), nodes }
    }
}

/// The polygon nearest to a point, and how far away it is, m; 0 inside.
fn nearest(rings: &[([WallPoint; 2], Vec<WallPoint>)], at: WallPoint) -> (Option<usize>, f64) {
    let (mut found, mut least) = (None, NOWHERE_M);
    for (k, ([low, high], ring)) in rings.iter().enumerate() {
        let beside = [0, 1].map(|k| (low[k] - at[k]).max(at[k] - high[k]).max(0.0));
        if beside[0].hypot(beside[1]) >= least {
            continue;
        }
        let away = if plane::contains([ring], at) { 0.0 } else { plane::distance_to_edge([ring], at) };
        if away < least {
            (found, least) = (Some(k), away);
        }
    }
    (found, least)
}

fn openness(wall: &ResolvedWall, toward: RoomVector) -> f64 {
    wall.guards.iter().map(|layer| layer.openness(toward)).product()
}

/// What bars and mesh let by from the middle of the opening toward the middle of the overhang.
fn below(wall: &ResolvedWall, opening: &Opening) -> f64 {
    let Some(over) = &wall.depths.overhang else { return 1.0 };
    let Some([low, high]) = plane::bounds(&opening.outer_face()) else { return 1.0 };
    let up = over.above_m + 0.5 * (high[1] - low[1]);
    openness(wall, RoomVector::new(0.0, up, -0.5 * over.depth_m).unit())
}

/// The half space before the wall in cells of about the same solid angle, none of which crosses the horizon.
fn cells(wall: &ResolvedWall) -> Vec<Cell> {
    let mut cells = Vec::new();
    let rows = (180.0 / CELL_DEG) as usize;
    for row in 0..rows {
        let altitudes_deg = [row, row + 1].map(|k| CELL_DEG * k as f64 - 90.0);
        let middle = 0.5 * (altitudes_deg[0] + altitudes_deg[1]);
        let columns = (180.0 / CELL_DEG * middle.to_radians().cos()).ceil().max(2.0);
        // The integral of cos² over the altitudes.
        let [a, b] = altitudes_deg.map(f64::to_radians).map(|h| 0.5 * h + 0.25 * (2.0 * h).sin());
        for column in 0..columns as usize {
            let bearings_deg = [column, column + 1].map(|k| 180.0 * k as f64 / columns - 90.0);
            let [from, to] = bearings_deg.map(|bearing| bearing.to_radians().sin());
            let toward = RoomVector::toward_sky(0.5 * (bearings_deg[0] + bearings_deg[1]), middle);
            cells.push(Cell {
                toward,
                projected_sr: (b - a) * (to - from),
                openness: openness(wall, toward),
                bearings_deg,
                altitudes_deg,
            });
        }
    }
    cells
}

/// The middle of one of [`PLACES`].
fn place(number: usize, low: WallPoint, high: WallPoint) -> WallPoint {
    let at = [number % PLACES[0], number / PLACES[0]];
    WallPoint::from([0, 1].map(|k| low[k] + (high[k] - low[k]) * (at[k] as f64 + 0.5) / PLACES[k] as f64))
}

/// What each of [`PLACES`] sees in each cell.
fn ways(opening: &Opening, [low, high]: [WallPoint; 2], cells: &[Cell]) -> Vec<Vec<u16>> {
    let outline = opening.outline().corners();
    let middle = plane::area_and_centroid(outline).map_or(low, |(_, middle)| middle);
    (0..PLACES[0] * PLACES[1])
        .map(|number| {
            let at = inward(outline, place(number, low, high), middle);
            let way = |(k, cell): (usize, &Cell)| {
                // Another part of every cell for every place.
                let share = |step: f64| ((number + 7 * k) as f64 * step + 0.5).fract();
                let within = |[from, to]: [f64; 2], share: f64| from + (to - from) * share;
                // The plastic number spreads pairs evenly (Roberts 2018).
                let toward = RoomVector::toward_sky(
                    within(cell.bearings_deg, share(0.754_877_666_246_692_8)),
                    within(cell.altitudes_deg, share(0.569_840_290_998_053_3)),
                );
                match opening.outward(at, toward) {
                    Way::Open => 0,
                    Way::Patch(patch) => patch as u16 + 1,
                }
            };
            cells.iter().enumerate().map(way).collect()
        })
        .collect()
}

/// A point itself if it lies within the outline, or the first one on its way to the middle that does.
fn inward(outline: &[WallPoint], at: WallPoint, middle: WallPoint) -> WallPoint {
    let steps = (0..20).map(|k| at + (middle - at) * (f64::from(k) / 20.0));
    steps.into_iter().find(|p| plane::contains([outline], *p)).unwrap_or(middle)
}
