//! What is known of a scene at its own minute, for tests.

use daylight::Instant;
use scene::Resolved;

use super::levels::Levels;
use super::listed::Listed;
use super::ranges::Model;
use crate::instant::InstantLight;
use crate::prepared::Prepared;

/// A scene's causes at its own minute.
pub(super) struct Known {
    pub prepared: Prepared,
    pub instant: Instant,
    pub light: InstantLight,
    pub levels: Levels,
    pub listed: Listed,
    pub model: Model,
}

pub(super) fn known(resolved: &Resolved) -> Known {
    let prepared = Prepared::new(resolved, None).unwrap();
    let instant = resolved.instant(&resolved.scene.at).unwrap().utc;
    let outside = resolved.outside(instant).unwrap();
    let light = prepared.light(&outside);
    let levels = Levels::of(&prepared, &light);
    let mut listed = Listed::default();
    let model = Model::new(&prepared, resolved, &outside, &light, &levels, &mut listed).unwrap();
    Known { prepared, instant, light, levels, listed, model }
}

impl Known {
    /// Takes away the effects of the causes around the window with these names.
    pub(super) fn without(mut self, named: impl Fn(&str) -> bool) -> Self {
        let first = self.listed.causes.list().len() - self.model.effects.len();
        for (cause, effect) in self.listed.causes.list()[first..].iter().zip(&mut self.model.effects) {
            if named(&cause.name) {
                effect.clear();
            }
        }
        self
    }
}
