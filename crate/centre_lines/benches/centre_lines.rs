//! The time from filled shapes to centre lines, by number of panes. Beside it, the first step of the naive way: comparing
//! every edge of the lead with every other.

use centre_lines::{CentreLineOptions, FillRule, FilledShape, between_panes, centre_lines};
use criterion::{Criterion, criterion_group, criterion_main};
use plane::{PanelPoint, distance_squared_to_segment};
use std::hint::black_box;

/// Side of a pane, mm.
const PANE_MM: f64 = 40.0;
/// Width of the leads, mm.
const LEAD_MM: f64 = 5.0;

/// The grid's lines, wavy.
fn bulge(along: f64, line: usize) -> f64 {
    4.0 * (along / 30.0 + line as f64).sin()
}

/// A ribbon along a wavy line: its left side, then its right side back.
fn ribbon(line: usize, length: f64, upright: bool) -> FilledShape {
    let steps = (length / 4.0).ceil() as usize;
    let side = |i: usize, offset: f64| {
        let along = i as f64 / steps as f64 * length;
        let at = line as f64 * PANE_MM + bulge(along, line) + offset;
        if upright { PanelPoint::new(at, along) } else { PanelPoint::new(along, at) }
    };
    let left = (0..=steps).map(|i| side(i, LEAD_MM / 2.0));
    let right = (0..=steps).rev().map(|i| side(i, -LEAD_MM / 2.0));
    FilledShape { rings: vec![left.chain(right).collect()], fill: FillRule::NonZero }
}

fn ribbons(columns: usize, rows: usize) -> Vec<FilledShape> {
    let (width, height) = (columns as f64 * PANE_MM, rows as f64 * PANE_MM);
    let level = (0..=rows).map(|row| ribbon(row, width, false));
    level.chain((0..=columns).map(|column| ribbon(column, height, true))).collect()
}

fn panes(columns: usize, rows: usize) -> Vec<FilledShape> {
    let (low, high) = (LEAD_MM / 2.0, PANE_MM - LEAD_MM / 2.0);
    let pane = |i: usize| {
        let (x, y) = ((i % columns) as f64 * PANE_MM, (i / columns) as f64 * PANE_MM);
        let corners = [[low, low], [high, low], [high, high], [low, high]];
        let ring = corners.map(|[u, v]| PanelPoint::new(x + u, y + v)).to_vec();
        FilledShape { rings: vec![ring], fill: FillRule::NonZero }
    };
    (0..columns * rows).map(pane).collect()
}

/// For every edge, the nearest other edge.
fn compare_all(edges: &[(PanelPoint, PanelPoint)]) -> f64 {
    let nearest = |i: usize, (a, _): (PanelPoint, PanelPoint)| {
        let others = edges.iter().enumerate().filter(move |(j, _)| *j != i);
        others.map(|(_, &(b, c))| distance_squared_to_segment(a, b, c)).fold(f64::INFINITY, f64::min)
    };
    edges.iter().enumerate().map(|(i, &edge)| nearest(i, edge)).sum()
}

fn edges(shapes: &[FilledShape]) -> Vec<(PanelPoint, PanelPoint)> {
    let rings = shapes.iter().flat_map(|shape| &shape.rings);
    rings.flat_map(|ring| ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))).collect()
}

fn nets(c: &mut Criterion) {
    let options = CentreLineOptions::default();
    for (columns, rows) in [(10, 20), (50, 100)] {
        let mut group = c.benchmark_group(format!("centre lines of ribbons around {} panes", columns * rows));
        group.sample_size(10);
        let shapes = ribbons(columns, rows);
        let found = centre_lines(&shapes, &options).expect("lines");
        assert!(found.lines.len() >= columns + rows - 2);
        group.bench_with_input("ours", &shapes, |b, shapes| {
            b.iter(|| centre_lines(black_box(shapes), &options).expect("lines"));
        });
        group.bench_with_input("naive", &edges(&shapes), |b, edges| b.iter(|| compare_all(black_box(edges))));
        group.finish();
        let mut group = c.benchmark_group(format!("centre lines between {} panes", columns * rows));
        group.sample_size(10);
        let shapes = panes(columns, rows);
        let found = between_panes(&shapes, None, &options).expect("lines");
        assert_eq!(found.lines.len(), columns + rows - 2);
        group.bench_with_input("ours", &shapes, |b, shapes| {
            b.iter(|| between_panes(black_box(shapes), None, &options).expect("lines"));
        });
        group.bench_with_input("naive", &edges(&shapes), |b, edges| b.iter(|| compare_all(black_box(edges))));
        group.finish();
    }
}

criterion_group!(benches, nets);
criterion_main!(benches);
