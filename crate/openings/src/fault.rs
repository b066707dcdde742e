//! What can be wrong with the measurements of a window, with the field of each fault.

use schemars::JsonSchema;
use serde::Serialize;
use std::fmt;

/// Longest distance between bars, and longest side of a pane or a piece of a border, mm: as long as a drawing. What is
/// longer than the opening makes one of it.
pub(crate) const MOST_LENGTH_MM: f64 = panel::COORDINATE_LIMIT_MM;

/// Measurements from which no window can be drawn: every fault found, at least one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", list(faults))]
pub struct OpeningFaults {
    /// The faults, in the order opening, leads, border, filling, bars.
    pub faults: Vec<OpeningFault>,
}

/// One fault a line.
fn list(faults: &[OpeningFault]) -> String {
    faults.iter().map(|fault| fault.to_string()).collect::<Vec<_>>().join("\n")
}

/// One reason why no window can be drawn. `field` is the path of the measurement, such as `opening.width_mm`.
#[derive(Debug, Clone, PartialEq, thiserror::Error, Serialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[error("{}: expected {}, found {}", self.field(), self.expected(), self.found())]
pub enum OpeningFault {
    /// A length outside its range, or no number.
    Length {
        /// The measurement.
        field: &'static str,
        /// Shortest possible, mm.
        least_mm: f64,
        /// Longest possible, mm.
        most_mm: f64,
        /// Where the range comes from, to be read after it; empty if it is the general one.
        why: &'static str,
        /// The length, mm.
        found_mm: f64,
    },
    /// Something that no length makes possible, as the other measurements are.
    Impossible {
        /// Its measurement.
        field: &'static str,
        /// What is possible instead, and why: to be read after "expected".
        why: &'static str,
        /// The length, mm.
        found_mm: f64,
    },
    /// A number of columns or rows outside its range.
    Count {
        /// The measurement.
        field: &'static str,
        /// Least possible.
        least: u32,
        /// Most possible.
        most: u32,
        /// Where the range comes from, to be read after it.
        why: &'static str,
        /// The number.
        found: u32,
    },
    /// Leads so wide that next to no glass shows between them.
    LittleGlass {
        /// What is too small.
        what: &'static str,
        /// Smallest inscribed circle that leaves some glass: its diameter, mm.
        least_mm: f64,
        /// Diameter of the inscribed circle, mm.
        found_mm: f64,
    },
    /// More pieces than one drawing may hold.
    TooManyPieces {
        /// What gives most of them.
        field: &'static str,
        /// The limit.
        limit: usize,
        /// The number, estimated from the measurements.
        found: f64,
    },
    /// Leads so near each other that the drawing makes no sound panel.
    NotSound {
        /// What gives the piece at fault.
        field: &'static str,
        /// What is wrong with the first such piece, and where, in mm from the opening's lower left.
        reason: String,
    },
}

impl OpeningFault {
    /// Path of the measurement at fault; `leads` if it is their width beside everything else.
    pub fn field(&self) -> &'static str {
        match self {
            Self::Length { field, .. }
            | Self::Impossible { field, .. }
            | Self::Count { field, .. }
            | Self::TooManyPieces { field, .. }
            | Self::NotSound { field, .. } => field,
            Self::LittleGlass { .. } => "leads",
        }
    }

    /// What was expected there and, where it helps, what to do.
    pub fn expected(&self) -> String {
        match self {
            Self::Length { least_mm, most_mm, why, .. } => {
                format!("{} to {} mm{why}", Short(*least_mm), Short(*most_mm))
            }
            Self::Impossible { why, .. } => (*why).to_owned(),
            Self::Count { least, most, why, .. } => format!("{least} to {most}{why}"),
            Self::LittleGlass { what, least_mm, .. } => format!(
                "at least {} mm across the {what}, between the leads' centre lines: use narrower leads or larger \
                 measurements",
                Short(*least_mm)
            ),
            Self::TooManyPieces { limit, .. } => format!("at most {limit} pieces: use larger ones"),
            Self::NotSound { .. } => {
                "pieces that leads can hold: change their size or number a little, or use \
                                      narrower leads"
                    .to_owned()
            }
        }
    }

    /// What was found instead.
    pub fn found(&self) -> String {
        match self {
            Self::Length { found_mm, .. }
            | Self::Impossible { found_mm, .. }
            | Self::LittleGlass { found_mm, .. } => format!("{} mm", Short(*found_mm)),
            Self::Count { found, .. } => found.to_string(),
            Self::TooManyPieces { found, .. } => format!("about {}", Short(found.round())),
            Self::NotSound { reason, .. } => reason.clone(),
        }
    }
}

/// A number for a message: to a thousandth, or as a power of ten if it is very large.
struct Short(f64);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.abs() < 1e7 {
            write!(f, "{}", (self.0 * 1e3).round() / 1e3 + 0.0)
        } else {
            write!(f, "{:e}", self.0)
        }
    }
}

/// Adds a fault unless the length lies in its range. Not a number lies in none.
pub(crate) fn check_length(
    field: &'static str,
    found_mm: f64,
    [least_mm, most_mm]: [f64; 2],
    why: &'static str,
    faults: &mut Vec<OpeningFault>,
) {
    if !(least_mm..=most_mm).contains(&found_mm) {
        faults.push(OpeningFault::Length { field, least_mm, most_mm, why, found_mm });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_names_field_range_and_value() {
        let mut faults = Vec::new();
        check_length("opening.width_mm", f64::NAN, [50.0, 20_000.0], "", &mut faults);
        check_length("border.width_mm", 1e300, [14.0, 200.0 / 3.0], " (a third of the width)", &mut faults);
        check_length("opening.width_mm", 50.0, [50.0, 20_000.0], "", &mut faults);
        let text: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert_eq!(
            text,
            [
                "opening.width_mm: expected 50 to 20000 mm, found NaN mm",
                "border.width_mm: expected 14 to 66.667 mm (a third of the width), found 1e300 mm",
            ]
        );
    }
}
