//! The names under which a shape is found: of its own, and of the groups and layers around it.

use std::rc::Rc;

use roxmltree::Node;

use crate::role::Hint;

const LABEL: (&str, &str) = ("http://www.inkscape.org/namespaces/inkscape", "label");
/// Most names read of one element.
const NAMES_LIMIT: usize = 16;

const GROUP_MODE: (&str, &str) = ("http://www.inkscape.org/namespaces/inkscape", "groupmode");

/// The names of one element.
#[derive(Debug)]
pub(crate) struct Named {
    /// For people first: label, data-name, id, classes.
    pub(crate) names: Vec<String>,
    /// The first of the names that says what this is, and what it says.
    pub(crate) said: Option<(String, Hint)>,
    /// Declared as a layer.
    pub(crate) is_layer: bool,
    /// A group, not the shape itself.
    pub(crate) is_group: bool,
    outer: Names,
}

/// The names of an element and of all elements around it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Names(Option<Rc<Named>>);

impl Names {
    /// With those of an element within. Elements without a name add nothing.
    pub(crate) fn with(&self, node: Node<'_, '_>) -> Self {
        let given = [node.attribute(LABEL), node.attribute("data-name"), node.attribute("id")];
        let classes = node.attribute("class").unwrap_or("").split_ascii_whitespace();
        let names: Vec<String> = given
            .into_iter()
            .flatten()
            .chain(classes)
            .take(4 * NAMES_LIMIT)
            .map(|name| unescaped(name.trim()))
            .collect();
        let names: Vec<String> =
            names.into_iter().filter(|name| !name.is_empty()).take(NAMES_LIMIT).collect();
        let said = names.iter().find_map(|name| Hint::of(name).map(|hint| (name.clone(), hint)));
        if names.is_empty() {
            return self.clone();
        }
        let is_layer = node.attribute(GROUP_MODE) == Some("layer");
        let is_group = matches!(node.tag_name().name(), "g" | "svg" | "a" | "symbol" | "use");
        Self(Some(Rc::new(Named { names, said, is_layer, is_group, outer: self.clone() })))
    }

    /// From the innermost to the outermost.
    pub(crate) fn outward(&self) -> impl Iterator<Item = &Named> {
        std::iter::successors(self.0.as_deref(), |named| named.outer.0.as_deref())
    }
}

/// A name as typed: programs that may only write letters and digits into an id write the others as `_x20_`.
fn unescaped(name: &str) -> String {
    let mut text = String::new();
    let mut rest = name;
    while let Some(at) = rest.find("_x") {
        let code = rest[at + 2..].split('_').next().unwrap_or("");
        let letter = u32::from_str_radix(code, 16).ok().and_then(char::from_u32);
        let end = at + 2 + code.len() + 1;
        match letter
            .filter(|_| (2..=6).contains(&code.len()) && rest.is_char_boundary(end) && end <= rest.len())
        {
            Some(letter) => {
                text.push_str(&rest[..at]);
                text.push(letter);
                rest = &rest[end..];
            }
            None => {
                text.push_str(&rest[..at + 2]);
                rest = &rest[at + 2..];
            }
        }
    }
    text.push_str(rest);
    text.chars().take(100).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_read_as_they_were_typed() {
        assert_eq!(unescaped("Lead_x20_lines"), "Lead lines");
        assert_eq!(unescaped("Verre_x5F_bleu_x"), "Verre_bleu_x");
        assert_eq!(unescaped("_x_xx_"), "_x_xx_");
        assert_eq!(unescaped("_x20"), "_x20");
        assert_eq!(unescaped("größe_x1F600_"), "größe😀");
    }

    #[test]
    fn names_are_found_from_the_inside() {
        let xml = r#"<svg id="s"><g><g id="g1" class="a b"><path id="p"/></g></g></svg>"#;
        let document = roxmltree::Document::parse(xml).expect("XML");
        let mut names = Names::default();
        for node in document.descendants().filter(Node::is_element) {
            names = names.with(node);
        }
        let all: Vec<Vec<String>> = names.outward().map(|named| named.names.clone()).collect();
        assert_eq!(all, [vec!["p"], vec!["g1", "a", "b"], vec!["s"]]);
    }
}
