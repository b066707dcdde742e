//! What the window gets, by bearing and altitude.

use std::f64::consts::FRAC_PI_2;

use glam::dvec3;
use plane::RoomVector;

use crate::light::{Surface, Vertical, add_scaled};
use crate::lit::Lit;
use crate::quadrature::{gauss, over_panels};

/// Points of the rules over bearing and altitude, a panel each.
const BEARINGS: usize = 24;
/// See `BEARINGS`.
const ALTITUDES: usize = 20;

impl<const N: usize> Lit<N> {
    /// Illuminance on the upright plane at the window's middle, under the same sky.
    pub fn vertical(&self, sky: &(dyn Fn(RoomVector) -> [f64; N] + Sync)) -> Vertical<N> {
        let sun = self.sun.map(RoomVector::from);
        let mut bearings = self.exchange.bearings(sun);
        bearings.extend([-FRAC_PI_2, 0.0, FRAC_PI_2]);
        let sun_altitude = sun.map(|sun| {
            let [right, up, into_room] = sun.to_array();
            bearings.push(right.atan2(-into_room));
            up.clamp(-1.0, 1.0).asin()
        });
        bearings.retain(|bearing| bearing.abs() <= FRAC_PI_2);
        sorting::numbers(&mut bearings);
        let (over_bearing, over_altitude) = (gauss(BEARINGS), gauss(ALTITUDES));
        let zero = [0.0; N];
        let mut found = Vertical { sky: zero, ground: zero, facade: zero, sun: self.beam_on_window() };
        // E = ∫∫ L cos²h cos b dh db on an upright plane.
        over_panels(&over_bearing, &bearings, |bearing, by_bearing| {
            let (sin, cos) = bearing.sin_cos();
            let mut altitudes = self.exchange.edges(bearing, sun);
            altitudes.extend([-FRAC_PI_2, 0.0, FRAC_PI_2]);
            altitudes.extend(sun_altitude);
            sorting::numbers(&mut altitudes);
            over_panels(&over_altitude, &altitudes, |altitude, by_altitude| {
                let (up, level) = altitude.sin_cos();
                let toward = RoomVector::from(dvec3(level * sin, up, -level * cos));
                let weight = by_bearing * by_altitude * level * level * cos;
                match self.seen(toward) {
                    Some(met) => {
                        let part = match met.surface {
                            Surface::Ground => &mut found.ground,
                            _ => &mut found.facade,
                        };
                        add_scaled(part, weight, &met.luminance);
                    }
                    None => add_scaled(&mut found.sky, weight, &sky(toward)),
                }
            });
        });
        found
    }
}
