//! A window of seven pieces, known exactly, and ways to write it down.

use drawing_io::{Import, ImportOptions, LEAST_MEND_MM, import, line_faults};
use panel::{Cutline, Drawing, Outline, PanelOptions, panel_from_drawing};

/// Sight size, mm.
pub(crate) const SIZE: [f64; 2] = [400.0, 600.0];

/// The leads, y down from the top as files have it.
pub(crate) const LEADS: [&str; 4] =
    ["M0 400H400", "M0 180C130 130 270 230 400 180", "M150 600V400", "M300 600V0"];

/// The piece areas of the window, in reading order, mm².
pub(crate) fn areas() -> Vec<f64> {
    areas_with(&[])
}

/// The same, with more leads.
pub(crate) fn areas_with(more: &[&str]) -> Vec<f64> {
    let up = kurbo::Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, SIZE[1]]);
    let lead = |data: &&str| {
        let path = up * panel::read_path(data).expect("a path");
        Cutline { path: panel::write_path(&path), face_mm: 5.0 }
    };
    let drawing = Drawing {
        outline: Outline { path: format!("M0 0H{}V{}H0Z", SIZE[0], SIZE[1]), face_mm: 10.0 },
        cutlines: LEADS.iter().chain(more).map(lead).collect(),
        bars: Vec::new(),
    };
    let panel = panel_from_drawing(&drawing, &PanelOptions::default()).expect("a panel");
    assert!(panel.open_ends.is_empty());
    panel.pieces.iter().map(|piece| piece.area_mm2).collect()
}

/// Paths for the leads.
pub(crate) fn paths(leads: &[&str]) -> String {
    leads.iter().map(|data| format!("<path d=\"{data}\"/>\n")).collect()
}

/// A file of this content, a user unit a millimetre, 20 mm of paper around the window.
pub(crate) fn file(content: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" width=\"440mm\" height=\"640mm\" \
         viewBox=\"-20 -20 440 640\">\n{content}</svg>"
    )
}

/// The edge as a rectangle.
pub(crate) const EDGE: &str = r#"<rect width="400" height="600"/>"#;

pub(crate) fn read(svg: &str) -> Import {
    let found = import(svg, &ImportOptions::default()).unwrap_or_else(|error| panic!("{error}\n{svg}"));
    assert_no_new_faults(&found);
    found
}

/// What is wrong with the lines alone was also said of their file.
#[track_caller]
pub(crate) fn assert_no_new_faults(found: &Import) {
    for fault in line_faults(&found.drawing, &found.panel, LEAST_MEND_MM) {
        assert!(found.faults.contains(&fault.fault), "{fault:?}, of the file {:?}", found.faults);
    }
}

/// The file holds the window, and nothing is wrong with it.
#[track_caller]
pub(crate) fn is_window(svg: &str) -> Import {
    is_window_with(svg, &[], 0.0005)
}

/// The file holds the window with more leads; areas agree within this share. Nothing is wrong with it.
#[track_caller]
pub(crate) fn is_window_with(svg: &str, more: &[&str], share: f64) -> Import {
    let found = read(svg);
    assert_areas(&found, &areas_with(more), share);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    found
}

#[track_caller]
pub(crate) fn assert_areas(found: &Import, expected: &[f64], share: f64) {
    let areas: Vec<f64> = found.panel.pieces.iter().map(|piece| piece.area_mm2).collect();
    assert_eq!(
        areas.len(),
        expected.len(),
        "{areas:?}, layers {:?}, faults {:?}",
        found.layers,
        found.faults
    );
    for (a, b) in areas.iter().zip(expected) {
        assert!((a - b).abs() <= share * b, "{areas:?}, expected {expected:?}");
    }
}

/// Layers as `name: role`.
pub(crate) fn layers(found: &Import) -> Vec<String> {
    found.layers.iter().map(|layer| format!("{}: {}", layer.name, layer.taken_as)).collect()
}
