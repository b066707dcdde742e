//! The causes that stand far away: altitude of the skyline, density and leaves of trees.

use daylight::{Horizon, Level};
use scene::Resolved;
use uncertainty::Origin;

use super::around::{Around, There, names};
use super::deviations::{LEAF_DAYS, SKYLINE_DEG, TREES_LN};
use super::effect::{Effect, FURTHEST, Moved};
use super::error::RangesError;
use super::far;
use super::names::{per_cent, plus_minus};
use super::skies::{Edges, Skies};
use super::sun_apart::SunApart;

impl Around<'_> {
    /// Altitude of the skyline.
    pub(super) fn skyline(&mut self) -> Result<(), RangesError> {
        let points = self.resolved.horizon.points.iter();
        let highest = points.map(|point| point.altitude_deg).fold(0.0, f64::max);
        if highest <= 0.0 {
            return Ok(());
        }
        let skies =
            Skies::new(self.prepared, self.outside, self.light, Edges::MoveBy(FURTHEST * SKYLINE_DEG));
        let now = skies.now();
        let changed = |there: &mut There, z: f64| far::raise(&mut there.horizon, z);
        // It cannot sink below the horizon.
        let moved: Moved = Box::new(move |z| z.max(-highest / SKYLINE_DEG));
        let name = (names::SKYLINE_HEIGHT, plus_minus(SKYLINE_DEG, "°"));
        if self.apart.is_some_and(SunApart::has_edges) {
            return self.noded(name, moved, &now, &skies, &changed);
        }
        let cause = self.cause(name.0, name.1, Origin::Assumption)?;
        let then = skies.at(&self.changed(&changed, 1.0, Level::default())?);
        self.effects.push(Effect::straight(cause, moved, &now, (1.0, then)));
        Ok(())
    }

    /// How dense trees are, and how far they are in leaf.
    pub(super) fn trees(&mut self, skies: &Skies<'_>) -> Result<(), RangesError> {
        let Resolved { place, horizon, .. } = self.resolved;
        if horizon.trees.is_empty() {
            return Ok(());
        }
        let instant = self.outside.instant();
        let depth = per_cent(TREES_LN);
        let days = plus_minus(LEAF_DAYS, " days");
        for (name, spread, which) in [(names::TREES, depth, 0), (names::LEAVES, days, 1)] {
            let z = move |z: f64| if which == 0 { [z, 0.0] } else { [0.0, z] };
            // Light is linear in what the crowns let through.
            let (trees, at) = (horizon.trees.clone(), *place);
            let of = Horizon { trees, ..Horizon::default() };
            let now = far::passes(&of, &at, instant, [0.0; 2]);
            let moved: Moved = Box::new(move |sd| far::passes(&of, &at, instant, z(sd)) - now);
            let steps = [1.0, -1.0, 2.0, -2.0];
            let step = steps.into_iter().max_by(|a, b| moved(*a).abs().total_cmp(&moved(*b).abs()));
            let Some(step) = step.filter(|step| moved(*step).abs() > 1e-6) else { continue };
            let changed = |there: &mut There, sd: f64| far::grow(&mut there.horizon, place, instant, z(sd));
            let cause = self.cause(name, spread, Origin::Assumption)?;
            let there = self.changed(&changed, step, Level::default())?;
            self.add_straight(cause, moved, skies, (step, &there));
        }
        Ok(())
    }
}
