//! Rays: the ends of runs, and how the leads go on from there.

use crate::station::Station;
use glam::DVec2;

/// A ray follows the last stretch of its run, this long in widths.
const WINDOW_WIDTHS: f64 = 2.5;
/// A straight stretch needs this length, in widths, to give a direction.
const LEAST_WINDOW_WIDTHS: f64 = 0.8;
/// A bent one needs this.
const BENT_WINDOW_WIDTHS: f64 = 1.5;
/// A stretch is straight if its points deviate no more (root mean square, mm).
const STRAIGHT_MM: f64 = 0.006;

/// The end of a run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ray {
    pub(crate) at: DVec2,
    /// Unit direction out of the run.
    pub(crate) along: DVec2,
    /// Curvature to the left, 1/mm.
    pub(crate) bend: f64,
    /// Width of the lead, mm.
    pub(crate) width: f64,
}

impl Ray {
    /// A place a distance on, moved to the left by an offset; mm.
    pub(crate) fn place(&self, distance: f64, offset: f64) -> DVec2 {
        let left = self.bend * distance * distance / 2.0 + offset;
        self.at + self.along * distance + self.along.perp() * left
    }

    /// Direction a distance on.
    pub(crate) fn direction(&self, distance: f64) -> DVec2 {
        (self.along + self.along.perp() * (self.bend * distance)).normalize_or(self.along)
    }

    /// The way to a point that it need not meet exactly: points after its start, the point last.
    pub(crate) fn way_to(&self, point: DVec2) -> Vec<DVec2> {
        let distance = (point - self.at).dot(self.along).max(0.0);
        let bow = (self.bend * distance * distance / 8.0).abs();
        if bow < 0.003 {
            return vec![point];
        }
        let miss = point - self.place(distance, 0.0);
        let step = |i: u32| {
            let share = f64::from(i) / 8.0;
            self.place(share * distance, 0.0) + miss * share * share
        };
        (1..8).map(step).chain([point]).collect()
    }
}

/// The ray out of a run's last station.
pub(crate) fn ray(stations: &[Station], width: f64, at_start: bool) -> Ray {
    let last = stations.len() - 1;
    let station = |i: usize| if at_start { &stations[i] } else { &stations[last - i] };
    let outward = |s: &Station| if at_start { -s.along } else { s.along };
    let at = station(0).at;
    let (mut points, mut mean, mut way) = (vec![at], outward(station(0)), 0.0);
    for i in 1..=last {
        let s = station(i);
        way += s.at.distance(station(i - 1).at);
        if way > WINDOW_WIDTHS * width {
            break;
        }
        points.push(s.at);
        mean += outward(s);
    }
    let by_sides = Ray { at, along: mean.normalize_or(outward(station(0))), bend: 0.0, width };
    let span = at.distance(points[points.len() - 1]);
    if points.len() < 4 || span < LEAST_WINDOW_WIDTHS * width {
        return by_sides;
    }
    let axis = (at - points[points.len() - 1]) / span;
    let local: Vec<DVec2> =
        points.iter().map(|&p| DVec2::new((p - at).dot(axis), (p - at).dot(axis.perp()))).collect();
    let straight = fit(&local, 1);
    let mut best = straight;
    if straight.deviation > STRAIGHT_MM && points.len() >= 6 && span >= BENT_WINDOW_WIDTHS * width {
        let bent = fit(&local, 2);
        if bent.deviation < 0.6 * straight.deviation && bent.terms[2].abs() * width < 0.35 {
            best = bent;
        } else {
            // The run has a kink nearby: only what is nearer counts.
            let near: Vec<DVec2> = local.iter().copied().filter(|p| p.x > -1.2 * width).collect();
            if near.len() >= 4 {
                best = fit(&near, 1);
            }
        }
    }
    let [offset, slope, half_bend] = best.terms;
    let along = (axis + axis.perp() * slope).normalize_or(axis);
    if along.dot(by_sides.along) < 0.7 {
        return by_sides;
    }
    Ray {
        at: at + axis.perp() * offset,
        along,
        bend: 2.0 * half_bend / (1.0 + slope * slope).powf(1.5),
        width,
    }
}

/// y = terms\[0\] + terms\[1\] x + terms\[2\] x².
#[derive(Debug, Clone, Copy)]
struct Fit {
    terms: [f64; 3],
    deviation: f64,
}

/// Least squares by a polynomial of degree 1 or 2.
fn fit(points: &[DVec2], degree: usize) -> Fit {
    // About the mean, and scaled, so that the equations are well conditioned.
    let count = points.len() as f64;
    let middle = points.iter().map(|p| p.x).sum::<f64>() / count;
    let reach = points.iter().map(|p| (p.x - middle).abs()).fold(1e-9, f64::max);
    let mut m = [[0.0; 4]; 3];
    for p in points {
        let u = (p.x - middle) / reach;
        let powers = [1.0, u, if degree > 1 { u * u } else { 0.0 }];
        for (row, &a) in m.iter_mut().zip(&powers) {
            for (cell, &b) in row.iter_mut().zip(&powers) {
                *cell += a * b;
            }
            row[3] += a * p.y;
        }
    }
    if degree < 2 {
        m[2] = [0.0, 0.0, 1.0, 0.0];
    }
    let [a, b, c] = solve(m);
    let value = |x: f64| {
        let u = (x - middle) / reach;
        a + b * u + c * u * u
    };
    let square: f64 = points.iter().map(|p| (p.y - value(p.x)).powi(2)).sum();
    let (b, c) = (b / reach, c / reach / reach);
    let terms = [a - b * middle + c * middle * middle, b - 2.0 * c * middle, c];
    Fit { terms, deviation: (square / count).sqrt() }
}

/// Solves three linear equations by elimination, the larger pivot first; 0 for what they leave open.
fn solve(mut m: [[f64; 4]; 3]) -> [f64; 3] {
    for i in 0..3 {
        let pivot = (i..3).max_by(|&j, &k| m[j][i].abs().total_cmp(&m[k][i].abs())).unwrap_or(i);
        m.swap(i, pivot);
        if m[i][i].abs() < 1e-12 {
            return [0.0; 3];
        }
        for j in 0..3 {
            if j != i {
                let factor = m[j][i] / m[i][i];
                let row = m[i];
                for (cell, above) in m[j].iter_mut().zip(row) {
                    *cell -= factor * above;
                }
            }
        }
    }
    [0, 1, 2].map(|i| m[i][3] / m[i][i])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_is_fitted_exactly() {
        let points: Vec<DVec2> = (0..9)
            .map(|i| f64::from(i) - 12.0)
            .map(|x| DVec2::new(x, 0.3 - 0.2 * x + 0.01 * x * x))
            .collect();
        let bent = fit(&points, 2);
        for (found, wanted) in bent.terms.iter().zip([0.3, -0.2, 0.01]) {
            assert!((found - wanted).abs() < 1e-9, "{:?}", bent.terms);
        }
        assert!(bent.deviation < 1e-9 && fit(&points, 1).deviation > 0.01);
    }
}
