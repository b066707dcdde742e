//! How well the figures of a report are known, and what the first of them depends on.

use viewing::{FigureRange, LightRanges, Ranges, ViewingReport};

use crate::table::{Align, Table, grouped};

/// Two tables.
pub(crate) fn in_words(ranges: &Ranges, viewing: &ViewingReport) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Left, Align::Left]);
    table.row(["in nine cases of ten between", "everything", "", "the glass alone, about the figure"]);
    let LightRanges { vertical_lx, horizontal_lx, working_plane_lx, share_of_clear, x, y, .. } =
        &ranges.everything;
    let alone = &ranges.glass_alone;
    let front = viewing.front();
    let mut lux = |name: &str, all: Option<FigureRange>, glass: Option<FigureRange>, figure: f64| {
        let all = all.map_or_else(dash, |range| ends(range, 1.0));
        let glass = glass.map_or_else(dash, |range| share_about(figure, range));
        table.row([name, &all, "lx", &glass]);
    };
    let [upright, level] = match front.plane {
        None => ["upright, facing the window", "level, facing up"],
        Some(plane) => {
            let name = format!("on the {}, facing up", plane.kind.name());
            lux(&name, *working_plane_lx, alone.working_plane_lx, front.light.total_lx);
            ["at the eye, facing the window", "at the eye, facing up"]
        }
    };
    lux(upright, Some(*vertical_lx), Some(alone.vertical_lx), viewing.vertical.total_lx);
    lux(level, Some(*horizontal_lx), Some(alone.horizontal_lx), viewing.horizontal.total_lx);
    let all = share_of_clear.map_or_else(dash, |range| ends(range, 100.0));
    let glass = alone.share_of_clear.zip(front.share_of_clear);
    let glass = glass.map_or_else(dash, |(range, figure)| share_about(figure, range) + " of it");
    table.row(["of clear glass", &all, "%", &glass]);
    for (name, all, glass, figure) in [("x", x, alone.x, front.cast.x), ("y", y, alone.y, front.cast.y)] {
        let all = all.map_or_else(dash, |range| ends(range, 1.0));
        let glass = glass.zip(figure);
        table.row([
            name,
            &all,
            "",
            &glass.map_or_else(dash, |(range, figure)| about(figure, range, 1.0, "")),
        ]);
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

/// How far both ends lie from a figure, as a share of it.
fn share_about(figure: f64, range: FigureRange) -> String {
    if figure > 0.0 { about(figure, range, 100.0 / figure, " %") } else { dash() }
}

/// How far both ends lie from a figure: "± 0.7 %" where they lie about as far, otherwise "−5 % … +8 %". What is rounded by
/// all that is uncertain may lie outside a narrow range by one cause; a distance from it cannot contradict it.
fn about(figure: f64, range: FigureRange, scale: f64, unit: &str) -> String {
    let [down, up] = [range.p05, range.p95].map(|end| (end - figure) * scale);
    // Each end to the digit that the whole width deserves.
    let range = FigureRange::new(0.0, 0.0, down, up);
    let end = |value: f64, step: f64| {
        let sign = if value < 0.0 { "−" } else { "+" };
        format!("{sign}{}{unit}", rounded(value.abs(), step))
    };
    if range.is_symmetric() {
        format!("± {}{unit}", rounded(0.5 * (up - down), range.step))
    } else {
        format!("{} … {}", end(down, range.p05_step), end(up, range.p95_step))
    }
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
    fn what_the_glass_alone_does_is_told_about_the_figure() {
        for (figure, p05, p95, expected) in [
            (954.0, 947.0, 961.0, "± 0.7 %"),
            (100.0, 95.0, 108.0, "−5 % … +8 %"),
            // Both ends on one side of it.
            (100.0, 104.0, 110.0, "+4 % … +10 %"),
            (4.46, 0.9, 22.0, "−80 % … +400 %"),
            (100.0, 100.0, 100.0, "± 0 %"),
            (0.0, 0.0, 0.0, "–"),
        ] {
            assert_eq!(share_about(figure, FigureRange::new(figure, figure, p05, p95)), expected);
        }
        let x = FigureRange::new(0.3127, 0.3127, 0.3107, 0.3148);
        assert_eq!(about(0.3127, x, 1.0, ""), "± 0.002");
    }

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
