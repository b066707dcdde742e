//! The light outside at one instant: everything that may enter a window.

use std::f64::consts::{FRAC_1_PI, FRAC_PI_2, PI};
use std::sync::{Arc, LazyLock};

use plane::RoomVector;
use spectra::Spectrum;

use crate::buildings::{Buildings, LitBuildings};
use crate::error::DaylightError;
use crate::ground::Ground;
use crate::horizon::{Horizon, Skyline};
use crate::instant::Instant;
use crate::note::Note;
use crate::place::{Direction, Place};
use crate::quadrature::{gauss_legendre, over_panels};
use crate::sky::{Sky, SkyLight};
use crate::skyline_light::SkylineLight;
use crate::sun::{SunPosition, delta_t_s, sun_position};
use crate::sun_share::SunSeen;

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
    /// The beam after skyline and trees, as the open ground gets it.
    beam_on_site: Spectrum,
    /// The same after blocks, too, as the window gets it.
    beam_normal: Spectrum,
    sun_seen: SunSeen,
    ground_radiance: Spectrum,
    far: Option<Far>,
    near: Option<Arc<LitBuildings>>,
}

/// Factors of the light of the sky and of the sun's beam, 1 as they are. What ground and facades reflect follows them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// Of the light of the dome.
    pub sky: f64,
    /// Of the beam.
    pub beam: f64,
}

impl Default for Level {
    fn default() -> Self {
        Self { sky: 1.0, beam: 1.0 }
    }
}

/// Skyline and trees, and the light that falls on them.
#[derive(Clone, Debug)]
struct Far {
    skyline: Skyline,
    reflectance: Spectrum,
    light: SkylineLight,
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
        Self::at_level(place, instant, sky, ground, horizon, Level::default())
    }

    /// The same with the light of the sky or the beam of the sun brighter or darker than it would be.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn at_level(
        place: &Place,
        instant: Instant,
        sky: &Sky,
        ground: &Ground,
        horizon: &Horizon,
        level: Level,
    ) -> Result<Self, DaylightError> {
        ground.check()?;
        horizon.check()?;
        let sun = sun_position(place, instant, delta_t_s(instant))?;
        let mut light = sky.light(place, &sun, instant.day_of_year(), ground)?;
        light.beam_normal *= level.beam;
        light.diffuse_horizontal *= level.sky;
        light.dome.scale(level.sky);
        if !horizon.trees.is_empty() {
            light.notes.push(Note::SeasonalTrees);
        }
        let mut outside = Self {
            instant,
            sun,
            beam_on_site: light.beam_normal,
            beam_normal: light.beam_normal,
            sun_seen: SunSeen::FREE,
            light,
            ground_radiance: Spectrum::ZERO,
            far: None,
            near: None,
        };
        if horizon.is_open() {
            outside.ground_radiance = ground.albedo * outside.global_horizontal() * FRAC_1_PI;
        } else {
            let skyline = Skyline::new(horizon, place.latitude_deg, instant.day_of_year());
            outside.sun_seen = skyline.sun_seen(&outside.sun);
            outside.beam_on_site *= outside.sun_seen.of_beam();
            let light = SkylineLight::new(
                &skyline,
                &horizon.reflectance,
                &outside.light.dome,
                &outside.light.diffuse_horizontal,
                &outside.beam_on_site,
                [outside.sun.apparent_altitude_deg(), outside.sun.azimuth_deg],
                &ground.albedo,
            );
            outside.ground_radiance = ground.albedo * light.on_ground * FRAC_1_PI;
            outside.far = Some(Far { skyline, reflectance: horizon.reflectance, light });
        }
        outside.beam_normal = outside.beam_on_site;
        if let Some(buildings) = &horizon.buildings {
            outside.build(buildings, ground)?;
        }
        Ok(outside)
    }

    /// Puts the own building and the blocks before what stands far away.
    fn build(&mut self, buildings: &Buildings, ground: &Ground) -> Result<(), DaylightError> {
        let sun = self.sun.direction();
        let far = |d: Direction, v: [f64; 3]| self.far_away(d.azimuth_deg, d.altitude_deg, v);
        let edges =
            |bearing_deg: f64| self.far.iter().flat_map(|far| far.skyline.edges_deg(bearing_deg)).collect();
        let near = LitBuildings::new(buildings, ground, sun, &self.beam_on_site, &far, &edges)?;
        if self.beam_on_site.max() > 0.0 {
            let share = near.sun_share(sun);
            self.beam_normal *= share;
            self.sun_seen.disc *= share;
        }
        self.ground_radiance = near.mean_ground().unwrap_or(self.ground_radiance);
        self.near = Some(Arc::new(near));
        Ok(())
    }

    /// The instant.
    pub fn instant(&self) -> Instant {
        self.instant
    }

    /// The sun's position.
    pub fn sun(&self) -> &SunPosition {
        &self.sun
    }

    /// Beam of the sun on a plane facing it, at the window: zero while it is below the horizon or behind the skyline or a
    /// block, fading as the disc crosses an edge, weakened by trees. The own building hides nothing here.
    pub fn beam_normal(&self) -> Spectrum {
        self.beam_normal
    }

    /// What skyline, blocks and trees leave of the sun's disc and of its beam: [`Outside::beam_normal`] counts both.
    pub fn sun_seen(&self) -> SunSeen {
        self.sun_seen
    }

    /// The beam with nothing before it: no skyline, trees or blocks.
    pub fn whole_beam(&self) -> Spectrum {
        self.light.beam_normal
    }

    /// The same light at a window that gets this share of [`Self::whole_beam`]. What the sun gives by way of ground, facades and
    /// blocks stays as it is.
    #[must_use]
    pub fn with_sun_share(mut self, share: f64) -> Self {
        self.beam_normal = self.light.beam_normal * share;
        self
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

    /// Light of the whole, unobstructed dome on open ground, and of the beam past skyline and trees.
    pub fn global_horizontal(&self) -> Spectrum {
        let mut global = self.light.diffuse_horizontal;
        global.add_scaled(self.sun.apparent_altitude_deg().to_radians().sin().max(0.0), &self.beam_on_site);
        global
    }

    /// Radiance of the ground: albedo × light that falls on it / π. With an own building or blocks it varies from place to
    /// place: the mean, as an upright window sees it.
    pub fn ground_radiance(&self) -> Spectrum {
        self.ground_radiance
    }

    /// The radiance seen in a direction: the ground below the horizontal, the skyline and the trees on it, the sky
    /// above them, and blocks before them all. The disc of the sun is left out: it is [`Outside::beam_normal`].
    pub fn radiance(&self, d: Direction) -> Spectrum {
        self.radiance_around(d, &Vec::new)
    }

    /// The same for all that lies around a direction, where the edge of a shadow on ground and blocks may cross it: with the
    /// mean beam on what other directions meet of the same surface. `around` gives these, in the frame of the wall behind
    /// which the buildings were measured, and is called where the sun may shine.
    pub fn radiance_around(&self, d: Direction, around: &dyn Fn() -> Vec<RoomVector>) -> Spectrum {
        if let Some(seen) = self.near.as_ref().and_then(|near| near.seen(d, around)) {
            return seen;
        }
        if d.altitude_deg < 0.0 {
            return self.ground_radiance;
        }
        self.far_away(d.azimuth_deg, d.altitude_deg, d.east_north_up())
    }

    /// Bearings, degrees, at which the radiance jumps at this instant: those of [`crate::Edges`] and the corners
    /// of shadows on the ground. In no order.
    pub fn bearings_deg(&self) -> Vec<f64> {
        let far = self.far.iter().flat_map(|far| far.skyline.bearings_deg());
        far.chain(self.near.iter().flat_map(|near| near.bearings_deg())).collect()
    }

    /// Altitudes, degrees, at which the radiance at a bearing jumps at this instant: those of [`crate::Edges`] and
    /// the ends of shadows on the ground and on the fronts of blocks. In no order.
    pub fn edges_deg(&self, bearing_deg: f64) -> Vec<f64> {
        let far = self.far.iter().flat_map(|far| far.skyline.edges_deg(bearing_deg));
        far.chain(self.near.iter().flat_map(|near| near.edges_deg(bearing_deg))).collect()
    }

    /// Irradiance on a plane that its own building does not obstruct: (beam, sky and ground and surroundings).
    ///
    /// `facing_deg`: bearing of its outward normal; `tilt_deg`: angle of that normal from the zenith, 0–180.
    pub fn irradiance_on(&self, facing_deg: f64, tilt_deg: f64) -> (Spectrum, Spectrum) {
        static FINE: LazyLock<[(f64, f64); 12]> = LazyLock::new(gauss_legendre);
        // Blocks come with many edges, so that each panel is small.
        static COARSE: LazyLock<[(f64, f64); 5]> = LazyLock::new(gauss_legendre);
        let rule: &[(f64, f64)] = if self.near.is_some() { &*COARSE } else { &*FINE };
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
        bearings.extend(self.bearings_deg().into_iter().map(|b| from_facing(b.to_radians())));
        sorting::numbers(&mut bearings);

        // Ground that is alike everywhere needs no sum.
        let mut diffuse = match self.near {
            Some(_) => Spectrum::ZERO,
            None => self.ground_radiance * (PI * 0.5 * (1.0 - cos_t)),
        };
        let lowest = if self.near.is_some() { -FRAC_PI_2 } else { 0.0 };
        for (bearing, w_bearing) in over_panels(rule, &bearings) {
            // The plane sees the altitudes h with cos t·sin h + sin t·cos h·cos(bearing) > 0.
            let across = sin_t * bearing.cos();
            let edge = (-across).atan2(cos_t);
            let (low, high) = if cos_t >= 0.0 {
                (edge.clamp(lowest, FRAC_PI_2), FRAC_PI_2)
            } else {
                (lowest, across.atan2(-cos_t).clamp(lowest, FRAC_PI_2))
            };
            if high <= low {
                continue;
            }
            let azimuth_deg = facing_deg + bearing.to_degrees();
            let mut altitudes = vec![low, sun_altitude.clamp(low, high), high];
            if self.near.is_some() || self.far.is_some() {
                let edges = self.edges_deg(azimuth_deg).into_iter().map(f64::to_radians);
                altitudes.extend(edges.chain([lowest.max(0.0)]).map(|h| h.clamp(low, high)));
                sorting::numbers(&mut altitudes);
            }
            for (altitude, w_altitude) in over_panels(rule, &altitudes) {
                let (sin_h, cos_h) = altitude.sin_cos();
                let cosine = (cos_t * sin_h + across * cos_h).max(0.0);
                let seen = if self.near.is_some() {
                    self.radiance(Direction { altitude_deg: altitude.to_degrees(), azimuth_deg })
                } else {
                    let (sin_a, cos_a) = (facing + bearing).sin_cos();
                    self.far_away(azimuth_deg, altitude.to_degrees(), [cos_h * sin_a, cos_h * cos_a, sin_h])
                };
                diffuse.add_scaled(w_bearing * w_altitude * cos_h * cosine, &seen);
            }
        }
        (beam, diffuse)
    }

    /// Whether the own building hides sky from the ground and throws its shadow there.
    pub fn counts_own_building(&self) -> bool {
        self.near.as_ref().is_some_and(|near| near.site().own_height_m > 0.0)
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

    /// Altitude and azimuth of the sun for which the dome's pattern is computed, radians.
    pub(crate) fn pattern_sun(&self) -> (f64, f64) {
        self.light.dome.sun_angles()
    }

    /// Whether nothing stands on the horizon or near.
    pub(crate) fn is_open(&self) -> bool {
        self.far.is_none() && self.near.is_none()
    }

    /// What stands far away: sky, skyline and trees. `v`: the direction as a unit vector east, north, up, at or above the
    /// horizon.
    fn far_away(&self, azimuth_deg: f64, altitude_deg: f64, v: [f64; 3]) -> Spectrum {
        let Some(far) = &self.far else { return self.light.dome.radiance(v) };
        let mut seen = if altitude_deg < far.skyline.altitude_deg(azimuth_deg) {
            self.facade(far, azimuth_deg, &far.reflectance)
        } else {
            self.light.dome.radiance(v)
        };
        for screen in &far.skyline.trees {
            if altitude_deg < screen.top_deg && screen.covers(azimuth_deg) {
                let leaves = self.facade(far, azimuth_deg, &screen.reflectance);
                seen = seen * screen.transmittance + leaves * (1.0 - screen.transmittance);
            }
        }
        seen
    }

    /// Radiance of an upright face that looks at us from a bearing: the sun lights it if it is behind us, but not
    /// if it is behind the face.
    fn facade(&self, far: &Far, azimuth_deg: f64, reflectance: &Spectrum) -> Spectrum {
        let mut light = far.light.on_face(azimuth_deg);
        light.add_scaled(self.sun_cosine(azimuth_deg + 180.0, 90.0), &self.beam_on_site);
        light * *reflectance * FRAC_1_PI
    }
}
