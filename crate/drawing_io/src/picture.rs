//! Files that show a window but are no drawing: photographs, scans, documents.

/// What to do with such a file, to be read after what it is.
pub const PICTURE_ADVICE: &str =
    "which is not read yet: trace it in a drawing program and save the tracing as SVG";

/// What the first bytes of a file say it is if that is a picture or a document, in words. 12 bytes are enough.
///
/// # Source
/// Each format's own specification.
pub fn picture_format(beginning: &[u8]) -> Option<&'static str> {
    const MAGIC: [(&[u8], &str); 7] = [
        (b"\xff\xd8\xff", "a picture (JPEG)"),
        (b"\x89PNG\r\n\x1a\n", "a picture (PNG)"),
        (b"GIF8", "a picture (GIF)"),
        (b"II*\0", "a picture (TIFF)"),
        (b"MM\0*", "a picture (TIFF)"),
        (b"BM", "a picture (BMP)"),
        (b"%PDF-", "a document (PDF)"),
    ];
    if let Some((_, words)) = MAGIC.iter().find(|(magic, _)| beginning.starts_with(magic)) {
        return Some(words);
    }
    match (beginning.get(..4), beginning.get(4..8), beginning.get(8..12)) {
        (Some(b"RIFF"), _, Some(b"WEBP")) => Some("a picture (WebP)"),
        (_, Some(b"ftyp"), Some(b"avif")) => Some("a picture (AVIF)"),
        (_, Some(b"ftyp"), Some(b"heic" | b"heix" | b"mif1")) => Some("a picture (HEIC)"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::picture_format;

    #[test]
    fn pictures_and_documents_are_told_from_drawings() {
        for (beginning, words) in [
            (&b"\xff\xd8\xff\xe0\0\x10JFIF"[..], Some("a picture (JPEG)")),
            (b"\x89PNG\r\n\x1a\n\0\0", Some("a picture (PNG)")),
            (b"%PDF-1.7\n", Some("a document (PDF)")),
            (b"RIFF\x10\0\0\0WEBPVP8 ", Some("a picture (WebP)")),
            (b"\0\0\0\x18ftypheic", Some("a picture (HEIC)")),
            (b"<svg xmlns=\"http", None),
            (b"\xef\xbb\xbf<?xml", None),
            (b"{\"clerestory\"", None),
            (b"", None),
        ] {
            assert_eq!(picture_format(beginning), words);
        }
    }
}
