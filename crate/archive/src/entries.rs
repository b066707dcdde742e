//! Names of the entries of a ZIP.

use scene::ContentHash;

/// Name of the entry that holds the scene.
pub(crate) const SCENE: &str = "scene.json";

/// Where attachments lie, each under the hash of its content.
pub(crate) const ATTACHMENTS: &str = "attachments/";

/// What an entry is, by its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Entry {
    Scene,
    Attachment(ContentHash),
    /// The folder of the attachments, which some programs list beside what is in it.
    Folder,
}

impl Entry {
    /// What a name says; `None` for one that a scene file does not have.
    pub(crate) fn of(name: &[u8]) -> Option<Self> {
        let name = std::str::from_utf8(name).ok()?;
        match name {
            SCENE => Some(Self::Scene),
            ATTACHMENTS => Some(Self::Folder),
            _ => name.strip_prefix(ATTACHMENTS)?.parse().ok().map(Self::Attachment),
        }
    }
}

/// Name of the entry of an attachment.
pub(crate) fn name_of(hash: ContentHash) -> String {
    format!("{ATTACHMENTS}{hash}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_names_of_a_scene_file_are_known() {
        let hash: ContentHash = "ab".repeat(32).parse().unwrap();
        assert_eq!(Entry::of(name_of(hash).as_bytes()), Some(Entry::Attachment(hash)));
        assert_eq!(Entry::of(b"scene.json"), Some(Entry::Scene));
        for name in
            ["", "/scene.json", "../scene.json", "Scene.json", "attachments/wall.jpg", "attachments/../x"]
        {
            assert_eq!(Entry::of(name.as_bytes()), None, "{name}");
        }
        assert_eq!(Entry::of(b"\xff"), None);
    }
}
