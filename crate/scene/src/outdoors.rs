//! The surroundings of a scene and the reflectance of its surfaces, in the physics' own types.

use spectra::Spectrum;

use crate::document::{Air, Reflectance, Scene, Sky, SkySpectrum};
use crate::materials;

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
