//! The choices for the surroundings of a window.

use daylight::{Atmosphere, CIE_TYPES, GroundKind, zone_names};
use scene::materials::{self, Material};
use scene::{
    Reflectance, STANDARD_SKY_WORDS, USUAL_INNER_REFLECTANCE, USUAL_LEAF_MM, USUAL_OUTER_REFLECTANCE,
    Weather, WorkingPlane, WorkingPlaneKind, usual_guards, usual_reveal,
};
use spectra::{Spectrum, illuminant, luminous};
use wasm_bindgen::prelude::wasm_bindgen;

use crate::contract::{
    Choices, StandardSky, SurfaceChoice, SurfaceUse, UsualAir, UsualWindowWall, WeatherChoice,
};
use crate::json::Json;

/// Share of daylight (D65) that a surface reflects, 0–1.
fn share_of_daylight(reflectance: &Spectrum) -> f64 {
    let white = illuminant::d65();
    luminous(&white.zip_map(reflectance, |light, share| light * share)) / luminous(&white)
}

/// JSON: `Choices`, kinds of weather, standard skies, surfaces and time zones, and the air assumed where a sky gives
/// none.
#[wasm_bindgen]
pub fn choices() -> String {
    let weathers = Weather::ALL.map(|id| WeatherChoice { id, name: id.name(), sky: id.sky() });
    let standard_skies = STANDARD_SKY_WORDS.iter().zip(&CIE_TYPES).enumerate().map(|(i, (words, kind))| {
        StandardSky { cie_type: i + 1, words, sun: kind.luminous_turbidity.is_some() }
    });
    let grounds = GroundKind::ALL.map(GroundKind::name);
    let surface = |material: &Material| SurfaceChoice {
        name: material.name,
        share: share_of_daylight(&material.reflectance),
        of: if grounds.contains(&material.name) { SurfaceUse::Ground } else { SurfaceUse::Room },
    };
    let usual = Atmosphere::default();
    Json(Choices {
        weathers: weathers.into(),
        standard_skies: standard_skies.collect(),
        surfaces: materials::all().iter().map(surface).collect(),
        snow: Reflectance::fresh_snow(),
        usual_wall: scene::USUAL_WALL,
        usual_window_wall: UsualWindowWall {
            reveal: usual_reveal(),
            outer_reflectance: Reflectance::Grey(USUAL_OUTER_REFLECTANCE),
            inner_reflectance: Reflectance::Grey(USUAL_INNER_REFLECTANCE),
            guards: usual_guards(),
            leaf_mm: USUAL_LEAF_MM,
        },
        working_planes: WorkingPlaneKind::ALL
            .map(|kind| WorkingPlane { kind, height_m: kind.usual_height_m() })
            .into(),
        zones: zone_names(),
        usual_air: UsualAir {
            aerosol_depth_500nm: usual.aod_500nm,
            angstrom_exponent: usual.angstrom_exponent,
            water_cm: usual.precipitable_water_cm,
            ozone_atm_cm: usual.ozone_atm_cm,
        },
    })
    .to_string()
}
