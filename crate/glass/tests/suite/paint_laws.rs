//! Halftone and Kubelka–Munk compared with the check data, and paint as it is used.

use std::sync::Arc;

use crate::common::{number, table};
use glass::{Face, Makeup, Paint, PaintKind, Pigment, find, kubelka_munk, murray_davies, yule_nielsen};
use spectra::{Observer, Xyz, illuminant};

/// Tolerance 1e-7: eight decimals printed.
#[test]
fn halftone() {
    for r in table("halftone.csv").records() {
        let (d, c, n) = (number(&r, "D_solid"), number(&r, "coverage"), number(&r, "yule_nielsen_n"));
        let expected = number(&r, "T");
        let found = yule_nielsen(d, c, n);
        assert!((found - expected).abs() < 1e-7, "D {d}, c {c}, n {n}: {found} for {expected}");
        if n <= 1.0 {
            assert!((murray_davies(d, c) - expected).abs() < 1e-7);
        }
    }
}

/// Tolerance 1e-8: nine decimals printed.
#[test]
fn kubelka_munk_layers() {
    for r in table("km.csv").records() {
        let (k, s, x) = (number(&r, "K_per_mm"), number(&r, "S_per_mm"), number(&r, "X_mm"));
        let layer = kubelka_munk(k, s, x);
        let (t, reflectance) = (number(&r, "T"), number(&r, "R_blackback"));
        assert!((layer.transmittance - t).abs() < 1e-8, "K {k}, S {s}: T {}", layer.transmittance);
        assert!((layer.reflectance - reflectance).abs() < 1e-8, "K {k}, S {s}: R {}", layer.reflectance);
        assert!((layer.density() - number(&r, "D_total")).abs() < 1e-6);
    }
}

/// Brown matting of density 1.0 turns D65 into x, y = 0.350, 0.359 (three decimals; our own earlier computation).
#[test]
fn brown_matting_warms_daylight() {
    let shape = Paint::new(PaintKind::Matting, 0, Face::Inside).with_pigment(Pigment::Brown).shape();
    let through = shape.map(|d| 10f64.powf(-d));
    let c = Xyz::of_transmission(&through, &illuminant::d65(), Observer::Cie1931).chromaticity().unwrap();
    assert!((c.x - 0.350).abs() < 6e-4 && (c.y - 0.359).abs() < 6e-4, "{} {}", c.x, c.y);
}

/// The stated density is what a densitometer reads: the log ratio of transmitted light through the painted and the
/// bare part, regular and diffuse together. Within 0.03: diffuse light meets the inner face with 9 % reflectance,
/// the regular beam with 4 %.
#[test]
fn density_is_what_a_densitometer_reads() {
    let bare = Makeup::single(Arc::clone(find("clear-soda").unwrap()), 3.0);
    for density in [0.3, 0.5, 1.0, 2.5] {
        let mut painted = bare.clone();
        painted.paints = vec![Paint::new(PaintKind::Matting, 0, Face::Inside).with_density(density)];
        let passes = |piece: &Makeup| {
            let o = piece.optics(0.0);
            o.regular_transmittance[36] + o.diffuse_transmittance[36]
        };
        let found = -(passes(&painted) / passes(&bare)).log10();
        assert!((found - density).abs() < 0.03, "{density}: {found}");
    }
}

/// Dots of half coverage stop half the light of solid paint over clear glass, and more over opal.
#[test]
fn dots_are_denser_over_opal() {
    let read = |id: &str, coverage: f64| {
        let mut piece = Makeup::single(Arc::clone(find(id).unwrap()), 3.0);
        piece.paints =
            vec![Paint::new(PaintKind::Trace, 0, Face::Inside).with_density(3.0).with_coverage(coverage)];
        let o = piece.optics(0.0);
        o.regular_transmittance[36] + o.diffuse_transmittance[36]
    };
    let clear = read("clear-soda", 0.5) / read("clear-soda", 0.0);
    let opal = read("opal-white", 0.5) / read("opal-white", 0.0);
    assert!((clear - 0.5).abs() < 0.02, "{clear}");
    assert!((0.2..0.4).contains(&opal), "{opal}");
}
