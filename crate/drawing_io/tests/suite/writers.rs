//! Files that general-purpose libraries and programs wrote: tests/reference/drawings/README.md.

use std::time::{Duration, Instant};

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

/// Exactly these faults, each within 0.1 mm of its place; the line that overshoots divides a piece, the other does not.
#[track_caller]
fn has_faults(name: &str, width_mm: Option<f64>, near_miss: [f64; 2], overshoot: [f64; 2]) {
    let (clean, found) = (read(name, width_mm), read(&format!("{name}_faults"), width_mm));
    let expected = [(FaultKind::Overshoot, overshoot), (FaultKind::NearMiss, near_miss)];
    assert_eq!(found.faults.len(), expected.len(), "{name}: {:?}", found.faults);
    for (fault, (kind, at)) in found.faults.iter().zip(expected) {
        let distance = (fault.at_mm[0] - at[0]).hypot(fault.at_mm[1] - at[1]);
        assert!(fault.kind == kind && distance < 0.1, "{name}: {fault:?}, expected {kind:?} at {at:?}");
    }
    assert_eq!(found.panel.pieces.len(), clean.panel.pieces.len() + 1, "{name}");
}

#[test]
fn two_faults_are_found_in_every_writers_file() {
    for (name, width_mm) in [
        ("svgwrite", None),
        ("drawsvg", Some(400.0)),
        ("matplotlib", None),
        ("reportlab", Some(400.0)),
        ("paper", Some(400.0)),
    ] {
        has_faults(name, width_mm, [60.0, 199.0], [230.0, 202.0]);
    }
    has_faults("makerjs", None, [40.0, 399.0], [260.0, 402.0]);
}

#[test]
fn faults_of_strokes_as_shapes_are_found_beyond_the_faces() {
    let found = read("inkscape_faults", None);
    let expected = [(FaultKind::Overshoot, [230.0, 212.0]), (FaultKind::NearMiss, [60.0, 196.0])];
    assert_eq!(found.faults.len(), expected.len(), "{:?}", found.faults);
    for (fault, (kind, at)) in found.faults.iter().zip(expected) {
        let distance = (fault.at_mm[0] - at[0]).hypot(fault.at_mm[1] - at[1]);
        assert!(fault.kind == kind && distance < 0.1, "{fault:?}, expected {kind:?} at {at:?}");
    }
}

/// Signs that mean something in such a file.
const SIGNS: &[u8] = b"0123456789.-eE<>\"/ #%&;";

/// Bytes changed, cut out or doubled, and files cut short, are read or refused.
#[test]
fn damaged_files_never_panic_and_end_soon() {
    let files = [
        "svgwrite",
        "svgwrite_plain",
        "svgwrite_faults",
        "drawsvg",
        "matplotlib",
        "reportlab",
        "paper",
        "makerjs",
        "inkscape_shapes",
        "inkscape_net",
    ]
    .map(written);
    // A linear congruential generator (Knuth, MMIX; constants from memory): the same damage every time.
    let mut state = 7_u64;
    let mut draw = |below: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below
    };
    let (begun, mut most, mut count) = (Instant::now(), Duration::ZERO, 0);
    // As many as fit a few seconds, on a slow machine a few hundred.
    while count < 300 || (count < 3_000 && begun.elapsed() < Duration::from_secs(4)) {
        let mut bytes = files[count % files.len()].clone().into_bytes();
        for _ in 0..=draw(3) {
            let at = draw(bytes.len());
            let to = (at + draw(12)).min(bytes.len());
            match draw(5) {
                0 => bytes.truncate(at.max(1)),
                1 => drop(bytes.drain(at..to)),
                2 => bytes.insert(at, SIGNS[draw(SIGNS.len())]),
                3 => bytes[at] = draw(256) as u8,
                _ => bytes.extend_from_within(at..to),
            }
            if bytes.is_empty() {
                bytes.push(b'<');
            }
        }
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let each = Instant::now();
        let width_mm = (draw(2) == 0).then_some(400.0);
        let _ = import(&text, &ImportOptions { width_mm, ..ImportOptions::default() });
        most = most.max(each.elapsed());
        count += 1;
    }
    assert!(most < Duration::from_secs(20), "{most:?}");
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
