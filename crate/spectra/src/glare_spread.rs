//! Spread of light in the eye: how much of a bright point's light falls beside its image.
//!
//! The constants are **from memory**, not read in the publications. They are supported by the total spread, which
//! integrates to 1.00–1.09 over the half-space for ages 25–60.

/// The total point spread of the human eye, sr⁻¹: light at `angle_deg` from a point source, per steradian, as a
/// share of all the light of that point on the retina.
///
/// `angle_deg`: 0–100, the sign does not matter; `age_years`: 0–120; `pigmentation`: 0 very dark, 0.5 brown, 1
/// blue, 1.2 very light eyes. `None` outside these ranges, for a negative pigmentation, or for NaN. (Beyond 131
/// years the formula's core would become negative.)
///
/// # Source
/// Vos & van den Berg, *Report on disability glare*, CIE 135/1-1999, total glare function; constants from memory.
pub fn point_spread(angle_deg: f64, age_years: f64, pigmentation: f64) -> Option<f64> {
    let angle = angle_deg.abs();
    if angle > 100.0 || angle.is_nan() {
        return None;
    }
    let parts = scales(age_years, pigmentation)?;
    let sum: f64 = parts.iter().map(|part| part.at(angle)).sum();
    Some(sum + (1.0 + 1.6 * ageing(age_years)) * LENS_FAR * angle * angle + wall_scatter(pigmentation))
        .filter(|v| v.is_finite())
}

/// Growth of the lens's part with the square of the angle, sr⁻¹ per square degree.
const LENS_FAR: f64 = 3e-8;

fn ageing(age_years: f64) -> f64 {
    (age_years / 70.0).powi(4)
}

/// One part of the spread: `per_sr` / (1 + (θ/`degrees`)²)^(`half_powers`/2).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Scale {
    /// In the middle, sr⁻¹.
    pub per_sr: f64,
    /// Its angular scale.
    pub degrees: f64,
    /// Twice the exponent: 1, 2 or 3.
    pub half_powers: i32,
}

impl Scale {
    fn at(&self, angle_deg: f64) -> f64 {
        let beyond = 1.0 + (angle_deg / self.degrees) * (angle_deg / self.degrees);
        match self.half_powers {
            1 => self.per_sr / beyond.sqrt(),
            2 => self.per_sr / beyond,
            _ => self.per_sr / beyond.powf(1.5),
        }
    }
}

/// The parts of [`point_spread`] by their angular scales: two of the core, one of the lens, and two of the pigment.
/// In addition there are [`wall_scatter`] and a term of the lens that is less than 2 % within 30°. `None` as in
/// [`point_spread`].
pub fn scales(age_years: f64, pigmentation: f64) -> Option<[Scale; 5]> {
    let known = (0.0..=120.0).contains(&age_years) && pigmentation >= 0.0;
    let (core, lens) = (1.0 - 0.08 * ageing(age_years), 1.0 + 1.6 * ageing(age_years));
    let part = |per_sr, degrees, half_powers| Scale { per_sr, degrees, half_powers };
    known.then_some([
        part(core * 9.2e6, 0.0046, 3),
        part(core * 1.5e5, 0.045, 3),
        part(lens * 400.0, 0.1, 2),
        part(lens * pigmentation * 1300.0, 0.1, 3),
        part(lens * pigmentation * 0.8, 0.1, 1),
    ])
}

/// Light that falls uniformly everywhere, through the wall of the eye, sr⁻¹.
pub fn wall_scatter(pigmentation: f64) -> f64 {
    2.5e-3 * pigmentation
}

/// The spread's integral over the half-space in front of the eye: 1.00–1.09 for ages 20–80, where it should be 1.
/// `None` as for [`point_spread`].
pub fn total(age_years: f64, pigmentation: f64) -> Option<f64> {
    // Integrate in the logarithm of the angle: the core is 10⁵ times narrower than the half-space.
    const STEPS: u32 = 600;
    let (first, last) = (1e-5_f64.ln(), 90.0_f64.ln());
    let step = (last - first) / f64::from(STEPS);
    (0..STEPS).try_fold(0.0, |sum, k| {
        let angle_deg = (first + (f64::from(k) + 0.5) * step).exp();
        let ring = std::f64::consts::TAU * angle_deg.to_radians().sin() * angle_deg.to_radians() * step;
        Some(sum + point_spread(angle_deg, age_years, pigmentation)? * ring)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn out_of_range_input_gives_none() {
        for (angle, age, pigment) in [
            (100.1, 40.0, 0.5),
            (1.0, -1.0, 0.5),
            (1.0, 40.0, -0.1),
            (f64::NAN, 40.0, 0.5),
            (1.0, f64::NAN, 0.5),
        ] {
            assert_eq!(point_spread(angle, age, pigment), None);
        }
        assert_eq!(point_spread(1.0, 1e100, 0.5), None);
    }

    #[test]
    fn both_sides_of_the_source_are_equal() {
        assert_eq!(point_spread(-2.0, 40.0, 0.5), point_spread(2.0, 40.0, 0.5));
    }

    // 1.03488 by Simpson's rule on a grid ten times finer.
    #[test]
    fn the_total_is_near_one() {
        assert!((total(40.0, 0.5).unwrap() - 1.03488).abs() < 1e-4);
        for age in [20.0, 50.0, 80.0] {
            assert!((1.0..1.1).contains(&total(age, 0.5).unwrap()));
        }
        assert_eq!(total(f64::NAN, 0.5), None);
    }
}
