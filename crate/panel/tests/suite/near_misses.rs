//! Lines that miss one another, overshoot, coincide or run out of the opening.

// Numbers that are exact by construction are compared exactly.
#![allow(clippy::float_cmp)]

use panel::{
    Cutline, Drawing, Line, Outline, Panel, PanelFault, PanelNote, PanelOptions, panel_from_drawing,
};
use plane::PanelPoint;

fn build(outline: &str, cutlines: &[&str]) -> Panel {
    let drawing = Drawing {
        outline: Outline { path: outline.into(), face_mm: 10.0 },
        cutlines: cutlines.iter().map(|path| Cutline { path: (*path).into(), face_mm: 6.0 }).collect(),
        bars: vec![],
    };
    let panel = panel_from_drawing(&drawing, &PanelOptions::default()).expect("a panel");
    let area: f64 = panel.pieces.iter().map(|piece| piece.area_mm2).sum();
    assert!((area - panel.opening_area_mm2()).abs() < 1e-6 * area, "{area}");
    panel
}

fn faults(outline: &str) -> Vec<PanelFault> {
    let drawing =
        Drawing { outline: Outline { path: outline.into(), face_mm: 10.0 }, cutlines: vec![], bars: vec![] };
    panel_from_drawing(&drawing, &PanelOptions::default()).expect_err("faulty").faults
}

const RECT: &str = "M0 0H300V200H0Z";

#[test]
fn an_end_short_by_a_twentieth_of_a_millimetre_joins() {
    // Short of the outline above, short of another line below.
    let panel = build(RECT, &["M0 50H300", "M150 50.05V199.95"]);
    assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0));
    let joined: Vec<f64> = panel
        .notes
        .iter()
        .map(|note| match note {
            PanelNote::Joined { line: Line::Cutline(1), gap_mm, .. } => *gap_mm,
            other => panic!("{other:?}"),
        })
        .collect();
    assert!(joined.len() == 2 && joined.iter().all(|gap| (gap - 0.05).abs() < 1e-5), "{joined:?}");
}

#[test]
fn a_thousandth_short_does_not_merge_pieces() {
    for gap in [1e-7, 1e-6, 1e-5, 1e-3, 0.01, 0.19] {
        let line = format!("M150 {gap}L150 {}", 200.0 - gap);
        assert_eq!(build(RECT, &[&line]).pieces.len(), 2, "{gap}");
        // Slanting, past the line and short of it.
        let slanting = format!("M100 {}L180 {}", gap, 200.0 + gap);
        assert_eq!(build(RECT, &[&slanting]).pieces.len(), 2, "{gap}");
    }
}

#[test]
fn an_end_five_millimetres_short_is_open_and_located() {
    let panel = build(RECT, &["M0 50H300", "M150 50V195"]);
    assert_eq!(panel.pieces.len(), 2);
    let [end] = panel.open_ends.as_slice() else { panic!("one open end") };
    assert_eq!(end.line, Line::Cutline(1));
    assert!((end.at[0] - 150.0).abs() < 1e-6 && (end.at[1] - 195.0).abs() < 1e-6);
    assert!((end.gap_mm.expect("a gap") - 5.0).abs() < 1e-6);
    let nearest = end.nearest.expect("a place");
    assert!((nearest[0] - 150.0).abs() < 1e-6 && (nearest[1] - 200.0).abs() < 1e-6);
    assert_eq!(end.piece, panel.piece_at(PanelPoint::new(10.0, 100.0)).expect("a piece"));
    // The lead exists as drawn: 6 mm wide, with a round end, and it blocks light.
    let piece = &panel.pieces[end.piece];
    let lead = 6.0 * (145.0 - 3.0) + std::f64::consts::PI * 4.5;
    // It ends exactly where the border's face begins, so that half of the round end lies under it.
    let hidden = std::f64::consts::PI * 4.5;
    assert!((piece.light_area_mm2 - (290.0 * 142.0 - lead + hidden)).abs() < 0.2, "{}", piece.light_area_mm2);
    assert_eq!(piece.cut.len(), 1);
    assert!((piece.cut_area_mm2 - 298.4 * 148.4).abs() < 1e-2);
    let lead = panel.leads.iter().find(|lead| lead.left == lead.right).expect("an open lead");
    assert!((lead.length_mm - 145.0).abs() < 1e-6);
    assert!(piece.neighbours.iter().all(|n| n.piece != end.piece));
}

#[test]
fn a_line_free_at_both_ends_is_two_open_ends() {
    let panel = build(RECT, &["M100 100H200"]);
    assert_eq!((panel.pieces.len(), panel.open_ends.len()), (1, 2));
    assert!(panel.open_ends.iter().all(|end| (end.gap_mm.expect("a gap") - 100.0).abs() < 1e-6));
    assert!(panel.pieces[0].outline.holes.is_empty());
    let lead = 600.0 + std::f64::consts::PI * 9.0;
    assert!((panel.pieces[0].light_area_mm2 - (290.0 * 190.0 - lead)).abs() < 0.1);
}

#[test]
fn overshoots_are_trimmed() {
    // Past the outline by 3 mm (under the border lead), past the other line by 0.15 mm.
    let panel = build(RECT, &["M-3 50H303", "M150 49.85V203"]);
    assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0));
    assert!(panel.notes.iter().all(|note| matches!(note, PanelNote::Joined { .. })), "{:?}", panel.notes);
    // Past the other line by 3 mm: an open end.
    assert_eq!(build(RECT, &["M0 50H300", "M150 47V200"]).open_ends.len(), 1);
}

#[test]
fn lines_outside_are_left_out_and_noted() {
    let panel = build(RECT, &["M150 -50V250", "M400 0V100", "M-80 -80H-20"]);
    assert_eq!(panel.pieces.len(), 2);
    let mut told = panel.notes.clone();
    told.sort_by_key(|note| note.to_string());
    assert!(
        matches!(told[..], [
            PanelNote::RunsOutside { line: Line::Cutline(0), length_mm, .. },
            PanelNote::WhollyOutside { line: Line::Cutline(1), at },
            PanelNote::WhollyOutside { line: Line::Cutline(2), .. },
        ] if (length_mm - 100.0).abs() < 1e-5 && at == PanelPoint::new(400.0, 0.0)),
        "{told:?}"
    );
}

#[test]
fn double_lines_become_one_lead() {
    // Exactly the same; half of it, backward; and one a tenth of a millimetre beside it.
    for double in ["M150 0V200", "M150 150V50", "M150.1 0V200", "M150.1 0L149.9 200"] {
        let panel = build(RECT, &["M150 0V200", double]);
        assert_eq!((panel.pieces.len(), panel.open_ends.len()), (2, 0), "{double}");
        assert!(
            panel.notes.iter().any(|note| matches!(note, PanelNote::RunsTogether { .. })),
            "{double}: {:?}",
            panel.notes
        );
    }
    // A third line that ends on the one left out is extended to the one kept.
    for third in ["M150.1 100H300", "M0 100H150", "M0 100H150.1", "M150 100H300"] {
        let panel = build(RECT, &["M150 0V200", "M150.1 0V200", third]);
        assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0), "{third}");
    }
}

#[test]
fn three_lines_almost_through_one_point_make_no_splinter() {
    let panel = build(RECT, &["M0 100H300", "M100 0L200 200", "M200.2 0L100.2 200"]);
    assert_eq!((panel.pieces.len(), panel.open_ends.len()), (6, 0), "{:?}", panel.notes);
}

#[test]
fn a_circle_touching_the_border_divides_the_rest() {
    // Radius 100 in a height of 200, off by up to a tenth of a millimetre either way: always circle + two sides.
    for r in [99.9, 99.97, 100.0, 100.03, 100.1] {
        let circle = format!("M{} 100a{r} {r} 0 0 1 {} 0a{r} {r} 0 0 1 -{} 0z", 150.0 - r, 2.0 * r, 2.0 * r);
        let panel = build(RECT, &[&circle]);
        assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0), "{r}: {:?}", panel.notes);
    }
}

#[test]
fn a_corner_almost_touching_a_line_divides() {
    let panel = build(RECT, &["M0 100H300", "M100 0L150 99.9L200 0"]);
    // Above; under the tent; and left and right of it, no longer connected through the gap.
    assert_eq!(panel.pieces.len(), 4, "{:?}", panel.notes);
}

#[test]
fn a_corner_of_the_outline_almost_touched_divides() {
    let panel = build("M0 0H300V200H160L150 100L140 200H0Z", &["M0 99.9H300"]);
    assert_eq!(panel.pieces.len(), 3, "{:?}", panel.notes);
    let panel = build("M0 0H300V200H160L150 100L140 200H0Z", &["M0 100.1H300"]);
    assert_eq!(panel.pieces.len(), 3, "{:?}", panel.notes);
}

#[test]
fn ends_that_almost_meet_are_one_point() {
    // Three ends within a tenth of a millimetre in the middle.
    let panel = build(RECT, &["M0 100H150", "M150.08 100.02L300 200", "M150 99.95V0"]);
    assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0));
    let middle = panel.joints.iter().filter(|joint| (joint.at[0] - 150.0).abs() < 1.0 && joint.at[1] > 50.0);
    assert_eq!(middle.map(|joint| joint.leads.len()).collect::<Vec<_>>(), [3]);
}

#[test]
fn a_line_that_runs_tangentially_into_another_divides() {
    // From the left edge into the top of a circle's arc, tangentially.
    let arc = "M50 0A100 100 0 0 0 250 0";
    for y in [99.9, 99.99, 100.0, 100.01, 100.1] {
        let tangent = format!("M0 {y}H150");
        let panel = build(RECT, &[arc, &tangent]);
        assert_eq!((panel.pieces.len(), panel.open_ends.len()), (3, 0), "{y}: {:?}", panel.notes);
    }
}

#[test]
fn lines_without_length_are_noted() {
    let panel = build(RECT, &["M10 10L10 10", "M20 20", "", "M30 30L30.1 30"]);
    assert_eq!(panel.pieces.len(), 1);
    let [a, b, c, d] = panel.notes.as_slice() else { panic!("{:?}", panel.notes) };
    assert_eq!(a, &PanelNote::NoLength { line: Line::Cutline(0), at: PanelPoint::new(10.0, 10.0) });
    assert!(matches!(b, PanelNote::NoLength { line: Line::Cutline(1), .. }));
    assert!(matches!(c, PanelNote::DrawsNothing { line: Line::Cutline(2) }));
    assert!(matches!(d, PanelNote::NoLength { line: Line::Cutline(3), .. }));
}

#[test]
fn a_cutline_may_cross_itself() {
    // A loop drawn in one stroke from the left edge.
    let panel = build(RECT, &["M0 100L200 150V50L0 120"]);
    assert!(panel.open_ends.is_empty());
    // The loop, the wedge between its ends, and all the rest round it.
    assert_eq!(panel.pieces.len(), 3);
}

#[test]
fn unusable_outlines_are_refused_with_the_place_of_the_fault() {
    let at = |found: PanelPoint, x: f64, y: f64| (found[0] - x).abs() < 1e-3 && (found[1] - y).abs() < 1e-3;
    let crossed = faults("M0 0L100 100V0L0 100Z");
    assert!(
        matches!(crossed[..], [PanelFault::OutlineCrossesItself { at: p }] if at(p, 50.0, 50.0)),
        "{crossed:?}"
    );
    let touching = faults("M0 0H100V100H50V0L40 100H0Z");
    assert!(
        matches!(touching[..], [PanelFault::OutlineCrossesItself { at: p }] if at(p, 50.0, 0.0)),
        "{touching:?}"
    );
    let spike = faults("M0 0H100V100H50V150V100H0Z");
    assert!(matches!(spike[..], [PanelFault::OutlineCrossesItself { .. }]), "{spike:?}");
    assert!(matches!(faults("")[..], [PanelFault::NoOutline]));
    assert!(matches!(faults("M0 0H100")[..], [PanelFault::OutlineOpen { gap_mm, .. }] if gap_mm == 100.0));
    assert!(matches!(faults("M0 0H9V9H0ZM20 0h9v9h-9z")[..], [PanelFault::OutlineParts { parts: 2 }]));
    assert_eq!(faults("M5 0H100V100H5Z"), [PanelFault::OutlineOffOrigin { at: PanelPoint::new(5.0, 0.0) }]);
    assert!(matches!(faults("M0 0H100V.001H0Z")[..], [PanelFault::OutlineEmpty { .. }]));
    assert!(matches!(faults("M0 0H1e6V100H0Z")[..], [PanelFault::OutOfRange { found: 1e6, .. }]));
    assert!(
        matches!(faults("M0 0H100V100x")[..], [PanelFault::BadPath { character: 13, .. }]),
        "{:?}",
        faults("M0 0H100V100x")
    );
}

#[test]
fn every_fault_is_listed() {
    let drawing = Drawing {
        outline: Outline { path: "M0 0H9V9H0".into(), face_mm: -1.0 },
        cutlines: vec![
            Cutline { path: "M0 0L5 5".into(), face_mm: f64::NAN },
            Cutline { path: "nonsense".into(), face_mm: 6.0 },
        ],
        bars: vec![panel::Bar { path: "M0 0H1e9".into(), diameter_mm: 0.0 }],
    };
    let error = panel_from_drawing(&drawing, &PanelOptions::default()).expect_err("faulty");
    assert_eq!(error.faults.len(), 5, "{error}");
    let options = PanelOptions { snap_mm: f64::NAN, ..PanelOptions::default() };
    assert!(panel_from_drawing(&drawing, &options).is_err());
}

#[test]
fn hostile_drawings_end_in_time() {
    // A hundred thousand points within a snapping distance, as one line and as many lines; a comb of a thousand
    // teeth across another, a million crossings; ten thousand islands.
    let heap: String =
        (0..100_000).map(|i| format!("L{} {}", 150 + i % 2, 100.0 + f64::from(i % 97) * 1e-3)).collect();
    let specks: String =
        (0..100_000).map(|i| format!("M150 {}h.3", 100.0 + f64::from(i % 97) * 1e-3)).collect();
    let comb: String = (0..1000).map(|i| format!("M{} 0V200", 0.3 * f64::from(i))).collect();
    let rows: String = (0..1000).map(|i| format!("M0 {}H300", 0.2 * f64::from(i))).collect();
    let islands: String =
        (0..10_000).map(|i| format!("M{} {}h1v1z", 1 + 2 * (i % 100), 1 + 2 * (i / 100))).collect();
    for cutline in [format!("M150 100{heap}"), specks, comb + &rows, islands] {
        let drawing = Drawing {
            outline: Outline { path: RECT.into(), face_mm: 10.0 },
            cutlines: vec![Cutline { path: cutline, face_mm: 6.0 }],
            bars: vec![],
        };
        match panel_from_drawing(&drawing, &PanelOptions::default()) {
            Ok(panel) => {
                let area: f64 = panel.pieces.iter().map(|piece| piece.area_mm2).sum();
                assert!((area - 60_000.0).abs() < 1e-3, "{area}");
            }
            Err(error) => assert!(matches!(error.faults[..], [PanelFault::TooMuch { .. }]), "{error}"),
        }
    }
}
