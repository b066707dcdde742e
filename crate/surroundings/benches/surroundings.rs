//! A street, a block and many blocks: geometry once; then an hour at 81 wavelengths, beside an exchange made anew for it.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use plane::RoomVector;
use surroundings::{Block, Exchange, Fineness, Light, Lit, Reflectances, Site};

const WAVELENGTHS: usize = 81;

fn hour(exchange: &Exchange) -> Lit<WAVELENGTHS> {
    let sky = |toward: RoomVector| [4000.0 * (1.0 + toward.to_array()[1]); WAVELENGTHS];
    let even = |share: f64| [share; WAVELENGTHS];
    let blocks = vec![even(0.3); exchange.site().blocks.len()];
    let reflectances = Reflectances { ground: even(0.2), own_building: even(0.4), blocks };
    let sun = Some(RoomVector::toward_sky(20.0, 40.0));
    let light = Light { sky: &sky, edges: &surroundings::no_edges, sun, beam_normal: even(6e4) };
    exchange.lit(light, &reflectances).expect("reflectances from 0 to 1")
}

fn surroundings(c: &mut Criterion) {
    let house = |k: usize| {
        let left = -80.0 + 20.0 * (k % 8) as f64;
        let distance_m = 15.0 + 30.0 * (k / 8) as f64;
        Block { distance_m, x_m: [left, left + 12.0], height_m: 8.0 + (k % 5) as f64, depth_m: 10.0 }
    };
    let one = Block { distance_m: 12.0, x_m: [-4.0, 6.0], height_m: 13.0, depth_m: 9.0 };
    for (name, blocks) in [
        ("a street", vec![Block::street(12.0, 9.0)]),
        ("a block", vec![one]),
        ("eight blocks", (0..8).map(house).collect()),
        ("64 blocks", (0..64).map(house).collect()),
    ] {
        let site = Site { window_middle_height_m: 2.4, own_height_m: 10.0, blocks };
        let made = |site: &Site| Exchange::new(site, Fineness::Quick).expect("possible measurements");
        let mut group = c.benchmark_group(name);
        group.sample_size(10);
        let exchange = made(&site);
        group.bench_function("ours", |b| b.iter(|| hour(black_box(&exchange))));
        group.bench_function("naive", |b| b.iter(|| hour(&made(black_box(&site)))));
        let lit = hour(&exchange);
        let down = RoomVector::toward_sky(10.0, -20.0);
        group.bench_function("a view", |b| b.iter(|| lit.seen(black_box(down))));
        group.finish();
    }
}

criterion_group!(benches, surroundings);
criterion_main!(benches);
