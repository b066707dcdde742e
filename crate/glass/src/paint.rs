//! Fired paint: trace lines, matting, enamel, silver stain.

use std::sync::Arc;

use spectra::Spectrum;

use crate::colourants::recipe;
use crate::lobe::Lobe;
use crate::silver_stain::StainTone;

/// Wavelength at which the density of vitreous paint is given, nm.
pub const DENSITY_NM: f64 = 560.0;

/// A face of a plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Face {
    /// Toward the weather.
    Outside,
    /// Toward the room.
    Inside,
}

impl Face {
    /// The other face.
    pub const fn flipped(self) -> Self {
        match self {
            Self::Outside => Self::Inside,
            Self::Inside => Self::Outside,
        }
    }
}

/// Pigment of trace and matting: how the density depends on wavelength, D(λ) = D₅₆₀·(560/λ)^p.
///
/// No measured transmittance of fired paint was found; the exponents are our assumption.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pigment {
    /// p = 0.2.
    Black,
    /// p = 0.6.
    Brown,
    /// Iron red, p = 1.0.
    Sanguine,
    /// Any other exponent.
    Exponent(f64),
}

impl Pigment {
    /// The exponent p.
    pub const fn exponent(self) -> f64 {
        match self {
            Self::Black => 0.2,
            Self::Brown => 0.6,
            Self::Sanguine => 1.0,
            Self::Exponent(p) => p,
        }
    }
}

/// Colour of an enamel; each is the spectrum of a colouring ion or colloid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EnamelColour {
    /// Cobalt with a little copper.
    Blue,
    /// Copper.
    Turquoise,
    /// Chromium and copper.
    Green,
    /// Manganese.
    Purple,
    /// Gold colloid.
    Rose,
    /// A sulphide yellow.
    Yellow,
}

/// The kind of paint.
#[derive(Clone, Debug, PartialEq)]
pub enum PaintKind {
    /// Trace line: near-opaque.
    Trace,
    /// Matting: a wash worked with brushes.
    Matting,
    /// A transparent fired colour. Its density is that at its own peak between 400 and 700 nm.
    Enamel(EnamelColour),
    /// Silver stain: silver within the skin of the glass. Its density is that at 450 nm.
    Stain(StainTone),
    /// A paint of known spectrum: optical density by wavelength for a density of 1.
    Measured(Arc<Spectrum>),
}

/// One fired layer of paint on one face of one plate.
///
/// The light transmitted by the layer, regular and diffuse together, is exactly 10^(−D) over the painted part
/// (Murray–Davies over the whole). The layer's diffuse share says how much of that has lost its direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Paint {
    /// The kind of paint.
    pub kind: PaintKind,
    /// Pigment of trace and matting; other kinds have their own colour.
    pub pigment: Pigment,
    /// Which plate, counted from outside, from 0.
    pub plate: usize,
    /// Which face of it.
    pub face: Face,
    /// Optical density, base 10, where there is paint: at 560 nm, or as the kind specifies.
    pub density: f64,
    /// Share of the face that is painted, 0–1.
    pub coverage: f64,
    /// Share of the transmitted light that has become diffuse, 0–1, at the kind's [usual
    /// density](PaintKind::usual_density); it grows with density.
    pub diffuse_share: f64,
    /// How that light is spread.
    pub lobe: Lobe,
    /// Share of the stopped light that is reflected, diffuse, 0–1; the rest is absorbed.
    pub reflects: f64,
}

impl PaintKind {
    /// Usual density: trace 2.5 and matting 0.5 (common practice), enamel 0.5 and stains by tone (assumptions).
    pub fn usual_density(&self) -> f64 {
        match self {
            Self::Trace => 2.5,
            Self::Stain(tone) => tone.usual_density(),
            Self::Matting | Self::Enamel(_) | Self::Measured(_) => 0.5,
        }
    }

    /// Usual lobe of the light that it scatters. What little passes a trace line has lost its way among the grains, and
    /// silver particles are smaller than the wavelength: both spread it evenly (our assumption).
    pub const fn usual_lobe(&self) -> Lobe {
        match self {
            Self::Trace | Self::Stain(_) => Lobe::NONE,
            Self::Matting | Self::Measured(_) => Lobe::MATTING,
            Self::Enamel(_) => Lobe::ENAMEL,
        }
    }
}

impl Paint {
    /// A typical layer: density and diffuse share of its kind (our assumptions), full coverage, brown pigment.
    ///
    /// Diffuse share of transmitted light: trace 0.5, matting 0.35, enamel 0.2, stain 0.005–0.08 by particle size.
    /// Reflects 0.05 of the light it stops; stain reflects none.
    pub fn new(kind: PaintKind, plate: usize, face: Face) -> Self {
        let lobe = kind.usual_lobe();
        let (diffuse_share, reflects) = match &kind {
            PaintKind::Trace => (0.5, 0.05),
            PaintKind::Matting | PaintKind::Measured(_) => (0.35, 0.05),
            PaintKind::Enamel(_) => (0.2, 0.05),
            PaintKind::Stain(tone) => (tone.usual_diffuse_share(), 0.0),
        };
        let density = kind.usual_density();
        Self {
            kind,
            pigment: Pigment::Brown,
            plate,
            face,
            density,
            coverage: 1.0,
            diffuse_share,
            lobe,
            reflects,
        }
    }

    /// The same with another density.
    pub fn with_density(mut self, density: f64) -> Self {
        self.density = density;
        self
    }

    /// The same over a part of the face.
    pub fn with_coverage(mut self, coverage: f64) -> Self {
        self.coverage = coverage;
        self
    }

    /// The same with another lobe.
    pub fn with_lobe(mut self, lobe: Lobe) -> Self {
        self.lobe = lobe;
        self
    }

    /// The same with another pigment.
    pub fn with_pigment(mut self, pigment: Pigment) -> Self {
        self.pigment = pigment;
        self
    }

    /// Optical density by wavelength for a density of 1.
    pub fn shape(&self) -> Spectrum {
        match &self.kind {
            PaintKind::Trace | PaintKind::Matting => {
                let p = self.pigment.exponent();
                Spectrum::from_fn(|nm| (DENSITY_NM / nm).powf(p))
            }
            PaintKind::Enamel(colour) => enamel_shape(*colour),
            PaintKind::Stain(tone) => tone.shape(),
            PaintKind::Measured(shape) => shape.map(|d| if d > 0.0 { d } else { 0.0 }),
        }
    }
}

/// Absorbance of the enamel's colourant, 1 at its peak between 400 and 700 nm.
fn enamel_shape(colour: EnamelColour) -> Spectrum {
    let amounts: &[(&str, f64)] = match colour {
        EnamelColour::Blue => &[("Co2+", 1.0), ("Cu2+", 0.5)],
        EnamelColour::Turquoise => &[("Cu2+", 1.0)],
        EnamelColour::Green => &[("Cr3+", 1.0), ("Cu2+", 3.0)],
        EnamelColour::Purple => &[("Mn3+", 1.0)],
        EnamelColour::Rose => &[("Au_10nm", 1.0)],
        EnamelColour::Yellow => &[("CdS 480", 1.0)],
    };
    let absorbance = recipe(amounts).map_or(Spectrum::ZERO, |a| *a.spectrum());
    // Samples 4 … 64 are 400 … 700 nm.
    let peak = absorbance.samples()[4..=64].iter().copied().fold(0.0, f64::max);
    if peak > 0.0 { absorbance * (1.0 / peak) } else { absorbance }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vitreous_paint_has_its_density_at_560_nm() {
        for pigment in [Pigment::Black, Pigment::Brown, Pigment::Sanguine] {
            let shape = Paint::new(PaintKind::Matting, 0, Face::Inside).with_pigment(pigment).shape();
            assert!((shape[36] - 1.0).abs() < 1e-12);
            assert!(shape[0] > shape[80], "browner toward the blue");
        }
    }

    #[test]
    fn enamels_peak_at_one() {
        use EnamelColour::*;
        for colour in [Blue, Turquoise, Green, Purple, Rose, Yellow] {
            let shape = enamel_shape(colour);
            let peak = shape.samples()[4..=64].iter().copied().fold(0.0, f64::max);
            assert!((peak - 1.0).abs() < 1e-12, "{colour:?}");
        }
    }
}
