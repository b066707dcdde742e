//! The clear sky of Hošek & Wilkie: spectral radiance by direction, fitted to a brute-force simulation of the
//! atmosphere. This is the published model; [`crate::ClearSky`] scales it to the beam and diffuse light used here.

use std::sync::LazyLock;

use crate::error::{DaylightError, within};

/// Wavelengths of the model.
pub const NODES: usize = 11;
/// First wavelength, nm.
pub const FIRST_NM: f64 = 320.0;
/// Distance between wavelengths, nm.
pub const STEP_NM: f64 = 40.0;

const TURBIDITIES: usize = 10;
const CONTROLS: usize = 6;
/// Nine coefficients A…I and the mean radiance.
const FIGURES: usize = 10;

type Nodes = [f64; NODES];

/// [turbidity − 1][albedo 0 or 1][control point][wavelength][figure]
type Coefficients = [[[[[f64; FIGURES]; NODES]; CONTROLS]; 2]; TURBIDITIES];

/// The coefficients as `data/hosek_wilkie_coefficients.csv` has them, to the last digit, in a form that takes a fifth
/// less of the page's module: signs and powers of ten on the first line, a letter for each (`A` is +10⁰, `B` +10¹…; `a`
/// is −10⁰…; all times 10⁻¹⁹), seven digits for each on the second. Ordered by figure, wavelength, turbidity, albedo and
/// control point.
const PACKED: &str = include_str!("../data/hosek_wilkie_packed.txt");
const DIGITS: usize = 7;
/// Power of ten of the letters `A` and `a`.
const LEAST_POWER: i32 = -19;

static COEFFICIENTS: LazyLock<Box<Coefficients>> = LazyLock::new(|| {
    let mut all = Box::new([[[[[0.0; FIGURES]; NODES]; CONTROLS]; 2]; TURBIDITIES]);
    let (letters, digits) = PACKED.split_once('\n').unwrap_or_default();
    for (at, letter) in letters.bytes().enumerate() {
        let whole = digits.get(at * DIGITS..(at + 1) * DIGITS).unwrap_or_default();
        let (sign, first) = if letter.is_ascii_lowercase() { ("-", b'a') } else { ("", b'A') };
        let power = i32::from(letter) - i32::from(first) + LEAST_POWER;
        *coefficient(&mut all, at) = format!("{sign}{whole}e{power}").parse().unwrap_or_default();
    }
    all
});

/// The coefficient at a position of the packed table.
fn coefficient(all: &mut Coefficients, at: usize) -> &mut f64 {
    let (at, control) = (at / CONTROLS, at % CONTROLS);
    let (at, albedo) = (at / 2, at % 2);
    let (at, turbidity) = (at / TURBIDITIES, at % TURBIDITIES);
    let (figure, node) = (at / NODES, at % NODES);
    &mut all[turbidity][albedo][control][node][figure]
}

/// The model with turbidity, ground and sun fixed, ready for many directions.
#[derive(Clone, Debug, PartialEq)]
pub struct HosekWilkie {
    /// Figures A…I by wavelength.
    figure: [Nodes; 9],
    radiance: Nodes,
    sun_altitude: f64,
}

/// The part of the pattern that depends only on how high a direction lies.
pub(crate) struct Height {
    gradation: Nodes,
    zenith: Nodes,
}

impl HosekWilkie {
    /// `turbidity` 1–10, `albedo` of the ground 0–1 at each of the 11 wavelengths, `sun_altitude_deg` 0–90.
    ///
    /// # Errors
    /// [`DaylightError::OutsideRange`].
    ///
    /// # Source
    /// Hošek & Wilkie, *An Analytic Model for Full Spectral Sky-Dome Radiance*, ACM Trans. Graph. 31(4), 2012:
    /// quintic Bézier in (altitude/90°)^⅓ over six control points, linear in turbidity and albedo.
    pub fn new(turbidity: f64, albedo: &[f64; NODES], sun_altitude_deg: f64) -> Result<Self, DaylightError> {
        within("turbidity", turbidity, 1.0..=10.0, "a turbidity from 1 to 10")?;
        within("sun_altitude_deg", sun_altitude_deg, 0.0..=90.0, "degrees from 0 to 90")?;
        for &share in albedo {
            within("ground_albedo", share, 0.0..=1.0, "shares from 0 to 1")?;
        }
        let x = (sun_altitude_deg / 90.0).cbrt();
        let y = 1.0 - x;
        let bezier = [
            y.powi(5),
            5.0 * y.powi(4) * x,
            10.0 * y.powi(3) * x * x,
            10.0 * y * y * x.powi(3),
            5.0 * y * x.powi(4),
            x.powi(5),
        ];
        let below = (turbidity as usize).clamp(1, TURBIDITIES - 1);
        let share = turbidity - below as f64;
        let mut figures = [[0.0; NODES]; FIGURES];
        for (step, w_turbidity) in [(0, 1.0 - share), (1, share)] {
            for (ground, control) in COEFFICIENTS[below - 1 + step].iter().enumerate() {
                for (point, w_altitude) in control.iter().zip(bezier) {
                    for (node, cell) in point.iter().enumerate() {
                        let w_albedo = if ground == 0 { 1.0 - albedo[node] } else { albedo[node] };
                        let weight = w_turbidity * w_altitude * w_albedo;
                        for (sum, value) in figures.iter_mut().zip(cell) {
                            sum[node] += weight * value;
                        }
                    }
                }
            }
        }
        let [a, b, c, d, e, f, g, h, i, radiance] = figures;
        Ok(Self {
            figure: [a, b, c, d, e, f, g, h, i],
            radiance,
            sun_altitude: sun_altitude_deg.to_radians(),
        })
    }

    /// Spectral radiance, W·m⁻²·sr⁻¹·nm⁻¹, at 320…720 nm by 40, toward a direction at `cos_zenith` (0–1),
    /// `from_sun` radians away from the sun.
    #[inline]
    pub(crate) fn radiance(&self, cos_zenith: f64, from_sun: f64, cos_from_sun: f64) -> Nodes {
        self.radiance_at(&self.height(cos_zenith), from_sun, cos_from_sun)
    }

    /// What [`Self::radiance`] needs of the height of a direction, for many directions at the same height.
    #[inline]
    pub(crate) fn height(&self, cos_zenith: f64) -> Height {
        let [a, b, .., h, _] = &self.figure;
        let inverse = 1.0 / (cos_zenith + 0.01);
        let root = cos_zenith.sqrt();
        Height {
            gradation: std::array::from_fn(|k| 1.0 + a[k] * (b[k] * inverse).exp()),
            zenith: h.map(|h| h * root),
        }
    }

    /// [`Self::radiance`] at a height.
    #[inline]
    pub(crate) fn radiance_at(&self, height: &Height, from_sun: f64, cos_from_sun: f64) -> Nodes {
        let [_, _, c, d, e, f, g, _, i] = &self.figure;
        let Height { gradation, zenith } = height;
        let cos2 = cos_from_sun * cos_from_sun;
        std::array::from_fn(|k| {
            let lobe = 1.0 + i[k] * i[k] - 2.0 * i[k] * cos_from_sun;
            let lobe = if lobe > 1e-12 { lobe } else { 1e-12 };
            let aureole = (1.0 + cos2) / (lobe * lobe.sqrt());
            gradation[k]
                * (c[k] + d[k] * (e[k] * from_sun).exp() + f[k] * cos2 + g[k] * aureole + zenith[k])
                * self.radiance[k]
        })
    }

    /// The same toward (zenith angle, azimuth from the sun), degrees; below the horizon counts as on it.
    pub fn radiance_toward(&self, zenith_deg: f64, azimuth_from_sun_deg: f64) -> Nodes {
        let (sin_z, cos_z) = zenith_deg.clamp(0.0, 90.0).to_radians().sin_cos();
        let (sin_s, cos_s) = self.sun_altitude.sin_cos();
        let cos_from_sun =
            (sin_s * cos_z + cos_s * sin_z * azimuth_from_sun_deg.to_radians().cos()).clamp(-1.0, 1.0);
        self.radiance(cos_z.max(0.0), cos_from_sun.acos(), cos_from_sun)
    }
}

/// Spectral radiance of the model itself, W·m⁻²·sr⁻¹·nm⁻¹, 11 values from 320 to 720 nm by 40 for each direction
/// (zenith angle, azimuth from the sun), degrees. `turbidity` 1–10, `ground_albedo` 0–1, sun at 0–90°.
///
/// # Errors
/// [`DaylightError::OutsideRange`]; also for a zenith angle beyond 0–90.
///
/// # Source
/// As [`HosekWilkie::new`].
pub fn raw(
    turbidity: f64,
    ground_albedo: f64,
    sun_altitude_deg: f64,
    directions: &[[f64; 2]],
) -> Result<Vec<[f64; NODES]>, DaylightError> {
    let model = HosekWilkie::new(turbidity, &[ground_albedo; NODES], sun_altitude_deg)?;
    directions
        .iter()
        .map(|&[zenith, azimuth]| {
            within("zenith_deg", zenith, 0.0..=90.0, "degrees from 0 to 90")?;
            within("azimuth_from_sun_deg", azimuth, -720.0..=720.0, "degrees from −720 to 720")?;
            Ok(model.radiance_toward(zenith, azimuth))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published table by position: its cells as text.
    fn published() -> Vec<Vec<&'static str>> {
        let table = include_str!("../data/hosek_wilkie_coefficients.csv");
        table.lines().skip(1).map(|row| row.split(',').skip(4).collect()).collect()
    }

    /// Sign, seven digits and the power of ten that they are multiplied by.
    fn scientific(number: &str) -> (bool, String, i32) {
        let (number, power) = number.split_once('e').unwrap_or((number, "0"));
        let (whole, part) = number.split_once('.').unwrap_or((number, ""));
        let all = format!("{}{part}", whole.trim_start_matches('-'));
        let digits = all.trim_start_matches('0');
        let power = power.parse::<i32>().unwrap() - part.len() as i32 - (DIGITS - digits.len()) as i32;
        (number.starts_with('-'), format!("{digits:0<DIGITS$}"), power)
    }

    #[test]
    fn the_packed_coefficients_are_the_published_ones() {
        // Cells in the order of the packed table, by putting the position of each into a table of positions.
        let mut positions = Box::new([[[[[0.0; FIGURES]; NODES]; CONTROLS]; 2]; TURBIDITIES]);
        let count = published().len() * FIGURES;
        for at in 0..count {
            *coefficient(&mut positions, at) = at as f64;
        }
        let mut cells = vec![""; count];
        let places = positions.iter().flatten().flatten().flatten();
        for (row, place) in published().into_iter().zip(places) {
            row.into_iter().zip(place).for_each(|(cell, at)| cells[*at as usize] = cell);
        }
        let (mut letters, mut all) = (String::new(), String::new());
        for (negative, digits, power) in cells.into_iter().map(scientific) {
            let letter = u8::try_from(power - LEAST_POWER).unwrap() + if negative { b'a' } else { b'A' };
            letters.push(char::from(letter));
            all += &digits;
        }
        let packed = format!("{letters}\n{all}\n");
        if std::env::var_os("UPDATE_TABLES").is_some() {
            let file = concat!(env!("CARGO_MANIFEST_DIR"), "/data/hosek_wilkie_packed.txt");
            std::fs::write(file, &packed).unwrap();
        }
        assert!(packed == PACKED, "run `UPDATE_TABLES=1 cargo test -p daylight` and commit the table");
        let read = COEFFICIENTS.iter().flatten().flatten().flatten();
        for (row, values) in published().into_iter().zip(read) {
            for (cell, value) in row.into_iter().zip(values) {
                assert_eq!(cell.parse::<f64>().unwrap().to_bits(), value.to_bits(), "{cell}");
            }
        }
    }

    #[test]
    fn all_coefficients_are_read() {
        let flat: Vec<f64> = COEFFICIENTS.iter().flatten().flatten().flatten().flatten().copied().collect();
        assert_eq!(flat.len(), 13_200);
        assert!((flat[0] + 13.410_49).abs() < 1e-12 && flat.iter().all(|v| v.is_finite()));
        assert!(COEFFICIENTS.iter().flatten().flatten().flatten().all(|c| c[9] != 0.0));
    }
}
