//! Drawings from SVG files.
//!
//! # How to draw a panel in SVG
//! Any drawing program will do. Name three layers, groups or single shapes, by `id`, `class`, `data-name` or layer
//! label. The nearest named ancestor counts. Case, spaces and a number at the end are ignored:
//!
//! | name | holds |
//! | --- | --- |
//! | `sight-size` | one closed shape: the edge of the daylight opening |
//! | `cutlines` | the centre lines of the leads |
//! | `bars` | the axes of the saddle bars |
//!
//! Everything else is left out with a note. The drawing looks like the window: a cutline's `stroke-width` is the
//! full face width of its lead, the sight size's is that of the border lead (half of it shows), and a bar's is its
//! diameter, all after transforms. Lines without a width get the options' defaults.
//!
//! Sizes are real: the file's `width` or `height` carries a unit (mm, cm, in, pt, pc, px at 96 per inch), or
//! [`SvgOptions::sight_width_mm`] gives the real width. Shapes: path, line, polyline, polygon, rect, circle,
//! ellipse, and `use` of these; transforms on any level; `stroke-width` as an attribute, in `style`, or in a style
//! rule with a plain selector.
//!
//! SVG's y runs down. The drawing's y runs up, and its origin is the lower left of the sight size.

mod fault;
mod shape;
mod size;
mod style;
mod walk;

pub use fault::{DrawingError, DrawingFault, DrawingNote, Place};

use crate::drawing::{
    Bar, COORDINATE_LIMIT_MM, Cutline, DEFAULT_BAR_DIAMETER_MM, DEFAULT_BORDER_FACE_MM,
    DEFAULT_CUTLINE_FACE_MM, Drawing, Line, Outline,
};
use crate::path::{points_of, write_path};
use kurbo::{Affine, Shape};
use roxmltree::{Document, ParsingOptions};
use walk::{Found, Layer, mean_scale, walk};

/// Longest file read, bytes.
pub const SVG_BYTE_LIMIT: usize = 32 << 20;

/// Most XML nodes read.
const NODE_LIMIT: u32 = 500_000;

/// Widest lead or bar, mm.
const WIDTH_LIMIT_MM: f64 = 200.0;

/// Lines thinner than this cannot be leads, mm.
const HAIRLINE_MM: f64 = 1.0;

/// How an SVG file is read.
#[derive(Debug, Clone, PartialEq)]
pub struct SvgOptions {
    /// The real width of the sight size, mm, which then overrides the file's own size; above 0, at most 20 000.
    pub sight_width_mm: Option<f64>,
    /// The drawing shows the window from outside: mirror it.
    pub seen_from_outside: bool,
    /// Use the default widths for all lines, whatever their stroke widths.
    pub ignore_stroke_widths: bool,
    /// Full face width of a border lead without one, mm.
    pub border_face_mm: f64,
    /// Full face width of an inner lead without one, mm.
    pub cutline_face_mm: f64,
    /// Diameter of a bar without one, mm.
    pub bar_diameter_mm: f64,
}

impl Default for SvgOptions {
    fn default() -> Self {
        SvgOptions {
            sight_width_mm: None,
            seen_from_outside: false,
            ignore_stroke_widths: false,
            border_face_mm: DEFAULT_BORDER_FACE_MM,
            cutline_face_mm: DEFAULT_CUTLINE_FACE_MM,
            bar_diameter_mm: DEFAULT_BAR_DIAMETER_MM,
        }
    }
}

/// Reads a drawing from the text of an SVG file, drawn as the module documentation describes.
///
/// # Errors
/// [`DrawingError`] with every fault found: text that is not SVG, no real size, no or several sight sizes,
/// unreadable shapes and attributes within the named layers. Hostile files (deep nesting, entity bombs, huge
/// numbers) also end in this error.
///
/// # Example
/// ```
/// use panel::{SvgOptions, drawing_from_svg};
///
/// let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
///   <rect id="sight-size" width="300" height="200" stroke-width="12"/>
///   <g id="cutlines" stroke-width="6"><path d="M100 0V200"/><path d="M200 0Q150 100 200 200"/></g>
/// </svg>"#;
/// let (drawing, notes) = drawing_from_svg(svg, &SvgOptions::default()).unwrap();
/// assert_eq!(drawing.cutlines[0].path, "M 100 200 L 100 0");
/// assert_eq!(drawing.outline.face_mm, 12.0);
/// assert!(notes.is_empty());
/// ```
pub fn drawing_from_svg(
    text: &str,
    options: &SvgOptions,
) -> Result<(Drawing, Vec<DrawingNote>), DrawingError> {
    read(text, options).map_err(|faults| DrawingError { faults })
}

fn read(text: &str, options: &SvgOptions) -> Result<(Drawing, Vec<DrawingNote>), Vec<DrawingFault>> {
    let mut faults = option_faults(options);
    if text.len() > SVG_BYTE_LIMIT {
        faults.push(DrawingFault::TooMuch { what: "bytes", limit: SVG_BYTE_LIMIT });
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    // Some programs write a document type; the XML reader expands its entities within limits.
    let xml = ParsingOptions { allow_dtd: true, nodes_limit: NODE_LIMIT, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, xml).map_err(|error| match error {
        roxmltree::Error::NodesLimitReached => {
            vec![DrawingFault::TooMuch { what: "elements", limit: NODE_LIMIT as usize }]
        }
        other => vec![DrawingFault::NotXml { reason: other.to_string() }],
    })?;
    let svg = document.root_element();
    if svg.tag_name().name() != "svg" {
        return Err(vec![DrawingFault::NotSvg { found: svg.tag_name().name().chars().take(60).collect() }]);
    }

    let mut notes = Vec::new();
    let found = walk(&document, &mut faults, &mut notes);
    let mut outlines = found.iter().filter(|shape| shape.layer == Layer::SightSize);
    let outline = outlines.next();
    if let Some(second) = outlines.next() {
        faults.push(DrawingFault::SecondSightSize { place: second.place });
    }
    let Some(outline) = outline else {
        faults.push(DrawingFault::NoSightSize);
        return Err(faults);
    };
    let Some(real) = panel_from_user(svg, outline, options, &mut faults) else { return Err(faults) };
    if !faults.is_empty() {
        return Err(faults);
    }
    let drawing = collect(&found, real, options, &mut faults, &mut notes);
    if faults.is_empty() { Ok((drawing, notes)) } else { Err(faults) }
}

fn option_faults(options: &SvgOptions) -> Vec<DrawingFault> {
    let widths = [
        ("border_face_mm", options.border_face_mm),
        ("cutline_face_mm", options.cutline_face_mm),
        ("bar_diameter_mm", options.bar_diameter_mm),
    ];
    let mut faults: Vec<DrawingFault> = widths
        .into_iter()
        .filter(|(_, width)| !(*width > 0.0 && *width <= WIDTH_LIMIT_MM))
        .map(|(option, found)| DrawingFault::BadOption { option, expected: "above 0, at most 200", found })
        .collect();
    if let Some(found) = options.sight_width_mm
        && !(found > 0.0 && found <= COORDINATE_LIMIT_MM)
    {
        let expected = "above 0, at most 20 000";
        faults.push(DrawingFault::BadOption { option: "sight_width_mm", expected, found });
    }
    faults
}

/// The map from the file's user units to the panel plane.
fn panel_from_user(
    svg: roxmltree::Node<'_, '_>,
    outline: &Found,
    options: &SvgOptions,
    faults: &mut Vec<DrawingFault>,
) -> Option<Affine> {
    let own = size::mm_from_user(svg);
    let scale = match (own, options.sight_width_mm) {
        (own, Some(width)) => {
            let drawn = own.unwrap_or(Affine::IDENTITY) * outline.path.clone();
            own.unwrap_or(Affine::IDENTITY).then_scale(width / drawn.bounding_box().width())
        }
        (Some(own), None) => own,
        (None, None) => {
            let found = svg.attribute("width").unwrap_or("").chars().take(60).collect();
            faults.push(DrawingFault::NoRealSize { found });
            return None;
        }
    };
    let mirror = if options.seen_from_outside { -1.0 } else { 1.0 };
    let upright = scale.then_scale_non_uniform(mirror, -1.0);
    let bounds = (upright * outline.path.clone()).bounding_box();
    let (width_mm, height_mm) = (bounds.width(), bounds.height());
    if !(width_mm > 0.0 && height_mm > 0.0 && width_mm.is_finite() && height_mm.is_finite()) {
        faults.push(DrawingFault::EmptySightSize { place: outline.place, width_mm, height_mm });
        return None;
    }
    Some(upright.then_translate((-bounds.x0, -bounds.y0).into()))
}

/// Maps the shapes found into the panel plane.
fn collect(
    found: &[Found],
    real: Affine,
    options: &SvgOptions,
    faults: &mut Vec<DrawingFault>,
    notes: &mut Vec<DrawingNote>,
) -> Drawing {
    let outline = Outline { path: String::new(), face_mm: options.border_face_mm };
    let mut drawing = Drawing { outline, cutlines: Vec::new(), bars: Vec::new() };
    let mut without: Vec<(Line, f64)> = Vec::new();
    let mut hairlines: Vec<(Line, f64)> = Vec::new();
    for shape in found {
        let path = real * shape.path.clone();
        let out = path.elements().iter().flat_map(points_of).flat_map(|p| [p.x, p.y]);
        let within = -COORDINATE_LIMIT_MM..=COORDINATE_LIMIT_MM;
        // NaN lies in no range.
        if let Some(found) = out.into_iter().find(|v| !within.contains(v)) {
            faults.push(DrawingFault::OutOfRange {
                place: shape.place,
                element: shape.element.clone(),
                found,
            });
            continue;
        }
        let (line, default) = match shape.layer {
            Layer::SightSize => (Line::Outline, options.border_face_mm),
            Layer::Cutlines => (Line::Cutline(drawing.cutlines.len()), options.cutline_face_mm),
            Layer::Bars => (Line::Bar(drawing.bars.len()), options.bar_diameter_mm),
        };
        let drawn = shape.width.map(|width| width * mean_scale(real));
        let width = match drawn.filter(|_| !options.ignore_stroke_widths) {
            None => {
                if !options.ignore_stroke_widths {
                    without.push((line, default));
                }
                default
            }
            Some(width) if width > 0.0 && width <= WIDTH_LIMIT_MM => {
                if width < HAIRLINE_MM {
                    hairlines.push((line, width));
                }
                // To a thousandth of a millimetre, so that 6 does not come back as 5.999999999.
                (width * 1e3).round().max(1.0) / 1e3
            }
            Some(found) => {
                let element = shape.element.clone();
                faults.push(DrawingFault::BadWidth { place: shape.place, element, found });
                default
            }
        };
        let path = write_path(&path);
        match line {
            Line::Outline => drawing.outline = Outline { path, face_mm: width },
            Line::Cutline(_) => drawing.cutlines.push(Cutline { path, face_mm: width }),
            Line::Bar(_) => drawing.bars.push(Bar { path, diameter_mm: width }),
        }
    }
    for kind in [Layer::SightSize, Layer::Cutlines, Layer::Bars] {
        let first_of = |list: &[(Line, f64)]| {
            let of_kind: Vec<_> = list.iter().filter(|(line, _)| Layer::of(*line) == kind).collect();
            of_kind.first().map(|&&(first, width_mm)| (of_kind.len(), first, width_mm))
        };
        if let Some((count, first, width_mm)) = first_of(&without) {
            notes.push(DrawingNote::DefaultWidth { count, first, width_mm });
        }
        if let Some((count, first, width_mm)) = first_of(&hairlines) {
            notes.push(DrawingNote::Hairline { count, first, width_mm });
        }
    }
    drawing
}
