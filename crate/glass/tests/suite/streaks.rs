//! Streaks: the mean transmittance of a piece of two mixed glasses.

use std::sync::Arc;

use crate::common::{text, worst};
use glass::{Absorbance, Glass, Layer, Makeup, Plate, find, stack, streak_mean_internal};
use serde_json::Value;
use spectra::{Observer, Spectrum, TristimulusWeights, illuminant};

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

fn flat(per_mm: f64) -> Absorbance {
    Absorbance::per_mm(Spectrum::splat(per_mm))
}

/// X, Y, Z within 0.1 %; 0.001 % is reached. `streak.json`: 1000 nodes, confirmed by a closed form.
#[test]
fn the_table_of_streaks() {
    let file: Value = serde_json::from_str(&text("uncertainty", "streak.json")).unwrap();
    let weights = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
    let cases = file["cases"].as_array().unwrap();
    assert!(cases.len() >= 30);
    for case in cases {
        let glass = |key: &str| {
            let samples = numbers(&file["absorbance_per_mm_base10"][case[key].as_str().unwrap()]);
            Absorbance::per_mm(Spectrum::from_slice(&samples).unwrap())
        };
        let [thickness, mean, sd] =
            ["thickness_mm", "mix_mean", "mix_sd"].map(|key| case[key].as_f64().unwrap());
        let found =
            weights.xyz(&streak_mean_internal(&glass("first"), &glass("second"), thickness, mean, sd));
        for (found, expected) in found.to_array().into_iter().zip(numbers(&case["XYZ_mean_of_T"])) {
            let off = (found / expected - 1.0).abs();
            assert!(off < 1e-5, "{case}: {found} for {expected}");
        }
    }
}

/// For glasses that are grey the mean is known: with k = ln 10·(A₂ − A₁) and an interval far from 0 and 1,
/// T(mean)·e^(k²·sd²/2).
#[test]
fn narrow_streaks_have_their_closed_form() {
    for (dark, sd) in [(0.3, 0.05), (1.0, 0.05), (3.0, 0.02), (1.0, 1e-3), (3.0, 1e-6)] {
        let found = streak_mean_internal(&flat(0.0), &flat(dark), 1.0, 0.5, sd)[40];
        let k = dark * std::f64::consts::LN_10;
        let expected = (-0.5 * k + 0.5 * (k * sd).powi(2)).exp();
        assert!((found / expected - 1.0).abs() < 1e-6, "{dark} {sd}: {found} for {expected}");
    }
}

/// The same glass twice is that glass; no streaks are the mixture; very wide ones are half of each.
#[test]
fn limits() {
    let (pale, dark) = (flat(0.1), flat(0.8));
    let near = |found: Spectrum, expected: f64| {
        assert!((found[0] / expected - 1.0).abs() < 1e-9, "{} for {expected}", found[0]);
    };
    for sd in [0.0, 1e-7, 0.01, 0.3, 5.0, 1e6] {
        near(streak_mean_internal(&dark, &dark, 3.0, 0.4, sd), 10f64.powf(-2.4));
    }
    near(streak_mean_internal(&pale, &dark, 3.0, 0.25, 0.0), 10f64.powf(-3.0 * 0.275));
    let both = 0.5 * (10f64.powf(-0.3) + 10f64.powf(-2.4));
    near(streak_mean_internal(&pale, &dark, 3.0, 0.5, 1e12), both);
    near(streak_mean_internal(&pale, &dark, 3.0, -1e300, 0.2), 10f64.powf(-0.3));
    near(streak_mean_internal(&pale, &dark, 3.0, 1e300, 0.2), 10f64.powf(-2.4));
}

/// Anything at all gives transmittances from 0 to 1.
#[test]
fn extreme_numbers() {
    let extremes = [0.0, -1.0, 1e-300, 0.5, 1e300, f64::INFINITY, f64::NEG_INFINITY, f64::NAN];
    let glasses = [flat(0.0), flat(0.5), flat(1e300)];
    for thickness in extremes {
        for mean in extremes {
            for sd in extremes {
                for first in &glasses {
                    for second in &glasses {
                        let found = streak_mean_internal(first, second, thickness, mean, sd);
                        let good = |t: &f64| (0.0..=1.0 + 1e-9).contains(t);
                        assert!(found.samples().iter().all(good), "{thickness} {mean} {sd}: {}", found[0]);
                    }
                }
            }
        }
    }
}

/// The streaky glasses of the library, clear ones and milky ones.
fn streaky() -> impl Iterator<Item = &'static Arc<Glass>> {
    glass::library().iter().filter(|g| g.streak.is_some())
}

/// What a streaky piece passes is the pane of the mean internal transmittance, to rounding, at any angle and thickness.
#[test]
fn a_piece_is_a_pane_of_the_mean() {
    let mut found = 0;
    for glass in streaky().filter(|g| g.diffuse.share <= 0.0) {
        let streak = glass.streak.unwrap();
        for (thickness, angle) in [(3.0, 0.0), (1.5, 40.0), (5.0, 80.0)] {
            let sine = f64::to_radians(angle).sin() / glass.n;
            let path = thickness / (1.0 - sine * sine).sqrt();
            let tau_internal =
                streak_mean_internal(&glass.base, &streak.absorbance, path, streak.mix_mean, streak.mix_sd);
            // `stack` takes the transmittance along the normal.
            let along = tau_internal.map(|t| t.powf((1.0 - sine * sine).sqrt()));
            let pane = stack(&[Layer { n: glass.n, tau_internal: along }], angle).unwrap().transmittance;
            let piece = Makeup::single(Arc::clone(glass), thickness).optics(angle);
            assert!(worst(&piece.regular_transmittance, &pane) < 1e-12, "{} {angle}", glass.id);
            found += 1;
        }
    }
    assert_eq!(found, 12);
}

/// The mean of many pieces of a single mixture each. 0.3 %: between the faces, a piece in streaks mixes its light, and pieces
/// of one mixture do not.
#[test]
fn a_piece_is_the_mean_of_its_points() {
    for glass in streaky() {
        let streak = glass.streak.unwrap();
        let passes = |mix: f64, sd: f64| {
            let mut plate = Plate::new(Arc::clone(glass), 3.0);
            (plate.streak_mix, plate.streak_sd) = (mix, sd);
            let o = Makeup { plates: vec![plate], ..Makeup::single(Arc::clone(glass), 3.0) }.optics(0.0);
            o.regular_transmittance + o.diffuse_transmittance
        };
        let (mut sum, mut weights) = (Spectrum::ZERO, 0.0);
        for k in -700..=700 {
            let z = f64::from(k) / 100.0;
            let weight = (-0.5 * z * z).exp();
            sum.add_scaled(weight, &passes((streak.mix_mean + z * streak.mix_sd).clamp(0.0, 1.0), 0.0));
            weights += weight;
        }
        let (mean, piece) = (sum * (1.0 / weights), passes(streak.mix_mean, streak.mix_sd));
        for (a, b) in mean.samples().iter().zip(piece.samples()) {
            assert!((a / b - 1.0).abs() < 3e-3, "{}: {a} {b}", glass.id);
        }
    }
}

/// The mean is well above T of the mean mixture for a dark second colour, and both are the same for an even sheet.
#[test]
fn a_dark_streak_lets_more_through_than_its_mean_mixture() {
    let flame = find("streaky-flame").unwrap();
    let mut piece = Makeup::single(Arc::clone(flame), 3.0);
    let mean = piece.optics(0.0).regular_transmittance;
    piece.plates[0].streak_sd = 0.0;
    let of_mean_mix = piece.optics(0.0).regular_transmittance;
    // 550 nm, where one colour is clear and the other opaque.
    assert!(mean[34] > 1.5 * of_mean_mix[34], "{} {}", mean[34], of_mean_mix[34]);
    piece.plates[0].streak_sd = 1e-12;
    assert!(worst(&piece.optics(0.0).regular_transmittance, &of_mean_mix) < 1e-12);
}
