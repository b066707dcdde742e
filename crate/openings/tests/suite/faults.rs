//! Impossible measurements: every one is listed, with its field, what was expected and what was found.

use crate::common::window;
use openings::{Bars, Border, Filling, Leads, Measurements, Opening, OpeningFault};

fn faults(window: &Measurements) -> Vec<String> {
    let faults = window.drawing().expect_err("impossible").faults;
    faults.iter().map(ToString::to_string).collect()
}

#[test]
fn every_fault_is_listed() {
    let window = Measurements {
        opening: Opening::Rectangle { width_mm: 0.0, height_mm: 1e300 },
        filling: Filling::Rectangles { columns: 0, rows: 3 },
        border: None,
        bars: Some(Bars { spacing_mm: -1.0, diameter_mm: f64::INFINITY }),
        leads: Leads { border_face_mm: 12.0, face_mm: f64::NAN },
    };
    assert_eq!(
        faults(&window),
        [
            "opening.width_mm: expected 50 to 19999 mm, found 0 mm",
            "opening.height_mm: expected 50 to 19999 mm, found 1e300 mm",
            "leads.face_mm: expected 2 to 50 mm, found NaN mm",
            "filling.columns: expected 1 to 2000, found 0",
            "bars.spacing_mm: expected 100 to 20000 mm, found -1 mm",
            "bars.diameter_mm: expected 3 to 50 mm, found inf mm",
        ]
    );
}

#[test]
fn heads_must_fit() {
    let fault = |opening| faults(&window(opening, Filling::Plain {})).join("\n");
    let round = fault(Opening::RoundHeaded { width_mm: 600.0, height_mm: 299.0 });
    assert_eq!(
        round,
        "opening.height_mm: expected 300 to 19999 mm (at least half the width, for a semicircular head), found 299 mm"
    );
    let flat = fault(Opening::Pointed { width_mm: 600.0, height_mm: 900.0, rise_mm: Some(300.0) });
    assert!(flat.starts_with("opening.rise_mm: expected 301 to 19999 mm (above half the width"), "{flat}");
    // Equilateral: 600 · √3 / 2.
    let low = fault(Opening::Pointed { width_mm: 600.0, height_mm: 500.0, rise_mm: None });
    assert!(low.starts_with("opening.height_mm: expected 519.615 to 19999 mm (at least the rise"), "{low}");
    let high = fault(Opening::Segmental { width_mm: 600.0, height_mm: 900.0, rise_mm: 301.0 });
    assert!(high.starts_with("opening.rise_mm: expected 1 to 300 mm"), "{high}");
    let nan = fault(Opening::Pointed { width_mm: 600.0, height_mm: 900.0, rise_mm: Some(f64::NAN) });
    assert_eq!(nan.lines().count(), 1, "{nan}");
}

#[test]
fn borders_must_fit() {
    let bordered = |width_mm, piece_mm| Measurements {
        border: Some(Border { width_mm, piece_mm }),
        ..window(Opening::Rectangle { width_mm: 600.0, height_mm: 900.0 }, Filling::Plain {})
    };
    let wide = faults(&bordered(201.0, None));
    assert_eq!(
        wide,
        [
            "border.width_mm: expected 14 to 200 mm (between its leads and a third of the opening's smaller dimension), \
          found 201 mm"
        ]
    );
    assert!(faults(&bordered(10.0, None))[0].starts_with("border.width_mm: expected 14 to 200 mm"));
    assert!(faults(&bordered(60.0, Some(30.0)))[0].starts_with("border.piece_mm: expected 60 to 20000 mm"));
    assert!(bordered(200.0, None).drawing().is_ok());
}

#[test]
fn an_opening_without_room_for_a_border_says_so() {
    // Leads of 50 mm leave nothing below a third of 60 mm; the range would run from 55 to 20 mm.
    let leads = Leads { border_face_mm: 50.0, face_mm: 50.0 };
    for width_mm in [20.0, 30.0, f64::NAN] {
        let border = Some(Border { width_mm, piece_mm: Some(-1.0) });
        let small = Opening::Rectangle { width_mm: 60.0, height_mm: 900.0 };
        let found = faults(&Measurements { border, leads, ..window(small, Filling::Plain {}) });
        let wanted = format!(
            "border.width_mm: expected no border, because the opening is too small or the leads are too wide for one, found {width_mm} mm"
        );
        assert_eq!(found, [wanted]);
    }
}

#[test]
fn only_the_measurement_at_fault_has_a_fault() {
    let only = |window: &Measurements, field: &str| {
        let found = faults(window);
        assert!(found.len() == 1 && found[0].starts_with(field), "{field} in {found:?}");
    };
    let rectangle = Opening::Rectangle { width_mm: 600.0, height_mm: 900.0 };
    let bordered = |border| Measurements { border: Some(border), ..window(rectangle, Filling::Plain {}) };
    for width_mm in [-1.0, 0.0, 10.0, 300.0, 1e9, f64::NAN, f64::INFINITY] {
        only(&bordered(Border { width_mm, piece_mm: Some(150.0) }), "border.width_mm");
    }
    for piece_mm in [f64::NAN, -1.0, 0.0, 39.0, 1e9] {
        only(&bordered(Border { width_mm: 40.0, piece_mm: Some(piece_mm) }), "border.piece_mm");
    }
    // Both are wrong, whatever the other is.
    let both = faults(&bordered(Border { width_mm: 300.0, piece_mm: Some(1.0) }));
    assert_eq!(both.len(), 2, "{both:?}");
    for face_mm in [0.0, 100.0, 1e9, f64::NAN] {
        let leads = Leads { face_mm, ..Leads::default() };
        only(&Measurements { leads, ..bordered(Border { width_mm: 40.0, piece_mm: None }) }, "leads.face_mm");
    }
    for rise_mm in [-1.0, 950.0, f64::NAN] {
        let flat = Opening::Segmental { width_mm: 600.0, height_mm: 900.0, rise_mm };
        only(&window(flat, Filling::Plain {}), "opening.rise_mm");
        let pointed =
            Opening::Pointed { width_mm: 600.0, height_mm: 900.0, rise_mm: Some(rise_mm.min(200.0)) };
        only(&window(pointed, Filling::Plain {}), "opening.rise_mm");
    }
}

#[test]
fn too_many_and_too_small_pieces_are_refused_before_drawing() {
    let square = |size, filling| {
        window(Opening::Rectangle { width_mm: size, height_mm: size }, filling)
            .drawing()
            .expect_err("too many")
            .faults
    };
    let many = square(19_999.0, Filling::Quarries { width_mm: 40.0, height_mm: 60.0 });
    assert!(
        matches!(many[..], [OpeningFault::TooManyPieces { limit: 20_000, found, .. }] if found > 3e5),
        "{many:?}"
    );
    let many = square(19_999.0, Filling::Rectangles { columns: 2000, rows: 2000 });
    assert!(matches!(many[..], [OpeningFault::TooManyPieces { .. }]), "{many:?}");
    // Neither the border's pieces nor the panes are too many alone.
    let both = Measurements {
        border: Some(Border { width_mm: 16.0, piece_mm: Some(16.0) }),
        ..window(
            Opening::Rectangle { width_mm: 19_000.0, height_mm: 19_000.0 },
            Filling::Rectangles { columns: 70, rows: 71 },
        )
    };
    let found = both.drawn(5_000).expect_err("9 720 pieces").faults;
    assert!(
        matches!(found[..], [OpeningFault::TooManyPieces { field: "filling", limit: 5_000, found }] if (found - 9_720.0).abs() < 10.0),
        "{found:?}"
    );
    let small = square(400.0, Filling::Rectangles { columns: 40, rows: 4 });
    assert_eq!(
        small[0].to_string(),
        "leads: expected at least 14 mm across the filling's smallest regular pieces, between the leads' centre lines: \
         use narrower leads or larger measurements, found 10 mm"
    );
}

#[test]
fn the_largest_openings_are_possible() {
    let (width_mm, height_mm) = (19_999.0, 19_999.0);
    for opening in [
        Opening::Rectangle { width_mm, height_mm },
        Opening::RoundHeaded { width_mm, height_mm },
        Opening::Pointed { width_mm, height_mm, rise_mm: None },
        Opening::Segmental { width_mm, height_mm, rise_mm: 1.0 },
        Opening::Round { diameter_mm: width_mm },
        Opening::Segmental { width_mm, height_mm: 50.0, rise_mm: 1.0 },
    ] {
        let quarries = window(opening, Filling::Quarries { width_mm: 500.0, height_mm: 700.0 });
        let found = quarries.drawing().map(|_| ());
        assert_eq!(found, Ok(()), "{opening:?}");
    }
    // The largest radius of a pointed arch, 8 km: rows cross it.
    let steepest = Opening::Pointed { width_mm: 50.0, height_mm, rise_mm: Some(height_mm) };
    let rows = window(steepest, Filling::Rectangles { columns: 1, rows: 9 });
    assert_eq!(rows.drawing().map(|_| ()), Ok(()));
}

#[test]
fn covered_pieces_are_faults() {
    // One flat, wide quarry across a narrow point.
    let opening = Opening::Pointed { width_mm: 140.0, height_mm: 1390.0, rise_mm: Some(931.5) };
    let flat = window(opening, Filling::Quarries { width_mm: 330.0, height_mm: 90.0 });
    match flat.drawing() {
        Ok(_) => panic!("expected a fault"),
        Err(faults) => {
            assert!(matches!(faults.faults[..], [OpeningFault::NotSound { .. }]), "{faults}");
            let text = faults.to_string();
            assert!(text.starts_with("filling: expected pieces that leads can hold"), "{text}");
            assert!(text.contains("found a piece that its leads cover, 66 right and 1344 up, "), "{text}");
            assert!(text.ends_with("mm from the lower left"), "{text}");
        }
    }
}

#[test]
fn a_fault_of_the_border_is_not_one_of_the_filling() {
    // Leads of 50 mm across the border every 31 mm.
    let window = Measurements {
        border: Some(Border { width_mm: 31.0, piece_mm: Some(31.0) }),
        leads: Leads { border_face_mm: 2.0, face_mm: 50.0 },
        ..window(Opening::Rectangle { width_mm: 600.0, height_mm: 900.0 }, Filling::Plain {})
    };
    let found = faults(&window);
    assert!(
        matches!(&found[..], [one] if one.starts_with("border.piece_mm: ") && one.contains("its leads cover")),
        "{found:?}"
    );
}

#[test]
fn json_is_read_strictly() {
    let read = |text: &str| serde_json::from_str::<Measurements>(text);
    let text = r#"{"opening": {"shape": "round", "diameter_mm": 500}, "filling": {"pattern": "plain"}}"#;
    let window = read(text).expect("complete");
    assert_eq!(window.leads, Leads::default());
    let written = serde_json::to_string(&window).expect("JSON");
    assert_eq!(read(&written).expect("what was written"), window);
    for wrong in [
        r#"{"opening": {"shape": "oval", "diameter_mm": 500}, "filling": {"pattern": "plain"}}"#,
        r#"{"opening": {"shape": "round", "width_mm": 500}, "filling": {"pattern": "plain"}}"#,
        r#"{"opening": {"shape": "round", "diameter_mm": 500}, "filling": {"pattern": "plain", "rows": 3}}"#,
        r#"{"opening": {"shape": "round", "diameter_mm": 500}, "filling": {"pattern": "plain"}, "borders": {}}"#,
    ] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
}
