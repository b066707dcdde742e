//! The uniforms of the pass from scene light to the screen.

use glam::{DMat3, Vec2, Vec3, Vec4};

use crate::eye::look::Mode;
use crate::eye::spread::{Plan, rows};
use crate::rgb::{Gamut, rgb_from_xyz, xyz_from_rgb};
use crate::shared::layout::{Layout as _, agrees, layout};

layout! {
    /// From scene light to the screen.
    pub(crate) struct Tone {
        /// Rows of the matrix to the screen's primaries.
        pub(crate) to_red: Vec4,
        pub(crate) to_green: Vec4,
        pub(crate) to_blue: Vec4,
        /// Rows of the matrix that gives the unblurred picture its share of the light in the eye.
        pub(crate) direct_red: Vec4,
        pub(crate) direct_green: Vec4,
        pub(crate) direct_blue: Vec4,
        /// Light spread over the whole eye, linear RGB times exposure.
        pub(crate) veil: Vec3,
        /// 1 for appearance, 0 for colour-true.
        pub(crate) appearance: f32,
        /// Luminance of each of the screen's primaries.
        pub(crate) luminance: Vec3,
        /// Pixels drawn beyond the picture's edge.
        pub(crate) margin_px: f32,
        /// 1 if what the screen cannot show is marked.
        pub(crate) mark_clipped: f32,
        /// 1 if light spreads in the eye.
        pub(crate) spreads: f32,
        pub(crate) unused: Vec2,
    }
}

const _: () = assert!(agrees(Tone::FIELDS, size_of::<Tone>()));

impl Tone {
    /// `plan`: how light spreads in the eye, if it does.
    pub(crate) fn new(mode: Mode, gamut: Gamut, show_clipped: bool, plan: Option<&Plan>) -> Self {
        let (matrix, space) = match gamut {
            Gamut::Srgb => (DMat3::IDENTITY, Gamut::Srgb),
            Gamut::DisplayP3 => {
                (rgb_from_xyz(Gamut::DisplayP3) * xyz_from_rgb(Gamut::Srgb), Gamut::DisplayP3)
            }
        };
        let flag = |on: bool| if on { 1.0 } else { 0.0 };
        let [to_red, to_green, to_blue] = rows(matrix);
        let [direct_red, direct_green, direct_blue] = plan.map_or([Vec4::ZERO; 3], |p| p.direct);
        Self {
            to_red,
            to_green,
            to_blue,
            direct_red,
            direct_green,
            direct_blue,
            veil: plan.map_or(Vec3::ZERO, |p| p.veil),
            appearance: flag(mode == Mode::Appearance),
            luminance: xyz_from_rgb(space).row(1).as_vec3(),
            margin_px: plan.map_or(0.0, |p| p.margin as f32),
            mark_clipped: flag(show_clipped),
            spreads: flag(plan.is_some()),
            unused: Vec2::ZERO,
        }
    }
}
