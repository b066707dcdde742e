//! What a view outside meets, by random walks: a second way that shares nothing with the exchange but the measurements.

use std::f64::consts::{PI, TAU};

type V3 = [f64; 3];

/// The ground, the own wall and boxes, grey; roofs, and the ground behind the own wall, are black.
pub(crate) struct Walk {
    pub(crate) window_m: f64,
    pub(crate) own_m: f64,
    /// Lowest and highest corner of each block.
    pub(crate) boxes: Vec<[V3; 2]>,
    /// Reflectances of ground, own wall and blocks.
    pub(crate) reflectances: [f64; 3],
}

/// Where light comes from.
pub(crate) enum From {
    /// The sky in this direction.
    Sky(V3),
    /// The sun, at right angles to its beam.
    Sun,
}

/// What a ray meets first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Sky,
    Ground,
    Own,
    Block,
    Black,
}

/// Numbers from 0 to 1 (xorshift*, Vigna 2016).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
    }
}

impl Walk {
    /// What a ray meets, how far along it, and the outward normal there: an axis and its sign.
    fn meets(&self, from: V3, d: V3) -> (Kind, f64, (usize, f64)) {
        let mut found = (Kind::Sky, f64::INFINITY, (1, 1.0));
        if d[1] < 0.0 {
            let t = -from[1] / d[1];
            let kind = if self.own_m > 0.0 && from[2] + t * d[2] > 0.0 { Kind::Black } else { Kind::Ground };
            found = (kind, t, (1, 1.0));
        }
        if self.own_m > 0.0 && d[2] > 0.0 {
            let t = -from[2] / d[2];
            if t > 0.0 && t < found.1 && (0.0..self.own_m).contains(&(from[1] + t * d[1])) {
                found = (Kind::Own, t, (2, -1.0));
            }
        }
        for [low, high] in &self.boxes {
            // A box is met by one of the three faces that look at the beginning of the ray.
            for axis in 0..3 {
                if d[axis] == 0.0 || (axis == 1 && d[1] > 0.0) {
                    continue;
                }
                let face = if d[axis] > 0.0 { low[axis] } else { high[axis] };
                let t = (face - from[axis]) / d[axis];
                let on = |k: usize| k == axis || (low[k]..high[k]).contains(&(from[k] + t * d[k]));
                if t > 1e-9 && t < found.1 && (0..3).all(on) {
                    let kind = if axis == 1 { Kind::Black } else { Kind::Block };
                    found = (kind, t, (axis, -d[axis].signum()));
                }
            }
        }
        found
    }

    /// Whether the sun is seen from the window's middle.
    pub(crate) fn sees(&self, sun: V3) -> bool {
        self.meets([0.0, self.window_m, -1e-7], sun).0 == Kind::Sky
    }

    /// What the view from the window's middle meets, and one sample of its luminance: the weights of what is added.
    pub(crate) fn look(
        &self,
        toward: V3,
        sun: Option<V3>,
        random: &mut Random,
        add: &mut dyn FnMut(f64, From),
    ) -> Kind {
        let (mut from, mut d, mut weight) = ([0.0, self.window_m, -1e-7], toward, 1.0);
        let mut first = None;
        loop {
            let (kind, t, (axis, sign)) = self.meets(from, d);
            let first = *first.get_or_insert(kind);
            let reflectance = match kind {
                Kind::Sky => {
                    add(weight, From::Sky(d));
                    return first;
                }
                Kind::Black => return first,
                Kind::Ground => self.reflectances[0],
                Kind::Own => self.reflectances[1],
                Kind::Block => self.reflectances[2],
            };
            weight *= reflectance;
            from = std::array::from_fn(|k| from[k] + t * d[k]);
            from[axis] += 1e-7 * sign;
            if let Some(sun) = sun
                && sign * sun[axis] > 0.0
                && self.meets(from, sun).0 == Kind::Sky
            {
                add(weight / PI * sign * sun[axis], From::Sun);
            }
            // Light of less than a fiftieth goes on once in ten times.
            if weight < 0.02 {
                if random.next() > 0.1 {
                    return first;
                }
                weight *= 10.0;
            }
            let (r, turn) = (random.next().sqrt(), TAU * random.next());
            d[(axis + 1) % 3] = r * turn.cos();
            d[(axis + 2) % 3] = r * turn.sin();
            d[axis] = sign * (1.0 - r * r).max(0.0).sqrt();
        }
    }
}
