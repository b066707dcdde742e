//! What a cause around the window does to all figures, in closed form between scenes that were computed with it.

use uncertainty::NumberId;

use super::levels::Levels;

/// Where a cause is moved to for its effect, in standard deviations: near the ends of a range that holds nine cases of ten,
/// which are at ±1.645.
pub(super) const NODE: f64 = 1.5;

/// How far a cause has moved when it is so many standard deviations away: 0 for none. Boxed at once, so that what takes
/// it is compiled once: with one for each cause, 40 kB of the page's module are the same code.
pub(super) type Moved = Box<dyn Fn(f64) -> f64>;

/// The effect of a cause on every figure, as a factor.
pub(super) struct Effect {
    /// A number of standard deviations.
    pub cause: NumberId,
    moved: Moved,
    shape: Shape,
}

enum Shape {
    /// Light is linear in it: the factor is 1 + u·slope.
    Straight(Levels),
    /// The logarithm of the factor is a·u + b·u².
    Curved(Levels, Levels),
}

/// The factors of all figures in a draw.
pub(super) struct Factors {
    straight: Levels,
    logs: Levels,
}

impl Effect {
    /// Of a cause in which light is linear, such as the level of the sky or a reflectance: the figures `now`, and
    /// `then` with the cause moved by `z` standard deviations.
    pub(super) fn straight(cause: NumberId, moved: Moved, now: &Levels, (z, then): (f64, Levels)) -> Self {
        let u = moved(z);
        let slope =
            then.with(now, |then, now| if now > 0.0 && u.abs() > 0.0 { (then / now - 1.0) / u } else { 0.0 });
        Self::sloping(cause, moved, slope)
    }

    /// Of a cause whose slopes are known.
    pub(super) fn sloping(cause: NumberId, moved: Moved, slope: Levels) -> Self {
        Self { cause, moved, shape: Shape::Straight(slope) }
    }

    /// Of any other cause: the figures with it moved by −[`NODE`] and by [`NODE`] standard deviations.
    pub(super) fn curved(cause: NumberId, moved: Moved, now: &Levels, [less, more]: [Levels; 2]) -> Self {
        // The logarithm of the factor for each unit moved. A cause that can move one way only has the same both ways.
        let steepness =
            |then: Levels, u: f64| {
                then.with(now, |then, now| {
                    if now > 0.0 && then > 0.0 && u.abs() > 0.0 { (then / now).ln() / u } else { 0.0 }
                })
            };
        let [below, above] = [moved(-NODE), moved(NODE)];
        let (less, more) = (steepness(less, below), steepness(more, above));
        let shape = if below.abs() <= 1e-9 || above.abs() <= 1e-9 {
            let none = Levels::all(0.0, less.pieces.len());
            Shape::Curved(if below.abs() <= 1e-9 { more } else { less }, none)
        } else {
            let bend = less.clone().with(&more, |less, more| (less - more) / (below - above));
            Shape::Curved(less.with(&bend, |less, bend| less - bend * below), bend)
        };
        Self { cause, moved, shape }
    }

    /// Multiplies all factors by this one at `z` standard deviations.
    pub(super) fn apply(&self, z: f64, factors: &mut Factors) {
        let u = (self.moved)(z);
        match &self.shape {
            Shape::Straight(slope) => {
                for (factor, slope) in factors.straight.iter_mut().zip(slope.iter()) {
                    *factor *= (1.0 + u * slope).max(0.0);
                }
            }
            Shape::Curved(steep, bend) => {
                for ((log, steep), bend) in factors.logs.iter_mut().zip(steep.iter()).zip(bend.iter()) {
                    *log += u * (steep + u * bend);
                }
            }
        }
    }

    /// Takes it away.
    #[cfg(test)]
    pub(super) fn clear(&mut self) {
        self.moved = Box::new(|_| 0.0);
    }
}

impl Factors {
    pub(super) fn new(pieces: usize) -> Self {
        Self { straight: Levels::all(1.0, pieces), logs: Levels::all(0.0, pieces) }
    }

    pub(super) fn reset(&mut self) {
        self.straight.iter_mut().for_each(|factor| *factor = 1.0);
        self.logs.iter_mut().for_each(|log| *log = 0.0);
    }

    /// The factors of all figures.
    pub(super) fn take(&mut self) -> &Levels {
        for (factor, log) in self.straight.iter_mut().zip(self.logs.iter()) {
            *factor *= log.exp();
        }
        &self.straight
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uncertainty::{Causes, Form, Origin};

    fn cause() -> NumberId {
        Causes::new().number("cause", 0.0, 1.0, Form::Normal, Origin::Assumption).unwrap()
    }

    fn at(effect: &Effect, z: f64) -> f64 {
        let mut factors = Factors::new(1);
        effect.apply(z, &mut factors);
        factors.take().pieces[0]
    }

    #[test]
    fn what_is_linear_is_exact_anywhere_and_what_is_curved_goes_through_its_nodes() {
        let now = Levels::all(10.0, 1);
        let light = |z: f64| 4.0 + 6.0 * (0.3 * z).exp();
        let then = Levels::all(light(1.0), 1);
        let moved = |z: f64| (0.3 * z).exp() - 1.0;
        let straight = Effect::straight(cause(), Box::new(moved), &now, (1.0, then));
        let nodes = [-NODE, NODE].map(|z| Levels::all(light(z), 1));
        let curved = Effect::curved(cause(), Box::new(|z| z), &now, nodes);
        for z in [-2.0, -1.5, 0.0, 0.7, 1.5, 2.0] {
            assert!((at(&straight, z) - light(z) / 10.0).abs() < 1e-12);
            assert!((at(&curved, z) - light(z) / 10.0).abs() < 2e-3, "{z}");
        }
        assert!((at(&curved, NODE) - light(NODE) / 10.0).abs() < 1e-12);
    }

    // A reflectance of 1 cannot rise, a whole cover of cloud cannot grow.
    #[test]
    fn a_cause_that_can_move_one_way_only_does_so() {
        let now = Levels::all(10.0, 1);
        let nodes = [Levels::all(5.0, 1), now.clone()];
        let effect = Effect::curved(cause(), Box::new(|z| z.min(0.0)), &now, nodes);
        assert!((at(&effect, -NODE) - 0.5).abs() < 1e-12 && (at(&effect, 3.0) - 1.0).abs() < 1e-12);
    }
}
