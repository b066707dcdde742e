//! A street and a block, once, and at eight wavelengths: one exchange lit again, beside an exchange for each.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use daylight::CieSky;
use plane::RoomVector;
use surroundings::{Block, Exchange, Light, Opposite, Reflectances, Site, Street, Vertical};

const WAVELENGTHS: usize = 8;

fn lit(exchange: &Exchange, sky: &(dyn Fn(RoomVector) -> f64 + Sync)) -> Vertical {
    let reflectances = Reflectances { ground: 0.2, own_building: 0.4, opposite: 0.3 };
    let lit = exchange.lit(Light { sky, beam_normal: 6e4 }, &reflectances).expect("reflectances from 0 to 1");
    for bearing in [0.0, 20.0] {
        black_box(lit.met(RoomVector::toward_sky(bearing, -30.0)).expect("a view outward"));
    }
    lit.vertical()
}

fn surroundings(c: &mut Criterion) {
    let sun = RoomVector::toward_sky(20.0, 40.0);
    let pattern = CieSky::new(12, 40.0).expect("a type of sky");
    let sky = move |toward: RoomVector| {
        let [x, y, z] = toward.to_array();
        let (bearing, altitude) = (x.atan2(-z).to_degrees(), y.atan2(x.hypot(z)).to_degrees());
        4000.0 * pattern.relative_luminance(90.0 - altitude, bearing - 20.0)
    };
    let site = |opposite| Site { window_middle_height_m: 2.4, own_height_m: 10.0, opposite };
    let street = site(Opposite::Street(Street { distance_m: 12.0, height_m: 9.0 }));
    let block =
        site(Opposite::Block(Block { distance_m: 12.0, x_m: [-4.0, 6.0], height_m: 13.0, depth_m: 9.0 }));
    let exchange = |site: &Site| Exchange::new(site, Some(sun)).expect("possible measurements");

    for (name, site) in [("street", street), ("block", block)] {
        c.bench_function(&format!("a {name} once"), |b| b.iter(|| lit(&exchange(black_box(&site)), &sky)));
        let mut group = c.benchmark_group(format!("a {name} at {WAVELENGTHS} wavelengths"));
        group.sample_size(10);
        group.bench_function("ours", |b| {
            b.iter(|| {
                let exchange = exchange(black_box(&site));
                (0..WAVELENGTHS).map(|_| lit(&exchange, &sky).total()).sum::<f64>()
            });
        });
        group.bench_function("naive", |b| {
            b.iter(|| (0..WAVELENGTHS).map(|_| lit(&exchange(black_box(&site)), &sky).total()).sum::<f64>());
        });
        group.finish();
    }
}

criterion_group!(benches, surroundings);
criterion_main!(benches);
