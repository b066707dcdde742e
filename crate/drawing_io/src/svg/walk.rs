//! The walk through an SVG document: which shapes are drawn, where, and how.
//!
//! It keeps its own stack, so that deep nesting cannot overflow the call stack.

use std::collections::HashMap;
use std::str::FromStr;

use kurbo::{Affine, Point};
use roxmltree::{Document, Node};
use svgtypes::Transform;

use super::file::{NoLine, Shape, SvgFile, Unread};
use super::names::Names;
use super::shape::{Painted, painted, shape_path};
use super::size::{PageSize, user_units, view_box_map};
use super::style::{Sheet, Style};
use crate::error::{ImportError, Place};
use crate::limits::{DEPTH_LIMIT, SEGMENT_LIMIT, UNREAD_LIMIT, VISIT_LIMIT};

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// What an element inherits.
#[derive(Clone)]
struct Inherited {
    map: Affine,
    style: Style,
    names: Names,
    hidden: bool,
    from_definitions: bool,
    /// The size of the innermost svg element or symbol, user units; relative sizes refer to it.
    viewport: Option<(f64, f64)>,
    depth: usize,
}

/// Finds everything that is drawn, in the document's order.
pub(crate) fn walk(document: &Document<'_>, size: PageSize) -> Result<SvgFile, ImportError> {
    let mut by_id = HashMap::new();
    let mut styles = Vec::new();
    for node in document.descendants().filter(Node::is_element) {
        if let Some(id) = node.attribute("id") {
            by_id.entry(id).or_insert(node);
        }
        if node.tag_name().name() == "style" {
            styles.extend(node.children().filter_map(|text| text.text()));
        }
    }
    let sheet = Sheet::new(styles.into_iter())
        .map_err(|limit| ImportError::TooMuch { what: "style rules", limit })?;
    let file = SvgFile { size, shapes: Vec::new(), no_lines: Vec::new(), unread: Vec::new() };
    let mut walker = Walker { document, sheet, by_id, file, segments: 0 };
    walker.run()?;
    Ok(walker.file)
}

struct Walker<'a, 'input> {
    document: &'a Document<'input>,
    sheet: Sheet<'a>,
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    file: SvgFile,
    segments: usize,
}

type Stack<'a, 'input> = Vec<(Node<'a, 'input>, Inherited)>;

impl<'a, 'input> Walker<'a, 'input> {
    fn run(&mut self) -> Result<(), ImportError> {
        let top = Inherited {
            map: Affine::IDENTITY,
            style: Style::default(),
            names: Names::default(),
            hidden: false,
            from_definitions: false,
            viewport: self.file.size.page.map(|page| (page.width(), page.height())),
            depth: 0,
        };
        let mut stack = vec![(self.document.root_element(), top)];
        let mut visits = 0;
        while let Some((node, outer)) = stack.pop() {
            visits += 1;
            if visits > VISIT_LIMIT {
                return Err(ImportError::TooMuch { what: "elements", limit: VISIT_LIMIT });
            }
            if outer.depth > DEPTH_LIMIT {
                return Err(ImportError::TooMuch { what: "levels of nesting", limit: DEPTH_LIMIT });
            }
            self.visit(node, &outer, &mut stack)?;
        }
        Ok(())
    }

    fn visit(
        &mut self,
        node: Node<'a, 'input>,
        outer: &Inherited,
        stack: &mut Stack<'a, 'input>,
    ) -> Result<(), ImportError> {
        if node.tag_name().namespace().is_some_and(|namespace| namespace != SVG) {
            return Ok(());
        }
        let name = node.tag_name().name();
        match name {
            "g" | "a" | "switch" => {
                if let Some(inner) = self.inherit(node, outer) {
                    push_children(node, &inner, stack);
                }
            }
            "svg" => {
                if let Some(mut inner) = self.inherit(node, outer) {
                    if node.parent_element().is_some() {
                        self.enter_viewport(node, node, &mut inner);
                    }
                    push_children(node, &inner, stack);
                }
            }
            "path" | "line" | "polyline" | "polygon" | "rect" | "circle" | "ellipse" => {
                self.shape(node, outer)?;
            }
            "use" => self.follow_use(node, outer, stack),
            // Definitions draw nothing by themselves.
            "defs" | "symbol" | "clipPath" | "mask" | "marker" | "pattern" | "style" | "script"
            | "metadata" | "title" | "desc" | "linearGradient" | "radialGradient" | "filter" | "font"
            | "view" => {}
            _ => {
                let names = outer.names.with(node);
                self.file.no_lines.push(NoLine { names });
            }
        }
        Ok(())
    }

    /// What an element hands down; `None` if its transform cannot be read.
    fn inherit(&mut self, node: Node<'a, 'input>, outer: &Inherited) -> Option<Inherited> {
        let mut inner = outer.clone();
        inner.depth += 1;
        inner.names = outer.names.with(node);
        match self.sheet.style_of(node, &outer.style) {
            Some(style) => inner.style = style,
            None => inner.hidden = true,
        }
        if let Some(text) = node.attribute("transform") {
            match Transform::from_str(text) {
                Ok(t) if [t.a, t.b, t.c, t.d, t.e, t.f].iter().all(|v| v.is_finite()) => {
                    inner.map *= Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]);
                }
                _ => {
                    let expected = "SVG transforms such as translate(5 8) rotate(30)";
                    self.not_read(
                        node,
                        outer,
                        format!("transform: expected {expected}, found {:?}", short(text)),
                    );
                    return None;
                }
            }
        }
        Some(inner)
    }

    /// Shifts and scales to the viewport that `placed` (an svg or use element) gives to the viewBox of `viewed`.
    fn enter_viewport(&self, placed: Node<'_, '_>, viewed: Node<'_, '_>, inner: &mut Inherited) {
        let (outer_w, outer_h) = inner.viewport.unwrap_or_default();
        let length = |node: Node<'_, '_>, name: &str, whole: f64| -> Option<f64> {
            let text = node.attribute(name)?.trim();
            match text.strip_suffix('%') {
                Some(share) => share.trim().parse::<f64>().ok().map(|share| share / 100.0 * whole),
                None => user_units(text),
            }
        };
        let at = |name: &str, whole: f64| length(viewed, name, whole).unwrap_or(0.0);
        inner.map *= Affine::translate((at("x", outer_w), at("y", outer_h)));
        let size = |name: &str, whole: f64| {
            length(placed, name, whole).or_else(|| length(viewed, name, whole)).unwrap_or(whole)
        };
        let (width, height) = (size("width", outer_w), size("height", outer_h));
        if let Some(map) = view_box_map(viewed, width, height) {
            inner.map *= map;
        }
        inner.viewport = Some((width, height));
    }

    fn shape(&mut self, node: Node<'a, 'input>, outer: &Inherited) -> Result<(), ImportError> {
        let Some(own) = self.inherit(node, outer) else { return Ok(()) };
        let path = match shape_path(node) {
            Ok(path) => path,
            Err(words) => {
                self.segments += node.attribute("d").map_or(1, |data| data.len() / 8);
                self.not_read(node, outer, words);
                return Ok(());
            }
        };
        if path.is_empty() {
            return Ok(());
        }
        let Painted { path, is_dashed } = painted(node, path, &own.style);
        self.segments += path.elements().len();
        if self.segments > SEGMENT_LIMIT {
            return Err(ImportError::TooMuch { what: "segments of lines", limit: SEGMENT_LIMIT });
        }
        let path = own.map * path;
        if !path.is_finite() {
            self.not_read(node, outer, "its coordinates are too large".to_owned());
            return Ok(());
        }
        self.file.shapes.push(Shape {
            path,
            stroke: own.style.stroke,
            fill: own.style.fill,
            stroke_width: own.style.stroke_width.map(|width| width * mean_scale(own.map)),
            is_dashed,
            default_paint: !own.style.painted,
            hidden: own.hidden || !own.style.visible,
            from_definitions: own.from_definitions,
            names: own.names,
        });
        Ok(())
    }

    fn follow_use(&mut self, node: Node<'a, 'input>, outer: &Inherited, stack: &mut Stack<'a, 'input>) {
        let reference = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
        let target = reference.and_then(|r| r.strip_prefix('#')).and_then(|id| self.by_id.get(id)).copied();
        let Some(target) = target else {
            let found = reference.unwrap_or("").chars().take(60).collect::<String>();
            let expected = "the id of a shape or group in this file, such as #leaf";
            self.not_read(node, outer, format!("href: expected {expected}, found {found:?}"));
            return;
        };
        let Some(mut inner) = self.inherit(node, outer) else { return };
        let at = |name: &str| node.attribute(name).and_then(user_units).unwrap_or(0.0);
        inner.map *= Affine::translate((at("x"), at("y")));
        let is_definition = |n: Node<'_, '_>| matches!(n.tag_name().name(), "defs" | "symbol");
        inner.from_definitions |= target.ancestors().any(is_definition);
        match target.tag_name().name() {
            "symbol" | "svg" => {
                let Some(mut inner) = self.inherit(target, &inner) else { return };
                self.enter_viewport(node, target, &mut inner);
                push_children(target, &inner, stack);
            }
            _ => stack.push((target, inner)),
        }
    }

    fn not_read(&mut self, node: Node<'_, '_>, outer: &Inherited, words: String) {
        if self.file.unread.len() >= UNREAD_LIMIT || outer.hidden {
            return;
        }
        let number = |names: [&str; 3]| names.iter().find_map(|n| node.attribute(*n)).and_then(user_units);
        let in_data = || {
            let data = node.attribute("d").or_else(|| node.attribute("points")).unwrap_or("");
            let parted = data.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')));
            let mut numbers = parted.filter(|text| !text.is_empty()).map_while(|text| text.parse().ok());
            Some(Point::new(numbers.next()?, numbers.next()?))
        };
        let own = number(["x", "cx", "x1"]).zip(number(["y", "cy", "y1"])).map(|(x, y)| Point::new(x, y));
        let at = outer.map * own.or_else(in_data).unwrap_or_default();
        self.file.unread.push(Unread {
            at: if at.is_finite() { at } else { Point::ZERO },
            place: self.place(node),
            names: outer.names.with(node),
            words: format!("{}.{words}", short(node.tag_name().name())),
        });
    }

    fn place(&self, node: Node<'_, '_>) -> Place {
        let position = self.document.text_pos_at(node.range().start);
        Place { line: position.row, column: position.col }
    }
}

fn push_children<'a, 'input>(node: Node<'a, 'input>, inner: &Inherited, stack: &mut Stack<'a, 'input>) {
    stack.extend(node.children().filter(Node::is_element).rev().map(|child| (child, inner.clone())));
}

fn short(text: &str) -> String {
    text.chars().take(60).collect()
}

/// The factor by which a map scales lengths on average: the square root of the factor for areas.
fn mean_scale(map: Affine) -> f64 {
    map.determinant().abs().sqrt()
}
