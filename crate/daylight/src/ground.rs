//! The ground in front of the window.

use spectra::Spectrum;

use crate::error::{DaylightError, within};

/// Flat open ground, uniform and scattering evenly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Albedo by wavelength, 0–1.
    pub albedo: Spectrum,
}

impl Ground {
    /// The same share at every wavelength; weather services assume 0.2 when nothing is known.
    pub const fn grey(albedo: f64) -> Self {
        Self { albedo: Spectrum::splat(albedo) }
    }

    /// Of a named kind.
    pub fn of(kind: GroundKind) -> Self {
        Self { albedo: kind.albedo() }
    }

    /// # Errors
    /// [`DaylightError::OutsideRange`].
    pub fn check(&self) -> Result<(), DaylightError> {
        check_shares("ground.albedo", &self.albedo)
    }
}

impl Default for Ground {
    fn default() -> Self {
        Self::grey(0.2)
    }
}

pub(crate) fn check_shares(what: &'static str, shares: &Spectrum) -> Result<(), DaylightError> {
    for &share in shares.samples() {
        within(what, share, 0.0..=1.0, "shares from 0 to 1")?;
    }
    Ok(())
}

/// Named kinds of ground. Their curves are **estimated**: drawn by us through the level and the features that
/// everybody who has measured such ground describes (the green bump and red edge of leaves, the rise of soil toward
/// the red, the flat white of snow), not taken from any measured sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GroundKind {
    /// Short green grass.
    Grass,
    /// Grass in a dry summer.
    DryGrass,
    /// Fresh snow, deep enough to hide the ground: bright and nearly white, falling a little toward the red as ice
    /// begins to absorb (the shape is that of Wiscombe & Warren 1980, *J. Atmos. Sci.* 37, 2712–2733, the level somewhat
    /// below their pure snow, as snow near houses is; both from memory).
    Snow,
    /// Pale grey stone paving.
    StonePaving,
    /// Open water seen under a wide sky: mostly the reflection on its surface.
    Water,
    /// Bare brown soil.
    Soil,
    /// Leaves of broad-leaved trees and hedges.
    Leaves,
    /// Red brick walls and roofs.
    Brick,
}

impl GroundKind {
    /// All kinds.
    pub const ALL: [Self; 8] = [
        Self::Grass,
        Self::DryGrass,
        Self::Snow,
        Self::StonePaving,
        Self::Water,
        Self::Soil,
        Self::Leaves,
        Self::Brick,
    ];

    /// Plain English name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Grass => "grass",
            Self::DryGrass => "dry grass",
            Self::Snow => "snow",
            Self::StonePaving => "stone paving",
            Self::Water => "water",
            Self::Soil => "soil",
            Self::Leaves => "leaves",
            Self::Brick => "brick",
        }
    }

    /// By its name.
    pub fn by_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Albedo by wavelength, 0–1, estimated.
    pub fn albedo(self) -> Spectrum {
        let points: &[(f64, f64)] = match self {
            Self::Grass => &[
                (380.0, 0.025),
                (430.0, 0.03),
                (490.0, 0.04),
                (520.0, 0.08),
                (550.0, 0.11),
                (580.0, 0.085),
                (620.0, 0.06),
                (675.0, 0.04),
                (695.0, 0.08),
                (720.0, 0.24),
                (750.0, 0.42),
                (780.0, 0.47),
            ],
            Self::DryGrass => &[
                (380.0, 0.05),
                (430.0, 0.075),
                (500.0, 0.13),
                (550.0, 0.19),
                (600.0, 0.24),
                (675.0, 0.28),
                (720.0, 0.34),
                (780.0, 0.39),
            ],
            Self::Snow => &[(380.0, 0.93), (500.0, 0.94), (600.0, 0.93), (700.0, 0.90), (780.0, 0.87)],
            Self::StonePaving => &[(380.0, 0.20), (450.0, 0.26), (550.0, 0.31), (650.0, 0.34), (780.0, 0.36)],
            Self::Water => &[(380.0, 0.075), (480.0, 0.075), (550.0, 0.065), (650.0, 0.05), (780.0, 0.045)],
            Self::Soil => {
                &[(380.0, 0.05), (450.0, 0.07), (550.0, 0.12), (600.0, 0.15), (700.0, 0.20), (780.0, 0.23)]
            }
            Self::Leaves => &[
                (380.0, 0.04),
                (490.0, 0.05),
                (520.0, 0.09),
                (550.0, 0.13),
                (580.0, 0.09),
                (675.0, 0.05),
                (695.0, 0.12),
                (720.0, 0.30),
                (750.0, 0.44),
                (780.0, 0.47),
            ],
            Self::Brick => {
                &[(380.0, 0.06), (480.0, 0.09), (540.0, 0.13), (590.0, 0.25), (640.0, 0.33), (780.0, 0.38)]
            }
        };
        Spectrum::from_table(points)
    }
}
