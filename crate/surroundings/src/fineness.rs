//! How finely the exchange is computed.

/// How finely a site is divided and its sky is sampled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fineness {
    /// For one figure: a street within about 0.5 %, a block within 1 %.
    Fine,
    /// For every hour of a year at 81 wavelengths: in total within about 1 % of [`Fineness::Fine`]. The mesh of ground and
    /// walls has a fixed number of lines at most, so that many blocks are coarser.
    Quick,
}

impl Fineness {
    /// Rays of a patch.
    pub(crate) const fn rays(self) -> usize {
        match self {
            Self::Fine => 1024,
            Self::Quick => 256,
        }
    }

    /// Rows and columns of the cells of the sky.
    pub(crate) const fn sky(self) -> [usize; 2] {
        match self {
            Self::Fine => [24, 72],
            Self::Quick => [9, 24],
        }
    }

    /// Patches between two breaks of the mesh.
    pub(crate) const fn between(self, breaks: usize) -> usize {
        match self {
            Self::Fine => 6,
            Self::Quick if breaks <= 3 => 4,
            Self::Quick => 3,
        }
    }

    /// Patches between two breaks where surfaces are endless along the wall, and a mesh has one dimension only.
    pub(crate) const fn strips(self) -> usize {
        match self {
            Self::Fine => 20,
            Self::Quick => 6,
        }
    }

    /// Most lines of a mesh across the view and along it.
    pub(crate) const fn most_lines(self) -> [usize; 2] {
        match self {
            Self::Fine => [400, 400],
            Self::Quick => [24, 18],
        }
    }

    /// Patches along each side of a block's front, and of the own wall's height, with so many blocks.
    pub(crate) const fn upright(self, blocks: usize) -> usize {
        match self {
            Self::Fine => 6,
            Self::Quick if blocks <= 3 => 4,
            Self::Quick if blocks <= 16 => 2,
            Self::Quick => 1,
        }
    }

    /// Width of the first patch outside all breaks, in heights of what stands there, and how much wider each further one
    /// is; `endless`: in a mesh of one dimension.
    pub(crate) const fn outward(self, endless: bool) -> [f64; 2] {
        match (self, endless) {
            (Self::Fine, true) => [0.02, 1.3],
            (Self::Fine, false) => [0.1, 1.8],
            (Self::Quick, true) => [0.06, 1.6],
            (Self::Quick, false) => [0.2, 2.2],
        }
    }

    /// Change between two sweeps, relative to the largest exitance, at which the exchange ends.
    pub(crate) const fn settled(self) -> f64 {
        match self {
            Self::Fine => 1e-10,
            Self::Quick => 1e-4,
        }
    }
}
