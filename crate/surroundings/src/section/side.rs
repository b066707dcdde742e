//! The surfaces of a section.

use std::f64::consts::{FRAC_PI_2, PI};

/// A surface of the section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Ground,
    Own,
    Facade,
}

impl Side {
    /// Angle of the outward normal in the section, from s toward y.
    pub(super) const fn normal_angle(self) -> f64 {
        match self {
            Self::Ground => FRAC_PI_2,
            Self::Own => 0.0,
            Self::Facade => PI,
        }
    }
}
