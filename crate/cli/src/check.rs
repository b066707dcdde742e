//! `clerestory check`: whether a scene and its variants are right.

use std::path::Path;

use crate::fault::CliError;
use crate::window_lines::look_at;
use crate::{open, output};

/// `clerestory check`: every fault of a scene and its variants, or of one of them; or a line saying that there are
/// none, and how many places of its drawings should be looked at.
///
/// # Errors
/// The file cannot be read; every fault in it.
pub(crate) fn check(path: &Path, variant: Option<&str>) -> Result<(), CliError> {
    let scene = open::read(path)?;
    let mut faults = Vec::new();
    let names: Vec<Option<&str>> = match variant {
        Some(_) => vec![variant],
        None => std::iter::once(None).chain(scene.variants.iter().map(|v| Some(v.name.as_str()))).collect(),
    };
    for name in names {
        if let Err(found) = scene::resolve(&scene, name) {
            let place = |f: &mut scene::Fault| {
                if let Some(name) = name {
                    f.path = format!("variant \"{name}\": {}", f.path);
                }
            };
            let mut found = found.0;
            found.iter_mut().for_each(place);
            faults.extend(found);
        }
        // Faults of the scene are also faults of its variants.
        if name.is_none() && !faults.is_empty() {
            break;
        }
    }
    if !faults.is_empty() {
        return Err(CliError::Faults { path: path.to_owned(), faults: scene::Faults(faults) });
    }
    let what = variant.map_or_else(
        || output::counted(scene.variants.len(), "variant"),
        |name| format!("variant \"{name}\""),
    );
    let pieces: usize = scene.windows.iter().map(|w| w.pieces.len()).sum();
    let mut text = format!(
        "{}: no faults; {}, {}, {what}\n",
        scene.name,
        output::counted(scene.windows.len(), "window"),
        output::counted(pieces, "piece"),
    );
    for window in &scene.windows {
        // A drawing without a panel has been refused above.
        let places = look_at(&window.drawing).map_or(0, |(_, faults)| faults.len());
        if places > 0 {
            text += &format!(
                "{}: {} in its lines to look at; list them with: clerestory drawing check {} --window {}\n",
                window.id,
                output::counted(places, "place"),
                path.display(),
                window.id,
            );
        }
    }
    output::print(&text)
}
