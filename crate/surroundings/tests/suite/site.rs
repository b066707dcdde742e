//! Sites and skies for the tests.

use std::f64::consts::{FRAC_PI_2, PI};

use plane::RoomVector;
use surroundings::{Block, Exchange, Fineness, Light, Lit, Reflectances, Site, Vertical};

/// A CIE general sky, scaled to a diffuse horizontal illuminance, and its sun.
pub(crate) struct Sky {
    coefficients: [f64; 5],
    scale: f64,
    /// Toward the sun of the pattern.
    pattern_sun: RoomVector,
    pub(crate) sun: Option<RoomVector>,
    pub(crate) beam_normal: f64,
}

impl Sky {
    /// Types 1, 5 and 12. Source: ISO 15469:2004, table 1 and equations 1 to 9.
    pub(crate) fn new(
        cie_type: u8,
        diffuse_horizontal: f64,
        sun: Option<[f64; 2]>,
        beam_normal: f64,
    ) -> Self {
        let coefficients = match cie_type {
            1 => [4.0, -0.7, 0.0, -1.0, 0.0],
            5 => [0.0, -1.0, 0.0, -1.0, 0.0],
            12 => [-1.0, -0.32, 10.0, -3.0, 0.45],
            _ => panic!("type {cie_type}"),
        };
        let toward = |[bearing, altitude]: [f64; 2]| RoomVector::toward_sky(bearing, altitude);
        let pattern_sun = toward(sun.unwrap_or([0.0, 90.0]));
        let mut sky = Self { coefficients, scale: 1.0, pattern_sun, sun: sun.map(toward), beam_normal };
        let (rows, columns) = (400, 720);
        let mut horizontal = 0.0;
        for row in 0..rows {
            let altitude = FRAC_PI_2 * (f64::from(row) + 0.5) / f64::from(rows);
            for column in 0..columns {
                let bearing = 360.0 * (f64::from(column) + 0.5) / f64::from(columns);
                let luminance = sky.luminance(toward([bearing, altitude.to_degrees()]));
                horizontal += luminance * altitude.sin() * altitude.cos();
            }
        }
        horizontal *= FRAC_PI_2 / f64::from(rows) * 2.0 * PI / f64::from(columns);
        sky.scale = diffuse_horizontal / horizontal;
        sky
    }

    /// Uniform, with a luminance of one.
    pub(crate) fn uniform() -> Self {
        Self::new(5, PI, None, 0.0)
    }

    pub(crate) fn luminance(&self, toward: RoomVector) -> f64 {
        let [a, b, c, d, e] = self.coefficients;
        let up = toward.to_array()[1].max(0.0);
        let gradation = if up > 1e-9 { 1.0 + a * (b / up).exp() } else { 1.0 };
        let cos = toward.dot(self.pattern_sun).clamp(-1.0, 1.0);
        self.scale * gradation * (1.0 + c * ((d * cos.acos()).exp() - (d * FRAC_PI_2).exp()) + e * cos * cos)
    }
}

/// The last is that of every block.
pub(crate) fn reflectances(ground: f64, own_building: f64, block: f64) -> [f64; 3] {
    [ground, own_building, block]
}

pub(crate) fn for_site([ground, own, block]: [f64; 3], site: &Site) -> Reflectances<1> {
    Reflectances { ground: [ground], own_building: [own], blocks: vec![[block]; site.blocks.len()] }
}

pub(crate) const fn free(window: f64, own: f64) -> Site {
    Site { window_middle_height_m: window, own_height_m: own, blocks: Vec::new() }
}

pub(crate) fn street(window: f64, own: f64, distance_m: f64, height_m: f64) -> Site {
    block(window, own, Block::street(distance_m, height_m))
}

pub(crate) fn block(window: f64, own: f64, block: Block) -> Site {
    Site { window_middle_height_m: window, own_height_m: own, blocks: vec![block] }
}

/// Illuminance at the window's middle, by part.
#[derive(Debug)]
pub(crate) struct Parts {
    pub(crate) sky: f64,
    pub(crate) ground: f64,
    pub(crate) facade: f64,
    pub(crate) sun: f64,
}

impl Parts {
    pub(crate) fn total(&self) -> f64 {
        self.sky + self.ground + self.facade + self.sun
    }
}

pub(crate) fn parts(found: &Vertical<1>) -> Parts {
    Parts { sky: found.sky[0], ground: found.ground[0], facade: found.facade[0], sun: found.sun[0] }
}

/// Illuminance at the window's middle, and the luminance that each view (bearing, altitude) meets.
pub(crate) fn light(site: &Site, sky: &Sky, reflectances: [f64; 3], looks: &[[f64; 2]]) -> (Parts, Vec<f64>) {
    light_by(Fineness::Fine, site, sky, reflectances, looks)
}

pub(crate) fn light_by(
    fineness: Fineness,
    site: &Site,
    sky: &Sky,
    reflectances: [f64; 3],
    looks: &[[f64; 2]],
) -> (Parts, Vec<f64>) {
    let lit = lit(fineness, site, sky, reflectances);
    let luminance = |toward| [sky.luminance(toward)];
    let met = |[bearing, altitude]: &[f64; 2]| {
        let toward = RoomVector::toward_sky(*bearing, *altitude);
        lit.met(toward).unwrap().map_or_else(|| sky.luminance(toward), |met| met.luminance[0])
    };
    (parts(&lit.vertical(&luminance)), looks.iter().map(met).collect())
}

/// The site in a light.
pub(crate) fn lit(fineness: Fineness, site: &Site, sky: &Sky, reflectances: [f64; 3]) -> Lit<1> {
    let luminance = |toward| [sky.luminance(toward)];
    let light = Light {
        sky: &luminance,
        edges: &surroundings::no_edges,
        sun: sky.sun,
        beam_normal: [sky.beam_normal],
    };
    Exchange::new(site, fineness).unwrap().lit(light, &for_site(reflectances, site)).unwrap()
}

#[track_caller]
pub(crate) fn close(what: &str, found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs() + 1e-9,
        "{what}: {found}, expected {expected}"
    );
}
