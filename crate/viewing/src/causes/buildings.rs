//! The causes that stand near: the own building and the blocks before the window.

use super::around::{Around, There, names};
use super::deviations::{
    BLOCK_DISTANCE_LN, BLOCK_HEIGHT_LN, FACADE_LN, OWN_HEIGHT_ASSUMED_LN, OWN_HEIGHT_LN,
};
use super::error::RangesError;
use super::names::per_cent;
use super::skies::{Edges, Skies};

impl Around<'_> {
    /// The own building and the blocks before the window.
    pub(super) fn buildings(&mut self) -> Result<(), RangesError> {
        let Some(buildings) = self.resolved.horizon.buildings.clone() else { return Ok(()) };
        let site = buildings.site().clone();
        let has_blocks = !site.blocks.is_empty();
        // Edges move, which shows only where cells are looked at more than once; both sides of a ratio are.
        let skies = Skies::new(self.prepared, self.outside, self.light, Edges::Move);
        let now = skies.now();
        let measured = |there: &mut There, change: &dyn Fn(&mut daylight::Site)| {
            let mut site = site.clone();
            change(&mut site);
            if let Ok(other) = buildings.measured(&site.within_limits()) {
                there.horizon.buildings = Some(other);
            }
        };
        if site.own_height_m > 0.0 {
            let assumed =
                self.resolved.scene.horizon.own_building.as_ref().is_some_and(|own| own.height_m.is_none());
            let sd = if assumed { OWN_HEIGHT_ASSUMED_LN } else { OWN_HEIGHT_LN };
            let changed = |there: &mut There, z: f64| {
                measured(there, &|site| site.own_height_m *= (sd * z).exp());
            };
            self.curved((names::OWN_HEIGHT, per_cent(sd)), Box::new(|z| z), &now, &skies, &changed)?;
            let changed = |there: &mut There, z: f64| {
                there.horizon.buildings = Some(buildings.lighter((FACADE_LN * z).exp(), 1.0));
            };
            self.curved((names::OWN_WALL, per_cent(FACADE_LN)), Box::new(|z| z), &now, &skies, &changed)?;
        }
        if has_blocks {
            type OfBlock = fn(&mut daylight::Block) -> &mut f64;
            let height: OfBlock = |block| &mut block.height_m;
            let distance: OfBlock = |block| &mut block.distance_m;
            for (name, sd, of) in [
                (names::BLOCK_HEIGHT, BLOCK_HEIGHT_LN, height),
                (names::BLOCK_DISTANCE, BLOCK_DISTANCE_LN, distance),
            ] {
                let changed = |there: &mut There, z: f64| {
                    let factor = (sd * z).exp();
                    measured(there, &|site| site.blocks.iter_mut().for_each(|block| *of(block) *= factor));
                };
                self.edged((name, per_cent(sd)), Box::new(|z| z), &now, &skies, &changed)?;
            }
            let changed = |there: &mut There, z: f64| {
                there.horizon.buildings = Some(buildings.lighter(1.0, (FACADE_LN * z).exp()));
            };
            self.curved((names::BLOCK_WALL, per_cent(FACADE_LN)), Box::new(|z| z), &now, &skies, &changed)?;
        }
        Ok(())
    }
}
