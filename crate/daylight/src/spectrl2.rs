//! Beam and diffuse spectra under a cloudless sky: the simple spectral model of Bird & Riordan (SPECTRL2).
//!
//! On five choices the printed report, its appendix and the authors' later C program differ. This follows the C
//! program, as most users do: Rayleigh constant 1.3366 (report 1.335), mixed-gas constant 118.3 (118.93), the
//! mixed-gas transmittance in the sky's own reflectance (eq. 3-8; ozone in the report), the ultraviolet correction
//! Cs once on the whole diffuse, and the air mass of Kasten & Young 1989 (Kasten 1966).

use std::sync::LazyLock;

use spectra::{GRID_FIRST_NM, GRID_STEP_NM, SAMPLES, Spectrum};

use crate::error::{DaylightError, within};

/// Wavelengths of the model, 300–4000 nm.
pub const BANDS: usize = 122;

/// The constituents of cloudless air.
///
/// [`Default`] is a fairly clean mid-latitude day: aerosol depth 0.1 at 500 nm with the rural aerosol of the
/// model's authors, water vapour and ozone of the U.S. standard atmosphere (1.42 cm, 0.344 atm-cm).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Atmosphere {
    /// Aerosol optical depth (base e, zenith) at 500 nm, 0–5: 0.05 very clean, 0.1 clean, 0.3 hazy.
    pub aod_500nm: f64,
    /// Ångström exponent: how the depth decreases with wavelength, −1 to 4.
    pub angstrom_exponent: f64,
    /// Precipitable water, cm, 0–12.
    pub precipitable_water_cm: f64,
    /// Ozone, atm-cm, 0–1 (0.3 is 300 Dobson units).
    pub ozone_atm_cm: f64,
    /// Single-scattering albedo of the aerosol at 400 nm, 0–1.
    pub single_scattering_albedo_400nm: f64,
    /// Decrease of that albedo away from 400 nm, 0–1 (eq. 3-16).
    pub wavelength_variation: f64,
    /// Asymmetry factor of the aerosol's scattering, 0–0.99.
    pub asymmetry: f64,
}

impl Default for Atmosphere {
    fn default() -> Self {
        Self {
            aod_500nm: 0.1,
            angstrom_exponent: 1.14,
            precipitable_water_cm: 1.42,
            ozone_atm_cm: 0.344,
            single_scattering_albedo_400nm: 0.945,
            wavelength_variation: 0.095,
            asymmetry: 0.65,
        }
    }
}

impl Atmosphere {
    /// # Errors
    /// [`DaylightError::OutsideRange`] naming the first field out of range.
    pub fn check(&self) -> Result<(), DaylightError> {
        within("aod_500nm", self.aod_500nm, 0.0..=5.0, "an optical depth from 0 to 5")?;
        within("angstrom_exponent", self.angstrom_exponent, -1.0..=4.0, "a number from −1 to 4")?;
        within("precipitable_water_cm", self.precipitable_water_cm, 0.0..=12.0, "centimetres from 0 to 12")?;
        within("ozone_atm_cm", self.ozone_atm_cm, 0.0..=1.0, "atmosphere-centimetres from 0 to 1")?;
        let albedo = self.single_scattering_albedo_400nm;
        within("single_scattering_albedo_400nm", albedo, 0.0..=1.0, "a share from 0 to 1")?;
        within("wavelength_variation", self.wavelength_variation, 0.0..=1.0, "a number from 0 to 1")?;
        within("asymmetry", self.asymmetry, 0.0..=0.99, "a number from 0 to 0.99")?;
        Ok(())
    }

    /// Linke-like turbidity of the sky models, T = (β + 0.04586)/0.04608, where β is the aerosol depth at 1 µm; not
    /// yet clamped to their 1–10.
    pub fn turbidity(&self) -> f64 {
        let beta = self.aod_500nm * 2.0_f64.powf(-self.angstrom_exponent);
        (beta + 0.045_86) / 0.046_08
    }
}

/// All inputs of the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spectrl2Inputs {
    /// Zenith angle of the sun with refraction, degrees, 0–90. At 90 the model's diffuse goes to zero.
    pub apparent_zenith_deg: f64,
    /// Day of the year from 1, fractions allowed; determines the distance of the sun.
    pub day_of_year: f64,
    /// Air pressure at the place, hPa.
    pub pressure_hpa: f64,
    /// The air.
    pub atmosphere: Atmosphere,
    /// Albedo of the ground by wavelength, 0–1; constant beyond 380 and 780 nm.
    pub ground_albedo: Spectrum,
}

/// Light under a cloudless sky on the project's grid, W·m⁻²·nm⁻¹.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearSpectra {
    /// Beam on a plane facing the sun.
    pub beam_normal: Spectrum,
    /// Light of the sky on a horizontal plane.
    pub diffuse_horizontal: Spectrum,
    /// Beam outside the atmosphere.
    pub extraterrestrial: Spectrum,
}

/// One wavelength of the model, W·m⁻²·nm⁻¹.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BandLight {
    /// Wavelength, nm.
    pub wavelength_nm: f64,
    /// Beam outside the atmosphere.
    pub extraterrestrial: f64,
    /// Beam on a plane facing the sun.
    pub beam_normal: f64,
    /// Light of the sky on a horizontal plane.
    pub diffuse_horizontal: f64,
}

/// What does not change with the hour, for one wavelength.
#[derive(Clone, Copy, Default)]
struct Band {
    nm: f64,
    solar: f64,
    water: f64,
    ozone: f64,
    mixed: f64,
    /// Rayleigh depth at standard pressure (eq. 2-4).
    rayleigh: f64,
    /// ln(λ/500 nm), for the aerosol depth (eq. 2-7).
    ln_500: f64,
    /// ln²(λ/400 nm), for the aerosol's albedo (eq. 3-16).
    ln2_400: f64,
    /// Ultraviolet correction of the diffuse (eq. 3-17).
    cs: f64,
}

/// Source of the columns: `data/README.md`.
static TABLE: LazyLock<[Band; BANDS]> = LazyLock::new(|| {
    let mut bands = [Band::default(); BANDS];
    let rows = crate::table::rows(include_str!("../data/spectrl2_coefficients.csv"));
    for (band, row) in bands.iter_mut().zip(rows) {
        let [nm, solar, water, ozone, mixed] = row;
        let um = nm / 1000.0;
        *band = Band {
            nm,
            solar,
            water,
            ozone,
            mixed,
            rayleigh: 1.0 / (um.powi(4) * (115.6406 - 1.3366 / (um * um))),
            ln_500: (nm / 500.0).ln(),
            ln2_400: (nm / 400.0).ln().powi(2),
            cs: if nm <= 450.0 { ((nm + 550.0) / 1000.0).powf(1.8) } else { 1.0 },
        };
    }
    bands
});

/// First band needed for the project's grid, and the one beyond the last: 380–780 nm.
static VISIBLE: LazyLock<(usize, usize)> = LazyLock::new(|| {
    let first = TABLE.partition_point(|b| b.nm <= GRID_FIRST_NM).saturating_sub(1);
    let end = TABLE.partition_point(|b| b.nm < GRID_FIRST_NM + GRID_STEP_NM * (SAMPLES - 1) as f64) + 1;
    (first, end.min(BANDS))
});

/// For each sample of the grid: the band before it, and the fraction of the way to the next.
static GRID: LazyLock<[(usize, f64); SAMPLES]> = LazyLock::new(|| {
    std::array::from_fn(|i| {
        let nm = GRID_FIRST_NM + GRID_STEP_NM * i as f64;
        let before = TABLE.partition_point(|b| b.nm <= nm).clamp(1, BANDS - 1) - 1;
        (before, (nm - TABLE[before].nm) / (TABLE[before + 1].nm - TABLE[before].nm))
    })
});

/// Values that do not depend on wavelength.
struct Setting {
    cos_zenith: f64,
    distance: f64,
    air_mass: f64,
    ozone_mass: f64,
    pressure_ratio: f64,
    forward: f64,
    forward_prime: f64,
    atmosphere: Atmosphere,
}

impl Setting {
    fn new(inputs: &Spectrl2Inputs) -> Result<Self, DaylightError> {
        let zenith =
            within("apparent_zenith_deg", inputs.apparent_zenith_deg, 0.0..=90.0, "degrees from 0 to 90")?;
        let day = within("day_of_year", inputs.day_of_year, 1.0..=367.0, "a day from 1 to 366")?;
        let pressure =
            within("pressure_hpa", inputs.pressure_hpa, 0.0..=1200.0, "hectopascals from 0 to 1200")?;
        inputs.atmosphere.check()?;
        for &albedo in inputs.ground_albedo.samples() {
            within("ground_albedo", albedo, 0.0..=1.0, "shares from 0 to 1")?;
        }
        let cos_zenith = zenith.to_radians().cos().max(0.0);
        let g = (1.0 - inputs.atmosphere.asymmetry).ln();
        let afs = g * (1.459 + g * (0.1595 + g * 0.4129));
        let bfs = g * (0.0783 + g * (-0.3824 - g * 0.5874));
        let height = 22.0 / 6370.0;
        Ok(Self {
            cos_zenith,
            distance: distance_factor(day),
            air_mass: relative_air_mass(zenith),
            ozone_mass: (1.0 + height) / (cos_zenith * cos_zenith + 2.0 * height).sqrt(),
            pressure_ratio: pressure / 1013.0,
            forward: 1.0 - 0.5 * ((afs + bfs * cos_zenith) * cos_zenith).exp(),
            forward_prime: 1.0 - 0.5 * ((afs + bfs / 1.8) / 1.8).exp(),
            atmosphere: inputs.atmosphere,
        })
    }

    fn band(&self, band: &Band, ground: f64) -> BandLight {
        let air = &self.atmosphere;
        let (m, m_pressure) = (self.air_mass, self.air_mass * self.pressure_ratio);
        let aerosol = air.aod_500nm * (-air.angstrom_exponent * band.ln_500).exp();
        let albedo = air.single_scattering_albedo_400nm * (-air.wavelength_variation * band.ln2_400).exp();
        let (scattered, absorbed) = (albedo * aerosol, (1.0 - albedo) * aerosol);
        // Transmittances at the sun's air mass, then (primed) at 1.8 for the sky's own reflectance.
        let rayleigh = band.rayleigh * m_pressure;
        let t_rayleigh = (-rayleigh).exp();
        let (t_scattered, t_absorbed) = ((-scattered * m).exp(), (-absorbed * m).exp());
        let t_gases = gas(band.water * air.precipitable_water_cm * m, 0.2385, 20.07)
            * (-band.ozone * air.ozone_atm_cm * self.ozone_mass).exp()
            * gas(band.mixed * m_pressure, 1.41, 118.3);
        let t_rayleigh_1 = (-band.rayleigh * 1.8 * self.pressure_ratio).exp();
        let sky_reflectance = gas(band.mixed * 1.8 * self.pressure_ratio, 1.41, 118.3)
            * gas(band.water * air.precipitable_water_cm * 1.8, 0.2385, 20.07)
            * (-absorbed * 1.8).exp()
            * (0.5 * (1.0 - t_rayleigh_1)
                + (1.0 - self.forward_prime) * t_rayleigh_1 * (1.0 - (-scattered * 1.8).exp()));

        let extraterrestrial = band.solar * self.distance;
        let beam = extraterrestrial * t_rayleigh * t_scattered * t_absorbed * t_gases;
        let common = extraterrestrial * self.cos_zenith * t_gases * t_absorbed;
        let by_air = common * (1.0 - (-0.95 * rayleigh).exp()) * 0.5;
        let by_aerosol = common * (-1.5 * rayleigh).exp() * (1.0 - t_scattered) * self.forward;
        let once = beam * self.cos_zenith + by_air + by_aerosol;
        let by_ground = once * sky_reflectance * ground / (1.0 - sky_reflectance * ground);
        BandLight {
            wavelength_nm: band.nm,
            extraterrestrial,
            beam_normal: beam,
            diffuse_horizontal: (by_air + by_aerosol + by_ground) * band.cs,
        }
    }
}

/// exp(−k·x/(1 + s·x)^0.45): water vapour (eq. 2-8) and mixed gases (eq. 2-11).
fn gas(x: f64, k: f64, s: f64) -> f64 {
    // Most visible bands contain neither, and the power is the most expensive step of all.
    if x == 0.0 { 1.0 } else { (-k * x / (1.0 + s * x).powf(0.45)).exp() }
}

/// Relative optical air mass of an apparent zenith angle in degrees, 0–90: 1 to 37.9.
///
/// # Source
/// Kasten & Young 1989, *Revised optical air mass tables and approximation formula*, Appl. Opt. 28, 4735, eq. 3.
pub fn relative_air_mass(apparent_zenith_deg: f64) -> f64 {
    let zenith = apparent_zenith_deg.clamp(0.0, 90.0);
    1.0 / (zenith.to_radians().cos() + 0.505_72 * (96.079_95 - zenith).powf(-1.6364))
}

/// Square of the ratio of the mean to the actual distance of the sun.
///
/// # Source
/// Spencer 1971, *Fourier series representation of the position of the sun*, Search 2(5), 172; eq. 2-2, 2-3 of the
/// model's report.
fn distance_factor(day_of_year: f64) -> f64 {
    let d = std::f64::consts::TAU * (day_of_year - 1.0) / 365.0;
    1.000_11
        + 0.034_221 * d.cos()
        + 0.001_28 * d.sin()
        + 0.000_719 * (2.0 * d).cos()
        + 0.000_077 * (2.0 * d).sin()
}

/// Beam and diffuse light under a cloudless sky, 380–780 nm by 5 nm: the model's wavelengths (5 and 10 nm apart
/// there, farther at the end) joined by straight lines.
///
/// # Errors
/// [`DaylightError::OutsideRange`] naming the input.
///
/// # Source
/// Bird & Riordan, *Simple solar spectral model for direct and diffuse irradiance on horizontal and tilted planes
/// at the earth's surface for cloudless atmospheres*, SERI/TR-215-2436, 1984; J. Climate Appl. Meteor. 25 (1986)
/// 87–97. Equation numbers are the report's.
pub fn spectrl2(inputs: &Spectrl2Inputs) -> Result<ClearSpectra, DaylightError> {
    let setting = Setting::new(inputs)?;
    let (first, end) = *VISIBLE;
    let mut bands = [BandLight::default(); BANDS];
    for (light, band) in bands[first..end].iter_mut().zip(&TABLE[first..end]) {
        *light = setting.band(band, albedo_at(&inputs.ground_albedo, band.nm));
    }
    let on_grid = |pick: fn(&BandLight) -> f64| {
        Spectrum::new(GRID.map(|(before, share)| {
            pick(&bands[before]) + share * (pick(&bands[before + 1]) - pick(&bands[before]))
        }))
    };
    Ok(ClearSpectra {
        beam_normal: on_grid(|b| b.beam_normal),
        diffuse_horizontal: on_grid(|b| b.diffuse_horizontal),
        extraterrestrial: on_grid(|b| b.extraterrestrial),
    })
}

/// The same at all 122 wavelengths of the model, 300–4000 nm.
///
/// # Errors
/// As [`spectrl2`].
pub fn spectrl2_bands(inputs: &Spectrl2Inputs) -> Result<[BandLight; BANDS], DaylightError> {
    let setting = Setting::new(inputs)?;
    let mut lights = [BandLight::default(); BANDS];
    for (light, band) in lights.iter_mut().zip(TABLE.iter()) {
        *light = setting.band(band, albedo_at(&inputs.ground_albedo, band.nm));
    }
    Ok(lights)
}

fn albedo_at(albedo: &Spectrum, nm: f64) -> f64 {
    let at = ((nm - GRID_FIRST_NM) / GRID_STEP_NM).clamp(0.0, (SAMPLES - 1) as f64);
    let before = (at as usize).min(SAMPLES - 2);
    albedo[before] + (at - before as f64) * (albedo[before + 1] - albedo[before])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_complete() {
        assert_eq!((TABLE[0].nm, TABLE[BANDS - 1].nm), (300.0, 4000.0));
        assert!(TABLE.windows(2).all(|w| w[0].nm < w[1].nm));
        assert!(TABLE.iter().all(|b| b.solar > 0.0));
        let (first, end) = *VISIBLE;
        assert!(TABLE[first].nm <= 380.0 && TABLE[end - 1].nm >= 780.0);
    }

    #[test]
    fn the_grid_and_the_bands_agree_where_they_meet() {
        let inputs = Spectrl2Inputs {
            apparent_zenith_deg: 50.0,
            day_of_year: 100.0,
            pressure_hpa: 1013.0,
            atmosphere: Atmosphere::default(),
            ground_albedo: Spectrum::from_fn(|nm| nm / 2000.0),
        };
        let (grid, bands) = (spectrl2(&inputs).unwrap(), spectrl2_bands(&inputs).unwrap());
        let mut met = 0;
        for (i, nm) in spectra::wavelengths_nm().enumerate() {
            if let Some(b) = bands.iter().find(|b| (b.wavelength_nm - nm).abs() < 1e-9) {
                met += 1;
                assert!((grid.beam_normal[i] - b.beam_normal).abs() < 1e-14);
                assert!((grid.diffuse_horizontal[i] - b.diffuse_horizontal).abs() < 1e-14);
            }
        }
        assert!(met > 20);
    }
}
