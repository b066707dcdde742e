//! The room, the places to view from in it, and who looks.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::surroundings::Reflectance;
use super::working_plane::WorkingPlane;

/// Highest room, m.
pub(crate) const MOST_ROOM_HEIGHT_M: f64 = 100.0;

/// The room: a box. Seen from inside, facing the window wall: width to the right, height up, depth away from the
/// window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Width along the window wall.
    #[schemars(range(min = 0.5, max = 200.0))]
    pub width_m: f64,
    /// Floor to ceiling.
    #[schemars(range(min = 0.5, max = MOST_ROOM_HEIGHT_M))]
    pub height_m: f64,
    /// From the window wall to the back wall.
    #[schemars(range(min = 0.5, max = 300.0))]
    pub depth_m: f64,
    /// Compass bearing, clockwise from true north, that the outside of the window wall faces.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub facing_deg: f64,
    /// What the six surfaces reflect.
    pub surfaces: Surfaces,
}

/// The six surfaces of the room, left and right as seen facing the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Surfaces {
    /// The wall the window is in.
    pub window_wall: Reflectance,
    /// The wall opposite.
    pub back_wall: Reflectance,
    /// The left wall, as seen facing the window.
    pub left_wall: Reflectance,
    /// The right wall, as seen facing the window.
    pub right_wall: Reflectance,
    /// The floor.
    pub floor: Reflectance,
    /// The ceiling.
    pub ceiling: Reflectance,
}

/// A named place to view from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ViewingPlace {
    /// Its name, unique.
    #[schemars(length(min = 1, max = 100))]
    pub name: String,
    /// Distance from the plane of the first window's glass into the room: the depth of its inner reveal included.
    #[schemars(range(min = 0.05, max = 300.0))]
    pub distance_m: f64,
    /// Distance to the right of the first window's middle, as seen facing it; negative to the left.
    #[serde(default)]
    #[schemars(range(min = -200.0, max = 200.0))]
    pub right_m: f64,
    /// Height of the eye above the floor.
    #[schemars(range(min = 0.05, max = 100.0))]
    pub eye_height_m: f64,
    /// The plane on which light is wanted there; if not given, a person's eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub working_plane: Option<WorkingPlane>,
}

/// How light spreads in the viewer's eye (CIE 135/1-1999): more with age, and more in light eyes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Viewer {
    /// Age.
    #[serde(default = "usual_age_years")]
    #[schemars(range(min = 5.0, max = 100.0))]
    pub age_years: f64,
    /// Pigmentation of the eye: 0 very dark, 0.5 brown, 1 blue, 1.2 very light.
    #[serde(default = "usual_pigmentation")]
    #[schemars(range(min = 0.0, max = 1.2))]
    pub pigmentation: f64,
}

impl Default for Viewer {
    fn default() -> Self {
        Self { age_years: usual_age_years(), pigmentation: usual_pigmentation() }
    }
}

impl Viewer {
    pub(super) fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

fn usual_age_years() -> f64 {
    40.0
}

fn usual_pigmentation() -> f64 {
    0.5
}
