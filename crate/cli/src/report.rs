//! `clerestory report`: one instant's figures.

use std::collections::BTreeMap;

use scene::{Resolved, WorkingPlane};
use viewing::{DESIGN_AID, FigureRange, Front, Glare, Illuminance, Look, PieceReport, Report};

use crate::arguments::{self, CAUTION};
use crate::fault::CliError;
use crate::table::{Align, ROUNDED, Table, adds_up, figure, figure_or_dash, fixed, per_cent};
use crate::{buildings, open, output, ranges, walls};

/// Prints the report.
///
/// # Errors
/// A scene with faults, an unknown variant or place, an unreadable time.
pub(crate) fn run(asked: &arguments::Report) -> Result<(), CliError> {
    let resolved = open::resolved(&asked.subject)?;
    let place = asked.subject.place.as_deref();
    let report = viewing::report(&resolved, asked.at.as_deref(), place)?;
    if asked.json {
        return output::print_json(&report);
    }
    output::print(&in_words(&report, &resolved, &asked.subject, asked.pieces))
}

fn in_words(report: &Report, resolved: &Resolved, subject: &arguments::Subject, every_piece: bool) -> String {
    let place = subject.place.as_deref().or(resolved.scene.places.first().map(|p| p.name.as_str()));
    let mut text = report.scene.clone();
    if let Some(variant) = &subject.variant {
        text += &format!(", variant {variant}");
    }
    text += &format!("\n{}, that is {}\n", report.local, report.utc);
    text += &format!("Seen from: {}\n", place.unwrap_or("–"));
    let note = resolved.scene.note.trim();
    if !note.is_empty() {
        text += &format!("Note: {note}\n");
    }

    text += "\nSun and sky\n";
    text += &outside(report);
    let front = report.viewing.front();
    let at = front.plane.map_or("at the viewing position".to_owned(), WorkingPlane::words);
    text += &format!("\nLight {at}\n");
    text += &illuminances(report);
    text += &share(&front);
    text += &format!("\nCast: {}\n", front.cast.words);
    text += &cast(&front);
    text += "\nHow things look in it\n";
    text += &looks(&front);
    text += "\nGlare, looking straight at the window\n";
    text += &glare(&report.viewing.glare);
    if let Some(buildings) = &report.buildings {
        text += "\nBuildings outside\n";
        text += &buildings::in_words(buildings);
    }
    if !report.walls.is_empty() {
        text += "\nWall around the window\n";
        text += &walls::in_words(&report.walls);
    }
    if !report.leads.is_empty() {
        text += "\nDepth of the leads\n";
        text += &walls::leads_in_words(&report.leads);
    }
    if let Some(ranges) = &report.ranges {
        text += "\nHow well this is known\n";
        text += &ranges::in_words(ranges, &report.viewing);
    }
    text += "\nGlass as seen from here\n";
    text += &glasses(&report.pieces, resolved);
    if every_piece {
        text += "\nPieces\n";
        text += &pieces(report);
    }
    // The caution below gives that warning in full.
    let warnings: Vec<&String> = report.warnings.iter().filter(|warning| *warning != DESIGN_AID).collect();
    if !warnings.is_empty() {
        text += "\nTo bear in mind\n";
        for warning in warnings {
            text += &format!("  • {warning}\n");
        }
    }
    text + "\n" + CAUTION + "\n"
}

fn outside(report: &Report) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
    let sun = &report.sun;
    table.row(["sun above the horizon", &fixed(Some(sun.altitude_deg), 1), "°"]);
    table.row(["sun's bearing from true north", &fixed(Some(sun.azimuth_deg), 1), "°"]);
    match sun.incidence_deg {
        Some(angle) => table.row(["angle of the sun on the glass", &fixed(Some(angle), 1), "°"]),
        None => table.row(["angle of the sun on the glass", "–", "not before the glass"]),
    }
    let outside = &report.outside;
    // All of it is in front of the windows' own wall.
    let before = if report.walls.is_empty() { "window" } else { "wall" };
    table.row([
        &format!("sun before the {before}, on a plane facing it"),
        &figure(outside.beam_normal_lx),
        &format!("lx{}", hidden(report)),
    ]);
    table.row(["sky, on open ground", &figure(outside.diffuse_horizontal_lx), "lx"]);
    table.row(["sun and sky, on open ground", &figure(outside.global_horizontal_lx), "lx"]);
    table.row([&format!("all, upright before the {before}"), &figure(outside.vertical_on_glass_lx), "lx"]);
    table.text()
}

/// What buildings do to the sun before the window: on open ground it shines past them.
fn hidden(report: &Report) -> &'static str {
    let outside = &report.outside;
    let on_open_ground = outside.global_horizontal_lx - outside.diffuse_horizontal_lx;
    let before = outside.beam_normal_lx * report.sun.altitude_deg.to_radians().sin();
    // Neither can be told from the other to more digits.
    if on_open_ground < 0.005 || before > 0.99 * on_open_ground {
        ""
    } else if before > 0.0 {
        ", partly hidden by a building"
    } else {
        ", hidden by a building"
    }
}

fn illuminances(report: &Report) -> String {
    let mut table = Table::new(&[
        Align::Left,
        Align::Right,
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Left,
    ]);
    table.row(["", "total", "in nine cases of ten", "sky, ground", "sun", "by the room", ""]);
    let viewing = &report.viewing;
    let plane = viewing.front().plane.map(|plane| format!("on the {}, facing up", plane.kind.name()));
    let all = report.ranges.as_ref().map(|ranges| &ranges.everything);
    let [vertical, horizontal] = [all.map(|all| all.vertical_lx), all.map(|all| all.horizontal_lx)];
    let rows: &[_] = match &plane {
        None => &[
            ("upright, facing the window", &viewing.vertical, vertical),
            ("level, facing up", &viewing.horizontal, horizontal),
        ],
        Some(plane) => &[
            (plane, viewing.front().light, all.and_then(|all| all.working_plane_lx)),
            ("at the eye, facing the window", &viewing.vertical, vertical),
            ("at the eye, facing up", &viewing.horizontal, horizontal),
        ],
    };
    let mut is_exact = true;
    for (name, light, range) in rows {
        let Illuminance { total_lx, sky_ground_lx, sun_lx, room_lx, .. } = **light;
        let total =
            range.map_or_else(|| figure(total_lx), |range| ranges::rounded(total_lx, range.figure_step));
        let [sky_ground, sun, room] = [sky_ground_lx, sun_lx, room_lx]
            .map(|lx| range.map_or_else(|| figure(lx), |range| part_of(lx, range)));
        let ends = range.map_or_else(String::new, |range| ranges::ends(range, 1.0));
        is_exact &= adds_up(&total, &[&sky_ground, &sun, &room]);
        table.row([name, &total, &ends, &sky_ground, &sun, &room, "lx"]);
    }
    table.text() + if is_exact { "" } else { ROUNDED }
}

/// A part, to one digit more than the total deserves, so that the parts add up, and to at least one; never to more digits
/// than any figure.
fn part_of(lx: f64, range: FigureRange) -> String {
    let own = if lx > 0.0 { 10f64.powf(lx.log10().floor()) } else { f64::INFINITY };
    let step = own.min(0.1 * range.figure_step);
    if lx >= 100.0 * step { figure(lx) } else { ranges::rounded(lx, step) }
}

fn share(front: &Front<'_>) -> String {
    match front.share_of_clear {
        Some(share) => {
            let on = front.plane.map_or_else(String::new, |plane| format!("on the {}, ", plane.kind.name()));
            format!("  {on}{} of what clear glass in the same leads would let in.\n", per_cent(Some(share)))
        }
        None => "  Too dark to compare with clear glass.\n".to_owned(),
    }
}

fn cast(front: &Front<'_>) -> String {
    let cast = front.cast;
    let dark = is_dark(front);
    let mut table = Table::new(&[Align::Left, Align::Left]);
    let pair = |a: Option<f64>, b: Option<f64>| format!("{}, {}", fixed(a, 4), fixed(b, 4));
    table.row(["x, y", &pair(cast.x, cast.y)]);
    let uncertainty = cast.uncertainty_uv.map_or(String::new(), |u| format!(" ± {u:.4} by the glass"));
    table.row(["u′, v′", &(pair(cast.u_prime, cast.v_prime) + &uncertainty)]);
    match (cast.cct_k, cast.duv) {
        (Some(k), Some(duv)) => {
            let sign = if duv < 0.0 { "−" } else { "+" };
            table.row(["colour temperature", &format!("{} K, Duv {sign}{:.4}", figure(k), duv.abs())]);
        }
        _ if cast.x.is_none() => table.row(["colour temperature", "–"]),
        _ => table.row(["colour temperature", "– (too strong a colour to have one)"]),
    }
    match cast.dominant_nm {
        Some(nm) if nm < 0.0 => table.row(["complementary wavelength", &format!("{:.0} nm (a purple)", -nm)]),
        nm => table.row(["dominant wavelength", &format!("{} nm", fixed(nm, 0))]),
    }
    table.row(["excitation purity", &fixed(cast.excitation_purity, 3)]);
    table.row(["shift from clear glass, Δu′v′", &fixed(cast.shift_from_clear, 4)]);
    table.row([
        "colour rendering, CIE Ra",
        &front.ra.map_or_else(
            || {
                if dark { "– (too dark to see colour)" } else { "– (has no meaning for this light)" }
                    .to_owned()
            },
            |ra| format!("{ra:.0}"),
        ),
    ]);
    let figures = table.text();
    if dark && cast.x.is_some() {
        format!("  Nobody sees these colours; the figures are for further computation only.\n{figures}")
    } else {
        figures
    }
}

/// Whether it is too dark to see colour.
fn is_dark(front: &Front<'_>) -> bool {
    front.looks.white_cloth.is_none()
}

fn glare(glare: &Glare) -> String {
    let mut text = match glare.dgp {
        None => format!("  Daylight glare probability (DGP) is {}.\n", glare.words),
        Some(dgp) => {
            let range = match (glare.dgp_p05, glare.dgp_p95) {
                (Some(low), Some(high)) => format!(", in nine cases of ten {low:.2} to {high:.2}"),
                _ => String::new(),
            };
            let measured = "the study behind it sat people at desks in offices, and they differed widely";
            format!("  DGP {dgp:.2}{range}: {} ({measured}).\n", glare.words)
        }
    };
    if glare.sun_share > 0.0 {
        let pieces: Vec<String> = glare.sun_through.iter().map(ToString::to_string).collect();
        let word = if pieces.len() == 1 { "piece" } else { "pieces" };
        text += &format!(
            "  The sun stands in the eyes: {} of its disc, through {word} {}.\n",
            per_cent(Some(glare.sun_share)),
            pieces.join(", ")
        );
    }
    text
}

fn looks(front: &Front<'_>) -> String {
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Left]);
    table.row(["", "L*", "a*", "b*", "sRGB"]);
    let looks = front.looks;
    for (name, look) in [
        ("white cloth", &looks.white_cloth),
        ("pale stone", &looks.pale_stone),
        ("dark skin", &looks.dark_skin),
        ("light skin", &looks.light_skin),
    ] {
        match look {
            Some(Look { lab: [l, a, b], srgb: [red, green, blue] }) => table.row([
                name,
                &fixed(Some(*l), 1),
                &fixed(Some(*a), 1),
                &fixed(Some(*b), 1),
                &format!("#{red:02x}{green:02x}{blue:02x}"),
            ]),
            None => table.row([name, "–", "–", "–", "–"]),
        }
    }
    table.text()
}

/// Pieces with the same make-up of glasses, taken together.
#[derive(Default)]
struct ByGlass {
    pieces: usize,
    area_mm2: f64,
    transmittance: [f64; 2],
    luminance: Option<[f64; 2]>,
}

fn glasses(pieces: &[PieceReport], resolved: &Resolved) -> String {
    let mut by_glass: BTreeMap<&str, ByGlass> = BTreeMap::new();
    for piece in pieces {
        let t = piece.transmittance_y;
        let entry =
            by_glass.entry(&piece.glass).or_insert(ByGlass { transmittance: [t, t], ..ByGlass::default() });
        entry.pieces += 1;
        entry.area_mm2 += piece.light_area_mm2;
        entry.transmittance = widened(entry.transmittance, t);
        if let Some(l) = piece.luminance_cd_m2 {
            entry.luminance = Some(entry.luminance.map_or([l, l], |range| widened(range, l)));
        }
    }
    let mut rows: Vec<_> = by_glass.into_iter().collect();
    rows.sort_by(|a, b| b.1.area_mm2.total_cmp(&a.1.area_mm2).then(a.0.cmp(b.0)));
    let mut table =
        Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left]);
    table.row(["glass", "pieces", "area, dm²", "transmittance, %", "luminance, cd/m²", "spectrum"]);
    for (glass, sum) in rows {
        table.row([
            glass,
            &sum.pieces.to_string(),
            &format!("{:.2}", sum.area_mm2 * 1e-4),
            &range(sum.transmittance.map(|t| 100.0 * t)),
            &sum.luminance.map_or("–".to_owned(), range),
            &marks(glass, resolved),
        ]);
    }
    table.text()
}

fn widened([low, high]: [f64; 2], value: f64) -> [f64; 2] {
    [low.min(value), high.max(value)]
}

fn range([low, high]: [f64; 2]) -> String {
    let (low, high) = (figure(low), figure(high));
    if low == high { low } else { format!("{low}…{high}") }
}

/// The provenance of the spectra of a piece's glasses.
fn marks(glass: &str, resolved: &Resolved) -> String {
    let mut marks: Vec<&str> = glass
        .split(" + ")
        .filter_map(|id| scene::find_glass(&resolved.scene, id))
        .map(|g| g.provenance.name())
        .collect();
    marks.sort_unstable();
    marks.dedup();
    marks.join(", ")
}

fn pieces(report: &Report) -> String {
    let mut table = Table::new(&[
        Align::Right,
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
    ]);
    table.row([
        "piece",
        "glass",
        "area, mm²",
        "transmittance, %",
        "luminance, cd/m²",
        "x",
        "y",
        "luminance in nine of ten",
    ]);
    for (place, piece) in report.pieces.iter().enumerate() {
        let range = report.ranges.as_ref().and_then(|ranges| ranges.pieces.get(place)?.luminance_cd_m2);
        table.row([
            &piece.id.to_string(),
            &piece.glass,
            &format!("{:.0}", piece.light_area_mm2),
            &figure(100.0 * piece.transmittance_y),
            &figure_or_dash(piece.luminance_cd_m2),
            &fixed(piece.x, 4),
            &fixed(piece.y, 4),
            &range.map_or_else(|| "–".to_owned(), |range| ranges::ends(range, 1.0)),
        ]);
    }
    table.text()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_have_a_digit_more_than_the_total_and_no_more_than_three() {
        let known_to_ten = FigureRange::new(167.0, 167.0, 120.0, 250.0);
        for (lx, expected) in [(94.4, "94"), (3.4, "3"), (0.2, "0.2"), (167.2, "167"), (0.0, "0")] {
            assert_eq!(part_of(lx, known_to_ten), expected);
        }
        let known_to_thousands = FigureRange::new(53_000.0, 53_000.0, 40_000.0, 62_000.0);
        assert_eq!(part_of(47_123.0, known_to_thousands), "47 100");
        assert_eq!(part_of(3_210.0, known_to_thousands), "3 200");
    }
}
