//! The directions in which a point sees the outside, with the weight of each.

use std::f64::consts::FRAC_PI_2;
use std::sync::LazyLock;

use daylight::gauss_legendre;
use plane::RoomVector;

/// Directions and their weights, for a sum over the light from outside.
pub(crate) type Directions = Vec<(RoomVector, f64)>;

/// How closely the directions lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fineness {
    /// For the light on a patch of a reveal.
    Patch,
    /// The same where each direction is tried for what hides it.
    Ray,
    /// For the light on glass and in the room.
    Receiver,
}

impl Fineness {
    fn rule(self) -> &'static [(f64, f64)] {
        static PATCH: LazyLock<[(f64, f64); 6]> = LazyLock::new(gauss_legendre);
        static RAY: LazyLock<[(f64, f64); 12]> = LazyLock::new(gauss_legendre);
        static RECEIVER: LazyLock<[(f64, f64); 24]> = LazyLock::new(gauss_legendre);
        match self {
            Self::Patch => &*PATCH,
            Self::Ray => &*RAY,
            Self::Receiver => &*RECEIVER,
        }
    }
}

/// A convex polygon with more corners than this is not divided at each of them.
const CORNERS_AS_BREAKS: usize = 8;

/// Directions from the origin through a convex polygon outside (z below 0). The weight is `factor` of the direction
/// times its solid angle, sr; directions with a weight of zero are left out.
///
/// Bearing and altitude are the two variables, so that the horizon, where the light may jump, is a limit of the sums,
/// as are the corners of the polygon and the direction straight ahead. Gauss–Legendre in each panel.
pub(crate) fn through_polygon(
    polygon: &[RoomVector],
    fineness: Fineness,
    factor: impl Fn(RoomVector) -> f64,
) -> Directions {
    // Slopes sideways and upward, for one step outward.
    let slopes: Vec<[f64; 2]> =
        polygon.iter().map(|corner| corner.to_array()).map(|[x, y, z]| [x / -z, y / -z]).collect();
    let mut directions = Vec::new();
    for bearings in breaks(&slopes).windows(2) {
        for (bearing, w_bearing) in panel(fineness, bearings[0], bearings[1]) {
            let Some([low, high]) = chord(&slopes, bearing.tan()) else { continue };
            let (sin_d, cos_d) = bearing.sin_cos();
            add_column(
                &mut directions,
                fineness,
                sin_d,
                cos_d,
                w_bearing,
                [low, high].map(|s| (s * cos_d).atan()),
                &factor,
            );
        }
    }
    directions
}

/// Directions of the whole half space in front of the wall.
pub(crate) fn half_space(fineness: Fineness, factor: impl Fn(RoomVector) -> f64) -> Directions {
    let mut directions = Vec::new();
    for bearings in [[-FRAC_PI_2, 0.0], [0.0, FRAC_PI_2]] {
        for (bearing, w_bearing) in panel(fineness, bearings[0], bearings[1]) {
            let (sin_d, cos_d) = bearing.sin_cos();
            add_column(&mut directions, fineness, sin_d, cos_d, w_bearing, [-FRAC_PI_2, FRAC_PI_2], &factor);
        }
    }
    directions
}

/// Directions of one bearing between two altitudes, cut at the horizon.
fn add_column(
    directions: &mut Directions,
    fineness: Fineness,
    sin_d: f64,
    cos_d: f64,
    w_bearing: f64,
    [low, high]: [f64; 2],
    factor: impl Fn(RoomVector) -> f64,
) {
    for [from, to] in [[low, high.min(0.0)], [low.max(0.0), high]] {
        for (altitude, w_altitude) in panel(fineness, from, to) {
            let (sin_h, cos_h) = altitude.sin_cos();
            let direction = RoomVector::new(cos_h * sin_d, sin_h, -cos_h * cos_d);
            let weight = factor(direction) * w_bearing * w_altitude * cos_h;
            if weight > 0.0 {
                directions.push((direction, weight));
            }
        }
    }
}

/// Abscissas and weights between two limits; none if the first is not below the second.
fn panel(fineness: Fineness, from: f64, to: f64) -> impl Iterator<Item = (f64, f64)> {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let rule = if half > 0.0 { fineness.rule() } else { &[] };
    rule.iter().map(move |&(x, weight)| (middle + half * x, half * weight))
}

/// Bearings between which the sums run, radians, ascending.
fn breaks(slopes: &[[f64; 2]]) -> Vec<f64> {
    let mut bearings: Vec<f64> = slopes.iter().map(|s| s[0].atan()).collect();
    sorting::numbers(&mut bearings);
    let (Some(&first), Some(&last)) = (bearings.first(), bearings.last()) else { return bearings };
    if bearings.len() > CORNERS_AS_BREAKS {
        bearings = (0..=4).map(|i| first + (last - first) * f64::from(i) / 4.0).collect();
    }
    if first < 0.0 && last > 0.0 {
        bearings.push(0.0);
        sorting::numbers(&mut bearings);
    }
    bearings.dedup_by(|b, a| *b - *a < 1e-12);
    bearings
}

/// Lowest and highest slope upward of a convex polygon at one slope sideways.
fn chord(slopes: &[[f64; 2]], u: f64) -> Option<[f64; 2]> {
    let mut found: Option<[f64; 2]> = None;
    for (i, a) in slopes.iter().enumerate() {
        let b = slopes[(i + 1) % slopes.len()];
        if (a[0] <= u) != (b[0] <= u) {
            let v = a[1] + (b[1] - a[1]) * ((u - a[0]) / (b[0] - a[0]));
            found = Some(found.map_or([v, v], |[low, high]| [low.min(v), high.max(v)]));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::space::form_factor;

    #[test]
    fn an_even_outside_gives_the_contour_sum() {
        let inward = RoomVector::new(0.0, 0.0, -1.0);
        for polygon in [
            vec![[-0.3, -0.9, -0.2], [0.6, -0.9, -0.2], [0.6, 0.9, -0.2], [-0.3, 0.9, -0.2]],
            vec![[0.5, 0.2, -1.0], [2.0, 0.3, -1.0], [1.5, 2.0, -1.0]],
        ] {
            let polygon: Vec<RoomVector> = polygon.into_iter().map(RoomVector::from).collect();
            let sum: f64 =
                through_polygon(&polygon, Fineness::Receiver, |d| d.dot(inward)).iter().map(|(_, w)| w).sum();
            let exact = std::f64::consts::PI * form_factor(inward, &polygon);
            assert!((sum - exact).abs() < 1e-9 * exact, "{sum} {exact}");
        }
    }

    #[test]
    fn the_half_space_gives_pi() {
        let sum: f64 = half_space(Fineness::Receiver, |d| -d.to_array()[2]).iter().map(|(_, w)| w).sum();
        assert!((sum - std::f64::consts::PI).abs() < 1e-12, "{sum}");
    }

    #[test]
    fn no_polygon_has_no_directions() {
        assert!(through_polygon(&[], Fineness::Patch, |_| 1.0).is_empty());
    }
}
