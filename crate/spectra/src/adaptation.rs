//! Chromatic adaptation: how a colour seen under one white looks under another.
//!
//! palette provides the cone channels; the matrices of CAT16 and CAT02 and a degree of adaptation are ours.

use glam::DMat3;
use palette::Mat3;
use palette::convert::FromColorUnclamped;
use palette::lms::Lms;
use palette::lms::matrix::{LmsToXyz, WithLmsMatrix, XyzToLms};
use palette::white_point::Any;

use crate::Xyz;

/// The cone-like space in which the two whites are compared.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ConeSpace {
    /// CAT16: Li et al., *Color Res. Appl.* 42 (2017) 703–718; CIE 248:2022. The one to use.
    #[default]
    Cat16,
    /// CAT02: CIE 159:2004.
    Cat02,
    /// Bradford, as used in ICC profiles, without the power on blue: Lam 1985.
    Bradford,
}

/// Why a colour could not be adapted.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AdaptationError {
    /// A white that leaves one of the three channels without a positive, finite response.
    #[error(
        "white {white:?}: adaptation needs a white with a positive, finite response in all three channels"
    )]
    White {
        /// The white.
        white: Xyz,
    },
    /// A degree outside 0–1.
    #[error("degree of adaptation {degree}: expected 0 (none) to 1 (complete)")]
    Degree {
        /// The degree given.
        degree: f64,
    },
    /// A colour that is not finite, or that is no longer finite after adaptation.
    #[error("colour {xyz:?}: expected finite tristimulus values that stay finite when adapted")]
    Colour {
        /// The colour.
        xyz: Xyz,
    },
}

/// Gives palette a matrix from tristimulus values to the channels of a cone space, and its inverse.
macro_rules! cone_space {
    ($space:ident, $rows:expr) => {
        enum $space {}

        impl $space {
            const FROM_XYZ: DMat3 = DMat3::from_rows_array(&$rows);
        }

        impl XyzToLms<f64> for $space {
            fn xyz_to_lms_matrix() -> Mat3<f64> {
                Self::FROM_XYZ.to_rows_array()
            }
        }

        impl LmsToXyz<f64> for $space {
            fn lms_to_xyz_matrix() -> Mat3<f64> {
                Self::FROM_XYZ.inverse().to_rows_array()
            }
        }
    };
}

cone_space!(
    Cat16,
    [0.401288, 0.650173, -0.051461, -0.250268, 1.204414, 0.045854, -0.002079, 0.048952, 0.953127]
);
cone_space!(Cat02, [0.7328, 0.4296, -0.1624, -0.7036, 1.6975, 0.0061, 0.0030, 0.0136, 0.9834]);
// palette has Bradford's matrix too, but rounds its inverse to seven decimals: a round trip changes a colour by
// 1e-7 of its value.
cone_space!(Bradford, [0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296]);

/// The colour under `to_white` that looks like `xyz` under `from_white`, by CAT16.
///
/// `degree`: 0 none to 1 complete. The whites also set the level: give both the same Y, and `xyz` on that scale.
///
/// # Errors
/// A white without a response in one channel, a degree outside 0–1, a colour that is not finite.
///
/// # Source
/// Li et al. 2017 (see [`ConeSpace`]); gain per channel D·to/from + 1 − D.
pub fn adapt(xyz: Xyz, from_white: Xyz, to_white: Xyz, degree: f64) -> Result<Xyz, AdaptationError> {
    adapt_in(ConeSpace::Cat16, xyz, from_white, to_white, degree)
}

/// [`adapt`] in another space.
///
/// # Errors
/// As [`adapt`].
pub fn adapt_in(
    space: ConeSpace,
    xyz: Xyz,
    from_white: Xyz,
    to_white: Xyz,
    degree: f64,
) -> Result<Xyz, AdaptationError> {
    if !(0.0..=1.0).contains(&degree) {
        return Err(AdaptationError::Degree { degree });
    }
    match space {
        ConeSpace::Cat16 => adapt_by::<Cat16>(xyz, from_white, to_white, degree),
        ConeSpace::Cat02 => adapt_by::<Cat02>(xyz, from_white, to_white, degree),
        ConeSpace::Bradford => adapt_by::<Bradford>(xyz, from_white, to_white, degree),
    }
}

/// palette's own adaptation is always complete, between whites of Y = 1, so only its cone channels are used.
fn adapt_by<M>(xyz: Xyz, from_white: Xyz, to_white: Xyz, degree: f64) -> Result<Xyz, AdaptationError>
where
    M: XyzToLms<f64> + LmsToXyz<f64>,
{
    type Cones<M> = Lms<WithLmsMatrix<Any, M>, f64>;
    let white = |white: Xyz| {
        let cones = Cones::<M>::from_color_unclamped(*white);
        let good = <[f64; 3]>::from(cones).iter().all(|c| *c > 0.0 && c.is_finite());
        if good { Ok(cones) } else { Err(AdaptationError::White { white }) }
    };
    let gain = white(to_white)? / white(from_white)? * degree + (1.0 - degree);
    let adapted =
        Xyz::from(palette::Xyz::from_color_unclamped(Cones::<M>::from_color_unclamped(*xyz) * gain));
    if adapted.is_finite() { Ok(adapted) } else { Err(AdaptationError::Colour { xyz }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const D65: Xyz = Xyz::new(95.04, 100.0, 108.88);
    const A: Xyz = Xyz::new(109.85, 100.0, 35.58);

    #[test]
    fn white_maps_to_white_and_degree_zero_changes_nothing() {
        for space in [ConeSpace::Cat16, ConeSpace::Cat02, ConeSpace::Bradford] {
            let near = |a: Xyz, b: Xyz| (a - b).to_array().iter().all(|d| d.abs() < 1e-12 * 100.0);
            assert!(near(adapt_in(space, A, A, D65, 1.0).unwrap(), D65));
            assert!(near(adapt_in(space, A, A, D65, 0.0).unwrap(), A));
        }
    }

    #[test]
    fn colours_that_cannot_be_adapted_are_refused() {
        assert_eq!(adapt(A, Xyz::ZERO, D65, 1.0), Err(AdaptationError::White { white: Xyz::ZERO }));
        assert_eq!(adapt(A, A, D65, 1.5), Err(AdaptationError::Degree { degree: 1.5 }));
        assert!(matches!(adapt(A, A, D65, f64::NAN), Err(AdaptationError::Degree { .. })));
        assert!(matches!(
            adapt(Xyz::new(f64::NAN, 1.0, 1.0), A, D65, 1.0),
            Err(AdaptationError::Colour { .. })
        ));
    }
}
