//! The optics of a piece at all angles, worked out once and looked up fast.

use spectra::Spectrum;

use crate::{Optics, Prepared};

/// [`Optics`] at a number of directions from grazing to normal, joined by straight lines in the cosine.
///
/// Nodes lie at cosines (i/(n−1))², dense where transmittance falls to nothing at grazing incidence. With 64
/// nodes no transmittance of the library's glasses, painted and behind protective glazing, is off by more than 2e-4
/// (with 32 by four times that); [`interpolation_error`](Self::interpolation_error) measures it for one piece.
#[derive(Clone, Debug)]
pub struct AngularTable {
    nodes: Vec<Optics>,
}

impl AngularTable {
    /// At least 2 nodes, however few are asked for.
    pub(crate) fn new(piece: &Prepared, angles: usize) -> Self {
        let count = angles.max(2);
        Self { nodes: (0..count).map(|i| optics_at(piece, cosine_at(i as f64, count))).collect() }
    }

    /// Largest error of a transmittance, absolute, at any wavelength, half-way between any two nodes; `piece` is what
    /// the table was made from. Costs as much as making the table.
    pub fn interpolation_error(&self, piece: &Prepared) -> f64 {
        let mut worst: f64 = 0.0;
        for i in 0..self.nodes.len() - 1 {
            let cosine = cosine_at(i as f64 + 0.5, self.nodes.len());
            let (exact, found) = (optics_at(piece, cosine), self.at(cosine));
            let regular = exact.regular_transmittance - found.regular_transmittance;
            let diffuse = exact.diffuse_transmittance - found.diffuse_transmittance;
            worst = worst.max(regular.map(f64::abs).max()).max(diffuse.map(f64::abs).max());
        }
        worst
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Never: a table has at least two nodes.
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// Cosines of the angle of incidence at the nodes, ascending from 0 to 1.
    pub fn cosines(&self) -> impl Iterator<Item = f64> + '_ {
        (0..self.nodes.len()).map(|i| cosine_at(i as f64, self.nodes.len()))
    }

    /// The optics at the nodes, in the order of [`cosines`](Self::cosines).
    pub fn nodes(&self) -> &[Optics] {
        &self.nodes
    }

    /// Everything at a cosine of the angle of incidence; read as the nearest in 0–1.
    pub fn at(&self, cosine: f64) -> Optics {
        let (low, high, share) = self.between(cosine);
        let mix = |a: &Spectrum, b: &Spectrum| a.zip_map(b, |a, b| a + (b - a) * share);
        Optics {
            regular_transmittance: mix(&low.regular_transmittance, &high.regular_transmittance),
            diffuse_transmittance: mix(&low.diffuse_transmittance, &high.diffuse_transmittance),
            reflectance_outside: mix(&low.reflectance_outside, &high.reflectance_outside),
            reflectance_inside: mix(&low.reflectance_inside, &high.reflectance_inside),
            absorptance: mix(&low.absorptance, &high.absorptance),
        }
    }

    /// Adds `factor` times the regular transmittance at a cosine to `sum`: the inner step of a sum over the sky.
    pub fn add_regular(&self, cosine: f64, factor: f64, sum: &mut Spectrum) {
        let (low, high, share) = self.between(cosine);
        sum.add_scaled(factor * (1.0 - share), &low.regular_transmittance);
        sum.add_scaled(factor * share, &high.regular_transmittance);
    }

    /// Regular transmittance at a cosine.
    pub fn regular(&self, cosine: f64) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        self.add_regular(cosine, 1.0, &mut sum);
        sum
    }

    /// Diffuse transmittance at a cosine.
    pub fn diffuse(&self, cosine: f64) -> Spectrum {
        let (low, high, share) = self.between(cosine);
        low.diffuse_transmittance.zip_map(&high.diffuse_transmittance, |a, b| a + (b - a) * share)
    }

    fn between(&self, cosine: f64) -> (&Optics, &Optics, f64) {
        let cosine = if cosine > 0.0 { cosine.min(1.0) } else { 0.0 };
        let last = self.nodes.len() - 1;
        let low = ((cosine.sqrt() * last as f64) as usize).min(last - 1);
        let (c0, c1) = (cosine_at(low as f64, last + 1), cosine_at(low as f64 + 1.0, last + 1));
        (&self.nodes[low], &self.nodes[low + 1], ((cosine - c0) / (c1 - c0)).clamp(0.0, 1.0))
    }
}

fn optics_at(piece: &Prepared, cosine: f64) -> Optics {
    piece.optics(cosine.acos().to_degrees())
}

fn cosine_at(place: f64, count: usize) -> f64 {
    let x = place / (count - 1) as f64;
    x * x
}
