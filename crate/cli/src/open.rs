//! Scene files: read, checked, resolved.

use std::fmt::Display;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use archive::SceneFile;
use scene::{Resolved, Scene, Window};

use crate::arguments::Subject;
use crate::fault::CliError;

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

/// Reads the scene of a scene file, JSON or ZIP.
///
/// # Errors
/// As [`file`].
pub(crate) fn read(path: &Path) -> Result<Scene, CliError> {
    file(path).map(|file| file.scene)
}

/// Reads a scene file, JSON or ZIP, with what its attachments hold.
///
/// # Errors
/// The file cannot be read; every fault in it.
pub(crate) fn file(path: &Path) -> Result<SceneFile, CliError> {
    let most = format!("a scene file has at most {}", scene::size_limit(archive::MOST_FILE_BYTES));
    let bytes = bytes(path, archive::MOST_FILE_BYTES, &most)?;
    archive::read(&bytes).map_err(|faults| CliError::Faults { path: path.to_owned(), faults })
}

/// The window of that id, with its index; the first without one.
///
/// # Errors
/// There is none of that id.
pub(crate) fn window<'a>(scene: &'a Scene, id: Option<&str>) -> Result<(usize, &'a Window), CliError> {
    let found = scene.windows.iter().enumerate().find(|(_, window)| id.is_none_or(|id| window.id == id));
    found.ok_or_else(|| CliError::UnknownWindow {
        found: id.unwrap_or_default().to_owned(),
        known: scene.windows.iter().map(|window| window.id.clone()).collect(),
    })
}

/// The first bytes of a file, at most so many; none of what can be read only once.
///
/// # Errors
/// The file cannot be read.
pub(crate) fn beginning(path: &Path, most: usize) -> Result<Vec<u8>, CliError> {
    let unreadable = |error| CliError::Unreadable { path: path.to_owned(), error };
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    if !file.metadata().map_err(unreadable)?.is_file() {
        return Ok(bytes);
    }
    file.take(most as u64).read_to_end(&mut bytes).map_err(unreadable)?;
    Ok(bytes)
}

/// Reads a file of at most `most` bytes; `limit` says so in words.
///
/// # Errors
/// The file cannot be read or is longer.
pub(crate) fn bytes(path: &Path, most: u64, limit: &str) -> Result<Vec<u8>, CliError> {
    let unreadable = |error| CliError::Unreadable { path: path.to_owned(), error };
    let too_large = |length: &dyn Display| {
        unreadable(io::Error::new(io::ErrorKind::FileTooLarge, format!("{limit}, this one {length}")))
    };
    let file = File::open(path).map_err(unreadable)?;
    let length = file.metadata().map_err(unreadable)?.len();
    if length > most {
        return Err(too_large(&scene::size_found(length)));
    }
    let mut bytes = Vec::new();
    // A pipe or a file that grows has no length that could be relied on.
    file.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > most { Err(too_large(&"more")) } else { Ok(bytes) }
}
