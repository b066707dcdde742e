//! What the library's recipes contain, for whoever has to tell the colourants apart.

use std::sync::LazyLock;

use crate::library::amounts;

/// Colourants and amounts of a glass, in the units of the tables.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ingredients {
    /// Throughout the glass.
    pub base: Vec<(&'static str, f64)>,
    /// Of the second colour of a streaky glass.
    pub streak: Vec<(&'static str, f64)>,
    /// Of the flash, beyond the base.
    pub flash: Vec<(&'static str, f64)>,
}

/// The ingredients of a glass of the library; `None` for an unknown id and for a glass from a table of measurements.
pub fn ingredients(id: &str) -> Option<&'static Ingredients> {
    static ALL: LazyLock<Vec<(&str, Ingredients)>> = LazyLock::new(|| {
        let lines = include_str!("../data/library.csv").lines().skip(1);
        lines.filter_map(|line| Some((line.split(',').next()?.trim(), read(line)?))).collect()
    });
    ALL.iter().find(|(known, _)| *known == id).map(|(_, ingredients)| ingredients)
}

/// Base, streak and flash are the seventh to ninth cells of a line.
fn read(line: &'static str) -> Option<Ingredients> {
    let mut cells = line.split(',').skip(6).map(|cell| amounts(cell).ok());
    let mut next = || cells.next().flatten();
    Some(Ingredients { base: next()?, streak: next()?, flash: next()? })
}

/// Whether a colourant is nothing but an absorption edge, such as cadmium sulphide and selenide: where it lies depends
/// on how the glass was struck.
pub fn is_edge(colourant: &str) -> bool {
    let plain = |name: &str| name.trim().replace('_', " ");
    let wanted = plain(colourant);
    let mut bands = include_str!("../data/ions.csv").lines().skip(1).filter_map(|line| {
        let mut cells = line.split(',');
        let name = cells.next()?;
        (plain(name) == wanted).then(|| cells.nth(1) == Some("edge"))
    });
    bands.next().is_some_and(|first| first && bands.all(|edge| edge))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Provenance, library, recipe};

    #[test]
    fn the_ingredients_of_every_recipe_make_its_absorbance() {
        let mut recipes = 0;
        for glass in library().iter().filter(|glass| glass.provenance == Provenance::Recipe) {
            let found = ingredients(&glass.id).unwrap_or_else(|| panic!("{}", glass.id));
            assert_eq!(recipe(&found.base).unwrap(), glass.base, "{}", glass.id);
            assert_eq!(found.flash.is_empty(), glass.flash.is_none(), "{}", glass.id);
            if let Some(flash) = glass.flash {
                assert_eq!(recipe(&found.flash).unwrap(), flash.absorbance, "{}", glass.id);
            }
            recipes += 1;
        }
        assert!(recipes > 50);
        assert_eq!(ingredients("float-clear"), None);
        assert_eq!(ingredients("no-such-glass"), None);
    }

    #[test]
    fn edges_are_sulphides_and_selenides() {
        for name in ["CdS 480", "CdSSe 530", "CdSSe_610"] {
            assert!(is_edge(name), "{name}");
        }
        for name in ["Fe3+", "Co2+", "Au_10nm", "unknown"] {
            assert!(!is_edge(name), "{name}");
        }
    }
}
