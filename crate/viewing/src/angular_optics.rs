//! A pane's transmittances by angle, tabulated once and read often.

use spectra::Spectrum;

/// Regular and diffuse transmittance of a pane by the angle of incidence.
///
/// 37 nodes, 2.5° apart, joined by cubics through the four nearest; against the Fresnel formulae themselves the error
/// stays below 2e-5 up to 70° and 1e-3 beyond.
#[derive(Clone, Debug)]
pub struct AngularOptics {
    regular: Vec<Spectrum>,
    /// Empty for glass that scatters nothing.
    diffuse: Vec<Spectrum>,
}

const NODES: usize = 37;
const STEP_DEG: f64 = 90.0 / (NODES - 1) as f64;

impl AngularOptics {
    /// Tabulates `optics`, which answers (regular, diffuse) transmittance for an angle of incidence in degrees, 0–90.
    pub fn from_fn(mut optics: impl FnMut(f64) -> (Spectrum, Spectrum)) -> Self {
        let (regular, diffuse): (Vec<_>, Vec<_>) = (0..NODES).map(|i| optics(i as f64 * STEP_DEG)).unzip();
        let scatters = diffuse.iter().any(|s: &Spectrum| s.max() > 0.0);
        Self { regular, diffuse: if scatters { diffuse } else { Vec::new() } }
    }

    /// Glass that scatters nothing.
    pub fn from_regular(mut regular: impl FnMut(f64) -> Spectrum) -> Self {
        Self::from_fn(|angle_deg| (regular(angle_deg), Spectrum::ZERO))
    }

    /// Whether any light is scattered.
    pub fn scatters(&self) -> bool {
        !self.diffuse.is_empty()
    }

    /// Regular transmittance at the cosine of the angle of incidence.
    pub fn regular(&self, cos_incidence: f64) -> Spectrum {
        interpolate(&self.regular, cos_incidence)
    }

    /// Diffuse transmittance: the share of light from that angle that leaves scattered.
    pub fn diffuse(&self, cos_incidence: f64) -> Spectrum {
        if self.diffuse.is_empty() { Spectrum::ZERO } else { interpolate(&self.diffuse, cos_incidence) }
    }
}

fn interpolate(nodes: &[Spectrum], cos_incidence: f64) -> Spectrum {
    let at = cos_incidence.clamp(0.0, 1.0).acos().to_degrees() / STEP_DEG;
    // Even about normal incidence: node −1 equals node 1.
    let first = (at.floor() as isize - 1).min(NODES as isize - 4);
    let mut out = Spectrum::ZERO;
    for k in 0..4 {
        let mut weight = 1.0;
        for m in (0..4).filter(|&m| m != k) {
            weight *= (at - (first + m) as f64) / (k - m) as f64;
        }
        out.add_scaled(weight, &nodes[(first + k).unsigned_abs()]);
    }
    out.map(|v| v.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Fresnel for one face of n = 1.52, unpolarised: the steepest thing by angle that glass does.
    fn face(angle_deg: f64) -> f64 {
        let (n, c) = (1.52, angle_deg.to_radians().cos());
        let inside = (1.0 - (1.0 - c * c) / (n * n)).sqrt();
        let (s, p) = ((c - n * inside) / (c + n * inside), (n * c - inside) / (n * c + inside));
        1.0 - 0.5 * (s * s + p * p)
    }

    #[test]
    fn follows_the_formula_between_nodes() {
        let table = AngularOptics::from_regular(|a| Spectrum::splat(face(a)));
        for tenth in 0..=900 {
            let angle = tenth as f64 / 10.0;
            let got = table.regular(angle.to_radians().cos())[0];
            let tolerance = if angle < 70.0 { 2e-5 } else { 1e-3 };
            assert!((got - face(angle)).abs() < tolerance, "{angle}°: {got} {}", face(angle));
        }
    }
}
