//! Every shape × filling × border in ordinary sizes.

use crate::common::{across_mm, area_mm2, asymmetry_mm2, build, window};
use openings::{Bars, Border, Filling, Leads, Measurements, Opening};

/// Openings from a small light to a tall one.
fn openings() -> Vec<Opening> {
    let mut all = Vec::new();
    for (width_mm, height_mm) in [(300.0, 450.0), (600.0, 1200.0), (750.0, 1800.0), (1000.0, 1100.0)] {
        all.push(Opening::Rectangle { width_mm, height_mm });
        all.push(Opening::RoundHeaded { width_mm, height_mm });
        all.push(Opening::Pointed { width_mm, height_mm, rise_mm: None });
        all.push(Opening::Pointed { width_mm, height_mm, rise_mm: Some(0.6 * width_mm) });
        all.push(Opening::Pointed { width_mm, height_mm, rise_mm: Some(height_mm * 0.99) });
        all.push(Opening::Segmental { width_mm, height_mm, rise_mm: 0.12 * width_mm });
        all.push(Opening::Segmental { width_mm, height_mm, rise_mm: 0.35 * width_mm });
        all.push(Opening::Round { diameter_mm: width_mm });
    }
    // Half circles.
    all.push(Opening::RoundHeaded { width_mm: 900.0, height_mm: 450.0 });
    all.push(Opening::RoundHeaded { width_mm: 900.0, height_mm: 470.0 });
    all
}

fn fillings() -> Vec<Filling> {
    let by_size = |pane_width_mm, pane_height_mm| Filling::RectanglesBySize { pane_width_mm, pane_height_mm };
    let quarries = |width_mm, height_mm| Filling::Quarries { width_mm, height_mm };
    vec![
        Filling::Plain {},
        Filling::Rectangles { columns: 1, rows: 2 },
        Filling::Rectangles { columns: 2, rows: 3 },
        Filling::Rectangles { columns: 3, rows: 4 },
        Filling::Rectangles { columns: 4, rows: 9 },
        by_size(90.0, 120.0),
        by_size(150.0, 200.0),
        quarries(80.0, 110.0),
        quarries(100.0, 140.0),
        quarries(120.0, 120.0),
        quarries(150.0, 200.0),
    ]
}

fn all() -> impl Iterator<Item = Measurements> {
    let borders = [
        None,
        Some(Border { width_mm: 35.0, piece_mm: None }),
        Some(Border { width_mm: 60.0, piece_mm: Some(100.0) }),
    ];
    openings().into_iter().flat_map(move |opening| {
        fillings().into_iter().flat_map(move |filling| {
            borders.into_iter().map(move |border| Measurements {
                border,
                bars: Some(Bars::default()),
                ..window(opening, filling)
            })
        })
    })
}

/// Offcuts are joined up to 15 mm; then the ends of lines may move by half a lead's width to meet.
const LEAST_MM: f64 = 12.0;

#[test]
fn builds_without_fault_repair_or_offcut() {
    let mut small = Vec::new();
    for window in all() {
        let panel = build(&window);
        assert!(panel.open_ends.is_empty(), "{window:?}: {:?}", panel.open_ends);
        assert!(panel.notes.is_empty(), "{window:?}: {:?}", panel.notes);
        let wanted = area_mm2(&window.opening);
        let found: f64 = panel.pieces.iter().map(|piece| piece.area_mm2).sum();
        assert!((found - wanted).abs() < 1e-3 * wanted, "{window:?}: {found} mm², not {wanted}");
        assert!(asymmetry_mm2(&panel) < 1.0, "{window:?}: {} mm²", asymmetry_mm2(&panel));
        for piece in &panel.pieces {
            assert_eq!((piece.light.len(), piece.cut.len()), (1, 1), "{window:?}: {piece:?}");
            let across = across_mm(piece, LEAST_MM);
            if across < LEAST_MM {
                small.push(format!("{across:.1} mm at {:?} of {window:?}", piece.interior_point));
            }
        }
    }
    assert!(small.is_empty(), "{} pieces:\n{}", small.len(), small.join("\n"));
}

/// Two leads that reach the edge at one point, just half a lead's width from a lead across the border: rounding must not
/// move one of them there and leave the other.
#[test]
fn leads_that_reach_the_edge_together_stay_together() {
    let window = |width_mm, height_mm, panes: [f64; 2], border_mm, leads| Measurements {
        border: Some(Border { width_mm: border_mm, piece_mm: None }),
        leads,
        ..window(
            Opening::Rectangle { width_mm, height_mm },
            Filling::Quarries { width_mm: panes[0], height_mm: panes[1] },
        )
    };
    let mut all =
        vec![window(450.0, 1500.0, [150.0, 150.0], 24.0, Leads { border_face_mm: 12.0, face_mm: 8.0 })];
    for width_mm in [499.0, 499.9, 500.0, 501.0] {
        let leads = Leads { border_face_mm: 20.0, face_mm: 10.0 };
        all.push(window(width_mm, 2350.0, [150.0, 100.0], 30.0, leads));
    }
    for window in all {
        let panel = build(&window);
        assert!(panel.notes.is_empty() && panel.open_ends.is_empty(), "{window:?}: {:?}", panel.notes);
        assert!(asymmetry_mm2(&panel) < 1.0, "{window:?}: {} mm²", asymmetry_mm2(&panel));
    }
}
