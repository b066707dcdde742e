//! One instant and one day at a place, by the prepared and the direct method; an edit of one piece compared with
//! preparing the place again; ranges beside drawing the whole scene; all of these with houses outside, in a wall with
//! depth, and with leads that stand out, beside the same window without.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use daylight::CivilDate;
use serde_json::{Value, json};
use viewing::{DAY_STEPS, Direct, Prepared};

/// The lancet of about 150 pieces.
fn lancet() -> scene::Resolved {
    lancet_with(|_| ())
}

/// The lancet after a change of its document.
fn lancet_with(change: impl Fn(&mut Value)) -> scene::Resolved {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-scenes/estuary-lancet.json");
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let read = |text: &str| scene::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let mut document = serde_json::to_value(read(&text)).expect("a document that was read");
    document["clerestory"] = json!(scene::FORMAT_VERSION);
    change(&mut document);
    scene::resolve(&read(&document.to_string()), None).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The lancet as it is, and with what light meets before and in the glass.
fn settings() -> [(&'static str, scene::Resolved); 4] {
    let houses = |scene: &mut Value| {
        scene["horizon"]["own_building"] = json!({ "height_m": 9.0 });
        scene["horizon"]["blocks"] = json!([
            { "distance_m": 12.0, "from_m": -30.0, "to_m": 4.0, "height_m": 9.0, "depth_m": 10.0 },
            { "distance_m": 14.0, "from_m": 9.0, "to_m": 40.0, "height_m": 7.0, "depth_m": 10.0 },
        ]);
    };
    let reveals = json!({ "outer": { "depth_m": 0.2 }, "inner": { "depth_m": 0.3 } });
    [
        ("as it is", lancet()),
        ("houses outside", lancet_with(houses)),
        ("in a wall", lancet_with(|scene| scene["windows"][0]["wall"] = reveals.clone())),
        ("leads with depth", lancet_with(|scene| scene["windows"][0]["wall"] = json!({ "leaf_mm": 1.5 }))),
    ]
}

/// What a window with surroundings or depth costs beside the same one without.
fn surrounded(c: &mut Criterion) {
    for (name, resolved) in settings() {
        let prepared = Prepared::new(&resolved, None).expect("the demo's first place");
        let instant = resolved.instant(&resolved.scene.at).expect("the demo's own hour").utc;
        let outside = resolved.outside(instant).expect("the demo's own sky");
        let light = prepared.light(&outside);
        let mut group = c.benchmark_group(format!("lancet, {name}"));
        group.sample_size(10);
        group.bench_function("place", |b| b.iter(|| Prepared::new(black_box(&resolved), None)));
        group.bench_function("outside", |b| b.iter(|| resolved.outside(black_box(instant))));
        group.bench_function("instant", |b| b.iter(|| prepared.light(black_box(&outside))));
        group.bench_function("ranges", |b| {
            b.iter(|| prepared.ranges(&resolved, black_box(&outside), &light));
        });
        group.finish();
    }
}

fn viewing(c: &mut Criterion) {
    let resolved = lancet();
    let prepared = Prepared::new(&resolved, None).expect("the demo's first place");
    let direct = Direct::from_prepared(&prepared);
    let instant = resolved.instant(&resolved.scene.at).expect("the demo's own hour").utc;
    let outside = resolved.outside(instant).expect("the demo's own sky");
    let date = CivilDate::parse("2026-09-22").expect("a date");

    let mut group = c.benchmark_group("an instant at a place");
    group.sample_size(10);
    group.bench_function("ours", |b| b.iter(|| prepared.light(black_box(&outside))));
    group.bench_function("naive", |b| b.iter(|| direct.light(black_box(&outside))));
    group.finish();

    let mut group = c.benchmark_group("a day of 96 instants");
    group.sample_size(10);
    group.bench_function("ours", |b| b.iter(|| prepared.day(&resolved, black_box(date), DAY_STEPS)));
    // One direct instant, multiplied by the number of instants in a day; the whole day would take minutes.
    group.bench_function("naive", |b| {
        b.iter_custom(|days| {
            let begun = std::time::Instant::now();
            for _ in 0..days {
                black_box(direct.light(black_box(&outside)));
            }
            begun.elapsed() * DAY_STEPS as u32
        });
    });
    group.finish();

    let mut group = c.benchmark_group("another glass in one piece");
    group.sample_size(10);
    let makeups = [0, 20].map(|k| resolved.windows[0].pieces[k].makeup.clone());
    group.bench_function("ours", |b| {
        let mut place = prepared.clone();
        let mut k = 0;
        b.iter(|| {
            k += 1;
            place.set_makeup(7, &makeups[k % 2]);
        });
    });
    group.bench_function("naive", |b| b.iter(|| Prepared::new(black_box(&resolved), None)));
    group.finish();

    // The plain way prepares and lights the scene anew in each of 512 draws; one of them, multiplied.
    let mut group = c.benchmark_group("ranges of an instant");
    group.sample_size(10);
    let light = prepared.light(&outside);
    group.bench_function("ours", |b| b.iter(|| prepared.ranges(&resolved, black_box(&outside), &light)));
    group.bench_function("naive", |b| {
        b.iter_custom(|ranges| {
            let begun = std::time::Instant::now();
            for _ in 0..ranges {
                let drawn = Prepared::new(black_box(&resolved), None).expect("the demo's first place");
                black_box(drawn.light(&outside));
            }
            begun.elapsed() * 512
        });
    });
    group.finish();

    c.bench_function("an instant's report", |b| b.iter(|| prepared.report(&resolved, black_box(&outside))));
}

criterion_group!(benches, viewing, surrounded);
criterion_main!(benches);
