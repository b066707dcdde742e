//! The glass of a piece when its causes are not at their centre: what its colours absorb, and how thick they are.

use spectra::Spectrum;
use uncertainty::{Absorber, Draw, NumberId, transmittance};

use super::bands::{BANDS, Bands, add_scaled, mean, steepest};
use super::deviations::{ETCHED, INDEX, STREAK_MIX, THINNEST_MM};

/// Thickness for which the bands of a glass are made, mm: within a band a thicker glass lets more of its light through where it
/// is clearest.
const USUAL_MM: f64 = 3.0;
/// Light at the clearest wavelength of a band over that at the darkest, above which the band is not taken as one.
const MOST_IN_A_BAND: f64 = 2.0;
/// A colour of a glass: what absorbs in it.
pub(super) struct Colour {
    absorbers: Vec<Absorber>,
    /// The same per mm and band, if a draw only multiplies each of them and no band is steep. Others are taken by wavelength.
    scaled: Option<Vec<Bands>>,
}

impl Colour {
    /// `passes`: where within each band light passes.
    pub(super) fn new(absorbers: Vec<Absorber>, passes: &Spectrum) -> Self {
        let banded = |absorber: &Absorber| Some(mean(absorber.only_scaled()?, passes));
        let scaled =
            if steepest(passes) > MOST_IN_A_BAND { None } else { absorbers.iter().map(banded).collect() };
        Self { absorbers, scaled }
    }

    /// Absorbance per mm in a draw, by band. A recipe that leaves something out cannot leave out less than nothing.
    fn at(&self, draw: &Draw) -> Bands {
        match &self.scaled {
            Some(scaled) => {
                let mut bands = [0.0; BANDS];
                for (absorber, per_mm) in self.absorbers.iter().zip(scaled) {
                    add_scaled(&mut bands, absorber.strength_at(draw) as f32, per_mm);
                }
                bands.map(|a| a.max(0.0))
            }
            None => {
                let passed = transmittance(self.spectrum_at(draw) * USUAL_MM);
                mean(&passed, &Spectrum::ONE).map(|t| -t.max(f32::MIN_POSITIVE).log10() / USUAL_MM as f32)
            }
        }
    }

    /// Absorbance per mm in a draw, by wavelength.
    pub(super) fn spectrum_at(&self, draw: &Draw) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        self.absorbers.iter().for_each(|absorber| absorber.add_to(&mut sum, 1.0, draw));
        sum.map(|a| a.max(0.0))
    }
}

/// A glass, shared by all plates of it.
pub(super) struct GlassModel {
    pub base: Colour,
    pub streak: Option<Colour>,
    pub flash: Option<Colour>,
    pub n: f64,
    pub index: NumberId,
}

/// A glass in a draw: absorbance per mm by band, and what its two faces let through over what they do at the centre.
pub(super) struct GlassDrawn {
    base: Bands,
    streak: Option<Bands>,
    flash: Option<Bands>,
    pub(super) faces: f32,
}

impl GlassModel {
    /// Where within each band light passes, for a glass of this absorbance per mm.
    pub(super) fn passes(base: &Spectrum) -> Spectrum {
        // Nowhere nothing, so that every band has a mean.
        transmittance(*base * USUAL_MM).map(|t| t + 1e-6)
    }

    pub(super) fn n_at(&self, draw: &Draw) -> f64 {
        (self.n + INDEX * draw.number(self.index)).max(1.0)
    }

    pub(super) fn at(&self, draw: &Draw) -> GlassDrawn {
        let banded = |colour: &Colour| colour.at(draw);
        // Fresnel at normal incidence, both faces with all reflections between them: 2n/(n² + 1).
        let faces = |n: f64| 2.0 * n / (n * n + 1.0);
        GlassDrawn {
            base: banded(&self.base),
            streak: self.streak.as_ref().map(banded),
            flash: self.flash.as_ref().map(banded),
            faces: (faces(self.n_at(draw)) / faces(self.n)) as f32,
        }
    }
}

/// A thickness: nominal, and what its sheet and itself add, mm for one standard deviation.
#[derive(Clone, Copy)]
pub(super) struct Thickness {
    pub nominal_mm: f64,
    pub sheet: (NumberId, f64),
    pub own: (NumberId, f64),
}

impl Thickness {
    pub(super) fn at(&self, draw: &Draw) -> f64 {
        let away = |(id, sd): (NumberId, f64)| sd * draw.number(id);
        let thickness = self.nominal_mm + away(self.sheet) + away(self.own);
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
        let left = self.left + self.etched.map_or(0.0, |id| ETCHED * draw.number(id));
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
        self.mix.map_or(0.0, |(mix, id)| (mix + STREAK_MIX * draw.number(id)).clamp(0.0, 1.0))
    }

    /// Adds what it absorbs in a draw along its normal.
    pub(super) fn add_to(&self, absorbance: &mut Bands, glasses: &[GlassDrawn], draw: &Draw) {
        let Some(glass) = glasses.get(self.glass) else { return };
        let thickness = self.thickness.at(draw);
        let mix = self.mix_at(draw);
        add_scaled(absorbance, (thickness * (1.0 - mix)) as f32, &glass.base);
        if let Some(streak) = &glass.streak {
            add_scaled(absorbance, (thickness * mix) as f32, streak);
        }
        if let (Some(flash), Some(model)) = (&glass.flash, &self.flash) {
            add_scaled(absorbance, (model.thickness_mm * model.at(draw)) as f32, flash);
        }
    }
}
