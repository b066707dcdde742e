//! How much of its light a piece passes when its causes are not at their centre.
//!
//! The light through a piece at an instant is known (`PieceLight`); it is multiplied by what the piece would pass over
//! what it passes at the centre. Absorption counts along the mean path toward the eye, paint as a layer that lets
//! through 10^−D where it lies; reflections between faces and the cone of scattered light are not followed again.

use std::f64::consts::LN_10;

use spectra::Spectrum;
use uncertainty::{Absorber, Draw, NumberId, transmittance};

use super::deviations::THINNEST_MM;

/// Coats denser than this pass so little that their tint does not matter: one number stands for all wavelengths.
const OPAQUE_DENSITY: f64 = 1.5;

/// A glass, shared by all plates of it.
pub(super) struct GlassModel {
    pub base: Vec<Absorber>,
    pub streak: Option<Vec<Absorber>>,
    pub flash: Option<Vec<Absorber>>,
    pub n: f64,
    pub index: NumberId,
}

/// A glass in a draw: absorbance per mm, and what its two faces let through over what they do at the centre.
#[derive(Clone)]
pub(super) struct GlassDrawn {
    pub base: Spectrum,
    pub streak: Option<Spectrum>,
    pub flash: Option<Spectrum>,
    faces: f64,
    #[cfg(test)]
    pub n: f64,
}

impl GlassModel {
    fn n_at(&self, draw: &Draw) -> f64 {
        (self.n + super::deviations::INDEX * draw.number(self.index)).max(1.0)
    }

    pub(super) fn at(&self, draw: &Draw) -> GlassDrawn {
        let per_mm = |absorbers: &Vec<Absorber>| {
            let mut sum = Spectrum::ZERO;
            for absorber in absorbers {
                absorber.add_to(&mut sum, 1.0, draw);
            }
            // A recipe that leaves something out cannot leave out less than nothing.
            sum.map(|a| a.max(0.0))
        };
        // Fresnel at normal incidence, both faces with all reflections between them: 2n/(n² + 1).
        let faces = |n: f64| 2.0 * n / (n * n + 1.0);
        GlassDrawn {
            base: per_mm(&self.base),
            streak: self.streak.as_ref().map(per_mm),
            flash: self.flash.as_ref().map(per_mm),
            #[cfg(test)]
            n: self.n_at(draw),
            faces: faces(self.n_at(draw)) / faces(self.n),
        }
    }
}

/// A thickness: nominal, and what its sheet and itself add, mm for one standard deviation.
#[derive(Clone, Copy)]
pub(super) struct Thickness {
    pub nominal_mm: f64,
    pub sheet: Option<(NumberId, f64)>,
    pub own: (NumberId, f64),
}

impl Thickness {
    pub(super) fn at(&self, draw: &Draw) -> f64 {
        let away = |(id, sd): (NumberId, f64)| sd * draw.number(id);
        let thickness = self.nominal_mm + self.sheet.map_or(0.0, away) + away(self.own);
        if self.nominal_mm <= THINNEST_MM { self.nominal_mm } else { thickness.max(THINNEST_MM) }
    }
}

/// A flash, mm, and the share of it that was left.
#[derive(Clone, Copy)]
pub(super) struct FlashModel {
    pub thickness_mm: f64,
    pub left: f64,
    /// Factor of the thickness.
    pub sheet: NumberId,
    /// Standard deviations of the share left, where some was taken away.
    pub etched: Option<NumberId>,
}

impl FlashModel {
    /// Share of the nominal flash, thicker or thinner.
    pub(super) fn at(&self, draw: &Draw) -> f64 {
        let left = self.left + self.etched.map_or(0.0, |id| super::deviations::ETCHED * draw.number(id));
        left.max(0.0) * draw.number(self.sheet)
    }
}

/// A plate.
pub(super) struct PlateModel {
    pub glass: usize,
    pub thickness: Thickness,
    pub flash: Option<FlashModel>,
    /// Share of the second colour, and standard deviations of it.
    pub mix: Option<(f64, NumberId)>,
}

impl PlateModel {
    pub(super) fn mix_at(&self, draw: &Draw) -> f64 {
        self.mix
            .map_or(0.0, |(mix, id)| (mix + super::deviations::STREAK_MIX * draw.number(id)).clamp(0.0, 1.0))
    }

    /// Adds what it absorbs in a draw along its normal.
    fn add_to(&self, absorbance: &mut Spectrum, glasses: &[GlassDrawn], draw: &Draw) {
        let Some(glass) = glasses.get(self.glass) else { return };
        let thickness = self.thickness.at(draw);
        let mix = self.mix_at(draw);
        absorbance.add_scaled(thickness * (1.0 - mix), &glass.base);
        if let Some(streak) = &glass.streak {
            absorbance.add_scaled(thickness * mix, streak);
        }
        if let (Some(flash), Some(model)) = (&glass.flash, &self.flash) {
            absorbance.add_scaled(model.thickness_mm * model.at(draw), flash);
        }
    }
}

/// A fired coat.
pub(super) struct CoatModel {
    /// Density by wavelength for a density of 1.
    pub shape: Spectrum,
    pub density: f64,
    /// Factors of the density: of the firing, and of the piece.
    pub density_factors: [NumberId; 2],
    pub coverage: f64,
    /// Factors of the coverage, where it is partial.
    pub coverage_factors: Option<[NumberId; 2]>,
}

impl CoatModel {
    pub(super) fn density_at(&self, draw: &Draw) -> f64 {
        self.density_factors.iter().fold(self.density, |density, id| density * draw.number(*id))
    }

    pub(super) fn coverage_at(&self, draw: &Draw) -> f64 {
        let factors = self.coverage_factors.iter().flatten();
        factors.fold(self.coverage, |coverage, id| coverage * draw.number(*id)).min(1.0)
    }

    fn is_whole(&self) -> bool {
        self.coverage_factors.is_none()
    }
}

/// Share of the light that is scattered on the way, and the causes of it with their weights.
pub(super) struct ScatterModel {
    /// Of what is transmitted, 0–1.
    pub share: f64,
    /// Share of the light crossing that is lost backward.
    pub back: f64,
    pub causes: Vec<(NumberId, f64)>,
}

impl ScatterModel {
    pub(super) fn factor(&self, draw: &Draw) -> f64 {
        self.causes.iter().map(|(id, weight)| weight * draw.number(*id)).sum()
    }
}

/// A piece.
pub(super) struct PieceModel {
    pub plates: Vec<PlateModel>,
    pub coats: Vec<CoatModel>,
    pub scatter: Option<ScatterModel>,
    /// Length of the path in the glass over its thickness.
    pub path: f64,
}

/// What a piece passes over what it passes at the centre.
pub(super) struct Passed {
    /// By its glass alone.
    pub glass: Spectrum,
    /// By its coats, where that differs by wavelength.
    pub coats: Option<Spectrum>,
    /// By coats and pane in front, where it does not.
    pub rest: f64,
}

impl PieceModel {
    /// Absorbance of the glass along the path.
    pub(super) fn glass_absorbance(&self, glasses: &[GlassDrawn], draw: &Draw) -> Spectrum {
        let mut absorbance = Spectrum::ZERO;
        for plate in &self.plates {
            plate.add_to(&mut absorbance, glasses, draw);
        }
        absorbance * self.path
    }

    /// Transmittance of coats that differs by wavelength: over the whole piece as one exponent, over parts one by one.
    pub(super) fn coats(&self, draw: &Draw) -> (Option<Spectrum>, f64) {
        let (mut whole, mut parts, mut grey) = (None, None, 1.0);
        for coat in &self.coats {
            let (density, coverage) = (coat.density_at(draw), coat.coverage_at(draw));
            if coat.density >= OPAQUE_DENSITY {
                grey *= 1.0 - coverage * (1.0 - (-LN_10 * density).exp());
            } else if coat.is_whole() {
                whole.get_or_insert(Spectrum::ZERO).add_scaled(density, &coat.shape);
            } else {
                let bare = transmittance(coat.shape * density).map(|t| 1.0 - coverage * (1.0 - t));
                parts = Some(parts.map_or(bare, |before: Spectrum| before * bare));
            }
        }
        let spectral = match (whole.map(transmittance), parts) {
            (Some(whole), Some(parts)) => Some(whole * parts),
            (one, other) => one.or(other),
        };
        (spectral, grey)
    }

    /// What it passes in a draw over `centre`.
    pub(super) fn passed(&self, centre: &Centre, glasses: &[GlassDrawn], draw: &Draw) -> Passed {
        let mut glass = transmittance(self.glass_absorbance(glasses, draw) - centre.absorbance);
        let faces: f64 =
            self.plates.iter().filter_map(|plate| glasses.get(plate.glass)).map(|g| g.faces).product();
        glass *= faces;
        let (coats, grey) = self.coats(draw);
        Passed {
            glass,
            coats: coats.map(|coats| coats * centre.per_coats),
            rest: grey / centre.grey.max(f64::MIN_POSITIVE),
        }
    }
}

/// What a piece is at the centre.
pub(super) struct Centre {
    pub absorbance: Spectrum,
    /// One over the transmittance of its coats.
    pub per_coats: Spectrum,
    pub grey: f64,
}

impl Centre {
    pub(super) fn of(piece: &PieceModel, glasses: &[GlassDrawn], centre: &Draw) -> Self {
        let (coats, grey) = piece.coats(centre);
        Self {
            absorbance: piece.glass_absorbance(glasses, centre),
            per_coats: coats.map_or(Spectrum::ONE, |t| t.map(|t| 1.0 / t.max(f64::MIN_POSITIVE))),
            grey,
        }
    }
}
