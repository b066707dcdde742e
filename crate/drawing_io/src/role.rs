//! What a layer of a file is taken as, and what its name says about that.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What a layer is taken as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// The edge of the daylight opening.
    Outline,
    /// Leads inside it.
    Cutlines,
    /// Saddle bars.
    Bars,
    /// Nothing.
    Ignored,
}

impl std::fmt::Display for Role {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Outline => "outline",
            Self::Cutlines => "cutlines",
            Self::Bars => "bars",
            Self::Ignored => "ignored",
        })
    }
}

impl std::str::FromStr for Role {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let all = [Self::Outline, Self::Cutlines, Self::Bars, Self::Ignored];
        let found = all.into_iter().find(|role| role.to_string() == text);
        found.ok_or_else(|| format!("expected outline, cutlines, bars or ignored, found {text:?}"))
    }
}

/// What a layer's name says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Hint {
    Role(Role),
    /// Pieces of glass.
    Panes,
}

/// Words of a name, in English, German, French, Spanish, Italian and Dutch. Only words that mean one thing in a drawing
/// of a window: a "border" may be the window's edge, a lead along it, or a strip of glass.
const WORDS: [(Hint, &[&str]); 5] = [
    (
        Hint::Role(Role::Ignored),
        &[
            "guide",
            "guides",
            "guideline",
            "guidelines",
            "grid",
            "text",
            "texts",
            "number",
            "numbers",
            "label",
            "labels",
            "note",
            "notes",
            "dimension",
            "dimensions",
            "background",
            "photo",
            "photograph",
            "sketch",
            "reference",
            "paint",
            "painting",
            "trace",
            "construction",
            "legend",
            "margin",
            "ornament",
            "texture",
            "hilfslinien",
            "hilfslinie",
            "raster",
            "beschriftung",
            "masse",
            "bemassung",
            "nummern",
            "hintergrund",
            "malerei",
            "bemalung",
            "schwarzlot",
            "foto",
            "texte",
            "numeros",
            "cotes",
            "fond",
            "peinture",
            "grisaille",
            "guias",
            "fondo",
            "notas",
            "texto",
            "sfondo",
            "testo",
            "achtergrond",
            "tekst",
        ],
    ),
    (
        Hint::Role(Role::Outline),
        &[
            "sightsize",
            "sight",
            "outline",
            "outlines",
            "opening",
            "perimeter",
            "silhouette",
            "umriss",
            "lichtmass",
            "aussenkante",
            "aussenlinie",
            "aussenform",
            "contorno",
            "omtrek",
            "sagoma",
        ],
    ),
    (
        Hint::Role(Role::Cutlines),
        &[
            "cutline",
            "cutlines",
            "cut",
            "cuts",
            "lead",
            "leads",
            "leading",
            "leadline",
            "leadlines",
            "came",
            "cames",
            "blei",
            "bleilinie",
            "bleilinien",
            "bleiruten",
            "bleirute",
            "plomb",
            "plombs",
            "plomo",
            "plomos",
            "piombo",
            "piombi",
            "lood",
            "loodlijnen",
        ],
    ),
    (
        Hint::Role(Role::Bars),
        &[
            "bar",
            "bars",
            "saddle",
            "saddlebar",
            "saddlebars",
            "windeisen",
            "quereisen",
            "barlotiere",
            "barlotieres",
            "barlotière",
            "barlotières",
            "vergette",
            "vergettes",
            "barra",
            "barras",
            "barre",
            "bindroede",
        ],
    ),
    (
        Hint::Panes,
        &[
            "glass", "pane", "panes", "piece", "pieces", "glas", "glaser", "gläser", "scheiben", "verre",
            "verres", "vidrio", "vidrios", "vetro", "vetri", "ruiten",
        ],
    ),
];

impl Hint {
    /// What a name says; `None` if it says nothing.
    pub(crate) fn of(name: &str) -> Option<Self> {
        let words = words(name);
        let joined = words.concat();
        let is = |known: &&[&str]| {
            known.contains(&joined.as_str()) || words.iter().any(|word| known.contains(&word.as_str()))
        };
        let mut said = WORDS.iter().filter(|(_, known)| is(known)).map(|(hint, _)| *hint);
        let first = said.next()?;
        // "Outline and leads" holds both; "lead numbers" are numbers.
        let is_one = first == Self::Role(Role::Ignored) || said.next().is_none();
        is_one.then_some(first)
    }
}

/// Words of a name in lower case: parted at blanks, signs, digits and inner capitals.
fn words(name: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut was_small = false;
    for letter in name.chars() {
        if !letter.is_alphabetic() || (letter.is_uppercase() && was_small) {
            words.push(String::new());
        }
        if letter.is_alphabetic()
            && let Some(word) = words.last_mut()
        {
            word.extend(letter.to_lowercase());
        }
        was_small = letter.is_lowercase();
    }
    words.retain(|word| !word.is_empty());
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_what_is_meant() {
        let role = |name: &str| match Hint::of(name) {
            Some(Hint::Role(role)) => role.to_string(),
            Some(Hint::Panes) => "panes".to_owned(),
            None => "nothing".to_owned(),
        };
        for (name, expected) in [
            ("sight-size", "outline"),
            ("Sight Size", "outline"),
            ("cutlines_1_", "cutlines"),
            ("cutlines-2", "cutlines"),
            ("LeadLines", "cutlines"),
            ("LEAD", "cutlines"),
            ("Saddle bars", "bars"),
            ("Barlotières", "bars"),
            ("Hilfslinien 3", "ignored"),
            ("Lead numbers", "ignored"),
            ("glass pieces", "panes"),
            ("glass cutlines", "nothing"),
            ("Layer 1", "nothing"),
            ("g1042", "nothing"),
            ("misleading", "nothing"),
            ("border", "nothing"),
            ("outline-and-leads", "nothing"),
            ("Page-1", "nothing"),
            ("", "nothing"),
        ] {
            assert_eq!(role(name), expected, "{name}");
        }
    }

    #[test]
    fn roles_read_as_they_print() {
        for role in [Role::Outline, Role::Cutlines, Role::Bars, Role::Ignored] {
            assert_eq!(role.to_string().parse(), Ok(role));
        }
        assert!("lead".parse::<Role>().is_err());
    }
}
