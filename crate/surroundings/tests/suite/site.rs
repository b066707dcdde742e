//! Sites and skies for the tests.

use daylight::CieSky;
use plane::RoomVector;
use surroundings::{Block, Exchange, Light, Opposite, Reflectances, Site, Street, Vertical};

/// A CIE general sky, scaled to a diffuse horizontal illuminance, and its sun.
pub(crate) struct Sky {
    pub(crate) pattern: CieSky,
    pub(crate) zenith: f64,
    pub(crate) sun_bearing_deg: f64,
    pub(crate) sun: Option<RoomVector>,
    pub(crate) beam_normal: f64,
}

impl Sky {
    pub(crate) fn new(
        cie_type: u8,
        diffuse_horizontal: f64,
        sun: Option<[f64; 2]>,
        beam_normal: f64,
    ) -> Self {
        let [sun_bearing_deg, altitude] = sun.unwrap_or([0.0, 90.0]);
        let pattern = CieSky::new(cie_type, altitude).unwrap();
        Self {
            zenith: diffuse_horizontal / pattern.horizontal_over_zenith(),
            pattern,
            sun_bearing_deg,
            sun: sun.map(|[bearing, altitude]| RoomVector::toward_sky(bearing, altitude)),
            beam_normal,
        }
    }

    /// Uniform, with a luminance of one.
    pub(crate) fn uniform() -> Self {
        Self::new(5, std::f64::consts::PI, None, 0.0)
    }

    pub(crate) fn luminance(&self, toward: RoomVector) -> f64 {
        let [x, y, z] = toward.to_array();
        let (bearing, altitude) = (x.atan2(-z).to_degrees(), y.atan2(x.hypot(z)).to_degrees());
        self.zenith * self.pattern.relative_luminance(90.0 - altitude, bearing - self.sun_bearing_deg)
    }
}

pub(crate) const fn reflectances(ground: f64, own_building: f64, opposite: f64) -> Reflectances {
    Reflectances { ground, own_building, opposite }
}

pub(crate) const fn free(window: f64, own: f64) -> Site {
    Site { window_middle_height_m: window, own_height_m: own, opposite: Opposite::Nothing }
}

pub(crate) const fn street(window: f64, own: f64, distance_m: f64, height_m: f64) -> Site {
    let opposite = Opposite::Street(Street { distance_m, height_m });
    Site { window_middle_height_m: window, own_height_m: own, opposite }
}

pub(crate) const fn block(window: f64, own: f64, block: Block) -> Site {
    Site { window_middle_height_m: window, own_height_m: own, opposite: Opposite::Block(block) }
}

/// Illuminance at the window's middle, and the luminance that each view (bearing, altitude) meets.
pub(crate) fn light(
    site: &Site,
    sky: &Sky,
    reflectances: Reflectances,
    looks: &[[f64; 2]],
) -> (Vertical, Vec<f64>) {
    let exchange = Exchange::new(site, sky.sun).unwrap();
    let luminance = |toward| sky.luminance(toward);
    let lit = exchange.lit(Light { sky: &luminance, beam_normal: sky.beam_normal }, &reflectances).unwrap();
    let met = |[bearing, altitude]: &[f64; 2]| {
        lit.met(RoomVector::toward_sky(*bearing, *altitude)).unwrap().luminance
    };
    (lit.vertical(), looks.iter().map(met).collect())
}

#[track_caller]
pub(crate) fn close(what: &str, found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs() + 1e-9,
        "{what}: {found}, expected {expected}"
    );
}
