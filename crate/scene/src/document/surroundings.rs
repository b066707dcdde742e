//! Where the building stands, and what is around it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where on Earth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Degrees north of the equator, south negative.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub latitude_deg: f64,
    /// Degrees east of Greenwich, west negative.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub longitude_deg: f64,
    /// Height above the sea, metres.
    #[serde(default)]
    #[schemars(range(min = -500.0, max = 9000.0))]
    pub elevation_m: f64,
    /// IANA time zone, such as `Europe/London`.
    pub time_zone: String,
}

/// The sky over the site.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Sky {
    /// Cloudless, with a spectrum for every direction.
    Clear {
        /// The composition of the air; typical values where not given.
        #[serde(default)]
        air: Air,
    },
    /// One of the fifteen CIE general skies (ISO 15469).
    Standard {
        /// Type 1–15.
        #[schemars(range(min = 1, max = 15))]
        cie_type: u8,
        /// Its spectrum, the same in every direction.
        spectrum: SkySpectrum,
        /// Horizontal illuminance from the whole sky, lx; modelled from the sun's height where not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[schemars(range(min = 0.0, max = 100_000.0))]
        diffuse_horizontal_lx: Option<f64>,
    },
    /// Cloud over part or all of the sky.
    Overcast {
        /// Share of the sky covered, 0–1.
        #[schemars(range(min = 0.0, max = 1.0))]
        cloud: f64,
        /// The air of the clear part; typical values where not given.
        #[serde(default)]
        air: Air,
    },
}

/// Spectrum of a standard sky.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SkySpectrum {
    /// CIE daylight of this colour temperature, kelvin.
    CctK(#[schemars(range(min = 4000.0, max = 25_000.0))] f64),
    /// The clear sky's diffuse light at the same sun height.
    ClearDiffuse,
}

/// The composition of the air. Every field that is not given takes a typical value.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// Aerosol optical depth at 500 nm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 2.0))]
    pub aerosol_depth_500nm: Option<f64>,
    /// Ångström exponent of the aerosol.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 3.0))]
    pub angstrom_exponent: Option<f64>,
    /// Precipitable water, cm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10.0))]
    pub water_cm: Option<f64>,
    /// Ozone, atm-cm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub ozone_atm_cm: Option<f64>,
}

/// Diffuse reflectance of a surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reflectance {
    /// The same share at every wavelength, 0–1.
    Grey(#[schemars(range(min = 0.0, max = 0.98))] f64),
    /// A named material from [`crate::materials`].
    Material(String),
    /// 81 samples, 380–780 nm by 5 nm, each 0–1.
    Samples(#[schemars(length(min = 81, max = 81), inner(range(min = 0.0, max = 0.98)))] Vec<f64>),
}

/// What stands on the horizon as the window sees it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Horizon {
    /// The skyline of buildings and land, joined by straight lines all the way round; if empty, the horizon
    /// is clear.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 720))]
    pub skyline: Vec<SkylinePoint>,
    /// What the skyline reflects; a grey of 0.25 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
    /// Trees, which let light through by season.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 64))]
    pub trees: Vec<Trees>,
    /// Height of the room's floor above the ground outside, m; 0 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -50.0, max = 500.0))]
    pub floor_above_ground_m: Option<f64>,
    /// The building that the window belongs to; if not given, it neither hides sky from the ground in front nor throws a
    /// shadow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_building: Option<OwnBuilding>,
    /// Buildings and walls near the window, before the skyline.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 64))]
    pub blocks: Vec<Block>,
}

impl Horizon {
    /// Whether it has what came with version 5.
    pub(crate) fn has_buildings(&self) -> bool {
        self.floor_above_ground_m.is_some() || self.own_building.is_some() || !self.blocks.is_empty()
    }
}

/// The building that the window belongs to: an upright wall that goes on to both sides.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnBuilding {
    /// Height of its wall above the ground outside, m; if not given, one storey is assumed: the room and 1 m above it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.5, max = 500.0))]
    pub height_m: Option<f64>,
    /// What its wall reflects; a grey of 0.25 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
}

/// A building or a wall near the window: a box on the ground whose front is parallel to the window wall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Block {
    /// Distance of its front from the window wall, m.
    #[schemars(range(min = 0.5, max = 5000.0))]
    pub distance_m: f64,
    /// Where its front begins: m to the right of the window's middle as seen from inside, negative to the left. With
    /// several windows, of the middle of the area that they span.
    #[schemars(range(min = -5000.0, max = 5000.0))]
    pub from_m: f64,
    /// Where its front ends, further to the right.
    #[schemars(range(min = -5000.0, max = 5000.0))]
    pub to_m: f64,
    /// Height above the ground, m.
    #[schemars(range(min = 0.1, max = 1000.0))]
    pub height_m: f64,
    /// How far it goes back, m.
    #[schemars(range(min = 0.1, max = 5000.0))]
    pub depth_m: f64,
    /// What its walls reflect; a grey of 0.25 if not given. Roofs are black.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
}

/// A point of the skyline.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SkylinePoint {
    /// Compass bearing, clockwise from true north.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub bearing_deg: f64,
    /// Height above the horizontal as seen from the window.
    #[schemars(range(min = 0.0, max = 89.0))]
    pub altitude_deg: f64,
}

/// A row of trees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trees {
    /// Bearing where the row starts, clockwise from true north.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub from_bearing_deg: f64,
    /// Bearing where it ends, going clockwise.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub to_bearing_deg: f64,
    /// Height of the tops above the horizontal.
    #[schemars(range(min = 0.0, max = 89.0))]
    pub altitude_deg: f64,
    /// Share of light that passes in full leaf, 0–1.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub transmittance_in_leaf: f64,
    /// Share of light that passes through bare branches, 0–1.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub transmittance_bare: f64,
    /// What they reflect; the material `leaves` if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
}
