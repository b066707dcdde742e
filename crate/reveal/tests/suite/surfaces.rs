//! Reveals as lit surfaces: few patches and many against walks of the tracer, and energy.

use std::f64::consts::{FRAC_1_PI, PI};

use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{Opening, SkyAndGround, Way};
use spectra::Spectrum;

use crate::shapes::{Shape, all, piece};
use crate::tracer::Random;

/// Directions of 5° by 5° in front of the wall, with their projected solid angles.
fn cells() -> (Vec<RoomVector>, Vec<f64>) {
    let step = 5.0_f64;
    let rows = (0..36).flat_map(|i| (0..36).map(move |j| (i, j)));
    rows.map(|(i, j)| {
        let [bearing, altitude] = [i, j].map(|k| (f64::from(k) + 0.5) * step - 90.0);
        let toward = RoomVector::toward_sky(bearing, altitude);
        let solid = step.to_radians() * altitude.to_radians().cos() * 2.0 * (0.5 * step).to_radians().sin();
        (toward, solid * -toward[2])
    })
    .unzip()
}

fn skies() -> [SkyAndGround; 2] {
    [
        SkyAndGround::new(1, 90.0, 0.0, 10_000.0, 0.2).unwrap(),
        SkyAndGround::new(12, 35.0, 40.0, 12_000.0, 0.3).unwrap(),
    ]
}

/// Points spread over a part of the glass.
fn samples(part: &[WallPoint], count: usize) -> Vec<WallPoint> {
    let mut random = Random(9);
    (0..count).map(|_| random.within(part)).collect()
}

fn by_way_of_reveal(opening: &Opening, part: &[WallPoint], exitance: &[f64]) -> f64 {
    let points = samples(part, 1500);
    let of = |p: &WallPoint| opening.outer_factors(*p).iter().zip(exitance).map(|(f, m)| f * m).sum::<f64>();
    points.iter().map(of).sum::<f64>() / points.len() as f64
}

// The light that reveal and overhang give to the glass and to a piece of it; it is a tenth of the whole or so. The tracer's
// own error is 1 %.
#[test]
fn light_of_the_outer_reveal_as_walks_give_it() {
    let directions = cells().0;
    let (mut worst, mut worst_fine) = ((0.0, String::new()), (0.0, String::new()));
    for shape in all() {
        let few = shape.opening.outer_sides();
        let fine = shape.fine.outer_sides();
        let response = few.response(&directions);
        for (s, sky) in skies().iter().enumerate() {
            let radiance: Vec<f64> = directions.iter().map(|&d| sky.luminance(d)).collect();
            let prepared = few.exitance(&response.received(&radiance), |_| 0.5);
            let finely = fine.exitance(&fine.received(|d| sky.luminance(d)), |_| 0.5);
            for part in [shape.model.glass.clone(), piece(&shape)] {
                let [direct, walked] = shape.model.on_glass(&part, |d| sky.luminance(d), 0.5, 60_000);
                let total = direct + walked;
                let name = format!("{} sky {s}, {} corners", shape.name, part.len());
                for (opening, exitance, worst) in
                    [(&shape.opening, &prepared, &mut worst), (&shape.fine, &finely, &mut worst_fine)]
                {
                    let found = by_way_of_reveal(opening, &part, exitance);
                    let of_total = (found - walked).abs() / total;
                    eprintln!("{name}: {found:.1} of {walked:.1}, total {total:.0}");
                    if of_total > worst.0 {
                        *worst = (of_total, name.clone());
                    }
                }
            }
        }
    }
    eprintln!("few {worst:?}, fine {worst_fine:?}");
    assert!(worst.0 < 0.006, "few: {worst:?}");
    assert!(worst_fine.0 < 0.006, "fine: {worst_fine:?}");
}

// The way of a prepared window: samples on the glass, each direction of a list through each of them, seeing the outside
// or a patch.
#[test]
fn samples_and_directions_give_the_light_on_the_glass() {
    let (directions, weights) = cells();
    for shape in all() {
        let sides = shape.opening.outer_sides();
        let response = sides.response(&directions);
        for sky in skies() {
            let radiance: Vec<f64> = directions.iter().map(|&d| sky.luminance(d)).collect();
            let exitance = sides.exitance(&response.received(&radiance), |_| 0.5);
            let points = samples(&shape.model.glass, 150);
            let mut found = 0.0;
            for &p in &points {
                for ((&d, w), l) in directions.iter().zip(&weights).zip(&radiance) {
                    found += w * match shape.opening.outward(p, d) {
                        Way::Open => *l,
                        Way::Patch(n) => exitance[n] * FRAC_1_PI,
                    };
                }
            }
            found /= points.len() as f64;
            let walked = shape.model.on_glass(&shape.model.glass, |d| sky.luminance(d), 0.5, 60_000);
            let expected = walked[0] + walked[1];
            eprintln!("{}: {found:.0} {expected:.0}", shape.name);
            assert!((found / expected - 1.0).abs() < 0.03, "{}: {found} {expected}", shape.name);
        }
    }
}

#[test]
fn few_patches_give_what_many_give_under_the_sun() {
    let toward = RoomVector::toward_sky(35.0, 30.0);
    for shape in all() {
        let [few, fine] = [&shape.opening, &shape.fine].map(|opening| {
            let sides = opening.outer_sides();
            let exitance = sides.exitance(&opening.beam(toward).unwrap().on_outer(), |_| 0.5);
            [shape.model.glass.clone(), piece(&shape)].map(|part| by_way_of_reveal(opening, &part, &exitance))
        });
        for (a, b) in few.iter().zip(fine) {
            // For a unit on a plane that faces the sun.
            eprintln!("{}: {a} {b}", shape.name);
            assert!((a - b).abs() < 0.004, "{}: {a} {b}", shape.name);
        }
    }
}

#[test]
fn no_reveal_sends_more_than_it_gets() {
    let even = vec![1.0; cells().0.len()];
    for shape in all() {
        let sides = shape.opening.outer_sides();
        let received = sides.response(&cells().0).received(&even);
        for reflectance in [0.5, 1.0] {
            let exitance = sides.exitance(&received, |_| reflectance);
            assert!(exitance.iter().all(|&m| (0.0..=PI * 1.01).contains(&m)), "{}", shape.name);
        }
        let all_received: f64 = received.iter().enumerate().map(|(i, e)| e * sides.area_m2(i)).sum();
        assert!(received.len() == sides.len() && (sides.is_empty() || all_received > 0.0));
        let inner = shape.opening.inner_sides();
        for reflectance in [0.4, 0.9] {
            let back = inner.returned(|_| reflectance, 0.1);
            assert!((0.0..1.0).contains(&back), "{}: {back}", shape.name);
        }
        let [grey, spectral] = [inner.returned(|_| 0.4, 0.1), {
            let back = inner.returned(|_| Spectrum::splat(0.4), Spectrum::splat(0.1));
            back.samples()[40]
        }];
        assert!((grey - spectral).abs() < 1e-12);
        // All that enters comes out again if sides and glass are white.
        let back = inner.returned(|_| 1.0, 1.0);
        let tolerance = if shape.name == "trefoil" { 0.06 } else { 2e-3 };
        assert!((back - 1.0).abs() < tolerance, "{}: {back}", shape.name);
    }
}

/// Light of the glass by way of the inner reveal: landed by rays, passed on by the response.
fn through_inner(shape: &Shape, reflectance: f64) -> [f64; 2] {
    let inner = shape.opening.inner_sides();
    let to_room = shape.opening.inner_to_room();
    let upward: Vec<f64> =
        (0..inner.len()).map(|i| inner.leaving(i).iter().map(|r| r.share * r.along[1]).sum()).collect();
    let to_room = inner.response(&to_room, |_| reflectance);
    let upward = inner.response(&upward, |_| reflectance);
    let mut random = Random(21);
    let (mut out, mut up) = (0.0, 0.0);
    let tries = 40_000;
    for _ in 0..tries {
        let p = random.within(&shape.model.glass);
        let along = random.cosine(RoomVector::new(0.0, 0.0, 1.0));
        match shape.opening.inward(p, along) {
            Way::Open => {
                out += 1.0;
                up += along[1];
            }
            Way::Patch(n) => {
                out += to_room[n];
                up += upward[n];
            }
        }
    }
    [out / f64::from(tries), up / out]
}

#[test]
fn light_of_the_panes_enters_the_room_past_the_inner_reveal() {
    for shape in all().into_iter().filter(|s| s.model.depths[1] > 0.0) {
        for reflectance in [0.3, 0.7] {
            let [out, up] = through_inner(&shape, reflectance);
            let from_glass = |random: &mut Random| {
                let p = random.within(&shape.model.glass);
                (RoomPoint::new(p.x(), p.y(), 0.0), random.cosine(RoomVector::new(0.0, 0.0, 1.0)))
            };
            let [walked, walked_up] = shape.model.flux_entering(from_glass, reflectance, 0.0, 40_000);
            eprintln!("{} {reflectance}: {out} {walked}, {up} {walked_up}", shape.name);
            assert!((out / walked - 1.0).abs() < 0.012, "{} {reflectance}: {out} {walked}", shape.name);
            assert!((up - walked_up).abs() < 0.012, "{} {reflectance}: {up} {walked_up}", shape.name);
        }
    }
}

#[test]
fn light_from_the_room_comes_back_out_of_the_opening() {
    for shape in all().into_iter().filter(|s| s.model.depths[1] > 0.0) {
        let inner = shape.opening.inner_sides();
        let from_room = |random: &mut Random| {
            let p = random.within(&shape.model.inner_face);
            let at = RoomPoint::new(p.x(), p.y(), shape.model.depths[1]);
            (at, random.cosine(RoomVector::new(0.0, 0.0, -1.0)))
        };
        for (reflectance, glass) in [(0.5, 0.0), (0.7, 0.12)] {
            let [walked, _] = shape.model.flux_entering(from_room, reflectance, glass, 40_000);
            let found = inner.returned(|_| reflectance, glass);
            eprintln!("{}: {found} {walked}", shape.name);
            assert!((found - walked).abs() < 0.01, "{}: {found} {walked}", shape.name);
        }
    }
}
