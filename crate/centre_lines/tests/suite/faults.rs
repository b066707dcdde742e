//! What cannot be done is refused.

use centre_lines::{CentreLineOptions, CentreLinesFault, FillRule, FilledShape, between_panes, centre_lines};
use plane::PanelPoint;
use std::cell::Cell;

fn rectangle(left: f64, bottom: f64, right: f64, top: f64) -> FilledShape {
    let ring = [[left, bottom], [right, bottom], [right, top], [left, top]].map(PanelPoint::from);
    FilledShape { rings: vec![ring.to_vec()], fill: FillRule::NonZero }
}

fn fault(shapes: &[FilledShape]) -> CentreLinesFault {
    centre_lines(shapes, &CentreLineOptions::default(), &|| false).expect_err("a fault")
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
            between_panes(&shapes, None, &CentreLineOptions::default(), &|| false),
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
    let found = centre_lines(&[comb], &CentreLineOptions::default(), &|| false);
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
        let found = centre_lines(&shapes, &options, &|| false);
        assert!(matches!(found, Err(CentreLinesFault::BadOption { .. })), "{options:?}");
    }
}

#[test]
fn work_stops_on_request() {
    let shapes: Vec<FilledShape> =
        (0..40).map(|i| rectangle(0.0, f64::from(i) * 20.0, 300.0, f64::from(i) * 20.0 + 5.0)).collect();
    let asked = Cell::new(0);
    let all = centre_lines(&shapes, &CentreLineOptions::default(), &|| {
        asked.set(asked.get() + 1);
        false
    });
    assert!(all.is_ok() && asked.get() > 40);
    for after in 0..asked.get() {
        let left = Cell::new(after);
        let stop = || {
            let stop = left.get() == 0;
            left.set(left.get().max(1) - 1);
            stop
        };
        assert_eq!(
            centre_lines(&shapes, &CentreLineOptions::default(), &stop),
            Err(CentreLinesFault::Stopped),
            "after {after} questions"
        );
    }
}

#[test]
fn the_triangulation_asks_whether_to_stop() {
    let square = |x: f64, y: f64, size: f64| {
        [[x, y], [x + size, y], [x + size, y + size], [x, y + size]].map(PanelPoint::from).to_vec()
    };
    let panes = (0..400).map(|k| square(f64::from(k % 20) * 40.0, f64::from(k / 20) * 40.0, 35.0));
    let net = FilledShape {
        rings: std::iter::once(square(-5.0, -5.0, 805.0)).chain(panes).collect(),
        fill: FillRule::EvenOdd,
    };
    let asked = Cell::new(0);
    let count = || {
        asked.set(asked.get() + 1);
        false
    };
    let found = centre_lines(&[net], &CentreLineOptions::default(), &count).expect("lines");
    // About 35 000 samples, twice every 4 096 of them; about ten times elsewhere.
    assert!(
        found.lines.len() == 38 && asked.get() > 20,
        "{} lines, asked {}",
        found.lines.len(),
        asked.get()
    );
}
