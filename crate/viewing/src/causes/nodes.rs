//! The effect of a cause that is no smooth curve, such as cloud that closes over the sun: straight from node to node.

use super::levels::Levels;

/// Where the cause is moved to, in standard deviations. Nine cases of ten are within ±1.645.
pub(super) const NODES: [f64; 5] = [-1.8, -0.9, 0.0, 0.9, 1.8];

/// Factors of all figures at each of [`NODES`]: between them in proportion, beyond them as at the last.
pub(super) struct Nodes {
    /// How far the cause has moved at each.
    moved: [f64; NODES.len()],
    factors: Vec<Levels>,
}

impl Nodes {
    /// The figures `now`, and at each node `then`.
    pub(super) fn new(moved: [f64; NODES.len()], now: &Levels, then: Vec<Levels>) -> Self {
        let factor = |then: f64, now: f64| if now > 0.0 { then / now } else { 1.0 };
        Self { moved, factors: then.into_iter().map(|then| then.with(now, factor)).collect() }
    }

    /// Multiplies factors by those where the cause has moved so far.
    pub(super) fn apply(&self, u: f64, to: &mut Levels) {
        let after = self.moved.iter().position(|moved| *moved >= u).unwrap_or(self.moved.len() - 1).max(1);
        let [from, until] = [self.moved[after - 1], self.moved[after]];
        let part = if until > from { ((u - from) / (until - from)).clamp(0.0, 1.0) } else { 1.0 };
        let (Some(a), Some(b)) = (self.factors.get(after - 1), self.factors.get(after)) else { return };
        for ((factor, a), b) in to.iter_mut().zip(a.iter()).zip(b.iter()) {
            *factor *= a + part * (b - a);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goes_through_its_nodes_and_never_beyond_them() {
        let light = |u: f64| if u > 0.5 { 2.0 } else { 10.0 - u };
        // It can move up by 1 at most.
        let moved = NODES.map(|z| z.min(1.0));
        let then = moved.map(|u| Levels::all(light(u), 1)).to_vec();
        let nodes = Nodes::new(moved, &Levels::all(light(0.0), 1), then);
        let at = |u: f64| {
            let mut factors = Levels::all(1.0, 1);
            nodes.apply(u, &mut factors);
            10.0 * factors.pieces[0]
        };
        for u in [-1.8, -0.9, 0.0, 0.9, 1.0] {
            assert!((at(u) - light(u)).abs() < 1e-12, "{u}");
        }
        assert!((at(-1.35) - 11.35).abs() < 1e-12 && (at(0.45) - 6.0).abs() < 1e-12);
        for u in [-9.0, -2.0, 0.3, 1.5, 9.0] {
            assert!((2.0 - 1e-12..=11.8 + 1e-12).contains(&at(u)), "{u}");
        }
    }
}
