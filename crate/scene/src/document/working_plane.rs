//! What a viewing position is used for: the horizontal plane on which light is wanted there.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The horizontal plane on which light is wanted at a viewing position, facing up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkingPlane {
    /// What it is.
    pub kind: WorkingPlaneKind,
    /// Its height above the floor of the room.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub height_m: f64,
}

impl WorkingPlane {
    /// Where it is, in a few words that follow "light": "on the desk, 0.75 m above the floor".
    pub fn words(self) -> String {
        let Self { kind, height_m } = self;
        // To the millimetre, without trailing zeros.
        let height_m = (height_m * 1000.0).round() / 1000.0;
        match kind {
            WorkingPlaneKind::Floor if height_m > 0.0 => format!("on a step, {height_m} m above the floor"),
            WorkingPlaneKind::Floor => "on the floor".to_owned(),
            kind => format!("on the {}, {height_m} m above the floor", kind.name()),
        }
    }
}

/// What the light falls on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WorkingPlaneKind {
    /// A desk or table at which somebody works.
    Desk,
    /// An altar, or a table at which people stand.
    Altar,
    /// The floor, or a step or platform on it.
    Floor,
}

impl WorkingPlaneKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Desk, Self::Altar, Self::Floor];

    /// The height to begin with, m above the floor.
    ///
    /// A desk: 0.75 m. EN 12464-1 states illuminance on the working plane; that desks stand at 0.70–0.85 m is common
    /// practice, from memory. An altar: 1.0 m, common practice, no source. The floor: 0 m by definition.
    pub fn usual_height_m(self) -> f64 {
        match self {
            Self::Desk => 0.75,
            Self::Altar => 1.0,
            Self::Floor => 0.0,
        }
    }

    /// Its name, as in "on the desk".
    pub fn name(self) -> &'static str {
        match self {
            Self::Desk => "desk",
            Self::Altar => "altar",
            Self::Floor => "floor",
        }
    }
}
