//! Numbers of pieces and places of lines that can be counted by hand.

use crate::common::{build, window};
use openings::{Bars, Border, Filling, Measurements, Opening};

const RECTANGLE: Opening = Opening::Rectangle { width_mm: 600.0, height_mm: 800.0 };

fn count(window: &Measurements) -> usize {
    build(window).pieces.len()
}

fn with_border(width_mm: f64, piece_mm: f64, window: Measurements) -> Measurements {
    Measurements { border: Some(Border { width_mm, piece_mm: Some(piece_mm) }), ..window }
}

#[test]
fn rectangles() {
    let panes = window(RECTANGLE, Filling::Rectangles { columns: 3, rows: 4 });
    assert_eq!(count(&panes), 12);
    // Along the middle of the border 550 and 750 mm: 4 and 5 pieces of about 150 mm on each side.
    assert_eq!(count(&with_border(50.0, 150.0, panes)), 12 + 2 * (4 + 5));
    // 600 / 190 is nearest to 3, 800 / 210 to 4.
    let by_size = Filling::RectanglesBySize { pane_width_mm: 190.0, pane_height_mm: 210.0 };
    let panel = build(&window(RECTANGLE, by_size));
    assert_eq!(panel.pieces.len(), 12);
    assert!(panel.pieces.iter().all(|piece| (piece.area_mm2 - 200.0 * 200.0).abs() < 0.1));
    assert_eq!(count(&window(RECTANGLE, Filling::Plain {})), 1);
}

#[test]
fn quarries() {
    // n across and m up: n (m − 1) + (n − 1) m whole ones, 2 n halves at bottom and top, 2 m at the sides.
    let quarries = Filling::Quarries { width_mm: 100.0, height_mm: 160.0 };
    let panel = build(&window(RECTANGLE, quarries));
    assert_eq!(panel.pieces.len(), 6 * 4 + 5 * 5 + 2 * 6 + 2 * 5);
    let whole = panel.pieces.iter().filter(|piece| (piece.area_mm2 - 100.0 * 160.0 / 2.0).abs() < 0.1);
    assert_eq!(whole.count(), 6 * 4 + 5 * 5);
    // 105 mm is drawn as 100, 150 as 160.
    let near = Filling::Quarries { width_mm: 105.0, height_mm: 150.0 };
    assert_eq!(build(&window(RECTANGLE, near)), panel);
}

#[test]
fn borders() {
    // A circle: four quarters, 900 mm diameter at the middle of the border, each 707 mm long: 5 pieces of about 150.
    let round = window(Opening::Round { diameter_mm: 960.0 }, Filling::Plain {});
    assert_eq!(count(&with_border(60.0, 150.0, round)), 4 * 5 + 1);
    // A round head: bottom 540, sides from the corner to the springing 870, quarters of 424 mm at the middle.
    let opening = Opening::RoundHeaded { width_mm: 600.0, height_mm: 1200.0 };
    let headed = window(opening, Filling::Plain {});
    assert_eq!(count(&with_border(60.0, 150.0, headed)), 4 + 2 * 6 + 2 * 3 + 1);
}

#[test]
fn a_border_of_a_pointed_arch_has_the_same_centres() {
    let opening = Opening::Pointed { width_mm: 600.0, height_mm: 1300.0, rise_mm: None };
    let drawing = with_border(50.0, 150.0, window(opening, Filling::Plain {})).drawing().expect("possible");
    // Radius 600 less 50, as written in the path.
    assert!(drawing.outline.path.contains("A600 600 0 0 1 300 1300"), "{}", drawing.outline.path);
    let inner = &drawing.cutlines[0].path;
    assert!(inner.contains("A550 550 0 0 1") && inner.ends_with('Z'), "{inner}");
    // The apex of the inner arcs: √(550² − 300²) above the springing line at 1300 − 300 √3.
    let apex = 1300.0 - 300.0 * 3_f64.sqrt() + (550_f64.powi(2) - 300_f64.powi(2)).sqrt();
    assert!(inner.contains(&format!("300 {}", (apex * 1e4).round() / 1e4)), "{inner}");
}

#[test]
fn bars_lie_on_rows() {
    let filling = Filling::Rectangles { columns: 2, rows: 7 };
    let opening = Opening::Rectangle { width_mm: 500.0, height_mm: 1400.0 };
    let barred = Measurements { bars: Some(Bars::default()), ..window(opening, filling) };
    // 1400 / 450 is nearest to 3: bars at 466.7 and 933.3, moved to the rows at 400 or 600 and 1000 or 800.
    let paths: Vec<String> =
        barred.drawing().expect("possible").bars.into_iter().map(|bar| bar.path).collect();
    assert_eq!(paths, ["M0 400L500 400", "M0 1000L500 1000"]);
    // Without rows, at equal distances.
    let plain = Measurements { filling: Filling::Plain {}, ..barred };
    let paths: Vec<String> =
        plain.drawing().expect("possible").bars.into_iter().map(|bar| bar.path).collect();
    assert_eq!(paths, ["M0 466.6667L500 466.6667", "M0 933.3333L500 933.3333"]);
}
