//! Attachments: files that belong to a scene and live outside it, addressed by the hash of their content.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Most attachments of a scene.
pub const MOST_ATTACHMENTS: usize = 256;

/// Largest attachment, bytes: 64 MiB.
pub const MOST_ATTACHMENT_BYTES: u64 = 64 << 20;

/// All attachments of a scene together, bytes: 256 MiB.
pub const MOST_ATTACHED_BYTES: u64 = 256 << 20;

/// Longest name of an attachment, characters.
const MOST_NAME_CHARACTERS: usize = 200;

/// Longest note on an attachment, characters.
pub const MOST_NOTE_CHARACTERS: usize = 4000;

/// What a content hash looks like, as the schema has it.
pub(crate) const HASH_PATTERN: &str = "^[0-9a-f]{64}$";

/// What an attachment is addressed by: the SHA-256 of its content. As text, 64 lower-case hexadecimal digits.
///
/// Source: FIPS 180-4. It is computed where the bytes are: `archive::hash_of`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ContentHash([u8; 32]);

impl ContentHash {
    /// From the 32 bytes of a SHA-256.
    pub fn from_sha256(digest: [u8; 32]) -> Self {
        Self(digest)
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A text that is no content hash.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a content hash has 64 digits from 0–9 and a–f")]
pub struct NoContentHash;

impl FromStr for ContentHash {
    type Err = NoContentHash;

    fn from_str(text: &str) -> Result<Self, NoContentHash> {
        let digit = |byte: u8| match byte {
            b'0'..=b'9' => Ok(byte - b'0'),
            b'a'..=b'f' => Ok(byte - b'a' + 10),
            _ => Err(NoContentHash),
        };
        let (pairs, []) = text.as_bytes().as_chunks::<2>() else { return Err(NoContentHash) };
        if pairs.len() != 32 {
            return Err(NoContentHash);
        }
        let mut digest = [0; 32];
        for (byte, [high, low]) in digest.iter_mut().zip(pairs) {
            *byte = digit(*high)? << 4 | digit(*low)?;
        }
        Ok(Self(digest))
    }
}

impl Serialize for ContentHash {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for ContentHash {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Cow::<'de, str>::deserialize(deserializer)?.parse().map_err(D::Error::custom)
    }
}

impl JsonSchema for ContentHash {
    fn schema_name() -> Cow<'static, str> {
        "ContentHash".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "The SHA-256 of an attachment's content, 64 lower-case hexadecimal digits.",
            "type": "string",
            "pattern": HASH_PATTERN,
        })
    }
}

/// The attachments of a scene by the hash of their content.
pub type Attachments = BTreeMap<ContentHash, Attachment>;

/// A file that belongs to the scene. Its content lives outside it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Attachment {
    /// Its file name, without folders.
    #[schemars(length(min = 1, max = MOST_NAME_CHARACTERS))]
    pub name: String,
    /// What it is to the scene.
    pub kind: AttachmentKind,
    /// The media type of its content, such as `image/jpeg`.
    #[schemars(length(min = 3, max = 100))]
    pub media_type: String,
    /// Length of its content, bytes.
    #[schemars(range(min = 1, max = 67_108_864))]
    pub bytes: u64,
    /// A few words on it; free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(length(max = MOST_NOTE_CHARACTERS))]
    pub note: String,
}

/// What an attachment is to the scene.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AttachmentKind {
    /// A spectrum measured on a glass or in the room.
    MeasuredSpectrum,
    /// Thickness over the face of a piece or a sheet.
    ThicknessMap,
    /// A photograph of the window, its wall or its surroundings.
    Photograph,
}

impl AttachmentKind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::MeasuredSpectrum, Self::ThicknessMap, Self::Photograph];

    /// The kind in words: "measured spectrum".
    pub fn words(self) -> &'static str {
        match self {
            Self::MeasuredSpectrum => "measured spectrum",
            Self::ThicknessMap => "thickness map",
            Self::Photograph => "photograph",
        }
    }
}

/// Whether a character steers a terminal or the direction of writing. Source for the latter: Unicode Standard Annex 9,
/// section 2.
pub fn is_steering(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text from a file as an error quotes it: on one line, without what steers ([`is_steering`]), of at most 200
/// characters.
pub fn quotable(text: &str) -> String {
    let plain = |c| if is_steering(c) { char::REPLACEMENT_CHARACTER } else { c };
    text.chars().take(MOST_NAME_CHARACTERS).map(plain).collect()
}

/// A file name that any file system takes and that an attachment may have: without folders, without what steers a
/// terminal or the direction of writing, of 1 to 200 characters.
pub fn plain_file_name(name: &str) -> String {
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let mut plain: String = name.chars().map(|c| if is_plain(c) { c } else { '_' }).collect();
    // What is shortened may end in a dot again, and what ended in one may have had a space before it.
    loop {
        let next = shortened(plain.trim().trim_end_matches(['.', ' ']));
        if next == plain {
            break;
        }
        plain = next;
    }
    if plain.is_empty() { "attachment".to_owned() } else { plain }
}

/// At most 200 characters: the end of the stem goes, the extension stays.
fn shortened(name: &str) -> String {
    let length = name.chars().count();
    if length <= MOST_NAME_CHARACTERS {
        return name.to_owned();
    }
    let (stem, extension) = match name.rsplit_once('.') {
        Some((stem, extension)) if extension.chars().count() <= 20 => (stem, format!(".{extension}")),
        _ => (name, String::new()),
    };
    let room = MOST_NAME_CHARACTERS - extension.chars().count();
    stem.chars().take(room).collect::<String>().trim_end().to_owned() + &extension
}

fn is_plain(c: char) -> bool {
    !(is_steering(c) || matches!(c, '/' | '\\' | ':' | '*' | '?' | '"' | '<' | '>' | '|'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_64_lower_case_digits() {
        let text = "0123456789abcdef".repeat(4);
        assert_eq!(text.parse::<ContentHash>().unwrap().to_string(), text);
        for wrong in [&text[1..], &text.to_uppercase(), &format!("{text}0"), &text.replace('0', "g"), "", "é"]
        {
            assert_eq!(wrong.parse::<ContentHash>(), Err(NoContentHash), "{wrong}");
        }
    }

    #[test]
    fn any_name_is_made_plain() {
        for (name, plain) in [
            ("north-wall.jpg", "north-wall.jpg"),
            ("../../etc/passwd", "passwd"),
            ("C:\\photos\\Ostwand 3.tif", "Ostwand 3.tif"),
            ("a:b*c?.csv", "a_b_c_.csv"),
            ("..", "attachment"),
            (" . ", "attachment"),
            ("", "attachment"),
            ("gpj.\u{202e}exe", "gpj._exe"),
            ("gpj.\u{61c}exe", "gpj._exe"),
            ("bell\u{7}.txt ", "bell_.txt"),
        ] {
            assert_eq!(plain_file_name(name), plain, "{name:?}");
        }
        let long = plain_file_name(&("ü".repeat(300) + ".jpeg"));
        assert_eq!((long.chars().count(), long.ends_with(".jpeg")), (200, true));
        for name in [long.as_str(), "x. .", "/", "a|b"] {
            let plain = plain_file_name(name);
            assert_eq!(plain_file_name(&plain), plain);
        }
    }
}
