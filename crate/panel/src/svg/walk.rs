//! The walk through an SVG document: which shapes lie in which layer, where, and how wide.
//!
//! It keeps its own stack, so that deep nesting cannot overflow the call stack.

use super::fault::{DrawingFault, DrawingNote, Place};
use super::shape::{bad_attribute, shape_path};
use super::size::user_units;
use super::style::Sheet;
use crate::drawing::Line;
use kurbo::{Affine, BezPath};
use roxmltree::{Document, Node};
use std::collections::{BTreeMap, HashMap};
use std::str::FromStr;
use svgtypes::Transform;

/// Deepest nesting of elements.
const DEPTH_LIMIT: usize = 256;

/// Maximum number of elements visited; those reached through `use` count each time.
const VISIT_LIMIT: usize = 500_000;

/// Scales that differ by less than this ratio count as even.
const EVEN_RATIO: f64 = 1.01;

/// Most faults reported.
const FAULT_LIMIT: usize = 100;

/// A named layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Layer {
    SightSize,
    Cutlines,
    Bars,
}

impl Layer {
    pub(crate) fn of(line: Line) -> Self {
        match line {
            Line::Outline => Layer::SightSize,
            Line::Cutline(_) => Layer::Cutlines,
            Line::Bar(_) => Layer::Bars,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Layer::SightSize => "sight-size",
            Layer::Cutlines => "cutlines",
            Layer::Bars => "bars",
        }
    }

    /// The layer that an element itself names, if any.
    fn named_by(node: Node<'_, '_>) -> Option<Self> {
        const LABEL: (&str, &str) = ("http://www.inkscape.org/namespaces/inkscape", "label");
        let names = [node.attribute("id"), node.attribute("data-name"), node.attribute(LABEL)];
        let classes = node.attribute("class").unwrap_or("").split_ascii_whitespace();
        names.into_iter().flatten().chain(classes).find_map(Self::from_name)
    }

    fn from_name(name: &str) -> Option<Self> {
        // Some programs write other characters of an id as _x2D_ and so on.
        let mut plain = name.trim().to_lowercase();
        for code in ["_x2d_", "_x20_", "_x5f_"] {
            plain = plain.replace(code, "-");
        }
        let plain = plain.replace([' ', '_'], "-");
        let base = plain.trim_end_matches(|c: char| c.is_ascii_digit() || c == '-');
        match base {
            "sight-size" => Some(Layer::SightSize),
            "cutlines" | "cutline" => Some(Layer::Cutlines),
            "bars" | "bar" => Some(Layer::Bars),
            _ => None,
        }
    }
}

/// A shape in a named layer.
#[derive(Debug, Clone)]
pub(crate) struct Found {
    pub(crate) layer: Layer,
    pub(crate) element: String,
    pub(crate) place: Place,
    /// In user units of the outermost svg element.
    pub(crate) path: BezPath,
    /// Stroke width in the same units.
    pub(crate) width: Option<f64>,
}

/// What an element inherits.
#[derive(Clone)]
struct Inherited {
    map: Affine,
    width: Option<f64>,
    layer: Option<Layer>,
    visible: bool,
    depth: usize,
}

/// Finds the shapes of all named layers in the document's order.
pub(crate) fn walk(
    document: &Document<'_>,
    faults: &mut Vec<DrawingFault>,
    notes: &mut Vec<DrawingNote>,
) -> Vec<Found> {
    let mut sheet = Sheet::default();
    let mut by_id = HashMap::new();
    for node in document.descendants().filter(Node::is_element) {
        if let Some(id) = node.attribute("id") {
            by_id.entry(id).or_insert(node);
        }
        if node.tag_name().name() == "style" {
            node.children().filter_map(|text| text.text()).for_each(|css| sheet.add(css));
        }
    }
    let mut walker =
        Walker { document, sheet, by_id, faults, ignored: BTreeMap::new(), uneven: None, hidden: None };
    let found = walker.run();
    let Walker { sheet, ignored, uneven, hidden, .. } = walker;
    if let Some((count, place)) = hidden {
        notes.push(DrawingNote::Hidden { count, place });
    }
    for (element, (count, place)) in ignored {
        notes.push(DrawingNote::Ignored { element, count, place });
    }
    if let Some((ratio, place)) = uneven {
        notes.push(DrawingNote::StretchedUnevenly { place, ratio });
    }
    if sheet.skipped > 0 {
        notes.push(DrawingNote::StyleRules { count: sheet.skipped });
    }
    found
}

struct Walker<'a, 'input> {
    document: &'a Document<'input>,
    sheet: Sheet<'a>,
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    faults: &'a mut Vec<DrawingFault>,
    ignored: BTreeMap<String, (usize, Place)>,
    uneven: Option<(f64, Place)>,
    hidden: Option<(usize, Place)>,
}

impl<'a, 'input> Walker<'a, 'input> {
    fn place(&self, node: Node<'_, '_>) -> Place {
        let position = self.document.text_pos_at(node.range().start);
        Place { line: position.row, column: position.col }
    }

    fn run(&mut self) -> Vec<Found> {
        let top = Inherited { map: Affine::IDENTITY, width: None, layer: None, visible: true, depth: 0 };
        let mut stack = vec![(self.document.root_element(), top)];
        let mut found = Vec::new();
        let mut visits = 0;
        while let Some((node, outer)) = stack.pop() {
            visits += 1;
            if visits > VISIT_LIMIT {
                self.faults.push(DrawingFault::TooMuch { what: "elements", limit: VISIT_LIMIT });
                break;
            }
            if outer.depth > DEPTH_LIMIT {
                self.faults.push(DrawingFault::TooMuch { what: "levels of nesting", limit: DEPTH_LIMIT });
                break;
            }
            if self.faults.len() > FAULT_LIMIT {
                break;
            }
            self.visit(node, outer, &mut stack, &mut found);
        }
        found
    }

    fn visit(
        &mut self,
        node: Node<'a, 'input>,
        outer: Inherited,
        stack: &mut Vec<(Node<'a, 'input>, Inherited)>,
        found: &mut Vec<Found>,
    ) {
        const SVG: &str = "http://www.w3.org/2000/svg";
        if node.tag_name().namespace().is_some_and(|namespace| namespace != SVG) {
            return;
        }
        let name = node.tag_name().name();
        let layer = Layer::named_by(node).or(outer.layer);
        let is_top = node.parent_element().is_none();
        match name {
            "g" | "a" | "switch" | "svg" if name != "svg" || is_top => {
                if let Some(inner) = self.inherit(node, outer, layer) {
                    let children: Vec<_> = node.children().filter(Node::is_element).collect();
                    stack.extend(children.into_iter().rev().map(|child| (child, inner.clone())));
                }
            }
            "path" | "line" | "polyline" | "polygon" | "rect" | "circle" | "ellipse" => match layer {
                Some(layer) => found.extend(self.shape(node, outer, layer)),
                None => self.ignore(node),
            },
            "use" => self.follow_use(node, outer, layer, stack),
            // Definitions draw nothing by themselves.
            "defs" | "symbol" | "clipPath" | "mask" | "marker" | "pattern" | "style" | "script"
            | "metadata" | "title" | "desc" | "linearGradient" | "radialGradient" | "filter" => {}
            _ => match layer {
                Some(layer) => {
                    let remedy = match name {
                        "text" => "turn it into paths or move it to another layer",
                        "svg" => "ungroup the inner drawing",
                        _ => "draw it as paths or move it to another layer",
                    };
                    let (place, element) = (self.place(node), short(name));
                    let layer = layer.name();
                    self.faults.push(DrawingFault::NotALine { place, element, layer, remedy });
                }
                None => self.ignore(node),
            },
        }
    }

    fn ignore(&mut self, node: Node<'_, '_>) {
        let place = self.place(node);
        self.ignored.entry(short(node.tag_name().name())).or_insert((0, place)).0 += 1;
    }

    /// What an element hands down; `None` if it is hidden or its transform is faulty.
    fn inherit(&mut self, node: Node<'_, '_>, outer: Inherited, layer: Option<Layer>) -> Option<Inherited> {
        let style = self.sheet.style_of(node);
        let visible = match style.visibility.as_deref() {
            Some("hidden" | "collapse") => false,
            Some("visible") => true,
            _ => outer.visible,
        };
        if style.display.as_deref() == Some("none") {
            let place = self.place(node);
            self.hidden.get_or_insert((0, place)).0 += 1;
            return None;
        }
        let mut map = outer.map;
        if let Some(text) = node.attribute("transform") {
            match Transform::from_str(text) {
                Ok(t) if [t.a, t.b, t.c, t.d, t.e, t.f].iter().all(|v| v.is_finite()) => {
                    map *= Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]);
                }
                _ => {
                    let expected = "SVG transforms such as translate(5 8) rotate(30)";
                    let fault = bad_attribute(node, self.place(node), "transform", expected);
                    self.faults.push(fault);
                    return None;
                }
            }
        }
        let width = match style.stroke_width.as_deref() {
            None | Some("inherit") => outer.width,
            Some(text) => match user_units(text) {
                Some(width) => Some(width),
                None => {
                    // A percentage or an unknown value: only a fault where the width is needed.
                    if layer.is_some() {
                        self.faults.push(DrawingFault::BadAttribute {
                            place: self.place(node),
                            element: short(node.tag_name().name()),
                            attribute: "stroke-width".to_owned(),
                            expected: "a length, plain or in px, mm, cm, in, pt, pc",
                            found: short(text),
                        });
                    }
                    outer.width
                }
            },
        };
        Some(Inherited { map, width, layer, visible, depth: outer.depth + 1 })
    }

    fn shape(&mut self, node: Node<'_, '_>, outer: Inherited, layer: Layer) -> Option<Found> {
        let own = self.inherit(node, outer, Some(layer))?;
        let place = self.place(node);
        if !own.visible {
            self.hidden.get_or_insert((0, place)).0 += 1;
            return None;
        }
        let path = match shape_path(node, place) {
            Ok(path) => own.map * path,
            Err(fault) => {
                self.faults.push(fault);
                return None;
            }
        };
        if own.width.is_some() {
            let ratio = stretch(own.map);
            if ratio > EVEN_RATIO && self.uneven.is_none_or(|known| ratio > known.0) {
                self.uneven = Some((ratio, place));
            }
        }
        let width = own.width.map(|width| width * mean_scale(own.map));
        Some(Found { layer, element: short(node.tag_name().name()), place, path, width })
    }

    fn follow_use(
        &mut self,
        node: Node<'a, 'input>,
        outer: Inherited,
        layer: Option<Layer>,
        stack: &mut Vec<(Node<'a, 'input>, Inherited)>,
    ) {
        const XLINK: &str = "http://www.w3.org/1999/xlink";
        let reference = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
        let target = reference.and_then(|r| r.strip_prefix('#')).and_then(|id| self.by_id.get(id)).copied();
        let Some(target) = target.filter(|t| {
            matches!(
                t.tag_name().name(),
                "g" | "path" | "line" | "polyline" | "polygon" | "rect" | "circle" | "ellipse" | "use"
            )
        }) else {
            if layer.is_some() {
                let expected = "the id of a shape or group in this file, such as #leaf";
                let fault = bad_attribute(node, self.place(node), "href", expected);
                self.faults.push(fault);
            } else {
                self.ignore(node);
            }
            return;
        };
        if let Some(mut inner) = self.inherit(node, outer, layer) {
            let at = |name: &str| node.attribute(name).and_then(user_units).unwrap_or(0.0);
            inner.map *= Affine::translate((at("x"), at("y")));
            stack.push((target, inner));
        }
    }
}

/// Largest over smallest scale of a map: the ratio of its singular values, from their product (the
/// determinant) and the sum of their squares.
fn stretch(map: Affine) -> f64 {
    let [a, b, c, d, ..] = map.as_coeffs();
    let half = (a * a + b * b + c * c + d * d) / (2.0 * map.determinant().abs());
    half + (half * half - 1.0).max(0.0).sqrt()
}

fn short(text: &str) -> String {
    text.chars().take(60).collect()
}

/// The factor by which a map scales lengths on average: the square root of the factor for areas.
pub(super) fn mean_scale(map: Affine) -> f64 {
    map.determinant().abs().sqrt()
}
