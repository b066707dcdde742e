//! Why no window was made, as a list of faults.

use drawing_io::ImportError;
use openings::{OpeningFault, OpeningFaults};
use scene::{Fault, Faults};

/// Path of the faults that another width would remove, or any width where the file gives none.
pub const WIDTH: &str = "width_mm";

/// What is found at [`WIDTH`] where the file gives no real size and none was told.
pub const NO_WIDTH: &str = "none";

/// One fault.
pub(crate) fn fault(path: &str, expected: impl Into<String>, found: impl Into<String>) -> Faults {
    Faults(vec![Fault::new(path, expected, found)])
}

/// Why a drawing was refused. The command line's words name its options; these are for the page.
pub(crate) fn refused(error: &ImportError) -> Faults {
    match error {
        ImportError::NeedsWidth => fault(WIDTH, "the real width of the window", NO_WIDTH),
        ImportError::BadOption { option: "--width-mm", expected, found } => {
            fault(WIDTH, format!("a real width {expected}"), format!("{found} mm"))
        }
        ImportError::BadOption { option, expected, found } => fault(option, *expected, found.as_str()),
        ImportError::TooLarge { width_mm, height_mm } => fault(
            WIDTH,
            "a window of at most 20 000 mm either way: check the real width",
            format!("{width_mm:.0} by {height_mm:.0} mm"),
        ),
        ImportError::TooMuch { what, limit } => fault(
            "",
            format!("at most {limit} {what}: simplify the drawing or split it into several windows"),
            "more",
        ),
        ImportError::NotXml { reason } => fault("", "an SVG file", reason.as_str()),
        ImportError::NotSvg { found } => fault("", "an SVG file", format!("XML with {found} at the top")),
        ImportError::NoSuchLayer { found, known } => {
            fault("layers", format!("one of {}", known.join(", ")), found.as_str())
        }
        ImportError::NoOutline { why } => fault(
            "",
            "a closed line around the window: take the layer that has it as the edge",
            format!("none: {why}"),
        ),
        ImportError::OpenEdge { gap_mm, at_mm: [x, y] } => fault(
            "",
            "a closed line around the window: draw what is missing of its edge",
            format!("one open by {gap_mm:.0} mm at {x:.0}, {y:.0} mm from the lower left of its lines"),
        ),
        ImportError::Panel(error) => fault("", "lines that divide the window into pieces", error.to_string()),
        ImportError::Shapes(why) => fault("", "leads drawn as shapes that can be followed", why.as_str()),
    }
}

/// Why there is no window of these measurements, each fault at the path of its measurement.
pub(crate) fn impossible(faults: &OpeningFaults) -> Faults {
    let at = |fault: &OpeningFault| Fault::new(fault.field(), fault.expected(), fault.found());
    Faults(faults.faults.iter().map(at).collect())
}

/// What the page sent is not what it should be.
pub(crate) fn unreadable(what: &str, error: &serde_json::Error) -> Faults {
    fault(what, "a request as the contract has it", error.to_string())
}
