//! The few style properties that matter to a line drawing, from attributes, style texts and plain style rules.

use roxmltree::Node;
use std::collections::HashMap;

/// Most style rules read.
const RULE_LIMIT: usize = 10_000;

/// Values of the properties that matter, where given.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Style {
    pub(crate) stroke_width: Option<String>,
    pub(crate) display: Option<String>,
    pub(crate) visibility: Option<String>,
}

impl Style {
    fn set(&mut self, property: &str, value: &str) {
        let value = value.trim();
        let value = value.strip_suffix("!important").unwrap_or(value).trim().to_owned();
        match property.trim() {
            "stroke-width" => self.stroke_width = Some(value),
            "display" => self.display = Some(value),
            "visibility" => self.visibility = Some(value),
            _ => {}
        }
    }

    fn set_all(&mut self, declarations: &str) {
        for declaration in declarations.split(';') {
            if let Some((property, value)) = declaration.split_once(':') {
                self.set(property, value);
            }
        }
    }
}

/// Style rules of a document whose selector is one element name, class or id: what drawing programs write.
#[derive(Debug, Default)]
pub(crate) struct Sheet<'a> {
    by_name: HashMap<&'a str, Vec<&'a str>>,
    by_class: HashMap<&'a str, Vec<&'a str>>,
    by_id: HashMap<&'a str, Vec<&'a str>>,
    /// Rules with other selectors that set one of our properties.
    pub(crate) skipped: usize,
}

impl<'a> Sheet<'a> {
    /// Adds the rules of one style element.
    pub(crate) fn add(&mut self, css: &'a str) {
        for rule in css.split('}').take(RULE_LIMIT) {
            let Some((selectors, declarations)) = rule.rsplit_once('{') else { continue };
            let mut probe = Style::default();
            probe.set_all(declarations);
            if probe == Style::default() {
                continue;
            }
            // Text before a nested brace belongs to a media rule; a comment may precede a selector.
            let selectors = selectors.rsplit(['{', '/']).next().unwrap_or("");
            for selector in selectors.split(',').map(str::trim) {
                let (table, key) = match selector.as_bytes().first() {
                    Some(b'.') => (&mut self.by_class, &selector[1..]),
                    Some(b'#') => (&mut self.by_id, &selector[1..]),
                    _ => (&mut self.by_name, selector),
                };
                let plain = |c: char| c.is_alphanumeric() || c == '-' || c == '_' || c == '*';
                if key.is_empty() || !key.chars().all(plain) {
                    self.skipped += 1;
                } else {
                    table.entry(key).or_default().push(declarations);
                }
            }
        }
    }

    /// An element's own style: attributes, then rules by name, class and id, then its style attribute.
    pub(crate) fn style_of(&self, node: Node<'_, '_>) -> Style {
        let mut style = Style::default();
        for property in ["stroke-width", "display", "visibility"] {
            if let Some(value) = node.attribute(property) {
                style.set(property, value);
            }
        }
        let mut apply = |rules: Option<&Vec<&str>>| {
            for declarations in rules.into_iter().flatten() {
                style.set_all(declarations);
            }
        };
        apply(self.by_name.get("*"));
        apply(self.by_name.get(node.tag_name().name()));
        for class in node.attribute("class").unwrap_or("").split_ascii_whitespace() {
            apply(self.by_class.get(class));
        }
        apply(node.attribute("id").and_then(|id| self.by_id.get(id)));
        style.set_all(node.attribute("style").unwrap_or(""));
        style
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn styles_cascade_in_the_usual_order() {
        let xml = r#"<svg><path id="p" class="a b" stroke-width="1" style="fill:none;stroke-width: 5 !important"/>
            <path id="q" class="b a" stroke-width="1"/><path id="r" class="b" stroke-width="1"/>
            <path stroke-width="1"/><line stroke-width="1"/></svg>"#;
        let document = roxmltree::Document::parse(xml).expect("XML");
        let mut sheet = Sheet::default();
        sheet.add("/* made by hand */ path{stroke-width:2} .a,.c{stroke-width:3}#r { stroke-width : 4 } g > path{stroke-width:9} .b{fill:none}");
        let widths: Vec<String> = document
            .descendants()
            .filter(|n| n.has_attribute("stroke-width"))
            .filter_map(|n| sheet.style_of(n).stroke_width)
            .collect();
        assert_eq!(widths, ["5", "3", "4", "2", "1"]);
        assert_eq!(sheet.skipped, 1);
    }

    #[test]
    fn odd_style_texts_are_harmless() {
        let mut sheet = Sheet::default();
        for css in ["}{", "{{{", "é{display:none}", ".{display:none}", "@media x{.a{display:none}}", ":::;;"]
        {
            sheet.add(css);
            Style::default().set_all(css);
        }
        assert!(sheet.by_class.contains_key("a"));
    }
}
