//! Scene files as bytes: JSON as it stands, or a ZIP of scene and attachments once there are any.
//!
//! - [`read`] takes a file of either form, whole or with every reason why not; [`write`] gives it back. Which form a
//!   file has is told by its first bytes, never by its name.
//! - [`unpack`] and [`pack`] do the same with the scene as text, for whoever reads the text elsewhere (the page).
//! - [`hash_of`] addresses a content; [`describe`] says of a file what a scene keeps of it.
//!
//! A ZIP holds `scene.json` and, by the hash of its content, `attachments/<hash>` for each attachment that the scene
//! lists: no more, no less. The same scene with the same attachments always makes the same bytes.
//!
//! Out of scope: paths, files and storage (the command line and the page), and what an attachment means.

mod describe;
mod entries;
mod fault;
mod file;
mod listed;
mod pack;
#[cfg(target_arch = "wasm32")]
mod page;
mod unpack;

use std::collections::BTreeMap;

use scene::ContentHash;

pub use describe::{describe, hash_of};
pub use file::{SceneFile, read, write};
pub use pack::pack;
#[cfg(target_arch = "wasm32")]
pub use page::{attachment, most_attachment_bytes, most_file_bytes};
pub use unpack::{MOST_FILE_BYTES, Unpacked, is_zip, unpack};

/// Contents of attachments by their hash.
pub type Contents = BTreeMap<ContentHash, Vec<u8>>;
