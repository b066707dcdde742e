//! An SVG file as shapes: where they lie, how they are painted, and the names of what they are in.

mod file;
mod names;
mod shape;
mod size;
mod style;
mod walk;

pub(crate) use file::{Shape, SvgFile};
pub(crate) use names::Names;
pub use size::Unit;
pub(crate) use style::Ink;

use roxmltree::{Document, ParsingOptions};

use crate::error::ImportError;
use crate::limits::{ATTRIBUTE_LIMIT, BYTE_LIMIT, NAMESPACE_LIMIT, NODE_LIMIT};

/// Reads an SVG file.
///
/// # Errors
/// Text that is not SVG, or more of anything than one file may hold.
pub(crate) fn read(text: &str) -> Result<SvgFile, ImportError> {
    if text.len() > BYTE_LIMIT {
        return Err(ImportError::TooMuch { what: "bytes", limit: BYTE_LIMIT });
    }
    attributes_within_limits(text)?;
    // Some programs write a document type; the XML reader expands its entities within limits.
    let xml = ParsingOptions { allow_dtd: true, nodes_limit: NODE_LIMIT, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, xml).map_err(|error| match error {
        roxmltree::Error::NodesLimitReached => {
            ImportError::TooMuch { what: "elements", limit: NODE_LIMIT as usize }
        }
        other => ImportError::NotXml { reason: other.to_string() },
    })?;
    let svg = document.root_element();
    if svg.tag_name().name() != "svg" {
        return Err(ImportError::NotSvg { found: svg.tag_name().name().chars().take(60).collect() });
    }
    let size = size::page_size(svg);
    walk::walk(&document, size)
}

/// Refuses elements with more attributes than any program writes: the XML reader compares each with each.
fn attributes_within_limits(text: &str) -> Result<(), ImportError> {
    let mut namespaces = 0;
    for tag in text.split('<').filter(|tag| tag.starts_with(|c: char| c.is_ascii_alphabetic())) {
        let tag = tag.split_once('>').map_or(tag, |(tag, _)| tag);
        if tag.matches('=').take(ATTRIBUTE_LIMIT + 1).count() > ATTRIBUTE_LIMIT {
            return Err(ImportError::TooMuch { what: "attributes of one element", limit: ATTRIBUTE_LIMIT });
        }
        namespaces += tag.matches("xmlns:").count();
        if namespaces > NAMESPACE_LIMIT {
            return Err(ImportError::TooMuch { what: "namespaces", limit: NAMESPACE_LIMIT });
        }
    }
    Ok(())
}
