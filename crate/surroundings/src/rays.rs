//! Fixed rays from a Lambertian patch.

use std::f64::consts::TAU;

use glam::{DVec2, DVec3, dvec2, dvec3};

/// A ray of a patch: where on it, as shares of its two sides, and where to, with z along the normal.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ray {
    pub(crate) place: DVec2,
    pub(crate) direction: DVec3,
    /// A share from 0 to 1 that picks one of several things that it may meet.
    pub(crate) pick: f64,
}

/// Rays spread evenly over a patch and by cosine over its directions, the same ones for every patch.
///
/// # Source
/// Additive recurrence with the generalised golden ratio in five dimensions (M. Roberts, 2018, published online).
pub(crate) fn fixed(count: usize) -> Vec<Ray> {
    let mut ratio = 2.0_f64;
    for _ in 0..60 {
        ratio = (1.0 + ratio).powf(1.0 / 6.0);
    }
    (0..count)
        .map(|k| {
            let share = |dimension: i32| (0.5 + (k + 1) as f64 / ratio.powi(dimension)).fract();
            let direction = lambertian(share(1), share(2));
            Ray { place: dvec2(share(3), share(4)), direction, pick: share(5) }
        })
        .collect()
}

/// Places on a patch, as shares of its two sides, at which the sun is looked for: no two in a line along either side, so that
/// the edge of a shadow along one is met as well as any.
pub(crate) fn even_places() -> impl Iterator<Item = DVec2> {
    const PLACES: i32 = 32;
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    (0..PLACES).map(|k| {
        let share = f64::from(k) + 0.5;
        dvec2((share * GOLDEN).fract(), share / f64::from(PLACES))
    })
}

/// Direction about z with the density of cos θ / π, for two shares from 0 to 1.
fn lambertian(first: f64, second: f64) -> DVec3 {
    let radius = first.sqrt();
    let (sin, cos) = (TAU * second).sin_cos();
    dvec3(radius * cos, radius * sin, (1.0 - first).max(0.0).sqrt())
}
