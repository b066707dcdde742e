//! Spread of light in the eye.

use spectra::glare_spread::point_spread;

use crate::table::{Table, near};

// The same formula, eight digits: 1e-7 of the value (1e-6 is required).
#[test]
fn spread_by_formula() {
    for row in Table::read("colour/glare_spread.csv").rows(120) {
        let [angle, age, pigment] = row.numbers(["theta_deg", "age_y", "pigment_p"]);
        let expected = row.number("psf_total_per_sr");
        let found = point_spread(angle, age, pigment).unwrap();
        near(&format!("{angle}°, {age} years, pigment {pigment}"), found, expected, expected * 1e-7);
    }
}

/// Trapezoid over points evenly spaced in log from 1e-5 to `last`, preceded by zero.
fn log_spaced(last: f64, count: usize) -> Vec<f64> {
    let ratio = (last / 1e-5).ln() / (count - 1) as f64;
    std::iter::once(0.0).chain((0..count).map(|i| 1e-5 * (ratio * i as f64).exp())).collect()
}

fn trapezoid(x: &[f64], f: impl Fn(f64) -> f64) -> f64 {
    let y: Vec<f64> = x.iter().map(|x| f(*x)).collect();
    x.windows(2).zip(y.windows(2)).map(|(x, y)| 0.5 * (x[1] - x[0]) * (y[0] + y[1])).sum()
}

// Solid-angle integral over the half-space; the file's author found 1.005 (35 years, p = 0) to 1.09 (60, 1).
#[test]
fn the_spread_neither_loses_nor_gains_light() {
    let angles = log_spaced(90.0, 4000);
    for (age, pigment, expected) in [(35.0, 0.0, 1.005), (60.0, 1.0, 1.09)] {
        let flux = trapezoid(&angles, |deg: f64| {
            let per_degree = std::f64::consts::TAU * deg.to_radians().sin() * 1f64.to_radians();
            point_spread(deg, age, pigment).unwrap() * per_degree
        });
        near("flux", flux, expected, 0.006);
    }
}

// Light in the middle of a lead between equally bright panes, age 40, pigment 0.5. 0.01 as the file requires (its
// four decimals come from another quadrature of the same spread).
#[test]
fn the_middle_of_a_lead() {
    let line = |across: f64, along: &[f64]| {
        trapezoid(along, |y| point_spread(across.hypot(y), 40.0, 0.5).unwrap_or(0.0))
    };
    let (across, along) = (log_spaced(30.0, 400), log_spaced(60.0, 500));
    let spread: Vec<f64> = across.iter().map(|x| line(*x, &along)).collect();
    // Light within x of the line, as a share of all.
    let mut within = vec![0.0];
    for (x, l) in across.windows(2).zip(spread.windows(2)) {
        within.push(within.last().unwrap() + 0.5 * (x[1] - x[0]) * (l[0] + l[1]));
    }
    let all = *within.last().unwrap();
    for row in Table::read("glass/halation.csv").rows(30) {
        let [lead_mm, distance_m] = row.numbers(["lead_mm", "distance_m"]);
        let half = (lead_mm / 1000.0 / distance_m).to_degrees() / 2.0;
        let after = across.partition_point(|x| *x < half);
        let part = (half - across[after - 1]) / (across[after] - across[after - 1]);
        let shadowed = (within[after - 1] + part * (within[after] - within[after - 1])) / all;
        near(&format!("{lead_mm} mm at {distance_m} m"), 1.0 - shadowed, row.number("L_mid_lead"), 0.01);
    }
}
