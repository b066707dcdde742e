//! The forward lobe of scattered light.
//!
//! A textured or matted surface, thin paint and dirt turn light by small angles only: most of what they scatter stays in
//! a lobe around the direction that it had. Radiance is spread by the same bell in direction cosines for every angle of
//! incidence: J. E. Harvey, *Light-Scattering Characteristics of Optical Surfaces*, dissertation, University of Arizona,
//! 1976 (from memory). Plane layers keep direction cosines, so that a lobe leaves a piece as it left its scatterer.
//!
//! The lobe divides the light that [`Optics::diffuse_transmittance`](crate::Optics::diffuse_transmittance) already
//! counts: sums over the hemisphere do not depend on it. The rest stays evenly spread.
//!
//! # Several scatterers
//! On the way straight through, each scatterer turns a share of what is still regular into light of its lobe, or of no
//! direction. What meets only lobes stays in one. Direction cosines scattered twice add like independent errors, so that
//! their variances add; the piece has one bell of the mean variance. Light reflected back and forth within the piece
//! counts as divided the same way. That is sound while most of the scattered light has met one scatterer, and too sharp
//! where much of it was reflected between two of them, which takes two scattering plates or a piece under white paint.
//! All of it is taken at 560 nm along the normal, since the bell is hardly narrower at another wavelength or angle.

/// How a scatterer spreads the light that it scatters forward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lobe {
    /// Share of the scattered light that stays in the lobe, 0–1; the rest is spread evenly.
    pub share: f64,
    /// Angle from its middle at which the lobe has half its radiance, for light along the normal, degrees.
    pub half_width_deg: f64,
}

impl Lobe {
    /// Everything scattered is spread evenly.
    pub const NONE: Self = Self { share: 0.0, half_width_deg: 15.0 };
    /// Matting: assumption.
    pub const MATTING: Self = Self { share: 0.8, half_width_deg: 15.0 };
    /// Enamel, smoother than matting: assumption.
    pub const ENAMEL: Self = Self { share: 0.8, half_width_deg: 10.0 };
    /// Dust and soot: assumption.
    pub const DIRT: Self = Self { share: 0.7, half_width_deg: 10.0 };
    /// Pits and crusts of weathered glass: assumption, as of acid-matted glass, with more that is spread evenly.
    pub const CORROSION: Self = Self { share: 0.6, half_width_deg: 15.0 };
    /// Bubbles: estimated by geometric optics. A spherical bubble in glass of index 1.52 turns light by 30° within the
    /// glass at half of its radiance straight on, so that the lobe nearly fills the hemisphere.
    pub const SEEDY: Self = Self { share: 0.9, half_width_deg: 40.0 };
    /// Rolled, as cathedral glass: assumption; slopes of about 15° turn light by about half as much.
    pub const ROLLED: Self = Self { share: 0.95, half_width_deg: 8.0 };
    /// Hammered: assumption; steeper slopes than those of rolled glass.
    pub const HAMMERED: Self = Self { share: 0.95, half_width_deg: 15.0 };
    /// Acid-matted or blasted: estimated from slopes fitted to measured ground and etched glass, 0.39 and 0.55 (B. Walter
    /// and others, *Microfacet Models for Refraction through Rough Surfaces*, Eurographics Symposium on Rendering 2007;
    /// from memory), which halve the radiance at 8° and 11° with long tails; one bell for both is wider.
    pub const MATTED: Self = Self { share: 0.85, half_width_deg: 15.0 };

    /// Narrowest and widest half width, degrees. A wider lobe would be no lobe.
    pub const HALF_WIDTHS_DEG: [f64; 2] = [1.0, 45.0];

    /// Variance of each of the two direction cosines along the glass.
    pub fn variance(self) -> f64 {
        let [least, most] = Self::HALF_WIDTHS_DEG;
        let width = if self.half_width_deg > least { self.half_width_deg.min(most) } else { least };
        width.to_radians().sin().powi(2) / (2.0 * std::f64::consts::LN_2)
    }

    /// The lobe of this variance.
    pub(crate) fn of(share: f64, variance: f64) -> Self {
        let sine = (variance * 2.0 * std::f64::consts::LN_2).sqrt().min(1.0);
        Self { share, half_width_deg: sine.asin().to_degrees() }
    }
}
