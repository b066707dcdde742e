//! A scene with attachments, and ZIPs of any content.

use std::io::{Cursor, Write};

use archive::{Contents, SceneFile, describe};
use scene::{AttachmentKind, Edit};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

const SCENE: &str = include_str!("../../../scene/tests/two-pieces.json");

/// The beginning of a JPEG; the rest is no picture.
pub(crate) fn photograph() -> Vec<u8> {
    let mut bytes = b"\xff\xd8\xff\xe0\0\x10JFIF\0".to_vec();
    bytes.extend((0..2_000u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8));
    bytes
}

/// A spectrum as a spectrometer writes it.
pub(crate) fn spectrum() -> Vec<u8> {
    let lines: Vec<String> =
        (0..81).map(|i| format!("{},{:.3}\n", 380 + 5 * i, 0.9 - f64::from(i) * 0.01)).collect();
    lines.concat().into_bytes()
}

/// A scene with a photograph and a spectrum.
pub(crate) fn scene_file() -> SceneFile {
    let mut scene = scene::read(SCENE).unwrap();
    let mut contents = Contents::new();
    for (content, name, kind, note) in [
        (photograph(), "north-wall.jpg", AttachmentKind::Photograph, "from the yard"),
        (spectrum(), "old blue.csv", AttachmentKind::MeasuredSpectrum, ""),
    ] {
        let (hash, attachment) = describe(&content, name, kind, note).unwrap();
        Edit::SetAttachment { hash, attachment: Some(attachment) }.apply(&mut scene).unwrap();
        contents.insert(hash, content);
    }
    SceneFile { scene, contents }
}

/// A scene without attachments.
pub(crate) fn plain_file() -> SceneFile {
    SceneFile { scene: scene::read(SCENE).unwrap(), contents: Contents::new() }
}

/// A ZIP of these entries, in their order, stored or deflated.
pub(crate) fn zip_of(entries: &[(&str, &[u8])], method: CompressionMethod) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in entries {
        if name.ends_with('/') {
            writer.add_directory(*name, SimpleFileOptions::default()).unwrap();
        } else {
            writer.start_file(*name, SimpleFileOptions::default().compression_method(method)).unwrap();
            writer.write_all(content).unwrap();
        }
    }
    writer.finish().unwrap().into_inner()
}

/// The entries of the sample's own file.
pub(crate) fn entries(file: &SceneFile) -> Vec<(String, Vec<u8>)> {
    let attachments =
        file.contents.iter().map(|(hash, content)| (format!("attachments/{hash}"), content.clone()));
    std::iter::once(("scene.json".to_owned(), scene::write(&file.scene).into_bytes()))
        .chain(attachments)
        .collect()
}

/// A ZIP of the sample's entries after a change of their list.
pub(crate) fn zip_after(change: impl FnOnce(&mut Vec<(String, Vec<u8>)>)) -> Vec<u8> {
    let mut all = entries(&scene_file());
    change(&mut all);
    let all: Vec<(&str, &[u8])> = all.iter().map(|(name, content)| (name.as_str(), &content[..])).collect();
    zip_of(&all, CompressionMethod::Deflated)
}
