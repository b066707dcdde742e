//! Where a lead ends by itself.

use crate::curve::Curve;
use crate::ray::Ray;
use crate::sample::Sample;
use crate::skeleton::Crossing;
use glam::DVec2;

/// Where the shape of a cap is measured, in widths beside the centre line.
const BESIDE_WIDTHS: f64 = 0.35;
/// A cap is round if it bulges by more in its middle, in widths. A semicircle bulges by 0.143, a straight cut by 0.
const ROUND_WIDTHS: f64 = 0.07;

/// No cap has more samples.
const MOST_SAMPLES: usize = 20_000;

/// The end of a centre line at a free end: at the edge of a cap cut straight, and half a width before that of a round one,
/// as strokes with such caps are drawn. `crossing` is as seen on the way out. `None` if the lead does not end there.
pub(crate) fn free_end(samples: &[Sample], crossing: Crossing, ray: &Ray) -> Option<DVec2> {
    // The lead lies on the left of its boundary, so the boundary goes from the right side round the cap to the left one.
    let mut points = vec![samples[crossing.right as usize].at];
    if samples[crossing.right as usize].ring != samples[crossing.left as usize].ring {
        return None;
    }
    let mut at = crossing.right;
    while at != crossing.left {
        at = samples[at as usize].next;
        points.push(samples[at as usize].at);
        if points.len() > MOST_SAMPLES {
            return None;
        }
    }
    let reach = points.iter().map(|p| p.distance(ray.at)).fold(0.0, f64::max) + ray.width;
    let cap = Curve::new(points);
    let steps = if ray.bend.abs() * reach * reach < 0.01 { 1 } else { 16 };
    let distance = |offset: f64| {
        let way: Vec<DVec2> =
            (0..=steps).map(|i| ray.place(reach * f64::from(i) / f64::from(steps), offset)).collect();
        cap.first_hit(&way).map(|hit| hit.0)
    };
    let middle = distance(0.0)?;
    let beside = BESIDE_WIDTHS * ray.width;
    let bulge = match (distance(beside), distance(-beside)) {
        (Some(left), Some(right)) => middle - f64::midpoint(left, right),
        _ => 0.0,
    };
    let end = if bulge > ROUND_WIDTHS * ray.width { middle - ray.width / 2.0 } else { middle };
    Some(ray.place(end.max(0.0), 0.0))
}
