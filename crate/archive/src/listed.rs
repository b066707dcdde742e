//! The attachments that a scene's text lists, without reading the rest of it.

use scene::{Attachments, FORMAT_VERSION};
use serde::Deserialize;
use serde_json::Value;

/// What of a scene its file has to know.
#[derive(Deserialize)]
struct Head {
    clerestory: u32,
    #[serde(default)]
    attachments: Attachments,
}

/// The attachments that a scene's text lists; `None` where the text is of a newer version or not what a scene has,
/// which [`scene::read`] says better.
pub(crate) fn listed(text: &str) -> Option<Attachments> {
    // By way of a value, as [`scene::read`] does: of fields that come twice, both take the last.
    let document: Value = serde_json::from_str(text.trim_start_matches('\u{feff}')).ok()?;
    let head = Head::deserialize(document).ok()?;
    (head.clerestory <= FORMAT_VERSION).then_some(head.attachments)
}
