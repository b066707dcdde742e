//! How much of the sun's disc a window sees past what stands before it.

use surroundings::{Outlines, Site};

use crate::buildings::Buildings;
use crate::horizon::{Horizon, Skyline};
use crate::outside::Outside;
use crate::place::{Direction, Place};
use crate::sun::{SUN_DIAMETER_DEG, SunPosition};

/// What stands before the sun's disc, as the window sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunSeen {
    /// Share of the disc above skyline and blocks, 0–1; the horizon itself and the own building hide nothing here.
    pub disc: f64,
    /// Share of the beam of that part that trees let by, 0–1.
    pub past_trees: f64,
}

impl SunSeen {
    pub(crate) const FREE: Self = Self { disc: 1.0, past_trees: 1.0 };

    /// Share of the beam.
    pub(crate) fn of_beam(self) -> f64 {
        self.disc * self.past_trees
    }
}

/// What skyline and trees leave.
pub(crate) fn past_skyline(sun: &SunPosition, skyline: &Skyline) -> SunSeen {
    let disc = sun.disc_above(skyline.altitude_deg(sun.azimuth_deg));
    let mut past_trees = 1.0;
    for screen in skyline.trees.iter().filter(|screen| screen.covers(sun.azimuth_deg)) {
        let above = sun.disc_above(screen.top_deg);
        past_trees *= above + (1.0 - above) * screen.transmittance;
    }
    SunSeen { disc, past_trees }
}

/// Share of the disc that nothing near hides.
pub(crate) fn past_what_hides(sun: Direction, hides: &dyn Fn(Direction) -> bool) -> f64 {
    // On a spiral that covers the disc evenly. One place in 64 is finer than light is known.
    const PLACES: usize = 64;
    let golden = std::f64::consts::PI * (3.0 - 5.0_f64.sqrt());
    let free = (0..PLACES).filter(|k| {
        let away = 0.5 * SUN_DIAMETER_DEG * ((*k as f64 + 0.5) / PLACES as f64).sqrt();
        let (sin, cos) = (golden * *k as f64).sin_cos();
        let aside = away * cos / sun.altitude_deg.to_radians().cos().max(0.01);
        !hides(Direction {
            altitude_deg: sun.altitude_deg + away * sin,
            azimuth_deg: sun.azimuth_deg + aside,
        })
    });
    free.count() as f64 / PLACES as f64
}

impl Buildings {
    /// Share of the sun's disc that no block hides from the window's middle, if the site had these measurements.
    pub fn sun_share(&self, site: &Site, sun: Direction) -> f64 {
        if site.blocks.is_empty() {
            return 1.0;
        }
        let outlines = Outlines::new(site);
        past_what_hides(sun, &|d| outlines.hide(self.toward(d)))
    }
}

impl Horizon {
    /// Share of the sun's beam at an instant that skyline and trees let through to a place: without what stands near.
    pub fn sun_share(&self, place: &Place, outside: &Outside) -> f64 {
        if self.is_open() {
            return 1.0;
        }
        let skyline = Skyline::new(self, place.latitude_deg, outside.instant().day_of_year());
        past_skyline(outside.sun(), &skyline).of_beam()
    }
}
