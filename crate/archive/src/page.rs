//! What the page calls, from a worker of its own.

use scene::{AttachmentKind, ContentHash, Edit, Faults, MOST_ATTACHMENT_BYTES};
use serde_json::json;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::fault::fault;
use crate::{Contents, MOST_FILE_BYTES, describe, pack, unpack};

/// A scene's text with the contents of its attachments: a file taken apart, or one to be packed.
#[wasm_bindgen]
pub struct Package {
    text: String,
    contents: Contents,
}

#[wasm_bindgen]
impl Package {
    /// A package without contents.
    #[wasm_bindgen(constructor)]
    pub fn new(text: String) -> Package {
        Self { text, contents: Contents::new() }
    }

    /// Takes a scene file apart. Throws every fault of it.
    pub fn open(bytes: &[u8]) -> Result<Package, JsError> {
        let unpacked = unpack(bytes).map_err(|faults| thrown(&faults))?;
        Ok(Self { text: unpacked.text, contents: unpacked.contents })
    }

    /// The scene.
    pub fn text(&self) -> String {
        self.text.clone()
    }

    /// The hash of every content.
    pub fn hashes(&self) -> Vec<String> {
        self.contents.keys().map(ContentHash::to_string).collect()
    }

    /// Removes the content of this hash from the package and returns it; undefined if the package has none.
    pub fn take(&mut self, hash: &str) -> Option<Vec<u8>> {
        self.contents.remove(&hash.parse().ok()?)
    }

    /// Puts a content in. Throws where the hash is none.
    pub fn put(&mut self, hash: &str, content: Vec<u8>) -> Result<(), JsError> {
        let hash = hash.parse().map_err(|_| thrown(&fault("", "a content hash", format!("“{hash}”"))))?;
        self.contents.insert(hash, content);
        Ok(())
    }

    /// The scene file. Throws where a listed attachment has no content.
    pub fn pack(&self) -> Result<Vec<u8>, JsError> {
        pack(&self.text, &self.contents).map_err(|faults| thrown(&faults))
    }
}

/// Longer scene files are refused, bytes: what the page asks before it reads one.
#[wasm_bindgen]
pub fn most_file_bytes() -> f64 {
    MOST_FILE_BYTES as f64
}

/// Longer attachments are refused, bytes.
#[wasm_bindgen]
pub fn most_attachment_bytes() -> f64 {
    MOST_ATTACHMENT_BYTES as f64
}

/// The edit (JSON) that attaches a file of this name and kind (`measured_spectrum`, `thickness_map` or `photograph`).
/// Throws where it is empty or too large, or the note is too long.
#[wasm_bindgen]
pub fn attachment(content: &[u8], name: &str, kind: &str, note: &str) -> Result<String, JsError> {
    let kind: AttachmentKind = serde_json::from_value(json!(kind))
        .map_err(|_| thrown(&fault("kind", "a kind of attachment", format!("“{kind}”"))))?;
    let (hash, attachment) = describe(content, name, kind, note).map_err(|faults| thrown(&faults))?;
    // Plain data with text keys always serialises.
    Ok(serde_json::to_string(&Edit::SetAttachment { hash, attachment: Some(attachment) }).unwrap_or_default())
}

/// The same form that the page's first module throws faults in.
fn thrown(faults: &Faults) -> JsError {
    JsError::new(&json!({ "faults": faults.0 }).to_string())
}
