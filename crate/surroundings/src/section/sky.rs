//! The sky integrated along an endless street.

use std::f64::consts::PI;

use plane::RoomVector;

use crate::quadrature::gauss;

/// Panels between the two horizons.
const PANELS: usize = 180;
/// Points of the rule along the street.
const ALONG: usize = 48;

/// A sky as a strip endless along x gets it. With φ the angle in the section, from the outward normal over the zenith
/// to behind, and ψ the angle along the street, a strip with its normal at ν gets
/// E = ∫ cos(φ − ν) G(φ) dφ with G(φ) = ∫ L cos²ψ dψ; held are the running integrals of cos φ · G and sin φ · G.
#[derive(Clone, Debug)]
pub(super) struct AcrossSky {
    /// G at the ends and middles of the panels.
    along: Vec<f64>,
    /// Integrals up to the beginning of each panel.
    until: Vec<[f64; 2]>,
}

impl AcrossSky {
    pub(super) fn new(luminance: &(dyn Fn(RoomVector) -> f64 + Sync)) -> Self {
        let rule: Vec<(f64, f64, f64)> = gauss(ALONG)
            .into_iter()
            .map(|(x, w)| {
                let (sin, cos) = ((x - 0.5) * PI).sin_cos();
                (sin, cos, w * PI * cos * cos)
            })
            .collect();
        let along: Vec<f64> = (0..=2 * PANELS)
            .map(|i| {
                let (sin, cos) = (PI * i as f64 / (2 * PANELS) as f64).sin_cos();
                let at = |s: f64, c: f64| luminance(RoomVector::new(s, c * sin.max(0.0), -c * cos));
                rule.iter().map(|&(s, c, w)| w * at(s, c)).sum()
            })
            .collect();
        let mut sky = Self { along, until: vec![[0.0; 2]] };
        for panel in 0..PANELS {
            let [c, s] = sky.part_of(panel, 1.0);
            let [c0, s0] = sky.until[panel];
            sky.until.push([c0 + c, s0 + s]);
        }
        sky
    }

    /// Illuminance of a strip with its normal at the angle `normal`, by the sky between two angles.
    pub(super) fn between(&self, normal: f64, from: f64, to: f64) -> f64 {
        if to <= from {
            return 0.0;
        }
        let ([c0, s0], [c1, s1]) = (self.up_to(from), self.up_to(to));
        let (sin, cos) = normal.sin_cos();
        (cos * (c1 - c0) + sin * (s1 - s0)).max(0.0)
    }

    fn up_to(&self, angle: f64) -> [f64; 2] {
        let place = (angle / PI).clamp(0.0, 1.0) * PANELS as f64;
        let panel = (place as usize).min(PANELS - 1);
        let [c, s] = self.part_of(panel, place - panel as f64);
        [self.until[panel][0] + c, self.until[panel][1] + s]
    }

    /// Integral over the first `share` of a panel, of the parabola through its ends and its middle (Simpson's rule for
    /// a whole panel).
    fn part_of(&self, panel: usize, share: f64) -> [f64; 2] {
        let step = PI / PANELS as f64;
        let angle = |k: usize| (panel as f64 + k as f64 / 2.0) * step;
        let parabola = |f: [f64; 3]| {
            let slope = -3.0 * f[0] + 4.0 * f[1] - f[2];
            let bend = 2.0 * f[0] - 4.0 * f[1] + 2.0 * f[2];
            step * share * (f[0] + share * (slope / 2.0 + share * bend / 3.0))
        };
        let value = |k: usize, part: fn(f64) -> f64| part(angle(k)) * self.along[2 * panel + k];
        [
            parabola([value(0, f64::cos), value(1, f64::cos), value(2, f64::cos)]),
            parabola([value(0, f64::sin), value(1, f64::sin), value(2, f64::sin)]),
        ]
    }
}
