//! Open ends of a drawing are mended, and nothing else changes.

use drawing_io::{FaultKind, LineFault, MendedLine, line_faults, mend_all};
use panel::{Cutline, Drawing, Outline, Panel, PanelOptions, panel_from_drawing};
use proptest::prelude::*;

/// 400 by 600 mm with these leads, y up.
fn drawing(leads: &[&str]) -> Drawing {
    Drawing {
        outline: Outline { path: "M0 0H400V600H0Z".to_owned(), face_mm: 10.0 },
        cutlines: leads.iter().map(|path| Cutline { path: (*path).to_owned(), face_mm: 5.0 }).collect(),
        bars: Vec::new(),
    }
}

fn panel(drawing: &Drawing) -> Panel {
    panel_from_drawing(drawing, &PanelOptions::default()).expect("a panel")
}

fn faults(drawing: &Drawing, within_mm: f64) -> Vec<LineFault> {
    line_faults(drawing, &panel(drawing), within_mm)
}

fn with(mut drawing: Drawing, lines: &[MendedLine]) -> Drawing {
    for MendedLine { index, path } in lines {
        drawing.cutlines[*index].path.clone_from(path);
    }
    drawing
}

/// The one fault, and the path that mends it.
#[track_caller]
fn one(leads: &[&str], within_mm: f64) -> (FaultKind, Option<MendedLine>) {
    let mut found = faults(&drawing(leads), within_mm);
    assert_eq!(found.len(), 1, "{found:?}");
    let LineFault { fault, mended, .. } = found.remove(0);
    (fault.kind, mended)
}

#[track_caller]
fn mends_to(leads: &[&str], within_mm: f64, index: usize, path: &str) {
    let (_, mended) = one(leads, within_mm);
    assert_eq!(mended, Some(MendedLine { index, path: path.to_owned() }));
    let now = with(drawing(leads), &mended.into_iter().collect::<Vec<_>>());
    assert!(faults(&now, within_mm).is_empty(), "{:?}", faults(&now, within_mm));
}

#[test]
fn a_near_miss_tells_how_far_and_where() {
    let found = faults(&drawing(&["M0 300H400", "M100 600V303"]), 2.0);
    let [fault] = &found[..] else { panic!("{found:?}") };
    assert_eq!((fault.fault.kind, fault.fault.at_mm.to_array()), (FaultKind::NearMiss, [100.0, 303.0]));
    assert_eq!(fault.distance_mm, Some(3.0));
    assert_eq!(fault.to_mm.map(|to| to.to_array()), Some([100.0, 300.0]));
    assert_eq!(fault.mended, None);
}

#[test]
fn a_line_goes_on_in_its_own_direction() {
    mends_to(&["M0 300H400", "M100 600V303"], 3.0, 1, "M 100 600 L 100 300");
    // Whichever end it is, and at a slant.
    mends_to(&["M0 300H400", "M100 303L101 600"], 4.0, 1, "M 99.9899 300 L 101 600");
    mends_to(&["M0 300H400", "M198 302L100 400 0 590"], 2.0, 1, "M 200 300 L 100 400 L 0 590");
}

#[test]
fn a_curve_goes_on_straight() {
    mends_to(
        &["M0 300H400", "M0 500C60 500 100 400 100 302"],
        3.0,
        1,
        "M 0 500 C 60 500 100 400 100 302 L 100 300",
    );
}

#[test]
fn a_line_that_passes_by_turns_to_the_nearest_point() {
    // It runs along the other, so that its own direction never meets it; what ends on it goes on doing so.
    let leads = ["M0 300H400", "M0 302H200", "M100 302V600"];
    let mended = mend_all(&drawing(&leads), 2.0).expect("a panel");
    assert_eq!(mended.lines, [MendedLine { index: 1, path: "M 0 302 L 200 302 L 200 300".to_owned() }]);
    assert_eq!((mended.open_ends_before, mended.open_ends), (1, 0));
}

#[test]
fn what_runs_too_far_is_cut_off() {
    mends_to(&["M0 300H400", "M100 600V297"], 3.0, 1, "M 100 600 L 100 300");
    mends_to(&["M0 300H400", "M100 297L100 299 100 600"], 3.0, 1, "M 100 300 L 100 600");
    let (kind, mended) = one(&["M0 300H400", "M0 500C60 500 100 400 100 298"], 3.0);
    assert_eq!(kind, FaultKind::Overshoot);
    let path = mended.expect("a path").path;
    let end = panel::read_path(&path).expect("a path").elements().last().and_then(kurbo::PathEl::end_point);
    let end = end.expect("an end");
    assert!((end - kurbo::Point::new(100.0, 300.0)).hypot() < 0.05, "{path}");
}

#[test]
fn another_line_on_what_runs_too_far_is_kept() {
    // A lead ends on the part that runs too far: it is cut off there, and both meet in a corner.
    let leads = ["M0 300H400", "M100 600V291", "M0 0L100 294"];
    let now = drawing(&leads);
    let mended = mend_all(&now, 10.0).expect("a panel");
    assert_eq!((mended.open_ends_before, mended.open_ends), (1, 0));
    let pieces = panel(&now).pieces.len();
    assert_eq!(panel(&with(now, &mended.lines)).pieces.len(), pieces, "{:?}", mended.lines);
}

#[test]
fn of_two_ends_that_face_each_other_one_moves() {
    for to in ["M202 301H400", "M202 300H400"] {
        let leads = ["M0 300H200", to];
        assert_eq!(faults(&drawing(&leads), 3.0).len(), 2);
        let mended = mend_all(&drawing(&leads), 3.0).expect("a panel");
        assert_eq!((mended.lines.len(), mended.open_ends_before, mended.open_ends), (1, 2, 0), "{mended:?}");
        assert_eq!(panel(&with(drawing(&leads), &mended.lines)).pieces.len(), 2);
    }
}

#[test]
fn ends_close_beside_one_another_are_all_joined() {
    for count in [12_u32, 40] {
        let uprights = (0..count).map(|k| format!("M{} 600V{}", 100 + 2 * k, 301.2 + 0.3 * f64::from(k % 3)));
        let leads: Vec<String> = std::iter::once("M0 300H400".to_owned()).chain(uprights).collect();
        let leads: Vec<&str> = leads.iter().map(String::as_str).collect();
        let mended = mend_all(&drawing(&leads), 15.0).expect("a panel");
        assert_eq!((mended.open_ends_before, mended.open_ends), (count as usize, 0));
        let pieces = panel(&with(drawing(&leads), &mended.lines)).pieces.len();
        assert_eq!(pieces, count as usize + 2);
    }
}

#[test]
fn what_runs_out_of_the_window_is_cut_off_at_its_edge() {
    mends_to(&["M-3 300H400"], 5.0, 0, "M 0 300 L 400 300");
    mends_to(&["M0 300L400 304 403 304"], 3.0, 0, "M 0 300 L 400 304");
    // At a slant, its end is farther from where it crosses the edge than from the edge.
    mends_to(&["M0 300L200 605", "M0 100H400"], 5.0, 0, "M 0 300 L 196.72131 600");
    // Another line that it meets outside does not matter.
    let leads = ["M200 0V604", "M100 300L200.5 603"];
    let mended = mend_all(&drawing(&leads), 5.0).expect("a panel");
    assert_eq!((mended.open_ends_before, mended.open_ends), (3, 1), "{mended:?}");
    let ends: Vec<bool> = mended.lines.iter().map(|line| line.path.ends_with(" 600")).collect();
    assert_eq!(ends, [true, true], "{mended:?}");
    let leads = ["M-3 300H403"];
    let mended = mend_all(&drawing(&leads), 5.0).expect("a panel");
    assert_eq!((mended.open_ends_before, mended.open_ends), (2, 0));
    assert_eq!(mended.lines, [MendedLine { index: 0, path: "M 0 300 L 400 300".to_owned() }]);
    for (lead, kind, distance) in
        [("M-8 300H400", FaultKind::Overshoot, Some(8.0)), ("M-18 300H400", FaultKind::Outside, None)]
    {
        let found = faults(&drawing(&[lead]), 5.0);
        let [fault] = &found[..] else { panic!("{found:?}") };
        assert_eq!((fault.fault.kind, fault.distance_mm, &fault.mended), (kind, distance, &None));
    }
}

#[test]
fn both_ends_of_a_line_and_one_part_of_many_are_mended() {
    let leads = ["M0 300H400", "M0 100H400", "M10 400H20V500H10Z M100 298V102 M300 300V100"];
    let mended = mend_all(&drawing(&leads), 2.5).expect("a panel");
    assert_eq!((mended.open_ends_before, mended.open_ends), (2, 0));
    let path = "M 10 400 L 20 400 L 20 500 L 10 500 Z M 100 300 L 100 100 M 300 300 L 300 100";
    assert_eq!(mended.lines, [MendedLine { index: 2, path: path.to_owned() }]);
}

#[test]
fn what_lies_beyond_the_tolerance_is_left() {
    for (end, joined) in [(303.0, 0), (302.906, 0), (302.904, 1)] {
        // 2.904 mm are said to be 2.9.
        let leads = ["M0 300H400".to_owned(), format!("M100 600V{end}")];
        let mended = mend_all(&drawing(&leads.each_ref().map(String::as_str)), 2.9).expect("a panel");
        assert_eq!((mended.lines.len(), mended.open_ends), (joined, 1 - joined), "{end}");
    }
}

#[test]
fn lines_that_cannot_be_mended_are_named() {
    let twice = one(&["M150 0V600", "M150 0V600"], 15.0);
    assert_eq!(twice, (FaultKind::Duplicate, None));
    let sliver = one(&["M0 300H400", "M0 301H400"], 15.0);
    assert_eq!(sliver, (FaultKind::Sliver, None));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Leads drawn from edge to edge, one of them cut short or drawn too far: mended, the window has the same pieces.
    #[test]
    fn a_mended_window_is_the_one_that_was_meant(
        height in 100.0..500.0_f64,
        x in 80.0..320.0_f64,
        lean in -80.0..80.0_f64,
        bulge in -60.0..60.0_f64,
        miss in prop_oneof![-5.0..-0.5_f64, 0.5..5.0_f64],
    ) {
        let across = format!("M0 {height}C130 {} 270 {} 400 {height}", height + bulge, height - bulge);
        let curve = kurbo::CubicBez::new(
            (0.0, height), (130.0, height + bulge), (270.0, height - bulge), (400.0, height),
        );
        // Where the lead meets the curve, and where it ends.
        let top = kurbo::Point::new(x + lean, 600.0);
        let meets = kurbo::ParamCurve::eval(&curve, x / 400.0);
        let away = (top - meets).normalize() * miss;
        let (meant, drawn) = (
            format!("M{} 600L{} {}", top.x, meets.x, meets.y),
            format!("M{} 600L{} {}", top.x, meets.x + away.x, meets.y + away.y),
        );
        let meant = panel(&drawing(&[&across, &meant]));
        let now = drawing(&[&across, &drawn]);
        let mended = mend_all(&now, 6.0).expect("a panel");
        prop_assert_eq!((mended.open_ends_before, mended.open_ends), (1, 0));
        let now = panel(&with(now, &mended.lines));
        prop_assert_eq!(now.pieces.len(), meant.pieces.len());
        for (now, meant) in now.pieces.iter().zip(&meant.pieces) {
            prop_assert!((now.area_mm2 - meant.area_mm2).abs() < 20.0, "{} {}", now.area_mm2, meant.area_mm2);
        }
        prop_assert!(now.open_ends.is_empty());
    }
}
