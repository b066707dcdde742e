//! What a piece does to light, as sampled numbers.

use glass::Lobe;
use plane::PanelPoint;
use spectra::{SAMPLES, Spectrum};

use crate::glazing::forward::ForwardOptics;
use crate::light::field::Eye;
use crate::window::model::PieceModel;

/// Transmittance of a piece at one thickness, paint density and angle, 0–1 by wavelength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transmittance {
    /// Light that goes straight on.
    pub regular: Spectrum,
    /// Light that leaves scattered.
    pub diffuse: Spectrum,
    /// How that is spread.
    pub lobe: Lobe,
}

/// Nodes over thickness, joined by a cubic. Over a range of ±15 %, for a glass of density 3, its error is below 0.1
/// %.
pub const THICKNESS_NODES: usize = 4;

/// Transmittances of four neighbouring nodes, wavelength by wavelength, as the kernel reads them.
pub(crate) type FourNodes = [[f32; 4]; SAMPLES];

/// Nodes over the mix of a sheet whose second quality varies, joined by a cubic through the four around a point.
/// There are more than over thickness, because a streak may go from clear to dark.
pub const MIX_NODES: usize = 8;

/// How a point of a piece differs from its make-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// Thickness relative to the make-up's.
    pub thickness: f64,
    /// Density of paint relative to the make-up's.
    pub paint: f64,
    /// The sheet's second quality, −1 to 1; exactly 0 is the make-up's, for streaky glass the mean over its streaks.
    pub mix: f64,
}

impl Factors {
    /// The same as the make-up.
    pub const PLAIN: Self = Self { thickness: 1.0, paint: 1.0, mix: 0.0 };
}

/// Offsets of a sheet's variation within a piece, so that the piece's mean transmittance equals its figures.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shift {
    /// Offset of the thickness factor.
    pub thickness: f64,
    /// Offset of the mix.
    pub mix: f64,
    /// Offset of the gathering of light.
    pub gain: f64,
}

/// The sampled transmittance of one piece as seen from one eye.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceOptics {
    /// Angle of incidence at the middle of the piece, degrees.
    pub angle_deg: f64,
    /// The point at which that angle was taken.
    pub middle_mm: PanelPoint,
    /// Area of its light shape, mm².
    pub area_mm2: f64,
    /// The offsets that keep the piece's means equal to its figures.
    pub shift: Shift,
    /// First thickness factor and the step to the next.
    pub(crate) thickness: (f64, f64),
    /// First node over paint, 10^(−density), and the step to the next; a step of zero means one node.
    pub(crate) paint: (f64, f64),
    /// 1, or [`MIX_NODES`] from −1 to 1.
    pub(crate) mix_nodes: usize,
    /// A block of four thicknesses for each paint node of each mix node; after several mix nodes, those of the make-up
    /// itself, for even sheets.
    pub(crate) regular: Vec<FourNodes>,
    /// The same for scattered light; empty if there is none.
    pub(crate) diffuse: Vec<FourNodes>,
    /// If a part of that stays in a lobe.
    pub(crate) forward: Option<ForwardOptics>,
}

impl PieceOptics {
    /// Blocks of nodes over mix and paint.
    pub(crate) fn blocks(&self) -> usize {
        (self.mix_nodes + usize::from(self.mix_nodes > 1)) * self.paint_nodes()
    }

    /// Nodes over paint density.
    pub(crate) fn paint_nodes(&self) -> usize {
        if self.paint.1 > 0.0 { 4 } else { 1 }
    }
}

/// Density for a paint factor of 1; 1 if the model gives none.
pub(crate) fn paint_scale(piece: &PieceModel) -> f64 {
    if piece.paint_density > 0.0 { piece.paint_density.min(6.0) } else { 1.0 }
}

/// The piece's refractive index; 1.52 if none is given.
pub(crate) fn index_of(piece: &PieceModel) -> f64 {
    if piece.sheet.n > 1.0 { piece.sheet.n } else { 1.52 }
}

/// Cosine of the angle inside the glass at a point of the panel.
pub(crate) fn inner_cosine(eye: Eye, point: PanelPoint, n: f64) -> f64 {
    let outer = eye.direction_through(point)[2];
    (1.0 - (1.0 - outer * outer) / (n * n)).max(0.0).sqrt()
}
