//! What is around the window: site, sky, ground, skyline and room, the choices there are for each, and the sun's way.

use daylight::{
    Atmosphere, CIE_TYPES, CivilDate, DaylightError, Direction, Instant, delta_t_s, rise_set_in_zone,
    sun_position, zone_names,
};
use scene::{Air, Resolved, Sky, SkySpectrum, materials};
use serde_json::{Value, json};
use spectra::{Spectrum, illuminant, luminous};
use wasm_bindgen::prelude::wasm_bindgen;

/// Clock and sun further apart than this are worth a question, hours: no zone in use goes as far, summer time included.
const ZONE_DOUBTFUL_H: f64 = 3.0;
/// Toward the poles the meridians run together, and stations keep whichever time suits their supplies.
const ZONE_MATTERS_TO_DEG: f64 = 75.0;
/// From this aerosol depth at 500 nm on a cloudless sky is called hazy; [`Atmosphere`] calls 0.1 clean and 0.3 hazy.
const HAZY_FROM: f64 = 0.2;
const SUN_STEP_MIN: f64 = 10.0;

/// The fifteen general skies of ISO 15469 in our own short words.
const CIE_WORDS: [&str; 15] = [
    "overcast, much brighter overhead, even all round",
    "overcast, much brighter overhead, a little brighter toward the sun",
    "overcast, somewhat brighter overhead, even all round",
    "overcast, somewhat brighter overhead and toward the sun",
    "the same in every direction",
    "part cloud, even in height, a little brighter toward the sun",
    "part cloud, even in height, brighter round the sun",
    "part cloud, even in height, a plain glow round the sun",
    "part cloud, the sun hidden",
    "part cloud, brighter round the sun",
    "blue-white, a plain glow round the sun",
    "clear, clean air",
    "clear, smoky air",
    "cloudless, thick air, a broad glow round the sun",
    "blue-white, thick air, a broad glow round the sun",
];

/// Kinds of weather as they are chosen: a word, what it means, and the sky to begin with.
fn weathers() -> [(&'static str, &'static str, Sky); 5] {
    let hazy = Air { aerosol_depth_500nm: Some(0.3), ..Air::default() };
    let standard =
        Sky::Standard { cie_type: 1, spectrum: SkySpectrum::CctK(6500.0), diffuse_horizontal_lx: None };
    [
        ("clear", "Clear", Sky::Clear { air: Air::default() }),
        ("hazy", "Hazy", Sky::Clear { air: hazy }),
        ("broken", "Broken cloud", Sky::Overcast { cloud: 0.5, air: Air::default() }),
        ("overcast", "Overcast", Sky::Overcast { cloud: 1.0, air: Air::default() }),
        ("standard", "CIE standard sky", standard),
    ]
}

fn weather_of(sky: &Sky) -> &'static str {
    match sky {
        Sky::Clear { air } if air.aerosol_depth_500nm.unwrap_or_default() >= HAZY_FROM => "hazy",
        Sky::Clear { .. } => "clear",
        Sky::Overcast { cloud, .. } if *cloud >= 1.0 => "overcast",
        Sky::Overcast { .. } => "broken",
        Sky::Standard { .. } => "standard",
    }
}

/// The sky in a line.
pub(crate) fn sky_words(sky: &Sky) -> String {
    match (sky, weather_of(sky)) {
        (Sky::Standard { cie_type, .. }, _) => {
            let words = cie_type.checked_sub(1).and_then(|i| CIE_WORDS.get(usize::from(i)));
            format!("CIE standard sky {cie_type}, {}", words.unwrap_or(&""))
        }
        (Sky::Overcast { cloud, .. }, "broken") => {
            format!("Cloud over {:.0} % of the sky", cloud * 100.0)
        }
        (_, "hazy") => "Hazy sky".to_owned(),
        (_, "overcast") => "Overcast sky".to_owned(),
        _ => "Clear sky".to_owned(),
    }
}

/// What is doubtful about the site.
pub(crate) fn cautions(resolved: &Resolved) -> Vec<String> {
    let site = &resolved.scene.site;
    if site.latitude_deg.abs() > ZONE_MATTERS_TO_DEG {
        return Vec::new();
    }
    let Ok(placed) = resolved.instant(&resolved.scene.at) else { return Vec::new() };
    let clock_h = f64::from(placed.offset_s) / 3600.0;
    let apart_h = (clock_h - site.longitude_deg / 15.0 + 12.0).rem_euclid(24.0) - 12.0;
    if apart_h.abs() <= ZONE_DOUBTFUL_H {
        return Vec::new();
    }
    vec![format!(
        "site: the clocks of {} are {:.0} hours {} the sun at longitude {:.1}° {}; check the time zone and the longitude",
        site.time_zone,
        apart_h.abs(),
        if apart_h > 0.0 { "ahead of" } else { "behind" },
        site.longitude_deg.abs(),
        if site.longitude_deg < 0.0 { "west" } else { "east" },
    )]
}

/// As the scene has it, beside the words and figures that go with it.
pub(crate) fn surroundings(resolved: &Resolved) -> Value {
    let scene = &resolved.scene;
    let windows: Vec<Value> = scene
        .windows
        .iter()
        .zip(&resolved.windows)
        .map(|(window, built)| {
            json!({
                "id": window.id,
                "centre_x_m": window.centre_x_m,
                "sill_height_m": window.sill_height_m,
                "width_m": built.panel.width_mm / 1000.0,
                "height_m": built.panel.height_mm / 1000.0,
            })
        })
        .collect();
    json!({
        "site": scene.site,
        "sky": scene.sky,
        "weather": weather_of(&scene.sky),
        "ground": scene.ground,
        "horizon": scene.horizon,
        "room": scene.room,
        "windows": windows,
        "cautions": cautions(resolved),
    })
}

/// Share of daylight that a surface gives back.
fn share_of_daylight(reflectance: &Spectrum) -> f64 {
    let white = illuminant::d65();
    luminous(&white.zip_map(reflectance, |light, share| light * share)) / luminous(&white)
}

/// JSON: what there is to choose from: kinds of weather, standard skies, surfaces, zones; and the air that is taken
/// where nothing is said.
#[wasm_bindgen]
pub fn choices() -> String {
    let usual = Atmosphere::default();
    let grounds = daylight::GroundKind::ALL.map(daylight::GroundKind::name);
    let surfaces: Vec<Value> = materials::all()
        .iter()
        .map(|m| {
            json!({
                "name": m.name,
                "share": share_of_daylight(&m.reflectance),
                "of": if grounds.contains(&m.name) { "ground" } else { "room" },
            })
        })
        .collect();
    json!({
        "weathers": weathers().map(|(id, name, sky)| json!({ "id": id, "name": name, "sky": sky })),
        "standard_skies": CIE_WORDS
            .iter()
            .zip(&CIE_TYPES)
            .enumerate()
            .map(|(i, (words, kind))| {
                json!({ "cie_type": i + 1, "words": words, "sun": kind.luminous_turbidity.is_some() })
            })
            .collect::<Vec<_>>(),
        "surfaces": surfaces,
        "zones": zone_names(),
        "usual_air": {
            "aerosol_depth_500nm": usual.aod_500nm,
            "angstrom_exponent": usual.angstrom_exponent,
            "water_cm": usual.precipitable_water_cm,
            "ozone_atm_cm": usual.ozone_atm_cm,
        },
    })
    .to_string()
}

/// Where the sun goes in a civil day, and where and when it comes and goes.
pub(crate) fn sun_path(resolved: &Resolved, date: &str) -> Result<Value, DaylightError> {
    let zone = &resolved.scene.site.time_zone;
    let date = CivilDate::parse(date)?;
    let (from, to) = date.bounds(zone)?;
    let clock =
        |instant: Instant| -> Result<f64, DaylightError> { Ok(instant.in_zone(zone)?.civil.minute_of_day()) };
    let toward = |instant: Instant| -> Result<Direction, DaylightError> {
        Ok(sun_position(&resolved.place, instant, delta_t_s(instant))?.direction())
    };
    let point = |instant: Instant| -> Result<Value, DaylightError> {
        let sun = toward(instant)?;
        Ok(json!({
            "minute": clock(instant)?,
            "azimuth_deg": sun.azimuth_deg,
            "altitude_deg": sun.altitude_deg,
        }))
    };
    let steps = (to.minutes_since(from) / SUN_STEP_MIN).round() as usize;
    let points = (0..=steps)
        .map(|k| point(from.plus_minutes(k as f64 * SUN_STEP_MIN)))
        .collect::<Result<Vec<_>, _>>()?;
    let day = rise_set_in_zone(&resolved.place, date, zone)?;
    let event = |instant: Option<Instant>| instant.map(point).transpose();
    Ok(json!({
        "date": date.to_string(),
        "points": points,
        "sunrise": event(day.sunrise)?,
        "sunset": event(day.sunset)?,
    }))
}
