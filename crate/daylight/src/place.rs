use crate::error::{DaylightError, within};

/// A place on earth, and its air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Latitude, degrees, −90 to 90, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, −180 to 180, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m, −500 to 9000.
    pub elevation_m: f64,
    /// Air pressure at the place, hPa; by default that of the standard atmosphere at its height.
    pub pressure_hpa: Option<f64>,
    /// Air temperature, °C; by default 12 (the SPA report's own example of a yearly mean).
    pub temperature_c: Option<f64>,
}

impl Place {
    /// At sea level in standard air.
    pub const fn at(latitude_deg: f64, longitude_deg: f64) -> Self {
        Self { latitude_deg, longitude_deg, elevation_m: 0.0, pressure_hpa: None, temperature_c: None }
    }

    /// Air pressure, hPa: as given, or of the standard atmosphere, 1013.25·(1 − 2.25577e-5·h)^5.25588.
    ///
    /// # Source
    /// ICAO standard atmosphere (1993), troposphere; constants from memory.
    pub fn pressure_hpa(&self) -> f64 {
        self.pressure_hpa
            .unwrap_or_else(|| 1013.25 * (1.0 - 2.25577e-5 * self.elevation_m).max(0.0).powf(5.25588))
    }

    /// Air temperature, °C: as given, or 12.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c.unwrap_or(12.0)
    }

    /// # Errors
    /// [`DaylightError::OutsideRange`] naming the first field out of range.
    pub fn check(&self) -> Result<(), DaylightError> {
        within("latitude_deg", self.latitude_deg, -90.0..=90.0, "degrees from −90 to 90")?;
        within("longitude_deg", self.longitude_deg, -180.0..=180.0, "degrees from −180 to 180")?;
        within("elevation_m", self.elevation_m, -500.0..=9000.0, "metres from −500 to 9000")?;
        within("pressure_hpa", self.pressure_hpa(), 1.0..=1200.0, "hectopascals from 1 to 1200")?;
        within("temperature_c", self.temperature_c(), -90.0..=60.0, "degrees Celsius from −90 to 60")?;
        Ok(())
    }
}

/// A direction seen from the place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Direction {
    /// Degrees above the horizon, −90 to 90.
    pub altitude_deg: f64,
    /// Degrees clockwise from true north.
    pub azimuth_deg: f64,
}

impl Direction {
    /// Unit vector east, north, up.
    pub fn east_north_up(self) -> [f64; 3] {
        let (sin_h, cos_h) = self.altitude_deg.to_radians().sin_cos();
        let (sin_a, cos_a) = self.azimuth_deg.to_radians().sin_cos();
        [cos_h * sin_a, cos_h * cos_a, sin_h]
    }
}
