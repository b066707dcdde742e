//! What is not known of the walls around windows: their stone, how deep they are, and the bars and mesh before them.
//!
//! One error of each kind for all walls of a scene. To first order: the figures are computed behind walls that differ a
//! little, and go on in proportion.

use daylight::Outside;
use scene::{Reflectance, Resolved, ResolvedWall};
use spectra::Spectrum;
use uncertainty::Origin;

use super::around::{by_factor, by_reflectance};
use super::deviations::{GUARD_LN, REVEAL_LN, REVEAL_MEASURED_LN, REVEAL_STATED_LN, WALL_DEPTH_MM};
use super::effect::{Effect, Moved};
use super::error::RangesError;
use super::inner_reveal;
use super::levels::Levels;
use super::listed::Listed;
use super::names::{per_cent, plus_minus};
use super::other_wall::{Change, Walls};
use crate::deeper::STEP_M;
use crate::instant::InstantLight;
use crate::prepared::{Prepared, RECEIVERS};

/// Names of causes that tests set in a scene, too.
pub(super) mod names {
    pub(in crate::causes) const STONE: &str = "reflectance of the reveals and overhangs";
    pub(in crate::causes) const DEPTH: &str = "depth of the outer reveals and overhangs";
    pub(in crate::causes) const GUARDS: &str = "thickness of the bars and mesh outside";
}

const NOTHING: [[[f64; RECEIVERS]; 2]; 2] = [[[0.0; RECEIVERS]; 2]; 2];

/// The effects of all causes in walls with depth; none without such walls.
///
/// # Errors
/// Deviations that are not finite.
pub(super) fn effects(
    prepared: &Prepared,
    resolved: &Resolved,
    outside: &Outside,
    light: &InstantLight,
    now: &Levels,
    listed: &mut Listed,
) -> Result<Vec<Effect>, RangesError> {
    if prepared.walled.iter().all(Option::is_none) {
        return Ok(Vec::new());
    }
    let walls = Walls::new(prepared, outside, light);
    let windows = 0..prepared.walled.len();
    let mut effects = Vec::new();

    let relative = |then: Levels| then.with(now, |then, now| if now > 0.0 { then / now - 1.0 } else { 0.0 });
    let sd = stone_sd(resolved);
    if sd > 0.0 {
        let lighter: Vec<_> = windows.clone().map(|window| Change::lighter(&walls, window)).collect();
        let outer = relative(walls.behind(&lighter, NOTHING));
        let at_eye = inner_reveal::slopes(&walls);
        let at_front = walls.plane().map_or(at_eye, inner_reveal::slopes);
        let none: Vec<Option<Change<'_>>> = windows.clone().map(|_| None).collect();
        let inner = relative(walls.behind(&none, [at_eye, at_front]));
        let cause = listed.added(names::STONE.to_owned(), 1.0, per_cent(sd), Origin::Assumption)?;
        let limited = limited(resolved, sd, [outer.figures[1], inner.figures[1]]);
        effects.push(Effect::sloping(cause, limited, outer.with(&inner, |outer, inner| outer + inner)));
    }

    let deeper: Vec<_> = windows.clone().map(|window| Change::deeper(&walls, window)).collect();
    if deeper.iter().any(Option::is_some) {
        let spread = plus_minus(WALL_DEPTH_MM, " mm");
        let cause = listed.added(names::DEPTH.to_owned(), 1.0, spread, Origin::Assumption)?;
        let steps = 1e-3 * WALL_DEPTH_MM / STEP_M;
        // No wall is less deep than none.
        let least = -least_depth_m(resolved) / STEP_M;
        let moved: Moved = Box::new(move |z| (steps * z).max(least));
        effects.push(Effect::sloping(cause, moved, relative(walls.behind(&deeper, NOTHING))));
    }

    let factor = (-GUARD_LN).exp();
    let thinner: Vec<_> = windows.map(|window| Change::guards(&walls, window, factor)).collect();
    if thinner.iter().any(Option::is_some) {
        let cause = listed.added(names::GUARDS.to_owned(), 1.0, per_cent(GUARD_LN), Origin::Assumption)?;
        let then = walls.behind(&thinner, NOTHING);
        effects.push(Effect::straight(cause, by_factor(GUARD_LN), now, (-1.0, then)));
    }
    Ok(effects)
}

/// How far all reflectances are from the ones believed in, relative, where none rises above 1: outside and inside, by what
/// each does to the figure in front.
fn limited(resolved: &Resolved, sd: f64, slopes: [f64; 2]) -> Moved {
    let all: f64 = slopes.iter().map(|slope| slope.abs()).sum();
    let share = if all > 0.0 { slopes[0].abs() / all } else { 0.5 };
    let [outer, inner] = [0, 1].map(|side| by_reflectance(mean_reflectance(resolved, side), sd));
    Box::new(move |z| share * outer(z) + (1.0 - share) * inner(z))
}

/// The mean of what the stone outside (0) or inside (1) reflects, of all walls alike.
fn mean_reflectance(resolved: &Resolved, side: usize) -> Spectrum {
    let (mut sum, mut count) = (Spectrum::ZERO, 0.0);
    let mut add = |rho: &Spectrum| {
        sum += *rho;
        count += 1.0;
    };
    for wall in resolved.windows.iter().filter_map(|window| window.wall.as_ref()) {
        let depth_m = [wall.depths.outer.depth_m, wall.depths.inner.depth_m][side];
        if depth_m > 0.0 {
            add(&wall.sides[side]);
            add(&wall.sills[side]);
        }
        if side == 0 && wall.depths.overhang.is_some() {
            add(&wall.overhang);
        }
    }
    if count > 0.0 { sum * (1.0 / count) } else { sum }
}

/// The least depth that a wall has where it has any, m.
fn least_depth_m(resolved: &Resolved) -> f64 {
    let depths = |wall: &ResolvedWall| {
        [wall.depths.outer.depth_m, wall.depths.overhang.map_or(0.0, |over| over.depth_m)]
    };
    let walls = resolved.windows.iter().filter_map(|window| window.wall.as_ref());
    walls.flat_map(depths).filter(|depth| *depth > 0.0).fold(f64::INFINITY, f64::min)
}

/// Standard deviation of the logarithm of what the stone reflects, by the least known part of any wall.
pub(super) fn stone_sd(resolved: &Resolved) -> f64 {
    let of = |given: Option<&Reflectance>| match given {
        None => REVEAL_LN,
        Some(Reflectance::Samples(_)) => REVEAL_MEASURED_LN,
        Some(_) => REVEAL_STATED_LN,
    };
    let walls = resolved.scene.windows.iter().filter_map(|window| window.wall.as_ref());
    let parts = walls.flat_map(|wall| {
        let reveals = [&wall.outer, &wall.inner].into_iter().flatten().filter(|reveal| reveal.depth_m > 0.0);
        let reveals = reveals.map(|reveal| of(reveal.reflectance.as_ref()));
        reveals.chain(wall.overhang.iter().map(|over| of(over.reflectance.as_ref())))
    });
    parts.fold(0.0, f64::max)
}
