//! A window's edge with a gap wider than a slip of the pen is closed, and the gap is said; or the file is refused.

use drawing_io::{FaultKind, Import, ImportError, ImportOptions, import};
use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Point};
use panel::{PanelOptions, panel_from_drawing, read_path};

use crate::window::{LEADS, areas, assert_areas, file, layers, paths, read};

/// Everything alike, without names.
fn alike(edge: &str, leads: &str) -> String {
    file(&format!(r#"<g fill="none" stroke="black" stroke-width="5"><path d="{edge}"/>{leads}</g>"#))
}

/// The edge in a layer of its own, with these attributes.
fn own_layer(attributes: &str, edge: &str, leads: &str) -> String {
    file(&format!(
        r#"<g fill="none" {attributes}><path d="{edge}"/></g><g fill="none" stroke="black" stroke-width="1">{leads}</g>"#
    ))
}

/// The gaps that were closed: width, how it was closed, place.
fn gaps(found: &Import) -> Vec<(f64, &str, [f64; 2])> {
    let wide = found.faults.iter().filter(|fault| fault.kind == FaultKind::OpenEnd);
    wide.map(|fault| {
        let rest = fault.words.strip_prefix("The window's edge was open by ").expect("a gap");
        let (mm, how) = rest.split_once(" mm here; it was closed ").expect("how it was closed");
        (mm.parse().expect("a width"), how, fault.at_mm.to_array())
    })
    .collect()
}

/// The window is whole, and these gaps are all that is said.
#[track_caller]
fn is_closed(found: &Import, expected: &[(f64, &str, [f64; 2])]) {
    assert_areas(found, &areas(), 0.0005);
    assert_eq!(found.faults.len(), expected.len(), "{:?}", found.faults);
    for ((mm, how, at), expected) in gaps(found).into_iter().zip(expected) {
        assert!((mm - expected.0).abs() < 0.11, "{mm}, expected {expected:?}");
        assert!(how.starts_with(expected.1), "{how}, expected {expected:?}");
        let distance = (at[0] - expected.2[0]).hypot(at[1] - expected.2[1]);
        assert!(distance < 1.0, "{at:?}, expected {expected:?}");
    }
    // A scene is made of the closed edge.
    let built = panel_from_drawing(&found.drawing, &PanelOptions::default()).expect("a panel");
    assert_eq!((built.pieces.len(), built.open_ends.len()), (areas().len(), 0));
}

const CARRIED_ON: &str = "by carrying its lines on until they meet";
const STRAIGHT: &str = "with a straight line";
const CURVE: &str = "by carrying its curve on";

/// Edges with gaps, and what is to be said of them.
type OpenEdge = (&'static str, &'static [(f64, &'static str, [f64; 2])]);
const OPEN: [OpenEdge; 8] = [
    // Four lines of which one stops short of a corner; two do; one open path.
    ("M0 0H400M400 0V600M400 600H30M0 600V0", &[(30.0, CARRIED_ON, [15.0, 0.0])]),
    ("M0 0H400M400 0V600M400 600H30M0 570V0", &[(42.4, CARRIED_ON, [15.0, 15.0])]),
    ("M0 0H400V600H0V30", &[(30.0, CARRIED_ON, [0.0, 585.0])]),
    ("M25 0H400V600H0V25", &[(35.4, CARRIED_ON, [12.5, 587.5])]),
    // In the middle of a side; where a lead ends; up to where a lead ends.
    ("M0 0H400V200M400 230V600H0V0", &[(30.0, STRAIGHT, [400.0, 385.0])]),
    ("M0 0H400M400 0V600M400 600H180M130 600H0V0", &[(50.0, STRAIGHT, [155.0, 0.0])]),
    ("M0 0H400M400 0V600M400 600H180M150 600H0V0", &[(30.0, STRAIGHT, [165.0, 0.0])]),
    // Two gaps.
    (
        "M0 0H370M400 0V600M400 600H180M130 600H0V0",
        &[(30.0, CARRIED_ON, [385.0, 600.0]), (50.0, STRAIGHT, [155.0, 0.0])],
    ),
];

#[test]
fn an_open_edge_is_closed_and_said_where_all_lines_are_alike() {
    for (edge, expected) in OPEN {
        is_closed(&read(&alike(edge, &paths(&LEADS))), expected);
    }
}

#[test]
fn an_open_edge_in_a_layer_of_its_own_is_closed_and_said() {
    for (edge, expected) in OPEN {
        for attributes in [r#"id="outline" stroke="black""#, r#"stroke="red" stroke-width="8""#] {
            let found = read(&own_layer(attributes, edge, &paths(&LEADS)));
            is_closed(&found, expected);
        }
    }
    // One line is the edge, with its width.
    let found = read(&own_layer(r#"stroke="red" stroke-width="8""#, "M0 0H400V600H0V30", &paths(&LEADS)));
    assert_eq!(layers(&found)[0], "red lines, 8 mm wide: outline");
    assert!((found.drawing.outline.face_mm - 8.0).abs() < 1e-9);
}

#[test]
fn a_closed_mark_is_not_taken_for_an_open_edge() {
    let mark = r#"<circle cx="-6" cy="-6" r="4"/><path d="M0 0H400V600H0V30"/>"#;
    let svg = file(&format!(
        r#"<g id="outline" fill="none" stroke="black">{mark}</g><g id="leads" fill="none" stroke="black">{}</g>"#,
        paths(&LEADS)
    ));
    is_closed(&read(&svg), &[(30.0, CARRIED_ON, [0.0, 585.0])]);
}

#[test]
fn the_page_is_not_taken_for_an_open_edge() {
    let frame = r#"<rect x="-20" y="-20" width="440" height="640"/>"#;
    let found = read(&alike("M0 0H400V600H0V30", &format!("{frame}{}", paths(&LEADS))));
    assert_areas(&found, &areas(), 0.0005);
    assert_eq!(gaps(&found), [(30.0, CARRIED_ON_WHOLE, [0.0, 585.0])]);
}

const CARRIED_ON_WHOLE: &str = "by carrying its lines on until they meet.";

#[test]
fn a_gap_is_closed_at_the_real_width_and_mirrored() {
    let edge = "M0 0H400M400 0V600M400 600H30M0 600V0";
    let content = format!(r#"<g fill="none" stroke="black"><path d="{edge}"/>{}</g>"#, paths(&LEADS));
    let svg = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -20 440 640">{content}</svg>"#);
    let options =
        ImportOptions { width_mm: Some(800.0), seen_from_outside: true, ..ImportOptions::default() };
    let found = import(&svg, &options).expect("a window");
    let mut expected: Vec<f64> = areas().iter().map(|area| area * 4.0).collect();
    let mut areas: Vec<f64> = found.panel.pieces.iter().map(|piece| piece.area_mm2).collect();
    expected.sort_by(f64::total_cmp);
    areas.sort_by(f64::total_cmp);
    assert!(areas.len() == expected.len(), "{areas:?}");
    assert!(areas.iter().zip(&expected).all(|(a, b)| (a - b).abs() < 0.001 * b), "{areas:?}, {expected:?}");
    assert_eq!(found.faults.len(), 1, "{:?}", found.faults);
    let [(mm, _, at)] = gaps(&found)[..] else { panic!("{:?}", found.faults) };
    assert!((mm - 60.0).abs() < 0.01 && (at[0] - 770.0).abs() < 0.1 && at[1].abs() < 0.1, "{mm} at {at:?}");
}

#[test]
fn a_narrow_and_a_wide_gap_are_both_said() {
    let found = read(&alike("M0 0H399.2M400 0V600M400 600H30M0 600V0", &paths(&LEADS)));
    assert_areas(&found, &areas(), 0.01);
    assert_eq!(gaps(&found).len(), 1, "{:?}", found.faults);
    let narrow: Vec<_> = found.faults.iter().filter(|fault| fault.kind == FaultKind::Joined).collect();
    assert!(matches!(narrow[..], [fault] if fault.words.contains("0.8 mm")), "{:?}", found.faults);
}

#[test]
fn a_side_that_is_missing_is_refused_or_said() {
    // Named: nothing else can be the edge.
    let error = import(
        &own_layer(r#"id="outline" stroke="black""#, "M0 600V0H400V600", &paths(&LEADS)),
        &ImportOptions::default(),
    )
    .unwrap_err();
    let ImportError::OpenEdge { gap_mm, at_mm } = &error else { panic!("{error}") };
    assert_eq!((*gap_mm, *at_mm), (400.0, [200.0, 0.0]));
    assert!(error.to_string().contains("open by 400 mm at 200, 0 mm"), "{error}");
    // Otherwise what the lines enclose is a window; where its edge runs on is said.
    for edge in ["M0 600V0H400V600", "M0 0H400M400 0V600M0 600V0"] {
        let found = import(&alike(edge, &paths(&LEADS)), &ImportOptions::default()).expect("a window");
        let said = found.faults.iter().find(|fault| fault.kind == FaultKind::OpenEnd).expect("said");
        assert!(said.words.contains("200 mm outside"), "{said:?}");
        assert!((said.at_mm[1] + 200.0).abs() < 1.0, "{said:?}");
    }
}

#[test]
fn lines_that_run_past_the_edge_leave_no_gap() {
    // Corners where both sides run too far, and leads that do.
    let found = read(&alike(
        "M-10 0H410M400 -10V610M410 600H-10M0 610V-10M-10 150H410M-10 350H410M150 -10V610M300 -10V610",
        "",
    ));
    assert_eq!(found.panel.pieces.len(), 9);
    assert!((found.panel.width_mm - 400.0).abs() < 0.01 && (found.panel.height_mm - 600.0).abs() < 0.01);
    assert!(found.faults.iter().all(|fault| fault.kind != FaultKind::OpenEnd), "{:?}", found.faults);
    // Dimension lines beside it, whose ends face its corners.
    let dimension = "M0 608V640M400 608V640M0 630H400";
    let edge = format!("M0 0H400M400 0V600M400 600H0M0 600V0{dimension}");
    let found = read(&alike(&edge, &paths(&LEADS)));
    assert_areas(&found, &areas(), 0.0005);
    assert!(found.faults.iter().all(|fault| fault.kind != FaultKind::OpenEnd), "{:?}", found.faults);
}

/// Leads drawn as two lines each, 2 mm apart.
fn double_leads() -> String {
    let pairs = |count: usize| (1..count).flat_map(|k| [100 * k - 1, 100 * k + 1]);
    let upright = pairs(4).map(|x| format!(r#"<path d="M{x} 0V600"/>"#));
    let level = pairs(6).map(|y| format!(r#"<path d="M0 {y}H400"/>"#));
    upright.chain(level).collect()
}

#[test]
fn double_leads_in_an_edge_of_lines_are_leads_as_in_a_closed_one() {
    let closed = read(&own_layer(r#"stroke="red" stroke-width="1""#, "M0 0H400V600H0Z", &double_leads()));
    let areas: Vec<f64> = closed.panel.pieces.iter().map(|piece| piece.area_mm2).collect();
    assert_eq!(areas.len(), 7 * 11);
    for (edge, gaps) in
        [("M0 0H400M400 0V600M400 600H0M0 600V0", 0), ("M0 0H400M400 0V600M400 600H30M0 600V0", 1)]
    {
        for attributes in [
            r#"stroke="red" stroke-width="1""#,
            r#"id="Frame" stroke="black""#,
            r#"id="outline" stroke="black""#,
        ] {
            let found = read(&own_layer(attributes, edge, &double_leads()));
            assert_areas(&found, &areas, 0.0005);
            assert_eq!(self::gaps(&found).len(), gaps, "{:?}", found.faults);
            assert_eq!(found.faults.len(), closed.faults.len() + gaps, "{:?}", found.faults);
            assert!(layers(&found)[1].ends_with(": cutlines"), "{:?}", layers(&found));
        }
    }
}

#[test]
fn strokes_that_end_anywhere_beside_an_edge_of_lines_are_no_leads() {
    let strokes = r#"<path d="M40 40L80 90"/><path d="M50 140L90 290"/><path d="M200 300q20 30 40 0"/>"#;
    let edge = "M0 0H400M400 0V600M400 600H0M0 600V0";
    let found = read(&own_layer(r#"stroke="red" stroke-width="8""#, edge, strokes));
    assert_eq!(found.panel.pieces.len(), 1);
    assert!(found.faults.is_empty(), "{:?}", found.faults);
}

/// A path without a stretch of it, by the length from its start: what is before, and what is after.
fn without(path: &str, from: f64, to: f64) -> String {
    let segments: Vec<PathSeg> = read_path(path).expect("a path").segments().collect();
    let whole: f64 = segments.iter().map(|segment| segment.arclen(1e-6)).sum();
    let mut data = String::new();
    let (mut at, mut pen) = (0.0, Point::new(f64::NAN, 0.0));
    let mut draw = |segment: PathSeg| {
        let (start, end) = (segment.start(), segment.end());
        if (start - pen).hypot().is_nan() || (start - pen).hypot() > 1e-6 {
            data += &format!("M{} {}", start.x, start.y);
        }
        data += &match segment {
            PathSeg::Cubic(c) => {
                format!("C{} {} {} {} {} {}", c.p1.x, c.p1.y, c.p2.x, c.p2.y, end.x, end.y)
            }
            _ => format!("L{} {}", end.x, end.y),
        };
        pen = end;
    };
    for segment in segments {
        let length = segment.arclen(1e-6);
        let t = |s: f64| segment.inv_arclen((s - at).clamp(0.0, length), 1e-6);
        // What reaches past the end of the path is cut out at its start.
        let kept = [(at.max(to - whole), from), (to.max(to - whole), at + length)];
        for (a, b) in kept.map(|(a, b)| (a.max(at), b.min(at + length))) {
            if b - a > 1e-6 {
                draw(segment.subsegment(t(a)..t(b)));
            }
        }
        at += length;
    }
    data
}

/// A gap anywhere in an edge is closed: as many pieces, and the gap said once.
#[track_caller]
fn closes_anywhere(edge: &str, leads: &str) {
    let whole = read(&alike(edge, leads));
    assert!(whole.faults.is_empty(), "{:?}", whole.faults);
    let areas: Vec<f64> = whole.panel.pieces.iter().map(|piece| piece.area_mm2).collect();
    let length: f64 = read_path(edge).expect("a path").segments().map(|segment| segment.arclen(1e-6)).sum();
    for (k, gap) in [7.0, 13.0, 30.0, 60.0].into_iter().enumerate() {
        let mut from = 3.0 + k as f64;
        while from < length {
            let open = without(edge, from, from + gap);
            let found = read(&alike(&open, leads));
            assert_eq!(found.panel.pieces.len(), areas.len(), "{open}: {:?}", found.faults);
            let said: Vec<_> =
                found.faults.iter().filter(|fault| fault.words.contains("edge was open")).collect();
            let [the_gap] = said[..] else { panic!("{open}: {:?}", found.faults) };
            // A lead that ended in the gap may run a little past what closes it; nothing else is wrong.
            for fault in found.faults.iter().filter(|fault| *fault != the_gap) {
                let is_in_gap = (fault.at_mm - the_gap.at_mm).length() < gap;
                assert!(fault.kind == FaultKind::Overshoot && is_in_gap, "{open}: {:?}", found.faults);
            }
            // A carried curve misses its own by little.
            for (a, b) in found.panel.pieces.iter().zip(&areas) {
                assert!((a.area_mm2 - b).abs() < 0.01 * b, "{open}: {} mm², expected {b}", a.area_mm2);
            }
            from += 23.0;
        }
    }
}

#[test]
fn a_gap_anywhere_in_a_rectangle_is_closed() {
    closes_anywhere(
        "M0 0H400V600H0Z",
        r#"<path d="M130 0V600M270 0V600"/><path d="M0 150H400M0 300H400M0 450H400"/>"#,
    );
}

#[test]
fn a_gap_anywhere_in_a_round_headed_window_is_closed() {
    // On the arch, 120 mm from its middle, at a height of 160 mm.
    closes_anywhere(
        "M0 600V200A200 200 0 0 1 400 200V600Z",
        r#"<path d="M80 40V600M320 40V600"/><path d="M0 200H400M0 330H400M0 460H400"/>"#,
    );
}

#[test]
fn a_gap_in_a_curve_is_closed_by_a_curve() {
    let found =
        read(&alike("M180 1A200 200 0 0 0 0 200V600H400V200A200 200 0 0 0 220 1", &paths(&LEADS[..1])));
    assert_eq!(found.panel.pieces.len(), 2);
    let [(mm, how, at)] = gaps(&found)[..] else { panic!("{:?}", found.faults) };
    assert!((mm - 40.0).abs() < 0.1 && how.starts_with(CURVE), "{mm} {how}");
    assert!((at[0] - 200.0).abs() < 0.5 && (at[1] - 599.0).abs() < 0.5, "{at:?}");
    // As curves, not as chords.
    assert!(found.drawing.outline.path.contains('Q'), "{}", found.drawing.outline.path);
}

#[test]
fn an_edge_of_lines_is_read_at_the_widest() {
    for edge in ["M0 0H400M400 0V300M400 300H0M0 300V0", "M0 0H400M400 0V300M400 300H30M0 300V0"] {
        let content = format!(
            r#"<g fill="none" stroke="black"><path d="{edge}"/><path d="M130 0V300M0 200C130 150 270 250 400 200"/></g>"#
        );
        let svg =
            format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -20 440 340">{content}</svg>"#);
        for width in [10.0, 400.0, 19_800.0, 20_000.0] {
            let options = ImportOptions { width_mm: Some(width), ..ImportOptions::default() };
            let found = import(&svg, &options).unwrap_or_else(|error| panic!("{width}: {error}"));
            assert_eq!(found.panel.pieces.len(), 4, "{width}");
            assert!((found.panel.width_mm - width).abs() < 1e-6 * width, "{}", found.panel.width_mm);
            assert!((found.panel.height_mm - 0.75 * width).abs() < 1e-6 * width, "{}", found.panel.height_mm);
        }
    }
}

#[test]
fn a_missing_side_is_placed_as_in_the_file_and_at_the_real_width() {
    let edge = r#"<path id="outline" d="M400 600H0V0H400"/>"#;
    // Beside it something by which the real size is first guessed.
    let content =
        format!(r#"<g fill="none" stroke="black">{edge}{}<path d="M500 0V600"/></g>"#, paths(&LEADS));
    let svg = format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 600">{content}</svg>"#);
    for seen_from_outside in [false, true] {
        for (scale, text) in [(1.0, file(&content)), (2.0, svg.clone())] {
            let width_mm = (scale > 1.0).then_some(400.0 * scale);
            let options = ImportOptions { width_mm, seen_from_outside, ..ImportOptions::default() };
            let error = import(&text, &options).unwrap_err();
            let ImportError::OpenEdge { gap_mm, at_mm: [x, y] } = error else { panic!("{error}") };
            assert!((gap_mm - 600.0 * scale).abs() < 1e-6, "{gap_mm}");
            assert!((x - 400.0 * scale).abs() < 1e-6 && (y - 300.0 * scale).abs() < 1e-6, "{x}, {y}");
        }
    }
}

#[test]
fn only_what_misses_the_line_that_closes_a_gap_is_not_said() {
    let edge = "M0 0H400M400 0V600M400 600H250M120 600H0V0";
    let leads = ["M0 500H400", "M185 499.8V0"];
    let found = read(&alike(edge, &paths(&leads)));
    assert_eq!(gaps(&found), [(130.0, STRAIGHT_WHOLE, [185.0, 0.0])]);
    let joined: Vec<_> = found.faults.iter().filter(|fault| fault.kind == FaultKind::Joined).collect();
    let [fault] = joined[..] else { panic!("{:?}", found.faults) };
    assert_eq!(fault.words, "A line missed another by 0.2 mm; joined.");
    assert!((fault.at_mm[0] - 185.0).abs() < 0.3 && (fault.at_mm[1] - 100.0).abs() < 0.3, "{fault:?}");
}

const STRAIGHT_WHOLE: &str = "with a straight line.";
