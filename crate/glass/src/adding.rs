//! Adding method: adds one more element behind those already built, with all orders of inter-reflection.
//!
//! Light travels in two channels: **regular** (one direction, one polarisation) and **diffuse** (evenly spread as
//! seen from air). Scattering moves light from the regular channel to the diffuse one, never back. Every operator
//! is therefore a lower-triangular 2 × 2 matrix, and the geometric series of inter-reflections has a closed form.
//!
//! # Source
//! Adding of layers: Stokes 1862, Proc. R. Soc. 11, 545; matrix form as in van de Hulst, *Multiple Light
//! Scattering*, 1980, ch. 4 (both from memory).

use std::ops::{Add, Mul};

/// How light moves between the two channels: regular → regular, regular → diffuse, diffuse → diffuse.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Channels {
    pub(crate) rr: f64,
    pub(crate) rd: f64,
    pub(crate) dd: f64,
}

impl Channels {
    const NONE: Self = Self { rr: 0.0, rd: 0.0, dd: 0.0 };
    const ALL: Self = Self { rr: 1.0, rd: 0.0, dd: 1.0 };

    /// Sum of all its powers from the zeroth: (1 − M)⁻¹.
    fn series(self) -> Self {
        let (rr, dd) = (1.0 / (1.0 - self.rr), 1.0 / (1.0 - self.dd));
        Self { rr, rd: self.rd * rr * dd, dd }
    }

    /// The sum of a regular beam's light in both channels.
    pub(crate) fn of_regular(self) -> f64 {
        self.rr + self.rd
    }
}

impl Mul for Channels {
    type Output = Self;
    /// `self` after `first`.
    #[inline]
    fn mul(self, first: Self) -> Self {
        Self { rr: self.rr * first.rr, rd: self.rd * first.rr + self.dd * first.rd, dd: self.dd * first.dd }
    }
}

impl Add for Channels {
    type Output = Self;
    #[inline]
    fn add(self, o: Self) -> Self {
        Self { rr: self.rr + o.rr, rd: self.rd + o.rd, dd: self.dd + o.dd }
    }
}

/// Share absorbed of light arriving in each channel.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Absorbed {
    pub(crate) regular: f64,
    pub(crate) diffuse: f64,
}

impl Absorbed {
    #[inline]
    fn of(self, light: Channels) -> Self {
        Self { regular: self.regular * light.rr + self.diffuse * light.rd, diffuse: self.diffuse * light.dd }
    }

    #[inline]
    fn plus(self, o: Self) -> Self {
        Self { regular: self.regular + o.regular, diffuse: self.diffuse + o.diffuse }
    }
}

/// One element, the same from both sides: a boundary, an absorbing slab, a scattering plane, a film of paint.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Element {
    pub(crate) passes: Channels,
    pub(crate) returns: Channels,
    /// Carried through the adding separately, so that passed + returned + absorbed = 1 is a test and not a
    /// definition.
    pub(crate) absorbs: Absorbed,
}

/// Several elements seen as one, from outside and from inside.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Built {
    pub(crate) inward: Channels,
    pub(crate) outward: Channels,
    pub(crate) returns_outside: Channels,
    pub(crate) returns_inside: Channels,
    pub(crate) absorbs_outside: Absorbed,
    pub(crate) absorbs_inside: Absorbed,
}

/// Elements built one behind the other, from outside to inside.
pub(crate) trait Elements: Copy {
    /// Nothing built yet.
    const OPEN: Self;

    /// Adds a slab that reflects and scatters nothing: [`then`](Self::then) without its series. `regular` and
    /// `diffuse`: the share of each channel that passes.
    fn then_absorbing(self, regular: f64, diffuse: f64) -> Self;

    /// Adds `e` behind, on the inside.
    fn then(self, e: &Element) -> Self;
}

/// The part of [`Built`] that concerns the inside, with the same values, in less than half the time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Passing {
    pub(crate) inward: Channels,
    pub(crate) returns_inside: Channels,
}

impl Elements for Passing {
    const OPEN: Self = Self { inward: Channels::ALL, returns_inside: Channels::NONE };

    #[inline]
    fn then_absorbing(self, regular: f64, diffuse: f64) -> Self {
        let attenuated =
            |c: Channels| Channels { rr: c.rr * regular, rd: c.rd * diffuse, dd: c.dd * diffuse };
        let entering = |c: Channels| Channels { rr: c.rr * regular, rd: c.rd * regular, dd: c.dd * diffuse };
        Self { inward: attenuated(self.inward), returns_inside: attenuated(entering(self.returns_inside)) }
    }

    #[inline]
    fn then(self, e: &Element) -> Self {
        let down = (self.returns_inside * e.returns).series() * self.inward;
        let out = (e.returns * self.returns_inside).series() * e.passes;
        Self { inward: e.passes * down, returns_inside: e.returns + e.passes * (self.returns_inside * out) }
    }
}

impl Elements for Built {
    const OPEN: Self = Self {
        inward: Channels::ALL,
        outward: Channels::ALL,
        returns_outside: Channels::NONE,
        returns_inside: Channels::NONE,
        absorbs_outside: Absorbed { regular: 0.0, diffuse: 0.0 },
        absorbs_inside: Absorbed { regular: 0.0, diffuse: 0.0 },
    };

    #[inline]
    fn then_absorbing(self, regular: f64, diffuse: f64) -> Self {
        let attenuated =
            |c: Channels| Channels { rr: c.rr * regular, rd: c.rd * diffuse, dd: c.dd * diffuse };
        let lost = Absorbed { regular: 1.0 - regular, diffuse: 1.0 - diffuse };
        // Light from inside: through the slab, back from the elements built so far, and through it again.
        let entering = |c: Channels| Channels { rr: c.rr * regular, rd: c.rd * regular, dd: c.dd * diffuse };
        let again = entering(self.returns_inside);
        Self {
            inward: attenuated(self.inward),
            outward: entering(self.outward),
            returns_outside: self.returns_outside,
            returns_inside: attenuated(again),
            absorbs_outside: self.absorbs_outside.plus(lost.of(self.inward)),
            absorbs_inside: lost
                .plus(Absorbed {
                    regular: self.absorbs_inside.regular * regular,
                    diffuse: self.absorbs_inside.diffuse * diffuse,
                })
                .plus(lost.of(again)),
        }
    }

    #[inline]
    fn then(self, e: &Element) -> Self {
        // Light between the two, going in (`down`) and coming back (`up`), for light from outside …
        let down = (self.returns_inside * e.returns).series() * self.inward;
        let up = e.returns * down;
        // … and the same for light from inside, going out between the two and coming in again.
        let out = (e.returns * self.returns_inside).series() * e.passes;
        let again = self.returns_inside * out;
        Self {
            inward: e.passes * down,
            outward: self.outward * out,
            returns_outside: self.returns_outside + self.outward * up,
            returns_inside: e.returns + e.passes * again,
            absorbs_outside: self.absorbs_outside.plus(e.absorbs.of(down)).plus(self.absorbs_inside.of(up)),
            absorbs_inside: e.absorbs.plus(self.absorbs_inside.of(out)).plus(e.absorbs.of(again)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_half_mirrors_follow_the_textbook_series() {
        let mirror = |r: f64| Element {
            passes: Channels { rr: 1.0 - r, rd: 0.0, dd: 1.0 - r },
            returns: Channels { rr: r, rd: 0.0, dd: r },
            absorbs: Absorbed::default(),
        };
        let pair = Built::OPEN.then(&mirror(0.5)).then(&mirror(0.2));
        // T = T₁T₂/(1 − R₁R₂).
        assert!((pair.inward.rr - 0.5 * 0.8 / 0.9).abs() < 1e-15);
        assert!((pair.inward.rr + pair.returns_outside.rr - 1.0).abs() < 1e-15);
        assert!((pair.outward.dd - pair.inward.dd).abs() < 1e-15);
    }

    #[test]
    fn an_absorbing_slab_is_an_element() {
        let scatterer = Element {
            passes: Channels { rr: 0.3, rd: 0.3, dd: 0.6 },
            returns: Channels { rr: 0.1, rd: 0.2, dd: 0.3 },
            absorbs: Absorbed { regular: 0.1, diffuse: 0.1 },
        };
        let slab = Element {
            passes: Channels { rr: 0.7, rd: 0.0, dd: 0.6 },
            returns: Channels::NONE,
            absorbs: Absorbed { regular: 0.3, diffuse: 0.4 },
        };
        let numbers = |b: Built| {
            let channels =
                [b.inward, b.outward, b.returns_outside, b.returns_inside].map(|c| [c.rr, c.rd, c.dd]);
            let absorbed = [b.absorbs_outside, b.absorbs_inside].map(|a| [a.regular, a.diffuse]);
            [channels.as_flattened(), absorbed.as_flattened()].concat()
        };
        let before = Built::OPEN.then(&slab).then(&scatterer);
        for (a, b) in numbers(before.then(&slab)).iter().zip(numbers(before.then_absorbing(0.7, 0.6))) {
            assert!((a - b).abs() < 1e-15, "{a} {b}");
        }
    }

    #[test]
    fn what_passes_is_the_same_without_the_rest() {
        let scatterer = Element {
            passes: Channels { rr: 0.3, rd: 0.3, dd: 0.6 },
            returns: Channels { rr: 0.1, rd: 0.2, dd: 0.3 },
            absorbs: Absorbed { regular: 0.1, diffuse: 0.1 },
        };
        let whole = Built::OPEN.then(&scatterer).then_absorbing(0.7, 0.6).then(&scatterer);
        let part = Passing::OPEN.then(&scatterer).then_absorbing(0.7, 0.6).then(&scatterer);
        let numbers = |c: Channels| [c.rr, c.rd, c.dd].map(f64::to_bits);
        assert_eq!(numbers(part.inward), numbers(whole.inward));
        assert_eq!(numbers(part.returns_inside), numbers(whole.returns_inside));
    }

    #[test]
    fn scattered_light_is_neither_lost_nor_gained() {
        let scatterer = Element {
            passes: Channels { rr: 0.3, rd: 0.4, dd: 0.7 },
            returns: Channels { rr: 0.0, rd: 0.3, dd: 0.3 },
            absorbs: Absorbed::default(),
        };
        let three = Built::OPEN.then(&scatterer).then(&scatterer).then(&scatterer);
        assert!((three.inward.of_regular() + three.returns_outside.of_regular() - 1.0).abs() < 1e-14);
        assert!((three.inward.dd + three.returns_outside.dd - 1.0).abs() < 1e-14);
    }
}
