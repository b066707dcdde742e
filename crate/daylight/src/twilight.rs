//! Light when the sun is near or below the horizon, where the clear-sky model ends.

/// Light of the dome on a moonless night, lx: the value that the twilight curve below reaches at −18° (airglow and
/// stars). Moon, street lamps and lit windows are left out.
pub const NIGHT_ILLUMINANCE_LX: f64 = 6.5e-4;

/// True altitude of the sun below which twilight ends, degrees.
pub const NIGHT_BELOW_DEG: f64 = -18.0;

/// True altitude of the sun from which the clear-sky spectra are used at their own level, degrees.
///
/// Below it they decrease with the sine of the altitude and vanish at the horizon, where a real sky still gives
/// hundreds of lux.
pub const CLEAR_MODEL_FROM_DEG: f64 = 5.0;

/// Illuminance on open ground from sun and sky in clear weather, lx, sun at a true altitude of −90 to 90°.
///
/// Pieces as published, which agree within a few per cent where they meet. There they are blended over 0.4°, so
/// that a curve through the evening has no step. Constant at [`NIGHT_ILLUMINANCE_LX`] below −18°.
///
/// # Source
/// Janiczek & DeYoung, *Computer programs for sun and moon illuminance*, U.S. Naval Observatory Circular 171,
/// 1987; also Seidelmann (ed.), *Explanatory Supplement to the Astronomical Almanac*, 1992, section 9.3. The
/// coefficients are from memory, and were then found equal in several independent public programs.
pub fn clear_illuminance_lx(true_altitude_deg: f64) -> f64 {
    // Start of the piece, degrees; coefficients of log10 E over altitude/90°.
    const PIECES: [(f64, [f64; 4]); 6] = [
        (20.0, [3.74, 3.97, -4.07, 1.47]),
        (5.0, [3.05, 13.28, -45.98, 64.33]),
        (-0.8, [2.88, 22.26, -207.64, 1034.30]),
        (-5.0, [2.88, 21.81, -258.11, -858.36]),
        (-12.0, [2.70, 12.17, -431.69, -1899.83]),
        (-18.0, [13.84, 262.72, 1447.42, 2797.93]),
    ];
    const HALF_FADE_DEG: f64 = 0.2;
    let h = true_altitude_deg.min(90.0);
    let x = h / 90.0;
    let log = |c: [f64; 4]| c[0] + x * (c[1] + x * (c[2] + x * c[3]));
    let night = NIGHT_ILLUMINANCE_LX.log10();
    let mut value = night;
    for (from, coefficients) in PIECES.into_iter().rev() {
        let above = smoothstep(from - HALF_FADE_DEG, from + HALF_FADE_DEG, h);
        if above == 0.0 {
            break;
        }
        value += above * (log(coefficients) - value);
    }
    10.0_f64.powf(value.max(night))
}

/// 0 up to `from`, 1 at and above `to`, in between 3t² − 2t³.
pub(crate) fn smoothstep(from: f64, to: f64, x: f64) -> f64 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: the published curve at the ends of twilight, as printed in almanacs (3.4 lx civil, 0.008 lx
    // nautical), and 400 lx around sunset; from memory, hence 15 %.
    #[test]
    fn known_points() {
        for (altitude, lx) in [(-0.833, 450.0), (-6.0, 3.4), (-12.0, 0.008), (-18.0, 6.5e-4), (-40.0, 6.5e-4)]
        {
            let found = clear_illuminance_lx(altitude);
            assert!((found / lx - 1.0).abs() < 0.15, "{altitude}: {found}");
        }
    }

    #[test]
    fn light_rises_with_the_sun_without_a_step() {
        let mut last = clear_illuminance_lx(-30.0);
        for i in 1..12_000 {
            let here = clear_illuminance_lx(-30.0 + 0.01 * f64::from(i));
            assert!(
                here >= last * (1.0 - 1e-12) && here <= last * 1.03,
                "{}: {last} {here}",
                -30.0 + 0.01 * f64::from(i)
            );
            last = here;
        }
    }
}
