//! Fixed rays from a Lambertian patch.

use std::f64::consts::TAU;

use glam::{DVec2, DVec3, dvec2, dvec3};

/// A ray of a patch: where on it, as shares of its two sides, and where to, with z along the normal.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ray {
    pub(crate) place: DVec2,
    pub(crate) direction: DVec3,
}

/// Rays spread evenly over a patch and by cosine over its directions, the same ones for every patch.
///
/// # Source
/// Additive recurrence with the generalised golden ratio in four dimensions (M. Roberts, 2018, published online).
pub(crate) fn fixed(count: usize) -> Vec<Ray> {
    let mut ratio = 2.0_f64;
    for _ in 0..60 {
        ratio = (1.0 + ratio).powf(0.2);
    }
    (0..count)
        .map(|k| {
            let share = |dimension: i32| (0.5 + (k + 1) as f64 / ratio.powi(dimension)).fract();
            Ray { place: dvec2(share(3), share(4)), direction: lambertian(share(1), share(2)) }
        })
        .collect()
}

/// Direction about z with the density of cos θ / π, for two shares from 0 to 1.
fn lambertian(first: f64, second: f64) -> DVec3 {
    let radius = first.sqrt();
    let (sin, cos) = (TAU * second).sin_cos();
    dvec3(radius * cos, radius * sin, (1.0 - first).max(0.0).sqrt())
}
