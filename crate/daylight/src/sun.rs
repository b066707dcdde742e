//! The sun's position.

use solar_positioning::time::JulianDate;
use solar_positioning::{Location, RefractionCorrection, SolarPositions};

use crate::error::{DaylightError, within};
use crate::instant::Instant;
use crate::place::{Direction, Place};

/// Apparent diameter of the sun's disc, degrees, used for all light and shade: the mean value to two digits; it
/// varies from 0.524 to 0.542 over the year.
pub const SUN_DIAMETER_DEG: f64 = 0.53;
/// True altitude of the sun's centre at rise and set, degrees: by convention 0.26667 for the disc and 0.5667 for
/// refraction below the horizon (Reda & Andreas 2003, NREL/TP-560-34302, A.2.3).
pub const RISE_SET_ALTITUDE_DEG: f64 = -(0.266_67 + 0.5667);

/// The sun at one instant, seen from one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Angle of the centre from the zenith without refraction, degrees.
    pub zenith_deg: f64,
    /// The same with refraction by the air at the place. Refraction is applied while the upper limb is visible,
    /// down to a true altitude of −0.83337°, and not below: there it jumps by half a degree.
    pub apparent_zenith_deg: f64,
    /// Degrees clockwise from true north.
    pub azimuth_deg: f64,
    /// Apparent minus mean solar time, minutes.
    pub equation_of_time_min: f64,
    /// Declination of the centre seen from the earth's centre, degrees.
    pub declination_deg: f64,
    /// Distance, astronomical units.
    pub distance_au: f64,
    /// ΔT = TT − UT1 used, seconds.
    pub delta_t_s: f64,
    /// Altitude with refraction continued below the SPA's limit, so that the disc sinks without a jump.
    sinking_altitude_deg: f64,
}

impl SunPosition {
    /// Altitude of the centre without refraction, degrees.
    pub fn altitude_deg(&self) -> f64 {
        90.0 - self.zenith_deg
    }

    /// Altitude of the centre with refraction, degrees.
    pub fn apparent_altitude_deg(&self) -> f64 {
        90.0 - self.apparent_zenith_deg
    }

    /// Direction in which it is seen.
    pub fn direction(&self) -> Direction {
        Direction { altitude_deg: self.apparent_altitude_deg(), azimuth_deg: self.azimuth_deg }
    }

    /// Share of the disc above an edge at `edge_altitude_deg` (0: the horizon), 0–1. Refraction by the real air
    /// keeps a sliver visible for some seconds after the conventional sunset.
    pub fn disc_above(&self, edge_altitude_deg: f64) -> f64 {
        let u = ((self.sinking_altitude_deg - edge_altitude_deg) / (0.5 * SUN_DIAMETER_DEG)).clamp(-1.0, 1.0);
        // Segment of a circle: exact for a straight edge.
        0.5 + (u * (1.0 - u * u).sqrt() + u.asin()) / std::f64::consts::PI
    }
}

/// Position of the sun by the NREL Solar Position Algorithm, ±0.0003° in the years −2000 to 6000.
///
/// `delta_t_s`: ΔT = TT − UT1, seconds; [`delta_t_s`] estimates it.
///
/// # Errors
/// [`DaylightError::OutsideRange`] for a place out of range, [`DaylightError::YearOutsideRange`].
///
/// # Source
/// Reda & Andreas, *Solar Position Algorithm for Solar Radiation Applications*, NREL/TP-560-34302, 2003, revised
/// 2008; the algorithm itself by the `solar-positioning` library.
pub fn sun_position(place: &Place, instant: Instant, delta_t_s: f64) -> Result<SunPosition, DaylightError> {
    place.check()?;
    check_year(instant)?;
    within("delta_t_s", delta_t_s, -100_000.0..=100_000.0, "seconds from −100000 to 100000")?;
    let out_of_years = |_| DaylightError::YearOutsideRange(instant.to_string());
    let time = JulianDate::new(instant.julian_date(), delta_t_s).map_err(out_of_years)?;
    let prepared = SolarPositions::new().for_time_from_julian(time).map_err(out_of_years)?;
    let location = Location { latitude: place.latitude_deg, longitude: place.longitude_deg };
    let refraction =
        RefractionCorrection::new(place.pressure_hpa(), place.temperature_c()).map_err(out_of_years)?;
    let plain = prepared.at(location, place.elevation_m, None).map_err(out_of_years)?;
    let seen = prepared.at(location, place.elevation_m, Some(refraction)).map_err(out_of_years)?;

    // Hour angle of the sun at Greenwich without parallax. The library gives only topocentric angles, so use the
    // meridian of a place on the equator, where parallax does not shift the sun sideways.
    let hour_angle_at = |longitude: f64| -> Result<f64, DaylightError> {
        let at = Location { latitude: 0.0, longitude };
        let found = prepared.at(at, 0.0, None).map_err(out_of_years)?;
        let (zenith, azimuth) = (found.zenith_angle().to_radians(), found.azimuth().to_radians());
        Ok((-zenith.sin() * azimuth.sin()).atan2(zenith.cos()).to_degrees())
    };
    let meridian = wrap_180(-hour_angle_at(0.0)?);
    let greenwich = hour_angle_at(meridian)? - meridian;

    let altitude = 90.0 - plain.zenith_angle();
    let refraction_deg = if altitude > RISE_SET_ALTITUDE_DEG {
        plain.zenith_angle() - seen.zenith_angle()
    } else {
        // The report's eq. 42 again; its own limit is the upper limb in standard air.
        let h = altitude.max(-2.0);
        (place.pressure_hpa() / 1010.0) * (283.0 / (273.0 + place.temperature_c())) * 1.02
            / (60.0 * (h + 10.3 / (h + 5.11)).to_radians().tan())
    };

    Ok(SunPosition {
        zenith_deg: plain.zenith_angle(),
        apparent_zenith_deg: seen.zenith_angle(),
        azimuth_deg: plain.azimuth(),
        equation_of_time_min: equation_of_time_min(&time, greenwich),
        declination_deg: prepared.declination(),
        distance_au: prepared.earth_radius_vector().unwrap_or(1.0),
        delta_t_s,
        sinking_altitude_deg: altitude + refraction_deg,
    })
}

/// Refuses an instant beyond the years of the algorithm, −2000 to 6000, by its date in UTC, before its ΔT is
/// computed.
///
/// # Errors
/// [`DaylightError::YearOutsideRange`].
pub fn check_year(instant: Instant) -> Result<(), DaylightError> {
    let (year, ..) = instant.utc_date().parts();
    if (-2000..=6000).contains(&year) {
        Ok(())
    } else {
        Err(DaylightError::YearOutsideRange(instant.to_string()))
    }
}

/// E = M − 0.0057183° − α + Δψ·cos ε (report, appendix A.1), where −α + Δψ·cos ε is the hour angle at Greenwich
/// less the mean sidereal time (3.5.1), in minutes of time, within ±20.
fn equation_of_time_min(time: &JulianDate, greenwich_hour_angle_deg: f64) -> f64 {
    let jme = time.julian_ephemeris_millennium();
    let mean_longitude = 280.466_456_7
        + jme
            * (360_007.698_277_9
                + jme * (0.030_320_28 + jme * (1.0 / 49_931.0 - jme * (1.0 / 15_300.0 + jme / 2_000_000.0))));
    let jc = time.julian_century();
    let mean_sidereal = 280.460_618_37
        + 360.985_647_366_29 * (time.julian_date() - 2_451_545.0)
        + jc * jc * (0.000_387_933 - jc / 38_710_000.0);
    4.0 * wrap_180(mean_longitude - 0.005_718_3 + greenwich_hour_angle_deg - mean_sidereal)
}

/// ΔT = TT − UT1, seconds: the difference between dynamical time and the rotation of the earth.
///
/// Before 2015 the polynomials of Espenak & Meeus; from 2015 the library's newer fit to observation (69.1 s in
/// 2026, where the older polynomial gave 75), an extrapolation after 2026. Outside the years −500 to 3000, for
/// which there is no fit, the long-term parabola −20 + 32·((year − 1820)/100)².
///
/// # Source
/// Espenak & Meeus, *Five Millennium Canon of Solar Eclipses*, NASA/TP-2006-214141, 2006, through the
/// `solar-positioning` library; parabola: Morrison & Stephenson 2004, J. Hist. Astron. 35, 327 (from memory).
pub fn delta_t_s(instant: Instant) -> f64 {
    let year = instant.decimal_year();
    solar_positioning::delta_t::estimate(year).unwrap_or_else(|_| {
        let u = (year - 1820.0) / 100.0;
        -20.0 + 32.0 * u * u
    })
}

fn wrap_180(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}
