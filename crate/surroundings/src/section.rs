//! Endless streets and free horizons, in cross-section.
//!
//! The section has the axes s = −z, away from the own wall, and y. Light along the street is integrated beforehand
//! (`sky`), so any sky is exact; strips endless along x exchange light by crossed strings.

mod lit;
mod side;
mod sky;
mod strips;

use std::f64::consts::{FRAC_PI_2, PI};

use glam::DVec2;
use plane::RoomVector;

use crate::site::{Site, Street};

pub(crate) use lit::LitSection;
use side::Side;
use strips::Strip;

/// Strips of a section and the share of each strip's view that another fills.
#[derive(Clone, Debug)]
pub(crate) struct Section {
    window_height: f64,
    own_height: f64,
    street: Option<Street>,
    sun: Option<RoomVector>,
    strips: Vec<Strip>,
    /// Row by row: share of the view of strip i filled by strip j.
    factors: Vec<f64>,
}

impl Section {
    pub(crate) fn new(site: &Site, street: Option<Street>, sun: Option<RoomVector>) -> Self {
        let strips = strips::of(site, street, sun);
        let mut factors = Vec::with_capacity(strips.len() * strips.len());
        for from in &strips {
            factors.extend(strips.iter().map(|to| from.share_filled_by(to)));
        }
        Self {
            window_height: site.window_middle_height_m,
            own_height: site.own_height_m,
            street,
            sun,
            strips,
            factors,
        }
    }

    /// Between which angles, from s toward y, a point of a side sees the sky.
    fn open_sky(&self, side: Side, at: DVec2) -> (f64, f64) {
        let (mut from, mut to) = (0.0_f64, PI);
        if side != Side::Facade
            && let Some(street) = self.street
        {
            from = (street.height_m - at.y).max(0.0).atan2(street.distance_m - at.x);
        }
        if side != Side::Own && self.own_height > 0.0 {
            to = PI - (self.own_height - at.y).max(0.0).atan2(at.x.max(f64::MIN_POSITIVE));
        }
        match side {
            Side::Own => to = to.min(FRAC_PI_2),
            Side::Facade => from = from.max(FRAC_PI_2),
            Side::Ground => {}
        }
        (from, to)
    }

    /// Illuminance by a beam of strength one; 0 in shadow.
    fn sunlit(&self, side: Side, at: DVec2) -> f64 {
        let Some(sun) = self.sun else { return 0.0 };
        let [_, up, into_room] = sun.to_array();
        let angle = up.atan2(-into_room);
        let (from, to) = self.open_sky(side, at);
        if up > 0.0 && from < angle && angle < to {
            let (sin, cos) = side.normal_angle().sin_cos();
            (up * sin - into_room * cos).max(0.0)
        } else {
            0.0
        }
    }
}
