//! From a drawing to a scene.

use daylight::CivilTime;
use panel::{Drawing, Panel};
use scene::{Faults, NewScene, USUAL_TIME, new_scene};

use crate::check::read;
use crate::contract::WindowStart;
use crate::fault::{fault, unreadable};

/// The text of a scene file around a drawing. `options` are [`crate::DrawingOptions`], `start` a [`WindowStart`], both as
/// JSON.
///
/// Numbers out of range are faults of the scene as in any file; whoever opens the text finds them.
///
/// # Errors
/// As [`crate::check`]; a date or time that does not exist; a sill too high for the window.
pub fn scene(svg: &str, options: &str, start: &str) -> Result<String, Faults> {
    let import = read(svg, options)?;
    scene_around(&import.drawing, &import.panel, start)
}

/// The same around a drawing whose panel has been made.
pub(crate) fn scene_around(drawing: &Drawing, panel: &Panel, start: &str) -> Result<String, Faults> {
    let start: WindowStart = serde_json::from_str(start).map_err(|error| unreadable("start", &error))?;
    let time = |text: &str| {
        let expected = format!("a date and a time such as {USUAL_TIME}");
        CivilTime::parse(text).map_err(|_| fault("at", expected, format!("“{text}”")))
    };
    let at = start.at.as_deref().map(time).transpose()?;
    let scene = new_scene(&NewScene {
        name: &start.name,
        drawing,
        panel,
        at,
        site: start.site,
        facing_deg: start.facing_deg,
        sill_height_m: start.sill_height_m,
        working_plane: start.working_plane,
    })?;
    Ok(scene::write(&scene))
}
