//! `clerestory drawing new`: a window drawn from measurements.

use openings::{Bars, Border, Filling, Leads, Measurements, Opening, OpeningFault, OpeningFaults};
use panel::{DEFAULT_BAR_DIAMETER_MM, DEFAULT_BORDER_FACE_MM, DEFAULT_CUTLINE_FACE_MM};

use crate::arguments::{OpeningShape, OpeningSizes};
use crate::fault::CliError;

/// Name of a scene around a window that has none.
pub(crate) const USUAL_NAME: &str = "New window";

/// The measurements that the arguments give.
///
/// # Errors
/// A measurement that the shape needs is missing, or one is given that it does not have.
pub(crate) fn measurements(asked: &OpeningSizes) -> Result<Measurements, CliError> {
    Ok(Measurements {
        opening: opening(asked)?,
        filling: filling(asked),
        border: asked.border_mm.map(|width_mm| Border { width_mm, piece_mm: asked.border_piece_mm }),
        bars: asked.bars_mm.map(|spacing_mm| Bars {
            spacing_mm,
            diameter_mm: asked.bar_diameter_mm.unwrap_or(DEFAULT_BAR_DIAMETER_MM),
        }),
        leads: Leads {
            border_face_mm: asked.border_lead_mm.unwrap_or(DEFAULT_BORDER_FACE_MM),
            face_mm: asked.lead_mm.unwrap_or(DEFAULT_CUTLINE_FACE_MM),
        },
    })
}

fn opening(asked: &OpeningSizes) -> Result<Opening, CliError> {
    let width_mm = asked.width_mm;
    let height_mm =
        || asked.height_mm.ok_or(wrong("--height-mm: expected a height for this shape, found none"));
    let has_rise = matches!(asked.shape, OpeningShape::Pointed | OpeningShape::Segmental);
    if asked.rise_mm.is_some() && !has_rise {
        return Err(wrong("--rise-mm: only pointed and segmental heads have a rise; leave it out"));
    }
    Ok(match asked.shape {
        OpeningShape::Rectangle => Opening::Rectangle { width_mm, height_mm: height_mm()? },
        OpeningShape::RoundHeaded => Opening::RoundHeaded { width_mm, height_mm: height_mm()? },
        OpeningShape::Pointed => {
            Opening::Pointed { width_mm, height_mm: height_mm()?, rise_mm: asked.rise_mm }
        }
        OpeningShape::Segmental => {
            let rise_mm =
                asked.rise_mm.ok_or(wrong("--rise-mm: expected the rise of the segment, found none"))?;
            Opening::Segmental { width_mm, height_mm: height_mm()?, rise_mm }
        }
        OpeningShape::Round if asked.height_mm.is_some() => {
            return Err(wrong(
                "--height-mm: a round opening has only --width-mm, its diameter; leave it out",
            ));
        }
        OpeningShape::Round => Opening::Round { diameter_mm: width_mm },
    })
}

fn filling(asked: &OpeningSizes) -> Filling {
    match (asked.quarries.as_deref(), asked.panes.as_deref(), asked.pane_size_mm.as_deref()) {
        (Some(&[width_mm, height_mm]), ..) => Filling::Quarries { width_mm, height_mm },
        (_, Some(&[columns, rows]), _) => Filling::Rectangles { columns, rows },
        (.., Some(&[pane_width_mm, pane_height_mm])) => {
            Filling::RectanglesBySize { pane_width_mm, pane_height_mm }
        }
        _ => Filling::Plain {},
    }
}

fn wrong(fault: &str) -> CliError {
    CliError::Options { faults: vec![fault.to_owned()] }
}

/// Why no window can be made of the measurements, each fault at the option that was typed for it.
pub(crate) fn refused(faults: &OpeningFaults, asked: &OpeningSizes) -> CliError {
    let in_words = |fault: &OpeningFault| {
        let option = option_of(fault.field(), asked);
        format!("{option}: expected {}, found {}", fault.expected(), fault.found())
    };
    CliError::Options { faults: faults.faults.iter().map(in_words).collect() }
}

/// The option that gives a measurement; what stands for several is given by the one that was typed.
fn option_of(field: &str, asked: &OpeningSizes) -> &'static str {
    match field {
        "opening.width_mm" | "opening.diameter_mm" => "--width-mm",
        "opening.height_mm" => "--height-mm",
        "opening.rise_mm" => "--rise-mm",
        "border.width_mm" => "--border-mm",
        "border.piece_mm" => "--border-piece-mm",
        "bars.spacing_mm" => "--bars-mm",
        "bars.diameter_mm" => "--bar-diameter-mm",
        "leads.border_face_mm" => "--border-lead-mm",
        "leads" | "leads.face_mm" => "--lead-mm",
        _ if asked.quarries.is_some() => "--quarries",
        _ if asked.panes.is_some() => "--panes",
        _ if asked.pane_size_mm.is_some() => "--pane-size-mm",
        _ => "--width-mm",
    }
}
