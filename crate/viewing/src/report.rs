//! The report: an instant's figures at a place, as printed by the command line and shown by the page.

use daylight::{ClockNote, Outside, Resolved as ResolvedTime, SunSeen};
use scene::{Resolved, WorkingPlane};
use schemars::JsonSchema;
use serde::Serialize;
use spectra::{Observer, Xyz, luminous};

use crate::buildings_report::BuildingsReport;
use crate::cast::Cast;
use crate::causes::Ranges;
use crate::error::ViewingError;
use crate::figure_range::FigureRange;
use crate::glare_seen::Glare;
use crate::instant::InstantLight;
use crate::lead_report::{LeadReport, flat_leads_in_words};
use crate::looks::Looks;
use crate::prepared::Prepared;
use crate::received::{Illuminance, Received};
use crate::wall_report::{WALL_LEFT_OUT, WallReport};
use crate::working_plane::WorkingPlaneReport;

/// What a report says without an own building.
const OWN_BUILDING_NOT_COUNTED: &str = "own building: its height is not given, so its shadow on the ground in front and the sky \
     that it hides from there are not counted";

/// What a report says of glass that scatters while the sun shines on it.
const SCATTERED_SUN: &str = "scattering: what scatters sends sun to places beside its patch, too, so that such a place can become \
     brighter by it";

/// The caution at the end of every report that contains light.
pub const DESIGN_AID: &str = "a design aid, not proof of compliance with any daylight or safety code";

/// Everything about one instant at one place. Undefined values are `None`, never NaN.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The scene's name.
    pub scene: String,
    /// The instant, UTC.
    pub utc: String,
    /// The instant on the site's clocks, with the zone's abbreviation.
    pub local: String,
    /// The sun's position.
    pub sun: SunReport,
    /// The light outside.
    pub outside: OutsideReport,
    /// The light at the place.
    pub viewing: ViewingReport,
    /// Each piece as seen from the place.
    pub pieces: Vec<PieceReport>,
    /// The buildings outside that are counted; `None` without any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buildings: Option<BuildingsReport>,
    /// The walls around windows that have depth; none without them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub walls: Vec<WallReport>,
    /// The leads of windows whose leads have depth; none without them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub leads: Vec<LeadReport>,
    /// Cautions for readers of the figures.
    pub warnings: Vec<String>,
    /// How well the figures are known; `None` in the dark, and from [`Prepared::report`], which leaves it to
    /// [`Prepared::ranges`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ranges: Option<Ranges>,
}

/// The sun's position.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SunReport {
    /// Altitude above the horizon, including refraction.
    pub altitude_deg: f64,
    /// Azimuth, clockwise from true north.
    pub azimuth_deg: f64,
    /// Angle between the sun and the normal of the glass; `None` while the sun is down or behind the wall.
    pub incidence_deg: Option<f64>,
}

/// The light outside, lx.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OutsideReport {
    /// From the sun, on a plane facing it, before the middle of the window: past skyline, trees and blocks.
    pub beam_normal_lx: f64,
    /// From the whole sky, on open ground.
    pub diffuse_horizontal_lx: f64,
    /// From the whole sky, and the sun past skyline and trees, on open ground.
    pub global_horizontal_lx: f64,
    /// From everything, on an upright plane before the middle of the window and in front of its own wall.
    pub vertical_on_glass_lx: f64,
}

/// The light at the place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ViewingReport {
    /// On a vertical plane at the eye that faces the window.
    pub vertical: Illuminance,
    /// On a horizontal plane at the eye.
    pub horizontal: Illuminance,
    /// Ratio of the vertical illuminance to that with clear glass in the same leads at the same minute: one pane of
    /// 3 mm float, no paint and no protective glazing, so that a protective pane counts as part of the window's
    /// loss.
    pub share_of_clear: Option<f64>,
    /// The colour of the vertical light.
    pub cast: Cast,
    /// How things look in it.
    pub looks: Looks,
    /// CIE general colour rendering index of the vertical light; `None` where it has no meaning, and where it is
    /// too dark for colour.
    pub ra: Option<f64>,
    /// The light on the working plane of the place: the figures in front if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub working_plane: Option<WorkingPlaneReport>,
    /// Glare of the view from the eye, straight at the window.
    pub glare: Glare,
}

/// The figures that suit what a place is used for.
#[derive(Clone, Copy, Debug)]
pub struct Front<'a> {
    /// The plane they are for; `None` for the eye.
    pub plane: Option<WorkingPlane>,
    /// Horizontal on the working plane, vertical at the eye.
    pub light: &'a Illuminance,
    /// As in the report.
    pub share_of_clear: Option<f64>,
    /// As in the report.
    pub cast: &'a Cast,
    /// As in the report.
    pub looks: &'a Looks,
    /// As in the report.
    pub ra: Option<f64>,
}

impl ViewingReport {
    /// The figures on the working plane if the place has one, otherwise those at the eye.
    pub fn front(&self) -> Front<'_> {
        match &self.working_plane {
            Some(WorkingPlaneReport { kind, height_m, horizontal, share_of_clear, cast, looks, ra }) => {
                Front {
                    plane: Some(WorkingPlane { kind: *kind, height_m: *height_m }),
                    light: horizontal,
                    share_of_clear: *share_of_clear,
                    cast,
                    looks,
                    ra: *ra,
                }
            }
            None => Front {
                plane: None,
                light: &self.vertical,
                share_of_clear: self.share_of_clear,
                cast: &self.cast,
                looks: &self.looks,
                ra: self.ra,
            },
        }
    }
}

/// One piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PieceReport {
    /// Its number.
    pub id: u32,
    /// Ids of its glasses, outermost first, joined by " + ".
    pub glass: String,
    /// Area that light passes through, mm².
    pub light_area_mm2: f64,
    /// Mean luminance toward the place, without the sun's disc; `None` if the piece cannot be seen.
    pub luminance_cd_m2: Option<f64>,
    /// CIE 1931 x of that light.
    pub x: Option<f64>,
    /// CIE 1931 y of that light.
    pub y: Option<f64>,
    /// Luminous transmittance at normal incidence, regular and diffuse, for D65, 0–1.
    pub transmittance_y: f64,
}

impl Report {
    /// Adds the ranges, and the standard deviations that follow from those by the glass alone. In the dark, where there
    /// are none, light is exactly 0.
    fn set_ranges(&mut self, ranges: Option<Ranges>) {
        let viewing = &mut self.viewing;
        let glass = ranges.as_ref().map(|ranges| &ranges.glass_alone);
        let sd = |range: Option<FigureRange>| range.map_or(0.0, |range| range.sd());
        viewing.vertical.uncertainty_lx = Some(sd(glass.map(|glass| glass.vertical_lx)));
        viewing.horizontal.uncertainty_lx = Some(sd(glass.map(|glass| glass.horizontal_lx)));
        let uv = glass.and_then(|glass| Some(glass.u_prime?.sd().hypot(glass.v_prime?.sd())));
        match &mut viewing.working_plane {
            Some(plane) => {
                plane.horizontal.uncertainty_lx = Some(sd(glass.and_then(|glass| glass.working_plane_lx)));
                plane.cast.uncertainty_uv = uv;
            }
            None => viewing.cast.uncertainty_uv = uv,
        }
        let dgp = ranges.as_ref().and_then(|ranges| ranges.dgp);
        (viewing.glare.dgp_p05, viewing.glare.dgp_p95) = (dgp.map(|dgp| dgp.p05), dgp.map(|dgp| dgp.p95));
        self.ranges = ranges;
    }
}

impl Prepared {
    /// The report of an instant. `resolved` is the scene from which this was prepared, with the same make-ups.
    ///
    /// # Errors
    /// [`ViewingError::Time`] if the time cannot be expressed in the site's zone.
    pub fn report(&self, resolved: &Resolved, outside: &Outside) -> Result<Report, ViewingError> {
        self.report_of(resolved, outside, &self.light(outside))
    }

    /// The report of light already computed, by this or the direct method.
    ///
    /// # Errors
    /// As [`Self::report`].
    pub fn report_of(
        &self,
        resolved: &Resolved,
        outside: &Outside,
        light: &InstantLight,
    ) -> Result<Report, ViewingError> {
        let instant = outside.instant();
        let local = instant.in_zone(&resolved.scene.site.time_zone)?;
        let sun = outside.sun();
        let cosine = outside.sun_cosine(self.wall.facing_deg, 90.0);
        let up = sun.apparent_altitude_deg() > -0.5 * daylight::SUN_DIAMETER_DEG;
        let (on_glass_beam, on_glass_diffuse) = outside.irradiance_on(self.wall.facing_deg, 90.0);
        let Received { share_of_clear, cast, looks, ra, doubtful } =
            Received::of(&light.vertical.total(), &light.clear[0]);
        let plane = self.plane_report(light);
        let pieces = self.piece_reports(resolved, light);
        let ids: Vec<u32> = pieces.iter().map(|piece| piece.id).collect();
        let glare = self.glare(outside, light, &ids);
        let mut warnings = self.warnings(outside, light);
        warnings.extend(scene::deposits_in_words(resolved));
        let scattering = scene::scattering_in_words(resolved);
        if !scattering.is_empty() && on_glass_beam.max() > 0.0 {
            warnings.push(SCATTERED_SUN.to_owned());
        }
        warnings.extend(scattering);
        let walls = self.wall_reports(resolved);
        if !walls.is_empty() {
            warnings.push(WALL_LEFT_OUT.to_owned());
        }
        warnings.extend(flat_leads_in_words(resolved));
        // Only of the index that is printed.
        if plane.as_ref().map_or(doubtful, |(_, doubtful)| *doubtful) {
            warnings.push(
                "Ra: this light lies off the line of black bodies, where the index is less accurate (CIE 13.3)"
                    .to_owned(),
            );
        }
        Ok(Report {
            scene: resolved.scene.name.clone(),
            utc: instant.to_string(),
            local: format!("{} {}", local.civil, local.abbreviation),
            sun: SunReport {
                altitude_deg: sun.apparent_altitude_deg(),
                azimuth_deg: sun.azimuth_deg,
                incidence_deg: (up && cosine > 0.0).then(|| cosine.min(1.0).acos().to_degrees()),
            },
            outside: OutsideReport {
                beam_normal_lx: luminous(&outside.beam_normal()),
                diffuse_horizontal_lx: luminous(&outside.diffuse_horizontal()),
                global_horizontal_lx: luminous(&outside.global_horizontal()),
                vertical_on_glass_lx: luminous(&(on_glass_beam + on_glass_diffuse)),
            },
            viewing: ViewingReport {
                vertical: Illuminance::of(&light.vertical),
                horizontal: Illuminance::of(&light.horizontal),
                share_of_clear,
                cast,
                looks,
                ra,
                working_plane: plane.map(|(report, _)| report),
                glare,
            },
            pieces,
            buildings: BuildingsReport::of(resolved),
            walls,
            leads: self.lead_reports(resolved),
            warnings,
            ranges: None,
        })
    }

    fn piece_reports(&self, resolved: &Resolved, light: &InstantLight) -> Vec<PieceReport> {
        let mut reports = Vec::with_capacity(light.pieces.len());
        for ((shape, seen), &pane) in self.wall.pieces.iter().zip(&light.pieces).zip(&self.glazing.of_piece) {
            let pane = &self.glazing.panes[pane];
            let glasses: Vec<&str> = pane.makeup.plates.iter().map(|p| p.glass.id.as_str()).collect();
            let xyz = seen.radiance.map(|s| Xyz::absolute(&s, Observer::Cie1931));
            let xy = xyz.and_then(Xyz::chromaticity);
            let id = resolved
                .windows
                .get(shape.window)
                .and_then(|w| w.pieces.get(shape.piece))
                .map_or(0, |p| p.id);
            reports.push(PieceReport {
                id,
                glass: glasses.join(" + "),
                light_area_mm2: shape.area_m2 * 1e6,
                luminance_cd_m2: xyz.map(|c| c.y),
                x: xy.map(|c| c.x),
                y: xy.map(|c| c.y),
                transmittance_y: pane.transmittance_y,
            });
        }
        reports
    }

    fn warnings(&self, outside: &Outside, light: &InstantLight) -> Vec<String> {
        let mut warnings: Vec<String> = outside.notes().iter().map(ToString::to_string).collect();
        let is_dark = luminous(&light.vertical.total()) <= 0.0;
        if !is_dark && !outside.counts_own_building() {
            warnings.push(OWN_BUILDING_NOT_COUNTED.to_owned());
        }
        let sd = outside.diffuse_relative_sd();
        if sd > 0.0 {
            warnings.push(format!(
                "sky: its level is uncertain by ± {:.0} % (one standard deviation)",
                100.0 * sd
            ));
        }
        let through: f64 = light.pieces.iter().map(|p| p.sun_share).sum();
        let SunSeen { disc, past_trees } = outside.sun_seen();
        let sun = disc * through.min(1.0);
        if sun > 0.0 {
            let trees = if past_trees < 1.0 { ", behind trees" } else { "" };
            warnings.push(format!(
                "sun: {:.0} % of its disc is seen from here through the glass{trees}; looking at it can injure the eyes",
                100.0 * sun
            ));
        }
        if !is_dark {
            warnings.push(DESIGN_AID.to_owned());
        }
        warnings
    }
}

/// The report of a scene at a civil time at its site (its own hour if `at` is `None`) and a place (the first if
/// `None`), with a note if the clocks changed at that time, and with the ranges of its figures.
///
/// # Errors
/// [`ViewingError`]: an unreadable time, an unknown place, a place outside the room.
pub fn report(resolved: &Resolved, at: Option<&str>, place: Option<&str>) -> Result<Report, ViewingError> {
    let ResolvedTime { utc, note, .. } = resolved.instant(at.unwrap_or(&resolved.scene.at))?;
    let outside = resolved.outside(utc)?;
    let prepared = Prepared::new(resolved, place)?;
    let light = prepared.light(&outside);
    let mut report = prepared.report_of(resolved, &outside, &light)?;
    report.set_ranges(prepared.ranges(resolved, &outside, &light)?);
    report.warnings.extend(note.map(clock_warning));
    Ok(report)
}

fn clock_warning(note: ClockNote) -> String {
    match note {
        ClockNote::Gap { skipped_minutes } => format!(
            "clocks: they were set forward by {skipped_minutes} min, skipping this time; the time shown is \
             {skipped_minutes} min later"
        ),
        ClockNote::Fold { second, .. } => {
            format!(
                "clocks: they were set back, so this time occurred twice; this is the first, the second is {second}"
            )
        }
    }
}
