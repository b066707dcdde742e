//! Windows by their measurements.

use std::sync::OnceLock;

use drawing_io::thousandths;
use kurbo::{BezPath, Point};
use openings::{Drawn, Measurements, OpeningFaults};
use panel::{Panel, Piece, write_path};
use scene::{Faults, faults_of};
use schemars::generate::SchemaSettings;
use serde_json::Value;

use crate::contract::{CheckedOpening, DrawnOpening};
use crate::fault::{impossible, unreadable};
use crate::shown::{mapped, on_page, usual};
use crate::start::scene_around;

/// About the most pieces of a window by its measurements on the page. Ours: more no longer follow the hand.
pub const MOST_PIECES: usize = 5_000;

/// The smallest pieces are shown if their light is less than this share of the middle one's: less than half a quarry
/// at the edge. Ours.
const SMALL_SHARE: f64 = 1.0 / 3.0;

/// Pieces are as small as the smallest up to this factor: mirror images are. Ours.
const AS_SMALL: f64 = 1.01;

/// Draws a window: a [`CheckedOpening`] as JSON. `measurements` are [`Measurements`] as JSON.
///
/// Measurements that are impossible are part of the answer, so that the page can write their lengths in the reader's
/// units.
///
/// # Errors
/// The text is not what the contract has: every such fault, with the measurement's path.
pub fn check_opening(measurements: &str) -> Result<String, Faults> {
    let checked = match read(measurements)?.drawn(MOST_PIECES) {
        Ok(drawn) => CheckedOpening { drawn: Some(shown(&drawn)), faults: Vec::new() },
        Err(OpeningFaults { faults }) => CheckedOpening { drawn: None, faults },
    };
    // Plain data with text keys always serialises.
    Ok(serde_json::to_string(&checked).unwrap_or_default())
}

/// The text of a scene file around a window by its measurements. `start` is a [`crate::WindowStart`] as JSON.
///
/// # Errors
/// As [`check_opening`]; every measurement that is impossible, with its path; a date or time that does not exist; a sill
/// too high for the window.
pub fn scene_of_opening(measurements: &str, start: &str) -> Result<String, Faults> {
    let drawn = read(measurements)?.drawn(MOST_PIECES);
    let Drawn { drawing, panel, .. } = drawn.map_err(|faults| impossible(&faults))?;
    scene_around(&drawing, &panel, start)
}

/// Reads measurements strictly, with the place of every fault.
fn read(text: &str) -> Result<Measurements, Faults> {
    let value: Value = serde_json::from_str(text).map_err(|error| unreadable("measurements", &error))?;
    let faults = faults_of(&value, schema());
    if !faults.is_empty() {
        return Err(Faults(faults));
    }
    serde_json::from_value(value).map_err(|error| unreadable("measurements", &error))
}

/// The schema of [`Measurements`].
fn schema() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(|| {
        let settings = SchemaSettings::draft2020_12().for_deserialize();
        settings
            .with(|s| s.inline_subschemas = true)
            .into_generator()
            .into_root_schema_for::<Measurements>()
            .into()
    })
}

fn shown(drawn: &Drawn) -> DrawnOpening {
    let Drawn { drawing, panel, rise_mm, pane_mm } = drawn;
    let mut by_light: Vec<&Piece> = panel.pieces.iter().collect();
    by_light.sort_by(|a, b| a.light_area_mm2.total_cmp(&b.light_area_mm2));
    let smallest_mm2 = by_light.first().map_or(0.0, |piece| piece.light_area_mm2);
    let middle_mm2 = by_light.get(by_light.len() / 2).map_or(0.0, |piece| piece.light_area_mm2);
    let are_notable = smallest_mm2 < SMALL_SHARE * middle_mm2;
    let notable =
        by_light.iter().take_while(|piece| are_notable && piece.light_area_mm2 < AS_SMALL * smallest_mm2);
    DrawnOpening {
        width_mm: thousandths(panel.width_mm),
        height_mm: thousandths(panel.height_mm),
        rise_mm: rise_mm.map(thousandths),
        pane_mm: pane_mm.map(|pane| pane.map(thousandths)),
        pieces: panel.pieces.len(),
        smallest_mm2: thousandths(smallest_mm2),
        smallest: notable.map(|piece| edge(piece, panel)).collect::<Vec<_>>().join(" "),
        outline: mapped(panel, [drawing.outline.path.as_str()]),
        cutlines: mapped(panel, drawing.cutlines.iter().map(|line| line.path.as_str())),
        bars: mapped(panel, drawing.bars.iter().map(|bar| bar.path.as_str())),
        bar_count: drawing.bars.len(),
        usual: usual(),
    }
}

/// A piece's edge as path data on the page.
fn edge(piece: &Piece, panel: &Panel) -> String {
    let mut path = BezPath::new();
    for (i, point) in piece.outline.outer.iter().enumerate() {
        let at = on_page(panel.on_page(), Point::new(point.x(), point.y()));
        if i == 0 { path.move_to(at) } else { path.line_to(at) }
    }
    path.close_path();
    write_path(&path)
}
