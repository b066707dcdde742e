//! The surroundings of the windows, the choices for them, and the sun's path.

use scene::{
    Block, Guard, Horizon, Overhang, Reflectance, Reveal, Room, Site, Sky, Wall, Weather, WorkingPlane,
};
use schemars::JsonSchema;
use serde::Serialize;

/// The scene's surroundings of the windows.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Surroundings {
    /// Where the building stands.
    pub(crate) site: Site,
    /// The sky.
    pub(crate) sky: Sky,
    /// The kind of weather of this sky.
    pub(crate) weather: Weather,
    /// What the ground in front of the window reflects.
    pub(crate) ground: Reflectance,
    /// Whether the ground is fresh snow.
    pub(crate) snow_on_ground: bool,
    /// What the ground reflects without snow on it.
    pub(crate) ground_without_snow: Reflectance,
    /// What stands between the window and the sky.
    pub(crate) horizon: Horizon,
    /// Height of the own building's wall where the scene states none: one storey.
    pub(crate) assumed_own_height_m: f64,
    /// A block to begin with.
    pub(crate) block_if_added: Block,
    /// The room behind the window.
    pub(crate) room: Room,
    /// The positions of the windows.
    pub(crate) windows: Vec<WindowPlace>,
    /// What is doubtful about the site, in sentences.
    pub(crate) cautions: Vec<String>,
}

/// The position of a window in the window wall.
#[derive(Serialize, JsonSchema)]
pub(crate) struct WindowPlace {
    /// Its name in the scene.
    pub(crate) id: String,
    /// From the wall's left inside corner to the middle of the sight size.
    pub(crate) centre_x_m: f64,
    /// From the floor to the lower edge of the sight size.
    pub(crate) sill_height_m: f64,
    /// Width of the sight size.
    pub(crate) width_m: f64,
    /// Height of the sight size.
    pub(crate) height_m: f64,
    /// The wall around it, empty if it has no depth.
    pub(crate) wall: Wall,
    /// Its opening in the outer face of the wall.
    pub(crate) outer_face: OpeningBounds,
    /// Its opening in the inner face of the wall.
    pub(crate) inner_face: OpeningBounds,
    /// An overhang to begin with.
    pub(crate) overhang_if_added: Overhang,
}

/// How far an opening reaches in a face of the wall.
#[derive(Serialize, JsonSchema)]
pub(crate) struct OpeningBounds {
    /// Left edge, from the wall's left inside corner.
    pub(crate) left_m: f64,
    /// Right edge, from the same corner.
    pub(crate) right_m: f64,
    /// Lowest point, from the floor.
    pub(crate) bottom_m: f64,
    /// Highest point, from the floor.
    pub(crate) top_m: f64,
}

/// The choices for the surroundings.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Choices {
    /// Kinds of weather.
    pub(crate) weathers: Vec<WeatherChoice>,
    /// The fifteen CIE general skies (ISO 15469).
    pub(crate) standard_skies: Vec<StandardSky>,
    /// Named surfaces.
    pub(crate) surfaces: Vec<SurfaceChoice>,
    /// What the ground reflects under fresh snow.
    pub(crate) snow: Reflectance,
    /// What a wall outside reflects if nothing is given.
    pub(crate) usual_wall: Reflectance,
    /// What the wall around a window begins with.
    pub(crate) usual_window_wall: UsualWindowWall,
    /// The working planes that a position may have, each at its usual height.
    pub(crate) working_planes: Vec<WorkingPlane>,
    /// Names of the IANA time zones.
    pub(crate) zones: Vec<String>,
    /// The air assumed where a sky gives none.
    pub(crate) usual_air: UsualAir,
}

/// A kind of weather.
#[derive(Serialize, JsonSchema)]
pub(crate) struct WeatherChoice {
    /// The kind.
    pub(crate) id: Weather,
    /// Its name on the page.
    pub(crate) name: &'static str,
    /// Its starting sky.
    pub(crate) sky: Sky,
}

/// A CIE general sky.
#[derive(Serialize, JsonSchema)]
pub(crate) struct StandardSky {
    /// 1–15.
    pub(crate) cie_type: usize,
    /// Its appearance, in a few words.
    pub(crate) words: &'static str,
    /// Whether the sun is visible.
    pub(crate) sun: bool,
}

/// A named surface.
#[derive(Serialize, JsonSchema)]
pub(crate) struct SurfaceChoice {
    /// Its name, as a material of [`Reflectance`].
    pub(crate) name: &'static str,
    /// Share of daylight (D65) that it reflects, 0–1.
    pub(crate) share: f64,
    /// Where it occurs.
    pub(crate) of: SurfaceUse,
}

/// Where a surface occurs.
#[derive(Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SurfaceUse {
    /// Outside, in front of the window.
    Ground,
    /// In rooms.
    Room,
}

/// What the wall around a window begins with, and what its surfaces reflect if nothing is given.
#[derive(Serialize, JsonSchema)]
pub(crate) struct UsualWindowWall {
    /// Outer or inner.
    pub(crate) reveal: Reveal,
    /// Sides and sill of an outer reveal, underside of an overhang.
    pub(crate) outer_reflectance: Reflectance,
    /// Sides and sill of an inner reveal.
    pub(crate) inner_reflectance: Reflectance,
    /// One guard of each kind.
    pub(crate) guards: [Guard; 3],
    /// How far the leaves of leads stand out from the glass, mm.
    pub(crate) leaf_mm: f64,
}

/// The air assumed where a sky gives none.
#[derive(Serialize, JsonSchema)]
pub(crate) struct UsualAir {
    /// Aerosol optical depth at 500 nm.
    pub(crate) aerosol_depth_500nm: f64,
    /// Ångström exponent of the aerosol.
    pub(crate) angstrom_exponent: f64,
    /// Precipitable water, cm.
    pub(crate) water_cm: f64,
    /// Ozone, atm-cm.
    pub(crate) ozone_atm_cm: f64,
}

/// The sun's path in a civil day.
#[derive(Serialize, JsonSchema)]
pub(crate) struct SunPath {
    /// `YYYY-MM-DD`.
    pub(crate) date: String,
    /// Every ten minutes from midnight to midnight, below the horizon too.
    pub(crate) points: Vec<SunPoint>,
    /// Where and when it rises; null where it does not.
    pub(crate) sunrise: Option<SunPoint>,
    /// Where and when it sets; null where it does not.
    pub(crate) sunset: Option<SunPoint>,
}

/// The sun's position at a time.
#[derive(Serialize, JsonSchema)]
pub(crate) struct SunPoint {
    /// Of the civil day, on the clock.
    pub(crate) minute: f64,
    /// Clockwise from true north.
    pub(crate) azimuth_deg: f64,
    /// Above the horizon, refraction included.
    pub(crate) altitude_deg: f64,
}
