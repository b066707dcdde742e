//! Dirt and corrosion on the leaded glass itself.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::lobe::Lobe;

/// What lies on the two outermost faces of the glass of a window or of one piece.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deposits {
    /// On the weather face. Of a window, clean if not given; of a piece, as in its window.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside: Option<Deposit>,
    /// On the room face. Of a window, clean if not given; of a piece, as in its window.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inside: Option<Deposit>,
}

impl Deposits {
    /// Whether nothing is said of either face.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// A thin layer of dirt or corrosion over a face of glass and its paint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deposit {
    /// What it is.
    #[serde(default, skip_serializing_if = "DepositKind::is_dirt")]
    pub kind: DepositKind,
    /// Share of light lost, 0–1, the same at every wavelength; 0 is a clean face.
    #[schemars(range(min = 0.0, max = 0.95))]
    pub loss: f64,
    /// Share of the passing light that it scatters, 0–1; if not given, as much as dirt of that loss usually does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub scatters: Option<f64>,
    /// The lobe of the light that it scatters; usual for its kind if nothing is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lobe: Option<Box<Lobe>>,
    /// Where the numbers come from; an assumption if empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(length(max = 500))]
    pub source: String,
}

/// Kinds of deposit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DepositKind {
    /// Dust and soot, which cleaning removes.
    #[default]
    Dirt,
    /// A crust or pits of the weathered glass itself.
    Corrosion,
}

impl DepositKind {
    /// Its name in sentences.
    pub fn name(self) -> &'static str {
        match self {
            Self::Dirt => "dirt",
            Self::Corrosion => "corrosion",
        }
    }

    #[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
    fn is_dirt(&self) -> bool {
        *self == Self::Dirt
    }
}
