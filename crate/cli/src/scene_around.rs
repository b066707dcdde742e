//! The scene around a new window, from the options of `drawing import` and `drawing new`.

use std::path::Path;

use daylight::CivilTime;
use panel::{Drawing, Panel};
use scene::{Fault, Faults, NewScene, Site, new_scene, resolve};

use crate::arguments::{DrawingSite, SceneAround};
use crate::fault::CliError;
use crate::whole_file::write_whole;

/// Writes a scene with this window, once it is certain that it can be opened; what to tell about it. `file`: where the
/// drawing is from.
///
/// # Errors
/// An option out of its range; a drawing that a scene cannot hold; the file cannot be written. Then whatever was there
/// stays as it was.
pub(crate) fn write(
    drawing: &Drawing,
    panel: &Panel,
    asked: &SceneAround,
    usual_name: &str,
    file: Option<&Path>,
) -> Result<String, CliError> {
    let at = asked.at.as_deref().map(CivilTime::parse).transpose();
    let made = new_scene(&NewScene {
        name: asked.name.as_deref().unwrap_or(usual_name),
        drawing,
        panel,
        at: at.map_err(|error| CliError::Options { faults: vec![format!("--at: {error}")] })?,
        site: site(&asked.site),
        facing_deg: asked.facing,
        working_plane: None,
        sill_height_m: asked.sill_m,
    });
    let opened = made.and_then(|scene| {
        let text = scene::write(&scene);
        let opened = scene::read(&text)?;
        resolve(&opened, None)?;
        Ok((opened, text))
    });
    let (scene, text) = opened.map_err(|faults| refused(faults, file))?;
    write_whole(&asked.out, text.as_bytes())?;
    Ok(format!("{}\n{}: written\n", scene.note, asked.out.display()))
}

/// Latitude, longitude and time zone are given together or not at all.
fn site(asked: &DrawingSite) -> Option<Site> {
    Some(Site {
        latitude_deg: asked.latitude?,
        longitude_deg: asked.longitude?,
        elevation_m: asked.elevation.unwrap_or(0.0),
        time_zone: asked.time_zone.clone()?,
    })
}

/// Why no scene was made: each fault at the option that it comes from, or at the drawing.
fn refused(faults: Faults, file: Option<&Path>) -> CliError {
    let (of_options, of_drawing): (Vec<_>, Vec<_>) =
        faults.0.into_iter().partition(|fault| option_of(&fault.path).is_some());
    if of_options.is_empty()
        && let Some(file) = file
    {
        return CliError::Faults { path: file.to_owned(), faults: Faults(of_drawing) };
    }
    let of_option = |fault: &Fault| {
        let option = option_of(&fault.path)?;
        Some(format!("{option}: expected {}, found {}", fault.expected, fault.found))
    };
    let mut words: Vec<String> = of_options.iter().filter_map(of_option).collect();
    words.extend(of_drawing.iter().map(ToString::to_string));
    // Every lead of too wide a face is a fault.
    words.dedup();
    CliError::Options { faults: words }
}

/// The option that a part of the scene comes from.
fn option_of(path: &str) -> Option<&'static str> {
    Some(match path {
        "name" => "--name",
        "at" => "--at",
        "site.latitude_deg" => "--latitude",
        "site.longitude_deg" => "--longitude",
        "site.elevation_m" => "--elevation",
        "site.time_zone" => "--time-zone",
        "room.facing_deg" => "--facing",
        "windows[0].sill_height_m" => "--sill-m",
        "windows[0].drawing.sight_size.width_mm" => "--border-lead-mm",
        _ if path.starts_with("windows[0].drawing.cutlines[") && path.ends_with("].width_mm") => "--lead-mm",
        _ => return None,
    })
}
