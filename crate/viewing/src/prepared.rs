//! A prepared place in a room: the contribution of every direction outside, by wavelength and piece.
//!
//! For a fixed window, room and point, light is linear in the sky. The geometry is computed once: the window as
//! seen from the point, in cells of small angle cut along the edges of skyline and trees, and the room's response to light
//! from each of between five and six hundred directions. An instant is then a sum over directions, and a change of one piece changes only that
//! piece's rows.

use std::sync::Arc;

use daylight::{Direction, Horizon};
use plane::{RoomPoint, RoomVector, WallPoint};
use scene::{Resolved, WorkingPlane};
use spectra::Spectrum;

use crate::box_room::bearing_and_altitude_deg;
use crate::error::ViewingError;
use crate::geometry::{PieceShape, WindowWall, area_m2};
use crate::glazing::{Glazing, LEAD_REFLECTANCE, Pane};
use crate::landing::{PieceSample, piece_samples};
use crate::lobes::Lobes;
use crate::mesh::RoomMesh;
use crate::outdoors::{Grazing, OutsideCell, outside_cells};
pub(crate) use crate::room_response::{COLUMNS, RECEIVERS};
use crate::room_response::{Receiver, Reflectances, RoomResponse};
use crate::view_edges::ViewEdges;
use crate::view_regions::ViewRegions;
use crate::walled::Walled;
use crate::walled_rows::{PieceLevels, WalledRows};
use crate::window_view::{ViewGrid, ViewPart};

/// Approximate number of cells into which the window is cut as seen from the point.
const VIEW_CELLS: f64 = 700.0;
/// Finest and coarsest step of those cells, degrees.
const VIEW_STEP_DEG: [f64; 2] = [1.25, 3.5];
/// Fine cells along each side of a cell.
const FINE: usize = 2;
/// Approximate number of samples over all pieces for spreading light in the room.
const ROOM_SAMPLES: f64 = 300.0;
/// Their step in a wall with depth, relative to that in others.
const STEP_IN_WALL: f64 = 0.7;

/// A direction through the window as seen from the point. It stands for a cell in which the view outside is of one
/// kind, and for the light of one piece or of several.
#[derive(Clone, Debug)]
pub(crate) struct ViewCell {
    pub direction: RoomVector,
    pub world: Direction,
    /// π × form factor of all glass in the cell, by receiver.
    pub form: [f64; RECEIVERS],
    /// Regular transmittance of clear glass in this direction.
    pub clear: Spectrum,
    /// In a wall with depth, the window, and the patch outside that is seen if it is not the outside itself.
    pub behind: Option<(usize, Option<usize>)>,
}

/// The part of a piece in one view cell.
#[derive(Clone, Debug)]
pub(crate) struct ViewEntry {
    pub cell: usize,
    /// π × form factor, by receiver.
    pub form: [f64; RECEIVERS],
    /// Solid angle, sr.
    pub solid_angle: f64,
    /// Regular transmittance in the cell's direction.
    pub through: Spectrum,
}

/// A piece as seen from the point, and what it contributes to the room.
#[derive(Clone, Debug)]
pub(crate) struct PieceView {
    pub entries: Vec<ViewEntry>,
    /// Form factor of the whole piece, by receiver; what it scatters passes the leads on one side.
    pub form: [f64; RECEIVERS],
    /// Length of path in the glass relative to its thickness, mean over the view.
    pub path: f64,
    pub samples: Vec<PieceSample>,
    /// Number of samples of the pieces before this one.
    pub samples_before: usize,
    /// Light that unit exitance of the piece, spread evenly, gives by way of the room: one entry per column, before
    /// the opening's own reflection.
    pub spread: [Spectrum; COLUMNS],
    /// In a wall with depth, how light reaches it, and the parts through which the point sees the outside.
    pub levels: Option<Box<PieceLevels>>,
    pub open: Vec<Vec<WallPoint>>,
    /// The parts of it that the point sees past stone.
    pub visible: Vec<Vec<WallPoint>>,
}

/// A direction outside and the light it gives by way of the room for unit radiance, one entry per column.
#[derive(Clone, Debug)]
pub(crate) struct RoomCell {
    pub cell: OutsideCell,
    /// The directions outside that stand for it, and their shares: several if edges cross it.
    pub world: Vec<(Direction, f64)>,
    /// How its light is divided among its directions by clear glass, if it is near grazing. All panes divide it so,
    /// though each lets through a share of its own.
    pub grazing: Option<Grazing>,
    pub rows: [Spectrum; COLUMNS],
    /// The same with clear glass.
    pub clear: [Spectrum; COLUMNS],
}

/// A place in a scene, ready for any instant.
#[derive(Clone, Debug)]
pub struct Prepared {
    pub(crate) wall: WindowWall,
    pub(crate) surfaces: Reflectances,
    pub(crate) receivers: [Receiver; RECEIVERS],
    pub(crate) glazing: Glazing,
    pub(crate) clear: Pane,
    pub(crate) response: RoomResponse,
    pub(crate) view: Vec<ViewCell>,
    pub(crate) view_step_deg: f64,
    /// The edges of the view outside, along which the view and the room's directions are cut.
    pub(crate) edges: ViewEdges,
    pub(crate) pieces: Vec<PieceView>,
    pub(crate) room: Vec<RoomCell>,
    /// Windows with depth, by window.
    pub(crate) walled: Vec<Option<WalledRows>>,
    /// Step between samples of a piece in a wall with depth, m.
    pub(crate) sample_step_m: f64,
    /// What pieces scatter forward.
    pub(crate) lobes: Lobes,
    /// The factor b of the opening's reflection, by receiver: as glazed, and with clear glass.
    pub(crate) opening: [Vec<Spectrum>; 2],
    /// Name of the place in its scene; `None` for the first.
    pub(crate) place: Option<String>,
    /// The working plane of the place.
    pub(crate) plane: Option<PreparedPlane>,
}

/// The prepared working plane of a place.
#[derive(Clone, Debug)]
pub(crate) struct PreparedPlane {
    pub plane: WorkingPlane,
    pub at: Box<Prepared>,
}

impl Prepared {
    /// Prepares a place of a scene: the named one, or the first.
    ///
    /// # Errors
    /// [`ViewingError::UnknownPlace`], [`ViewingError::PlaceOutside`].
    pub fn new(resolved: &Resolved, place: Option<&str>) -> Result<Self, ViewingError> {
        let Some(eye) = resolved.eye_m(place) else {
            return Err(ViewingError::UnknownPlace {
                found: place.unwrap_or_default().to_owned(),
                known: resolved.scene.places.iter().map(|p| p.name.clone()).collect(),
            });
        };
        let eye = resolved.in_room(eye);
        let wall = WindowWall::new(resolved);
        if !wall.holds(eye) {
            return Err(ViewingError::PlaceOutside {
                place: place
                    .or(resolved.scene.places.first().map(|p| p.name.as_str()))
                    .unwrap_or("")
                    .to_owned(),
                found_m: eye,
                size_m: resolved.room.size_m,
            });
        }
        let mut prepared = Self::at_point(resolved, wall, eye);
        prepared.place = place.map(str::to_owned);
        prepared.set_working_plane(resolved);
        Ok(prepared)
    }

    /// Prepares a point of a scene with this wall, which holds it, and without a working plane.
    pub(crate) fn at_point(resolved: &Resolved, wall: WindowWall, point: RoomPoint) -> Self {
        let makeups = resolved.windows.iter().flat_map(|w| w.pieces.iter().map(|p| &p.makeup));
        Self::inside(wall, resolved.room.surfaces, Glazing::new(makeups), point, &resolved.horizon)
    }

    /// Prepares a point inside a room. `glazing` is in the order of `wall.pieces`.
    pub fn at(wall: WindowWall, surfaces: Reflectances, glazing: Glazing, eye: RoomPoint) -> Self {
        Self::inside(wall, surfaces, glazing, eye, &Horizon::default())
    }

    /// The same inside a horizon, whose edges it follows. The light is correct inside any other horizon too, but less
    /// accurate.
    fn inside(
        wall: WindowWall,
        surfaces: Reflectances,
        glazing: Glazing,
        eye: RoomPoint,
        horizon: &Horizon,
    ) -> Self {
        let receivers = [Receiver::vertical(eye), Receiver::horizontal(eye)];
        let mesh = RoomMesh::new(wall.room, &wall.openings, RoomMesh::COARSE_PATCHES);
        let response = RoomResponse::new(mesh, &surfaces, &receivers);
        let glass_area: f64 = wall.pieces.iter().map(|p| p.area_m2).sum();
        let step = (glass_area / ROOM_SAMPLES).sqrt().max(0.02);
        let clear = Pane::clear();
        let mut prepared = Self {
            view: Vec::new(),
            view_step_deg: view_step_deg(eye, &wall),
            edges: ViewEdges::none(),
            pieces: pieces_of(&wall, step),
            room: outside_cells(1)
                .into_iter()
                .map(|cell| RoomCell {
                    world: Vec::new(),
                    grazing: cell.grazing(&clear.optics),
                    cell,
                    rows: [Spectrum::ZERO; COLUMNS],
                    clear: [Spectrum::ZERO; COLUMNS],
                })
                .collect(),
            walled: wall.walled.iter().map(|walled| walled.clone().map(WalledRows::new)).collect(),
            sample_step_m: step,
            clear,
            lobes: Lobes::default(),
            opening: [Vec::new(), Vec::new()],
            place: None,
            plane: None,
            wall,
            surfaces,
            receivers,
            glazing,
            response,
        };
        let edges = ViewEdges::new(horizon, prepared.wall.facing_deg);
        prepared.look_out(edges);
        prepared.spread();
        prepared.spread_walled();
        prepared.reflect();
        prepared
    }

    /// The windows' pieces, one window after the other, and the room around them.
    pub fn wall(&self) -> &WindowWall {
        &self.wall
    }

    /// Computes what depends on the edges of the view outside and on the bearing of the window.
    pub(crate) fn look_out(&mut self, edges: ViewEdges) {
        self.edges = edges;
        for row in &mut self.room {
            let seen = row.cell.seen(&self.edges).into_iter();
            row.world = seen.map(|(d, share)| (world(d, self.wall.facing_deg), share)).collect();
        }
        self.see();
    }

    /// Gives the directions their bearings after the window has turned in a view without edges.
    pub(crate) fn turn(&mut self) {
        let facing_deg = self.wall.facing_deg;
        for row in &mut self.room {
            row.world = vec![(world(row.cell.direction, facing_deg), 1.0)];
        }
        for cell in &mut self.view {
            cell.world = world(cell.direction, facing_deg);
        }
    }

    /// Whether a piece stands in a wall with depth.
    pub(crate) fn is_walled(&self, piece: usize) -> bool {
        self.wall.around(piece).is_some()
    }

    /// Computes the window as seen from the point, and every piece's share of it.
    fn see(&mut self) {
        let sights: Vec<Sight> = (0..=self.wall.walled.len()).map(|slot| self.sight(slot)).collect();
        let views: Vec<_> = sights
            .iter()
            .map(|sight| {
                let walled = sight.walled.as_ref();
                walled.and_then(|walled| walled.opening.from_eye(sight.receivers[0].point_m).ok())
            })
            .collect();
        let mut numbers = std::collections::HashMap::new();
        let mut middles: Vec<RoomVector> = Vec::new();
        self.view.clear();
        for (p, (shape, piece)) in self.wall.pieces.iter().zip(&mut self.pieces).enumerate() {
            let slot = if self.wall.walled.get(shape.window).is_some_and(Option::is_some) {
                shape.window + 1
            } else {
                0
            };
            let sight = &sights[slot];
            piece.open.clear();
            piece.visible.clear();
            let parts: Vec<(Option<usize>, ViewPart)> = match (&sight.grid, &sight.walled, &views[slot]) {
                (Some((grid, regions)), None, _) => shape
                    .light
                    .iter()
                    .flat_map(|l| grid.parts(l, &sight.receivers, FINE, |group| regions.of(group)))
                    .map(|part| (None, part))
                    .collect(),
                (Some((grid, regions)), Some(_), Some(view)) => {
                    let mut parts = Vec::new();
                    for visible in shape.light.iter().flat_map(|l| view.visible(l)) {
                        let split = view.through(&visible);
                        piece.visible.push(visible);
                        for (patch, ring) in &split.patches {
                            let seen = grid.parts(ring, &sight.receivers, FINE, |_| None);
                            parts.extend(seen.into_iter().map(|part| (Some(*patch), part)));
                        }
                        for ring in split.open {
                            let seen = grid.parts(&ring, &sight.receivers, FINE, |group| regions.of(group));
                            parts.extend(seen.into_iter().map(|part| (None, part)));
                            piece.open.push(ring);
                        }
                    }
                    parts
                }
                _ => Vec::new(),
            };
            let own = is_small(&parts).then_some(p);
            piece.entries.clear();
            piece.form = [0.0; RECEIVERS];
            let grid = sight.grid.as_ref().map(|(grid, _)| grid);
            for (grid, (patch, part)) in
                grid.iter().flat_map(|grid| parts.iter().map(move |part| (grid, part)))
            {
                let behind = (slot > 0).then_some((shape.window, *patch));
                let [past, one_side] = self.wall.past_leads(p, part.middle);
                let key = (cell_key(grid, part, own), behind);
                let cell = *numbers.entry(key).or_insert_with(|| {
                    middles.push(RoomVector::ZERO);
                    self.view.push(ViewCell {
                        direction: RoomVector::ZERO,
                        world: Direction { altitude_deg: 0.0, azimuth_deg: 0.0 },
                        form: [0.0; RECEIVERS],
                        clear: Spectrum::ZERO,
                        behind,
                    });
                    middles.len() - 1
                });
                middles[cell] += part.middle * part.form_factors.iter().sum::<f64>();
                let entry = match piece.entries.iter().position(|e| e.cell == cell) {
                    Some(known) => &mut piece.entries[known],
                    None => {
                        let form = [0.0; RECEIVERS];
                        piece.entries.push(ViewEntry {
                            cell,
                            form,
                            solid_angle: 0.0,
                            through: Spectrum::ZERO,
                        });
                        let last = piece.entries.len() - 1;
                        &mut piece.entries[last]
                    }
                };
                for (r, whole) in piece.form.iter_mut().enumerate() {
                    let f = part.form_factors[r];
                    *whole += one_side * f;
                    entry.form[r] += std::f64::consts::PI * past * f;
                    self.view[cell].form[r] += std::f64::consts::PI * past * f;
                }
                entry.solid_angle += std::f64::consts::PI * past * part.facing / (-part.middle[2]).max(1e-6);
            }
        }
        for (cell, middle) in self.view.iter_mut().zip(middles) {
            cell.direction =
                if middle.length() > 0.0 { middle.unit() } else { RoomVector::new(0.0, 0.0, -1.0) };
            cell.world = world(cell.direction, self.wall.facing_deg);
            cell.clear = self.clear.optics.regular(-cell.direction[2]);
        }
        for (p, piece) in self.pieces.iter_mut().enumerate() {
            let pane = &self.glazing.panes[self.glazing.of_piece[p]];
            for entry in &mut piece.entries {
                entry.through = pane.optics.regular(-self.view[entry.cell].direction[2]);
            }
            piece.path = mean_path(&piece.entries, &self.view, pane);
        }
    }

    /// How the windows without depth are seen, slot 0, or one with depth, from slot 1 on.
    fn sight(&self, slot: usize) -> Sight {
        let walled = slot.checked_sub(1).and_then(|window| self.wall.walled[window].clone());
        let place = |receiver: &Receiver| Receiver {
            point_m: walled.as_ref().map_or(receiver.point_m, |walled| walled.before_glass(receiver.point_m)),
            normal: receiver.normal,
        };
        let receivers = [place(&self.receivers[0]), place(&self.receivers[1])];
        let own = |window: usize| match slot {
            0 => self.wall.walled.get(window).is_none_or(Option::is_none),
            _ => walled.is_some() && window + 1 == slot,
        };
        let pieces = self.wall.pieces.iter().filter(|piece| own(piece.window));
        let all = pieces.flat_map(|p| p.light.iter().flatten());
        // Fine cells tell where the light of a cell mainly comes from.
        let grid = ViewGrid::new(receivers[0].point_m, all, 0.5 * self.view_step_deg);
        let grid = grid.map(|grid| {
            let regions = ViewRegions::new(&grid, &self.edges, FINE);
            (grid, regions)
        });
        Sight { walled, receivers, grid }
    }

    /// Distributes every direction's light through every piece onto the room's surfaces, and from there to the
    /// receivers.
    fn spread(&mut self) {
        let mut by_pane: Vec<Vec<usize>> = vec![Vec::new(); self.glazing.panes.len()];
        for (p, &pane) in self.glazing.of_piece.iter().enumerate() {
            if !self.is_walled(p) {
                by_pane[pane].push(p);
            }
        }
        self.lobes = Lobes::new(self.room.iter().map(|row| &row.cell));
        for (at_row, row) in self.room.iter_mut().enumerate() {
            let weight = row.cell.projected_sr;
            let grazing = row.grazing.as_ref();
            let cosine = -row.cell.direction[2];
            let mut everything = [Spectrum::ZERO; COLUMNS];
            for (pane, pieces) in by_pane.iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()) {
                let mut landed = [Spectrum::ZERO; COLUMNS];
                // The same without regard to how much of each part of the cell passes regularly.
                let mut evenly = [Spectrum::ZERO; COLUMNS];
                let scatters = self.glazing.panes[pane].forward().is_some();
                for &p in pieces {
                    let PieceView { samples, samples_before, spread, .. } = &mut self.pieces[p];
                    let [past, one_side] = self.wall.past_leads(p, row.cell.direction);
                    let mut own = [Spectrum::ZERO; COLUMNS];
                    self.response.for_landed(samples, *samples_before, &row.cell, |at, area, h| {
                        add(&mut own, area, h);
                        if let Some(grazing) = grazing {
                            add(&mut landed, past * area * grazing.passed[at], h);
                        }
                    });
                    if grazing.is_none() {
                        add(&mut landed, past, &own);
                    }
                    if scatters {
                        add(&mut evenly, past, &own);
                    }
                    add(spread, one_side * weight * std::f64::consts::FRAC_1_PI, &own);
                }
                if scatters {
                    self.lobes.add_landed(
                        &self.glazing.panes[pane],
                        at_row,
                        row.cell.direction,
                        weight,
                        &evenly,
                    );
                }
                let optics = &self.glazing.panes[pane].optics;
                let mean = grazing.map_or(1.0, |grazing| grazing.mean_to_middle(optics));
                optics.add_regular(cosine, weight * mean, &landed, &mut row.rows);
                add(&mut everything, 1.0, &landed);
            }
            let mean = grazing.map_or(1.0, |grazing| grazing.mean_to_middle(&self.clear.optics));
            self.clear.optics.add_regular(cosine, weight * mean, &everything, &mut row.clear);
        }
    }

    /// The opening's own reflection, by the panes and the lead.
    pub(crate) fn reflect(&mut self) {
        let mut glazed = Spectrum::ZERO;
        let mut glass_area = 0.0;
        if self.wall.walled.iter().any(Option::is_some) {
            self.opening = [None, Some(&self.clear)].map(|clear| {
                let reflectance = opening_reflectance(&self.wall, &self.glazing, clear);
                self.response.opening_factors(&reflectance)
            });
            return;
        }
        for (shape, &pane) in self.wall.pieces.iter().zip(&self.glazing.of_piece) {
            glazed.add_scaled(shape.area_m2, &self.glazing.panes[pane].reflectance_inside);
            glass_area += shape.area_m2;
        }
        let whole = self.wall.opening_area_m2().max(glass_area).max(1e-12);
        let lead = Spectrum::splat(LEAD_REFLECTANCE * (whole - glass_area));
        let clear = self.clear.reflectance_inside * glass_area;
        self.opening =
            [glazed, clear].map(|glass| self.response.opening_factors(&((glass + lead) * (1.0 / whole))));
    }
}

/// Windows as seen from the point, in the frame of their glass.
struct Sight {
    walled: Option<Arc<Walled>>,
    receivers: [Receiver; RECEIVERS],
    grid: Option<(ViewGrid, ViewRegions)>,
}

/// The pieces of a wall before anything is seen through them, cut into samples on a grid of `step_m`.
fn pieces_of(wall: &WindowWall, step_m: f64) -> Vec<PieceView> {
    let mut samples_before = 0;
    let piece = |shape: &PieceShape| {
        let walled = wall.walled.get(shape.window).is_some_and(Option::is_some);
        // Stone cuts what a sample stands for at its edge.
        let step_m = if walled { STEP_IN_WALL * step_m } else { step_m };
        let samples: Vec<PieceSample> = shape.light.iter().flat_map(|l| piece_samples(l, step_m)).collect();
        let view = PieceView {
            entries: Vec::new(),
            form: [0.0; RECEIVERS],
            path: 1.0,
            samples_before,
            spread: [Spectrum::ZERO; COLUMNS],
            levels: None,
            open: Vec::new(),
            visible: Vec::new(),
            samples,
        };
        samples_before += view.samples.len();
        view
    };
    wall.pieces.iter().map(piece).collect()
}

/// Share of the room's light on all openings that comes back out of them, with reveals before the glass. `clear`: one pane
/// in place of all.
pub(crate) fn opening_reflectance(wall: &WindowWall, glazing: &Glazing, clear: Option<&Pane>) -> Spectrum {
    let (mut sum, mut whole) = (Spectrum::ZERO, 0.0);
    for (window, opening) in wall.openings.iter().enumerate() {
        let (mut reflected, mut glass_m2) = (Spectrum::ZERO, 0.0);
        for (p, shape) in wall.pieces.iter().enumerate().filter(|(_, shape)| shape.window == window) {
            let pane = clear.unwrap_or(&glazing.panes[glazing.of_piece[p]]);
            reflected.add_scaled(shape.area_m2, &pane.reflectance_inside);
            glass_m2 += shape.area_m2;
        }
        let walled = wall.walled[window].as_ref();
        let own_m2 = match walled {
            Some(walled) => walled.wall.outline.area_m2(),
            None => area_m2(opening),
        };
        let own_m2 = own_m2.max(glass_m2).max(1e-12);
        reflected += Spectrum::splat(LEAD_REFLECTANCE * (own_m2 - glass_m2));
        reflected *= 1.0 / own_m2;
        let (share, face_m2) = match walled {
            Some(walled) => (walled.returned(reflected), walled.face_m2),
            None => (reflected, own_m2),
        };
        sum.add_scaled(face_m2, &share);
        whole += face_m2;
    }
    sum * (1.0 / whole.max(1e-12))
}

/// `sums += factor · light`, column by column.
fn add(sums: &mut [Spectrum; COLUMNS], factor: f64, light: &[Spectrum]) {
    for (sum, light) in sums.iter_mut().zip(light) {
        sum.add_scaled(factor, light);
    }
}

/// Whether a piece is too small for the cells that it would share: its luminance would be that of its neighbours'
/// surroundings. It then has cells of its own.
fn is_small(parts: &[(Option<usize>, ViewPart)]) -> bool {
    (0..2).all(|k| {
        let lines = parts.iter().map(|(_, part)| part.cell[k]);
        lines.clone().max().unwrap_or(0) - lines.min().unwrap_or(0) <= FINE
    })
}

/// What tells the cell of a part from all others: the small piece that owns it, counted from 1, or 0; its group, or if a
/// small piece owns it and no edge crosses it, only whether it lies above the horizon; its region.
fn cell_key(grid: &ViewGrid, part: &ViewPart, own: Option<usize>) -> [usize; 4] {
    let [column, row] = match (own, part.region) {
        (Some(_), 0) => [0, usize::from(part.cell[1] >= grid.rows_below_horizon())],
        _ => grid.group(part.cell, FINE),
    };
    [own.map_or(0, |piece| piece + 1), column, row, part.region]
}

/// The compass direction of a room-frame vector.
pub(crate) fn world(direction: RoomVector, facing_deg: f64) -> Direction {
    let (bearing_deg, altitude_deg) = bearing_and_altitude_deg(direction);
    Direction { altitude_deg, azimuth_deg: (facing_deg + bearing_deg).rem_euclid(360.0) }
}

/// Step that cuts the windows, as seen from the eye, into about [`VIEW_CELLS`] cells.
fn view_step_deg(eye: RoomPoint, wall: &WindowWall) -> f64 {
    let Some([low, high]) = plane::bounds(wall.pieces.iter().flat_map(|p| p.light.iter().flatten())) else {
        return VIEW_STEP_DEG[1];
    };
    let span = |k: usize| {
        (((high[k] - eye[k]) / eye[2]).atan() - ((low[k] - eye[k]) / eye[2]).atan()).to_degrees().max(0.1)
    };
    (span(0) * span(1) / VIEW_CELLS).sqrt().clamp(VIEW_STEP_DEG[0], VIEW_STEP_DEG[1])
}

pub(crate) fn mean_path(entries: &[ViewEntry], view: &[ViewCell], pane: &Pane) -> f64 {
    let total: f64 = entries.iter().map(|e| e.solid_angle).sum();
    if total <= 0.0 {
        return 1.0;
    }
    entries.iter().map(|e| e.solid_angle * pane.path(-view[e.cell].direction[2])).sum::<f64>() / total
}
