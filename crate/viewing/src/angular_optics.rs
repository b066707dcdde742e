//! A pane's transmittances by angle, tabulated once and read often.

use spectra::{SAMPLES, Spectrum, luminous};

/// Regular and diffuse transmittance of a pane by the angle of incidence.
///
/// 37 nodes, 2.5° apart, joined by cubics through the four nearest. Compared with the Fresnel formulae themselves,
/// the error stays below 2e-5 up to 70° and below 1e-3 beyond.
#[derive(Clone, Debug)]
pub struct AngularOptics {
    regular: Vec<Spectrum>,
    /// Empty for glass that does not scatter.
    diffuse: Vec<Spectrum>,
    /// Luminous level of `regular`, in any unit.
    levels: Vec<f64>,
}

const STEP_DEG: f64 = 90.0 / (NODES - 1) as f64;

impl AngularOptics {
    /// Tabulates `optics`, which returns (regular, diffuse) transmittance for an angle of incidence in degrees,
    /// 0–90.
    pub fn from_fn(mut optics: impl FnMut(f64) -> (Spectrum, Spectrum)) -> Self {
        let (regular, diffuse): (Vec<_>, Vec<_>) = (0..NODES).map(|i| optics(i as f64 * STEP_DEG)).unzip();
        let scatters = diffuse.iter().any(|s: &Spectrum| s.max() > 0.0);
        let levels = regular.iter().map(luminous).collect();
        Self { regular, diffuse: if scatters { diffuse } else { Vec::new() }, levels }
    }

    /// For glass that does not scatter.
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

    /// `sums[c] += factor · transmittance · light[c]` for regular light at the cosine of incidence, in one pass.
    pub(crate) fn add_regular<const C: usize>(
        &self,
        cos_incidence: f64,
        factor: f64,
        light: &[Spectrum; C],
        sums: &mut [Spectrum; C],
    ) {
        let [a, b, c, d] =
            node_weights(cos_incidence).map(|(node, w)| (self.regular[node].samples(), factor * w));
        for i in 0..SAMPLES {
            let through = a.1 * a.0[i] + b.1 * b.0[i] + c.1 * c.0[i] + d.1 * d.0[i];
            // Not `max`, which WebAssembly has no instruction for.
            let through = if through > 0.0 { through } else { 0.0 };
            for k in 0..C {
                sums[k][i] += through * light[k][i];
            }
        }
    }

    /// How much light passes regularly at a place in the table ([`node_weights`]), in any unit.
    pub(crate) fn level(&self, nodes: &[(usize, f64); 4]) -> f64 {
        nodes.iter().map(|&(node, weight)| weight * self.levels[node]).sum::<f64>().max(0.0)
    }

    /// Regular transmittance at a node of the table: 0 is normal incidence, `NODES` − 1 grazing.
    pub(crate) fn regular_node(&self, node: usize) -> &Spectrum {
        &self.regular[node]
    }

    /// Diffuse transmittance at a node; `None` for glass that does not scatter.
    pub(crate) fn diffuse_node(&self, node: usize) -> Option<&Spectrum> {
        self.diffuse.get(node)
    }

    /// Diffuse transmittance: the share of light from that angle that leaves scattered.
    pub fn diffuse(&self, cos_incidence: f64) -> Spectrum {
        if self.diffuse.is_empty() { Spectrum::ZERO } else { interpolate(&self.diffuse, cos_incidence) }
    }
}

/// Number of nodes in the table.
pub(crate) const NODES: usize = 37;

/// The four nodes around a cosine of incidence, and their weights.
pub(crate) fn node_weights(cos_incidence: f64) -> [(usize, f64); 4] {
    let at = cos_incidence.clamp(0.0, 1.0).acos().to_degrees() / STEP_DEG;
    // The table is symmetric about normal incidence: node −1 equals node 1.
    let first = (at.floor() as isize - 1).min(NODES as isize - 4);
    std::array::from_fn(|k| {
        let k = k as isize;
        let weight = (0..4).filter(|&m| m != k).map(|m| (at - (first + m) as f64) / (k - m) as f64).product();
        ((first + k).unsigned_abs(), weight)
    })
}

fn interpolate(nodes: &[Spectrum], cos_incidence: f64) -> Spectrum {
    let mut out = Spectrum::ZERO;
    for (node, weight) in node_weights(cos_incidence) {
        out.add_scaled(weight, &nodes[node]);
    }
    out.map(|v| v.max(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Fresnel for one face of n = 1.52, unpolarised: nothing in glass varies more steeply with angle.
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

    // Real pieces: painted, behind dirty protective glazing, every eighth of the library.
    #[test]
    fn follows_whole_pieces_between_nodes() {
        let clear = glass::find("float-clear").unwrap().clone();
        let mut worst = [0.0f64; 2];
        for g in glass::library().iter().step_by(8) {
            let mut piece = glass::Makeup::single(g.clone(), 3.0);
            piece.paints = vec![glass::Paint::new(glass::PaintKind::Matting, 0, glass::Face::Inside)];
            piece.protective =
                Some(glass::Protective { glass: clear.clone(), thickness_mm: 6.0, dirt: glass::Dirt::USUAL });
            let prepared = piece.prepare();
            let table = AngularOptics::from_fn(|angle_deg| {
                let o = prepared.optics(angle_deg);
                (o.regular_transmittance, o.diffuse_transmittance)
            });
            for half in 0..NODES - 1 {
                let angle = (half as f64 + 0.5) * STEP_DEG;
                let (o, cosine) = (prepared.optics(angle), angle.to_radians().cos());
                let off = (o.regular_transmittance - table.regular(cosine))
                    .map(f64::abs)
                    .max()
                    .max((o.diffuse_transmittance - table.diffuse(cosine)).map(f64::abs).max());
                let steep = usize::from(angle >= 70.0);
                worst[steep] = worst[steep].max(off);
            }
        }
        assert!(worst[0] < 2e-5 && worst[1] < 1e-3, "{worst:?}");
    }
}
