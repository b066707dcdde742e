//! The 81-sample path: a piece's light at a point, wavelength by wavelength, with no table and no basis between.

use spectra::{Observer, Spectrum, Xyz};

use crate::{
    light::Eye,
    model::{WindowModel, contains},
    optics::Transmittance,
};

/// The world outside, asked directly.
pub trait Surroundings {
    /// Spectral radiance from a direction (unit vector in the panel's frame, z negative), without the sun's disc.
    fn radiance(&self, direction: [f64; 3]) -> Spectrum;
    /// Irradiance on the panel's outer face over π.
    fn glow(&self) -> Spectrum;
}

/// Light from one piece at a panel point toward the eye: T_reg(λ, θ)·L(direction) + T_dif(λ, θ)·E/π.
pub fn radiance_at(
    model: &WindowModel,
    piece: usize,
    point: [f64; 2],
    eye: Eye,
    outside: &impl Surroundings,
    mut transmittance: impl FnMut(usize, f64, f64, f64) -> Transmittance,
) -> Spectrum {
    let piece = &model.pieces[piece];
    let t = transmittance(piece.makeup, piece.thickness_factor, piece.paint_factor, eye.incidence_deg(point));
    t.regular * outside.radiance(eye.direction_through(point)) + t.diffuse * outside.glow()
}

/// Mean tristimulus values (cd/m²) over the points of a piece that `points` offers and that lie in its light
/// shape; `None` without any.
pub fn mean_xyz(
    model: &WindowModel,
    piece: usize,
    points: impl IntoIterator<Item = [f64; 2]>,
    eye: Eye,
    outside: &impl Surroundings,
    mut transmittance: impl FnMut(usize, f64, f64, f64) -> Transmittance,
) -> Option<Xyz> {
    let (mut sum, mut count) = (Spectrum::ZERO, 0.0);
    for point in points {
        if contains(&model.pieces[piece].light_shape, point) {
            sum += radiance_at(model, piece, point, eye, outside, &mut transmittance);
            count += 1.0;
        }
    }
    (count > 0.0).then(|| Xyz::absolute(&(sum * (1.0 / count)), Observer::Cie1931))
}
