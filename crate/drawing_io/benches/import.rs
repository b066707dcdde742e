//! The time from an SVG file to a panel by number of pieces: from lines, and from panes with gaps between them. For scale,
//! the time in which every edge of the panel would be compared with every other: a part of the work, done without an index.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use drawing_io::{Import, ImportOptions, import};
use plane::{PanelPoint, distance_squared_to_segment};

/// Size of a piece, mm.
const PIECE_MM: usize = 40;

/// Sizes of windows, in pieces across and up.
const WINDOWS: [(usize, usize); 3] = [(10, 20), (30, 40), (50, 100)];

/// Wavy lines both ways, all in one layer without names.
fn lines(columns: usize, rows: usize) -> String {
    let (width, height) = (columns * PIECE_MM, rows * PIECE_MM);
    let wave = |along: usize, at: usize, upright: bool| {
        let point = |u: f64, v: f64| if upright { format!("{v} {u}") } else { format!("{u} {v}") };
        let mut path = format!("<path d=\"M{}", point(0.0, at as f64));
        for step in 0..along.div_ceil(2 * PIECE_MM) {
            let from = step * 2 * PIECE_MM;
            let (a, b) = (from as f64, (from + 2 * PIECE_MM).min(along) as f64);
            let (third, bulge) = ((b - a) / 3.0, if step % 2 == 0 { 8.0 } else { -8.0 });
            let v = at as f64;
            path +=
                &format!("C{} {} {}", point(a + third, v + bulge), point(b - third, v + bulge), point(b, v));
        }
        path + "\"/>\n"
    };
    let lines: String = (1..rows)
        .map(|row| wave(width, row * PIECE_MM, false))
        .chain((1..columns).map(|column| wave(height, column * PIECE_MM, true)))
        .collect();
    file(
        [width, height],
        &format!(
            "<g fill=\"none\" stroke=\"black\" stroke-width=\"4\">\
             <rect width=\"{width}\" height=\"{height}\"/>{lines}</g>"
        ),
    )
}

/// Rounded panes 5 mm apart.
fn panes(columns: usize, rows: usize) -> String {
    let pane = |i: usize| {
        let (x, y) = (i % columns * PIECE_MM, i / columns * PIECE_MM);
        let size = PIECE_MM - 5;
        format!("<rect x=\"{x}\" y=\"{y}\" width=\"{size}\" height=\"{size}\" rx=\"2\" fill=\"#27408b\"/>\n")
    };
    let panes: String = (0..columns * rows).map(pane).collect();
    file([columns * PIECE_MM, rows * PIECE_MM], &panes)
}

fn file([width, height]: [usize; 2], content: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" viewBox=\"-10 -10 {} {}\">{content}</svg>",
        width + 20,
        width + 20,
        height + 20
    )
}

/// For every edge of every piece, the nearest other edge.
fn compare_all(edges: &[(PanelPoint, PanelPoint)]) -> f64 {
    let nearest = |i: usize, (a, _): (PanelPoint, PanelPoint)| {
        let others = edges.iter().enumerate().filter(move |(j, _)| *j != i);
        others.map(|(_, &(b, c))| distance_squared_to_segment(a, b, c)).fold(f64::INFINITY, f64::min)
    };
    edges.iter().enumerate().map(|(i, &edge)| nearest(i, edge)).sum()
}

fn edges(found: &Import) -> Vec<(PanelPoint, PanelPoint)> {
    let leads = found.panel.leads.iter();
    leads.flat_map(|lead| lead.points.windows(2).map(|pair| (pair[0], pair[1]))).collect()
}

fn imports(c: &mut Criterion) {
    for (columns, rows) in WINDOWS {
        for (what, svg) in [("lines", lines(columns, rows)), ("panes", panes(columns, rows))] {
            let mut group = c.benchmark_group(format!("import of {} pieces drawn as {what}", columns * rows));
            group.sample_size(10);
            let found = import(&svg, &ImportOptions::default()).expect("a window");
            assert_eq!(found.panel.pieces.len(), columns * rows);
            group.bench_function("ours", |b| {
                b.iter(|| import(black_box(&svg), &ImportOptions::default()).expect("a window"));
            });
            let edges = edges(&found);
            group.bench_function("every pair of edges alone", |b| b.iter(|| compare_all(black_box(&edges))));
            group.finish();
        }
    }
}

criterion_group!(benches, imports);
criterion_main!(benches);
