//! How much of the sun's disc is seen past what stands before it.

use crate::place::Direction;
use crate::sun::SUN_DIAMETER_DEG;

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
