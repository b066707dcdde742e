//! What drawing programs write.

use drawing_io::{ImportError, ImportOptions, Unit, import};

use crate::window::{EDGE, LEADS, areas, assert_areas, file, is_window, is_window_with, layers, paths, read};

#[test]
fn plain_layers() {
    let svg = file(&format!(
        r#"<g id="sight-size" fill="none" stroke="black" stroke-width="10">{EDGE}</g>
        <g id="cutlines" fill="none" stroke="black" stroke-width="5">{}</g>"#,
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    assert_eq!(layers(&found), ["sight-size: outline", "cutlines: cutlines"]);
    assert_eq!((found.drawing.outline.face_mm, found.drawing.cutlines[0].face_mm), (10.0, 5.0));
    assert!(found.assumed.is_empty(), "{:?}", found.assumed);
    assert_eq!(found.unit, Unit::Mm);
}

#[test]
fn layers_of_any_name() {
    let svg = file(&format!(
        r##"<g inkscape:groupmode="layer" inkscape:label="Ebene 1" id="layer1" transform="translate(3,4)">
        <g transform="translate(-3,-4)" fill="none" stroke="#000" stroke-width="4">{EDGE}{}</g></g>"##,
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    assert_eq!(layers(&found), ["Ebene 1: cutlines", "Ebene 1: its outer edge: outline"]);
}

#[test]
fn only_colour_and_width_tell_lines_apart() {
    let svg = file(&format!(
        r##"<g fill="none"><g stroke="#ff0000" stroke-width="10">{EDGE}</g>
        <g stroke="#000000" stroke-width="5">{}</g>
        <g stroke="#888" stroke-width="0.3"><path d="M40 40L80 90"/><path d="M50 40L90 90"/><path d="M200 300q20 30 40 0"/></g>
        <g stroke="blue" stroke-width="0.5" stroke-dasharray="4 2"><path d="M200 0V600"/><path d="M0 300H400"/></g>
        <g stroke="#00ffff" stroke-width="12"><path d="M-5 300H405"/><path d="M-5 100H405"/></g></g>"##,
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    assert_eq!(
        layers(&found),
        [
            "red lines, 10 mm wide: outline",
            "black lines, 5 mm wide: cutlines",
            "#888888 lines, 0.3 mm wide: ignored",
            "dashed blue lines, 0.5 mm wide: ignored",
            "cyan lines, 12 mm wide: bars",
        ]
    );
    assert_eq!(found.drawing.bars.len(), 2);
}

#[test]
fn without_units_the_real_width_is_asked_for() {
    let content = format!(r#"<g fill="none" stroke="black">{EDGE}{}</g>"#, paths(&LEADS));
    for size in [
        r#"viewBox="-20 -20 440 640""#,
        r#"width="440" height="640" viewBox="-20 -20 440 640""#,
        r#"width="100%""#,
    ] {
        let svg = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {size}>{content}</svg>"#);
        assert_eq!(import(&svg, &ImportOptions::default()).unwrap_err(), ImportError::NeedsWidth);
        let told = ImportOptions { width_mm: Some(800.0), ..ImportOptions::default() };
        let found = import(&svg, &told).expect("a window");
        assert_areas(&found, &areas().iter().map(|area| area * 4.0).collect::<Vec<_>>(), 0.0005);
        assert!((found.panel.width_mm - 800.0).abs() < 1e-6 && (found.panel.height_mm - 1200.0).abs() < 1e-6);
        assert!(found.faults.is_empty(), "{:?}", found.faults);
    }
}

#[test]
fn one_upright_lead_in_a_frame_as_large_as_the_page_is_a_window() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 600"><g fill="none" stroke="black">
        <rect width="400" height="600"/><path d="M150 0V600"/></g></svg>"#;
    let told = ImportOptions { width_mm: Some(800.0), ..ImportOptions::default() };
    let found = import(svg, &told).expect("a window");
    assert_areas(&found, &[300.0 * 1200.0, 500.0 * 1200.0], 0.0005);
}

#[test]
fn a_file_that_draws_nothing_is_not_asked_how_wide_it_is() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 600"><defs><path d="M0 0H9"/></defs></svg>"#;
    assert!(matches!(import(svg, &ImportOptions::default()), Err(ImportError::NoOutline { .. })));
}

#[test]
fn pixels_are_read_and_said() {
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="440px" height="640px"><g transform="translate(20 20)" fill="none"
        stroke="black">{EDGE}{}</g></svg>"#,
        paths(&LEADS)
    );
    let found = read(&svg);
    let scale: f64 = 25.4 / 96.0;
    assert_areas(&found, &areas().iter().map(|area| area * scale * scale).collect::<Vec<_>>(), 0.001);
    assert!(found.assumed.iter().any(|words| words.contains("pixels")), "{:?}", found.assumed);
    assert_eq!(found.unit, Unit::Px);
}

#[test]
fn paper_and_unpainted_boxes_are_left_out() {
    let boxes: String = (0..12)
        .map(|k| format!(r#"<rect x="{}" y="{}" width="37" height="55" fill="none"/>"#, k * 30, k * 40))
        .collect();
    let svg = file(&format!(
        r#"<rect x="-20" y="-20" width="440" height="640" fill="white"/>{boxes}
        <g fill="none" stroke="black" stroke-width="none">{EDGE}{}</g>"#,
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    assert!(
        layers(&found).contains(&"shapes that paint nothing: ignored".to_owned()),
        "{:?}",
        layers(&found)
    );
    // Neither is a stroke's.
    let framed = file(&format!(
        r#"<g fill="none" stroke="black"><rect x="-20" y="-20" width="440" height="640"/>{EDGE}{}</g>"#,
        paths(&LEADS)
    ));
    let found = read(&framed);
    assert_areas(&found, &areas(), 0.0005);
}

#[test]
fn clones_draw_what_they_copy() {
    let svg = file(&format!(
        r##"<defs><path id="upright" d="M0 600V0"/><g id="rest">{}</g></defs>
        <symbol id="frame" viewBox="0 0 4 6"><rect width="4" height="6"/></symbol>
        <g fill="none" stroke="black" stroke-width="0.02"><use href="#frame" width="400" height="600"/></g>
        <g fill="none" stroke="black" stroke-width="5"><use xlink:href="#upright" x="300"/><use href="#rest"/></g>"##,
        paths(&LEADS[..3])
    ));
    is_window(&svg);
}

#[test]
fn arcs_written_as_dashed_circles() {
    let length = 2.0 * std::f64::consts::PI * 75.0;
    let arc = ["M150 400A75 75 0 0 1 300 400"];
    let svg = file(&format!(
        r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}
        <circle cx="225" cy="400" r="75" stroke-dasharray="{} {}" stroke-dashoffset="{}"/></g>"#,
        paths(&LEADS),
        length / 2.0,
        length / 2.0,
        -length / 2.0,
    ));
    is_window_with(&svg, &arc, 0.001);
}

#[test]
fn letters_from_definitions_are_text() {
    let letters: String = (0..8)
        .map(|k| {
            format!(r##"<use xlink:href="#glyph-0-{}" x="{}" y="{}"/>"##, k % 2, 60 + 35 * k, 70 + 55 * k)
        })
        .collect();
    let svg = file(&format!(
        r#"<defs><g><symbol id="glyph-0-0" overflow="visible"><path d="M0 0h6v8h-6z"/></symbol>
        <symbol id="glyph-0-1" overflow="visible"><path d="M0 0l3 8h-5z"/></symbol></g></defs>
        <g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g><g fill="black">{letters}</g>"#,
        paths(&LEADS)
    ));
    is_window(&svg);
}

#[test]
fn the_page_may_be_upside_down_and_rounded() {
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="440.4mm" height="640.2mm" viewBox="0,0,441,641">
        <g transform="matrix(1 0 0 -1 20 620)"><g transform="scale(1 -1) translate(0 -600)" fill="none" stroke="black"
        stroke-width="5">{EDGE}{}</g></g></svg>"#,
        paths(&LEADS)
    );
    is_window(&svg);
}

#[test]
fn the_edge_may_be_several_lines() {
    let svg = file(&format!(
        r#"<g fill="none" stroke="black" stroke-width="5"><path d="M0 0H400"/><path d="M400 0V600"/><path d="M400 600H0"/>
        <line x1="0" y1="600" x2="0" y2="0"/>{}</g>"#,
        paths(&LEADS)
    ));
    is_window(&svg);
}

#[test]
fn text_pictures_and_hidden_layers_are_left_out() {
    let svg = file(&format!(
        r#"<g id="photo"><image width="400" height="600" href="data:,"/></g>
        <g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>
        <g id="Numbers"><text x="40" y="60">12</text></g>
        <g inkscape:groupmode="layer" inkscape:label="Old idea" style="display:none"><path d="M0 0L400 600" stroke="red"/></g>"#,
        paths(&LEADS)
    ));
    let found = is_window(&svg);
    let layers = layers(&found);
    for expected in ["photo: ignored", "Numbers: ignored", "Old idea (hidden): ignored"] {
        assert!(layers.contains(&expected.to_owned()), "{layers:?}");
    }
}

#[test]
fn a_window_seen_from_outside_is_mirrored() {
    let svg = file(&format!(r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}</g>"#, paths(&LEADS)));
    let outside = ImportOptions { seen_from_outside: true, ..ImportOptions::default() };
    let found = import(&svg, &outside).expect("a window");
    let inside = read(&svg);
    let lead = |found: &drawing_io::Import| found.drawing.cutlines[3].path.clone();
    assert_eq!(
        (lead(&inside), lead(&found)),
        ("M 300 0 L 300 600".to_owned(), "M 100 0 L 100 600".to_owned())
    );
}

#[test]
fn widths_are_faces_where_they_can_be() {
    let with = |width: &str| {
        read(&file(&format!(r#"<g fill="none" stroke="black" {width}>{EDGE}{}</g>"#, paths(&LEADS))))
    };
    let faces =
        |found: &drawing_io::Import| (found.drawing.outline.face_mm, found.drawing.cutlines[0].face_mm);
    assert_eq!(faces(&with(r#"stroke-width="7""#)), (7.0, 7.0));
    for thin in ["", r#"stroke-width="0.25""#, r#"stroke-width="0""#, r#"stroke-width="5%""#] {
        let found = with(thin);
        assert_eq!(faces(&found), (12.0, 6.0), "{thin}");
        assert_eq!(found.assumed.len(), 2, "{:?}", found.assumed);
    }
    let told =
        ImportOptions { lead_face_mm: Some(4.0), border_face_mm: Some(9.0), ..ImportOptions::default() };
    let svg = file(&format!(r#"<g fill="none" stroke="black">{EDGE}{}</g>"#, paths(&LEADS)));
    assert_eq!(faces(&import(&svg, &told).expect("a window")), (9.0, 4.0));
}

#[test]
fn every_element_of_a_lancet_is_read() {
    let found = read(include_str!("../lancet.svg"));
    assert!(found.faults.is_empty(), "{:?}", found.faults);
    // Two in the head, four about the medallion, five within it; below a band, an ellipse and its two spandrels, a band.
    assert_eq!(found.panel.pieces.len(), 16);
    // Two arcs of radius 325 over the springing: each half is a sector less a triangle.
    let angle = (125.0_f64 / 325.0).acos();
    let head = 2.0 * (325.0 * 325.0 * angle / 2.0 - 125.0 * 300.0 / 2.0);
    assert!((found.panel.opening_area_mm2() - 240_000.0 - head).abs() < 10.0);
    let widths: Vec<f64> = found.panel.lead_lengths_mm().iter().map(|l| l.face_mm).collect();
    assert_eq!(widths, [3.5, 4.0, 5.0, 8.0, 12.0]);
    assert_eq!(found.panel.bars[0].axis.len() + found.panel.bars.len() - 1, 2);
}

#[test]
fn the_first_drawing_of_the_readme_is_a_window() {
    let svg = include_str!("../../../../demo-scenes/first-drawing.svg");
    let told = ImportOptions { width_mm: Some(600.0), ..ImportOptions::default() };
    let found = import(svg, &told).expect("a window");
    assert!(found.faults.is_empty(), "{:#?}", found.faults);
    assert_eq!(found.panel.pieces.len(), 13);
    assert!((found.panel.height_mm - 870.0).abs() < 0.1);
}
