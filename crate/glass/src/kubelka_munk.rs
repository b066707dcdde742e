//! A layer that absorbs and scatters diffuse light, going up and down.

/// Diffuse transmittance and reflectance of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiffuseLayer {
    /// Share transmitted.
    pub transmittance: f64,
    /// Share reflected, with nothing behind the layer.
    pub reflectance: f64,
}

impl DiffuseLayer {
    /// Optical density of the layer for diffuse light, base 10.
    pub fn density(&self) -> f64 {
        -self.transmittance.log10()
    }

    /// With `behind` on its far side: T = T₁T₂/(1 − R₁R₂), seen from this side.
    pub fn over(&self, behind: &Self) -> Self {
        let series = 1.0 / (1.0 - self.reflectance * behind.reflectance);
        Self {
            transmittance: self.transmittance * behind.transmittance * series,
            reflectance: self.reflectance + self.transmittance.powi(2) * behind.reflectance * series,
        }
    }
}

/// Transmittance and reflectance of a layer that absorbs and scatters diffuse light.
///
/// `absorption` K and `scattering` S in 1/mm (natural base, for diffuse light: K is about twice what a beam along
/// the normal would lose, from memory), `thickness_mm` X. Negative arguments count as 0.
///
/// a = 1 + K/S, b = √(a²−1): T = b/(a sinh bSX + b cosh bSX), R = sinh bSX/(the same). K = 0 gives
/// T = 1/(1+SX), S = 0 gives T = e^(−KX).
///
/// # Source
/// Kubelka 1948, J. Opt. Soc. Am. 38, 448.
pub fn kubelka_munk(absorption: f64, scattering: f64, thickness_mm: f64) -> DiffuseLayer {
    let (k, s, x) = (absorption.max(0.0), scattering.max(0.0), thickness_mm.max(0.0));
    // b·S = √(K(K+2S)); dividing everything by it leaves a form that also holds as K or S goes to 0.
    let exponent = (k * (k + 2.0 * s)).sqrt();
    let y = exponent * x;
    // sinh(y)/y·x, cosh(y), both divided by e^y so that thick layers do not overflow.
    let shrink = (-y).exp();
    let cosh = 0.5 * (1.0 + shrink * shrink);
    let sinh_over =
        if y < 1e-4 { x * (1.0 + y * y / 6.0) * shrink } else { 0.5 * -(-2.0 * y).exp_m1() / exponent };
    let denominator = (k + s) * sinh_over + cosh;
    DiffuseLayer { transmittance: shrink / denominator, reflectance: s * sinh_over / denominator }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_without_absorption_and_without_scattering() {
        let white = kubelka_munk(0.0, 10.0, 0.05);
        assert!(
            (white.transmittance - 1.0 / 1.5).abs() < 1e-14 && (white.reflectance - 0.5 / 1.5).abs() < 1e-14
        );
        let clear = kubelka_munk(2.0, 0.0, 0.5);
        assert!((clear.transmittance - (-1f64).exp()).abs() < 1e-14 && clear.reflectance.abs() < 1e-15);
        let thick = kubelka_munk(50.0, 10.0, 1e3);
        assert!(thick.transmittance.abs() < 1e-300 && thick.reflectance.is_finite());
    }

    #[test]
    fn two_half_layers_make_one() {
        let half = kubelka_munk(20.0, 30.0, 0.02);
        let whole = kubelka_munk(20.0, 30.0, 0.04);
        let stacked = half.over(&half);
        assert!((stacked.transmittance - whole.transmittance).abs() < 1e-13);
        assert!((stacked.reflectance - whole.reflectance).abs() < 1e-13);
    }
}
