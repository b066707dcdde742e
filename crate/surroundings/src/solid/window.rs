//! What the window gets, by bearing and altitude.

use std::f64::consts::FRAC_PI_2;

use glam::{DVec3, dvec3};

use super::cast::{Face, Hit};
use super::lit::LitSolid;
use crate::light::Vertical;
use crate::quadrature::{gauss, over_panels};

/// Points of the rules over bearing and altitude, a panel each.
const BEARINGS: usize = 32;
/// See `BEARINGS`.
const ALTITUDES: usize = 32;

/// Between which altitudes a bearing meets what, radians.
struct Column {
    /// Where the ground before the block ends and its upright face begins; 0 where the bearing misses it.
    foot: f64,
    /// Where the face ends.
    top: f64,
    /// Where the roof ends, if the window looks down on it, and ground shows again.
    roof: f64,
}

impl LitSolid<'_> {
    pub(crate) fn vertical(&self) -> Vertical {
        let bearings = self.bearings();
        let (over_bearing, over_altitude) = (gauss(BEARINGS), gauss(ALTITUDES));
        let sun = self.solid.sun.map(|sun| sun.to_array()[1].clamp(-1.0, 1.0).asin());
        // E = ∫∫ L cos²h cos b dh db on an upright plane.
        let gathered = |part: &dyn Fn(&Column, f64) -> Vec<Vec<f64>>, luminance: &dyn Fn(DVec3) -> f64| {
            over_panels(&over_bearing, &bearings, |bearing| {
                let (sin, cos) = bearing.sin_cos();
                let column = self.column(sin, cos);
                let mut sum = 0.0;
                for breaks in part(&column, cos) {
                    sum += over_panels(&over_altitude, &breaks, |altitude| {
                        let (up, level) = altitude.sin_cos();
                        level * level * luminance(dvec3(level * sin, up, -level * cos))
                    });
                }
                cos * sum
            })
        };
        let sky = gathered(
            &|column, _| {
                let top = column.top.max(0.0);
                // The sky is brightest, with a cusp, at the sun.
                let sun = sun.filter(|sun| (top..FRAC_PI_2).contains(sun)).unwrap_or(top);
                vec![vec![top, sun, FRAC_PI_2]]
            },
            &|toward| (self.light.sky)(toward.into()),
        );
        let facade = gathered(&|column, _| vec![vec![column.foot, column.top]], &|toward| {
            self.seen(toward, |face| face != Face::Ground)
        });
        let ground = gathered(
            &|column, cos| {
                let before = column.foot.min(0.0);
                vec![
                    self.shadow_line(cos, -FRAC_PI_2, before),
                    self.shadow_line(cos, column.roof.max(before), 0.0),
                ]
            },
            &|toward| self.seen(toward, |face| face == Face::Ground),
        );
        Vertical { sky, ground, facade, sun: self.beam(Face::Own, dvec3(0.0, self.solid.window_height, 0.0)) }
    }

    fn seen(&self, toward: DVec3, wanted: impl Fn(Face) -> bool) -> f64 {
        match self.solid.scene.cast(self.window(), toward) {
            Hit::Face(face, at) if wanted(face) => self.luminance_by_patches(face, at),
            _ => 0.0,
        }
    }

    /// Bearings at which the view changes abruptly, from −90° to 90°.
    fn bearings(&self) -> Vec<f64> {
        let [low, high] = self.solid.scene.corners();
        let mut bearings = vec![-FRAC_PI_2, 0.0, FRAC_PI_2];
        for x in [low.x, high.x] {
            bearings.extend([low.z, high.z].map(|z| x.atan2(-z)));
        }
        if let Some([right, _, into_room]) = self.solid.sun.map(|sun| sun.to_array())
            && into_room < 0.0
        {
            bearings.push(right.atan2(-into_room));
        }
        bearings.sort_by(f64::total_cmp);
        bearings
    }

    fn column(&self, sin: f64, cos: f64) -> Column {
        let height = self.solid.window_height;
        let [low, high] = self.solid.scene.corners();
        let (near, far) = (-high.z / cos, -low.z / cos);
        let (a, b) = (low.x / sin, high.x / sin);
        let (from, to) = if sin == 0.0 {
            if low.x <= 0.0 && high.x >= 0.0 { (near, far) } else { (1.0, 0.0) }
        } else {
            (near.max(a.min(b)), far.min(a.max(b)))
        };
        if from >= to {
            return Column { foot: 0.0, top: 0.0, roof: 0.0 };
        }
        Column {
            foot: (-height).atan2(from),
            top: (high.y - height).atan2(from),
            roof: (high.y - height).atan2(to).min(0.0),
        }
    }

    /// Altitudes from `from` to `to` with a break where the own building's shadow ends on open ground.
    fn shadow_line(&self, cos: f64, from: f64, to: f64) -> Vec<f64> {
        let mut breaks = vec![from];
        if let Some([_, up, into_room]) = self.solid.sun.map(|sun| sun.to_array())
            && into_room > 0.0
            && up > 0.0
        {
            let width = self.solid.scene.own_height * into_room / up;
            let edge = (-self.solid.window_height * cos).atan2(width);
            if from < edge && edge < to {
                breaks.push(edge);
            }
        }
        breaks.push(to.max(from));
        breaks
    }
}
