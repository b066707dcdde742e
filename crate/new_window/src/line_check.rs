//! The lines of an open scene's window checked, with the edits that mend them.

use drawing_io::{FaultKind, LEAST_MEND_MM, LineFault, MOST_MEND_MM, MendedLine, line_faults, mend_all};
use panel::{PanelError, PanelOptions, panel_from_drawing};
use plane::PagePoint;
use scene::{Drawing, Edit, Faults, panel_drawing};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::fault::{fault, unreadable};

/// What was found in the lines of a window.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckedLines {
    /// What should be looked at, from the top.
    pub places: Vec<LinePlace>,
    /// The edit that mends every end within the tolerance; null if there is none.
    pub mend_all: Option<Edit>,
}

/// A place in the lines of a window that should be looked at.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LinePlace {
    /// What it is.
    pub kind: FaultKind,
    /// Where.
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PagePoint,
    /// In words.
    pub words: String,
    /// How far an open end is from the nearest line; null for anything else.
    pub distance_mm: Option<f64>,
    /// The nearest point of that line.
    #[schemars(with = "Option<[f64; 2]>")]
    pub to_mm: Option<PagePoint>,
    /// The edit by which an open end within the tolerance meets another line.
    pub mend: Option<Edit>,
}

/// What is read of a scene. A scene that is open has been checked; checking it once more would take longer than its lines.
#[derive(Deserialize)]
struct SceneLines {
    windows: Vec<WindowLines>,
}

#[derive(Deserialize)]
struct WindowLines {
    id: String,
    drawing: Drawing,
}

/// Checks the lines of a window of a scene: [`CheckedLines`] as JSON. `scene` is the text of a scene file; ends at most
/// `within_mm` from another line can be mended, 0.2–15.
///
/// # Errors
/// Text that is no scene; no such window; lines that form no pieces; a tolerance out of range.
pub fn check_lines(scene: &str, window: &str, within_mm: f64) -> Result<String, Faults> {
    if !(LEAST_MEND_MM..=MOST_MEND_MM).contains(&within_mm) {
        let expected = format!("{LEAST_MEND_MM} to {MOST_MEND_MM} mm");
        return Err(fault("within_mm", expected, format!("{within_mm} mm")));
    }
    let SceneLines { windows } = serde_json::from_str(scene).map_err(|error| unreadable("scene", &error))?;
    let found = windows.iter().enumerate().find(|(_, one)| one.id == window);
    let (index, window) =
        found.ok_or_else(|| fault("windows", "a window of the scene", format!("“{window}”")))?;
    let checked = checked(window, within_mm).map_err(|error| {
        fault(&format!("windows[{index}].drawing"), "lines that form pieces", error.to_string())
    })?;
    // Plain data with text keys always serialises.
    Ok(serde_json::to_string(&checked).unwrap_or_default())
}

fn checked(window: &WindowLines, within_mm: f64) -> Result<CheckedLines, PanelError> {
    let drawing = panel_drawing(&window.drawing);
    let panel = panel_from_drawing(&drawing, &PanelOptions::default())?;
    let page = panel.on_page();
    let edit = |lines: Vec<MendedLine>| {
        Edit::set_paths(&window.id, &window.drawing, lines.into_iter().map(|line| (line.index, line.path)))
    };
    let places: Vec<LinePlace> = line_faults(&drawing, &panel, within_mm)
        .into_iter()
        .map(|LineFault { fault, distance_mm, to_mm, mended }| LinePlace {
            kind: fault.kind,
            at_mm: page.page_from_panel(fault.at_mm),
            words: fault.words,
            distance_mm,
            to_mm: to_mm.map(|to| page.page_from_panel(to)),
            mend: mended.and_then(|line| edit(vec![line])),
        })
        .collect();
    let mend_all = match places.iter().any(|place| place.mend.is_some()) {
        true => edit(mend_all(&drawing, within_mm)?.lines),
        false => None,
    };
    Ok(CheckedLines { places, mend_all })
}
