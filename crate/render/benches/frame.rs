//! The cost of a moving sun, compared with the naive way.

#![allow(missing_docs, reason = "criterion's macros make public items")]

use std::{
    hint::black_box,
    time::{Duration, Instant},
};

use criterion::{Criterion, criterion_group, criterion_main};
use plane::contains;
use render::{
    Factors, Headless, LightTables, Look, NativeBackend, Renderer, SceneWindow, View, WindowModel,
    software_picture,
};
use spectra::{Observer, Spectrum, Xyz};

struct Demo {
    window: SceneWindow,
    outside: daylight::Outside,
}

fn demo() -> Demo {
    let document =
        scene::read(include_str!("../../../demo-scenes/estuary-lancet.json")).expect("the demo reads");
    let scene = scene::resolve(&document, None).expect("the demo resolves");
    let instant = scene.instant("2026-06-21T19:30").expect("a time").utc;
    let outside = scene.outside(instant).expect("a year with a sun");
    let window = SceneWindow::new(&scene, 0, scene.eye_m(None).expect("a place")).expect("a window");
    Demo { window, outside }
}

/// Tables by the naive way: double precision, spectrum by spectrum, one column after the other.
fn plain_tables(window: &SceneWindow, light: &render::Light, nodes: &[Vec<Spectrum>]) -> f64 {
    let lights: Vec<Spectrum> =
        light.sky.iter().chain([&light.ground, &light.disc, &light.glow]).copied().collect();
    let mut sum = 0.0;
    for (piece, nodes) in window.model.pieces.iter().zip(nodes) {
        for node in nodes {
            for light in &lights {
                let xyz = Xyz::absolute(&(*node * *light), Observer::Cie1931);
                sum += xyz.y * piece.thickness_factor;
            }
        }
    }
    sum
}

fn tables(c: &mut Criterion) {
    let Demo { window, outside } = demo();
    let light = window.light(&outside, None);
    let transmittance = window.transmittance();
    // As many nodes as the tables hold.
    let each = LightTables::new(&window.model, &window.optics, &light).nodes() / window.model.pieces.len();
    let nodes: Vec<Vec<Spectrum>> = (0..window.model.pieces.len())
        .map(|piece| {
            (0..each)
                .map(|k| {
                    let thickness = 0.8 + 0.4 * k as f64 / each as f64;
                    transmittance(piece, Factors { thickness, ..Factors::PLAIN }, 5.0).regular
                })
                .collect()
        })
        .collect();
    let mut group = c.benchmark_group("response tables of 165 pieces");
    group.bench_function("ours", |b| {
        b.iter(|| LightTables::new(&window.model, &window.optics, black_box(&light)));
    });
    group.bench_function("naive", |b| b.iter(|| plain_tables(&window, black_box(&light), &nodes)));
    group.finish();
}

/// Every pixel from its 81 samples.
fn plain_picture(model: &WindowModel, window: &SceneWindow, outside: &daylight::Outside, view: &View) -> f64 {
    use render::reference::Surroundings;
    let surroundings = window.surroundings(outside);
    let transmittance = window.transmittance();
    let mut sum = 0.0;
    for y in 0..view.size_px[1] {
        for x in 0..view.size_px[0] {
            let point = view.panel_from_pixel([f64::from(x) + 0.5, f64::from(y) + 0.5]);
            let Some(piece) = model.pieces.iter().position(|p| contains(&p.light_shape, point)) else {
                continue;
            };
            let t = transmittance(piece, Factors::PLAIN, window.eye.incidence_deg(point));
            let seen = t.regular * surroundings.radiance(window.eye.direction_through(point))
                + t.diffuse * surroundings.glow();
            sum += Xyz::absolute(&seen, Observer::Cie1931).y;
        }
    }
    sum
}

fn screen(renderer: &Renderer, [width, height]: [u32; 2]) -> wgpu::TextureView {
    let texture = renderer.device().create_texture(&wgpu::TextureDescriptor {
        label: Some("screen"),
        size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format: renderer.format(),
        usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
        view_formats: &[],
    });
    texture.create_view(&wgpu::TextureViewDescriptor::default())
}

fn frames(c: &mut Criterion) {
    let Demo { window, outside } = demo();
    let tenth = View::fit(window.model.bounds(), [144, 90], 0.03);
    let mut group = c.benchmark_group("frame of 1440 × 900, the sun moved");
    group.sample_size(10).measurement_time(Duration::from_secs(5));
    let whole = View::fit(window.model.bounds(), [1440, 900], 0.03);
    match Headless::new(NativeBackend::Any) {
        Ok(mut device) => {
            eprintln!("drawn and read back on {}", device.device_name());
            device.renderer().set_window(&window.mesh);
            group.bench_function("ours", |b| {
                b.iter(|| {
                    let tables = window.tables(black_box(&outside), None);
                    device.renderer().set_light(tables).expect("it fits");
                    device.picture(whole, Look::default()).expect("a picture")
                });
            });
            // As on a screen: nothing is read back, and only the sun has moved.
            group.bench_function("ours, left on the device", |b| {
                let renderer = device.renderer();
                renderer.set_view(whole);
                renderer.set_look(Look::default());
                let screen = screen(renderer, whole.size_px);
                b.iter(|| {
                    let tables = window.tables(black_box(&outside), None);
                    renderer.set_light(tables).expect("it fits");
                    renderer.draw(&screen);
                    renderer.device().poll(wgpu::PollType::wait_indefinitely()).expect("it ends");
                });
            });
        }
        Err(error) => eprintln!("{error}"),
    }
    // A picture of a hundredth of the pixels, counted a hundred times.
    group.bench_function("naive", |b| {
        b.iter_custom(|frames| {
            let begun = Instant::now();
            for _ in 0..frames {
                black_box(plain_picture(&window.model, &window, black_box(&outside), &tenth));
            }
            begun.elapsed() * 100
        });
    });
    group.finish();

    let mut group = c.benchmark_group("picture of 144 × 90 without a GPU");
    group.sample_size(10);
    group.bench_function("ours", |b| {
        b.iter(|| {
            let tables = window.tables(black_box(&outside), None);
            software_picture(&window.mesh, &tables, &tenth, &Look::default())
        });
    });
    group.bench_function("naive", |b| {
        b.iter(|| plain_picture(&window.model, &window, black_box(&outside), &tenth));
    });
    group.finish();
}

criterion_group!(benches, tables, frames);
criterion_main!(benches);
