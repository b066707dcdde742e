//! What is wrong with a drawing is found, with its place, and nothing else.

use drawing_io::{DrawingFault, FaultKind};

use crate::window::{EDGE, LEADS, file, paths, read};

fn faults(more: &str) -> Vec<DrawingFault> {
    let svg =
        file(&format!(r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}{more}</g>"#, paths(&LEADS)));
    read(&svg).faults
}

/// Exactly one fault, of this kind, within a millimetre of this place (from the lower left).
#[track_caller]
fn one(more: &str, kind: FaultKind, at: [f64; 2]) {
    let faults = faults(more);
    assert!(matches!(&faults[..], [fault] if fault.kind == kind), "{faults:?}");
    let found = faults[0].at_mm;
    let distance = (found[0] - at[0]).hypot(found[1] - at[1]);
    assert!(distance < 1.0, "{found:?}, expected {at:?}");
}

#[test]
fn what_stops_short_is_joined_or_named() {
    one(r#"<path d="M60 600V400.12"/>"#, FaultKind::Joined, [60.0, 199.9]);
    one(r#"<path d="M60 600V401"/>"#, FaultKind::NearMiss, [60.0, 199.0]);
    one(r#"<path d="M60 600V405"/>"#, FaultKind::NearMiss, [60.0, 195.0]);
    one(r#"<path d="M60 600V480"/>"#, FaultKind::OpenEnd, [60.0, 120.0]);
}

#[test]
fn ends_on_a_coarse_grid_are_joined() {
    // Two hundredths short: nothing worth a word would be too little, for it was moved.
    one(r#"<path d="M60 600V400.02"/>"#, FaultKind::Joined, [60.0, 199.98]);
}

#[test]
fn what_runs_too_far_is_named() {
    one(r#"<path d="M60 600V398"/>"#, FaultKind::Overshoot, [60.0, 202.0]);
    one(r#"<path d="M60 604V400"/>"#, FaultKind::Overshoot, [60.0, -4.0]);
    one(r#"<path d="M60 618V400"/>"#, FaultKind::Outside, [60.0, -18.0]);
}

#[test]
fn what_is_drawn_twice_is_taken_once() {
    one(r#"<path d="M400 180C270 230 130 130 0 180"/>"#, FaultKind::Duplicate, [5.1, 421.9]);
    one(r#"<path d="M150 600V400"/>"#, FaultKind::Duplicate, [150.0, 0.0]);
}

#[test]
fn a_curve_there_and_back_is_one_lead() {
    let there_and_back = faults(r#"<path d="M0 500C130 550 270 450 400 500C270 450 130 550 0 500Z"/>"#);
    assert!(there_and_back.is_empty(), "{there_and_back:?}");
}

#[test]
fn a_sliver_between_two_lines_is_named() {
    let found = faults(r#"<path d="M0 401H400"/>"#);
    assert!(!found.is_empty() && found.iter().all(|fault| fault.kind == FaultKind::Sliver), "{found:?}");
}

#[test]
fn what_cannot_be_read_is_named_with_its_line() {
    let found = faults("\n<path d=\"M60 500L80 x\"/>");
    assert!(matches!(&found[..], [fault] if fault.kind == FaultKind::NotUnderstood), "{found:?}");
    assert!(found[0].words.contains("line 7") && found[0].words.contains("path.d"), "{}", found[0].words);
    assert_eq!(found[0].at_mm.to_array(), [60.0, 100.0]);
    for (more, word) in [
        (r##"<use href="#nothing"/>"##, "href"),
        (r#"<circle r="five"/>"#, "circle.r"),
        (r#"<polygon points="1 2 3"/>"#, "points"),
        (r#"<path d="M0 0L1 1" transform="spin(4)"/>"#, "transform"),
    ] {
        let found = faults(more);
        assert!(found.len() == 1 && found[0].words.contains(word), "{found:?}");
    }
}

#[test]
fn a_line_that_runs_out_on_both_sides_is_named_twice() {
    let found = faults(r#"<path d="M-6 500H406"/>"#);
    assert!(found.len() == 2 && found.iter().all(|fault| fault.kind == FaultKind::Overshoot), "{found:?}");
}

#[test]
fn a_small_round_piece_is_no_sliver() {
    let found = faults(r#"<circle cx="350" cy="500" r="3"/>"#);
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn a_wide_tolerance_draws_what_it_joins() {
    let svg = file(&format!(
        r#"<g fill="none" stroke="black" stroke-width="5">{EDGE}{}<path d="M60 600V403"/></g>"#,
        paths(&LEADS)
    ));
    let options = drawing_io::ImportOptions { join_mm: 4.0, ..Default::default() };
    let found = drawing_io::import(&svg, &options).expect("a window");
    assert_eq!(found.faults.iter().map(|fault| fault.kind).collect::<Vec<_>>(), [FaultKind::Joined]);
    // Also within the usual tolerance, in which scenes are built.
    let built = panel::panel_from_drawing(&found.drawing, &panel::PanelOptions::default()).expect("a panel");
    assert_eq!((built.pieces.len(), built.open_ends.len()), (crate::window::areas().len() + 1, 0));
}

#[test]
fn an_edge_that_misses_itself_is_closed_and_named() {
    let gap = |d: &str| {
        let edge = format!("<path d=\"{d}\"/>");
        let svg =
            file(&format!(r#"<g fill="none" stroke="black" stroke-width="5">{edge}{}</g>"#, paths(&LEADS)));
        read(&svg)
    };
    for (d, mm, at) in [
        ("M0 0H400V600H0V0.8", "0.8", [0.0, 599.6]),
        ("M0 0H400V600H0V3", "3", [0.0, 598.5]),
        ("M0 0H400V600H0V-2", "2", [0.0, 601.0]),
        // In four lines, two of which miss each other.
        ("M0 0H400M400 0V600M400 600H0M0 600V0.8", "0.8", [0.0, 599.6]),
    ] {
        let found = gap(d);
        crate::window::assert_areas(&found, &crate::window::areas(), 0.01);
        let [fault] = &found.faults[..] else { panic!("{d}: {:?}", found.faults) };
        assert!(fault.kind == FaultKind::Joined && fault.words.contains(&format!(" {mm} mm")), "{fault:?}");
        let distance = (fault.at_mm[0] - at[0]).hypot(fault.at_mm[1] - at[1]);
        assert!(distance < 1.0, "{fault:?}, expected {at:?}");
    }
}

#[test]
fn closed_shapes_drawn_twice_are_named() {
    let circle = r#"<circle cx="200" cy="500" r="60"/>"#;
    one(&format!("{circle}{circle}"), FaultKind::Duplicate, [260.0, 100.0]);
    one(EDGE, FaultKind::Duplicate, [0.0, 600.0]);
}
