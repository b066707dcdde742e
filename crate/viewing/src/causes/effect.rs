//! What a cause around the window does to all figures, in closed form between scenes that were computed with it.

use uncertainty::NumberId;

use super::levels::Levels;
use super::nodes::Nodes;

/// Where a cause is moved to for its effect, in standard deviations: near the ends of a range that holds nine cases of ten,
/// which are at ±1.645.
pub(super) const NODE: f64 = 1.5;
/// Standard deviations beyond which a curve through such nodes is not followed: there its effect stays as it is here.
pub(super) const FURTHEST: f64 = 2.0;

/// How far a cause has moved when it is so many standard deviations away: 0 for none. Boxed at once, so that what takes
/// it is compiled once: with one for each cause, 40 kB of the page's module are the same code.
pub(super) type Moved = Box<dyn Fn(f64) -> f64>;

/// The effect of a cause on every figure, as a factor.
pub(super) struct Effect {
    /// A number of standard deviations.
    pub cause: NumberId,
    moved: Moved,
    shape: Shape,
    /// The effect on the light of the sun's beam, where that is followed apart and `shape` is of all other light.
    of_sun: Option<Shape>,
}

/// How a factor follows from how far a cause has moved.
pub(super) enum Shape {
    /// Light is linear in it: the factor is 1 + u·slope.
    Straight(Levels),
    /// The logarithm of the factor is a·u + b·u².
    Curved(Levels, Levels),
    /// Through nodes.
    Noded(Nodes),
}

/// The factors of all figures in a draw.
pub(super) struct Factors {
    all: Product,
    /// Of the light of the sun's beam, where that is followed apart and `all` is of all other light.
    of_sun: Option<Product>,
}

/// A product of factors.
struct Product {
    straight: Levels,
    logs: Levels,
}

impl Shape {
    /// Of a cause in which light is linear: the figures `now`, and `then` with the cause moved by `u`.
    pub(super) fn straight(now: &Levels, (u, then): (f64, Levels)) -> Self {
        Self::Straight(
            then.with(now, |then, now| if now > 0.0 && u.abs() > 0.0 { (then / now - 1.0) / u } else { 0.0 }),
        )
    }

    /// Of any other cause: the figures with it moved so far down and up.
    pub(super) fn curved(now: &Levels, [below, above]: [f64; 2], [less, more]: [Levels; 2]) -> Self {
        // The logarithm of the factor for each unit moved. A cause that can move one way only has the same both ways.
        let steepness =
            |then: Levels, u: f64| {
                then.with(now, |then, now| {
                    if now > 0.0 && then > 0.0 && u.abs() > 0.0 { (then / now).ln() / u } else { 0.0 }
                })
            };
        let (less, more) = (steepness(less, below), steepness(more, above));
        if below.abs() <= 1e-9 || above.abs() <= 1e-9 {
            let none = Levels::all(0.0, less.pieces.len());
            Self::Curved(if below.abs() <= 1e-9 { more } else { less }, none)
        } else {
            let bend = less.clone().with(&more, |less, more| (less - more) / (below - above));
            Self::Curved(less.with(&bend, |less, bend| less - bend * below), bend)
        }
    }

    /// Multiplies by the factor at `z` standard deviations.
    fn apply(&self, z: f64, moved: &Moved, product: &mut Product) {
        match self {
            Self::Straight(slope) => {
                let u = moved(z);
                for (factor, slope) in product.straight.iter_mut().zip(slope.iter()) {
                    *factor *= (1.0 + u * slope).max(0.0);
                }
            }
            Self::Curved(steep, bend) => {
                let u = moved(z.clamp(-FURTHEST, FURTHEST));
                for ((log, steep), bend) in product.logs.iter_mut().zip(steep.iter()).zip(bend.iter()) {
                    *log += u * (steep + u * bend);
                }
            }
            Self::Noded(nodes) => nodes.apply(moved(z), &mut product.straight),
        }
    }
}

impl Effect {
    pub(super) fn new(cause: NumberId, moved: Moved, shape: Shape) -> Self {
        Self { cause, moved, shape, of_sun: None }
    }

    /// Of a cause in which light is linear, such as the level of the sky or a reflectance: the figures `now`, and
    /// `then` with the cause moved by `z` standard deviations.
    pub(super) fn straight(cause: NumberId, moved: Moved, now: &Levels, (z, then): (f64, Levels)) -> Self {
        let shape = Shape::straight(now, (moved(z), then));
        Self::new(cause, moved, shape)
    }

    /// Of a cause whose slopes are known.
    pub(super) fn sloping(cause: NumberId, moved: Moved, slope: Levels) -> Self {
        Self::new(cause, moved, Shape::Straight(slope))
    }

    /// Of any other cause: the figures with it moved by −[`NODE`] and by [`NODE`] standard deviations.
    pub(super) fn curved(cause: NumberId, moved: Moved, now: &Levels, then: [Levels; 2]) -> Self {
        let shape = Shape::curved(now, [moved(-NODE), moved(NODE)], then);
        Self::new(cause, moved, shape)
    }

    /// With another effect on the light of the sun's beam.
    pub(super) fn with_sun(mut self, of_sun: Option<Shape>) -> Self {
        self.of_sun = of_sun;
        self
    }

    /// Multiplies all factors by this one at `z` standard deviations.
    pub(super) fn apply(&self, z: f64, factors: &mut Factors) {
        self.shape.apply(z, &self.moved, &mut factors.all);
        if let Some(product) = &mut factors.of_sun {
            self.of_sun.as_ref().unwrap_or(&self.shape).apply(z, &self.moved, product);
        }
    }

    /// Takes it away.
    #[cfg(test)]
    pub(super) fn clear(&mut self) {
        self.moved = Box::new(|_| 0.0);
    }
}

impl Product {
    fn new(pieces: usize) -> Self {
        Self { straight: Levels::all(1.0, pieces), logs: Levels::all(0.0, pieces) }
    }

    fn reset(&mut self) {
        self.straight.iter_mut().for_each(|factor| *factor = 1.0);
        self.logs.iter_mut().for_each(|log| *log = 0.0);
    }

    fn take(&mut self) -> &Levels {
        for (factor, log) in self.straight.iter_mut().zip(self.logs.iter()) {
            *factor *= log.exp();
        }
        &self.straight
    }
}

impl Factors {
    pub(super) fn new(pieces: usize) -> Self {
        Self { all: Product::new(pieces), of_sun: None }
    }

    /// With factors of their own for the light of the sun's beam.
    pub(super) fn with_sun(mut self, pieces: usize) -> Self {
        self.of_sun = Some(Product::new(pieces));
        self
    }

    pub(super) fn reset(&mut self) {
        self.all.reset();
        self.of_sun.iter_mut().for_each(Product::reset);
    }

    /// The factors of all figures; of all but the sun's beam where that is followed apart.
    #[cfg(test)]
    pub(super) fn take(&mut self) -> &Levels {
        self.all.take()
    }

    /// The factors of both parts of the light, where the sun's beam is followed apart.
    pub(super) fn take_both(&mut self) -> (&Levels, Option<&Levels>) {
        (self.all.take(), self.of_sun.as_mut().map(Product::take))
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
