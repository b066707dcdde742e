//! The spread of light in the eye, pixel by pixel; CPU twin of `shaders/spread_down.wgsl` and
//! `shaders/spread_up.wgsl`.

use glam::{Vec2, Vec3, Vec4};

use crate::eye::spread::{Plan, Step};
use crate::shared::constants::{COARSER_ORIGIN, COARSER_STEP, SPREAD_INNER, SPREAD_LIMIT, SPREAD_OUTER};

/// A picture on the CPU.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    pub(crate) size: [u32; 2],
    pub(crate) pixels: Vec<Vec3>,
}

impl Layer {
    fn at(&self, x: i32, y: i32) -> Vec3 {
        self.pixels[y as usize * self.size[0] as usize + x as usize]
    }

    fn inside(&self, x: i32, y: i32) -> bool {
        x >= 0 && y >= 0 && x < self.size[0] as i32 && y < self.size[1] as i32
    }

    /// Linear between texels; `edge` gives the texels beyond the edge.
    fn mixed(&self, c: Vec2, edge: impl Fn(i32, i32) -> Vec3) -> Vec3 {
        let corner = c.floor();
        let share = c - corner;
        let (x, y) = (corner.x as i32, corner.y as i32);
        let texel = |x: i32, y: i32| if self.inside(x, y) { self.at(x, y) } else { edge(x, y) };
        let row = |y: i32| mix(texel(x, y), texel(x + 1, y), share.x);
        mix(row(y), row(y + 1), share.y)
    }

    /// Beyond the edge, the nearest texel.
    fn clamped(&self, c: Vec2) -> Vec3 {
        self.mixed(c, |x, y| {
            self.at(x.clamp(0, self.size[0] as i32 - 1), y.clamp(0, self.size[1] as i32 - 1))
        })
    }
}

fn mix(a: Vec3, b: Vec3, share: f32) -> Vec3 {
    a * (1.0 - share) + b * share
}

const WEIGHTS: [f32; 4] = [SPREAD_OUTER, SPREAD_INNER, SPREAD_INNER, SPREAD_OUTER];

fn place(origin: Vec2, step: Vec2, x: i32, y: i32) -> Vec2 {
    origin + Vec2::new(x as f32, y as f32) * step
}

/// The next coarser level.
pub(crate) fn down(source: &Layer, step: &Step, around: &Layer) -> Layer {
    let uniform = &step.uniform;
    let texel = |x: i32, y: i32| {
        if source.inside(x, y) {
            source.at(x, y)
        } else if uniform.has_around > 0.5 {
            around.mixed(place(uniform.origin, uniform.step, x, y), |_, _| uniform.wall)
        } else {
            uniform.wall
        }
    };
    layer(step.size, |x, y| {
        let mut sum = Vec3::ZERO;
        for (j, wy) in WEIGHTS.iter().enumerate() {
            for (i, wx) in WEIGHTS.iter().enumerate() {
                let light = texel(2 * x - 3 + i as i32, 2 * y - 3 + j as i32);
                sum += light.map(|v| v.min(SPREAD_LIMIT)) * wx * wy;
            }
        }
        sum
    })
}

/// Multiplies a level by its share and adds the result of the coarser levels.
pub(crate) fn up(own: &Layer, step: &Step, below: &Layer) -> Layer {
    let uniform = &step.uniform;
    let rows = [uniform.to_red, uniform.to_green, uniform.to_blue];
    layer(step.size, |x, y| {
        let shared = by_rows(rows, own.at(x, y));
        if uniform.has_below > 0.5 {
            shared + below.clamped(place(uniform.origin, uniform.step, x, y))
        } else {
            shared
        }
    })
}

fn layer(size: [u32; 2], texel: impl Fn(i32, i32) -> Vec3) -> Layer {
    let pixels = (0..size[1]).flat_map(|y| (0..size[0]).map(move |x| (x as i32, y as i32)));
    Layer { size, pixels: pixels.map(|(x, y)| texel(x, y)).collect() }
}

/// A matrix, given by its rows, times a vector; the fourth components are ignored.
pub(crate) fn by_rows(rows: [Vec4; 3], v: Vec3) -> Vec3 {
    Vec3::from_array(rows.map(|row| row.truncate().dot(v)))
}

/// The contribution of the blurs to a pixel of the target.
pub(crate) fn added(first: &Layer, x: u32, y: u32) -> Vec3 {
    first.clamped(place(Vec2::splat(COARSER_ORIGIN), Vec2::splat(COARSER_STEP), x as i32, y as i32))
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

/// The blurred picture at half its size: everything but [`Plan::direct`] and the veil.
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
