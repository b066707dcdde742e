//! From the scene's text and the contents of its attachments to the bytes of a scene file.

use std::io::{Cursor, Write};

use scene::{Attachments, Fault, Faults, quotable};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

use crate::Contents;
use crate::describe::{hash_of, is_compressed};
use crate::entries::{SCENE, name_of};
use crate::fault::{fault, none_or};
use crate::listed::listed;

/// Bytes that are packed at a time, for the reason given at `hash_of`.
const PACKED_AT_ONCE: usize = 1 << 16;

/// The scene file: the text itself where the scene lists no attachments, a ZIP where it does. Contents that it does
/// not list are left out. The same scene always makes the same bytes.
///
/// # Errors
/// The text is no scene of this version or an older one; a listed attachment has no content, or another than its hash says.
pub fn pack(text: &str, contents: &Contents) -> Result<Vec<u8>, Faults> {
    let Some(listed) = listed(text) else {
        return Err(fault("", "the text of a scene", "another text"));
    };
    if listed.is_empty() {
        return Ok(text.as_bytes().to_vec());
    }
    check_contents(&listed, contents)?;
    zipped(text, &listed, contents).map_err(|error| {
        let room = "a file that can be packed; remove an attachment where it is too large";
        fault("", room, error.to_string())
    })
}

fn check_contents(listed: &Attachments, contents: &Contents) -> Result<(), Faults> {
    let mut faults = Vec::new();
    for (hash, attachment) in listed {
        let found = match contents.get(hash) {
            Some(content) if content.len() as u64 == attachment.bytes && hash_of(content) == *hash => {
                continue;
            }
            Some(_) => "another content: add the file again or remove the attachment".to_owned(),
            None => "nothing: add the file again or remove the attachment".to_owned(),
        };
        let wanted = format!("the {} bytes of “{}”", attachment.bytes, quotable(&attachment.name));
        faults.push(Fault::new(format!("attachments.{hash}"), wanted, found));
    }
    none_or(faults)
}

fn zipped(text: &str, listed: &Attachments, contents: &Contents) -> zip::result::ZipResult<Vec<u8>> {
    let options = |method| {
        // The same wherever and whenever it is packed.
        SimpleFileOptions::default()
            .compression_method(method)
            .last_modified_time(DateTime::default())
            .system(System::Unix)
            .unix_permissions(0o644)
    };
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    writer.start_file(SCENE, options(CompressionMethod::Deflated))?;
    writer.write_all(text.as_bytes())?;
    for (hash, content) in contents.iter().filter(|(hash, _)| listed.contains_key(hash)) {
        let method =
            if is_compressed(content) { CompressionMethod::Stored } else { CompressionMethod::Deflated };
        writer.start_file(name_of(*hash), options(method))?;
        for part in content.chunks(PACKED_AT_ONCE) {
            writer.write_all(part)?;
        }
    }
    Ok(writer.finish()?.into_inner())
}
