//! `clerestory attach`, `detach` and `attachments`: files that belong to a scene.

use std::path::Path;

use archive::SceneFile;
use scene::{Attachment, AttachmentKind, ContentHash, Edit, Faults, MOST_ATTACHMENT_BYTES, size_limit};
use serde::Serialize;

use crate::arguments::{self, Kind};
use crate::extract::extract;
use crate::fault::CliError;
use crate::table::{Align, Table};
use crate::whole_file::write_whole;
use crate::{open, output};

/// Shortest beginning of a hash that stands for it, digits.
const SHORTEST_HASH: usize = 6;

/// Digits of a hash that a table shows.
const SHOWN_HASH: usize = 12;

/// An attachment as the JSON form lists it.
#[derive(Serialize)]
struct Entry<'a> {
    hash: ContentHash,
    #[serde(flatten)]
    attachment: &'a Attachment,
}

/// Attaches files and writes the scene. A content that is attached already is described anew, but keeps its note where
/// no other is given.
///
/// # Errors
/// The scene or a file cannot be read, or is not one that can be attached; the scene cannot be written.
pub(crate) fn attach(asked: &arguments::Attach) -> Result<(), CliError> {
    let mut file = open::file(&asked.scene)?;
    let mut replaced = String::new();
    for path in &asked.files {
        let content = content_of(path)?;
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let described =
            archive::describe(&content, &name, kind(asked.kind), asked.note.as_deref().unwrap_or(""));
        let (hash, mut attachment) = described.map_err(|faults| refused(path, faults))?;
        if let Some(before) = file.scene.attachments.get(&hash) {
            if asked.note.is_none() {
                attachment.note.clone_from(&before.note);
            }
            replaced += &format!(
                "“{}”, {}, has the same content as “{}”, {}, and is replaced by it\n",
                before.name,
                before.kind.words(),
                attachment.name,
                attachment.kind.words()
            );
        }
        set(&mut file, hash, Some(attachment));
        file.contents.insert(hash, content);
    }
    check(&file, &asked.scene)?;
    save(&file, &asked.out)?;
    output::print(&replaced)
}

/// Removes an attachment and writes the scene.
///
/// # Errors
/// The scene cannot be read, has no such attachment or more than one of the name, or cannot be written.
pub(crate) fn detach(asked: &arguments::Detach) -> Result<(), CliError> {
    let mut file = open::file(&asked.scene)?;
    let hash = named(&file, &asked.attachment)?;
    set(&mut file, hash, None);
    file.contents.remove(&hash);
    check(&file, &asked.scene)?;
    save(&file, &asked.out)
}

/// Lists the attachments, or writes their contents into a folder.
///
/// # Errors
/// The scene cannot be read; a file of the same name is in the folder, or one cannot be written.
pub(crate) fn list(asked: &arguments::Attachments) -> Result<(), CliError> {
    let file = open::file(&asked.scene)?;
    if let Some(folder) = &asked.extract {
        let written = extract(&file, &asked.scene, folder)?;
        if !asked.json {
            let lines: String = written.iter().map(|path| format!("{}\n", path.display())).collect();
            return output::print(
                &(lines + &format!("{} written\n", output::counted(written.len(), "file"))),
            );
        }
    }
    let attachments = &file.scene.attachments;
    if asked.json {
        let entries: Vec<Entry<'_>> =
            attachments.iter().map(|(hash, attachment)| Entry { hash: *hash, attachment }).collect();
        return output::print_json(&entries);
    }
    output::print(&in_words(&file))
}

fn in_words(file: &SceneFile) -> String {
    let scene = &file.scene;
    if scene.attachments.is_empty() {
        return format!("{}\nThis scene has no attachments.\n", scene.name);
    }
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Right, Align::Left, Align::Left]);
    table.row(["name", "kind", "bytes", "media type", "hash"]);
    let mut by_name: Vec<_> = scene.attachments.iter().collect();
    by_name.sort_by_key(|(hash, one)| (one.name.to_lowercase(), **hash));
    for (hash, one) in &by_name {
        let hash = hash.to_string();
        table.row([
            &one.name,
            one.kind.words(),
            &one.bytes.to_string(),
            &one.media_type,
            &hash[..SHOWN_HASH],
        ]);
    }
    let mut text = format!("{}\n\n{}", scene.name, table.text());
    for (_, one) in by_name.iter().filter(|(_, one)| !one.note.is_empty()) {
        // Lines after the first are set in, so that none looks like another attachment's.
        let note: Vec<&str> = one.note.lines().collect();
        text += &format!("\n{}: {}\n", one.name, note.join("\n  "));
    }
    text + "\nWrite them to a folder with: clerestory attachments SCENE --extract FOLDER\n"
}

fn kind(asked: Kind) -> AttachmentKind {
    match asked {
        Kind::MeasuredSpectrum => AttachmentKind::MeasuredSpectrum,
        Kind::ThicknessMap => AttachmentKind::ThicknessMap,
        Kind::Photograph => AttachmentKind::Photograph,
    }
}

fn refused(path: &Path, faults: Faults) -> CliError {
    CliError::Faults { path: path.to_owned(), faults }
}

/// What a file to be attached holds.
fn content_of(path: &Path) -> Result<Vec<u8>, CliError> {
    let most = format!("an attachment has at most {}", size_limit(MOST_ATTACHMENT_BYTES));
    open::bytes(path, MOST_ATTACHMENT_BYTES, &most)
}

/// Sets or removes an attachment.
fn set(file: &mut SceneFile, hash: ContentHash, attachment: Option<Attachment>) {
    // An attachment is always there to be set: this edit names nothing that could be missing.
    let _ = Edit::SetAttachment { hash, attachment }.apply(&mut file.scene);
}

/// Refuses a scene that has faults after its attachments were changed.
fn check(file: &SceneFile, path: &Path) -> Result<(), CliError> {
    let faults = scene::check(&file.scene);
    if faults.is_empty() { Ok(()) } else { Err(refused(path, Faults(faults))) }
}

/// The one attachment that a hash, the beginning of one, or a name means.
fn named(file: &SceneFile, asked: &str) -> Result<ContentHash, CliError> {
    let all = &file.scene.attachments;
    let of_name: Vec<ContentHash> =
        all.iter().filter(|(_, one)| one.name == asked).map(|(hash, _)| *hash).collect();
    let is_beginning = asked.len() >= SHORTEST_HASH;
    let of_hash =
        || all.keys().filter(|hash| is_beginning && hash.to_string().starts_with(asked)).copied().collect();
    let found: Vec<ContentHash> = if of_name.is_empty() { of_hash() } else { of_name };
    match &found[..] {
        [only] => Ok(*only),
        [] => {
            let names: Vec<String> = all.values().map(|one| format!("“{}”", one.name)).collect();
            let expected = if names.is_empty() {
                "no attachment: this scene has none".to_owned()
            } else {
                format!("the hash or the name of an attachment: {}", names.join(", "))
            };
            Err(CliError::UnknownAttachment { expected, found: asked.to_owned() })
        }
        several => {
            let hashes: Vec<String> =
                several.iter().map(|hash| hash.to_string()[..SHOWN_HASH].to_owned()).collect();
            let expected =
                format!("one attachment; name it by the beginning of its hash: {}", hashes.join(", "));
            Err(CliError::UnknownAttachment { expected, found: asked.to_owned() })
        }
    }
}

/// Writes the scene with its attachments, and says what was written. What could not be read again is not written.
fn save(file: &SceneFile, path: &Path) -> Result<(), CliError> {
    let bytes = archive::write(file).map_err(|faults| refused(path, faults))?;
    archive::read(&bytes).map_err(|faults| refused(path, faults))?;
    write_whole(path, &bytes)?;
    let form = if archive::is_zip(&bytes) { "a ZIP" } else { "JSON" };
    let count = file.scene.attachments.len();
    output::print(&format!(
        "{}: {}, written as {form}\n",
        path.display(),
        output::counted(count, "attachment")
    ))
}
