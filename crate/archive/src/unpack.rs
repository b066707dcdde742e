//! From the bytes of a scene file to the scene's text and the contents of its attachments.

use std::io::{self, Cursor, Read};

use scene::{
    Attachment, Attachments, ContentHash, Fault, Faults, MOST_ATTACHED_BYTES, MOST_ATTACHMENTS, MOST_BYTES,
    quotable, size_found, size_limit,
};
use zip::read::{ArchiveOffset, Config};
use zip::result::ZipError;
use zip::{CompressionMethod, ZipArchive};

use crate::Contents;
use crate::describe::{hash_of, known_format};
use crate::entries::{ATTACHMENTS, Entry, SCENE, name_of};
use crate::fault::{fault, none_or};
use crate::listed::listed;

/// Largest scene file, bytes: the longest scene, the most that attachments may have together, and 1 MiB for the headers of
/// the ZIP. A larger one is refused unread.
pub const MOST_FILE_BYTES: u64 = MOST_BYTES as u64 + MOST_ATTACHED_BYTES + (1 << 20);

/// Most entries of a scene file: the scene, its attachments and their folder.
const MOST_ENTRIES: usize = MOST_ATTACHMENTS + 2;

/// What was in a scene file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unpacked {
    /// The scene, as the text that [`scene::read`] takes.
    pub text: String,
    /// The contents of its attachments. Empty if the text is not a scene of this version or an older one, which
    /// [`scene::read`] then refuses.
    pub contents: Contents,
}

type Archive<'a> = ZipArchive<Cursor<&'a [u8]>>;

/// Whether a file is a ZIP, by its first bytes.
pub fn is_zip(bytes: &[u8]) -> bool {
    // The header of an entry, or the end of a ZIP without any. Source: APPNOTE 6.3.10, sections 4.3.7 and 4.3.16.
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// Takes a scene file apart: whole or not at all. Every content is what its hash says, and contents and scene list the
/// same attachments.
///
/// No size that the file declares is trusted: at most [`MOST_FILE_BYTES`] are unpacked, and of each attachment no more
/// than the scene says that it has.
///
/// # Errors
/// Every reason why the file is not whole, with the entry that it is in.
pub fn unpack(bytes: &[u8]) -> Result<Unpacked, Faults> {
    if bytes.len() as u64 > MOST_FILE_BYTES {
        let wanted = format!("a scene file of at most {}", size_limit(MOST_FILE_BYTES));
        return Err(fault("", wanted, size_found(bytes.len() as u64)));
    }
    if !is_zip(bytes) {
        return plain(bytes);
    }
    let config = Config { archive_offset: ArchiveOffset::Known(0) };
    let mut archive =
        ZipArchive::with_config(config, Cursor::new(bytes)).map_err(|error| broken("", &error))?;
    check_entries(&mut archive)?;
    let text = read_scene(&mut archive)?;
    let Some(listed) = listed(&text) else { return Ok(Unpacked { text, contents: Contents::new() }) };
    let contents = read_attachments(&mut archive, &listed)?;
    Ok(Unpacked { text, contents })
}

/// A file that is no ZIP: JSON, which has no room for attachments.
fn plain(bytes: &[u8]) -> Result<Unpacked, Faults> {
    const WANTED: &str = "a scene in JSON (UTF-8) or a ZIP with one";
    if let Some(format) = known_format(bytes) {
        // A photograph or a scan of a window is what people try.
        let advice = ", which is not read yet: trace it in a drawing program, and save the tracing as SVG for a new window";
        let is_picture = format.starts_with("a picture") || format.starts_with("a document");
        return Err(fault("", WANTED, format!("{format}{}", if is_picture { advice } else { "" })));
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(error) => {
            let found = format!("byte {} that is neither", error.valid_up_to() + 1);
            return Err(fault("", WANTED, found));
        }
    };
    match listed(&text) {
        Some(listed) if !listed.is_empty() => Err(not_in_json(&listed)),
        _ => Ok(Unpacked { text, contents: Contents::new() }),
    }
}

fn not_in_json(listed: &Attachments) -> Faults {
    let names: Vec<String> =
        listed.values().take(3).map(|one| format!("“{}”", quotable(&one.name))).collect();
    let more = if listed.len() > 3 { ", …" } else { "" };
    fault(
        "attachments",
        "the ZIP that the scene was saved as: it has the attachments in it",
        format!("the scene alone, without {}{more}", names.join(", ")),
    )
}

/// Every entry has a name that a scene file has, is not encrypted and is packed as a ZIP usually is; no two share a
/// name or a byte.
fn check_entries(archive: &mut Archive<'_>) -> Result<(), Faults> {
    if archive.len() > MOST_ENTRIES {
        return Err(fault("", format!("at most {MOST_ENTRIES} entries"), format!("{}", archive.len())));
    }
    let mut faults = Vec::new();
    let mut has_scene = false;
    for index in 0..archive.len() {
        let entry = archive.by_index_raw(index).map_err(|error| broken("", &error))?;
        let name = quotable(&String::from_utf8_lossy(entry.name_raw()));
        let known = Entry::of(entry.name_raw());
        has_scene |= known == Some(Entry::Scene);
        let mut refuse = |wanted: &str, found: &str| faults.push(Fault::new(&name, wanted, found));
        if known.is_none() || entry.is_symlink() {
            refuse(
                "only scene.json and attachments/ with content hashes in it; remove what another program has put in",
                "an entry of an unknown name",
            );
        } else if entry.encrypted() {
            refuse("an entry without a password; pack the file again without one", "an encrypted entry");
        } else if !matches!(entry.compression(), CompressionMethod::Stored | CompressionMethod::Deflated) {
            let found = entry.compression().to_string();
            refuse("an entry that is stored or deflated; pack the file again so", &found);
        }
    }
    if !has_scene {
        faults.push(Fault::new(SCENE, "the scene", "no such entry: the ZIP is no scene file"));
    }
    if archive.has_duplicate_names() {
        faults.push(Fault::new("", "one entry of each name", "two of the same name"));
    }
    if faults.is_empty() && archive.has_overlapping_entries().map_err(|error| broken("", &error))? {
        faults.push(Fault::new("", "entries beside one another", "entries that share bytes"));
    }
    none_or(faults)
}

fn read_scene(archive: &mut Archive<'_>) -> Result<String, Faults> {
    let bytes = read_entry(archive, SCENE, MOST_BYTES as u64)?;
    String::from_utf8(bytes).map_err(|error| {
        let found = format!("byte {} that is not", error.utf8_error().valid_up_to() + 1);
        fault(SCENE, "text in UTF-8", found)
    })
}

fn read_attachments(archive: &mut Archive<'_>, listed: &Attachments) -> Result<Contents, Faults> {
    if listed.len() > MOST_ATTACHMENTS {
        let wanted = format!("at most {MOST_ATTACHMENTS} attachments");
        return Err(fault("attachments", wanted, format!("{}", listed.len())));
    }
    let mut faults = Vec::new();
    for name in archive.file_names_raw() {
        if let Some(Entry::Attachment(hash)) = Entry::of(name)
            && !listed.contains_key(&hash)
        {
            let wanted = "only attachments that scene.json lists";
            faults.push(Fault::new(name_of(hash), wanted, "one that it does not list"));
        }
    }
    let total: u64 = listed.values().fold(0, |sum, one| sum.saturating_add(one.bytes));
    if total > MOST_ATTACHED_BYTES {
        let wanted = format!("attachments of at most {} together", size_limit(MOST_ATTACHED_BYTES));
        faults.push(Fault::new(ATTACHMENTS, wanted, size_found(total)));
        return Err(Faults(faults));
    }
    let mut contents = Contents::new();
    for (hash, attachment) in listed {
        match read_attachment(archive, *hash, attachment) {
            Ok(content) => {
                contents.insert(*hash, content);
            }
            Err(found) => faults.extend(found.0),
        }
    }
    none_or(faults).map(|()| contents)
}

fn read_attachment(
    archive: &mut Archive<'_>,
    hash: ContentHash,
    attachment: &Attachment,
) -> Result<Vec<u8>, Faults> {
    let entry = name_of(hash);
    if archive.index_for_name_raw(entry.as_bytes()).is_none() {
        let wanted = format!("the content of “{}”", quotable(&attachment.name));
        return Err(fault(&entry, wanted, "no such entry"));
    }
    let content = read_entry(archive, &entry, attachment.bytes)?;
    if content.len() as u64 != attachment.bytes {
        let wanted = format!("the {} bytes of “{}”", attachment.bytes, quotable(&attachment.name));
        return Err(fault(&entry, wanted, format!("{}", content.len())));
    }
    if hash_of(&content) != hash {
        let wanted = format!("the content of “{}”, which has this hash", quotable(&attachment.name));
        return Err(fault(&entry, wanted, "another content: the file is damaged"));
    }
    Ok(content)
}

/// Unpacks an entry of at most `most` bytes, whatever size it declares.
fn read_entry(archive: &mut Archive<'_>, name: &str, most: u64) -> Result<Vec<u8>, Faults> {
    let index = archive.index_for_name_raw(name.as_bytes());
    let Some(index) = index else { return Err(fault(name, "an entry of this name", "none")) };
    let entry = archive.by_index(index).map_err(|error| broken(name, &error))?;
    let mut content = Vec::new();
    let mut limited = entry.take(most.saturating_add(1));
    limited.read_to_end(&mut content).map_err(|error| unreadable(name, &error))?;
    if content.len() as u64 > most {
        return Err(fault(name, format!("at most {}", size_limit(most)), "more"));
    }
    Ok(content)
}

const AGAIN: &str = "get the file again from where it came from";

fn broken(path: &str, error: &ZipError) -> Faults {
    match error {
        ZipError::Io(error) => unreadable(path, error),
        other => fault(path, format!("a whole ZIP; {AGAIN}"), format!("a damaged one ({other})")),
    }
}

fn unreadable(path: &str, error: &io::Error) -> Faults {
    fault(path, format!("a whole entry of a ZIP; {AGAIN}"), format!("a damaged or cut-off one ({error})"))
}
