//! Checks what the schema cannot: names must exist, be unique and match one another.

use std::collections::{HashMap, HashSet};

use crate::alike::most_alike;
use crate::attachments::check_attachments;
use crate::changes::{ChangeSet, WindowChange};
use crate::document::{
    Face, Horizon, Makeup, OwnGlass, Paint, PaintKind, Reflectance, Scene, Window, is_usual_stipple,
};
use crate::fault::Fault;
use crate::materials;
use crate::own_glass::own_glass;
use crate::wall;

/// Most lines of a drawing and most pieces of a window, as in the schema.
const MOST_LINES: usize = 50_000;
const MOST_PIECES: usize = 20_000;

/// Every fault of a scene that fits the schema. An empty list means that the scene is valid, except that only
/// [`crate::resolve`] finds whether each entry lies in a piece of the drawing.
pub fn check(scene: &Scene) -> Vec<Fault> {
    let mut faults = Vec::new();
    check_scene(scene, None, &mut faults);
    let of_scene = faults.clone();
    check_variants(scene, &of_scene, &mut faults);
    faults
}

/// Faults that an edit may have caused in a scene that had none. Only what it touched, and what depends on
/// that, is checked. The list of variants is ignored.
pub(crate) fn check_touched(scene: &Scene, changes: &ChangeSet) -> Vec<Fault> {
    let mut faults = Vec::new();
    check_scene(scene, Some(changes), &mut faults);
    faults
}

/// `touched`: what to check; everything if not given.
fn check_scene(scene: &Scene, touched: Option<&ChangeSet>, faults: &mut Vec<Fault>) {
    let is_touched = |part: fn(&ChangeSet) -> bool| touched.is_none_or(part);
    if is_touched(|c| c.site.time_zone) && !daylight::zone_exists(&scene.site.time_zone) {
        let wanted = "an IANA time zone such as Europe/London";
        faults.push(Fault::new("site.time_zone", wanted, format!("\"{}\"", scene.site.time_zone)));
    }
    if is_touched(|c| c.at.is_some() || c.site.time_zone) {
        check_time(scene, faults);
    }
    if is_touched(|c| c.ground) {
        check_reflectance(&scene.ground, "ground", faults);
    }
    if is_touched(|c| c.horizon) {
        check_horizon(&scene.horizon, faults);
    }
    if is_touched(|c| c.horizon || c.windows.values().any(|window| window.placement)) {
        check_buildings(scene, faults);
    }
    if is_touched(|c| c.room.surfaces) {
        check_surfaces(scene, faults);
    }
    if touched.is_none() {
        check_unique(scene.windows.iter().map(|w| &w.id), "windows", "id", faults);
    }
    let all_makeups = is_touched(|c| !c.glasses.is_empty());
    for (i, window) in scene.windows.iter().enumerate() {
        let touched = match touched {
            None => None,
            Some(changes) => match changes.windows.get(&window.id) {
                None if !all_makeups => continue,
                found => Some(found),
            },
        };
        let is_touched =
            |part: fn(&WindowChange) -> bool| touched.is_none_or(|change| change.is_some_and(part));
        let path = format!("windows[{i}]");
        if is_touched(|c| c.wall) {
            for (part, given) in window.wall.iter().flat_map(wall::reflectances) {
                check_reflectance(given, &format!("{path}.wall.{part}"), faults);
            }
        }
        if is_touched(|c| c.drawing || !c.lines.is_empty()) {
            check_lines(window, &path, faults);
        }
        if touched.is_some() && is_touched(WindowChange::redrawn) {
            check_counts(window, &path, faults);
        }
        let numbers = is_touched(|c| c.drawing || !c.entries.is_empty());
        let mut first_of: HashMap<u32, usize> = HashMap::new();
        for (k, piece) in window.pieces.iter().enumerate() {
            if numbers && let Some(first) = first_of.insert(piece.id, k) {
                let wanted = format!("a unique number; pieces[{first}] already has it");
                faults.push(Fault::new(format!("{path}.pieces[{k}].id"), wanted, format!("{}", piece.id)));
            }
            let this = |c: &WindowChange| {
                c.drawing || c.makeups.contains_key(&piece.id) || c.entries.contains(&piece.id)
            };
            if all_makeups || touched.is_none_or(|change| change.is_some_and(this)) {
                check_makeup(scene, &piece.makeup, &format!("{path}.pieces[{k}].makeup"), faults);
            }
        }
    }
    for (id, own) in &scene.glasses {
        if touched.is_none_or(|c| c.glasses.contains_key(id)) {
            check_own_glass(id, own, faults);
        }
    }
    if is_touched(|c| !c.attachments.is_empty()) {
        check_attachments(scene, faults);
    }
    if is_touched(|c| {
        c.places || c.working_planes || c.room.size || c.windows.values().any(|w| w.placement || w.wall)
    }) {
        check_places(scene, faults);
    }
}

fn check_surfaces(scene: &Scene, faults: &mut Vec<Fault>) {
    let surfaces = &scene.room.surfaces;
    for (name, surface) in [
        ("window_wall", &surfaces.window_wall),
        ("back_wall", &surfaces.back_wall),
        ("left_wall", &surfaces.left_wall),
        ("right_wall", &surfaces.right_wall),
        ("floor", &surfaces.floor),
        ("ceiling", &surfaces.ceiling),
    ] {
        check_reflectance(surface, &format!("room.surfaces.{name}"), faults);
    }
}

fn check_places(scene: &Scene, faults: &mut Vec<Fault>) {
    check_unique(scene.places.iter().map(|p| &p.name), "places", "name", faults);
    let centre_x_m = scene.windows.first().map_or(0.0, |w| w.centre_x_m);
    let inner_m = wall::first_inner_m(scene);
    for (i, place) in scene.places.iter().enumerate() {
        let x = centre_x_m + place.right_m;
        let mut inside = |name: &str, value: f64, fits: bool, wanted: String| {
            if !fits {
                faults.push(Fault::new(format!("places[{i}].{name}"), wanted, format!("{value}")));
            }
        };
        let room = &scene.room;
        let wanted = format!("less than the room's depth, {} m", room.depth_m + inner_m);
        inside("distance_m", place.distance_m, place.distance_m < room.depth_m + inner_m, wanted);
        if inner_m > 0.0 {
            let least_m = inner_m + 0.05;
            let wanted = format!(
                "at least {least_m:.2} m from the glass, inside the room: the inner reveal is {inner_m} m deep"
            );
            inside("distance_m", place.distance_m, place.distance_m >= least_m - 1e-9, wanted);
        }
        let wanted = format!("less than the room's height, {} m", room.height_m);
        inside("eye_height_m", place.eye_height_m, place.eye_height_m < room.height_m, wanted);
        if let Some(plane) = place.working_plane {
            let wanted = format!("less than the room's height, {} m", room.height_m);
            let fits = plane.height_m < room.height_m;
            inside("working_plane.height_m", plane.height_m, fits, wanted);
        }
        let wanted = "a place between the side walls".to_owned();
        inside("right_m", place.right_m, x > 0.0 && x < room.width_m, wanted);
    }
}

/// The time must be valid, and lie in a year for which the sun's position is known.
fn check_time(scene: &Scene, faults: &mut Vec<Fault>) {
    let wanted = match daylight::CivilTime::parse(&scene.at) {
        Err(_) => "a civil time such as 2026-06-21T19:30",
        Ok(time) => match daylight::Instant::from_civil(time, &scene.site.time_zone) {
            // An unknown time zone is reported separately.
            Err(daylight::TimeError::UnknownZone(_)) => return,
            Ok(placed) if daylight::check_year(placed.utc).is_ok() => return,
            _ => "a year from −2000 to 6000, for which the sun's position is known",
        },
    };
    faults.push(Fault::new("at", wanted, format!("\"{}\"", scene.at)));
}

fn check_horizon(horizon: &Horizon, faults: &mut Vec<Fault>) {
    if let Some(reflectance) = &horizon.reflectance {
        check_reflectance(reflectance, "horizon.reflectance", faults);
    }
    for (i, pair) in horizon.skyline.windows(2).enumerate() {
        if pair[1].bearing_deg < pair[0].bearing_deg {
            let path = format!("horizon.skyline[{}].bearing_deg", i + 1);
            let wanted =
                format!("a bearing of at least {}, since the points run clockwise", pair[0].bearing_deg);
            faults.push(Fault::new(path, wanted, format!("{}", pair[1].bearing_deg)));
        }
    }
}

/// Windows must be above the ground outside, and blocks must have a front.
fn check_buildings(scene: &Scene, faults: &mut Vec<Fault>) {
    let horizon = &scene.horizon;
    if let Some(reflectance) = horizon.own_building.as_ref().and_then(|own| own.reflectance.as_ref()) {
        check_reflectance(reflectance, "horizon.own_building.reflectance", faults);
    }
    for (i, block) in horizon.blocks.iter().enumerate() {
        let path = format!("horizon.blocks[{i}]");
        if let Some(reflectance) = &block.reflectance {
            check_reflectance(reflectance, &format!("{path}.reflectance"), faults);
        }
        // Less than a centimetre is no wall.
        if block.to_m - block.from_m < 0.01 - 1e-9 {
            let least_m = ((block.from_m + 0.01) * 100.0 - 1e-6).ceil() / 100.0;
            let wanted = format!(
                "at least {least_m:.2} m, so that it lies a centimetre or more to the right of the left end"
            );
            faults.push(Fault::new(format!("{path}.to_m"), wanted, format!("{} m", block.to_m)));
        }
    }
    if !horizon.has_buildings() {
        return;
    }
    let floor_m = horizon.floor_above_ground_m.unwrap_or(0.0);
    let lowest = scene.windows.iter().map(|window| window.sill_height_m).fold(f64::INFINITY, f64::min);
    if floor_m + lowest < 0.0 {
        let wanted =
            format!("at least {} m, so that the lowest sill is not below the ground outside", -lowest);
        let path = "horizon.floor_above_ground_m";
        faults.push(Fault::new(path, wanted, format!("{floor_m} m")));
    }
}

fn check_reflectance(reflectance: &Reflectance, path: &str, faults: &mut Vec<Fault>) {
    if let Reflectance::Material(name) = reflectance
        && materials::find(name).is_none()
    {
        let names: Vec<&str> = materials::all().iter().map(|m| m.name).collect();
        let wanted = format!("one of the materials {}", names.join(", "));
        faults.push(Fault::new(format!("{path}.material"), wanted, format!("\"{name}\"")));
    }
}

/// Holds edits to the schema's limits on the number of lines and pieces in a file.
fn check_counts(window: &Window, path: &str, faults: &mut Vec<Fault>) {
    let (lines, pieces) = (window.drawing.cutlines.len(), window.pieces.len());
    if lines > MOST_LINES {
        let path = format!("{path}.drawing.cutlines");
        faults.push(Fault::new(path, format!("at most {MOST_LINES} lines"), format!("{lines}")));
    }
    if pieces > MOST_PIECES {
        let path = format!("{path}.pieces");
        faults.push(Fault::new(path, format!("at most {MOST_PIECES} pieces"), format!("{pieces}")));
    }
}

/// Numbers of lines must be unique in their drawing.
fn check_lines(window: &Window, path: &str, faults: &mut Vec<Fault>) {
    let mut first_of: HashMap<u32, usize> = HashMap::new();
    for (i, line) in window.drawing.cutlines.iter().enumerate() {
        if let Some(first) = first_of.insert(line.id, i) {
            let wanted = format!("a unique number; cutlines[{first}] already has it");
            let path = format!("{path}.drawing.cutlines[{i}].id");
            faults.push(Fault::new(path, wanted, format!("{}", line.id)));
        }
    }
}

fn check_makeup(scene: &Scene, makeup: &Makeup, path: &str, faults: &mut Vec<Fault>) {
    for (k, plate) in makeup.plates.iter().enumerate() {
        if !scene.glasses.contains_key(&plate.glass) && glass::find(&plate.glass).is_none() {
            let known = glass::library().iter().map(|glass| &glass.id).chain(scene.glasses.keys());
            let alike = most_alike(&plate.glass, known.map(String::as_str)).join(", ");
            let wanted = format!("the id of a glass in the library or in `glasses`, such as {alike}");
            faults.push(Fault::new(
                format!("{path}.plates[{k}].glass"),
                wanted,
                format!("\"{}\"", plate.glass),
            ));
        }
    }
    for (k, paint) in makeup.paint.iter().enumerate() {
        if paint.plate >= makeup.plates.len() {
            let wanted = format!("a plate from 0 to {}", makeup.plates.len().saturating_sub(1));
            faults.push(Fault::new(format!("{path}.paint[{k}].plate"), wanted, format!("{}", paint.plate)));
        }
        if matches!(paint.kind, PaintKind::Stain(_)) && paint.face == Face::Inside {
            let wanted = "\"outside\": silver stain is fired on the outside face";
            faults.push(Fault::new(format!("{path}.paint[{k}].face"), wanted, "inside, or no face given"));
        }
        check_brushwork(paint, &format!("{path}.paint[{k}]"), faults);
    }
}

fn check_brushwork(paint: &Paint, path: &str, faults: &mut Vec<Fault>) {
    let mut only_for = |kind, field, wanted, found: String| {
        if paint.kind != kind {
            faults.push(Fault::new(format!("{path}.{field}"), wanted, found));
        }
    };
    if !paint.strokes.is_empty() {
        let wanted = "strokes only on paint of kind \"trace\"";
        only_for(PaintKind::Trace, "strokes", wanted, format!("{}", paint.strokes.len()));
    }
    if paint.fade_mm > 0.0 {
        let wanted = "a fade only on paint of kind \"matting\"";
        only_for(PaintKind::Matting, "fade_mm", wanted, format!("{}", paint.fade_mm));
    }
    if !is_usual_stipple(&paint.stipple) {
        let wanted = "a stipple only on paint of kind \"matting\"";
        only_for(PaintKind::Matting, "stipple", wanted, format!("{}", paint.stipple));
    }
    if let (Some(coverage), false) = (paint.coverage, paint.strokes.is_empty()) {
        let wanted = "no coverage where there are strokes: it is computed from them";
        faults.push(Fault::new(format!("{path}.coverage"), wanted, format!("{coverage}")));
    }
    for (k, stroke) in paint.strokes.iter().enumerate() {
        let path = format!("{path}.strokes[{k}].path");
        match panel::brush_lines(&stroke.path, stroke.width_mm) {
            Ok(lines) if lines.is_empty() => {
                faults.push(Fault::new(path, "a line longer than zero", format!("\"{}\"", stroke.path)));
            }
            Ok(_) => {}
            Err(error) => faults.push(Fault::new(path, "SVG path data in mm", error.to_string())),
        }
    }
}

fn check_own_glass(id: &str, own: &OwnGlass, faults: &mut Vec<Fault>) {
    let path = format!("glasses.{id}");
    if glass::find(id).is_some() {
        let wanted = "an id that no glass in the library has";
        faults.push(Fault::new(&path, wanted, format!("\"{id}\", which is in the library")));
    }
    faults.extend(own_glass(id, own).err());
}

fn check_unique<'a>(
    names: impl Iterator<Item = &'a String>,
    list: &str,
    field: &str,
    faults: &mut Vec<Fault>,
) {
    let mut seen = HashSet::new();
    for (i, name) in names.enumerate() {
        if !seen.insert(name) {
            let path = format!("{list}[{i}].{field}");
            faults.push(Fault::new(path, "a unique name", format!("\"{name}\" a second time")));
        }
    }
}

fn check_variants(scene: &Scene, of_scene: &[Fault], faults: &mut Vec<Fault>) {
    check_unique(scene.variants.iter().map(|v| &v.name), "variants", "name", faults);
    for (i, variant) in scene.variants.iter().enumerate() {
        let path = format!("variants[{i}]");
        let mut with = scene.clone();
        with.variants.clear();
        for (k, edit) in variant.edits.iter().enumerate() {
            let path = format!("{path}.edits[{k}]");
            if edit.sets_variants() {
                faults.push(Fault::new(
                    path,
                    "a change to the scene itself",
                    "a change to the list of variants",
                ));
            } else if edit.sets_attachments() {
                let wanted = "no change of attachments: they belong to the scene, whatever variant is shown";
                faults.push(Fault::new(path, wanted, "a change of attachments"));
            } else if let Err(error) = edit.clone().apply(&mut with) {
                faults.push(Fault::new(path, "a change to something that exists", error.to_string()));
            }
        }
        let mut of_variant = Vec::new();
        check_scene(&with, None, &mut of_variant);
        // The scene's own faults are already listed; report only those that the variant adds.
        of_variant.retain(|fault| !of_scene.contains(fault));
        faults.extend(
            of_variant.into_iter().map(|fault| Fault { path: format!("{path}: {}", fault.path), ..fault }),
        );
    }
}
