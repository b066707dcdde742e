//! The surroundings of a scene and the reflectance of its surfaces, in the physics' own types.

use spectra::Spectrum;

use crate::document::{Air, Block, Reflectance, Scene, Sky, SkySpectrum};
use crate::materials;
use crate::resolved::ResolvedWindow;

/// Height of the building's wall above the room where none is given, m: a ceiling and the eaves. Our assumption.
const WALL_ABOVE_ROOM_M: f64 = 1.0;

/// Height of the own building's wall above the ground outside where none is given, m: one storey, which follows the height
/// of the room and of its floor. A floor below the ground has a storey above it. Our assumption.
pub fn assumed_own_height_m(scene: &Scene) -> f64 {
    let floor_m = scene.horizon.floor_above_ground_m.unwrap_or(0.0).max(0.0);
    let height_m = scene.room.height_m + floor_m + WALL_ABOVE_ROOM_M;
    // The next tenth of a metre.
    (height_m * 10.0 - 1e-9).ceil() / 10.0
}

/// Place, sky, ground and horizon.
pub(crate) fn outdoors(
    scene: &Scene,
) -> (daylight::Place, daylight::Sky, daylight::Ground, daylight::Horizon) {
    let place = daylight::Place {
        elevation_m: scene.site.elevation_m,
        ..daylight::Place::at(scene.site.latitude_deg, scene.site.longitude_deg)
    };
    let sky = match &scene.sky {
        Sky::Clear { air } => daylight::Sky::Clear { atmosphere: atmosphere(air) },
        Sky::Standard { cie_type, spectrum, diffuse_horizontal_lx } => daylight::Sky::Standard {
            cie_type: *cie_type,
            spectrum: match *spectrum {
                SkySpectrum::CctK(cct_k) => daylight::SkySpectrum::Daylight { cct_k },
                SkySpectrum::ClearDiffuse => daylight::SkySpectrum::ClearDiffuse,
            },
            diffuse_horizontal_lx: *diffuse_horizontal_lx,
        },
        Sky::Overcast { cloud, air } => {
            daylight::Sky::Overcast { cloud: *cloud, atmosphere: atmosphere(air) }
        }
    };
    let ground = daylight::Ground { albedo: reflectance(&scene.ground) };
    let leaves = || daylight::GroundKind::Leaves.albedo();
    let horizon = daylight::Horizon {
        points: scene
            .horizon
            .skyline
            .iter()
            .map(|p| daylight::HorizonPoint { bearing_deg: p.bearing_deg, altitude_deg: p.altitude_deg })
            .collect(),
        reflectance: scene
            .horizon
            .reflectance
            .as_ref()
            .map_or(daylight::Horizon::default().reflectance, reflectance),
        trees: scene
            .horizon
            .trees
            .iter()
            .map(|t| daylight::Trees {
                from_bearing_deg: t.from_bearing_deg,
                to_bearing_deg: t.to_bearing_deg,
                top_altitude_deg: t.altitude_deg,
                transmittance_bare: t.transmittance_bare,
                transmittance_in_leaf: t.transmittance_in_leaf,
                reflectance: t.reflectance.as_ref().map_or_else(leaves, reflectance),
            })
            .collect(),
        buildings: None,
    };
    (place, sky, ground, horizon)
}

/// Own building and blocks around the middle of the windows; `None` if the scene has neither, and for measurements that
/// [`crate::check`] would refuse.
/// What `before` knows of the same measurements is kept.
pub(crate) fn buildings(
    scene: &Scene,
    windows: &[ResolvedWindow],
    before: Option<daylight::Buildings>,
) -> Option<daylight::Buildings> {
    let horizon = &scene.horizon;
    if horizon.own_building.is_none() && horizon.blocks.is_empty() {
        return None;
    }
    let middle_above_floor_m = middle_above_floor_m(windows)?;
    let usual = daylight::Horizon::default().reflectance;
    let reflected = |given: &Option<Reflectance>| given.as_ref().map_or(usual, reflectance);
    let block = |block: &Block| daylight::Block {
        distance_m: block.distance_m,
        x_m: [block.from_m, block.to_m],
        height_m: block.height_m,
        depth_m: block.depth_m,
    };
    let site = daylight::Site {
        window_middle_height_m: middle_above_floor_m + horizon.floor_above_ground_m.unwrap_or(0.0),
        own_height_m: horizon
            .own_building
            .as_ref()
            .map_or(0.0, |own| own.height_m.unwrap_or_else(|| assumed_own_height_m(scene))),
        blocks: horizon.blocks.iter().map(block).collect(),
    };
    let own = horizon.own_building.as_ref().map_or(usual, |own| reflected(&own.reflectance));
    let blocks = horizon.blocks.iter().map(|block| reflected(&block.reflectance)).collect();
    let facing_deg = scene.room.facing_deg;
    match before.filter(|before| *before.site() == site) {
        Some(before) => before.painted(facing_deg, own, blocks),
        None => daylight::Buildings::new(&site, facing_deg, own, blocks),
    }
    .ok()
}

/// Height of the middle of the area that the windows span.
fn middle_above_floor_m(windows: &[ResolvedWindow]) -> Option<f64> {
    let spans = windows.iter().map(|window| {
        let low = window.placement.lower_left[1];
        [low, low + window.panel.height_mm / 1000.0]
    });
    let [low, high] = spans.reduce(|[a, b], [low, high]| [a.min(low), b.max(high)])?;
    Some((low + high) / 2.0)
}

fn atmosphere(air: &Air) -> daylight::Atmosphere {
    let usual = daylight::Atmosphere::default();
    daylight::Atmosphere {
        aod_500nm: air.aerosol_depth_500nm.unwrap_or(usual.aod_500nm),
        angstrom_exponent: air.angstrom_exponent.unwrap_or(usual.angstrom_exponent),
        precipitable_water_cm: air.water_cm.unwrap_or(usual.precipitable_water_cm),
        ozone_atm_cm: air.ozone_atm_cm.unwrap_or(usual.ozone_atm_cm),
        ..usual
    }
}

/// The reflectance curve of a surface. A name or a length that [`crate::check`] would refuse gives black.
pub(crate) fn reflectance(given: &Reflectance) -> Spectrum {
    match given {
        Reflectance::Grey(share) => Spectrum::splat(*share),
        Reflectance::Material(name) => materials::find(name).map_or(Spectrum::ZERO, |m| m.reflectance),
        Reflectance::Samples(samples) => Spectrum::from_slice(samples).unwrap_or_default(),
    }
}
