//! Scene files: read, checked, resolved.

use std::path::Path;

use scene::{Resolved, Scene};

use crate::arguments::Subject;
use crate::fault::CliError;
use crate::output;

/// Reads a scene and builds the requested variant.
///
/// # Errors
/// The file cannot be read; every fault in it.
pub(crate) fn resolved(subject: &Subject) -> Result<Resolved, CliError> {
    let path = &subject.scene;
    let scene = read(path)?;
    scene::resolve(&scene, subject.variant.as_deref())
        .map_err(|faults| CliError::Faults { path: path.clone(), faults })
}

/// `clerestory check`: every fault of a scene and its variants, or of one of them; or a line saying that there are
/// none.
///
/// # Errors
/// As [`resolved`].
pub(crate) fn check(path: &Path, variant: Option<&str>) -> Result<(), CliError> {
    let scene = read(path)?;
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
    let what = variant
        .map_or_else(|| format!("{} variant(s)", scene.variants.len()), |name| format!("variant \"{name}\""));
    let pieces: usize = scene.windows.iter().map(|w| w.pieces.len()).sum();
    output::print(&format!(
        "{}: no faults; {} window(s), {pieces} pieces, {what}\n",
        scene.name,
        scene.windows.len(),
    ))
}

/// Reads a scene file.
///
/// # Errors
/// The file cannot be read; every fault in it.
pub(crate) fn read(path: &Path) -> Result<Scene, CliError> {
    let unreadable = |error| CliError::Unreadable { path: path.to_owned(), error };
    let length = std::fs::metadata(path).map_err(unreadable)?.len();
    if length > scene::MOST_BYTES as u64 {
        let reason = format!("a scene file has at most {} bytes, this one {length}", scene::MOST_BYTES);
        return Err(unreadable(std::io::Error::new(std::io::ErrorKind::FileTooLarge, reason)));
    }
    let text = std::fs::read_to_string(path).map_err(unreadable)?;
    scene::read(&text).map_err(|faults| CliError::Faults { path: path.to_owned(), faults })
}
