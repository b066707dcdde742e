//! Coloured glass whose makeup is not known exactly, in transmission without reflections.
//!
//! A = d·Σ a(λ) + D and T = 10^−A. Reflections at the faces, left out here, scale the light by 0.84 or so, and its
//! relative spread by less than 0.4 % of itself.

use std::f64::consts::LN_10;

use glass::Absorbance;
use spectra::{Spectrum, TristimulusWeights};

use crate::cause::{CurveId, NumberId};
use crate::draw::Draw;
use crate::movable::Movable;
use crate::portable::exp;

/// A number that is known, is a cause, or follows from a cause that other quantities may share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Quantity {
    /// Known exactly.
    Known(f64),
    /// Not known exactly.
    Cause(NumberId),
    /// A nominal value and a deviation from it, never less than `least`: the thickness of one piece of a sheet that is
    /// thicker throughout than it should be.
    Plus {
        /// The nominal value.
        nominal: f64,
        /// What is added; centre 0.
        deviation: NumberId,
        /// The least it can be.
        least: f64,
    },
    /// A nominal value times a factor: the density on one piece of a paint that is stronger than it should be.
    Times {
        /// The nominal value.
        nominal: f64,
        /// What it is multiplied by; centre 1.
        factor: NumberId,
    },
}

impl Quantity {
    /// Its value in a draw.
    pub fn at(self, draw: &Draw) -> f64 {
        match self {
            Self::Known(value) => value,
            Self::Cause(id) => draw.number(id),
            Self::Plus { nominal, deviation, least } => {
                let value = nominal + draw.number(deviation);
                // Not `max`, which would hide a NaN.
                if value < least { least } else { value }
            }
            Self::Times { nominal, factor } => nominal * draw.number(factor),
        }
    }
}

/// A colourant or a whole glass: what absorbs, and what is not known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Absorber {
    spectrum: Movable,
    strengths: Vec<NumberId>,
    curve: Option<CurveId>,
    shift_nm: Option<NumberId>,
}

impl Absorber {
    /// Known exactly so far.
    pub fn new(absorbance: &Absorbance) -> Self {
        Self {
            spectrum: Movable::new(*absorbance.spectrum()),
            strengths: Vec::new(),
            curve: None,
            shift_nm: None,
        }
    }

    /// Multiplied by a cause at every wavelength; by several if called again.
    #[must_use]
    pub fn with_strength(mut self, factor: NumberId) -> Self {
        self.strengths.push(factor);
        self
    }

    /// Multiplied by a curve.
    #[must_use]
    pub fn with_curve(mut self, factor: CurveId) -> Self {
        self.curve = Some(factor);
        self
    }

    /// The whole spectrum moved towards longer wavelengths by a cause in nm, before anything else.
    #[must_use]
    pub fn with_shift_nm(mut self, shift: NumberId) -> Self {
        self.shift_nm = Some(shift);
        self
    }

    /// Absorbance per mm, if a draw does nothing but multiply it by [`Self::strength_at`].
    pub fn only_scaled(&self) -> Option<&Spectrum> {
        (self.curve.is_none() && self.shift_nm.is_none()).then(|| self.spectrum.unmoved())
    }

    /// What a draw multiplies it by at every wavelength. NaN for a draw of other causes.
    pub fn strength_at(&self, draw: &Draw) -> f64 {
        self.strengths.iter().map(|id| draw.number(*id)).product()
    }

    /// Adds what a thickness of it absorbs in a draw, base 10. NaN for a draw of other causes.
    pub fn add_to(&self, absorbance: &mut Spectrum, thickness_mm: f64, draw: &Draw) {
        let scale = thickness_mm * self.strength_at(draw);
        let moved;
        let per_mm = match self.shift_nm {
            Some(shift) => {
                moved = self.spectrum.moved(draw.number(shift));
                &moved
            }
            None => self.spectrum.unmoved(),
        };
        match self.curve.map(|id| draw.curve(id)) {
            None => absorbance.add_scaled(scale, per_mm),
            Some(Some(curve)) => {
                let factors = per_mm.samples().iter().zip(curve.samples());
                for (absorbance, (per_mm, factor)) in absorbance.samples_mut().iter_mut().zip(factors) {
                    *absorbance += scale * per_mm * factor;
                }
            }
            // Of other causes.
            Some(None) => *absorbance = Spectrum::splat(f64::NAN),
        }
    }
}

/// A piece of glass.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// m², or any unit that all pieces share.
    pub area: f64,
    /// mm.
    pub thickness_mm: Quantity,
    /// What is in the glass.
    pub absorbers: Vec<Absorber>,
    /// Paint all over it, as a grey absorber; density base 10.
    pub density: Quantity,
}

impl Piece {
    /// Internal transmittance of glass and paint in a draw, 0–1.
    pub fn transmittance(&self, draw: &Draw) -> Spectrum {
        let thickness_mm = self.thickness_mm.at(draw);
        let mut spectrum = Spectrum::splat(self.density.at(draw));
        for absorber in &self.absorbers {
            absorber.add_to(&mut spectrum, thickness_mm, draw);
        }
        transmittance(spectrum)
    }
}

/// 10^−A, the same to the bit on every platform.
pub fn transmittance(mut absorbance: Spectrum) -> Spectrum {
    for sample in absorbance.samples_mut() {
        *sample = exp(-LN_10 * *sample);
    }
    absorbance
}

/// Luminous transmittance of all pieces together, weighted by area: 0–1, `weights` being those of a light. NaN without
/// any area.
pub fn mean_luminous_transmittance(pieces: &[Piece], weights: &TristimulusWeights, draw: &Draw) -> f64 {
    let [_, luminous, _] = weights.spectra();
    let (mut light, mut area) = (0.0, 0.0);
    for piece in pieces {
        light += piece.area * piece.transmittance(draw).dot(luminous);
        area += piece.area;
    }
    light / area / 100.0
}
