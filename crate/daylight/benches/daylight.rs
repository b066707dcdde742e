//! Light outside, each computation compared with the naive way to the same result: `cargo bench -p daylight`.
#![allow(missing_docs, reason = "a benchmark has no readers of its documentation")]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use daylight::{
    Atmosphere, Block, Buildings, ClearSky, Direction, Ground, Horizon, HorizonPoint, Instant, Outside,
    Place, Site, Sky, Spectrl2Inputs, hosek_wilkie, spectrl2, spectrl2_bands, sun_position,
};
use spectra::{Spectrum, luminous};

fn inputs() -> Spectrl2Inputs {
    Spectrl2Inputs {
        apparent_zenith_deg: 60.0,
        day_of_year: 172.0,
        pressure_hpa: 1013.0,
        atmosphere: Atmosphere::default(),
        ground_albedo: Spectrum::splat(0.2),
    }
}

/// 2,160 directions: rings of 2.5° by 6°.
fn directions() -> Vec<Direction> {
    (0..36)
        .flat_map(|ring| {
            (0..60).map(move |step| Direction {
                altitude_deg: 1.25 + 2.5 * f64::from(ring),
                azimuth_deg: 6.0 * f64::from(step),
            })
        })
        .collect()
}

/// The clear sky computed literally by its definition: all 11 wavelengths of the pattern with their coefficients
/// recomputed, a logarithm and an exponential per sample.
fn naive_radiance(zenith_deg: f64, azimuth_from_sun_deg: f64, scale: &Spectrum) -> Spectrum {
    let nodes = hosek_wilkie::raw(1.98, 0.2, 30.0, &[[zenith_deg, azimuth_from_sun_deg]]).unwrap_or_default();
    let Some(nodes) = nodes.first() else { return Spectrum::ZERO };
    let shape = Spectrum::from_fn(|nm| {
        let at = ((nm - 320.0) / 40.0).min(10.0);
        let below = (at as usize).min(9);
        let share = at - below as f64;
        (nodes[below].ln() * (1.0 - share) + nodes[below + 1].ln() * share).exp()
    });
    shape * *scale
}

fn light(c: &mut Criterion) {
    let place = Place::at(51.75, -1.26);
    let noon = Instant::from_unix_ms(1_782_043_200_000).expect("a day in 2026");
    let sky = Sky::default();
    let open = || {
        let (ground, horizon) = (Ground::default(), Horizon::default());
        Outside::new(black_box(&place), noon, &sky, &ground, &horizon).expect("an ordinary day")
    };

    let mut group = c.benchmark_group("sun's place");
    group.bench_function("position", |b| b.iter(|| sun_position(black_box(&place), noon, 69.0)));
    group.finish();

    // An hour of a scene: in the open, within a skyline, and before buildings, whose geometry is prepared once.
    let mut group = c.benchmark_group("an hour outside");
    let house = |k: usize| Block {
        distance_m: 14.0 + 25.0 * (k / 4) as f64,
        x_m: [20.0 * (k % 4) as f64 - 40.0, 20.0 * (k % 4) as f64 - 28.0],
        height_m: 9.0,
        depth_m: 10.0,
    };
    let skyline = (0..6).map(|k| HorizonPoint { bearing_deg: 60.0 * f64::from(k), altitude_deg: 12.0 });
    let skyline = Horizon { points: skyline.collect(), ..Horizon::default() };
    let built = |blocks: usize| {
        let blocks: Vec<Block> = (0..blocks).map(house).collect();
        let walls = vec![Spectrum::splat(0.3); blocks.len()];
        let site = Site { window_middle_height_m: 2.4, own_height_m: 8.0, blocks };
        let buildings = Buildings::new(&site, 180.0, Spectrum::splat(0.4), walls).expect("a possible site");
        Horizon { buildings: Some(buildings), ..Horizon::default() }
    };
    for (name, horizon) in [
        ("open", Horizon::default()),
        ("skyline", skyline),
        ("own building", built(0)),
        ("one block", built(1)),
        ("eight blocks", built(8)),
        ("64 blocks", built(64)),
    ] {
        group.bench_function(name, |b| {
            b.iter(|| Outside::new(black_box(&place), noon, &sky, &Ground::default(), &horizon));
        });
    }
    group.finish();

    let mut group = c.benchmark_group("SPECTRL2 spectrum");
    group.bench_function("ours", |b| b.iter(|| spectrl2(black_box(&inputs()))));
    group.bench_function("naive", |b| {
        b.iter(|| {
            let bands = spectrl2_bands(black_box(&inputs())).expect("valid inputs");
            let pick = |f: fn(&daylight::BandLight) -> f64| {
                Spectrum::from_table(&bands.map(|band| (band.wavelength_nm, f(&band))))
            };
            (pick(|b| b.beam_normal), pick(|b| b.diffuse_horizontal), pick(|b| b.extraterrestrial))
        });
    });
    group.finish();

    let mut group = c.benchmark_group("dome of 2160 directions");
    group.sample_size(20);
    let outside = open();
    let dome = directions();
    group.bench_function("ours", |b| {
        b.iter(|| black_box(&dome).iter().map(|&d| outside.radiance(d)).collect::<Vec<_>>())
    });
    let scale = {
        let sky = ClearSky::from_inputs(&inputs()).expect("valid inputs");
        let (own, scaled) = (naive_radiance(10.0, 0.0, &Spectrum::ONE), sky.radiance_toward(10.0, 0.0));
        scaled / own
    };
    group.bench_function("naive", |b| {
        b.iter(|| -> Vec<Spectrum> {
            dome.iter()
                .map(|d| naive_radiance(90.0 - d.altitude_deg, d.azimuth_deg, black_box(&scale)))
                .collect()
        });
    });
    let basis = outside.basis(4);
    group.bench_function("weights of four spectra", |b| {
        let mut weights = vec![0.0; basis.spectra.len()];
        b.iter(|| {
            for &d in &dome {
                basis.weights_into(d, &mut weights);
                black_box(&weights);
            }
        });
    });
    group.finish();

    let mut group = c.benchmark_group("light outside at an instant");
    group.bench_function("prepare", |b| b.iter(open));
    group.bench_function("four spectra", |b| b.iter(|| outside.basis(4)));
    group.bench_function("on a wall", |b| {
        b.iter(|| luminous(&outside.irradiance_on(black_box(250.0), 90.0).1))
    });
    group.finish();

    let mut group = c.benchmark_group("light outside on a day of 96 instants");
    group.sample_size(10);
    group.bench_function("each with a dome of 2160 directions", |b| {
        b.iter(|| {
            (0..96)
                .map(|quarter| {
                    let instant = noon.plus_minutes(15.0 * f64::from(quarter));
                    let out = Outside::new(&place, instant, &sky, &Ground::default(), &Horizon::default());
                    out.map_or(0.0, |out| dome.iter().map(|&d| out.radiance(d)[34]).sum::<f64>())
                })
                .sum::<f64>()
        });
    });
    group.finish();
}

criterion_group!(benches, light);
criterion_main!(benches);
