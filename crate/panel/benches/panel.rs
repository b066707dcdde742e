//! The time from drawing to panel by number of pieces, compared with the naive search for meeting points.

use criterion::{Criterion, criterion_group, criterion_main};
use panel::{Cutline, Drawing, LineEdit, LivePanel, Outline, PanelOptions, panel_from_drawing};
use plane::PanelPoint;
use std::hint::black_box;

/// A wavy line along one axis at a place on the other; `moved`: how much farther its middle bulges.
fn wave(along: f64, at: f64, upright: bool, seed: usize, moved: f64) -> Cutline {
    let mut path = String::new();
    let steps = (along / 40.0).ceil() as usize;
    for i in 0..steps {
        let (a, b) = (i as f64 / steps as f64 * along, (i + 1) as f64 / steps as f64 * along);
        let bulge = if (i + seed).is_multiple_of(2) { 4.0 } else { -4.0 };
        let bulge = if i == steps / 2 { bulge + moved } else { bulge };
        let third = (b - a) / 3.0;
        let points = [(a, at), (a + third, at + bulge), (b - third, at + bulge), (b, at)];
        let p = points.map(|(u, v)| if upright { format!("{v} {u}") } else { format!("{u} {v}") });
        if i == 0 {
            path += &format!("M{}", p[0]);
        }
        path += &format!("C{} {} {}", p[1], p[2], p[3]);
    }
    Cutline { path, face_mm: 4.0 }
}

/// Wavy lines both ways: `columns` by `rows` pieces of about 20 mm.
fn waves(columns: usize, rows: usize) -> Drawing {
    let (width, height) = (columns as f64 * 20.0, rows as f64 * 20.0);
    let level = (1..rows).map(|r| wave(width, r as f64 * 20.0, false, r, 0.0));
    let upright = (1..columns).map(|c| wave(height, c as f64 * 20.0, true, c, 0.0));
    Drawing {
        outline: Outline { path: format!("M0 0H{width}V{height}H0Z"), face_mm: 10.0 },
        cutlines: level.chain(upright).collect(),
        bars: vec![],
    }
}

/// The naive way: tests every segment of the panel's leads against every other, counting the pairs that meet.
fn meet_all_pairs(segments: &[(PanelPoint, PanelPoint)]) -> usize {
    let side = |a: PanelPoint, b: PanelPoint, c: PanelPoint| (b - a).cross(c - a);
    let mut count = 0;
    for (i, s) in segments.iter().enumerate() {
        for t in &segments[i + 1..] {
            let across = side(s.0, s.1, t.0) * side(s.0, s.1, t.1) <= 0.0;
            if across && side(t.0, t.1, s.0) * side(t.0, t.1, s.1) <= 0.0 {
                count += 1;
            }
        }
    }
    count
}

fn build(c: &mut Criterion) {
    for (columns, rows) in [(30, 40), (50, 100)] {
        let mut group = c.benchmark_group(format!("panel of {} pieces", columns * rows));
        group.sample_size(10);
        let drawing = waves(columns, rows);
        let options = PanelOptions::default();
        let panel = panel_from_drawing(&drawing, &options).expect("a panel");
        assert_eq!(panel.pieces.len(), columns * rows);
        let segments: Vec<_> = panel
            .leads
            .iter()
            .flat_map(|lead| lead.points.windows(2).map(|pair| (pair[0], pair[1])))
            .collect();
        group.bench_with_input("ours", &drawing, |b, drawing| {
            b.iter(|| panel_from_drawing(black_box(drawing), &options).expect("a panel"));
        });
        // Only the first step of the naive way: testing every pair of segments for a meeting point.
        group.bench_with_input("naive", &segments, |b, segments| {
            b.iter(|| meet_all_pairs(black_box(segments)));
        });
        group.finish();
    }
}

/// Moves a point of the middle line there and back.
fn moved_point(c: &mut Criterion) {
    for (columns, rows) in [(11, 15), (30, 40), (50, 100)] {
        let mut group = c.benchmark_group(format!("a moved point among {} pieces", columns * rows));
        group.sample_size(10);
        let options = PanelOptions::default();
        let mut live = LivePanel::new(waves(columns, rows), options).expect("a panel");
        let row = rows / 2;
        let width = columns as f64 * 20.0;
        let edits = [2.0, 0.0].map(|moved| LineEdit::ReplaceCutline {
            index: row - 1,
            cutline: wave(width, row as f64 * 20.0, false, row, moved),
        });
        let mut turn = edits.iter().cycle();
        group.bench_function("ours", |b| {
            b.iter(|| {
                let edit = turn.next().expect("an edit");
                live.apply(std::slice::from_ref(black_box(edit))).expect("a panel")
            });
        });
        assert_eq!(live.panel(), &panel_from_drawing(live.drawing(), &options).expect("a panel"));
        // The naive way: build the whole panel again.
        group.bench_function("naive", |b| {
            b.iter(|| panel_from_drawing(black_box(live.drawing()), &options).expect("a panel"));
        });
        group.finish();
    }
}

criterion_group!(benches, build, moved_point);
criterion_main!(benches);
