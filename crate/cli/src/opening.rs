//! `clerestory drawing new`: a window drawn from measurements.

use openings::{Bars, Border, Filling, Leads, Measurements, Opening};
use panel::{DEFAULT_BORDER_FACE_MM, DEFAULT_CUTLINE_FACE_MM};

use crate::arguments::{OpeningShape, OpeningSizes};
use crate::fault::CliError;

/// The measurements that the arguments give.
///
/// # Errors
/// A measurement that the shape needs is missing, or one is given that it does not have.
pub(crate) fn measurements(asked: &OpeningSizes) -> Result<Measurements, CliError> {
    Ok(Measurements {
        opening: opening(asked)?,
        filling: filling(asked),
        border: asked.border_mm.map(|width_mm| Border { width_mm, piece_mm: None }),
        bars: asked.bars_mm.map(|spacing_mm| Bars { spacing_mm, ..Bars::default() }),
        leads: Leads {
            border_face_mm: asked.border_lead_mm.unwrap_or(DEFAULT_BORDER_FACE_MM),
            face_mm: asked.lead_mm.unwrap_or(DEFAULT_CUTLINE_FACE_MM),
        },
    })
}

fn opening(asked: &OpeningSizes) -> Result<Opening, CliError> {
    let width_mm = asked.width_mm;
    let height_mm = || asked.height_mm.ok_or(wrong("--height-mm", "a height for this shape", "none"));
    let has_rise = matches!(asked.shape, OpeningShape::Pointed | OpeningShape::Segmental);
    if asked.rise_mm.is_some() && !has_rise {
        return Err(wrong("--rise-mm", "no rise: only pointed and segmental heads have one", "one"));
    }
    Ok(match asked.shape {
        OpeningShape::Rectangle => Opening::Rectangle { width_mm, height_mm: height_mm()? },
        OpeningShape::RoundHeaded => Opening::RoundHeaded { width_mm, height_mm: height_mm()? },
        OpeningShape::Pointed => {
            Opening::Pointed { width_mm, height_mm: height_mm()?, rise_mm: asked.rise_mm }
        }
        OpeningShape::Segmental => {
            let rise_mm = asked.rise_mm.ok_or(wrong("--rise-mm", "the rise of the segment", "none"))?;
            Opening::Segmental { width_mm, height_mm: height_mm()?, rise_mm }
        }
        OpeningShape::Round if asked.height_mm.is_some() => {
            return Err(wrong("--height-mm", "no height: a circle has one diameter", "one"));
        }
        OpeningShape::Round => Opening::Round { diameter_mm: width_mm },
    })
}

fn filling(asked: &OpeningSizes) -> Filling {
    match (asked.quarries.as_deref(), asked.panes.as_deref()) {
        (Some(&[width_mm, height_mm]), _) => Filling::Quarries { width_mm, height_mm },
        (_, Some(&[columns, rows])) => Filling::Rectangles { columns, rows },
        _ => Filling::Plain {},
    }
}

fn wrong(option: &'static str, expected: &'static str, found: &'static str) -> CliError {
    CliError::Opening { why: format!("{option}: expected {expected}, found {found}") }
}
