//! Spread of light in the eye: how much of a bright point's light falls beside its image.
//!
//! The constants are **from memory**, not read in the publications; what speaks for them is that the total
//! spread integrates to 1.00–1.09 over the half-space for ages 25–60.

/// The total point spread of the human eye, sr⁻¹: light at `angle_deg` from a point source, per steradian, as a
/// part of all the light of that point on the retina.
///
/// `angle_deg`: 0–100, the sign does not matter; `age_years`: 0–120; `pigmentation`: 0 very dark, 0.5 brown, 1 blue,
/// 1.2 very light eyes. `None` outside, for a negative pigmentation
/// or where one is no number. (Beyond 131 years the formula's core would turn negative.)
///
/// # Source
/// Vos & van den Berg, *Report on disability glare*, CIE 135/1-1999, total glare function; constants from memory.
pub fn point_spread(angle_deg: f64, age_years: f64, pigmentation: f64) -> Option<f64> {
    let angle = angle_deg.abs();
    if !(angle <= 100.0 && (0.0..=120.0).contains(&age_years) && pigmentation >= 0.0) {
        return None;
    }
    let age = (age_years / 70.0).powi(4);
    // One part for each angular scale, degrees.
    let beyond = |scale: f64| 1.0 + (angle / scale) * (angle / scale);
    let core = 9.2e6 / beyond(0.0046).powf(1.5) + 1.5e5 / beyond(0.045).powf(1.5);
    let lens = 400.0 / beyond(0.1) + 3e-8 * angle * angle;
    let wall = 1300.0 / beyond(0.1).powf(1.5) + 0.8 / beyond(0.1).sqrt();
    Some((1.0 - 0.08 * age) * core + (1.0 + 1.6 * age) * (lens + pigmentation * wall) + 2.5e-3 * pigmentation)
        .filter(|v| v.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outside_its_range_there_is_none() {
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
    fn both_sides_of_the_source_are_alike() {
        assert_eq!(point_spread(-2.0, 40.0, 0.5), point_spread(2.0, 40.0, 0.5));
    }
}
