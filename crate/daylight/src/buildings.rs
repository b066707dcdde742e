//! The window's own building and the blocks before it.

use plane::RoomVector;
use spectra::{SAMPLES, Spectrum};
use surroundings::{Exchange, Fineness, Light, Lit, Outlines, Reflectances, Site};

use crate::error::DaylightError;
use crate::ground::{Ground, check_shares};
use crate::place::Direction;
use crate::sun_share::past_what_hides;

/// The own building and the blocks before a wall, prepared once for every hour. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Buildings {
    exchange: Exchange,
    /// Bearing of the wall's outward normal.
    facing_deg: f64,
    own_building: Spectrum,
    blocks: Vec<Spectrum>,
}

impl PartialEq for Buildings {
    fn eq(&self, other: &Self) -> bool {
        self.exchange.site() == other.exchange.site()
            && self.facing_deg.to_bits() == other.facing_deg.to_bits()
            && self.own_building == other.own_building
            && self.blocks == other.blocks
    }
}

impl Buildings {
    /// What stands around the middle of a window whose wall faces `facing_deg`; reflectances by wavelength of the own
    /// building's wall and of each block, 0–1.
    ///
    /// # Errors
    /// [`DaylightError::Surroundings`], [`DaylightError::OutsideRange`] for a reflectance.
    pub fn new(
        site: &Site,
        facing_deg: f64,
        own_building: Spectrum,
        blocks: Vec<Spectrum>,
    ) -> Result<Self, DaylightError> {
        let exchange = Exchange::new(site, Fineness::Quick)?;
        Self { exchange, facing_deg, own_building, blocks: Vec::new() }.painted(
            facing_deg,
            own_building,
            blocks,
        )
    }

    /// The same before a wall that faces another way, with other reflectances; without computing the geometry anew.
    ///
    /// # Errors
    /// [`DaylightError::OutsideRange`] for a reflectance.
    pub fn painted(
        self,
        facing_deg: f64,
        own_building: Spectrum,
        blocks: Vec<Spectrum>,
    ) -> Result<Self, DaylightError> {
        check_shares("own_building.reflectance", &own_building)?;
        blocks.iter().try_for_each(|block| check_shares("block.reflectance", block))?;
        Ok(Self { exchange: self.exchange, facing_deg, own_building, blocks })
    }

    /// The same with reflectances that differ by a factor, up to 1.
    #[must_use]
    pub fn lighter(&self, own_building: f64, blocks: f64) -> Self {
        let by = |rho: &Spectrum, factor: f64| rho.map(|rho| (rho * factor).min(1.0));
        Self {
            own_building: by(&self.own_building, own_building),
            blocks: self.blocks.iter().map(|block| by(block, blocks)).collect(),
            ..self.clone()
        }
    }

    /// The same with other measurements of as many blocks.
    ///
    /// # Errors
    /// [`DaylightError::Surroundings`].
    pub fn measured(&self, site: &Site) -> Result<Self, DaylightError> {
        Ok(Self { exchange: Exchange::new(site, Fineness::Quick)?, ..self.clone() })
    }

    /// Share of the sun's disc that no block hides from the window's middle, if the site had these measurements.
    pub fn sun_share(&self, site: &Site, sun: Direction) -> f64 {
        if site.blocks.is_empty() {
            return 1.0;
        }
        let outlines = Outlines::new(site);
        past_what_hides(sun, &|d| outlines.hide(self.toward(d)))
    }

    /// Their measurements.
    pub fn site(&self) -> &Site {
        self.exchange.site()
    }

    /// Bearings of the upright edges of blocks, degrees clockwise from true north.
    pub fn bearings_deg(&self) -> Vec<f64> {
        self.bearings_in_the_sun(None)
    }

    /// Altitudes at which the view at a bearing changes: feet and tops of blocks, degrees.
    pub fn edges_deg(&self, bearing_deg: f64) -> Vec<f64> {
        self.edges_in_the_sun(bearing_deg, None)
    }

    /// Altitude that the blocks reach at a bearing, degrees; `None` where there is none above the horizontal.
    pub fn top_deg(&self, bearing_deg: f64) -> Option<f64> {
        self.exchange.top((bearing_deg - self.facing_deg).to_radians()).map(f64::to_degrees)
    }

    fn bearings_in_the_sun(&self, sun: Option<RoomVector>) -> Vec<f64> {
        let bearings = self.exchange.bearings(sun);
        bearings.into_iter().map(|bearing| self.facing_deg + bearing.to_degrees()).collect()
    }

    fn edges_in_the_sun(&self, bearing_deg: f64, sun: Option<RoomVector>) -> Vec<f64> {
        let bearing = (bearing_deg - self.facing_deg).to_radians();
        self.exchange.edges(bearing, sun).into_iter().map(f64::to_degrees).collect()
    }

    fn toward(&self, d: Direction) -> RoomVector {
        RoomVector::toward_sky(d.azimuth_deg - self.facing_deg, d.altitude_deg)
    }
}

/// Own building and blocks in the light of an instant.
#[derive(Clone, Debug)]
pub(crate) struct LitBuildings {
    buildings: Buildings,
    lit: Lit<SAMPLES>,
    /// Toward the sun, while it is above the horizon.
    sun: Option<RoomVector>,
}

impl LitBuildings {
    /// `far`: radiance of all that stands behind, at and above the horizon, by direction and as a unit vector east, north
    /// and up; `far_edges_deg`: the altitudes at which it jumps at a bearing. `beam`: of the sun, facing it, past all that stands far away.
    pub(crate) fn new(
        buildings: &Buildings,
        ground: &Ground,
        sun: Direction,
        beam: &Spectrum,
        far: &(dyn Fn(Direction, [f64; 3]) -> Spectrum + Sync),
        far_edges_deg: &(dyn Fn(f64) -> Vec<f64> + Sync),
    ) -> Result<Self, DaylightError> {
        let (sin_f, cos_f) = buildings.facing_deg.to_radians().sin_cos();
        let sky = |toward: RoomVector| {
            let [x, y, z] = toward.to_array();
            let d = Direction {
                altitude_deg: y.clamp(0.0, 1.0).asin().to_degrees(),
                azimuth_deg: buildings.facing_deg + x.atan2(-z).to_degrees(),
            };
            let east_north_up = [cos_f * x - sin_f * z, -sin_f * x - cos_f * z, y];
            *far(d, east_north_up).samples()
        };
        let reflectances = Reflectances {
            ground: *ground.albedo.samples(),
            own_building: *buildings.own_building.samples(),
            blocks: buildings.blocks.iter().map(|block| *block.samples()).collect(),
        };
        let toward_sun = (sun.altitude_deg > 0.0 && beam.max() > 0.0).then(|| buildings.toward(sun));
        let edges = |bearing: f64| {
            far_edges_deg(buildings.facing_deg + bearing.to_degrees())
                .into_iter()
                .map(f64::to_radians)
                .collect()
        };
        let light = Light { sky: &sky, edges: &edges, sun: toward_sun, beam_normal: *beam.samples() };
        let lit = buildings.exchange.lit(light, &reflectances)?;
        Ok(Self { buildings: buildings.clone(), lit, sun: toward_sun })
    }

    pub(crate) fn site(&self) -> &Site {
        self.buildings.site()
    }

    /// Radiance of the ground, the own wall or a block; `None` where nothing hides what stands far away. `around`:
    /// [`Outside::radiance_around`](crate::Outside::radiance_around).
    pub(crate) fn seen(&self, d: Direction, around: &dyn Fn() -> Vec<RoomVector>) -> Option<Spectrum> {
        self.lit.seen_around(self.buildings.toward(d), around).map(|met| Spectrum::new(met.luminance))
    }

    /// Share of the sun's disc that no block hides from the window's middle.
    pub(crate) fn sun_share(&self, sun: Direction) -> f64 {
        if self.buildings.blocks.is_empty() {
            return 1.0;
        }
        past_what_hides(sun, &|d| self.buildings.exchange.blocks_hide(self.buildings.toward(d)))
    }

    /// Mean radiance of the ground as an upright window sees it; `None` if it sees none.
    pub(crate) fn mean_ground(&self) -> Option<Spectrum> {
        let (mut sum, mut weights) = (Spectrum::ZERO, 0.0);
        for row in 0..12 {
            // Rows and columns of equal flux would hardly see the far ground; of equal angle they do.
            let altitude_deg = -7.5 * (f64::from(row) + 0.5);
            for column in 0..12 {
                let bearing_deg = -90.0 + 15.0 * (f64::from(column) + 0.5);
                let toward = RoomVector::toward_sky(bearing_deg, altitude_deg);
                if let Some(met) = self.lit.seen(toward)
                    && met.surface == surroundings::Surface::Ground
                {
                    let weight = altitude_deg.to_radians().cos().powi(2) * bearing_deg.to_radians().cos();
                    sum.add_scaled(weight, &Spectrum::new(met.luminance));
                    weights += weight;
                }
            }
        }
        (weights > 0.0).then(|| sum * (1.0 / weights))
    }

    /// Bearings at which the view changes, shadows included, degrees.
    pub(crate) fn bearings_deg(&self) -> Vec<f64> {
        self.buildings.bearings_in_the_sun(self.sun)
    }

    /// Altitudes at which the view at a bearing changes, shadows included, degrees.
    pub(crate) fn edges_deg(&self, bearing_deg: f64) -> Vec<f64> {
        self.buildings.edges_in_the_sun(bearing_deg, self.sun)
    }
}
