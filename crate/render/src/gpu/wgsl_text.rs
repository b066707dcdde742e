//! The handwritten WGSL without comments and indentation, which every visitor would download for nothing.

/// The file of this name in `shaders`. Its lines keep their numbers.
macro_rules! wgsl {
    ($name:literal) => {{
        use $crate::gpu::wgsl_text::bare;
        const FILE: &str = include_str!(concat!("../../../../shaders/", $name));
        const BARE: [u8; bare::<0>(FILE).1] = bare(FILE).0;
        match core::str::from_utf8(&BARE) {
            Ok(text) => text,
            Err(_) => panic!("comments end where a character does"),
        }
    }};
}
pub(crate) use wgsl;

/// A text without line comments and without spaces at the start of lines, as far as it has room, and the length of all of
/// it. WGSL has no strings, so that `//` is always a comment; block comments are not used.
pub(crate) const fn bare<const ROOM: usize>(text: &str) -> ([u8; ROOM], usize) {
    let text = text.as_bytes();
    let (mut bare, mut length) = ([0; ROOM], 0);
    let (mut comment, mut indent) = (false, true);
    let mut at = 0;
    while at < text.len() {
        if text[at] == b'\n' {
            (comment, indent) = (false, true);
        } else {
            indent = indent && text[at] == b' ';
            comment = comment || (text[at] == b'/' && at + 1 < text.len() && text[at + 1] == b'/');
        }
        if text[at] == b'\n' || !(comment || indent) {
            if length < ROOM {
                bare[length] = text[at];
            }
            length += 1;
        }
        at += 1;
    }
    (bare, length)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_indentation_go_and_lines_stay() {
        const TEXT: &str = "// A pass.\nfn f() {\n    let a = b / c; // half · of it\n\n  // end\n}\n";
        const BARE: [u8; bare::<0>(TEXT).1] = bare(TEXT).0;
        assert_eq!(std::str::from_utf8(&BARE).unwrap(), "\nfn f() {\nlet a = b / c; \n\n\n}\n");
    }
}
