//! Panels whose areas, lengths and neighbours are known in closed form.

// Numbers that are exact by construction are compared exactly.
#![allow(clippy::float_cmp)]

use panel::{Bar, Cutline, Drawing, Line, Outline, Panel, PanelNote, PanelOptions, panel_from_drawing};
use plane::PanelPoint;
use std::f64::consts::PI;

fn drawing(outline: &str, border_mm: f64, cutlines: &[(&str, f64)]) -> Drawing {
    Drawing {
        outline: Outline { path: outline.into(), face_mm: border_mm },
        cutlines: cutlines.iter().map(|&(path, face_mm)| Cutline { path: path.into(), face_mm }).collect(),
        bars: vec![],
    }
}

fn build(outline: &str, border_mm: f64, cutlines: &[(&str, f64)]) -> Panel {
    panel_from_drawing(&drawing(outline, border_mm, cutlines), &PanelOptions::default()).expect("a panel")
}

fn close(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected} ± {tolerance}");
}

const RECT: &str = "M0 0H300V200H0Z";

// Lattice rounding: 1e-6 mm on a few hundred mm of edge.
const EXACT: f64 = 1e-3;

#[test]
fn a_bare_rectangle_is_one_piece() {
    let panel = build(RECT, 12.0, &[]);
    assert_eq!((panel.width_mm, panel.height_mm), (300.0, 200.0));
    let [piece] = panel.pieces.as_slice() else { panic!("one piece") };
    close(piece.area_mm2, 60_000.0, EXACT);
    close(piece.light_area_mm2, 288.0 * 188.0, EXACT);
    close(piece.cut_area_mm2, 298.4 * 198.4, EXACT);
    close(piece.cut_perimeter_mm, 2.0 * (298.4 + 198.4), EXACT);
    // Four mitred corners.
    assert_eq!((panel.leads.len(), panel.joints.len()), (4, 4));
    assert!(panel.notes.is_empty() && panel.open_ends.is_empty());
    close(panel.lead_area_mm2(), 60_000.0 - 288.0 * 188.0, EXACT);
}

#[test]
fn a_grid_of_quarries_has_closed_form_areas() {
    // Three columns, two rows; the upright leads 6 mm wide, the level one 4 mm.
    let panel = build(RECT, 10.0, &[("M100 0V200", 6.0), ("M200 200V0", 6.0), ("M0 100H300", 4.0)]);
    assert_eq!(panel.pieces.len(), 6);
    // Row by row from the top left.
    let corners: Vec<[f64; 2]> = panel.pieces.iter().map(|p| p.bounds[0].to_array()).collect();
    let expected = [[0.0, 100.0], [100.0, 100.0], [200.0, 100.0], [0.0, 0.0], [100.0, 0.0], [200.0, 0.0]];
    assert_eq!(corners, expected);
    let heights = 100.0 - 5.0 - 2.0;
    for (i, piece) in panel.pieces.iter().enumerate() {
        let width = if i % 3 == 1 { 100.0 - 6.0 } else { 100.0 - 5.0 - 3.0 };
        close(piece.light_area_mm2, width * heights, EXACT);
        close(piece.cut_area_mm2, 98.4 * 98.4, EXACT);
        close(piece.interior_point[0], (piece.light[0].outer.iter().map(|p| p[0]).sum::<f64>()) / 4.0, 1e-6);
    }
    let middle = &panel.pieces[1];
    let beside: Vec<(usize, f64)> = middle.neighbours.iter().map(|n| (n.piece, n.shared_mm)).collect();
    assert_eq!(beside.iter().map(|b| b.0).collect::<Vec<_>>(), [0, 2, 4]);
    beside.iter().for_each(|b| close(b.1, 100.0, 1e-6));
    // 2 crossings, 6 meetings with the border, 4 corners.
    assert_eq!(panel.solder_joints().count(), 12);
    assert_eq!(panel.leads.len(), 17);
    let lengths = panel.lead_lengths_mm();
    assert_eq!(lengths.len(), 3);
    close(lengths[0].length_mm, 300.0, 1e-5);
    close(lengths[1].length_mm, 400.0, 1e-5);
    close(lengths[2].length_mm, 1000.0, 1e-5);
    assert_eq!(panel.piece_at(PanelPoint::new(150.0, 150.0)), Some(1));
    assert_eq!(panel.piece_at(PanelPoint::new(150.0, 250.0)), None);
}

#[test]
fn a_circle_is_inset_to_smaller_circles() {
    // Radius 100; flattening to 0.02 mm takes at most 2/3 · 0.02 mm · perimeter, 8.4 mm².
    let circle = "M0 100A100 100 0 0 0 200 100A100 100 0 0 0 0 100Z";
    let panel = build(circle, 10.0, &[("M100 0V200", 6.0)]);
    assert_eq!(panel.pieces.len(), 2);
    let segment = |r: f64, d: f64| r * r * (d / r).acos() - d * (r * r - d * d).sqrt();
    for piece in &panel.pieces {
        close(piece.area_mm2, PI * 5000.0, 5.0);
        close(piece.light_area_mm2, segment(95.0, 3.0), 5.0);
        close(piece.cut_area_mm2, segment(99.2, 0.8), 5.0);
    }
    close(panel.lead_area_mm2() + panel.light_area_mm2(), panel.opening_area_mm2(), 1e-6);
    // The chord, and two half circles without a corner between.
    assert_eq!((panel.leads.len(), panel.joints.len()), (3, 2));
}

#[test]
fn arcs_cubics_and_quadratics_divide_into_known_areas() {
    // A half circle of radius 50 on the lower edge; a parabola's segment (2/3 of width times height) on the
    // upper; a cubic with control points on a line is that line.
    let cutlines = [
        ("M100 0A50 50 0 0 0 200 0", 6.0),
        ("M100 200Q150 120 200 200", 6.0),
        ("M0 100C100 100 200 100 300 100", 6.0),
    ];
    let panel = build(RECT, 10.0, &cutlines);
    let mut areas: Vec<f64> = panel.pieces.iter().map(|p| p.area_mm2).collect();
    areas.sort_by(f64::total_cmp);
    let (arc, parabola) = (PI * 1250.0, 2.0 / 3.0 * 100.0 * 40.0);
    assert_eq!(areas.len(), 4);
    close(areas[0], parabola, 2.0);
    close(areas[1], arc, 3.0);
    close(areas[2], 30_000.0 - arc, 3.0);
    close(areas[3], 30_000.0 - parabola, 3.0);
    assert!(panel.notes.is_empty(), "{:?}", panel.notes);
}

#[test]
fn an_inner_corner_is_rounded_by_its_lead() {
    // An L: the inset of the inner corner is a quarter circle of the border's half face.
    let panel = build("M0 0H200V100H100V200H0Z", 12.0, &[]);
    let expected = 30_000.0 - 6.0 * 800.0 + 5.0 * 36.0 - (36.0 - (36.0 - 9.0 * PI));
    // Strips along the six sides, less the five convex corners counted twice, plus the sector.
    close(panel.pieces[0].light_area_mm2, expected, 0.5);
}

#[test]
fn an_island_makes_a_real_hole_and_is_reported() {
    let panel = build(RECT, 10.0, &[("M100 50H200V150H100Z", 6.0)]);
    assert_eq!(panel.pieces.len(), 2);
    let frame = panel.pieces.iter().find(|p| !p.outline.holes.is_empty()).expect("a holed piece");
    close(frame.area_mm2, 50_000.0, EXACT);
    // Rounded outer corners of the ring of lead: a circle's worth of radius 3.
    close(frame.light_area_mm2, 290.0 * 190.0 - (100.0 * 100.0 + 4.0 * 3.0 * 100.0 + 9.0 * PI), 0.2);
    assert!(matches!(panel.notes[..], [PanelNote::PieceHoled { .. }]), "{:?}", panel.notes);
    assert_eq!(
        panel.piece_at(PanelPoint::new(150.0, 100.0)).map(|i| panel.pieces[i].outline.holes.len()),
        Some(0)
    );
    // The ring of lead has four corners; a round one has one joint.
    let round = build(RECT, 10.0, &[("M100 100a40 40 0 0 0 80 0a40 40 0 0 0 -80 0z", 6.0)]);
    let ring = round.leads.iter().find(|lead| lead.line == Line::Cutline(0)).expect("a ring");
    assert_eq!(ring.from_joint, ring.to_joint);
    assert_eq!(round.joints[ring.from_joint].leads.len(), 2);
    // Flattening shortens a circle by at most its area deviation over half its radius.
    close(ring.length_mm, 80.0 * PI, 0.1);
}

#[test]
fn islands_within_islands_nest() {
    let square = |r: f64| format!("M{} {}h{}v{}h-{}z", 150.0 - r, 100.0 - r, 2.0 * r, 2.0 * r, 2.0 * r);
    let paths: Vec<String> = [80.0, 60.0, 40.0, 20.0].iter().map(|&r| square(r)).collect();
    let cutlines: Vec<(&str, f64)> = paths.iter().map(|p| (p.as_str(), 4.0)).collect();
    let panel = build(RECT, 10.0, &cutlines);
    let mut areas: Vec<f64> = panel.pieces.iter().map(|p| p.area_mm2).collect();
    areas.sort_by(f64::total_cmp);
    let expected = [1600.0, 4800.0, 8000.0, 11_200.0, 34_400.0];
    areas.iter().zip(expected).for_each(|(&a, b)| close(a, b, EXACT));
}

#[test]
fn bars_divide_nothing() {
    let mut with_bars = drawing(RECT, 10.0, &[("M100 0V200", 6.0)]);
    with_bars.bars =
        vec![Bar { path: "M-10 60H310".into(), diameter_mm: 9.5 }, Bar { path: "".into(), diameter_mm: 9.5 }];
    let panel = panel_from_drawing(&with_bars, &PanelOptions::default()).expect("a panel");
    assert_eq!((panel.pieces.len(), panel.bars.len()), (2, 2));
    close(panel.bars[0].length_mm, 320.0, 1e-9);
    assert_eq!(panel.notes, [PanelNote::DrawsNothing { line: Line::Bar(1) }]);
}

#[test]
fn a_piece_covered_by_wide_leads_is_noted() {
    // The strip between the two leads is 5 mm wide; their half faces are 3 mm each.
    let panel = build(RECT, 10.0, &[("M100 0V200", 6.0), ("M105 0V200", 6.0)]);
    assert_eq!(panel.pieces.len(), 3);
    let covered = panel.pieces.iter().position(|p| p.light.is_empty()).expect("covered");
    assert!(
        panel.notes.iter().any(|n| matches!(n, PanelNote::PieceCovered { piece, .. } if *piece == covered))
    );
    assert_eq!(panel.pieces[covered].light_area_mm2, 0.0);
    close(panel.pieces[covered].area_mm2, 1000.0, EXACT);
    assert!(panel.pieces[covered].outline.contains(panel.pieces[covered].interior_point));
    close(panel.lead_area_mm2() + panel.light_area_mm2(), 60_000.0, EXACT);
}

#[test]
fn a_neck_under_the_leads_is_noted() {
    // An hourglass between two leads: 4 mm at the waist, 3 mm of lead on each side.
    let panel = build(RECT, 10.0, &[("M100 0L148 100L100 200", 6.0), ("M200 0L152 100L200 200", 6.0)]);
    let middle = panel.piece_at(PanelPoint::new(150.0, 20.0)).expect("a piece");
    assert_eq!(panel.pieces[middle].light.len(), 2);
    assert!(
        panel
            .notes
            .iter()
            .any(|n| matches!(n, PanelNote::PieceParted { piece, parts: 2, .. } if *piece == middle))
    );
}
