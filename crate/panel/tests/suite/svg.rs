//! Reading SVG files: every shape, size, layer and style, and hostile files.

// Numbers that are exact by construction are compared exactly.
#![allow(clippy::float_cmp)]

use panel::{
    Drawing, DrawingError, DrawingFault, DrawingNote, Line, Panel, PanelOptions, SvgOptions,
    drawing_from_svg, panel_from_drawing,
};
use plane::PanelPoint;
use std::f64::consts::PI;

fn read(svg: &str) -> Result<(Drawing, Vec<DrawingNote>), DrawingError> {
    drawing_from_svg(svg, &SvgOptions::default())
}

fn panel(svg: &str) -> Panel {
    let (drawing, _) = read(svg).expect("a drawing");
    panel_from_drawing(&drawing, &PanelOptions::default()).expect("a panel")
}

fn areas(panel: &Panel) -> Vec<f64> {
    let mut areas: Vec<f64> = panel.pieces.iter().map(|piece| piece.area_mm2).collect();
    areas.sort_by(f64::total_cmp);
    areas
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected} ± {tolerance}");
}

/// A file 300 by 200 mm with a sight size and these cutlines.
fn file(cutlines: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
        <rect id="sight-size" width="300" height="200" stroke-width="10"/>
        <g id="cutlines" stroke-width="6">{cutlines}</g></svg>"#
    )
}

#[test]
fn every_shape_becomes_pieces_of_its_area() {
    // Flattening to 0.02 mm: at most 2/3 · 0.02 mm · perimeter of the curved parts.
    let cases = [
        (r#"<circle cx="150" cy="100" r="40"/>"#, PI * 1600.0),
        (r#"<ellipse cx="150" cy="100" rx="60" ry="30"/>"#, PI * 1800.0),
        (r#"<ellipse cx="150" cy="100" rx="30"/>"#, PI * 900.0),
        (r#"<rect x="100" y="50" width="80" height="50"/>"#, 4000.0),
        (r#"<rect x="100" y="50" width="80" height="50" rx="10"/>"#, 4000.0 - (4.0 - PI) * 100.0),
        (r#"<rect x="100" y="50" width="80" height="50" rx="500" ry="10"/>"#, 4000.0 - (4.0 - PI) * 400.0),
        (r#"<polygon points="100,50 180,50 180 100"/>"#, 2000.0),
        (r#"<polyline points="100,200 100,150 180,150 180,200"/>"#, 4000.0),
        (r#"<line x1="100" y1="0" x2="100" y2="200"/>"#, 20_000.0),
        (r#"<path d="M100 200V160h60V200"/>"#, 2400.0),
        (r#"<path d="M100 200a50 50 0 0 1 100 0"/>"#, PI * 1250.0),
        (r#"<path d="M100 200q50-60 100 0"/>"#, 2000.0),
        // A segment of a cubic by Simpson-exact integration: 3/20 · 100 · (40 + 40) · 2 for this symmetric one.
        (r#"<path d="M100 200c0-40 100-40 100 0"/>"#, 2400.0),
    ];
    for (shape, area) in cases {
        let panel = panel(&file(shape));
        assert_eq!(panel.pieces.len(), 2, "{shape}");
        close(areas(&panel)[0], area, 4.0);
        close(areas(&panel).iter().sum::<f64>(), 60_000.0, 1e-3);
    }
}

#[test]
fn transforms_nest_and_scale_widths() {
    let turned = r#"<g transform="translate(150 100)"><g transform="rotate(30) scale(2)">
        <rect x="-20" y="-10" width="40" height="20" stroke-width="2"/></g></g>"#;
    let (drawing, notes) = read(&file(turned)).expect("a drawing");
    assert!(notes.is_empty(), "{notes:?}");
    close(drawing.cutlines[0].face_mm, 4.0, 1e-9);
    close(areas(&panel(&file(turned)))[0], 3200.0, 0.01);

    let uneven = r#"<g transform="scale(1 4)"><path d="M100 0V50" stroke-width="2"/></g>"#;
    let (drawing, notes) = read(&file(uneven)).expect("a drawing");
    close(drawing.cutlines[0].face_mm, 4.0, 1e-9);
    assert!(
        matches!(notes[..], [DrawingNote::StretchedUnevenly { ratio, .. }] if (ratio - 4.0).abs() < 1e-9)
    );
}

#[test]
fn y_runs_up_from_the_lower_left_of_the_sight_size() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="40cm" height="40cm" viewBox="0 0 200 200">
        <rect class="sight-size" x="50" y="20" width="100" height="60"/>
        <path class="cutlines" d="M60 80L60 20"/><path class="bars" d="M50 30H150" style="stroke-width:5"/></svg>"#;
    let (drawing, _) = read(svg).expect("a drawing");
    assert_eq!(drawing.outline.path, "M 0 120 L 200 120 L 200 0 L 0 0 Z");
    assert_eq!(drawing.cutlines[0].path, "M 20 0 L 20 120");
    assert_eq!((drawing.bars[0].path.as_str(), drawing.bars[0].diameter_mm), ("M 0 100 L 200 100", 10.0));
    let mirrored = SvgOptions { seen_from_outside: true, ..SvgOptions::default() };
    let (drawing, _) = drawing_from_svg(svg, &mirrored).expect("a drawing");
    assert_eq!(drawing.cutlines[0].path, "M 180 0 L 180 120");
}

#[test]
fn sizes_come_from_units_or_are_asked_for() {
    let svg = |size: &str| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" {size}>
            <rect id="sight-size" x="4" width="100" height="50" stroke-width="6"/></svg>"#
        )
    };
    let (drawing, _) = read(&svg(r#"width="10in" viewBox="0 0 100 50""#)).expect("a drawing");
    assert_eq!(drawing.outline.path, "M 0 127 L 254 127 L 254 0 L 0 0 Z");
    close(drawing.outline.face_mm, 15.24, 1e-9);
    for size in ["", r#"width="100" height="50" viewBox="0 0 100 50""#, r#"width="100%""#] {
        let faults = read(&svg(size)).expect_err("no size").faults;
        assert!(matches!(faults[..], [DrawingFault::NoRealSize { .. }]), "{faults:?}");
        let told = SvgOptions { sight_width_mm: Some(400.0), ..SvgOptions::default() };
        let (drawing, _) = drawing_from_svg(&svg(size), &told).expect("a drawing");
        assert_eq!(drawing.outline.path, "M 0 200 L 400 200 L 400 0 L 0 0 Z");
        close(drawing.outline.face_mm, 24.0, 1e-9);
    }
}

#[test]
fn layers_are_found_by_every_kind_of_name() {
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"
        xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"
        xmlns:sodipodi="http://sodipodi.sourceforge.net/DTD/sodipodi-0.dtd" width="300mm" viewBox="0 0 300 200">
        <style>.wide{stroke-width:8} #bars { stroke-width: 12px }</style>
        <sodipodi:namedview id="cutlines"/>
        <defs><path id="upright" d="M0 0V200"/></defs>
        <g data-name="Sight Size"><rect width="300" height="200"/></g>
        <g inkscape:label="Cutlines" id="layer7"><path class="wide" d="M100 0V200"/></g>
        <path id="cutlines_1_" d="M200 0V200" stroke-width="4"/>
        <g id="cutlines-2" style="stroke-width:3mm"><use href="#upright" x="50"/>
          <use xlink:href="#upright" transform="translate(250)"/></g>
        <g id="bars"><path d="M0 100H300"/></g>
        <g id="notes"><text>not to scale</text><path d="M0 0L300 200"/><path d="M0 0L300 100"/></g>
        <g id="x" display="none"><path class="cutlines" d="M0 0L300 200"/></g>
        <path class="cutlines" d="M0 0L300 200" visibility="hidden"/>
    </svg>"##;
    let (drawing, notes) = read(svg).expect("a drawing");
    let widths: Vec<f64> = drawing.cutlines.iter().map(|line| line.face_mm).collect();
    // "3mm" is 3 mm at 96 user units per inch, here stretched to 1 mm per user unit.
    assert_eq!(widths, [8.0, 4.0, 11.339, 11.339]);
    assert_eq!(drawing.cutlines[3].path, "M 250 200 L 250 0");
    assert_eq!(drawing.bars[0].diameter_mm, 12.0);
    assert!(notes.contains(&DrawingNote::DefaultWidth { count: 1, first: Line::Outline, width_mm: 12.0 }));
    let ignored: Vec<(&str, usize)> = notes
        .iter()
        .filter_map(|note| match note {
            DrawingNote::Ignored { element, count, .. } => Some((element.as_str(), *count)),
            _ => None,
        })
        .collect();
    assert_eq!(ignored, [("path", 2), ("text", 1)]);
    assert!(notes.iter().any(|note| matches!(note, DrawingNote::Hidden { count: 2, .. })));
}

#[test]
fn widths_may_be_absent_thin_or_ignored() {
    let (drawing, notes) =
        read(&file(r#"<g stroke-width="0.25"><path d="M9 0V9"/><path d="M9 0V9"/></g>"#)).expect("a drawing");
    assert_eq!(drawing.cutlines[0].face_mm, 0.25);
    assert_eq!(notes, [DrawingNote::Hairline { count: 2, first: Line::Cutline(0), width_mm: 0.25 }]);
    let ignore = SvgOptions { ignore_stroke_widths: true, cutline_face_mm: 5.0, ..SvgOptions::default() };
    let (drawing, notes) = drawing_from_svg(&file(r#"<path d="M9 0V9"/>"#), &ignore).expect("a drawing");
    assert_eq!((drawing.cutlines[0].face_mm, drawing.outline.face_mm), (5.0, 12.0));
    assert!(notes.is_empty());
    let faults = read(&file(r#"<path d="M9 0V9" stroke-width="900"/>"#)).expect_err("too wide").faults;
    assert!(matches!(faults[..], [DrawingFault::BadWidth { found, .. }] if found == 900.0));
}

#[test]
fn every_fault_is_listed_with_its_place() {
    let svg = r##"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" viewBox="0 0 300 200">
<rect id="sight-size" width="300" height="200"/>
<g id="cutlines">
<path d="M0 0L5 x"/>
<circle r="five"/>
<polygon points="1 2 3"/>
<text>cut here</text>
<use href="#nothing"/>
<path d="M0 0L1 1" transform="spin(4)"/>
<path d="M0 0L1 1" stroke-width="4%"/>
<path id="sight-size" d="M0 0H9V9z"/>
</g></svg>"##;
    let faults = read(svg).expect_err("faults").faults;
    let lines: Vec<u32> = faults
        .iter()
        .filter_map(|fault| match fault {
            DrawingFault::BadPath { place, .. }
            | DrawingFault::BadAttribute { place, .. }
            | DrawingFault::NotALine { place, .. }
            | DrawingFault::SecondSightSize { place } => Some(place.line),
            _ => None,
        })
        .collect();
    assert_eq!(lines, [4, 5, 6, 7, 8, 9, 10, 11], "{faults:?}");
    let missing = read(r#"<svg width="3mm" viewBox="0 0 1 1"/>"#).expect_err("nothing in it").faults;
    assert!(matches!(missing[..], [DrawingFault::NoSightSize]));
    assert!(matches!(read("<html/>").expect_err("no SVG").faults[..], [DrawingFault::NotSvg { .. }]));
    let broken = read("<svg>\n<g></svg>").expect_err("no XML").to_string();
    assert!(broken.contains("2:"), "{broken}");
}

#[test]
fn hostile_files_end_in_errors() {
    // A browser gives a megabyte of stack.
    let run = || {
        let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
        let mut files = vec![
            file(&deep),
            file(&format!("{}<path d='M0 0V9'/>{}", "<g>".repeat(600), "</g>".repeat(600))),
            file(r#"<path d="M0 0L1e308 -1e308"/>"#),
            file(r#"<path d="M0 0L1e9999 0"/>"#),
            file(r#"<path d="M0 0LNaN NaN"/>"#),
            file(r#"<path d="M0 0A1e9 1e9 0 0 1 1e9 1e9"/>"#),
            file(r#"<path d="M0 0C1e9 0 0 1e9 -1e9 5"/>"#),
            file(r#"<g transform="scale(1e300)"><g transform="scale(1e300)"><path d="M1 1L2 2"/></g></g>"#),
            file(r#"<g transform="matrix(1 0 0 1 NaN 0)"><path d="M1 1L2 2"/></g>"#),
            file(r#"<circle r="1e308"/>"#),
            file(r##"<g id="a"><use href="#a"/></g>"##),
            "\u{0}\u{1}".to_owned(),
            "<svg".to_owned(),
            String::new(),
        ];
        // Entities of entities.
        let mut bomb = String::from(r#"<!DOCTYPE svg [<!ENTITY a0 "<g><path d='M0 0L1 1'/></g>">"#);
        for i in 1..12 {
            bomb += &format!(r#"<!ENTITY a{i} "{}">"#, format!("&a{};", i - 1).repeat(10));
        }
        files.push(format!("{bomb}]><svg width='9mm' viewBox='0 0 9 9'>&a11;</svg>"));
        // Uses of uses: 10^8 paths.
        let mut uses = String::from("<g id='u0'><path d='M0 0L1 1'/></g>");
        for i in 1..9 {
            uses += &format!("<g id='u{i}'>{}</g>", format!("<use href='#u{}'/>", i - 1).repeat(10));
        }
        files.push(file(&uses));
        for svg in &files {
            let name: String = svg.chars().take(300).collect();
            let error = read(svg).expect_err(&name);
            assert!(!error.faults.is_empty());
        }
    };
    std::thread::Builder::new().stack_size(1 << 20).spawn(run).expect("a thread").join().expect("no panic");
}

#[test]
fn a_document_type_alone_is_not_a_fault() {
    let svg = format!(
        "<?xml version=\"1.0\"?><!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" \
         \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [<!ENTITY ns \"http://x.example/\">]>{}",
        file("<path d='M9 0V200'/>")
    );
    assert_eq!(panel(&svg).pieces.len(), 2);
}

#[test]
fn a_drawing_with_every_element_is_complete() {
    let panel = panel(include_str!("../lancet.svg"));
    assert!(panel.open_ends.is_empty(), "{:?}", panel.open_ends);
    // Two in the head, four about the medallion, five within it; below a band, an ellipse and its two
    // spandrels, a band.
    assert_eq!(panel.pieces.len(), 16);
    // The rect's sides run along the outline; nothing else is noted.
    let together = |note: &&panel::PanelNote| matches!(note, panel::PanelNote::RunsTogether { .. });
    assert_eq!(panel.notes.iter().filter(|note| !together(note)).count(), 0, "{:?}", panel.notes);
    // Two arcs of radius 325 over the springing: each half is a sector less a triangle.
    let angle = (125.0_f64 / 325.0).acos();
    let head = 2.0 * (325.0 * 325.0 * angle / 2.0 - 125.0 * 300.0 / 2.0);
    close(panel.opening_area_mm2(), 240_000.0 + head, 10.0);
    close(panel.light_area_mm2() + panel.lead_area_mm2(), panel.opening_area_mm2(), 1e-6);
    let widths: Vec<f64> = panel.lead_lengths_mm().iter().map(|l| l.face_mm).collect();
    assert_eq!(widths, [3.5, 4.0, 5.0, 8.0, 12.0]);
    assert_eq!(panel.bars[0].axis.len(), 2);
    let ellipse = panel.piece_at(PanelPoint::new(200.0, 100.0)).expect("a piece");
    close(panel.pieces[ellipse].area_mm2, PI * 2400.0, 4.0);
}
