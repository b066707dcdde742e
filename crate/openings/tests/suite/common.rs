//! What the tests of windows share.

use openings::{Leads, Measurements, Opening};
use panel::{Panel, PanelOptions, Piece, panel_from_drawing};

/// A window without border and bars.
pub(crate) fn window(opening: Opening, filling: openings::Filling) -> Measurements {
    Measurements { opening, filling, border: None, bars: None, leads: Leads::default() }
}

/// The panel of a window that must be possible.
pub(crate) fn build(window: &Measurements) -> Panel {
    let drawing = window.drawing().unwrap_or_else(|faults| panic!("{window:?}: {faults}"));
    panel_from_drawing(&drawing, &PanelOptions::default())
        .unwrap_or_else(|error| panic!("{window:?}: {error}\n{drawing:?}"))
}

/// Area of an opening in closed form, mm²; w is its width, h its height.
///
/// - rectangle: w h
/// - semicircle of radius r = w/2 on a rectangle: w (h − r) + π r² / 2
/// - two-centred arch of half span a, rise f, radius r = (a² + f²) / 2a: each half is the sector from the springing to
///   the apex, of the angle φ = atan2(f, r − a) about its centre, less the triangle between centre, axis and apex:
///   r² φ / 2 − (r − a) f / 2; so w (h − f) + r² φ − (r − a) f
/// - segment of half chord a and rise f, radius r = (a² + f²) / 2f, half angle φ = asin(a / r):
///   w (h − f) + r² φ − a (r − f)
/// - circle: π d² / 4
pub(crate) fn area_mm2(opening: &Opening) -> f64 {
    use std::f64::consts::PI;
    match *opening {
        Opening::Rectangle { width_mm: w, height_mm: h } => w * h,
        Opening::RoundHeaded { width_mm: w, height_mm: h } => {
            let r = w / 2.0;
            w * (h - r) + PI * r * r / 2.0
        }
        Opening::Pointed { width_mm: w, height_mm: h, rise_mm } => {
            let a = w / 2.0;
            let f = rise_mm.unwrap_or(a * 3_f64.sqrt());
            let r = (a * a + f * f) / (2.0 * a);
            w * (h - f) + r * r * f.atan2(r - a) - (r - a) * f
        }
        Opening::Segmental { width_mm: w, height_mm: h, rise_mm: f } => {
            let a = w / 2.0;
            let r = (a * a + f * f) / (2.0 * f);
            w * (h - f) + r * r * (a / r).min(1.0).asin() - a * (r - f)
        }
        Opening::Round { diameter_mm: d } => PI * d * d / 4.0,
    }
}

/// Diameter of the largest circle in a piece, mm, or of one that is large `enough`: the deepest point of a grid, refined.
pub(crate) fn across_mm(piece: &Piece, enough: f64) -> f64 {
    let middle = piece.outline.distance_to_edge_mm(piece.interior_point);
    if 2.0 * middle >= enough {
        return 2.0 * middle;
    }
    let [low, high] = piece.bounds;
    let depth = |x: f64, y: f64| {
        let p = plane::PanelPoint::new(x, y);
        if piece.outline.contains(p) { piece.outline.distance_to_edge_mm(p) } else { 0.0 }
    };
    let (mut centre, mut reach) =
        ([(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0], [high[0] - low[0], high[1] - low[1]]);
    let mut best = 0.0;
    for _ in 0..6 {
        let about = centre;
        for i in -10..=10 {
            for j in -10..=10 {
                let (x, y) =
                    (about[0] + reach[0] * f64::from(i) / 20.0, about[1] + reach[1] * f64::from(j) / 20.0);
                let found = depth(x, y);
                if found > best {
                    (best, centre) = (found, [x, y]);
                }
            }
        }
        reach = reach.map(|r| r / 4.0);
    }
    2.0 * best
}

/// Differences between a piece's area and that of its mirror image: the largest, mm².
pub(crate) fn asymmetry_mm2(panel: &Panel) -> f64 {
    let key = |piece: &Piece, flip: bool| {
        let [low, high] = piece.bounds;
        let middle = (low[0] + high[0]) / 2.0;
        let x = if flip { panel.width_mm - middle } else { middle };
        [x, (low[1] + high[1]) / 2.0]
    };
    let mut worst: f64 = 0.0;
    for piece in &panel.pieces {
        let at = key(piece, true);
        let away = |other: &Piece| {
            let k = key(other, false);
            (k[0] - at[0]).hypot(k[1] - at[1])
        };
        let twin = panel.pieces.iter().min_by(|a, b| away(a).total_cmp(&away(b))).expect("a piece");
        worst = worst.max((twin.area_mm2 - piece.area_mm2).abs());
    }
    worst
}
