//! Shapes that no window has end in lines or in a fault, and soon: here, what grows with the square of the number of points
//! or edges takes minutes.

use crate::stroked::{Form, lead, shapes};
use centre_lines::{
    CentreLineOptions, CentreLines, CentreLinesFault, FillRule, FilledShape, between_panes, centre_lines,
};
use kurbo::Cap;
use plane::PanelPoint;
use std::f64::consts::TAU;

type Found = Result<CentreLines, CentreLinesFault>;

/// Both readings of the same rings: as lead, and as panes.
fn both(rings: Vec<Vec<[f64; 2]>>) -> [Found; 2] {
    let rings = rings.iter().map(|ring| PanelPoint::slice(ring).to_vec()).collect();
    let shapes = [FilledShape { rings, fill: FillRule::EvenOdd }];
    let options = CentreLineOptions::default();
    let found = [centre_lines(&shapes, &options), between_panes(&shapes, None, &options)];
    for line in found.iter().flatten().flat_map(|found| found.lines.iter().chain(&found.border)) {
        assert!(line.width_mm.is_finite() && line.points.iter().all(|p| p.vector().is_finite()));
    }
    found
}

/// Both end in sound lines or a fault.
fn check(rings: Vec<Vec<[f64; 2]>>) {
    let found = both(rings);
    assert!(found.iter().all(|found| found.as_ref().map_or(true, |found| found.panes.len() < 100_000)));
}

fn square([x, y]: [f64; 2], side: f64) -> Vec<[f64; 2]> {
    vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
}

fn on_circle(share: f64, radius: f64) -> [f64; 2] {
    let (sin, cos) = (TAU * share).sin_cos();
    [radius * cos, radius * sin]
}

#[test]
fn half_a_million_points_along_a_ring() {
    let ring = |radius: f64| (0..250_000).map(|k| on_circle(f64::from(k) / 250_000.0, radius)).collect();
    let [lead, _] = both(vec![ring(400.0), ring(394.0)]);
    let border = lead.expect("lines").border.expect("a border");
    assert!((border.width_mm - 6.0).abs() < 0.02 && border.points.len() < 2000);
}

#[test]
fn a_star_of_ten_thousand_points() {
    for inner in [399.0, 30.0] {
        let star =
            (0..10_000).map(|k| on_circle(f64::from(k) / 10_000.0, if k % 2 == 0 { 400.0 } else { inner }));
        check(vec![star.collect()]);
    }
}

fn check_comb(teeth: u32, [tooth, gap]: [f64; 2]) {
    let half = f64::from(teeth) * (tooth + gap) / 2.0;
    let sides = (0..teeth).flat_map(|k| {
        let x = f64::from(k) * (tooth + gap) - half;
        [[x, 0.0], [x, 2.0], [x + tooth, 2.0], [x + tooth, 0.0]]
    });
    check(vec![sides.chain([[half, 0.0], [half, -2.0], [-half, -2.0]]).collect()]);
}

#[test]
fn a_comb_of_twenty_thousand_teeth() {
    check_comb(20_000, [0.5, 0.5]);
}

#[test]
fn a_comb_of_five_thousand_teeth_that_nearly_touch() {
    check_comb(5_000, [0.9, 0.1]);
}

#[test]
fn nested_rings_and_many_tiny_holes() {
    check((0..150).map(|k| square([f64::from(k) * 1.1; 2], 400.0 - 2.2 * f64::from(k))).collect());
    let holes =
        (0..1600).map(|k| square([f64::from(k % 40) * 2.2, f64::from(k / 40) * 2.2].map(|v| v + 1.0), 1.6));
    let [lead, _] = both(std::iter::once(square([0.0, 0.0], 89.2)).chain(holes).collect());
    assert_eq!(lead.expect("lines").panes.len(), 1600);
}

#[test]
fn rings_that_coincide_or_cross_themselves() {
    check(vec![square([0.0, 0.0], 100.0); 301]);
    let frames = (0..100).flat_map(|_| [square([0.0, 0.0], 100.0), square([6.0, 6.0], 88.0)]);
    check(frames.collect());
    check(vec![vec![[0.0, 0.0], [100.0, 100.0], [100.0, 0.0], [0.0, 100.0]]]);
    // To and fro over the same edges, and a point twice.
    let to_and_fro = (0..20_000).map(|k| [[0.0, 0.0], [90.0, 0.0], [90.0, 5.0], [0.0, 5.0]][k % 4]);
    check(vec![to_and_fro.collect()]);
}

#[test]
fn coordinates_at_the_limits() {
    let [lead, _] = both(vec![square([-20_000.0; 2], 40_000.0), square([-19_800.0; 2], 39_600.0)]);
    assert_eq!(lead.expect("lines").border.expect("a border").points.len(), 4);
    check(vec![square([20_000.0 - 1e-9; 2], 1e-9), square([-20_000.0; 2], 1e-9)]);
    check(vec![vec![[-20_000.0; 2], [20_000.0; 2], [20_000.0, 20_000.0 - 1e-6]]]);
}

#[test]
fn three_hundred_hair_thin_leads_at_one_joint() {
    let leads: Vec<_> =
        (0..300).map(|k| lead(&[[0.0, 0.0], on_circle(f64::from(k) / 300.0, 300.0)], 0.3)).collect();
    let found = centre_lines(&shapes(&leads, Cap::Butt, Form::Ribbons), &CentreLineOptions::default());
    assert!(matches!(found, Ok(_) | Err(CentreLinesFault::TooManyCrossings { .. })), "{found:?}");
}
