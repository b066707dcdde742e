//! How a shape is painted: the style properties that matter to a line drawing, with CSS's cascade.

use std::rc::Rc;

use roxmltree::Node;
use simplecss::{AttributeOperator, Declaration, PseudoClass, StyleSheet};
use svgtypes::{NumberListParser, Paint};

use super::size::user_units;

/// Most style rules read; each is compared with every element.
const RULE_LIMIT: usize = 500;

/// Most dashes and gaps of a line.
const DASH_LIMIT: usize = 64;

/// Longest style rule's selector, in elements: comparing takes longer than in proportion to them.
const SELECTOR_LIMIT: usize = 3;

/// What a shape is painted with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Ink {
    /// Red, green and blue, 0–255.
    Colour([u8; 3]),
    /// A gradient or pattern.
    Pattern,
}

/// How a shape is painted. Lengths are in the units of its own coordinates.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Style {
    pub(crate) stroke: Option<Ink>,
    pub(crate) fill: Option<Ink>,
    /// `None` if the file gives none.
    pub(crate) stroke_width: Option<f64>,
    /// Lengths of dashes and gaps in turn; empty for an unbroken line.
    pub(crate) dashes: Rc<[f64]>,
    pub(crate) dash_offset: f64,
    /// `visibility`.
    pub(crate) visible: bool,
    /// Whether fill or stroke was set anywhere: SVG's black fill by default says nothing about what is meant.
    pub(crate) painted: bool,
}

impl Default for Style {
    /// SVG's initial values: filled with black, not stroked.
    fn default() -> Self {
        Self {
            stroke: None,
            fill: Some(Ink::Colour([0; 3])),
            stroke_width: None,
            dashes: Rc::default(),
            dash_offset: 0.0,
            visible: true,
            painted: false,
        }
    }
}

/// What is not inherited: `display: none`, and opacities of 0.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Own {
    not_displayed: bool,
    clear: bool,
    clear_stroke: bool,
    clear_fill: bool,
}

/// The style rules of a document.
#[derive(Debug)]
pub(crate) struct Sheet<'a> {
    rules: StyleSheet<'a>,
}

const PROPERTIES: [&str; 10] = [
    "stroke",
    "fill",
    "stroke-width",
    "stroke-dasharray",
    "stroke-dashoffset",
    "display",
    "visibility",
    "opacity",
    "stroke-opacity",
    "fill-opacity",
];

impl<'a> Sheet<'a> {
    /// The rules of all style elements that set one of the properties that matter; `Err` with the limit if there are
    /// more than can be applied.
    pub(crate) fn new(texts: impl Iterator<Item = &'a str>) -> Result<Self, usize> {
        let mut rules = StyleSheet::new();
        texts.for_each(|text| rules.parse_more(text));
        let matters = |declaration: &Declaration<'_>| PROPERTIES.contains(&declaration.name);
        let is_short = |selector: &simplecss::Selector<'_>| {
            let text = selector.to_string();
            text.split([' ', '>', '+']).filter(|part| !part.is_empty()).count() <= SELECTOR_LIMIT
        };
        rules.rules.retain(|rule| rule.declarations.iter().any(matters) && is_short(&rule.selector));
        if rules.rules.len() > RULE_LIMIT { Err(RULE_LIMIT) } else { Ok(Self { rules }) }
    }

    /// An element's style: what it inherits, then its attributes, the rules that match it in the order of their
    /// weight, its style attribute, and what is marked important. `None` if it is not displayed.
    pub(crate) fn style_of(&self, node: Node<'_, '_>, inherited: &Style) -> Option<Style> {
        let (mut style, mut own) = (inherited.clone(), Own::default());
        for property in PROPERTIES {
            if let Some(value) = node.attribute(property) {
                style.set(property, value, inherited, &mut own);
            }
        }
        let rules = self.rules.rules.iter().filter(|rule| rule.selector.matches(&Element(node)));
        let mut declarations: Vec<Declaration<'_>> =
            rules.flat_map(|rule| rule.declarations.iter().copied()).collect();
        declarations.extend(simplecss::DeclarationTokenizer::from(node.attribute("style").unwrap_or("")));
        for important in [false, true] {
            for declaration in declarations.iter().filter(|declaration| declaration.important == important) {
                style.set(declaration.name, declaration.value, inherited, &mut own);
            }
        }
        if own.clear_stroke {
            style.stroke = None;
        }
        if own.clear_fill {
            style.fill = None;
        }
        (!own.not_displayed && !own.clear).then_some(style)
    }
}

impl Style {
    fn set(&mut self, property: &str, value: &str, inherited: &Style, own: &mut Own) {
        let value = value.trim();
        let inherit = value == "inherit";
        match property {
            "stroke" => {
                self.stroke = if inherit { inherited.stroke } else { ink(value) };
                self.painted = true;
            }
            "fill" => {
                self.fill = if inherit { inherited.fill } else { ink(value) };
                self.painted = true;
            }
            // Some programs write `none` or a percentage: the width is then not known.
            "stroke-width" => {
                self.stroke_width = if inherit {
                    inherited.stroke_width
                } else {
                    user_units(value).filter(|width| *width >= 0.0)
                };
            }
            "stroke-dasharray" => {
                self.dashes = if inherit { inherited.dashes.clone() } else { dashes(value).into() };
            }
            "stroke-dashoffset" => self.dash_offset = user_units(value).unwrap_or(0.0),
            "visibility" if !inherit => self.visible = !matches!(value, "hidden" | "collapse"),
            "display" => own.not_displayed = value == "none",
            "opacity" => own.clear = is_zero(value),
            "stroke-opacity" => own.clear_stroke = is_zero(value),
            "fill-opacity" => own.clear_fill = is_zero(value),
            _ => {}
        }
    }
}

fn is_zero(value: &str) -> bool {
    value.trim_end_matches('%').trim().parse::<f64>().is_ok_and(|opacity| opacity <= 0.0)
}

/// What a paint value draws; `None` draws nothing.
fn ink(value: &str) -> Option<Ink> {
    match Paint::from_str(value) {
        Ok(Paint::Color(colour)) if colour.alpha == 0 => None,
        Ok(Paint::Color(colour)) => Some(Ink::Colour([colour.red, colour.green, colour.blue])),
        Ok(Paint::None) => None,
        Ok(Paint::FuncIRI(..)) => Some(Ink::Pattern),
        // An unknown colour is still a paint.
        Ok(_) | Err(_) => Some(Ink::Colour([0; 3])),
    }
}

/// Dashes and gaps; empty where the value is `none`, unreadable, or adds up to nothing.
fn dashes(value: &str) -> Vec<f64> {
    let lengths: Vec<f64> = match value.contains(|c: char| c.is_ascii_alphabetic() && c != 'e') {
        true => value
            .split([',', ' '])
            .filter(|part| !part.is_empty())
            .filter_map(user_units)
            .take(DASH_LIMIT)
            .collect(),
        false => NumberListParser::from(value).map_while(Result::ok).take(DASH_LIMIT).collect(),
    };
    let usable =
        lengths.iter().all(|length| (0.0..=1e9).contains(length)) && lengths.iter().sum::<f64>() > 0.0;
    match usable {
        false => Vec::new(),
        // An odd list is read twice: 3 alone means 3 and 3.
        true if lengths.len() % 2 == 1 => [lengths.clone(), lengths].concat(),
        true => lengths,
    }
}

/// An element as style rules see it.
struct Element<'a, 'input>(Node<'a, 'input>);

impl simplecss::Element for Element<'_, '_> {
    fn parent_element(&self) -> Option<Self> {
        self.0.parent_element().map(Element)
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        self.0.prev_sibling_element().map(Element)
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.0.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        self.0.attribute(name).is_some_and(|value| operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        matches!(class, PseudoClass::FirstChild) && self.0.prev_sibling_element().is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn styles(xml: &str) -> Vec<Option<Style>> {
        let document = roxmltree::Document::parse(xml).expect("XML");
        let texts = document.descendants().filter(|n| n.has_tag_name("style")).filter_map(|n| n.text());
        let sheet = Sheet::new(texts).expect("few rules");
        let shapes = document.descendants().filter(|n| n.is_element() && n.has_attribute("stroke-width"));
        shapes.map(|node| sheet.style_of(node, &Style::default())).collect()
    }

    #[test]
    fn styles_cascade_in_the_usual_order() {
        let xml = r#"<svg><style>/* made by hand */ path{stroke-width:2} .a,.c{stroke-width:3}#r { stroke-width : 4 }
            g > path{stroke-width:9} .b{fill:none} g .b{stroke:red}</style>
            <path id="p" class="a b" stroke-width="1" style="fill:none;stroke-width: 5 !important"/>
            <path id="q" class="b a" stroke-width="1"/><path id="r" class="b" stroke-width="1"/>
            <path stroke-width="1"/><line stroke-width="1"/><g><path class="b" stroke-width="none"/></g></svg>"#;
        let styles: Vec<Style> = styles(xml).into_iter().flatten().collect();
        let widths: Vec<Option<f64>> = styles.iter().map(|style| style.stroke_width).collect();
        assert_eq!(widths, [Some(5.0), Some(3.0), Some(4.0), Some(2.0), Some(1.0), Some(9.0)]);
        assert_eq!((styles[5].stroke, styles[5].fill), (Some(Ink::Colour([255, 0, 0])), None));
    }

    #[test]
    fn what_paints_nothing_is_told_apart() {
        let xml = r##"<svg><path stroke-width="1" fill="none"/><path stroke-width="none" stroke="#00f" fill="none"/>
            <path stroke-width="2" stroke="blue" stroke-opacity="0"/><path stroke-width="2" fill="url(#x)"/>
            <path stroke-width="2" display="none"/><path stroke-width="2" style="opacity:0"/></svg>"##;
        let styles = styles(xml);
        let paints = |k: usize| styles[k].as_ref().map(|style| (style.stroke, style.fill));
        let black = Some(Ink::Colour([0; 3]));
        assert_eq!(paints(0), Some((None, None)));
        assert_eq!(paints(1), Some((Some(Ink::Colour([0, 0, 255])), None)));
        assert_eq!(styles[1].as_ref().and_then(|style| style.stroke_width), None);
        assert_eq!(paints(2), Some((None, black)));
        assert_eq!(paints(3), Some((None, Some(Ink::Pattern))));
        assert_eq!((paints(4), paints(5)), (None, None));
    }

    #[test]
    fn dashes_are_lengths_in_pairs() {
        assert_eq!(dashes("4 2"), [4.0, 2.0]);
        assert_eq!(dashes("3"), [3.0, 3.0]);
        assert_eq!(dashes("1e1, 2.5px"), [10.0, 2.5]);
        assert!(dashes("none").is_empty() && dashes("0 0").is_empty() && dashes("-1 2").is_empty());
    }

    #[test]
    fn odd_style_texts_are_harmless() {
        for css in ["}{", "{{{", "é{display:none}", ".{display:none}", "@media x{.a{display:none}}", ":::;;"]
        {
            let _ = Sheet::new([css].into_iter());
        }
        assert!(Sheet::new([".a{fill:red}".repeat(501).as_str()].into_iter()).is_err());
    }
}
