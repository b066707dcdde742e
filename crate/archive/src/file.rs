//! Scene files, read and written whole.

use scene::{Faults, Scene};

use crate::Contents;
use crate::fault::fault;
use crate::pack::pack;
use crate::unpack::unpack;

/// A scene with the contents of its attachments.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneFile {
    /// The scene.
    pub scene: Scene,
    /// One content for each of its attachments.
    pub contents: Contents,
}

/// Reads a scene file, JSON or ZIP: whole or not at all.
///
/// # Errors
/// As [`unpack`] and [`scene::read`]; the file does not have the contents that the scene lists.
pub fn read(bytes: &[u8]) -> Result<SceneFile, Faults> {
    let unpacked = unpack(bytes)?;
    let file = SceneFile { scene: scene::read(&unpacked.text)?, contents: unpacked.contents };
    if !file.contents.keys().eq(file.scene.attachments.keys()) {
        let (listed, found) = (file.scene.attachments.len(), file.contents.len());
        let wanted = format!("the contents of the {listed} attachments that the scene lists");
        return Err(fault("attachments", wanted, format!("{found} contents")));
    }
    Ok(file)
}

/// The bytes of a scene file: JSON where the scene has no attachments, a ZIP where it has.
///
/// # Errors
/// An attachment has no content.
pub fn write(file: &SceneFile) -> Result<Vec<u8>, Faults> {
    pack(&scene::write(&file.scene), &file.contents)
}
