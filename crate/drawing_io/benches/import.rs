//! The time from an SVG file to a panel by number of pieces, beside the panel alone.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use drawing_io::{ImportOptions, import};
use panel::{PanelOptions, panel_from_drawing};

/// Wavy lines both ways: `columns` by `rows` pieces of about 20 mm, all in one layer without names.
fn file(columns: usize, rows: usize) -> String {
    let (width, height) = (columns * 20, rows * 20);
    let wave = |along: usize, at: usize, upright: bool| {
        let point = |u: f64, v: f64| if upright { format!("{v} {u}") } else { format!("{u} {v}") };
        let mut path = format!("<path d=\"M{}", point(0.0, at as f64));
        for step in 0..along.div_ceil(40) {
            let (a, b) = (step as f64 * 40.0, ((step + 1) * 40).min(along) as f64);
            let (third, bulge) = ((b - a) / 3.0, if step % 2 == 0 { 4.0 } else { -4.0 });
            let v = at as f64;
            path +=
                &format!("C{} {} {}", point(a + third, v + bulge), point(b - third, v + bulge), point(b, v));
        }
        path + "\"/>\n"
    };
    let lines: String = (1..rows)
        .map(|row| wave(width, row * 20, false))
        .chain((1..columns).map(|column| wave(height, column * 20, true)))
        .collect();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" viewBox=\"0 0 {width} {height}\">\
         <g fill=\"none\" stroke=\"black\" stroke-width=\"4\"><rect width=\"{width}\" height=\"{height}\"/>{lines}</g></svg>"
    )
}

fn imports(c: &mut Criterion) {
    for (columns, rows) in [(10, 20), (30, 40), (50, 100)] {
        let mut group = c.benchmark_group(format!("import of {} pieces", columns * rows));
        group.sample_size(10);
        let svg = file(columns, rows);
        let found = import(&svg, &ImportOptions::default()).expect("a window");
        assert_eq!(found.panel.pieces.len(), columns * rows);
        group.bench_function("file to panel", |b| {
            b.iter(|| import(black_box(&svg), &ImportOptions::default()).expect("a window"));
        });
        group.bench_function("drawing to panel", |b| {
            b.iter(|| {
                panel_from_drawing(black_box(&found.drawing), &PanelOptions::default()).expect("a panel")
            });
        });
        group.finish();
    }
}

criterion_group!(benches, imports);
criterion_main!(benches);
