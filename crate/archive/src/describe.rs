//! What a scene keeps of a file that is attached to it.

use scene::{
    Attachment, AttachmentKind, ContentHash, Faults, MOST_ATTACHMENT_BYTES, MOST_NOTE_CHARACTERS,
    plain_file_name, size_found, size_limit,
};
use sha2::{Digest, Sha256};

use crate::fault::fault;

/// Bytes that are hashed at a time. Browsers may put the faster of their two compilations of a function in its place only
/// between calls, so that one call for a long content would run in the slower one to its end.
const HASHED_AT_ONCE: usize = 1 << 16;

/// The hash that a content is addressed by.
pub fn hash_of(content: &[u8]) -> ContentHash {
    let mut hasher = Sha256::new();
    content.chunks(HASHED_AT_ONCE).for_each(|part| hasher.update(part));
    ContentHash::from_sha256(hasher.finalize().into())
}

/// A file as an attachment: its hash and what the scene keeps of it. Its name is made plain; its media type is that of
/// its first bytes, and where these say nothing, of its name.
///
/// # Errors
/// The file is empty or too large, or the note is too long.
pub fn describe(
    content: &[u8],
    name: &str,
    kind: AttachmentKind,
    note: &str,
) -> Result<(ContentHash, Attachment), Faults> {
    let name = plain_file_name(name);
    let bytes = content.len() as u64;
    if bytes == 0 || bytes > MOST_ATTACHMENT_BYTES {
        let wanted = format!("a file of 1 byte to {}", size_limit(MOST_ATTACHMENT_BYTES));
        return Err(fault(&name, wanted, size_found(bytes)));
    }
    let note = note.trim().to_owned();
    let characters = note.chars().count();
    if characters > MOST_NOTE_CHARACTERS {
        let wanted = format!("a note of at most {MOST_NOTE_CHARACTERS} characters");
        return Err(fault(&name, wanted, format!("{characters}")));
    }
    let media_type = media_type(content, &name).to_owned();
    Ok((hash_of(content), Attachment { name, kind, media_type, bytes, note }))
}

/// First bytes of formats, after which the media type is told. Source: each format's own specification.
const MAGIC: [(&[u8], &str); 9] = [
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"GIF8", "image/gif"),
    (b"II*\0", "image/tiff"),
    (b"MM\0*", "image/tiff"),
    (b"%PDF-", "application/pdf"),
    (b"PK\x03\x04", "application/zip"),
    (b"\x1f\x8b", "application/gzip"),
    (b"\x76\x2f\x31\x01", "image/x-exr"),
];

/// The media type of a content.
fn media_type(content: &[u8], name: &str) -> &'static str {
    if let Some((_, media_type)) = MAGIC.iter().find(|(magic, _)| content.starts_with(magic)) {
        return media_type;
    }
    match (content.get(..4), content.get(4..8), content.get(8..12)) {
        (Some(b"RIFF"), _, Some(b"WEBP")) => return "image/webp",
        (_, Some(b"ftyp"), Some(b"avif")) => return "image/avif",
        (_, Some(b"ftyp"), Some(b"heic" | b"heix" | b"mif1")) => return "image/heic",
        _ => {}
    }
    if content.contains(&0) || std::str::from_utf8(content).is_err() {
        return "application/octet-stream";
    }
    let extension = name.rsplit_once('.').map(|(_, extension)| extension.to_ascii_lowercase());
    match extension.as_deref() {
        Some("csv") => "text/csv",
        Some("tsv") => "text/tab-separated-values",
        Some("json") => "application/json",
        Some("xml") => "application/xml",
        _ => "text/plain",
    }
}

/// A content that cannot be a scene, in words, if its first bytes say what it is.
pub(crate) fn known_format(content: &[u8]) -> Option<&'static str> {
    match media_type(content, "") {
        "image/jpeg" => Some("a picture (JPEG)"),
        "image/png" => Some("a picture (PNG)"),
        "image/gif" => Some("a picture (GIF)"),
        "image/tiff" => Some("a picture (TIFF)"),
        "image/webp" => Some("a picture (WebP)"),
        "image/avif" => Some("a picture (AVIF)"),
        "image/heic" => Some("a picture (HEIC)"),
        "image/x-exr" => Some("a picture (OpenEXR)"),
        "application/pdf" => Some("a document (PDF)"),
        "application/gzip" => Some("a compressed file (gzip)"),
        _ if begins_as_svg(content) => Some("a drawing (SVG), of which a new window can be made"),
        _ => None,
    }
}

/// Whether a text begins as XML and soon has an SVG element.
fn begins_as_svg(content: &[u8]) -> bool {
    /// Room for a declaration, comments and entities before the first element.
    const SOON: usize = 4096;
    let start = String::from_utf8_lossy(&content[..content.len().min(SOON)]);
    start.trim_start_matches('\u{feff}').trim_start().starts_with('<') && start.contains("<svg")
}

/// Whether a content is compressed already, so that deflating it would only take time.
pub(crate) fn is_compressed(content: &[u8]) -> bool {
    matches!(
        media_type(content, ""),
        "image/jpeg"
            | "image/png"
            | "image/gif"
            | "image/webp"
            | "image/avif"
            | "image/heic"
            | "application/pdf"
            | "application/zip"
            | "application/gzip"
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_sha_256() {
        // Source: FIPS 180-4, example “abc” of NIST's Cryptographic Standards and Guidelines.
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(hash_of(b"abc").to_string(), expected);
    }

    #[test]
    fn the_media_type_is_told_by_content_before_name() {
        for (content, name, expected) in [
            (&b"\xff\xd8\xff\xe0\0\x10JFIF"[..], "wall.txt", "image/jpeg"),
            (b"\x89PNG\r\n\x1a\n\0\0", "map", "image/png"),
            (b"RIFF\x10\0\0\0WEBPVP8 ", "a.webp", "image/webp"),
            (b"\0\0\0\x18ftypheic", "a", "image/heic"),
            (b"380,0.91\n385,0.92\n", "Blue.CSV", "text/csv"),
            ("380\u{a0}nm".as_bytes(), "blue.asc", "text/plain"),
            (b"{}", "spectrum.json", "application/json"),
            (b"a\0b", "blue.csv", "application/octet-stream"),
            (b"\xff\xfe", "blue.csv", "application/octet-stream"),
        ] {
            assert_eq!(media_type(content, name), expected, "{name}");
        }
    }

    #[test]
    fn a_note_is_limited() {
        let described =
            |length: usize| describe(b"1", "a.csv", AttachmentKind::MeasuredSpectrum, &"é".repeat(length));
        assert_eq!(described(4000).unwrap().1.note.chars().count(), 4000);
        let refused = described(4001).unwrap_err();
        assert_eq!(refused.to_string(), "a.csv: expected a note of at most 4000 characters, found 4001");
    }

    #[test]
    fn what_is_empty_is_refused_and_a_name_is_made_plain() {
        let refused = describe(b"", "a.csv", AttachmentKind::MeasuredSpectrum, "").unwrap_err();
        assert_eq!((refused.0[0].path.as_str(), refused.0[0].found.as_str()), ("a.csv", "0 bytes"));
        let (hash, attachment) =
            describe(b"1", "../a?.csv", AttachmentKind::MeasuredSpectrum, " n ").unwrap();
        assert_eq!(hash, hash_of(b"1"));
        assert_eq!(
            (attachment.name.as_str(), attachment.note.as_str(), attachment.bytes),
            ("a_.csv", "n", 1)
        );
    }
}
