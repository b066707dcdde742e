//! The spread of light in the eye, pixel by pixel; CPU twin of `shaders/spread_down.wgsl` and
//! `shaders/spread_up.wgsl`.

use crate::eye::spread::{Plan, Spread, Step, TO_COARSER};
use crate::shared::constants::SPREAD_LIMIT;
use crate::software::prelude::apply_rows;
use crate::vector::V3;

/// A picture on the CPU.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    pub(crate) size: [u32; 2],
    pub(crate) pixels: Vec<V3>,
}

impl Layer {
    fn at(&self, x: i32, y: i32) -> V3 {
        self.pixels[y as usize * self.size[0] as usize + x as usize]
    }

    fn inside(&self, x: i32, y: i32) -> bool {
        x >= 0 && y >= 0 && x < self.size[0] as i32 && y < self.size[1] as i32
    }

    /// Linear between texels; what lies beyond the edge is as `edge` has it.
    fn mixed(&self, c: [f32; 2], edge: impl Fn(i32, i32) -> V3) -> V3 {
        let corner = c.map(f32::floor);
        let share = [c[0] - corner[0], c[1] - corner[1]];
        let (x, y) = (corner[0] as i32, corner[1] as i32);
        let texel = |x: i32, y: i32| if self.inside(x, y) { self.at(x, y) } else { edge(x, y) };
        let row = |y: i32| mix(texel(x, y), texel(x + 1, y), share[0]);
        mix(row(y), row(y + 1), share[1])
    }

    /// The nearest texel of the edge.
    fn clamped(&self, c: [f32; 2]) -> V3 {
        self.mixed(c, |x, y| {
            self.at(x.clamp(0, self.size[0] as i32 - 1), y.clamp(0, self.size[1] as i32 - 1))
        })
    }
}

fn mix(a: V3, b: V3, share: f32) -> V3 {
    std::array::from_fn(|k| a[k] * (1.0 - share) + b[k] * share)
}

const WEIGHTS: [f32; 4] = [0.125, 0.375, 0.375, 0.125];

fn place(map: [f32; 4], x: i32, y: i32) -> [f32; 2] {
    [map[0] + x as f32 * map[2], map[1] + y as f32 * map[3]]
}

/// The next coarser level.
pub(crate) fn down(source: &Layer, step: &Step, around: &Layer) -> Layer {
    let Spread { wall, map, .. } = step.uniform;
    let plain = [wall[0], wall[1], wall[2]];
    let texel = |x: i32, y: i32| {
        if source.inside(x, y) {
            source.at(x, y)
        } else if wall[3] > 0.5 {
            around.mixed(place(map, x, y), |_, _| plain)
        } else {
            plain
        }
    };
    layer(step.size, |x, y| {
        let mut sum = [0.0; 3];
        for (j, wy) in WEIGHTS.iter().enumerate() {
            for (i, wx) in WEIGHTS.iter().enumerate() {
                let light = texel(2 * x - 3 + i as i32, 2 * y - 3 + j as i32);
                for (s, v) in sum.iter_mut().zip(light) {
                    *s += v.min(SPREAD_LIMIT) * wx * wy;
                }
            }
        }
        sum
    })
}

/// A level given its share and laid over what comes from the coarser ones.
pub(crate) fn up(own: &Layer, step: &Step, below: &Layer) -> Layer {
    let Spread { rows, map, flags, .. } = step.uniform;
    layer(step.size, |x, y| {
        let shared = apply_rows(&rows, own.at(x, y));
        let laid = if flags[0] > 0.5 { below.clamped(place(map, x, y)) } else { [0.0; 3] };
        std::array::from_fn(|k| shared[k] + laid[k])
    })
}

fn layer(size: [u32; 2], texel: impl Fn(i32, i32) -> V3) -> Layer {
    let pixels = (0..size[1]).flat_map(|y| (0..size[0]).map(move |x| (x as i32, y as i32)));
    Layer { size, pixels: pixels.map(|(x, y)| texel(x, y)).collect() }
}

/// What the blurs add to a pixel of the target.
pub(crate) fn added(first: &Layer, x: u32, y: u32) -> V3 {
    first.clamped(place(TO_COARSER, x as i32, y as i32))
}

/// All levels of the whole window, level 0 first.
pub(crate) fn around_levels(plan: &Plan, around: Layer) -> Vec<Layer> {
    let mut levels = vec![around];
    for step in &plan.around_down {
        let finer = &levels[levels.len() - 1];
        levels.push(down(finer, step, finer));
    }
    levels
}

/// The blurred picture at half its size: everything but what [`Plan::direct`] and the veil add.
pub(crate) fn spread(plan: &Plan, target: &Layer, around: &[Layer]) -> Layer {
    let climb = |steps: &[Step], levels: &[Layer], base: &Layer| {
        let mut below = base.clone();
        for (step, own) in steps.iter().zip(levels.iter().rev()) {
            below = up(own, step, &below);
        }
        below
    };
    let wide = climb(&plan.around_up, &around[1..], &around[0]);
    let mut near: Vec<Layer> = Vec::with_capacity(plan.near_down.len());
    for step in &plan.near_down {
        near.push(down(near.last().unwrap_or(target), step, &around[0]));
    }
    climb(&plan.near_up, &near, &wide)
}
