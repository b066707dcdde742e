//! What the schema cannot say of attachments.

use crate::document::{MOST_ATTACHED_BYTES, MOST_ATTACHMENTS, Scene, plain_file_name, quotable};
use crate::edit::Edit;
use crate::fault::Fault;
use crate::file_size::{size_found, size_limit};

/// Faults of a scene's attachments. Their contents lie outside the scene and are not checked here.
pub(crate) fn check_attachments(scene: &Scene, faults: &mut Vec<Fault>) {
    let all = &scene.attachments;
    if all.len() > MOST_ATTACHMENTS {
        let wanted = format!("at most {MOST_ATTACHMENTS} attachments");
        faults.push(Fault::new("attachments", wanted, all.len().to_string()));
    }
    let total: u64 = all.values().fold(0, |sum, one| sum.saturating_add(one.bytes));
    if total > MOST_ATTACHED_BYTES {
        let wanted = format!("attachments of at most {} together", size_limit(MOST_ATTACHED_BYTES));
        faults.push(Fault::new("attachments", wanted, size_found(total)));
    }
    for (hash, attachment) in all {
        let path = |field: &str| format!("attachments.{hash}.{field}");
        if plain_file_name(&attachment.name) != attachment.name {
            let wanted = format!(
                "a plain file name, without folders or any of : * ? \" < > |, such as “{}”",
                plain_file_name(&attachment.name)
            );
            faults.push(Fault::new(path("name"), wanted, format!("“{}”", quotable(&attachment.name))));
        }
        if !is_media_type(&attachment.media_type) {
            let wanted = "a media type such as image/jpeg";
            faults.push(Fault::new(
                path("media_type"),
                wanted,
                format!("“{}”", quotable(&attachment.media_type)),
            ));
        }
    }
}

/// Type and subtype of the signs that they may have. Source: RFC 6838, section 4.2.
fn is_media_type(text: &str) -> bool {
    let is_name = |name: &str| {
        name.starts_with(|c: char| c.is_ascii_alphanumeric())
            && name.chars().all(|c| c.is_ascii_alphanumeric() || "!#$&-^_.+".contains(c))
    };
    text.split_once('/').is_some_and(|(kind, subtype)| is_name(kind) && is_name(subtype))
}

impl Edit {
    /// Whether it sets an attachment.
    pub fn sets_attachments(&self) -> bool {
        match self {
            Self::SetAttachment { .. } => true,
            Self::Together { edits } => edits.iter().any(Self::sets_attachments),
            Self::SetVariants { variants } => {
                variants.iter().flat_map(|variant| &variant.edits).any(Self::sets_attachments)
            }
            _ => false,
        }
    }

    /// Whether it sets attachments and nothing else.
    pub(crate) fn only_sets_attachments(&self) -> bool {
        match self {
            Self::SetAttachment { .. } => true,
            Self::Together { edits } => !edits.is_empty() && edits.iter().all(Self::only_sets_attachments),
            _ => false,
        }
    }
}
