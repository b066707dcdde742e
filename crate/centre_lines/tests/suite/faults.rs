//! What cannot be done is refused.

use centre_lines::{CentreLineOptions, CentreLinesFault, FillRule, FilledShape, between_panes, centre_lines};
use plane::PanelPoint;

fn rectangle(left: f64, bottom: f64, right: f64, top: f64) -> FilledShape {
    let ring = [[left, bottom], [right, bottom], [right, top], [left, top]].map(PanelPoint::from);
    FilledShape { rings: vec![ring.to_vec()], fill: FillRule::NonZero }
}

fn fault(shapes: &[FilledShape]) -> CentreLinesFault {
    centre_lines(shapes, &CentreLineOptions::default()).expect_err("a fault")
}

#[test]
fn coordinates_must_be_within_the_limit() {
    for bad in [f64::NAN, f64::INFINITY, -20_000.5, 1e300] {
        let shapes = [rectangle(0.0, 0.0, 5.0, 50.0), rectangle(0.0, 0.0, bad, 5.0)];
        let CentreLinesFault::OutOfRange { shape: 1, ring: 0, found } = fault(&shapes) else {
            panic!("{bad}: {}", fault(&shapes));
        };
        assert!(found.to_bits() == bad.to_bits());
        assert!(matches!(
            between_panes(&shapes, None, &CentreLineOptions::default()),
            Err(CentreLinesFault::OutOfRange { .. })
        ));
    }
    assert!(fault(&[rectangle(0.0, 0.0, f64::NAN, 5.0)]).to_string().contains("shape 0, ring 0"));
}

#[test]
fn shapes_without_area_hold_no_lead() {
    assert_eq!(fault(&[]), CentreLinesFault::NoLead);
    assert_eq!(fault(&[FilledShape::default()]), CentreLinesFault::NoLead);
    assert_eq!(fault(&[rectangle(0.0, 0.0, 100.0, 0.0)]), CentreLinesFault::NoLead);
    let nothing =
        FilledShape { rings: vec![Vec::new(), vec![PanelPoint::new(1.0, 1.0)]], fill: FillRule::EvenOdd };
    assert_eq!(fault(&[nothing]), CentreLinesFault::NoLead);
}

#[test]
fn too_much_is_refused() {
    let many = FilledShape {
        rings: vec![(0..2_000_001).map(|i| PanelPoint::new(f64::from(i % 7), 0.0)).collect()],
        fill: FillRule::NonZero,
    };
    assert!(matches!(fault(&[many]), CentreLinesFault::TooManyPoints { .. }));
    let hairs: Vec<FilledShape> = (0..2000)
        .map(|i| rectangle(-20_000.0, f64::from(i) * 5.0, 20_000.0, f64::from(i) * 5.0 + 0.3))
        .collect();
    assert!(matches!(fault(&hairs), CentreLinesFault::TooLong { .. }));
}

#[test]
fn hostile_tangles_are_refused() {
    // A star of 30 000 chords, each of which crosses nearly all others.
    let count = 30_001;
    let corner = |i: usize| {
        let (sin, cos) = (std::f64::consts::TAU * (i * 15_000 % count) as f64 / count as f64).sin_cos();
        PanelPoint::new(1000.0 * cos, 1000.0 * sin)
    };
    let star = FilledShape { rings: vec![(0..count).map(corner).collect()], fill: FillRule::EvenOdd };
    assert!(matches!(fault(&[star]), CentreLinesFault::TooManyCrossings { .. }));
    // A hundred thousand points to and fro.
    let comb = (0..100_000).map(|i| PanelPoint::new(f64::from(i) * 0.02, if i % 2 == 0 { 0.0 } else { 5.0 }));
    let back = [[2000.0, -5.0], [0.0, -5.0]].map(PanelPoint::from);
    let comb = FilledShape { rings: vec![comb.chain(back).collect()], fill: FillRule::NonZero };
    let found = centre_lines(&[comb], &CentreLineOptions::default());
    assert!(matches!(found, Ok(_) | Err(CentreLinesFault::NoLead | CentreLinesFault::TooLong { .. })));
}

#[test]
fn options_are_checked() {
    let shapes = [rectangle(0.0, 0.0, 100.0, 5.0)];
    let plain = CentreLineOptions::default();
    for options in [
        CentreLineOptions { touching_gap_mm: 0.0, ..plain },
        CentreLineOptions { tolerance_mm: f64::NAN, ..plain },
        CentreLineOptions { widest_gap_mm: -1.0, ..plain },
    ] {
        let found = centre_lines(&shapes, &options);
        assert!(matches!(found, Err(CentreLinesFault::BadOption { .. })), "{options:?}");
    }
}
