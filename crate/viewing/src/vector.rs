//! The few operations on `[f64; 3]` the geometry needs.

pub(crate) type V3 = [f64; 3];

pub(crate) fn sub(a: V3, b: V3) -> V3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn add_scaled(a: V3, t: f64, b: V3) -> V3 {
    [a[0] + t * b[0], a[1] + t * b[1], a[2] + t * b[2]]
}

pub(crate) fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: V3, b: V3) -> V3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn length(a: V3) -> f64 {
    dot(a, a).sqrt()
}

/// `a` at length one; zero stays zero.
pub(crate) fn unit(a: V3) -> V3 {
    let l = length(a);
    if l > 0.0 { [a[0] / l, a[1] / l, a[2] / l] } else { a }
}
