//! The wall around a window: how deep the glass stands in it, and what stands out or hangs before it. The depth of the
//! window's own leads and bars is stated with it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::surroundings::Reflectance;

/// The wall around a window. The sight size is the opening at the glass, and the sides of both reveals follow its outline.
/// Without any of it, the glass lies in the inner face of a wall without depth.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// From the glass to the outer face of the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outer: Option<Reveal>,
    /// From the glass to the inner face of the wall, which is the room's window wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inner: Option<Reveal>,
    /// A slab that stands out from the wall over the window.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overhang: Option<Overhang>,
    /// Bars or mesh before the outer face of the wall.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 4))]
    pub guards: Vec<Guard>,
    /// How far the leaves of the window's leads stand out from the glass on either side. If given, leads and saddle bars
    /// have depth and take more of the light the more it comes from the side; otherwise they are flat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10.0))]
    pub leaf_mm: Option<f64>,
}

/// One reveal: its depth, how its sides lean, and what they reflect.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reveal {
    /// From the glass to the face of the wall, m.
    #[schemars(range(min = 0.0, max = 5.0))]
    pub depth_m: f64,
    /// How far its sides lean away from the normal of the wall; square to the wall if not given.
    #[serde(default, skip_serializing_if = "Splay::is_square")]
    pub splay_deg: Splay,
    /// What its sides reflect; a grey of 0.3 outside and of 0.5 inside if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
    /// What its sill reflects; as its sides if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sill_reflectance: Option<Reflectance>,
}

/// How far the sides of a reveal open with the distance from the glass, degrees from the normal of the wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Splay {
    /// Both jambs.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 80.0))]
    pub jamb: f64,
    /// The head.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 80.0))]
    pub head: f64,
    /// The sill, downward.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 80.0))]
    pub sill: f64,
}

impl Splay {
    /// Whether all sides are square to the wall.
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
    pub(super) fn is_square(&self) -> bool {
        *self == Self::default()
    }
}

/// A thin level slab centred over the window, such as a canopy or a balcony.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Overhang {
    /// Out from the outer face of the wall, m.
    #[schemars(range(min = 0.01, max = 20.0))]
    pub depth_m: f64,
    /// From the top of the opening in the outer face of the wall up to the underside, m.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 20.0))]
    pub above_m: f64,
    /// Along the wall, m.
    #[schemars(range(min = 0.01, max = 100.0))]
    pub width_m: f64,
    /// What its underside reflects; a grey of 0.3 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
}

/// Round bars or wires before the outer face of the wall, evenly spaced. They are black.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Guard {
    /// Upright bars.
    UprightBars {
        /// Their diameter.
        #[schemars(range(min = 0.0, max = 100.0))]
        diameter_mm: f64,
        /// From the middle of one to that of the next.
        #[schemars(range(min = 0.1, max = 2000.0))]
        pitch_mm: f64,
    },
    /// Level bars.
    LevelBars {
        /// Their diameter.
        #[schemars(range(min = 0.0, max = 100.0))]
        diameter_mm: f64,
        /// From the middle of one to that of the next.
        #[schemars(range(min = 0.1, max = 2000.0))]
        pitch_mm: f64,
    },
    /// A square mesh of upright and level wires.
    Mesh {
        /// Diameter of the wires.
        #[schemars(range(min = 0.0, max = 100.0))]
        wire_mm: f64,
        /// From the middle of one wire to that of the next.
        #[schemars(range(min = 0.1, max = 2000.0))]
        pitch_mm: f64,
    },
}
