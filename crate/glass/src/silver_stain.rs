//! Silver stain: how its silver absorbs, by how far the firing has let it grow.

use std::sync::LazyLock;

use spectra::{SAMPLES, Spectrum};

/// Tone of a silver stain: how far its silver has grown.
///
/// Its density is given at 450 nm: about what a densitometer's blue filter reads. (At its own peak, stain is up to
/// twelve times as dense; at 560 nm pale stain has almost no density.)
///
/// Hotter or longer firing makes larger particles of more unequal size, and gathers them: the absorption spreads from
/// its peak near 410 nm toward the red, and the colour moves from a greenish yellow over gold to a brownish orange.
///
/// # Source
/// Estimated; no measured transmittance of fired stain was found. The spectra are computed: extinction less the half of
/// the scattered light that goes on forward, of spheres with log-normal radii (Mie), and of gathered particles as
/// spheroids of exponentially distributed elongation (Gans 1912), both of silver (Johnson & Christy 1972) in glass of
/// n = 1.52; `data/README.md` lists the amounts, which are assumptions. In keeping with what is published: the band of
/// silver-exchanged soda-lime glass at about 410 nm after 570–600 °C (Sheng 2009, Int. J. Hydrogen Energy 34, 2471,
/// abstract), particles that grow with depth (Berger 1992, J. Non-Cryst. Solids 151, 88, abstract), and a second band
/// toward the red, dark red to the eye, where they have gathered (electron microscopy of stained surface layers,
/// abstract).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StainTone {
    /// Small particles, cool firing.
    Lemon,
    /// Medium particles.
    Gold,
    /// Larger particles, many of them gathered, from hotter or longer firing: cloudier.
    Amber,
}

impl StainTone {
    /// Cool firing to hot.
    pub const ALL: [Self; 3] = [Self::Lemon, Self::Gold, Self::Amber];

    /// The usual density at 450 nm: assumptions.
    pub const fn usual_density(self) -> f64 {
        match self {
            Self::Lemon => 0.1825,
            Self::Gold => 0.3825,
            Self::Amber => 1.2,
        }
    }

    /// Share of the transmitted light that is diffuse at the usual density, 0–1: assumptions. By Mie theory silver
    /// scatters 1 % of what it takes from the beam at its peak at a radius of 5 nm, 11 % at 10, 60 % at 20.
    pub(crate) const fn usual_diffuse_share(self) -> f64 {
        match self {
            Self::Lemon => 0.005,
            Self::Gold => 0.05,
            Self::Amber => 0.078,
        }
    }

    /// Optical density by wavelength for a density of 1 at 450 nm.
    pub(crate) fn shape(self) -> Spectrum {
        static SHAPES: LazyLock<[Spectrum; 3]> = LazyLock::new(|| {
            let mut shapes = [Spectrum::ZERO; 3];
            for (sample, line) in include_str!("../data/stain.csv").lines().skip(1).take(SAMPLES).enumerate()
            {
                for (shape, cell) in shapes.iter_mut().zip(line.split(',').skip(1)) {
                    shape[sample] = cell.parse().unwrap_or(0.0);
                }
            }
            shapes
        });
        SHAPES[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_tone_has_a_whole_table_that_is_one_at_450_nm() {
        for tone in StainTone::ALL {
            let shape = tone.shape();
            assert!((shape[14] - 1.0).abs() < 1e-12, "{tone:?}");
            assert!(shape.samples().iter().all(|d| *d > 0.0 && *d < 15.0), "{tone:?}");
        }
    }
}
