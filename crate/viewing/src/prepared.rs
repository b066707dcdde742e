//! A prepared place in a room: the contribution of every direction outside, by wavelength and piece.
//!
//! For a fixed window, room and point, light is linear in the sky. The geometry is computed once: the window as
//! seen from the point, in cells of small angle cut along the edges of skyline and trees, and the room's response to light
//! from each of between five and six hundred directions. An instant is then a sum over directions, and a change of one piece changes only that
//! piece's rows.

use daylight::{Direction, Horizon};
use plane::{RoomPoint, RoomVector, WallPoint};
use scene::{Resolved, WorkingPlane};
use spectra::Spectrum;

use crate::box_room::bearing_and_altitude_deg;
use crate::error::ViewingError;
use crate::geometry::{PieceShape, WindowWall};
use crate::glazing::{Glazing, Pane};
use crate::landing::{PieceSample, piece_samples};
use crate::lobes::Lobes;
use crate::mesh::RoomMesh;
use crate::outdoors::{Grazing, OutsideCell, outside_cells};
pub(crate) use crate::room_response::{COLUMNS, RECEIVERS};
use crate::room_response::{Receiver, Reflectances, RoomResponse};
use crate::view_edges::ViewEdges;
use crate::walled_rows::{PieceLevels, WalledRows};

/// Approximate number of cells into which the window is cut as seen from the point.
const VIEW_CELLS: f64 = 700.0;
/// Finest and coarsest step of those cells, degrees.
const VIEW_STEP_DEG: [f64; 2] = [1.25, 3.5];
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
    /// Limits of all that it stands for, across and up: metres on the wall per metre of distance from it.
    pub limits: [[f64; 2]; 2],
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

    /// Whether a piece stands in a wall with depth.
    pub(crate) fn is_walled(&self, piece: usize) -> bool {
        self.wall.around(piece).is_some()
    }
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
