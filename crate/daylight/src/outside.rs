//! The light outside at one instant: everything that may enter a window.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use spectra::Spectrum;

use crate::error::DaylightError;
use crate::ground::Ground;
use crate::horizon::{Horizon, Skyline};
use crate::instant::Instant;
use crate::place::{Direction, Place};
use crate::quadrature::{gauss_legendre, over_panels};
use crate::sky::{Note, Sky, SkyLight};
use crate::sun::{SunPosition, delta_t_s, sun_position};
use crate::twilight::CLEAR_MODEL_FROM_DEG;

/// Number of bearings at which the light on a wall facing us is precomputed.
const FACADES: usize = 24;

/// The light outside at one place and instant.
///
/// Spectral radiances W·m⁻²·sr⁻¹·nm⁻¹, irradiances W·m⁻²·nm⁻¹, on the project's grid; multiply by the luminous
/// efficiency ([`spectra::luminous`]) for cd/m² and lx. Everything that does not depend on direction is computed
/// once, in [`Outside::new`].
#[derive(Clone, Debug)]
pub struct Outside {
    instant: Instant,
    sun: SunPosition,
    light: SkyLight,
    /// The beam after skyline and trees.
    beam_normal: Spectrum,
    ground_radiance: Spectrum,
    surroundings: Option<Surroundings>,
}

/// The surroundings, and the light that falls on them.
#[derive(Clone, Debug)]
struct Surroundings {
    skyline: Skyline,
    reflectance: Spectrum,
    /// Light of sky and ground on walls facing us, by the bearing at which we see them.
    on_facades: Vec<Spectrum>,
}

impl Outside {
    /// The light of `sky` at `place` and `instant`, over `ground` and inside `horizon`.
    ///
    /// ΔT is [`delta_t_s`] of the instant; air pressure and temperature are the place's.
    ///
    /// # Errors
    /// The first value out of range, by its field name; [`DaylightError::YearOutsideRange`].
    pub fn new(
        place: &Place,
        instant: Instant,
        sky: &Sky,
        ground: &Ground,
        horizon: &Horizon,
    ) -> Result<Self, DaylightError> {
        ground.check()?;
        horizon.check()?;
        let sun = sun_position(place, instant, delta_t_s(instant))?;
        let mut light = sky.light(place, &sun, instant.day_of_year(), ground)?;
        if !horizon.trees.is_empty() {
            light.notes.push(Note::SeasonalTrees);
        }
        let mut outside = Self {
            instant,
            sun,
            beam_normal: light.beam_normal,
            light,
            ground_radiance: Spectrum::ZERO,
            surroundings: None,
        };
        let skyline =
            (!horizon.is_open()).then(|| Skyline::new(horizon, place.latitude_deg, instant.day_of_year()));
        if let Some(skyline) = &skyline {
            outside.beam_normal *= sun_seen(&outside.sun, skyline);
        }
        outside.ground_radiance = ground.albedo * outside.global_horizontal() * (1.0 / PI);
        outside.surroundings = skyline.map(|skyline| Surroundings {
            skyline,
            reflectance: horizon.reflectance,
            on_facades: outside.light_on_facades(),
        });
        Ok(outside)
    }

    /// The instant.
    pub fn instant(&self) -> Instant {
        self.instant
    }

    /// The sun's position.
    pub fn sun(&self) -> &SunPosition {
        &self.sun
    }

    /// Beam of the sun on a plane facing it: zero while it is below the horizon or behind the skyline, fading as
    /// the disc crosses an edge, weakened by trees.
    pub fn beam_normal(&self) -> Spectrum {
        self.beam_normal
    }

    /// Cosine of the angle between the sun and the normal of a plane; 0 if the sun is behind it. `tilt_deg`: angle
    /// of the outward normal from the zenith, 90 for a wall; `facing_deg`: its bearing.
    pub fn sun_cosine(&self, facing_deg: f64, tilt_deg: f64) -> f64 {
        let normal = Direction { altitude_deg: 90.0 - tilt_deg, azimuth_deg: facing_deg }.east_north_up();
        let sun = self.sun.direction().east_north_up();
        (normal[0] * sun[0] + normal[1] * sun[1] + normal[2] * sun[2]).max(0.0)
    }

    /// Light of the whole, unobstructed dome on the ground.
    pub fn diffuse_horizontal(&self) -> Spectrum {
        self.light.diffuse_horizontal
    }

    /// Light on the ground from the beam, after obstructions, and the dome.
    pub fn global_horizontal(&self) -> Spectrum {
        let mut global = self.light.diffuse_horizontal;
        global.add_scaled(self.sun.apparent_altitude_deg().to_radians().sin().max(0.0), &self.beam_normal);
        global
    }

    /// Radiance of the ground: albedo × global horizontal/π.
    pub fn ground_radiance(&self) -> Spectrum {
        self.ground_radiance
    }

    /// The radiance seen in a direction: the ground below the horizontal, the skyline and the trees on it, the sky
    /// above them. The disc of the sun is left out: it is [`Outside::beam_normal`].
    pub fn radiance(&self, d: Direction) -> Spectrum {
        if d.altitude_deg < 0.0 {
            return self.ground_radiance;
        }
        self.above_horizon(d.azimuth_deg, d.altitude_deg, d.east_north_up())
    }

    /// [`Outside::radiance`] for many directions.
    pub fn radiances(&self, directions: &[Direction]) -> Vec<Spectrum> {
        directions.iter().map(|&d| self.radiance(d)).collect()
    }

    /// Irradiance on a plane that its own building does not obstruct: (beam, sky and ground and surroundings).
    ///
    /// `facing_deg`: bearing of its outward normal; `tilt_deg`: angle of that normal from the zenith, 0–180.
    pub fn irradiance_on(&self, facing_deg: f64, tilt_deg: f64) -> (Spectrum, Spectrum) {
        static RULE: LazyLock<[(f64, f64); 12]> = LazyLock::new(gauss_legendre);
        let beam = self.beam_normal * self.sun_cosine(facing_deg, tilt_deg);
        let tilt = tilt_deg.clamp(0.0, 180.0).to_radians();
        let (sin_t, cos_t) = tilt.sin_cos();
        let facing = facing_deg.to_radians();
        // Everything is smooth within each panel: break where the plane's edge turns, at the sun's bearing, where
        // the aureole peaks, and on either side of it.
        let (sun_altitude, sun_azimuth) = self.light.dome.sun_angles();
        let from_facing = |angle: f64| (angle - facing + PI).rem_euclid(2.0 * PI) - PI;
        let mut bearings = vec![-PI, -FRAC_PI_2, 0.0, FRAC_PI_2, PI];
        bearings.extend([-0.4, 0.0, 0.4].map(|aside| from_facing(sun_azimuth + aside)));
        if let Some(around) = &self.surroundings {
            bearings.extend(around.skyline.bearings_deg().map(|b| from_facing(b.to_radians())));
        }
        bearings.sort_by(f64::total_cmp);

        let mut diffuse = self.ground_radiance * (PI * 0.5 * (1.0 - cos_t));
        for (bearing, w_bearing) in over_panels(&*RULE, &bearings) {
            // The plane sees the altitudes h with cos t·sin h + sin t·cos h·cos(bearing) > 0.
            let across = sin_t * bearing.cos();
            let edge = (-across).atan2(cos_t);
            let (low, high) = if cos_t >= 0.0 {
                (edge.clamp(0.0, FRAC_PI_2), FRAC_PI_2)
            } else {
                (0.0, across.atan2(-cos_t).clamp(0.0, FRAC_PI_2))
            };
            if high <= low {
                continue;
            }
            let azimuth_deg = facing_deg + bearing.to_degrees();
            let mut altitudes = vec![low, sun_altitude.clamp(low, high), high];
            if let Some(around) = &self.surroundings {
                altitudes
                    .extend(around.skyline.edges_deg(azimuth_deg).map(|h| h.to_radians().clamp(low, high)));
                altitudes.sort_by(f64::total_cmp);
            }
            for (altitude, w_altitude) in over_panels(&*RULE, &altitudes) {
                let (sin_h, cos_h) = altitude.sin_cos();
                let cosine = (cos_t * sin_h + across * cos_h).max(0.0);
                let (sin_a, cos_a) = (facing + bearing).sin_cos();
                let v = [cos_h * sin_a, cos_h * cos_a, sin_h];
                let seen = self.above_horizon(azimuth_deg, altitude.to_degrees(), v);
                diffuse.add_scaled(w_bearing * w_altitude * cos_h * cosine, &seen);
            }
        }
        (beam, diffuse)
    }

    /// Notes for readers of these figures.
    pub fn notes(&self) -> &[Note] {
        &self.light.notes
    }

    /// Relative standard deviation of the level of the diffuse light at any one wavelength. Estimated; 0 if the
    /// level was stated.
    pub fn diffuse_relative_sd(&self) -> f64 {
        self.light.diffuse_relative_sd
    }

    /// For a clear (or partly clear) sky with the sun above 5°: the level given by the pattern's authors over the
    /// level used, by wavelength. See [`crate::ClearSky::level_ratio`].
    pub fn clear_level_ratio(&self) -> Option<&Spectrum> {
        let clear = self.light.dome.clear()?;
        (self.sun.altitude_deg() >= CLEAR_MODEL_FROM_DEG).then(|| clear.level_ratio())
    }

    /// Altitude and azimuth of the sun for which the dome's pattern is computed, radians.
    pub(crate) fn pattern_sun(&self) -> (f64, f64) {
        self.light.dome.sun_angles()
    }

    /// Whether nothing obstructs the horizon.
    pub(crate) fn is_open(&self) -> bool {
        self.surroundings.is_none()
    }

    fn above_horizon(&self, azimuth_deg: f64, altitude_deg: f64, v: [f64; 3]) -> Spectrum {
        let Some(around) = &self.surroundings else { return self.light.dome.radiance(v) };
        let mut seen = if altitude_deg < around.skyline.altitude_deg(azimuth_deg) {
            self.facade(around, azimuth_deg, &around.reflectance)
        } else {
            self.light.dome.radiance(v)
        };
        for screen in &around.skyline.trees {
            if altitude_deg < screen.top_deg && screen.covers(azimuth_deg) {
                let leaves = self.facade(around, azimuth_deg, &screen.reflectance);
                seen = seen * screen.transmittance + leaves * (1.0 - screen.transmittance);
            }
        }
        seen
    }

    /// Radiance of an upright face that looks at us from a bearing: the sun lights it if it is behind us, but not
    /// if it is behind the face.
    fn facade(&self, around: &Surroundings, azimuth_deg: f64, reflectance: &Spectrum) -> Spectrum {
        let at = azimuth_deg.rem_euclid(360.0) * FACADES as f64 / 360.0;
        let (before, share) = (at as usize % FACADES, at.fract());
        let mut light = around.on_facades[before] * (1.0 - share);
        light.add_scaled(share, &around.on_facades[(before + 1) % FACADES]);
        light.add_scaled(self.sun_cosine(azimuth_deg + 180.0, 90.0), &self.light.beam_normal);
        light * *reflectance * (1.0 / PI)
    }

    /// Sky and ground light, unobstructed, on upright faces that look at us. Coarse: ±1 %, less than the
    /// uncertainty of the surroundings.
    fn light_on_facades(&self) -> Vec<Spectrum> {
        const BEARINGS: usize = 48;
        static RULE: LazyLock<[(f64, f64); 8]> = LazyLock::new(gauss_legendre);
        let mut light = vec![self.ground_radiance * FRAC_PI_2; FACADES];
        for (altitude, w_altitude) in over_panels(&*RULE, &[0.0, FRAC_PI_2]) {
            let (sin_h, cos_h) = altitude.sin_cos();
            for b in 0..BEARINGS {
                let azimuth = 2.0 * PI * (b as f64 + 0.5) / BEARINGS as f64;
                let (sin_a, cos_a) = azimuth.sin_cos();
                let seen = self.light.dome.radiance([cos_h * sin_a, cos_h * cos_a, sin_h]);
                for (f, sum) in light.iter_mut().enumerate() {
                    // A face seen at a bearing looks the other way.
                    let looks = 2.0 * PI * f as f64 / FACADES as f64 + PI;
                    let cosine = cos_h * (azimuth - looks).cos();
                    if cosine > 0.0 {
                        sum.add_scaled(w_altitude * (2.0 * PI / BEARINGS as f64) * cos_h * cosine, &seen);
                    }
                }
            }
        }
        light
    }
}

/// Share of the beam that skyline and trees transmit.
fn sun_seen(sun: &SunPosition, skyline: &Skyline) -> f64 {
    let mut share = sun.disc_above(skyline.altitude_deg(sun.azimuth_deg));
    for screen in skyline.trees.iter().filter(|screen| screen.covers(sun.azimuth_deg)) {
        let above = sun.disc_above(screen.top_deg);
        share *= above + (1.0 - above) * screen.transmittance;
    }
    share
}
