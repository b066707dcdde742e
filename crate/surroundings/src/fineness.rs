//! How finely the exchange is computed.

use crate::lines::Grading;

/// How finely a site is divided and its sky is sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// For one figure: a street within about 0.5 %, a block within 1 %.
    Fine,
    /// For every hour of a year at 81 wavelengths: in total within about 1 % of random walks, as [`Fineness::Fine`] is. The
    /// mesh of ground and walls has a fixed number of lines at most, so that many blocks are coarser.
    Quick,
}

/// Most blocks that [`Fineness::Quick`] looks at closely.
pub(crate) const FEW: usize = 3;

impl Fineness {
    /// Rays of a patch, with so many blocks; `endless`: in a mesh of one dimension.
    pub(crate) const fn rays(self, blocks: usize, endless: bool) -> usize {
        match self {
            Self::Fine => 1024,
            Self::Quick if endless => 1024,
            Self::Quick if blocks <= FEW => 512,
            Self::Quick => 256,
        }
    }

    /// Rows and columns of the cells of the sky.
    pub(crate) const fn sky(self) -> [usize; 2] {
        match self {
            Self::Fine => [24, 72],
            Self::Quick => [12, 36],
        }
    }

    /// Most lines of a mesh across the view and along it.
    pub(crate) const fn most_lines(self) -> [usize; 2] {
        match self {
            Self::Fine => [400, 400],
            Self::Quick => [24, 18],
        }
    }

    /// Most patches up a block and the own wall, and along a block's sides, with so many blocks.
    pub(crate) const fn most_upright(self, blocks: usize) -> usize {
        match self {
            Self::Fine => 400,
            Self::Quick if blocks <= FEW => 9,
            Self::Quick if blocks <= 32 => 2,
            Self::Quick => 1,
        }
    }

    /// How lines spread out; `endless`: in a mesh of one dimension.
    pub(crate) const fn grading(self, endless: bool) -> Grading {
        let (first, growth) = match (self, endless) {
            (Self::Fine, true) => (0.02, 1.3),
            (Self::Fine, false) => (0.08, 1.6),
            (Self::Quick, true) => (0.04, 1.4),
            (Self::Quick, false) => (0.15, 2.0),
        };
        Grading { first, growth }
    }

    /// Change between two sweeps, relative to the largest exitance, at which the exchange ends.
    pub(crate) const fn settled(self) -> f64 {
        match self {
            Self::Fine => 1e-10,
            Self::Quick => 1e-4,
        }
    }
}
