//! What readers of an instant's figures should know of its light.

/// A note about an instant's light for readers of its figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Note {
    /// The sun is below the horizon: light by the published twilight curve, with the pattern and colour of a sun on
    /// the horizon, which fade from 12° below it. Estimated.
    Twilight,
    /// Night: a fixed dark floor, alike in all directions, without moon or lamps. Estimated.
    Night,
    /// The sun is up but below 5°: the clear sky's level is blended into the twilight curve. Estimated.
    LowSun,
    /// The aerosol gives a turbidity beyond the pattern's 1–10; it was clamped.
    TurbidityClamped {
        /// The turbidity given by the aerosol.
        turbidity: f64,
    },
    /// The level of a standard sky is that typical of its type.
    TypicalLevel {
        /// Whether the type is one of a dark overcast sky, 1 or 3.
        dark: bool,
    },
    /// The sun is below the horizon, and more light is stated than a clear sky gives then.
    StatedByNight {
        /// True altitude of the sun, degrees.
        altitude_deg: f64,
        /// What is stated, on open ground, lx.
        lx: f64,
        /// What a clear sky would give there, lx.
        usual_lx: f64,
    },
    /// Light under cloud follows a statistical fit to cloud cover; a single hour may be half or twice that.
    CloudFit,
    /// Bright ground and cloud pass light back and forth.
    BrightGround {
        /// Factor by which this raises the illuminance on open ground.
        factor: f64,
    },
    /// Trees' leaves are estimated from the date.
    SeasonalTrees,
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Twilight => f.write_str(
                "twilight: level from a published curve, pattern and colour estimated; that ozone turns the sky bluer than \
                 at sunset is not counted",
            ),
            Self::Night => f.write_str("night: a fixed dark sky without moon or lamps, estimated"),
            Self::LowSun => f.write_str("sun below 5°: the sky's level is blended into twilight, estimated"),
            Self::TurbidityClamped { turbidity } => {
                write!(f, "haze: turbidity {turbidity:.1} is outside the sky pattern's 1–10 and was clamped")
            }
            Self::TypicalLevel { dark } => write!(
                f,
                "standard sky: its level is typical of its type, not measured{}",
                if *dark {
                    "; the overcast types 1 and 3 are dark days, about half as bright as the mean hour that a sky given \
                     by its cloud stands for"
                } else {
                    ""
                }
            ),
            Self::StatedByNight { altitude_deg, lx, usual_lx } => write!(
                f,
                "standard sky: {lx} lx are stated and counted, but the sun is {:.0}° below the horizon, where a clear sky gives \
                 {:.*} lx; if they are not meant for this hour, choose another hour or state no level",
                -altitude_deg,
                if *usual_lx < 1.0 { 4 } else { 0 },
                usual_lx
            ),
            Self::CloudFit => f.write_str(
                "cloud: level from a fit to cloud cover; a single hour may differ twofold, and the standard overcast sky \
                 (type 1) stands for a dark one",
            ),
            Self::BrightGround { factor } => {
                write!(
                    f,
                    "bright ground under cloud makes the light outside {factor:.2} times as bright, estimated as if it went \
                     on for kilometres"
                )
            }
            Self::SeasonalTrees => f.write_str("trees: how far they are in leaf is estimated from the date"),
        }
    }
}
