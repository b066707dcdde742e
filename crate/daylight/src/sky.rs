//! The sky and its brightness: from weather in words to a dome of light.

use spectra::{Spectrum, illuminant, luminous};

use crate::cie_sky::{CIE_TYPES, CieSky, SOLAR_ILLUMINANCE_LX, beam_illuminance_lx};
use crate::clear_sky::ClearSky;
use crate::dome::Dome;
use crate::error::{DaylightError, within};
use crate::ground::Ground;
use crate::note::Note;
use crate::place::{Direction, Place};
use crate::spectrl2::{Atmosphere, Spectrl2Inputs, relative_air_mass, spectrl2};
use crate::sun::SunPosition;
use crate::twilight::{CLEAR_MODEL_FROM_DEG, NIGHT_BELOW_DEG, clear_illuminance_lx, smoothstep};

/// The weather.
#[derive(Clone, Debug, PartialEq)]
pub enum Sky {
    /// Cloudless: beam and diffuse by SPECTRL2, distributed by Hošek & Wilkie.
    Clear {
        /// The air.
        atmosphere: Atmosphere,
    },
    /// A CIE general sky (ISO 15469) with one spectrum over the whole dome.
    Standard {
        /// 1–15; see [`CIE_TYPES`].
        cie_type: u8,
        /// Spectrum of its light.
        spectrum: SkySpectrum,
        /// Horizontal illuminance from the dome, lx, used as given whatever the sun's position. `None`: typical of
        /// the type, Dv/Ev × 133 800 lx × sine of the sun's altitude, following the twilight curve below 5°.
        ///
        /// In either case the beam is typical of the type (see [`CIE_TYPES`]): none for types 1–6 and 9.
        diffuse_horizontal_lx: Option<f64>,
    },
    /// Cloud over a clear sky, from none to complete.
    ///
    /// Global light falls to 1 − 0.75·c^3.4 of the clear sky's. The beam's share of it falls in proportion to 1 − c²,
    /// and the diffuse share rises accordingly. The remaining part 1 − c of the clear dome shines through (our
    /// assumption); the rest of the diffuse is cloud light, distributed as CIE type 1, with the daylight colour of
    /// [`OVERCAST_CCT_K`].
    ///
    /// # Source
    /// Kasten & Czeplak 1980, *Solar and terrestrial radiation dependent on the amount and type of cloud*, Solar
    /// Energy 24, 177–189, from memory; instead of their clear sky's diffuse share, 0.3, the hour's own is used
    /// here.
    Overcast {
        /// Share of the dome covered, 0–1 (eighths, as observers count them, divided by 8).
        cloud: f64,
        /// The air.
        atmosphere: Atmosphere,
    },
}

impl Default for Sky {
    fn default() -> Self {
        Self::Clear { atmosphere: Atmosphere::default() }
    }
}

/// Spectrum of the light of a standard sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SkySpectrum {
    /// CIE daylight of a correlated colour temperature, 4000–25 000 K.
    Daylight {
        /// Kelvin.
        cct_k: f64,
    },
    /// That of the diffuse light of a clear sky at the same hour in [`Atmosphere::default`].
    ClearDiffuse,
}

/// Colour temperature used for the light of cloud, K: near 6500 in every survey of overcast daylight (6300–6700;
/// Judd, MacAdam & Wyszecki, J. Opt. Soc. Am. 54 (1964) 1031, from memory).
pub const OVERCAST_CCT_K: f64 = 6500.0;

/// Reflectance of a closed cover of cloud from below, which passes light back and forth with bright ground. *Estimated*
/// from common practice: 0.5 to 0.7 for the stratus that covers a whole sky.
pub const CLOUD_REFLECTANCE: f64 = 0.6;

/// Albedo of the ground over which the levels of cloudy skies were observed. *Assumption*: grass and fields, whose albedo is
/// 0.2 by common practice, without a source; ground that is darker counts as this.
const SURVEYED_ALBEDO: f64 = 0.2;

/// How many times the light of a clear sky a stated level of a sky without sun must be to be doubtful. Our choice.
const DOUBTFUL_TIMES: f64 = 2.0;

/// Light of one instant before any obstruction.
#[derive(Clone, Debug)]
pub(crate) struct SkyLight {
    /// Facing the sun, W·m⁻²·nm⁻¹, minus the part of the disc below the horizon.
    pub(crate) beam_normal: Spectrum,
    /// On the ground.
    pub(crate) diffuse_horizontal: Spectrum,
    pub(crate) dome: Dome,
    pub(crate) notes: Vec<Note>,
    /// Relative standard deviation of the diffuse level.
    pub(crate) diffuse_relative_sd: f64,
}

/// The clear sky of the hour, from which every other sky is derived.
struct ClearHour {
    beam_normal: Spectrum,
    diffuse: Spectrum,
    diffuse_lx: f64,
    /// Sun's altitude for patterns, 0–90.
    altitude_deg: f64,
}

impl ClearHour {
    fn new(
        place: &Place,
        sun: &SunPosition,
        day_of_year: f64,
        ground: &Ground,
        atmosphere: &Atmosphere,
    ) -> Result<Self, DaylightError> {
        // On the horizon the diffuse spectrum has a colour but no strength; a little above, it has both.
        const LOWEST_DEG: f64 = 0.05;
        let apparent = sun.apparent_altitude_deg();
        let light = spectrl2(&Spectrl2Inputs {
            apparent_zenith_deg: 90.0 - apparent.clamp(LOWEST_DEG, 90.0),
            day_of_year,
            pressure_hpa: place.pressure_hpa(),
            atmosphere: *atmosphere,
            ground_albedo: ground.albedo,
        })?;
        let true_altitude = sun.altitude_deg();
        let beam_normal = light.beam_normal * sun.disc_above(0.0);
        let own_lx = luminous(&light.diffuse_horizontal);
        let share = smoothstep(0.0, CLEAR_MODEL_FROM_DEG, true_altitude);
        let diffuse_lx = if share < 1.0 {
            // The curve includes sun and sky together, and the beam is already counted.
            let beam_lx = luminous(&beam_normal) * apparent.to_radians().sin().max(0.0);
            share * own_lx + (1.0 - share) * (clear_illuminance_lx(true_altitude) - beam_lx).max(0.0)
        } else {
            own_lx
        };
        let diffuse = light.diffuse_horizontal * if own_lx > 0.0 { diffuse_lx / own_lx } else { 0.0 };
        Ok(Self { beam_normal, diffuse, diffuse_lx, altitude_deg: apparent.clamp(0.0, 90.0) })
    }
}

impl Sky {
    /// # Errors
    /// The first value out of range.
    pub fn check(&self) -> Result<(), DaylightError> {
        match self {
            Self::Clear { atmosphere } => atmosphere.check(),
            Self::Overcast { cloud, atmosphere } => {
                within("cloud", *cloud, 0.0..=1.0, "a share from 0 to 1")?;
                atmosphere.check()
            }
            Self::Standard { cie_type, spectrum, diffuse_horizontal_lx } => {
                if !(1..=15).contains(cie_type) {
                    return Err(DaylightError::UnknownSkyType(*cie_type));
                }
                if let SkySpectrum::Daylight { cct_k } = spectrum {
                    within("cct_k", *cct_k, 4000.0..=25_000.0, "kelvin from 4000 to 25000")?;
                }
                if let Some(lx) = diffuse_horizontal_lx {
                    within("diffuse_horizontal_lx", *lx, 0.0..=1e6, "lux from 0 to 1000000")?;
                }
                Ok(())
            }
        }
    }

    pub(crate) fn light(
        &self,
        place: &Place,
        sun: &SunPosition,
        day_of_year: f64,
        ground: &Ground,
    ) -> Result<SkyLight, DaylightError> {
        self.check()?;
        let default = Atmosphere::default();
        let atmosphere = match self {
            Self::Clear { atmosphere } | Self::Overcast { atmosphere, .. } => atmosphere,
            Self::Standard { .. } => &default,
        };
        let hour = ClearHour::new(place, sun, day_of_year, ground, atmosphere)?;
        let true_altitude = sun.altitude_deg();
        let mut notes = Vec::new();
        let stated_lx = match self {
            Self::Standard { diffuse_horizontal_lx, .. } => *diffuse_horizontal_lx,
            _ => None,
        };
        let stated = stated_lx.is_some();
        if let Some(lx) = stated_lx {
            // It is as bright as stated, whatever the sun's position.
            let usual_lx = clear_illuminance_lx(true_altitude);
            if true_altitude < 0.0 && lx > DOUBTFUL_TIMES * usual_lx {
                notes.push(Note::StatedByNight { altitude_deg: true_altitude, lx, usual_lx });
            }
        } else if true_altitude < NIGHT_BELOW_DEG {
            notes.push(Note::Night);
        } else if true_altitude < 0.0 {
            notes.push(Note::Twilight);
        } else if true_altitude < CLEAR_MODEL_FROM_DEG {
            notes.push(Note::LowSun);
        }
        let dark_sd = if true_altitude < CLEAR_MODEL_FROM_DEG { 0.3 } else { 0.0 };
        let pattern_sun = Direction { altitude_deg: hour.altitude_deg, azimuth_deg: sun.azimuth_deg };
        let dome = |clear, cloud| Dome { sun: pattern_sun.east_north_up(), clear, cloud, night: None };
        let clear_part = |notes: &mut Vec<Note>| {
            let turbidity = atmosphere.turbidity();
            if !(1.0..=10.0).contains(&turbidity) {
                notes.push(Note::TurbidityClamped { turbidity });
            }
            ClearSky::new(turbidity, &ground.albedo, hour.altitude_deg, &hour.diffuse)
        };
        let cloud_part = |cie_type: u8, diffuse: &Spectrum| {
            let pattern = CieSky::new(cie_type, hour.altitude_deg)?;
            Ok::<_, DaylightError>((pattern, *diffuse * (1.0 / pattern.horizontal_over_zenith())))
        };

        let mut light = match self {
            Self::Clear { .. } => {
                let clear = clear_part(&mut notes)?;
                let clear_sd = clear_sd(&clear, &hour.diffuse, true_altitude);
                SkyLight {
                    beam_normal: hour.beam_normal,
                    diffuse_horizontal: hour.diffuse,
                    dome: dome(Some(clear), None),
                    notes,
                    diffuse_relative_sd: clear_sd.hypot(dark_sd),
                }
            }
            Self::Overcast { cloud, .. } => {
                let c = *cloud;
                let fit = 1.0 - 0.75 * c.powf(3.4);
                let beam_share = fit * (1.0 - c * c);
                let beam_on_ground_lx = luminous(&hour.beam_normal) * hour.altitude_deg.to_radians().sin();
                // All diffuse light, minus the part of the clear dome that still shows: never below zero for c in
                // 0–1.
                let diffuse_lx = fit * (hour.diffuse_lx + beam_on_ground_lx * c * c);
                let cloud_lx = (diffuse_lx - (1.0 - c) * hour.diffuse_lx).max(0.0);
                let seen = hour.diffuse * (1.0 - c);
                let clear = if c < 1.0 { Some(clear_part(&mut notes)?) } else { None };
                let clear_sd =
                    clear.as_ref().map_or(0.0, |clear| clear_sd(clear, &hour.diffuse, true_altitude));
                let mut grey = daylight_of(OVERCAST_CCT_K, cloud_lx)?;
                if c > 0.0 {
                    notes.push(Note::CloudFit);
                }
                if let Some(more) = between_ground_and_cloud(ground, c) {
                    // What the ground sends up comes from sun and sky, and comes back from the cloud.
                    let mut global = seen + grey;
                    global.add_scaled(beam_share * hour.altitude_deg.to_radians().sin(), &hour.beam_normal);
                    grey += global * more;
                    notes.push(Note::BrightGround {
                        factor: luminous(&(global + global * more))
                            / luminous(&global).max(f64::MIN_POSITIVE),
                    });
                }
                SkyLight {
                    beam_normal: hour.beam_normal * beam_share,
                    diffuse_horizontal: if c < 1.0 { seen + grey } else { grey },
                    dome: dome(clear.map(|clear| clear.dimmed(1.0 - c)), Some(cloud_part(1, &grey)?)),
                    notes,
                    diffuse_relative_sd: ((1.0 - c) * clear_sd + c * CLOUD_DIFFUSE_SD).hypot(dark_sd),
                }
            }
            Self::Standard { cie_type, spectrum, diffuse_horizontal_lx } => {
                let kind = &CIE_TYPES[usize::from(*cie_type - 1)];
                let lx = diffuse_horizontal_lx
                    .unwrap_or_else(|| typical_diffuse_lx(kind.diffuse_share, true_altitude));
                let diffuse = match spectrum {
                    SkySpectrum::Daylight { cct_k } => daylight_of(*cct_k, lx)?,
                    SkySpectrum::ClearDiffuse if hour.diffuse_lx > 0.0 => {
                        hour.diffuse * (lx / hour.diffuse_lx)
                    }
                    SkySpectrum::ClearDiffuse => Spectrum::ZERO,
                };
                let mut diffuse = diffuse;
                if diffuse_horizontal_lx.is_none() {
                    // Of the overcast types, 2 and 4 are about as bright as the mean hour.
                    notes.push(Note::TypicalLevel { dark: matches!(cie_type, 1 | 3) });
                    // Types 1 to 4 are overcast.
                    if let Some(more) = between_ground_and_cloud(ground, 1.0).filter(|_| *cie_type <= 4) {
                        let before = luminous(&diffuse).max(f64::MIN_POSITIVE);
                        diffuse += diffuse * more;
                        notes.push(Note::BrightGround { factor: luminous(&diffuse) / before });
                    }
                }
                let beam_lx = beam_illuminance_lx(kind, relative_air_mass(90.0 - hour.altitude_deg))
                    * sun.disc_above(0.0);
                let own_lx = luminous(&hour.beam_normal);
                let beam_normal = if own_lx > 0.0 && beam_lx > 0.0 {
                    hour.beam_normal * (beam_lx / own_lx)
                } else {
                    Spectrum::ZERO
                };
                SkyLight {
                    beam_normal,
                    diffuse_horizontal: diffuse,
                    dome: dome(None, Some(cloud_part(*cie_type, &diffuse)?)),
                    notes,
                    diffuse_relative_sd: match diffuse_horizontal_lx {
                        Some(_) => 0.0,
                        None => CLOUD_DIFFUSE_SD.hypot(dark_sd),
                    },
                }
            }
        };
        if !stated {
            let cct_k = match self {
                Self::Standard { spectrum: SkySpectrum::Daylight { cct_k }, .. } => *cct_k,
                _ => NIGHT_CCT_K,
            };
            let share = 1.0 - smoothstep(NIGHT_BELOW_DEG, GLOW_BELOW_DEG, true_altitude);
            light.fade_into_night(share, cct_k)?;
        }
        Ok(light)
    }
}

/// Light that ground brighter than usual adds by wavelength, as a share of what falls on open ground: with a cover of
/// cloud `c`, 0–1, the light goes back and forth and makes 1/(1 − ρ_ground·ρ_cloud) of the light that comes through the
/// cloud. Over the ground of the surveys that is part of the level already. `None` if the ground is no brighter.
///
/// # Source
/// The sum of the reflections between two parallel layers: G. G. Stokes 1862, and every radiation model since, such as
/// Bird & Hulstrom 1981, SERI/TR-642-761, for ground and clear air; from memory. [`CLOUD_REFLECTANCE`] is estimated. It
/// counts for ground that is alike for kilometres around, as snow is.
fn between_ground_and_cloud(ground: &Ground, c: f64) -> Option<Spectrum> {
    let cloud = c * CLOUD_REFLECTANCE;
    let usual = 1.0 / (1.0 - SURVEYED_ALBEDO * cloud);
    let more = ground.albedo.map(|rho| (1.0 / (1.0 - rho * cloud) / usual - 1.0).max(0.0));
    (more.max() > 1e-9).then_some(more)
}

impl SkyLight {
    /// Replaces a share of the dome by as much light of the night sky, which is alike in all directions and has the
    /// colour of daylight of `cct_k`: the glow of the sunset, whose pattern and colour twilight has, is gone by then.
    fn fade_into_night(&mut self, share: f64, cct_k: f64) -> Result<(), DaylightError> {
        if share <= 0.0 {
            return Ok(());
        }
        let night = daylight_of(cct_k, share * luminous(&self.diffuse_horizontal))?;
        self.diffuse_horizontal = self.diffuse_horizontal * (1.0 - share) + night;
        self.dome.fade_into_night(share, night);
        Ok(())
    }
}

/// True altitude of the sun below which the glow of its setting fades, until [`NIGHT_BELOW_DEG`], degrees: the end of
/// nautical twilight, after which no horizon is seen at sea (common practice, no source).
const GLOW_BELOW_DEG: f64 = -12.0;

/// Correlated colour temperature of the night sky where the scene states none, K: that of an overcast day. Ours, without
/// a source; in so little light no eye sees colour.
const NIGHT_CCT_K: f64 = OVERCAST_CCT_K;

/// Minimum relative standard deviation of the level of a clear dome at one wavelength: its two sources differ by
/// factors from about 0.6 to 1.4 over wavelength; a uniform distribution over ±0.4 has the deviation 0.4/√3.
pub const CLEAR_DIFFUSE_SD: f64 = 0.23;

/// The same for one hour: more than the minimum if the two sources give more different amounts of light (two
/// estimates of one quantity: |ln of their ratio|/√2). Below 5° neither source sets the level.
fn clear_sd(clear: &ClearSky, diffuse: &Spectrum, true_altitude_deg: f64) -> f64 {
    let (own, used) = (luminous(&(*clear.level_ratio() * *diffuse)), luminous(diffuse));
    if true_altitude_deg >= CLEAR_MODEL_FROM_DEG && own > 0.0 && used > 0.0 {
        ((own / used).ln().abs() * std::f64::consts::FRAC_1_SQRT_2).max(CLEAR_DIFFUSE_SD)
    } else {
        CLEAR_DIFFUSE_SD
    }
}

/// Relative standard deviation of the level of a modelled cloudy dome. Estimated: hourly light under the same cloud
/// cover commonly differs twofold.
pub const CLOUD_DIFFUSE_SD: f64 = 0.4;

/// Level of a standard sky: Dv/Ev of the type for a sun above 5°; below that, the twilight curve in the same
/// proportion.
fn typical_diffuse_lx(diffuse_share: f64, true_altitude_deg: f64) -> f64 {
    let h = true_altitude_deg.max(CLEAR_MODEL_FROM_DEG);
    let typical = diffuse_share * SOLAR_ILLUMINANCE_LX * h.to_radians().sin();
    if true_altitude_deg >= CLEAR_MODEL_FROM_DEG {
        typical
    } else {
        typical * clear_illuminance_lx(true_altitude_deg) / clear_illuminance_lx(CLEAR_MODEL_FROM_DEG)
    }
}

fn daylight_of(cct_k: f64, lx: f64) -> Result<Spectrum, DaylightError> {
    let shape = illuminant::daylight(cct_k).map_err(|_| DaylightError::OutsideRange {
        what: "cct_k",
        expected: "kelvin from 4000 to 25000",
        found: cct_k,
    })?;
    Ok(shape * (lx / luminous(&shape)))
}
