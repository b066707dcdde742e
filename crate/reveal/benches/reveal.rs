//! A window with reveals: preparing it, and an hour, as short sums over few patches beside the fine solution each time.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{Depths, Opening, Outline, Patches, Reveal};
use spectra::Spectrum;

/// About as many directions as a prepared window has.
fn directions() -> Vec<RoomVector> {
    let rows = (0..24).flat_map(|i| (0..25).map(move |j| (f64::from(i), f64::from(j))));
    rows.map(|(i, j)| RoomVector::toward_sky(7.2 * j - 86.4, 7.5 * i - 86.25)).collect()
}

fn radiance(toward: RoomVector) -> Spectrum {
    Spectrum::splat(if toward[1] > 0.0 { 1.0 + toward[1] } else { 0.3 })
}

fn depths() -> Depths {
    let inner = Reveal { depth_m: 0.4, jamb_deg: 40.0, head_deg: 20.0, sill_deg: 45.0 };
    Depths { outer: Reveal::straight(0.2), inner, overhang: None }
}

fn arch() -> Outline {
    let head = (0..=40).map(|i| (f64::from(i) / 40.0 * std::f64::consts::PI).sin_cos());
    let ring: Vec<WallPoint> = head
        .map(|(sin, cos)| WallPoint::new(0.3 + 0.3 * cos, 1.3 + 0.3 * sin))
        .chain([[0.0, 0.0], [0.6, 0.0]].map(WallPoint::from))
        .collect();
    Outline::ring(&ring).expect("an arch")
}

fn reveal(c: &mut Criterion) {
    let directions = directions();
    let light: Vec<Spectrum> = directions.iter().map(|&d| radiance(d)).collect();
    let stone = Spectrum::splat(0.4);
    for (name, outline) in [("lancet", Outline::rectangle(0.5, 1.6).expect("a rectangle")), ("arch", arch())]
    {
        let opening =
            |patches| Opening::new(outline.clone(), &depths(), patches).expect("possible measurements");
        let (few, fine) = (opening(Patches::Few), opening(Patches::Fine));
        let (sides, fine_sides) = (few.outer_sides(), fine.outer_sides());
        let response = sides.response(&directions);
        c.bench_function(&format!("reveals of a {name}, prepared"), |b| {
            b.iter(|| {
                let opening = opening(Patches::Few);
                let outer = opening.outer_sides();
                black_box((outer.response(&directions), opening.inner_sides()))
            });
        });
        let mut hour = c.benchmark_group(format!("an hour of the reveals of a {name}"));
        hour.bench_function("ours", |b| {
            b.iter(|| sides.exitance(&response.received(black_box(&light)), |_| stone));
        });
        hour.sample_size(10);
        hour.bench_function("naive", |b| {
            b.iter(|| fine_sides.exitance(&fine_sides.received(|d| radiance(black_box(d))), |_| stone));
        });
        hour.finish();
        let sun = RoomVector::toward_sky(35.0, 30.0);
        c.bench_function(&format!("the sun on the reveals of a {name}"), |b| {
            b.iter(|| few.beam(black_box(sun)).map(|beam| beam.on_outer()));
        });
        let piece = WallPoint::slice(&[[0.1, 0.5], [0.3, 0.5], [0.3, 0.8], [0.1, 0.8]]);
        c.bench_function(&format!("a piece of a {name} seen by a point"), |b| {
            let view = few.from_eye(RoomPoint::new(1.5, 0.4, 3.0)).expect("a point in the room");
            b.iter(|| {
                view.visible(black_box(piece)).iter().map(|ring| view.through(ring)).collect::<Vec<_>>()
            });
        });
    }
}

criterion_group!(benches, reveal);
criterion_main!(benches);
