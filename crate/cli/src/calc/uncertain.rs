//! How well the light through a piece or a group of pieces is known.

use std::ops::RangeInclusive;

use glass::Absorbance;
use spectra::{Observer, TristimulusWeights, illuminant};
use uncertainty::{
    Absorber, Causes, DRAWS, Distribution, FEWEST_DRAWS, Form, NumberId, Origin, Piece, Quantity,
    mean_luminous_transmittance, sample,
};

use super::answer::Answer;
use super::fields::{Fault, Fields};
use super::glasses::{ABSORBANCE, ABSORBANCE_WORDS, SPECTRA, known};

const SIGMA_LN: RangeInclusive<f64> = 0.0..=10.0;
const SIGMA_LN_WORDS: &str = "a standard deviation of the natural logarithm, from 0 to 10";
/// Thinnest glass that a draw may have, mm.
const THINNEST_MM: f64 = 0.05;
/// More take minutes.
const MOST_PIECES: usize = 400;

/// What a table of cases says of a case beside its inputs: its name and answers.
const TOLD: &[&str] = &[
    "name",
    "Y_at_centre",
    "Y_mean",
    "Y_median",
    "Y_p05",
    "Y_p95",
    "sd_ln_Y",
    "linear_relative_sd_Y",
    "mean_Y_mean",
    "mean_Y_median",
    "mean_Y_p05",
    "mean_Y_p95",
    "sd_ln_mean_Y",
    "sd_ln_total",
    "total_lm_median",
    "total_lm_p05",
    "total_lm_p95",
    "error_percent",
];

/// `uncertainty`: range of the luminous internal transmittance under D65 of one piece, or of the mean over a group. The
/// standard deviation of its logarithm is `null` where none passes at all.
pub(super) fn uncertainty(fields: &Fields<'_>) -> Result<Answer, Fault> {
    fields.leave_unread(TOLD);
    // One piece has its glass and thickness here, a group has them in `pieces`.
    let is_piece = fields.optional("glass").is_some()
        || fields.optional("thickness_mm").is_some() && fields.optional("pieces").is_none();
    if is_piece { piece(fields) } else { group(fields) }
}

fn piece(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let name = fields.text("glass")?;
    let thickness = thickness_mm(fields)?;
    let sigma_thickness = sigma_thickness_mm(fields)?;
    let density = paint_density(fields)?;
    let sigma_ln = fields.optional_number_in("sigma_ln_absorbance", SIGMA_LN, SIGMA_LN_WORDS)?;
    let correlation_nm = fields.optional_number_in(
        "correlation_nm",
        0.001..=1e6,
        "nanometres from 0.001 to 1000000, or null for one number at all wavelengths",
    )?;
    let sigma_edge = fields.optional_number_in("sigma_edge_nm", 0.0..=400.0, "nanometres from 0 to 400")?;
    let sigma_density =
        fields.optional_number_in("sigma_density", 0.0..=10.0, "a standard deviation from 0 to 10")?;
    let sigma_ln_density = fields.optional_number_in("sigma_ln_density", SIGMA_LN, SIGMA_LN_WORDS)?;
    if sigma_density.is_some() && sigma_ln_density.is_some() {
        let path = fields.path("sigma_ln_density");
        return Err(Fault::wrong(path, "nothing beside sigma_density", "both"));
    }
    let draws = draws(fields)?;
    let spectra = fields.spectra_by_name(SPECTRA, &ABSORBANCE, ABSORBANCE_WORDS)?;
    fields.finish()?;
    let spectrum = known(&fields.path("glass"), &spectra, name)?;

    let mut light = Light { causes: Causes::new(), pieces: Vec::new() };
    let mut absorber = Absorber::new(&Absorbance::per_mm(spectrum));
    if let Some(sigma) = sigma_ln {
        let curve = light.causes.curve("absorbance", sigma, correlation_nm, Origin::Assumption);
        absorber = absorber.with_curve(curve.map_err(Fault::refused)?);
    }
    if let Some(sigma) = sigma_edge {
        absorber = absorber.with_shift_nm(light.number("edge", 0.0, sigma, Form::Normal)?);
    }
    let deviation = match sigma_thickness {
        Some(sigma) => Some(light.number("thickness", 0.0, sigma, Form::Normal)?),
        None => None,
    };
    let density = match (sigma_density, sigma_ln_density) {
        (Some(sigma), _) => {
            Quantity::Cause(light.number("paint", density, sigma, Form::NormalAtLeast(0.0))?)
        }
        (None, Some(sigma)) => Quantity::Cause(light.number("paint", density, sigma, Form::LogNormal)?),
        (None, None) => Quantity::Known(density),
    };
    let thickness_mm = plus(thickness, deviation);
    light.pieces.push(Piece { area: 1.0, thickness_mm, absorbers: vec![absorber], density });
    let found = light.distribution(draws)?;
    Answer::default()
        .with("Y_median", found.median)?
        .with("Y_p05", found.p05)?
        .with("Y_p95", found.p95)?
        .with("sd_ln_Y", found.sd_ln)
}

const PIECES: &str = "pieces {area_m2, thickness_mm, amounts, paint_density}";

fn group(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let entries = fields.list("pieces", PIECES)?;
    if !(1..=MOST_PIECES).contains(&entries.len()) {
        let expected = format!("1 to {MOST_PIECES} pieces");
        return Err(Fault::wrong(fields.path("pieces"), expected, format!("a list of {}", entries.len())));
    }
    let shared = fields.optional_numbers_by_name("sigma_ln_shared", SIGMA_LN, SIGMA_LN_WORDS)?;
    let own = fields.optional_numbers_by_name("sigma_ln_own", SIGMA_LN, SIGMA_LN_WORDS)?;
    let sigma_thickness = sigma_thickness_mm(fields)?;
    let thickness_shared = fields.flag("thickness_shared")?;
    let sigma_ln_density = fields.optional_number_in("sigma_ln_density", SIGMA_LN, SIGMA_LN_WORDS)?;
    let density_shared = fields.flag("density_shared")?;
    let draws = draws(fields)?;
    let spectra = fields.spectra_by_name(SPECTRA, &ABSORBANCE, ABSORBANCE_WORDS)?;
    fields.finish()?;
    for (key, sigmas) in [("sigma_ln_shared", &shared), ("sigma_ln_own", &own)] {
        for (name, _) in sigmas {
            known(&format!("{}.{name}", fields.path(key)), &spectra, name)?;
        }
    }

    let mut light = Light { causes: Causes::new(), pieces: Vec::new() };
    // A colourant has one factor for all pieces, and so have thickness and paint where they are shared.
    let mut factors = Vec::new();
    for (name, sigma) in shared {
        factors.push((name, light.number(name, 1.0, sigma, Form::LogNormal)?));
    }
    let sheet = match sigma_thickness.filter(|_| thickness_shared) {
        Some(sigma) => Some(light.number("thickness", 0.0, sigma, Form::Normal)?),
        None => None,
    };
    let paint = match sigma_ln_density.filter(|_| density_shared) {
        Some(sigma) => Some(light.number("paint", 1.0, sigma, Form::LogNormal)?),
        None => None,
    };
    for (path, value) in &entries {
        let piece = Fields::of(path, value)?;
        let area = piece.number_in("area_m2", 1e-9..=1e9, "square metres from 1e-9 to 1e9")?;
        let nominal_mm = thickness_mm(&piece)?;
        let nominal_density = paint_density(&piece)?;
        piece.required("amounts", "an object of colourants and amounts")?;
        let amounts = piece.optional_numbers_by_name("amounts", 0.0..=1e6, "an amount from 0 to 1000000")?;
        piece.finish()?;
        let mut absorbers = Vec::new();
        for (name, amount) in amounts {
            let spectrum = known(&format!("{}.{name}", piece.path("amounts")), &spectra, name)?;
            let mut absorber = Absorber::new(&Absorbance::per_mm(spectrum * amount));
            if let Some((_, factor)) = factors.iter().find(|(of, _)| *of == name) {
                absorber = absorber.with_strength(*factor);
            }
            if let Some((_, sigma)) = own.iter().find(|(of, _)| *of == name) {
                let factor = light.number(&format!("{name} in {path}"), 1.0, *sigma, Form::LogNormal)?;
                absorber = absorber.with_strength(factor);
            }
            absorbers.push(absorber);
        }
        let deviation = match sigma_thickness.filter(|_| !thickness_shared) {
            Some(sigma) => Some(light.number(&format!("thickness of {path}"), 0.0, sigma, Form::Normal)?),
            None => sheet,
        };
        let factor = match sigma_ln_density.filter(|_| !density_shared && nominal_density > 0.0) {
            Some(sigma) => Some(light.number(&format!("paint on {path}"), 1.0, sigma, Form::LogNormal)?),
            None => paint,
        };
        light.pieces.push(Piece {
            area,
            thickness_mm: plus(nominal_mm, deviation),
            absorbers,
            density: match factor {
                Some(factor) => Quantity::Times { nominal: nominal_density, factor },
                None => Quantity::Known(nominal_density),
            },
        });
    }
    let found = light.distribution(draws)?;
    Answer::default()
        .with("mean_Y_median", found.median)?
        .with("mean_Y_p05", found.p05)?
        .with("mean_Y_p95", found.p95)?
        .with("sd_ln_mean_Y", found.sd_ln)
}

/// What light passes, and what is not known of it.
struct Light {
    causes: Causes,
    pieces: Vec<Piece>,
}

impl Light {
    fn number(&mut self, name: &str, centre: f64, sd: f64, form: Form) -> Result<NumberId, Fault> {
        self.causes.number(name, centre, sd, form, Origin::Assumption).map_err(Fault::refused)
    }

    /// Of the luminous transmittance of all pieces together.
    fn distribution(&self, draws: usize) -> Result<Distribution, Fault> {
        let weights = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
        let [found] =
            sample(&self.causes, draws, |draw| [mean_luminous_transmittance(&self.pieces, &weights, draw)])
                .map_err(Fault::refused)?;
        Ok(found)
    }
}

fn plus(nominal_mm: f64, deviation: Option<NumberId>) -> Quantity {
    match deviation {
        Some(deviation) => Quantity::Plus { nominal: nominal_mm, deviation, least: THINNEST_MM },
        None => Quantity::Known(nominal_mm),
    }
}

fn thickness_mm(fields: &Fields<'_>) -> Result<f64, Fault> {
    fields.number_in("thickness_mm", 0.0..=1000.0, "millimetres from 0 to 1000")
}

fn sigma_thickness_mm(fields: &Fields<'_>) -> Result<Option<f64>, Fault> {
    let sigma =
        fields.optional_number_in("sigma_thickness_mm", 0.0..=1000.0, "millimetres from 0 to 1000")?;
    // A thickness that is known may be below the thinnest that a draw can have.
    Ok(sigma.filter(|sigma| *sigma > 0.0))
}

/// 0 if missing.
fn paint_density(fields: &Fields<'_>) -> Result<f64, Fault> {
    let found = fields.optional_number_in("paint_density", 0.0..=100.0, "a density from 0 to 100")?;
    Ok(found.unwrap_or(0.0))
}

/// As many as usual, or fewer if the line says so.
fn draws(fields: &Fields<'_>) -> Result<usize, Fault> {
    let least = FEWEST_DRAWS as f64;
    let words = format!("a number of draws from {FEWEST_DRAWS} to 1e9");
    let most = fields.optional_number_in("draws", least..=1e9, &words)?;
    Ok(most.map_or(DRAWS, |most| DRAWS.min(most as usize)))
}
