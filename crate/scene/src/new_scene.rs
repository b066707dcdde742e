//! A scene around a new drawing: plain glass in every piece, and a site, a room and a place to view from that stand in
//! until they are known.

use daylight::CivilTime;
use panel::Panel;

use crate::document::{
    Air, Bar, Block, Cutline, Deposits, Drawing, FIRST_VERSION_WRITTEN, Face, Horizon, Line,
    MOST_ROOM_HEIGHT_M, OwnBuilding, Piece, Reflectance, Room, Scene, Site, Sky, Surfaces, ViewingPlace,
    Wall, Window, WorkingPlane,
};
use crate::fault::{Fault, Faults};
use crate::pieces::{plain, point_in};
use crate::usual_wall::USUAL_LEAF_MM;

/// Height of the sill above the floor, m, where none is given: a window that one looks out of. Common practice, no source.
pub const USUAL_SILL_M: f64 = 0.9;

/// The civil time of the first light where none is given: noon at an equinox, by the site's clocks. Our assumption.
pub const USUAL_TIME: &str = "2026-09-22T12:00";

/// The bearing that a window faces where none is given: south. Our assumption.
pub const USUAL_FACING_DEG: f64 = 180.0;

/// Height of a standing person's eye above the floor, m. Common practice, no source.
const EYE_HEIGHT_M: f64 = 1.6;

/// Least width, depth and height of the room, m: those of a living room. Common practice, no source.
const LEAST_ROOM_M: [f64; 3] = [4.0, 5.0, 2.7];

/// Wall left on either side of a window, m. Our assumption.
const WALL_BESIDE_M: f64 = 1.0;

/// Wall left above a window, m. Our assumption.
const WALL_ABOVE_M: f64 = 0.5;

/// The room is at least this many times as deep as the window is high: from its middle, where one views it, a window is
/// seen whole. Our assumption.
const DEPTH_OF_HEIGHT: f64 = 2.0;

/// Path of the sill's height in a new scene.
const SILL_PATH: &str = "windows[0].sill_height_m";

/// What a new scene is made of. What is `None` is assumed, and the scene's note says so.
#[derive(Clone, Debug)]
pub struct NewScene<'a> {
    /// Its name.
    pub name: &'a str,
    /// The drawing.
    pub drawing: &'a panel::Drawing,
    /// The panel made from it.
    pub panel: &'a Panel,
    /// Civil time of the first light; `None` for [`USUAL_TIME`].
    pub at: Option<CivilTime>,
    /// Where the building stands.
    pub site: Option<Site>,
    /// Compass bearing that the outside of the window faces, degrees.
    pub facing_deg: Option<f64>,
    /// Height of the sill above the floor, m.
    pub sill_height_m: Option<f64>,
    /// The plane on which light is wanted at the viewing position; `None` for a person, who looks at the window there.
    pub working_plane: Option<WorkingPlane>,
}

/// A scene with one window of plain glass.
///
/// The room is a box around the window that leaves a wall of a metre on either side and of half a metre above. Check the
/// result with [`crate::resolve`]: other numbers out of range are faults as in any scene.
///
/// # Errors
/// A sill so high that the window does not fit in a room below it.
pub fn new_scene(new: &NewScene<'_>) -> Result<Scene, Faults> {
    let [width_m, height_m] = [new.panel.width_mm, new.panel.height_mm].map(|mm| mm / 1000.0);
    let sill_height_m = new.sill_height_m.unwrap_or(USUAL_SILL_M);
    let [least_width_m, least_depth_m, least_height_m] = LEAST_ROOM_M;
    let room_width_m = tenths_up((width_m + 2.0 * WALL_BESIDE_M).max(least_width_m));
    let depth_m = tenths_up((DEPTH_OF_HEIGHT * height_m).max(least_depth_m));
    let room_height_m = tenths_up((sill_height_m + height_m + WALL_ABOVE_M).max(least_height_m));
    if room_height_m > MOST_ROOM_HEIGHT_M {
        let most_m = ((MOST_ROOM_HEIGHT_M - height_m - WALL_ABOVE_M) * 10.0 + 1e-9).floor() / 10.0;
        let expected = format!(
            "0 to {most_m} m: the window and {WALL_ABOVE_M} m of wall above it must fit in a room at most \
             {MOST_ROOM_HEIGHT_M} m high"
        );
        return Err(Faults(vec![Fault::new(SILL_PATH, expected, format!("{sill_height_m} m"))]));
    }
    let mut assumed = Vec::new();
    let site = new.site.clone().unwrap_or_else(|| {
        assumed.push("the place on Earth");
        usual_site()
    });
    let facing_deg = new.facing_deg.unwrap_or_else(|| {
        assumed.push("the bearing (south)");
        USUAL_FACING_DEG
    });
    if new.sill_height_m.is_none() {
        assumed.push("the height of the sill");
    }
    let at = new.at.as_ref().map_or_else(
        || {
            assumed.push("the hour of the first light (noon at an equinox)");
            USUAL_TIME.to_owned()
        },
        ToString::to_string,
    );
    assumed.extend([
        "the room",
        "the depth of the leads",
        "the height of the building (one storey)",
        "the viewing position",
        "the sky",
        "the ground (stone paving)",
    ]);
    let last = assumed.pop().unwrap_or_default();
    let note =
        format!("Assumed when this window was begun, unless set since: {} and {last}.", assumed.join(", "));
    let material = |name: &str| Reflectance::Material(name.to_owned());
    let mut scene = Scene {
        clerestory: FIRST_VERSION_WRITTEN,
        name: new.name.to_owned(),
        note,
        site,
        at,
        sky: Sky::Clear { air: Air::default() },
        // Neutral, so that clear glass is not green from the first.
        ground: material("stone paving"),
        horizon: Horizon { own_building: Some(OwnBuilding::default()), ..Horizon::default() },
        room: Room {
            width_m: room_width_m,
            height_m: room_height_m,
            depth_m,
            facing_deg,
            surfaces: Surfaces {
                window_wall: material("white paint"),
                back_wall: material("white paint"),
                left_wall: material("white paint"),
                right_wall: material("white paint"),
                floor: material("oiled oak"),
                ceiling: material("white paint"),
            },
        },
        windows: vec![Window {
            id: "window".to_owned(),
            centre_x_m: room_width_m / 2.0,
            sill_height_m,
            protective_glazing: None,
            deposits: Deposits::default(),
            wall: Some(Wall { leaf_mm: Some(USUAL_LEAF_MM), ..Wall::default() }),
            drawing: document_drawing(new.drawing),
            pieces: plain_pieces(new.panel),
        }],
        glasses: std::collections::BTreeMap::new(),
        places: vec![ViewingPlace {
            name: "middle of the room".to_owned(),
            // Half way to the back wall. Our assumption.
            distance_m: depth_m / 2.0,
            right_m: 0.0,
            eye_height_m: EYE_HEIGHT_M,
            working_plane: new.working_plane,
        }],
        viewer: crate::document::Viewer::default(),
        attachments: crate::document::Attachments::default(),
        variants: Vec::new(),
    };
    scene.settle_version();
    Ok(scene)
}

/// A house to begin with: two storeys across a street. Our assumption.
pub const fn usual_block() -> Block {
    Block { distance_m: 12.0, from_m: -6.0, to_m: 6.0, height_m: 8.0, depth_m: 10.0, reflectance: None }
}

/// What a wall outside reflects if nothing is given.
pub const USUAL_WALL: Reflectance = Reflectance::Grey(0.25);

/// A site that stands in until one is given: the middle of Europe, on the zone's own meridian. Our assumption.
pub fn usual_site() -> Site {
    Site {
        latitude_deg: 50.0,
        longitude_deg: 15.0,
        elevation_m: 200.0,
        time_zone: "Europe/Prague".to_owned(),
    }
}

/// Plain glass in every piece, numbered in reading order from 1.
fn plain_pieces(panel: &Panel) -> Vec<Piece> {
    let piece = |(k, piece): (usize, &panel::Piece)| Piece {
        id: k as u32 + 1,
        at_mm: point_in(piece),
        makeup: plain(),
    };
    panel.pieces.iter().enumerate().map(piece).collect()
}

/// The document's form of a drawing; cutlines are numbered in their order from 1.
fn document_drawing(drawing: &panel::Drawing) -> Drawing {
    let cutline = |(k, line): (usize, &panel::Cutline)| Cutline {
        id: k as u32 + 1,
        path: line.path.clone(),
        width_mm: line.face_mm,
    };
    let bar =
        |bar: &panel::Bar| Bar { path: bar.path.clone(), width_mm: bar.diameter_mm, side: Face::Inside };
    Drawing {
        sight_size: Line { path: drawing.outline.path.clone(), width_mm: drawing.outline.face_mm },
        cutlines: drawing.cutlines.iter().enumerate().map(cutline).collect(),
        bars: drawing.bars.iter().map(bar).collect(),
    }
}

/// The next tenth of a metre.
fn tenths_up(m: f64) -> f64 {
    (m * 10.0 - 1e-9).ceil() / 10.0
}
