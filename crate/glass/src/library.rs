//! The glasses included in the project, read from `data/library.csv`.

use std::sync::{Arc, LazyLock};

use spectra::{SAMPLES, Spectrum};

use crate::glass::{
    DiffuseShare, Family, Flash, Glass, Kind, Provenance, ScatterSite, Streak, ThicknessRange, Uncertainty,
};
use crate::{Absorbance, recipe, recipe_sigma};

/// All glasses of the library, by family, then in the table's order.
pub fn library() -> &'static [Arc<Glass>] {
    static LIBRARY: LazyLock<Vec<Arc<Glass>>> = LazyLock::new(|| {
        let lines = include_str!("../data/library.csv").lines().skip(1);
        let mut all: Vec<Arc<Glass>> = lines.filter_map(|line| read(line).ok()).map(Arc::new).collect();
        sorting::by_key(&mut all, |glass| glass.family);
        all
    });
    &LIBRARY
}

/// The glass with that id.
pub fn find(id: &str) -> Option<&'static Arc<Glass>> {
    library().iter().find(|glass| glass.id == id)
}

/// One line of the table, or what is wrong with it.
fn read(line: &str) -> Result<Glass, String> {
    let cells: Vec<&str> = line.split(',').map(str::trim).collect();
    let [
        id,
        name,
        family,
        kind,
        mark,
        n,
        base,
        streak,
        flash,
        flash_mm,
        min,
        nominal,
        max,
        site,
        share,
        back,
    ] = cells[..]
    else {
        return Err(format!("expected 16 cells, found {}: {line}", cells.len()));
    };
    let number =
        |cell: &str| cell.parse::<f64>().map_err(|_| format!("{id}: expected a number, found {cell:?}"));
    let family =
        Family::ALL.into_iter().find(|f| f.name() == family).ok_or(format!("{id}: family {family:?}"))?;
    let kinds = [Kind::Clear, Kind::Seedy, Kind::Streaky, Kind::Opalescent, Kind::Rolled, Kind::Matted];
    let kind = kinds.into_iter().find(|k| k.name() == kind).ok_or(format!("{id}: kind {kind:?}"))?;
    let provenance = match mark {
        "measured" => Provenance::Measured,
        "recipe" => Provenance::Recipe,
        "estimated" => Provenance::EstimatedFromColour,
        _ => return Err(format!("{id}: provenance {mark:?}")),
    };

    let mut glass = Glass::pot_metal(id, name, family, absorbance(base)?, provenance);
    glass.kind = kind;
    glass.n = number(n)?;
    glass.thickness =
        ThicknessRange { min_mm: number(min)?, nominal_mm: number(nominal)?, max_mm: number(max)? };
    if !streak.is_empty() {
        let (relative, absolute) = provenance.usual_deviation();
        let second = absorbance(streak)?;
        glass.streak = Some(Streak::usual(second));
        glass.uncertainty.streak_per_mm = Uncertainty::of_colour(&second, relative, absolute);
    }
    if !flash.is_empty() {
        glass.flash = Some(Flash { absorbance: absorbance(flash)?, thickness_mm: number(flash_mm)? });
    }
    if !site.is_empty() {
        let site = match site {
            "body" => ScatterSite::Body { reference_mm: glass.thickness.nominal_mm },
            "surface" => ScatterSite::Surface,
            _ => return Err(format!("{id}: scatter {site:?}")),
        };
        let share = number(share)?;
        let lobe = DiffuseShare::usual_lobe(kind, share);
        glass.diffuse = DiffuseShare { share, back: number(back)?, site, exponent: 0.0, lobe };
    }
    glass.source = match provenance {
        Provenance::Measured => {
            "n and k of soda-lime window glass, Rubin 1985, Solar Energy Materials 12, 275, by way of \
             refractiveindex.info (CC0)"
                .to_owned()
        }
        Provenance::EstimatedFromColour => format!("invented: {base}"),
        _ if flash.is_empty() => format!("recipe: {base}"),
        _ => format!("recipe: {base}; flash of {flash_mm} mm: {flash}"),
    };
    if provenance == Provenance::Recipe {
        let sigma = |recipe: &str| recipe_sigma(&amounts(recipe)?).map_err(|e| format!("{id}: {e}"));
        glass.uncertainty = Uncertainty {
            base_per_mm: sigma(base)?.map(|s| s.hypot(0.003)),
            flash_per_mm: sigma(flash)?,
            streak_per_mm: sigma(streak)?,
            ..glass.uncertainty
        };
    }
    Ok(glass)
}

/// `table clear` is a column of the window-glass table; anything else is a recipe.
fn absorbance(text: &str) -> Result<Absorbance, String> {
    match text.strip_prefix("table ") {
        Some(column) => window_glass(column).ok_or(format!("no window glass {column:?}")),
        None => recipe(&amounts(text)?).map_err(|e| e.to_string()),
    }
}

/// `Fe2+ 0.02; amber Fe-S 0.4` to names and amounts.
pub(crate) fn amounts(text: &str) -> Result<Vec<(&str, f64)>, String> {
    text.split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| {
            let (name, amount) =
                part.rsplit_once(' ').ok_or(format!("expected a name and an amount: {part:?}"))?;
            Ok((name, amount.parse().map_err(|_| format!("expected an amount: {part:?}"))?))
        })
        .collect()
}

fn window_glass(column: &str) -> Option<Absorbance> {
    let mut lines = include_str!("../data/window_glass.csv").lines();
    let place = lines.next()?.split(',').position(|name| name == column)?;
    let mut samples = [0.0; SAMPLES];
    for (sample, line) in samples.iter_mut().zip(lines) {
        *sample = line.split(',').nth(place)?.parse().ok()?;
    }
    Some(Absorbance::per_mm(Spectrum::new(samples)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_reads_as_a_glass() {
        let table = include_str!("../data/library.csv");
        let faults: Vec<String> = table.lines().skip(1).filter_map(|line| read(line).err()).collect();
        assert!(faults.is_empty(), "{faults:#?}");
        assert_eq!(library().len(), table.lines().count() - 1);
    }

    #[test]
    fn a_bad_line_says_what_is_wrong() {
        let line = "x,X,blue,clear,recipe,1.52,Co2+ much,,,,2,3,4,,,";
        assert!(read(line).unwrap_err().contains("Co2+ much"));
        assert!(read("x,X,blue,clear,recipe,1.52,Zz 1,,,,2,3,4,,,").unwrap_err().contains("\"Zz\""));
        assert!(read("x,X").unwrap_err().contains("16 cells"));
    }
}
