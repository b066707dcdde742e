//! The surroundings of the window: site, sky, ground, skyline and room, and the sun's path.

use daylight::{CivilDate, DaylightError, SunPathPoint};
use plane::WallPoint;
use scene::{
    OpenScene, Reflectance, Resolved, ResolvedWindow, Weather, assumed_own_height_m, cautions, usual_block,
    usual_overhang,
};

use crate::contract::{OpeningBounds, SunPath, SunPoint, Surroundings, WindowPlace};
use crate::json::Json;

/// Steps of the sun's path as it is drawn, minutes.
const SUN_STEP_MIN: f64 = 10.0;

/// The scene's surroundings, with words and figures for them.
pub(crate) fn surroundings(open: &OpenScene) -> Json<Surroundings> {
    let resolved = open.resolved();
    let scene = &resolved.scene;
    let windows = scene.windows.iter().zip(&resolved.windows).map(|(window, built)| {
        let [outer_face, inner_face] = faces(built);
        let width_m = built.panel.width_mm / 1000.0;
        WindowPlace {
            id: window.id.clone(),
            centre_x_m: window.centre_x_m,
            sill_height_m: window.sill_height_m,
            width_m,
            height_m: built.panel.height_mm / 1000.0,
            wall: window.wall.clone().unwrap_or_default(),
            outer_face,
            inner_face,
            overhang_if_added: usual_overhang(width_m),
        }
    });
    Json(Surroundings {
        site: scene.site.clone(),
        sky: scene.sky.clone(),
        weather: Weather::of(&scene.sky),
        ground: scene.ground.clone(),
        snow_on_ground: scene.ground == Reflectance::fresh_snow(),
        ground_without_snow: open.ground_without_snow(),
        horizon: scene.horizon.clone(),
        assumed_own_height_m: assumed_own_height_m(scene),
        block_if_added: usual_block(),
        room: scene.room.clone(),
        windows: windows.collect(),
        cautions: cautions(resolved),
    })
}

/// How far the opening of a window reaches in the outer and in the inner face of the wall.
fn faces(built: &ResolvedWindow) -> [OpeningBounds; 2] {
    match &built.wall {
        Some(wall) => wall.faces.each_ref().map(|face| bounds(face)),
        None => {
            let outline = &built.panel.opening.outer;
            let ring: Vec<WallPoint> = outline.iter().map(|&p| built.placement.wall_from_panel(p)).collect();
            [bounds(&ring), bounds(&ring)]
        }
    }
}

fn bounds(ring: &[WallPoint]) -> OpeningBounds {
    let least = |of: fn(WallPoint) -> f64| ring.iter().copied().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(WallPoint) -> f64| ring.iter().copied().map(of).fold(f64::NEG_INFINITY, f64::max);
    OpeningBounds {
        left_m: least(WallPoint::x),
        right_m: most(WallPoint::x),
        bottom_m: least(WallPoint::y),
        top_m: most(WallPoint::y),
    }
}

/// The sun's path in a civil day, and where and when it rises and sets.
///
/// # Errors
/// The text is not a date, or it lies outside the years for which the sun's position is known.
pub(crate) fn sun_path(resolved: &Resolved, date: &str) -> Result<Json<SunPath>, DaylightError> {
    let date = CivilDate::parse(date)?;
    let zone = &resolved.scene.site.time_zone;
    let daylight::SunPath { points, sunrise, sunset } =
        daylight::sun_path(&resolved.place, date, zone, SUN_STEP_MIN)?;
    Ok(Json(SunPath {
        date: date.to_string(),
        points: points.into_iter().map(sun_point).collect(),
        sunrise: sunrise.map(sun_point),
        sunset: sunset.map(sun_point),
    }))
}

fn sun_point(point: SunPathPoint) -> SunPoint {
    SunPoint {
        minute: point.local.civil.minute_of_day(),
        azimuth_deg: point.direction.azimuth_deg,
        altitude_deg: point.direction.altitude_deg,
    }
}
