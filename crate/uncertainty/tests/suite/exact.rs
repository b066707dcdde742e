//! One cause alone: its quantiles are known exactly.

use uncertainty::{Causes, DRAWS, Distribution, Form, Origin, sample};

/// 95th percentile of the standard normal distribution.
const Z95: f64 = 1.644_853_626_951_473;

fn of(centre: f64, sd: f64, form: Form, figure: impl Fn(f64) -> f64) -> Distribution {
    let mut causes = Causes::new();
    let id = causes.number("it", centre, sd, form, Origin::Measured).unwrap();
    let [found] = sample(&causes, DRAWS, |draw| [figure(draw.number(id))]).unwrap();
    found
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6 * (1.0 + expected.abs()), "{found}, expected {expected}");
}

#[test]
fn a_normal_number() {
    let found = of(3.0, 0.5, Form::Normal, |x| x);
    near(found.centre, 3.0);
    near(found.median, 3.0);
    near(found.p05, 3.0 - 0.5 * Z95);
    near(found.p95, 3.0 + 0.5 * Z95);
    near(found.mean, 3.0);
}

#[test]
fn a_log_normal_number() {
    let found = of(2.0, 0.8, Form::LogNormal, |x| x);
    near(found.median, 2.0);
    near(found.p05, 2.0 * (-0.8 * Z95).exp());
    near(found.p95, 2.0 * (0.8 * Z95).exp());
    // Moments miss what lies beyond the last stratum.
    assert!((found.mean / (2.0 * (0.32f64).exp()) - 1.0).abs() < 2e-4, "{}", found.mean);
    assert!((found.sd_ln.unwrap() / 0.8 - 1.0).abs() < 2e-4, "{:?}", found.sd_ln);
}

#[test]
fn a_number_that_ends_at_0() {
    let found = of(0.05, 0.05, Form::NormalAtLeast(0.0), |x| x);
    near(found.p05, 0.0);
    assert_eq!(found.sd_ln, None);
    near(found.median, 0.05);
    near(found.p95, 0.05 + 0.05 * Z95);
}

/// Light through grey glass falls with thickness: its quantiles are those of the thickness in reverse.
#[test]
fn a_falling_figure() {
    let through = |d: f64| 10f64.powf(-0.9 * d);
    let found = of(3.0, 0.5, Form::NormalAtLeast(0.05), through);
    near(found.median, through(3.0));
    near(found.p05, through(3.0 + 0.5 * Z95));
    near(found.p95, through(3.0 - 0.5 * Z95));
    assert!((found.sd_ln.unwrap() / (0.45 * std::f64::consts::LN_10) - 1.0).abs() < 2e-4);
}

/// One number for a whole spectrum is a log-normal factor.
#[test]
fn a_curve_without_shape() {
    let mut causes = Causes::new();
    let id = causes.curve("absorbance", 0.3, None, Origin::Assumption).unwrap();
    let [found] = sample(&causes, DRAWS, |draw| [draw.curve(id).unwrap()[17]]).unwrap();
    near(found.median, 1.0);
    near(found.p95, (0.3 * Z95).exp());
}

/// At any one wavelength a curve is a log-normal factor of the stated spread; between two, it correlates as stated.
#[test]
fn a_curve_with_shape() {
    let mut causes = Causes::new();
    let id = causes.curve("absorbance", 0.3, Some(30.0), Origin::Assumption).unwrap();
    let [a, b, ratio] = sample(&causes, DRAWS, |draw| {
        let curve = draw.curve(id).unwrap();
        [curve[30], curve[36], curve[30] / curve[36]]
    })
    .unwrap();
    for found in [&a, &b] {
        assert!((found.sd_ln.unwrap() / 0.3 - 1.0).abs() < 0.01, "{:?}", found.sd_ln);
        assert!((found.p95 / (0.3 * Z95).exp() - 1.0).abs() < 0.01, "{}", found.p95);
    }
    // 30 nm apart the correlation is e^(−1/2).
    let expected = 0.3 * (2.0 - 2.0 * (-0.5f64).exp()).sqrt();
    assert!((ratio.sd_ln.unwrap() / expected - 1.0).abs() < 0.02, "{:?} for {expected}", ratio.sd_ln);
}
