//! Files that general-purpose libraries and programs wrote: tests/reference/drawings/README.md.

use drawing_io::{FaultKind, Import, ImportOptions, Unit, import};

use crate::window::{areas, assert_areas, layers};

fn written(name: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/drawings");
    std::fs::read_to_string(format!("{folder}/{name}.svg")).expect("a reference file")
}

fn read(name: &str, width_mm: Option<f64>) -> Import {
    import(&written(name), &ImportOptions { width_mm, ..ImportOptions::default() })
        .unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// The window, with nothing wrong.
#[track_caller]
fn is_window(name: &str, width_mm: Option<f64>, share: f64) -> Import {
    let found = read(name, width_mm);
    assert_areas(&found, &areas(), share);
    assert!(found.faults.is_empty(), "{name}: {:?}", found.faults);
    found
}

#[test]
fn svgwrite_in_millimetres_with_labelled_layers() {
    let found = is_window("svgwrite", None, 1e-5);
    assert_eq!(layers(&found), ["Sight size: outline", "Lead lines: cutlines", "Numbers: ignored"]);
    assert_eq!((found.drawing.outline.face_mm, found.drawing.cutlines[0].face_mm), (10.0, 5.0));
    is_window("svgwrite_plain", None, 1e-5);
}

#[test]
fn svgwrite_with_two_faults() {
    let found = read("svgwrite_faults", None);
    let faults: Vec<(FaultKind, [f64; 2])> =
        found.faults.iter().map(|fault| (fault.kind, fault.at_mm.to_array().map(f64::round))).collect();
    assert_eq!(faults, [(FaultKind::Overshoot, [230.0, 202.0]), (FaultKind::NearMiss, [60.0, 199.0])]);
    // The one that overshoots divides a piece; the one that stops short does not.
    assert_eq!(found.panel.pieces.len(), areas().len() + 1);
}

#[test]
fn drawsvg_without_a_unit() {
    is_window("drawsvg", Some(400.0), 1e-5);
}

#[test]
fn matplotlib_in_points_with_glyphs_and_clips() {
    let found = is_window("matplotlib", None, 1e-4);
    assert_eq!(found.unit, Unit::Pt);
    assert!((found.drawing.cutlines[0].face_mm - 5.0).abs() < 1e-3);
}

#[test]
fn reportlab_upside_down() {
    is_window("reportlab", Some(400.0), 1e-4);
}

#[test]
fn paper_as_panes_side_by_side() {
    let found = is_window("paper", Some(400.0), 1e-4);
    assert!(found.layers.iter().all(|layer| layer.name == "filled shapes"), "{:?}", found.layers);
}

#[test]
fn inkscape_strokes_as_shapes_and_as_one_net() {
    for name in ["inkscape_shapes", "inkscape_net"] {
        let found = is_window(name, None, 2e-3);
        assert!((found.drawing.outline.face_mm - 10.0).abs() < 0.1, "{}", found.drawing.outline.face_mm);
        assert!(found.drawing.cutlines.iter().all(|line| (line.face_mm - 5.0).abs() < 0.1), "{name}");
    }
}

#[test]
fn makerjs_with_arcs() {
    let found = read("makerjs", None);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    assert_eq!(layers(&found), ["opening: outline", "leads: cutlines"]);
    // Left, the half round and right above the springing; left and right below it.
    let half_round = std::f64::consts::PI * 80.0 * 80.0 / 2.0;
    // An equilateral pointed arch on 300: two sectors of 60°, less the triangle that both hold.
    let arch = 300.0 * 300.0 * (std::f64::consts::FRAC_PI_3 - 3_f64.sqrt() / 4.0);
    let side = (arch - half_round) / 2.0;
    assert_areas(&found, &[side, half_round, side, 60_000.0, 60_000.0], 5e-4);
}
