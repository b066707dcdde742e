//! Where the view from the window changes abruptly.

use std::f64::consts::FRAC_PI_2;

use glam::{DVec2, DVec3, dvec2};
use plane::RoomVector;

use crate::cast::Corners;
use crate::exchange::Exchange;

impl Exchange {
    /// Bearings from the outward normal, radians −π to π, at which the view changes abruptly: upright edges of blocks and,
    /// with the sun toward `sun`, corners of their shadows on the ground. In no order.
    pub fn bearings(&self, sun: Option<RoomVector>) -> Vec<f64> {
        let mut bearings = Vec::new();
        for block in &self.0.scene.blocks {
            let corners = plan(block);
            let shadow = sun.and_then(|sun| shadow_of(block, sun.vector()));
            let shadow = shadow.into_iter().flat_map(|step| corners.map(|at| at + step));
            let all = corners.into_iter().chain(shadow);
            bearings.extend(all.filter(|at| at.is_finite()).map(|at| at.x.atan2(-at.y)));
        }
        bearings
    }

    /// Altitudes, radians, at which the view toward a bearing (from the outward normal, radians) changes abruptly: feet
    /// and tops of blocks and, with the sun toward `sun`, ends of shadows on the ground and of the own building's shadow
    /// on the fronts of blocks. In no order.
    pub fn edges(&self, bearing: f64, sun: Option<RoomVector>) -> Vec<f64> {
        let geometry = &*self.0;
        let height = geometry.site.window_middle_height_m;
        let (sin, cos) = bearing.sin_cos();
        let along = dvec2(sin, -cos);
        let mut edges = Vec::new();
        let sun = sun.map(RoomVector::vector).filter(|sun| sun.y > 0.0);
        for block in &geometry.scene.blocks {
            let rectangle = [dvec2(block.low.x, block.low.z), dvec2(block.high.x, block.high.z)];
            let [near, far] = crossed(rectangle, along);
            if near < far && far > 0.0 {
                let top = block.high.y - height;
                edges.extend([(-height).atan2(near.max(0.0)), top.atan2(near.max(0.0))]);
                if top < 0.0 {
                    edges.push(top.atan2(far));
                }
                if let Some(sun) = sun
                    && sun.z > 0.0
                    && geometry.scene.own_height > 0.0
                {
                    let climbed = geometry.scene.own_height + block.high.z * sun.y / sun.z;
                    if climbed > 0.0 && climbed < block.high.y {
                        edges.push((climbed - height).atan2(near.max(0.0)));
                    }
                }
            }
            // Between the block and its image by the sun lies its shadow: an hexagon, crossed in two places.
            if let Some(step) = sun.and_then(|sun| shadow_of(block, sun)) {
                let ends = swept(rectangle, step, along);
                edges.extend(ends.into_iter().flatten().filter(|t| *t > 0.0).map(|t| (-height).atan2(t)));
            }
        }
        if let Some(sun) = sun
            && sun.z > 0.0
            && cos > 0.0
            && geometry.scene.own_height > 0.0
        {
            let width = geometry.scene.own_height * sun.z / sun.y;
            edges.push((-height * cos).atan2(width));
        }
        edges.retain(|edge| edge.is_finite() && edge.abs() < FRAC_PI_2);
        edges
    }
}

impl Exchange {
    /// Altitude that the blocks reach toward a bearing (from the outward normal, radians), radians; `None` where none is
    /// higher than the window's middle.
    pub fn top(&self, bearing: f64) -> Option<f64> {
        let (sin, cos) = bearing.sin_cos();
        let height = self.0.site.window_middle_height_m;
        let higher = self.0.scene.blocks.iter().filter(|block| block.high.y > height);
        let tops = higher.filter_map(|block| {
            let plan = [dvec2(block.low.x, block.low.z), dvec2(block.high.x, block.high.z)];
            let [near, far] = crossed(plan, dvec2(sin, -cos));
            (near < far && far > 0.0).then(|| (block.high.y - height).atan2(near.max(0.0)))
        });
        tops.reduce(f64::max)
    }

    /// Whether a block stands between the window's middle and what lies far away toward a unit vector.
    pub fn blocks_hide(&self, toward: RoomVector) -> bool {
        self.0.scene.blocks_hide(self.0.window(), toward.vector())
    }
}

/// Corners of a plan: x and z.
fn plan(block: &Corners) -> [DVec2; 4] {
    let (low, high) = (block.low, block.high);
    [dvec2(low.x, low.z), dvec2(low.x, high.z), dvec2(high.x, low.z), dvec2(high.x, high.z)]
}

/// How far the shadow of a block's top lies from it on the ground.
fn shadow_of(block: &Corners, sun: DVec3) -> Option<DVec2> {
    (sun.y > 1e-3).then(|| dvec2(-sun.x, -sun.z) * (block.high.y / sun.y))
}

/// Distances at which a line from the origin enters and leaves a rectangle; the first is the larger if it misses.
fn crossed([low, high]: [DVec2; 2], along: DVec2) -> [f64; 2] {
    let along = DVec2::from(along.to_array().map(|v| if v == 0.0 { f64::MIN_POSITIVE } else { v }));
    let (a, b) = (low / along, high / along);
    let (entry, exit) = (a.min(b), a.max(b));
    [entry.x.max(entry.y), exit.x.min(exit.y)]
}

/// Distances at which a line from the origin enters and leaves what a rectangle sweeps over along a step.
fn swept([low, high]: [DVec2; 2], step: DVec2, along: DVec2) -> Option<[f64; 2]> {
    // The point t·along lies in the rectangle moved by s·step, s from 0 to 1, if each of these t·a − s·b lies between its
    // limits. Of all such t the least and the largest are where two limits are reached at once.
    let limits = [(along.x, step.x, low.x, high.x), (along.y, step.y, low.y, high.y), (0.0, -1.0, 0.0, 1.0)];
    let lines: Vec<(f64, f64, f64)> = limits
        .iter()
        .flat_map(|&(a, b, from, to)| [(a, b, from), (a, b, to)])
        .filter(|l| l.2.is_finite())
        .collect();
    let mut found: Option<[f64; 2]> = None;
    for (i, &(a, b, c)) in lines.iter().enumerate() {
        for &(d, e, f) in &lines[i + 1..] {
            let determinant = b * d - a * e;
            if determinant == 0.0 {
                continue;
            }
            let (t, s) = ((b * f - c * e) / determinant, (a * f - c * d) / determinant);
            let holds = limits.iter().all(|&(a, b, from, to)| {
                let slack = 1e-9 * (1.0 + t.abs());
                (from - slack..=to + slack).contains(&(t * a - s * b))
            });
            if holds {
                let [least, most] = found.unwrap_or([t, t]);
                found = Some([least.min(t), most.max(t)]);
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swept_square_is_crossed_where_its_outline_is() {
        let square = [dvec2(-1.0, 2.0), dvec2(1.0, 4.0)];
        let crossed = |step, along: DVec2| swept(square, step, along.normalize());
        assert_eq!(crossed(dvec2(0.0, 3.0), dvec2(0.0, 1.0)), Some([2.0, 7.0]));
        // Moved to the side, the line leaves through an upright or a slanting edge.
        let [near, far] = crossed(dvec2(-5.0, 5.0), dvec2(-3.0, 9.0)).unwrap();
        let unit = dvec2(-3.0, 9.0).normalize();
        assert!((near * unit.y - 2.0).abs() < 1e-9, "{near}");
        let out = far * unit;
        // On the edge from (1, 4) to (−4, 9).
        assert!((out.x + out.y - 5.0).abs() < 1e-9 && (-4.0..1.0).contains(&out.x), "{out:?}");
        assert_eq!(crossed(dvec2(0.0, 3.0), dvec2(1.0, 0.0)), None);
    }
}
