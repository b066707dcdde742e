//! The light outside as a mixture of a few spectra, for pictures: each direction becomes a few weights.

use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::sync::LazyLock;

use spectra::{Observer, SAMPLES, Spectrum, TristimulusWeights, ciede2000, observer_functions};

use crate::outside::Outside;
use crate::place::Direction;

/// Maximum number of spectra above the horizon.
pub const MAX_RANK: usize = 12;

/// How far a basis differs from the 81-sample light, measured over directions from which it was not made, each seen
/// bare and through steep filters in six parts of the spectrum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BasisError {
    /// Worst colour difference, CIEDE2000, with each direction's own bare light as white.
    pub delta_e_max: f64,
    /// 95th percentile of the same.
    pub delta_e_p95: f64,
    /// Root mean square over wavelength and direction of the difference in radiance, relative to each
    /// direction's mean radiance.
    pub relative_rms: f64,
}

/// The radiance toward d is about Σₖ wₖ(d) · `spectra[k]`, with the weights of [`SkyBasis::weights`].
///
/// `spectra[0]` is the beam facing the sun (an irradiance; its weight is always 0, since the sun's disc is not part
/// of the dome: a renderer sets the weight itself), `spectra[1]` the radiance of the ground. The others span
/// everything seen at and above the horizontal: sky, skyline, trees. They have values of either sign.
///
/// They are the leading singular vectors of the dome's directions, each normalised to its own strength, with the
/// wavelengths weighted by the observer's response.
#[derive(Clone, Debug)]
pub struct SkyBasis {
    /// Beam, ground, then those of the sky.
    pub spectra: Vec<Spectrum>,
    /// Weight of sky spectrum k: the scalar product of the radiance with `duals[k]`.
    duals: Vec<Spectrum>,
    outside: Outside,
}

impl Outside {
    /// The light outside as a mixture of a few spectra: beam, ground, and `rank` (1–12) for everything above the
    /// horizontal. See [`SkyBasis`].
    pub fn basis(&self, rank: usize) -> SkyBasis {
        SkyBasis::new(self, rank)
    }
}

impl SkyBasis {
    fn new(outside: &Outside, rank: usize) -> Self {
        let rank = rank.clamp(1, MAX_RANK);
        let response = &*RESPONSE;
        let rows: Vec<Spectrum> = dome_directions(outside, 9, 24, 0.0)
            .into_iter()
            .map(|d| outside.radiance(d) * *response)
            .collect();
        let vectors = leading_vectors(&rows, rank);
        let mut spectra = vec![outside.beam_normal(), outside.ground_radiance()];
        let mut duals = Vec::with_capacity(vectors.len());
        for vector in vectors {
            // Scaled so that the largest weight of the dome is 1, which suits half-float targets.
            let largest = rows.iter().map(|row| row.dot(&vector).abs()).fold(0.0, f64::max);
            let scale = if largest > 0.0 { largest } else { 1.0 };
            spectra.push(vector / *response * scale);
            duals.push(vector * *response * (1.0 / scale));
        }
        Self { spectra, duals, outside: outside.clone() }
    }

    /// Spectra of the sky, skyline and trees.
    pub fn rank(&self) -> usize {
        self.duals.len()
    }

    /// The weights for a direction, one per spectrum.
    pub fn weights(&self, d: Direction) -> Vec<f64> {
        let mut weights = vec![0.0; self.spectra.len()];
        self.weights_into(d, &mut weights);
        weights
    }

    /// [`SkyBasis::weights`] without allocating: writes as many as `weights` has room for, in order.
    pub fn weights_into(&self, d: Direction, weights: &mut [f64]) {
        weights.fill(0.0);
        if d.altitude_deg < 0.0 {
            if let Some(ground) = weights.get_mut(1) {
                *ground = 1.0;
            }
            return;
        }
        let radiance = self.outside.radiance(d);
        for (weight, dual) in weights.iter_mut().skip(2).zip(&self.duals) {
            *weight = radiance.dot(dual);
        }
    }

    /// The mixture itself, which approximates [`Outside::radiance`].
    pub fn radiance(&self, d: Direction) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        for (weight, spectrum) in self.weights(d).into_iter().zip(&self.spectra) {
            sum.add_scaled(weight, spectrum);
        }
        sum
    }

    /// How far the mixture differs from the light itself, measured on the spot in about 130 directions.
    pub fn error(&self) -> BasisError {
        let observer = TristimulusWeights::absolute(Observer::default());
        let (mut differences, mut squares, mut count) = (Vec::new(), 0.0, 0.0);
        for d in dome_directions(&self.outside, 7, 14, 0.5) {
            let exact = self.outside.radiance(d);
            let mean = exact.sum() / SAMPLES as f64;
            // Without light there is no error.
            if mean <= 0.0 {
                continue;
            }
            let mixed = self.radiance(d);
            let off = mixed - exact;
            squares += off.dot(&off) / (mean * mean * SAMPLES as f64);
            count += 1.0;
            let white = observer.xyz(&exact);
            for probe in PROBES.iter() {
                let lab = |light: &Spectrum| observer.xyz(&(*light * *probe)).lab(white);
                if let (Some(a), Some(b)) = (lab(&exact), lab(&mixed)) {
                    differences.push(ciede2000(a, b));
                }
            }
        }
        sorting::numbers(&mut differences);
        let at = |share: f64| {
            let last = differences.len().saturating_sub(1);
            differences.get((share * last as f64).round() as usize).copied().unwrap_or(0.0)
        };
        BasisError {
            delta_e_max: at(1.0),
            delta_e_p95: at(0.95),
            relative_rms: if count > 0.0 { (squares / count).sqrt() } else { 0.0 },
        }
    }
}

/// Weight of each wavelength in the fit: the observer's response, with a floor that keeps deep red and violet from
/// drifting.
static RESPONSE: LazyLock<Spectrum> = LazyLock::new(|| {
    let [x, y, z] = observer_functions(Observer::default());
    let norm = (*x * *x + *y * *y + *z * *z).map(f64::sqrt);
    let floor = 0.02 * norm.max();
    norm.map(|v| v.max(floor))
});

/// Clear, and steep filters: deep red, amber, green, blue, violet, purple.
static PROBES: LazyLock<[Spectrum; 7]> = LazyLock::new(|| {
    let edge = |from: f64, width: f64| Spectrum::from_fn(|nm| 1.0 / (1.0 + (-(nm - from) / width).exp()));
    let band = |middle: f64, width: f64| Spectrum::from_fn(|nm| (-((nm - middle) / width).powi(2)).exp());
    [
        Spectrum::ONE,
        edge(610.0, 6.0),
        edge(520.0, 10.0),
        band(530.0, 25.0),
        band(450.0, 25.0),
        band(420.0, 20.0),
        band(430.0, 30.0) + band(660.0, 30.0),
    ]
});

/// Directions over the dome: rings closer together toward the horizon, and a dense cluster around the sun. `shift`
/// (0–1) rotates and raises them, so that two sets share no direction.
fn dome_directions(outside: &Outside, rings: usize, per_ring: usize, shift: f64) -> Vec<Direction> {
    let mut directions = Vec::with_capacity(rings * per_ring + 40);
    for ring in 0..rings {
        let u = (ring as f64 + 0.25 + 0.5 * shift) / rings as f64;
        let altitude = FRAC_PI_2 * u * u.sqrt();
        for step in 0..per_ring {
            let azimuth = TAU * (step as f64 + shift) / per_ring as f64;
            directions
                .push(Direction { altitude_deg: altitude.to_degrees(), azimuth_deg: azimuth.to_degrees() });
        }
    }
    let (sun_altitude, sun_azimuth) = outside.pattern_sun();
    for away in [0.5, 2.0, 5.0, 12.0] {
        for step in 0..8 {
            let turn = PI * (step as f64 + shift) / 4.0;
            let altitude_deg = sun_altitude.to_degrees() + away * (1.0 + 0.3 * shift) * turn.sin();
            if (0.0..90.0).contains(&altitude_deg) {
                let aside = away * (1.0 + 0.3 * shift) * turn.cos() / sun_altitude.cos().max(0.05);
                directions.push(Direction { altitude_deg, azimuth_deg: sun_azimuth.to_degrees() + aside });
            }
        }
    }
    if !outside.is_open() {
        // Low down, walls and trees change their colour with the bearing.
        for step in 0..2 * per_ring {
            let azimuth_deg = 360.0 * (step as f64 + 0.5 + shift) / (2 * per_ring) as f64;
            directions.extend([1.0, 4.0].map(|altitude_deg| Direction { altitude_deg, azimuth_deg }));
        }
    }
    directions
}

/// The `rank` leading right singular vectors of the rows, each row first scaled to unit strength; fewer if the rows
/// span less. Orthonormal.
///
/// Subspace iteration on the 81 × 81 matrix of products, then a Jacobi rotation inside the subspace. A dome's
/// singular values fall by a factor of five to ten from one to the next, so a few steps are enough.
fn leading_vectors(rows: &[Spectrum], rank: usize) -> Vec<Spectrum> {
    let unit: Vec<Spectrum> = rows
        .iter()
        .filter_map(|row| {
            let norm = row.dot(row).sqrt();
            (norm > 0.0 && norm.is_finite()).then(|| *row * (1.0 / norm))
        })
        .collect();
    if unit.is_empty() {
        return Vec::new();
    }
    let product = |v: &Spectrum| {
        let mut sum = Spectrum::ZERO;
        for row in &unit {
            sum.add_scaled(row.dot(v), row);
        }
        sum
    };
    // Cosines of rising frequency: smooth, independent, and never all orthogonal to the light.
    let width = (rank + 3).min(SAMPLES);
    let mut space: Vec<Spectrum> = (0..width)
        .map(|k| {
            let mut i = 0.0;
            Spectrum::from_fn(|_| {
                i += 1.0;
                (PI * k as f64 * (i - 0.5) / SAMPLES as f64).cos()
            })
        })
        .collect();
    for _ in 0..8 {
        orthonormalise(&mut space);
        space = space.iter().map(&product).collect();
    }
    orthonormalise(&mut space);
    let images: Vec<Spectrum> = space.iter().map(&product).collect();
    let n = space.len();
    let mut matrix: Vec<Vec<f64>> =
        (0..n).map(|i| (0..n).map(|j| space[i].dot(&images[j])).collect()).collect();
    let turned = jacobi(&mut matrix);
    let mut order: Vec<usize> = (0..n).collect();
    sorting::by(&mut order, |&i, &j| matrix[j][j].total_cmp(&matrix[i][i]));
    let strongest = order.first().map_or(0.0, |&i| matrix[i][i]);
    order
        .into_iter()
        .take(rank)
        // Below 1e-14 of the strongest, the products contain only rounding: the rows span no more.
        .filter(|&k| matrix[k][k] > 1e-14 * strongest)
        .map(|k| {
            let mut vector = Spectrum::ZERO;
            for (base, row) in space.iter().zip(&turned) {
                vector.add_scaled(row[k], base);
            }
            if vector.sum() < 0.0 { -vector } else { vector }
        })
        .collect()
}

/// Modified Gram–Schmidt, twice; vectors that vanish are dropped.
fn orthonormalise(vectors: &mut Vec<Spectrum>) {
    let mut kept: Vec<Spectrum> = Vec::with_capacity(vectors.len());
    for &vector in vectors.iter() {
        let before = vector.dot(&vector).sqrt();
        let mut v = vector;
        for _ in 0..2 {
            for k in &kept {
                v.add_scaled(-v.dot(k), k);
            }
        }
        let norm = v.dot(&v).sqrt();
        if norm > 1e-13 * before && norm.is_normal() {
            kept.push(v * (1.0 / norm));
        }
    }
    *vectors = kept;
}

/// Eigenvectors of a symmetric matrix, as columns; the matrix is left diagonal.
///
/// # Source
/// Cyclic Jacobi: Golub & Van Loan, *Matrix Computations*, 1996, section 8.4.
fn jacobi(matrix: &mut [Vec<f64>]) -> Vec<Vec<f64>> {
    let n = matrix.len();
    let mut vectors: Vec<Vec<f64>> = (0..n).map(|i| (0..n).map(|j| f64::from(i == j)).collect()).collect();
    for _ in 0..30 {
        let mut rotated = false;
        for p in 0..n {
            for q in p + 1..n {
                let off = matrix[p][q];
                if off.abs() <= 1e-17 * (matrix[p][p].abs() + matrix[q][q].abs()) {
                    continue;
                }
                rotated = true;
                let theta = (matrix[q][q] - matrix[p][p]) / (2.0 * off);
                let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
                let c = 1.0 / (t * t + 1.0).sqrt();
                let s = t * c;
                for row in matrix.iter_mut() {
                    (row[p], row[q]) = (c * row[p] - s * row[q], s * row[p] + c * row[q]);
                }
                let (upper, lower) = matrix.split_at_mut(q);
                for (a, b) in upper[p].iter_mut().zip(&mut lower[0]) {
                    (*a, *b) = (c * *a - s * *b, s * *a + c * *b);
                }
                for row in &mut vectors {
                    (row[p], row[q]) = (c * row[p] - s * row[q], s * row[p] + c * row[q]);
                }
            }
        }
        if !rotated {
            break;
        }
    }
    vectors
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jacobi_recovers_known_eigenvectors() {
        // A = Q diag(5, 2, 1) Qᵀ for a rotation Q.
        let q = [[0.36, 0.48, -0.8], [-0.8, 0.6, 0.0], [0.48, 0.64, 0.6]];
        let mut a: Vec<Vec<f64>> = (0..3)
            .map(|i| (0..3).map(|j| (0..3).map(|k| q[i][k] * [5.0, 2.0, 1.0][k] * q[j][k]).sum()).collect())
            .collect();
        let v = jacobi(&mut a);
        let mut found: Vec<f64> = (0..3).map(|i| a[i][i]).collect();
        found.sort_by(f64::total_cmp);
        for (f, e) in found.iter().zip([1.0, 2.0, 5.0]) {
            assert!((f - e).abs() < 1e-12);
        }
        let first: f64 = (0..3).map(|i| v[i][0] * v[i][1]).sum();
        assert!(first.abs() < 1e-14);
    }

    #[test]
    fn rows_of_low_rank_are_spanned() {
        let a = Spectrum::from_fn(|nm| (nm / 100.0).sin() + 2.0);
        let b = Spectrum::from_fn(|nm| nm / 500.0);
        let rows: Vec<Spectrum> =
            (0..20).map(|i| a * f64::from(i) + b * (1.0 + f64::from(i * i) * 0.1)).collect();
        let found = leading_vectors(&rows, 5);
        assert_eq!(found.len(), 2);
        for row in rows {
            let mut rest = row;
            for v in &found {
                rest.add_scaled(-row.dot(v), v);
            }
            assert!(rest.dot(&rest) < 1e-18 * row.dot(&row));
        }
    }
}
