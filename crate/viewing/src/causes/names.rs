//! What causes are called in a list for people.

use glass::PaintKind;

/// A colourant of a recipe in words of the trade, with its name in the tables.
pub(super) fn colourant(name: &str) -> String {
    let words = [
        ("Co", "cobalt"),
        ("Cu_", "copper colloid"),
        ("Cu", "copper"),
        ("Fe2", "iron, ferrous"),
        ("Fe3", "iron, ferric"),
        ("Cr", "chromium"),
        ("Mn", "manganese"),
        ("Ni", "nickel"),
        ("Nd", "neodymium"),
        ("V", "vanadium"),
        ("CdSSe", "cadmium selenide"),
        ("CdS", "cadmium sulphide"),
        ("Se", "selenium pink"),
        ("Au", "gold"),
        ("Ag", "silver"),
        ("amber", "amber of iron and sulphur"),
        ("neutral", "grey"),
    ];
    match words.iter().find(|(start, _)| name.starts_with(start)) {
        Some((_, words)) => format!("{words} ({name})"),
        None => name.to_owned(),
    }
}

/// A kind of paint.
pub(super) fn paint(kind: &PaintKind) -> &'static str {
    match kind {
        PaintKind::Trace => "trace lines",
        PaintKind::Matting => "matting",
        PaintKind::Enamel(_) => "enamel",
        PaintKind::Stain(_) => "silver stain",
        PaintKind::Measured(_) => "measured paint",
    }
}

/// A standard deviation of a logarithm, as a percentage.
pub(super) fn per_cent(sd_ln: f64) -> String {
    format!("± {:.0} %", 100.0 * sd_ln)
}

/// A standard deviation in a unit, with two significant digits.
pub(super) fn plus_minus(sd: f64, unit: &str) -> String {
    format!("± {}{unit}", digits(sd))
}

/// Standard deviations that differ from piece to piece.
pub(super) fn plus_minus_between(least: f64, most: f64, unit: &str) -> String {
    let (least, most) = (digits(least), digits(most));
    if least == most { format!("± {most}{unit}") } else { format!("± {least} to {most}{unit}") }
}

fn digits(value: f64) -> String {
    if !(value > 0.0 && value.is_finite()) {
        return "0".to_owned();
    }
    let decimals = (1.0 - value.log10().floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_digits_and_no_empty_zeros() {
        for (sd, expected) in [
            (10.0, "± 10 nm"),
            (0.2, "± 0.2 nm"),
            (0.1414, "± 0.14 nm"),
            (0.003, "± 0.003 nm"),
            (0.0, "± 0 nm"),
        ] {
            assert_eq!(plus_minus(sd, " nm"), expected);
        }
        assert_eq!(plus_minus_between(0.1414, 0.3536, " mm"), "± 0.14 to 0.35 mm");
        assert_eq!(plus_minus_between(0.1414, 0.1414, " mm"), "± 0.14 mm");
    }

    #[test]
    fn colourants_have_their_trade_name() {
        assert_eq!(colourant("Co2+"), "cobalt (Co2+)");
        assert_eq!(colourant("Cu_5nm"), "copper colloid (Cu_5nm)");
        assert_eq!(colourant("unheard of"), "unheard of");
    }
}
