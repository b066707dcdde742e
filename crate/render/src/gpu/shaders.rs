//! The WGSL of each pass, with the shared constants before it.

use crate::shared::constants;

/// A pass's source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Pass {
    Glass,
    Solid,
    SpreadDown,
    SpreadUp,
    Tone,
}

impl Pass {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Glass => "glass",
            Self::Solid => "solid",
            Self::SpreadDown => "spread down",
            Self::SpreadUp => "spread up",
            Self::Tone => "tone",
        }
    }

    pub(crate) fn source(self) -> String {
        let prelude = include_str!("../../../../shaders/prelude.wgsl");
        let constants = constants::wgsl();
        let spread = include_str!("../../../../shaders/spread.wgsl");
        match self {
            Self::Glass => {
                let paint = include_str!("../../../../shaders/paint.wgsl");
                [&constants, prelude, paint, include_str!("../../../../shaders/glass.wgsl")].join("\n")
            }
            Self::SpreadDown => {
                [&constants, spread, include_str!("../../../../shaders/spread_down.wgsl")].join("\n")
            }
            Self::SpreadUp => {
                [&constants, spread, include_str!("../../../../shaders/spread_up.wgsl")].join("\n")
            }
            Self::Solid => [&constants, prelude, include_str!("../../../../shaders/solid.wgsl")].join("\n"),
            Self::Tone => [&constants, include_str!("../../../../shaders/tone.wgsl")].join("\n"),
        }
    }
}
