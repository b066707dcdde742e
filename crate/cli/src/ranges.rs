//! How well the figures of a report are known, and what the first of them depends on.

use viewing::{FigureRange, LightRanges, Ranges, ViewingReport};

use crate::table::{Align, Table, grouped};

/// Two tables.
pub(crate) fn in_words(ranges: &Ranges, viewing: &ViewingReport) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Left]);
    table.row(["in nine cases of ten between", "everything", "glass alone", ""]);
    let LightRanges { vertical_lx, horizontal_lx, working_plane_lx, share_of_clear, x, y, .. } =
        &ranges.everything;
    let alone = &ranges.glass_alone;
    let [upright, level] = match viewing.front().plane {
        None => ["upright, facing the window", "level, facing up"],
        Some(plane) => {
            let all = working_plane_lx.map_or_else(dash, |range| ends(range, 1.0));
            let glass = alone.working_plane_lx.map_or_else(dash, |range| ends(range, 1.0));
            table.row([&format!("on the {}, facing up", plane.kind.name()), &all, &glass, "lx"]);
            ["at the eye, facing the window", "at the eye, facing up"]
        }
    };
    table.row([upright, &ends(*vertical_lx, 1.0), &ends(alone.vertical_lx, 1.0), "lx"]);
    table.row([level, &ends(*horizontal_lx, 1.0), &ends(alone.horizontal_lx, 1.0), "lx"]);
    for (name, all, glass, scale, unit) in [
        ("of clear glass", share_of_clear, &alone.share_of_clear, 100.0, "%"),
        ("x", x, &alone.x, 1.0, ""),
        ("y", y, &alone.y, 1.0, ""),
    ] {
        let [all, glass] = [all, glass].map(|range| range.map_or_else(dash, |range| ends(range, scale)));
        table.row([name, &all, &glass, unit]);
    }
    let mut text = table.text();

    text += "\nWhat the first figure depends on: share of its uncertainty, and one standard deviation\n";
    let mut table = Table::new(&[Align::Right, Align::Left, Align::Left, Align::Left]);
    let mut named = 0.0;
    for cause in &ranges.depends_on {
        named += cause.share;
        table.row([&per_cent(cause.share), &cause.what, &cause.spread, &cause.origin]);
    }
    let together = ranges.together.max(0.0);
    let rest = 1.0 - named - together;
    for (share, name) in [(together, "several of these together"), (rest, "all others")] {
        if share >= 0.005 {
            table.row([&per_cent(share), name, "", ""]);
        }
    }
    text + &table.text()
}

fn dash() -> String {
    "–".to_owned()
}

fn per_cent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// Both ends, as exact as they deserve.
pub(crate) fn ends(range: FigureRange, scale: f64) -> String {
    let of = |end: f64, step: f64| rounded(end * scale, step * scale);
    format!("{} … {}", of(range.p05, range.p05_step), of(range.p95, range.p95_step))
}

/// To a multiple of a power of ten; as it is without one, and where there is hardly anything.
pub(crate) fn rounded(value: f64, step: f64) -> String {
    if step <= 0.0 || value.abs() < 0.000_5 {
        return crate::table::figure(value);
    }
    if step >= 1.0 {
        return grouped((value / step).round() * step);
    }
    let decimals = (-step.log10()).round().clamp(0.0, 9.0) as usize;
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_as_exact_as_they_deserve() {
        for (p05, p95, scale, expected) in [
            (101.4, 194.4, 1.0, "100 … 190"),
            (0.3727, 0.5329, 100.0, "37 … 53"),
            (565.6, 2342.8, 1.0, "600 … 2 300"),
            (0.3058, 0.3343, 1.0, "0.306 … 0.334"),
            (4.0, 4.0, 1.0, "4.00 … 4.00"),
            // Each keeps a digit, however dark the glass.
            (0.9, 22.0, 1.0, "0.9 … 22"),
            (0.06, 52.0, 1.0, "0.06 … 50"),
            (1e-12, 3.0, 1.0, "<0.001 … 3.0"),
        ] {
            let range = FigureRange::new(p05, p05, p05, p95);
            assert_eq!(ends(range, scale), expected);
        }
    }
}
