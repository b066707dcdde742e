//! Three-by-three matrices, worked out while compiling where they are constant.

pub(crate) type Matrix = [[f64; 3]; 3];

pub(crate) const fn apply(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    [
        m[0][0] * v[0] + m[0][1] * v[1] + m[0][2] * v[2],
        m[1][0] * v[0] + m[1][1] * v[1] + m[1][2] * v[2],
        m[2][0] * v[0] + m[2][1] * v[1] + m[2][2] * v[2],
    ]
}

/// Inverse by cofactors; the matrices inverted here are far from singular.
pub(crate) const fn inverse(m: &Matrix) -> Matrix {
    let [[a, b, c], [d, e, f], [g, h, i]] = *m;
    let (p, q, r) = (e * i - f * h, f * g - d * i, d * h - e * g);
    let det = a * p + b * q + c * r;
    [
        [p / det, (c * h - b * i) / det, (b * f - c * e) / det],
        [q / det, (a * i - c * g) / det, (c * d - a * f) / det],
        [r / det, (b * g - a * h) / det, (a * e - b * d) / det],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_undoes() {
        let m = [[2.0, -1.0, 0.5], [0.0, 3.0, 1.0], [4.0, 0.25, -2.0]];
        let v = apply(&inverse(&m), apply(&m, [1.0, 2.0, 3.0]));
        assert!(v.iter().zip([1.0, 2.0, 3.0]).all(|(a, b)| (a - b).abs() < 1e-14));
    }
}
