//! Closed forms of the exchange between rectangles.
//!
//! An *exchange area* is area × form factor, A₁F₁₂ = A₂F₂₁, m². It is additive over the parts of either surface,
//! which is why the mesh of a room uses it.

use std::f64::consts::PI;

/// Form factor from an element at the origin with normal +z to the rectangle 0…a × 0…b in the plane z = c.
///
/// # Source
/// Howell, catalogue of configuration factors, B-3 (number from memory).
pub fn element_to_parallel_rectangle(a: f64, b: f64, c: f64) -> f64 {
    let (x, y) = (a / c, b / c);
    let (p, q) = ((1.0 + x * x).sqrt(), (1.0 + y * y).sqrt());
    (x / p * (y / p).atan() + y / q * (x / q).atan()) / (2.0 * PI)
}

/// Form factor from an element at the origin with normal +z to the rectangle 0 ≤ x ≤ c, 0 ≤ z ≤ b in the plane y =
/// a, which is perpendicular to the element's plane.
///
/// # Source
/// Howell, catalogue of configuration factors, B-5 (number from memory).
pub fn element_to_perpendicular_rectangle(a: f64, b: f64, c: f64) -> f64 {
    let r = a.hypot(b);
    ((c / a).atan() - a / r * (c / r).atan()) / (2.0 * PI)
}

/// A rectangle by its limits on two axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Lower and upper limit on the first axis.
    pub u: [f64; 2],
    /// Lower and upper limit on the second axis.
    pub v: [f64; 2],
}

impl Rectangle {
    /// Area in the square of the unit used.
    pub fn area(&self) -> f64 {
        (self.u[1] - self.u[0]) * (self.v[1] - self.v[0])
    }
}

/// Exchange area of two parallel rectangles a distance `gap` apart, both given on the same two axes.
///
/// # Source
/// Fourfold integral of the point exchange; corner function as in Howell's C-11 and its offset forms (numbers from memory).
pub fn parallel_exchange(one: Rectangle, other: Rectangle, gap: f64) -> f64 {
    let mut sum = 0.0;
    for (i, j, k, l) in corners() {
        sum += sign(i + j + k + l) * parallel_corner(one.u[i] - other.u[l], one.v[j] - other.v[k], gap);
    }
    sum
}

/// Exchange area of two rectangles at right angles. `u` of each is the distance from the common line, `v` runs along it.
///
/// # Source
/// As [`parallel_exchange`]; Howell's C-14 and its offset forms (numbers from memory).
pub fn perpendicular_exchange(one: Rectangle, other: Rectangle) -> f64 {
    let mut sum = 0.0;
    for (i, j, k, l) in corners() {
        sum += sign(i + j + k + l) * perpendicular_corner(one.u[i], other.u[l], one.v[j] - other.v[k]);
    }
    sum
}

fn corners() -> impl Iterator<Item = (usize, usize, usize, usize)> {
    (0..16).map(|m| (m & 1, m >> 1 & 1, m >> 2 & 1, m >> 3 & 1))
}

pub(crate) fn sign(sum: usize) -> f64 {
    if sum.is_multiple_of(2) { 1.0 } else { -1.0 }
}

/// The corner function of parallel rectangles; `du` and `dv` are the offsets of two corners.
pub(crate) fn parallel_corner(du: f64, dv: f64, gap: f64) -> f64 {
    let a = (du * du + gap * gap).sqrt();
    let b = (dv * dv + gap * gap).sqrt();
    (dv * a * (dv / a).atan() + du * b * (du / b).atan()
        - 0.5 * gap * gap * (du * du + dv * dv + gap * gap).ln())
        / (2.0 * PI)
}

/// The corner function of perpendicular rectangles; `u1` and `u2` are distances from the common line, `dv` is the
/// offset along it.
pub(crate) fn perpendicular_corner(u1: f64, u2: f64, dv: f64) -> f64 {
    let u_squared = u1 * u1 + u2 * u2;
    let u = u_squared.sqrt();
    let s = u_squared + dv * dv;
    let angle = if u > 0.0 { (dv / u).atan() } else { 0.0 };
    let log = if s > 0.0 { s.ln() } else { 0.0 };
    (dv * u * angle - 0.25 * (u_squared - dv * dv) * log) / (2.0 * PI)
}
