//! The spread of light in the eye as passes over pictures; CPU twin of `shaders/spread_down.wgsl` and
//! `shaders/spread_up.wgsl`.
//!
//! Two pyramids of ever coarser pictures give blurs that double in width. One starts at the picture itself and
//! holds the narrow blurs. The other starts at a small picture of the whole window and some wall, and holds the
//! wide blurs, so that light beyond the picture's edge counts however far one has zoomed in. Each level is the
//! finer one filtered with the weights 1 3 3 1 in both directions, at half the size. On the way back each level is
//! multiplied by its share ([`Shares`]) and added to the next finer one by linear interpolation. Light spread wider
//! than the window is one uniform veil.

use glam::{DMat3, DVec3, Vec2, Vec3, Vec4};

use crate::eye::exposure::WindowLevel;
use crate::eye::look::{Look, Mode};
use crate::eye::shares::{SHOWN, Shares, rgb_from_bands};
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::shared::constants::{COARSER_ORIGIN, COARSER_STEP, WALL_REFLECTANCE};
use crate::shared::layout::{Layout as _, agrees, layout};

/// Longer side of the picture of the whole window: on screen, and for a picture drawn in tiles.
pub(crate) const AROUND_SCREEN_PX: u32 = 512;
pub(crate) const AROUND_TILES_PX: u32 = 1024;
/// Wall shown round the window there, as a share of its longer side; it must contain the reveal.
const AROUND_MARGIN: f64 = 0.1;
/// Maximum number of levels of the picture's own pyramid.
const MOST_LEVELS: u32 = 8;

layout! {
    /// What a pass of the spread reads.
    pub(crate) struct Spread {
        /// For `spread_up`: rows of the matrix that gives a level its share.
        pub(crate) to_red: Vec4,
        pub(crate) to_green: Vec4,
        pub(crate) to_blue: Vec4,
        /// The wall's light, linear RGB times exposure.
        pub(crate) wall: Vec3,
        /// 1 if texels beyond the level's edge come from the picture of the window.
        pub(crate) has_around: f32,
        /// Where the first texel lies in the other texture, and the step to the next.
        pub(crate) origin: Vec2,
        pub(crate) step: Vec2,
        /// 1 if there is another texture to add.
        pub(crate) has_below: f32,
        pub(crate) unused_a: f32,
        pub(crate) unused_b: Vec2,
    }
}

const _: () = assert!(agrees(Spread::FIELDS, size_of::<Spread>()));

/// One pass: the size of its target, and its uniform.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Step {
    pub(crate) size: [u32; 2],
    pub(crate) uniform: Spread,
}

/// Everything about a picture's spread that does not depend on its pixels.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plan {
    /// Pixels drawn beyond the picture on every side.
    pub(crate) margin: u32,
    /// The picture with its margin.
    pub(crate) target: View,
    /// The whole window with some wall.
    pub(crate) around: View,
    /// Levels 1, 2, … of the whole window.
    pub(crate) around_down: Vec<Step>,
    /// Its blurs, from the coarsest to level 1.
    pub(crate) around_up: Vec<Step>,
    /// Levels 1, 2, … of the picture.
    pub(crate) near_down: Vec<Step>,
    /// Its blurs, to which the window's are added, from the coarsest to level 1.
    pub(crate) near_up: Vec<Step>,
    /// Rows of the matrix that gives the unblurred picture its share.
    pub(crate) direct: [Vec4; 3],
    /// Light spread wider than the window.
    pub(crate) veil: Vec3,
}

/// Where the texels of a level lie: panel mm of the upper-left corner, y down, and mm for each texel.
#[derive(Clone, Copy)]
struct Grid {
    size: [u32; 2],
    corner: [f64; 2],
    step: f64,
}

impl Grid {
    fn of(view: &View) -> Self {
        let [x, y] = view.panel_from_pixel([0.0, 0.0]).to_array();
        Self { size: view.size_px, corner: [x, -y], step: view.mm_per_px }
    }

    /// Twice as coarse and one texel wider on every side.
    fn coarser(&self) -> Self {
        let step = self.step * 2.0;
        Self { size: self.size.map(|n| n.div_ceil(2) + 2), corner: self.corner.map(|c| c - step), step }
    }

    /// The first of this level's texels among another's, and the step to the next.
    fn place_in(&self, other: &Self) -> [Vec2; 2] {
        let origin =
            [0, 1].map(|k| ((self.corner[k] + self.step / 2.0 - other.corner[k]) / other.step - 0.5) as f32);
        [Vec2::from_array(origin), Vec2::splat((self.step / other.step) as f32)]
    }
}

/// The same for a level within the next coarser one.
const IN_COARSER: [Vec2; 2] = [Vec2::splat(COARSER_ORIGIN), Vec2::splat(COARSER_STEP)];

impl Plan {
    /// `None` if no light is spread: in colour-true mode, or where the look turns it off. `tiled`: for a picture
    /// drawn in tiles, with a margin so wide that nothing missing beyond it can be seen.
    pub(crate) fn new(
        tables: &LightTables,
        level: &WindowLevel,
        look: &Look,
        view: &View,
        tiled: bool,
    ) -> Option<Self> {
        if look.mode != Mode::Appearance || !look.spread {
            return None;
        }
        let around = around(tables, if tiled { AROUND_TILES_PX } else { AROUND_SCREEN_PX });
        let levels = levels(view.mm_per_px, around.mm_per_px);
        let margin = if tiled { margin_of(grid_of(levels)) } else { 0 };
        let target = View { size_px: view.size_px.map(|s| s + 2 * margin), ..*view };

        let grids = |first: Grid, levels: u32| {
            std::iter::successors(Some(first), |g| Some(g.coarser()))
                .take(levels as usize + 1)
                .collect::<Vec<_>>()
        };
        let near = grids(Grid::of(&target), levels);
        // Continue until one texel is as wide as the whole; levels stay at least four texels wide, for the wall
        // round them.
        let around_levels = around.size_px[0].max(around.size_px[1]).ilog2() + 1;
        let wide = grids(Grid::of(&around), around_levels);

        let distance_mm = distance_mm(tables);
        let (widths_mm, first_wide) = widths_mm(view.mm_per_px, levels, around.mm_per_px, around_levels);
        let widths_rad: Vec<f64> = widths_mm.iter().map(|w| w / distance_mm).collect();
        let shares = Shares::new(tables.viewer, &widths_rad).shown(SHOWN);
        let (to, from) = (rgb_from_bands(), rgb_from_bands().inverse());
        let matrix = |of_bands: [f64; 3]| to * DMat3::from_diagonal(DVec3::from_array(of_bands)) * from;
        let shared = |of_bands| rows(matrix(of_bands));

        let exposure = level.exposure(look.mode, look.exposure);
        let wall = level.room_white(tables.room_white_cd_m2) * f64::from(WALL_REFLECTANCE) * exposure;
        let down = |grids: &[Grid], outside: Option<&Grid>| -> Vec<Step> {
            grids
                .windows(2)
                .map(|pair| Step {
                    size: pair[1].size,
                    uniform: Spread {
                        wall: Vec3::splat(wall as f32),
                        has_around: if outside.is_some() { 1.0 } else { 0.0 },
                        origin: outside.map_or(Vec2::ZERO, |o| pair[0].place_in(o)[0]),
                        step: outside.map_or(Vec2::ZERO, |o| pair[0].place_in(o)[1]),
                        ..Spread::default()
                    },
                })
                .collect()
        };
        let up = |grids: &[Grid], share: &dyn Fn(usize) -> [f64; 3], last: Option<[Vec2; 2]>| -> Vec<Step> {
            (1..grids.len())
                .rev()
                .map(|k| {
                    let coarsest = k + 1 == grids.len();
                    let place = if coarsest { last } else { Some(IN_COARSER) };
                    let [origin, step] = place.unwrap_or_default();
                    let [to_red, to_green, to_blue] = shared(share(k));
                    Step {
                        size: grids[k].size,
                        uniform: Spread {
                            to_red,
                            to_green,
                            to_blue,
                            origin,
                            step,
                            has_below: if place.is_some() { 1.0 } else { 0.0 },
                            ..Spread::default()
                        },
                    }
                })
                .collect()
        };
        // The first blurs of the window's pyramid may be no wider than the widest of the picture's own.
        let of_around = |k: usize| {
            k.checked_sub(first_wide)
                .and_then(|k| shares.of_bands.get(levels as usize + 1 + k))
                .copied()
                .unwrap_or([0.0; 3])
        };
        let to_around = near[levels as usize].place_in(&wide[1]);
        Some(Self {
            margin,
            target,
            around,
            around_down: down(&wide, None),
            around_up: up(&wide, &of_around, None),
            near_down: down(&near, Some(&wide[0])),
            near_up: up(&near, &|k| shares.of_bands[k], Some(to_around)),
            direct: shared(shares.of_bands[0]),
            veil: veil(&shares, matrix(shares.beyond), tables, level, wall, exposure, distance_mm),
        })
    }
}

/// Light spread so wide that it is uniform over the window: the window's light by the share of its solid angle, the
/// wall's light for the rest.
fn veil(
    shares: &Shares,
    beyond: DMat3,
    tables: &LightTables,
    level: &WindowLevel,
    wall: f64,
    exposure: f64,
    distance_mm: f64,
) -> Vec3 {
    let glass_sr = tables.places.iter().map(|p| p.0.max(0.0)).sum::<f64>() / (distance_mm * distance_mm);
    // A window that fills the view cannot give more than all of the light.
    let part = (shares.beyond_per_sr * glass_sr).min(shares.beyond[1].max(0.0));
    let of_wall = beyond * DVec3::splat(wall);
    (of_wall + part * (DVec3::from_array(level.mean_rgb) * exposure - wall)).as_vec3()
}

/// The rows of a matrix in the layout that shaders read; the fourth components are 0.
pub(crate) fn rows(matrix: DMat3) -> [Vec4; 3] {
    [0, 1, 2].map(|k| matrix.row(k).as_vec3().extend(0.0))
}

/// From the eye to the middle of the window.
fn distance_mm(tables: &LightTables) -> f64 {
    let eye = tables.eye_mm.as_dvec3();
    eye.distance(tables.bounds.centre().vector().extend(0.0)).max(50.0)
}

/// The picture of the whole window.
pub(crate) fn around(tables: &LightTables, longer_px: u32) -> View {
    let [width, height] = tables.bounds.size();
    let longer = width.max(height).max(1.0);
    let margin = AROUND_MARGIN * longer;
    let mm_per_px = (longer + 2.0 * margin) / f64::from(longer_px);
    let size_px = [width, height].map(|s| ((s + 2.0 * margin) / mm_per_px).ceil().max(8.0) as u32);
    View { centre_mm: tables.bounds.centre(), mm_per_px, size_px }
}

/// Levels of the picture's own pyramid: until its texels are about as wide as those of the window's first level.
fn levels(mm_per_px: f64, around_mm_per_px: f64) -> u32 {
    let wanted = (1.73 * around_mm_per_px / mm_per_px.max(1e-6)).log2().ceil();
    if wanted.is_finite() { wanted.clamp(1.0, f64::from(MOST_LEVELS)) as u32 } else { 1 }
}

/// Two texels of the coarsest level, given its size: 2.8 standard deviations of its widest blur.
pub(crate) fn margin_of(grid: u32) -> u32 {
    2 * grid
}

/// The place and size of a tile are multiples of this many pixels, so that its levels' texels line up with its
/// neighbours'.
pub(crate) fn tile_grid(tables: &LightTables, view: &View) -> u32 {
    grid_of(levels(view.mm_per_px, around(tables, AROUND_TILES_PX).mm_per_px))
}

/// At least 8, so that the stripes of marks continue from tile to tile.
fn grid_of(levels: u32) -> u32 {
    1 << levels.max(3)
}

/// Standard deviations of the blurs along an axis, and the level of the window's pyramid that comes first after the
/// picture's own levels. The weights 1 3 3 1 have a variance of 3/4 of a texel of the finer level, both down and
/// up; linear interpolation at any place has one of 1/6 of a texel of the coarser level.
fn widths_mm(px: f64, levels: u32, around_px: f64, around_levels: u32) -> (Vec<f64>, usize) {
    let four = |k: u32| 4.0_f64.powi(k as i32);
    let mut widths: Vec<f64> = (0..=levels).map(|k| px * (0.5 * (four(k) - 1.0)).sqrt()).collect();
    let own = widths[levels as usize];
    let back = px * px * 0.25 * (four(levels) - 1.0);
    let wide = (1..=around_levels).map(|k| {
        let up_and_down = 0.25 * (four(k) - 1.0) + 0.25 * (four(k) - 4.0);
        (around_px * around_px * (up_and_down + 4.0 / 6.0) + back).sqrt()
    });
    let wide: Vec<f64> = wide.collect();
    let first = wide.iter().position(|w| *w > 1.4 * own).unwrap_or(wide.len());
    widths.extend(&wide[first..]);
    (widths, first + 1)
}
