//! What an SVG file holds.

use kurbo::{BezPath, Point};

use super::names::Names;
use super::size::PageSize;
use super::style::Ink;
use crate::error::Place;

/// A shape of the file.
#[derive(Debug, Clone)]
pub(crate) struct Shape {
    /// In user units of the outermost svg element, y down.
    pub(crate) path: BezPath,
    pub(crate) stroke: Option<Ink>,
    pub(crate) fill: Option<Ink>,
    /// In the units of `path`; `None` if the file gives none.
    pub(crate) stroke_width: Option<f64>,
    /// Drawn with dashes that repeat.
    pub(crate) is_dashed: bool,
    /// Neither fill nor stroke was set anywhere.
    pub(crate) default_paint: bool,
    pub(crate) hidden: bool,
    /// Reached through `use` from the file's definitions.
    pub(crate) from_definitions: bool,
    pub(crate) names: Names,
}

/// Something that draws no line: text, a picture, a foreign element.
#[derive(Debug, Clone)]
pub(crate) struct NoLine {
    pub(crate) names: Names,
}

/// Something that should draw a line and cannot be read.
#[derive(Debug, Clone)]
pub(crate) struct Unread {
    /// In the units of [`Shape::path`].
    pub(crate) at: Point,
    pub(crate) place: Place,
    pub(crate) names: Names,
    /// What is wrong with it, with the attribute.
    pub(crate) words: String,
}

/// An SVG file.
#[derive(Debug)]
pub(crate) struct SvgFile {
    pub(crate) size: PageSize,
    pub(crate) shapes: Vec<Shape>,
    pub(crate) no_lines: Vec<NoLine>,
    pub(crate) unread: Vec<Unread>,
}
