//! The surroundings of the place: walls, hills and trees.

use spectra::Spectrum;

use crate::buildings::Buildings;
use crate::error::{DaylightError, within};
use crate::ground::check_shares;
use crate::place::Place;
use crate::sun::SunPosition;
use crate::sun_share::SunSeen;

/// A point of the skyline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HorizonPoint {
    /// Degrees clockwise from true north.
    pub bearing_deg: f64,
    /// Degrees above the horizontal that the obstruction reaches there, 0–90.
    pub altitude_deg: f64,
}

/// A stand of trees in front of the skyline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trees {
    /// Bearing at which they begin, degrees clockwise from true north.
    pub from_bearing_deg: f64,
    /// Bearing at which they end, going clockwise from the beginning.
    pub to_bearing_deg: f64,
    /// Altitude that they reach, degrees above the horizontal, 0–90.
    pub top_altitude_deg: f64,
    /// Share of light that passes between bare twigs, 0–1.
    pub transmittance_bare: f64,
    /// Share of light that passes in full leaf, 0–1; the same as bare for evergreens.
    pub transmittance_in_leaf: f64,
    /// Reflectance of their surface by wavelength, 0–1.
    pub reflectance: Spectrum,
}

/// The surroundings, by bearing.
#[derive(Clone, Debug, PartialEq)]
pub struct Horizon {
    /// Skyline, in any order; straight between neighbouring bearings, all round. Empty means open.
    pub points: Vec<HorizonPoint>,
    /// Reflectance of the skyline's surfaces by wavelength, 0–1.
    pub reflectance: Spectrum,
    /// Trees in front of it.
    pub trees: Vec<Trees>,
    /// The own building and what stands near the window.
    pub buildings: Option<Buildings>,
}

impl Default for Horizon {
    fn default() -> Self {
        Self { points: Vec::new(), reflectance: Spectrum::splat(0.25), trees: Vec::new(), buildings: None }
    }
}

impl Horizon {
    /// # Errors
    /// [`DaylightError::OutsideRange`] naming the first field out of range.
    pub fn check(&self) -> Result<(), DaylightError> {
        const BEARING: &str = "degrees from −360 to 720";
        for point in &self.points {
            within("horizon.points.bearing_deg", point.bearing_deg, -360.0..=720.0, BEARING)?;
            within("horizon.points.altitude_deg", point.altitude_deg, 0.0..=90.0, "degrees from 0 to 90")?;
        }
        check_shares("horizon.reflectance", &self.reflectance)?;
        for trees in &self.trees {
            within("horizon.trees.from_bearing_deg", trees.from_bearing_deg, -360.0..=720.0, BEARING)?;
            within("horizon.trees.to_bearing_deg", trees.to_bearing_deg, -360.0..=720.0, BEARING)?;
            within(
                "horizon.trees.top_altitude_deg",
                trees.top_altitude_deg,
                0.0..=90.0,
                "degrees from 0 to 90",
            )?;
            within(
                "horizon.trees.transmittance_bare",
                trees.transmittance_bare,
                0.0..=1.0,
                "a share from 0 to 1",
            )?;
            let in_leaf = trees.transmittance_in_leaf;
            within("horizon.trees.transmittance_in_leaf", in_leaf, 0.0..=1.0, "a share from 0 to 1")?;
            check_shares("horizon.trees.reflectance", &trees.reflectance)?;
        }
        Ok(())
    }

    /// Share of the sun's beam that skyline and trees let through to a place on a day; what stands near is left out.
    pub fn sun_share(&self, place: &Place, day_of_year: f64, sun: &SunPosition) -> f64 {
        if self.is_open() {
            return 1.0;
        }
        Skyline::new(self, place.latitude_deg, day_of_year).sun_seen(sun).of_beam()
    }

    /// Whether nothing obstructs the horizon far away: neither skyline nor trees.
    pub fn is_open(&self) -> bool {
        self.trees.is_empty() && self.points.iter().all(|p| p.altitude_deg <= 0.0)
    }
}

/// The surroundings on one day, ready to be queried.
#[derive(Clone, Debug)]
pub(crate) struct Skyline {
    /// Bearings 0–360 ascending, with the ends wrapped round.
    points: Vec<(f64, f64)>,
    pub(crate) trees: Vec<Screen>,
}

/// Trees on one day.
#[derive(Clone, Debug)]
pub(crate) struct Screen {
    from: f64,
    span: f64,
    pub(crate) top_deg: f64,
    pub(crate) transmittance: f64,
    pub(crate) reflectance: Spectrum,
}

impl Screen {
    pub(crate) fn covers(&self, bearing_deg: f64) -> bool {
        (bearing_deg - self.from).rem_euclid(360.0) <= self.span
    }
}

impl Skyline {
    pub(crate) fn new(horizon: &Horizon, latitude_deg: f64, day_of_year: f64) -> Self {
        let mut points: Vec<(f64, f64)> =
            horizon.points.iter().map(|p| (p.bearing_deg.rem_euclid(360.0), p.altitude_deg)).collect();
        sorting::by(&mut points, |a, b| a.0.total_cmp(&b.0));
        if let (Some(&first), Some(&last)) = (points.first(), points.last()) {
            points.insert(0, (last.0 - 360.0, last.1));
            points.push((first.0 + 360.0, first.1));
        }
        let leaf = leaf_share(latitude_deg, day_of_year);
        let trees = horizon
            .trees
            .iter()
            .map(|t| Screen {
                from: t.from_bearing_deg,
                span: match t.to_bearing_deg - t.from_bearing_deg {
                    all if all.abs() >= 360.0 => 360.0,
                    part => part.rem_euclid(360.0),
                },
                top_deg: t.top_altitude_deg,
                transmittance: t.transmittance_bare + leaf * (t.transmittance_in_leaf - t.transmittance_bare),
                reflectance: t.reflectance,
            })
            .collect();
        Self { points, trees }
    }

    /// Bearings at which the kind of view changes.
    pub(crate) fn bearings_deg(&self) -> impl Iterator<Item = f64> + '_ {
        let points = self.points.iter().map(|p| p.0);
        points.chain(self.trees.iter().flat_map(|t| [t.from, t.from + t.span]))
    }

    /// Altitudes at which the kind of view changes at a bearing, degrees.
    pub(crate) fn edges_deg(&self, bearing_deg: f64) -> impl Iterator<Item = f64> + '_ {
        let trees = self.trees.iter().filter(move |t| t.covers(bearing_deg)).map(|t| t.top_deg);
        std::iter::once(self.altitude_deg(bearing_deg)).chain(trees)
    }

    /// What is seen in a direction: the share of the sky's radiance that passes, and the reflectance by which light on
    /// upright faces there adds to it.
    pub(crate) fn mixture(
        &self,
        bearing_deg: f64,
        altitude_deg: f64,
        reflectance: &Spectrum,
    ) -> (f64, Spectrum) {
        let mut seen = if altitude_deg < self.altitude_deg(bearing_deg) {
            (0.0, *reflectance)
        } else {
            (1.0, Spectrum::ZERO)
        };
        for screen in &self.trees {
            if altitude_deg < screen.top_deg && screen.covers(bearing_deg) {
                let leaves = screen.reflectance * (1.0 - screen.transmittance);
                seen = (seen.0 * screen.transmittance, seen.1 * screen.transmittance + leaves);
            }
        }
        seen
    }

    /// What skyline and trees leave of the sun.
    pub(crate) fn sun_seen(&self, sun: &SunPosition) -> SunSeen {
        let mut past_trees = 1.0;
        for screen in self.trees.iter().filter(|screen| screen.covers(sun.azimuth_deg)) {
            let above = sun.disc_above(screen.top_deg);
            past_trees *= above + (1.0 - above) * screen.transmittance;
        }
        SunSeen { disc: sun.disc_above(self.altitude_deg(sun.azimuth_deg)), past_trees }
    }

    /// Altitude of the skyline, degrees.
    pub(crate) fn altitude_deg(&self, bearing_deg: f64) -> f64 {
        if self.points.is_empty() {
            return 0.0;
        }
        let bearing = bearing_deg.rem_euclid(360.0);
        let after = self.points.partition_point(|p| p.0 <= bearing).clamp(1, self.points.len() - 1);
        let ((x0, y0), (x1, y1)) = (self.points[after - 1], self.points[after]);
        if x1 > x0 { y0 + (y1 - y0) * ((bearing - x0) / (x1 - x0)).clamp(0.0, 1.0) } else { y1 }
    }
}

/// How far broad-leaved trees are in leaf, 0 bare to 1 full, by season.
///
/// Leaves come from mid April to mid May and fall from mid October to mid November, half a year later in the south.
/// Trees are always in leaf within the tropics; between 23° and 30° of latitude the two are blended. **Estimated**:
/// common knowledge of temperate gardens, no source; a real tree's weeks depend on species and year.
pub fn leaf_share(latitude_deg: f64, day_of_year: f64) -> f64 {
    let day = if latitude_deg < 0.0 { (day_of_year + 182.5).rem_euclid(365.0) } else { day_of_year };
    let season = ((day - 105.0) / 30.0).clamp(0.0, 1.0) * ((320.0 - day) / 30.0).clamp(0.0, 1.0);
    let temperate = ((latitude_deg.abs() - 23.0) / 7.0).clamp(0.0, 1.0);
    1.0 - temperate * (1.0 - season)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn skyline(points: &[(f64, f64)]) -> Skyline {
        let points =
            points.iter().map(|&(bearing_deg, altitude_deg)| HorizonPoint { bearing_deg, altitude_deg });
        Skyline::new(&Horizon { points: points.collect(), ..Horizon::default() }, 50.0, 180.0)
    }

    #[test]
    fn the_skyline_is_straight_between_points_and_closes_round() {
        let s = skyline(&[(350.0, 10.0), (10.0, 20.0), (180.0, 0.0)]);
        for (bearing, altitude) in
            [(0.0, 15.0), (360.0, 15.0), (-10.0, 10.0), (10.0, 20.0), (95.0, 10.0), (180.0, 0.0)]
        {
            assert!(
                (s.altitude_deg(bearing) - altitude).abs() < 1e-9,
                "{bearing}: {}",
                s.altitude_deg(bearing)
            );
        }
        assert!(skyline(&[]).altitude_deg(77.0).abs() < 1e-12);
        assert!((skyline(&[(40.0, 7.0)]).altitude_deg(200.0) - 7.0).abs() < 1e-12);
    }

    #[test]
    fn trees_wrap_round_north() {
        let screen = |from, to| {
            let trees = Trees {
                from_bearing_deg: from,
                to_bearing_deg: to,
                top_altitude_deg: 10.0,
                transmittance_bare: 0.6,
                transmittance_in_leaf: 0.2,
                reflectance: Spectrum::splat(0.1),
            };
            Skyline::new(&Horizon { trees: vec![trees], ..Horizon::default() }, 50.0, 180.0).trees.remove(0)
        };
        let s = screen(340.0, 20.0);
        assert!(s.covers(350.0) && s.covers(10.0) && s.covers(-5.0) && !s.covers(180.0));
        assert!((s.transmittance - 0.2).abs() < 1e-12);
        assert!(screen(0.0, 360.0).covers(123.0));
    }

    #[test]
    fn leaves_come_and_go() {
        for (latitude, day, share) in [
            (50.0, 20.0, 0.0),
            (50.0, 200.0, 1.0),
            (-40.0, 20.0, 1.0),
            (-40.0, 200.0, 0.0),
            (5.0, 20.0, 1.0),
            (50.0, 120.0, 0.5),
        ] {
            assert!((leaf_share(latitude, day) - share).abs() < 1e-12, "{latitude} {day}");
        }
    }
}
