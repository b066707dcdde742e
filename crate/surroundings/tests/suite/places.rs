//! Both finenesses against random walks, where surfaces stand close and shadows fall before the window.

use std::f64::consts::{PI, TAU};

use plane::RoomVector;
use surroundings::{Block, Fineness, Site};

use crate::site::{Parts, Sky, block, free, light_by};
use crate::walk::{From, Kind, Random, Walk};

const RHO: [f64; 3] = [0.2, 0.4, 0.3];

fn walk(site: &Site, reflectances: [f64; 3]) -> Walk {
    let corners =
        |b: &Block| [[b.x_m[0], 0.0, -b.distance_m - b.depth_m], [b.x_m[1], b.height_m, -b.distance_m]];
    Walk {
        window_m: site.window_middle_height_m,
        own_m: site.own_height_m,
        boxes: site.blocks.iter().map(corners).collect(),
        reflectances,
    }
}

/// Light on the upright plane at the window's middle, from `n`² strata of its view, and its standard error in total.
fn walked(site: &Site, sky: &Sky, reflectances: [f64; 3], n: usize) -> (Parts, [f64; 3]) {
    const BATCHES: usize = 8;
    let walk = walk(site, reflectances);
    let sun = sky.sun.filter(|_| sky.beam_normal > 0.0).map(RoomVector::to_array);
    let mut random = Random(9);
    // Sky, ground, facade.
    let mut batches = [[0.0; 3]; BATCHES];
    for batch in &mut batches {
        for i in 0..n {
            for j in 0..n {
                let share = |k: usize, random: &mut Random| (k as f64 + random.next()) / n as f64;
                let (r, turn) = (share(i, &mut random).sqrt(), TAU * share(j, &mut random));
                let toward = [r * turn.cos(), r * turn.sin(), -(1.0 - r * r).max(0.0).sqrt()];
                let mut seen = 0.0;
                let kind = walk.look(toward, sun, &mut random, &mut |weight, from| {
                    seen += weight
                        * match from {
                            From::Sky(d) => sky.luminance(RoomVector::from(d)),
                            From::Sun => sky.beam_normal,
                        };
                });
                let part = match kind {
                    Kind::Sky => 0,
                    Kind::Ground => 1,
                    _ => 2,
                };
                batch[part] += seen * PI / (n * n) as f64;
            }
        }
    }
    let mean = |of: &dyn Fn(&[f64; 3]) -> f64| batches.iter().map(of).sum::<f64>() / BATCHES as f64;
    let error = |of: &dyn Fn(&[f64; 3]) -> f64| {
        let mid = mean(of);
        let square = batches.iter().map(|b| (of(b) - mid).powi(2)).sum::<f64>();
        (square / (BATCHES * (BATCHES - 1)) as f64).sqrt()
    };
    let sun = match sun {
        Some(sun) if sun[2] < 0.0 && walk.sees(sun) => sky.beam_normal * -sun[2],
        _ => 0.0,
    };
    let parts = Parts { sky: mean(&|b| b[0]), ground: mean(&|b| b[1]), facade: mean(&|b| b[2]), sun };
    (parts, [error(&|b| b.iter().sum()), error(&|b| b[1]), error(&|b| b[2])])
}

fn cube(distance_m: f64, x_m: [f64; 2], height_m: f64, depth_m: f64) -> Block {
    Block { distance_m, x_m, height_m, depth_m }
}

/// Names, sites, suns and the reflectance of the ground.
fn cases() -> Vec<(&'static str, Site, Option<[f64; 2]>, f64)> {
    let narrow = cube(1.0, [-0.5, 0.5], 3.0, 1.0);
    let wide = cube(2.0, [-8.0, 8.0], 4.0, 6.0);
    let house = cube(12.0, [-5.0, 7.0], 9.0, 8.0);
    let far = cube(45.0, [-15.0, 10.0], 11.0, 12.0);
    let court = Site {
        blocks: vec![
            cube(9.0, [-30.0, 30.0], 14.0, 10.0),
            cube(0.5, [-15.0, -5.0], 14.0, 8.5),
            cube(0.5, [5.0, 15.0], 14.0, 8.5),
        ],
        ..free(2.0, 14.0)
    };
    let houses = |n: usize| Site {
        blocks: (0..n)
            .map(|k| {
                let left = -60.0 + 18.0 * (k % 7) as f64;
                cube(14.0 + 25.0 * (k / 7) as f64, [left, left + 11.0], 7.0 + (k % 5) as f64, 10.0)
            })
            .collect(),
        ..free(2.4, 8.0)
    };
    let three = Site {
        blocks: vec![
            cube(14.0, [-9.0, 2.0], 9.0, 8.0),
            cube(22.0, [6.0, 20.0], 12.0, 8.0),
            cube(3.0, [3.0, 5.0], 2.0, 4.0),
        ],
        ..free(2.4, 8.0)
    };
    vec![
        ("narrow, near", block(1.7, 0.0, narrow), None, 0.2),
        ("narrow, near, own", block(1.7, 6.0, narrow), None, 0.2),
        ("narrow, near, own, sun", block(1.7, 6.0, narrow), Some([35.0, 30.0]), 0.2),
        ("narrow, near, own, sun behind", block(1.7, 6.0, narrow), Some([160.0, 60.0]), 0.2),
        ("wide, near", block(1.7, 6.0, wide), None, 0.2),
        ("wide, near, sun behind", block(1.7, 3.0, wide), Some([150.0, 50.0]), 0.2),
        ("own", free(1.7, 8.0), None, 0.2),
        ("own, sun behind 20", free(1.7, 8.0), Some([180.0, 20.0]), 0.2),
        ("own, sun behind 40", free(1.7, 8.0), Some([150.0, 40.0]), 0.2),
        ("own, sun behind 60", free(1.7, 8.0), Some([170.0, 60.0]), 0.2),
        ("own, sun behind 60, snow", free(1.7, 8.0), Some([170.0, 60.0]), 0.8),
        ("own, sun before", free(1.7, 8.0), Some([30.0, 40.0]), 0.2),
        ("own 12, high window, sun behind", free(6.0, 12.0), Some([180.0, 50.0]), 0.2),
        ("house in the sun", block(1.7, 5.0, house), Some([165.0, 45.0]), 0.2),
        ("house in half a shadow", block(1.7, 8.0, house), Some([175.0, 25.0]), 0.2),
        ("house's shadow before the window", block(1.7, 5.0, house), Some([10.0, 35.0]), 0.2),
        ("house, overcast", block(1.7, 5.0, house), None, 0.2),
        ("deep court", court.clone(), None, 0.2),
        ("deep court, sun", court.clone(), Some([150.0, 60.0]), 0.2),
        ("deep court, sun before", court, Some([10.0, 65.0]), 0.6),
        ("far house", block(2.4, 8.0, far), Some([150.0, 30.0]), 0.2),
        ("three", three.clone(), Some([160.0, 55.0]), 0.2),
        ("three, sun before", three.clone(), Some([-40.0, 40.0]), 0.2),
        ("three, overcast, snow", three, None, 0.8),
        ("eight", houses(8), Some([140.0, 40.0]), 0.2),
        ("eight, overcast", houses(8), None, 0.2),
        ("twenty-one", houses(21), Some([20.0, 40.0]), 0.2),
        ("twenty-one, overcast", houses(21), None, 0.2),
    ]
}

fn sky(sun: Option<[f64; 2]>) -> Sky {
    match sun {
        Some(_) => Sky::new(12, 1e4, sun, 6e4),
        None => Sky::new(1, 1e4, None, 0.0),
    }
}

/// In total, and in parts; a part of less than a tenth as a share of the total.
const WITHIN: [f64; 3] = [0.01, 0.02, 0.0025];

// Beside two standard errors of the walks.
#[test]
fn both_finenesses_agree_with_walks() {
    let mut faults = Vec::new();
    for (name, site, sun, ground) in cases() {
        let rho = [ground, RHO[1], RHO[2]];
        let sky = sky(sun);
        let (walked, errors) = walked(&site, &sky, rho, 100);
        let many = site.blocks.len() > 3;
        for fineness in [Fineness::Quick, Fineness::Fine].into_iter().take(if many { 1 } else { 2 }) {
            let found = light_by(fineness, &site, &sky, rho, &[]).0;
            let total = walked.total();
            let [of_total, of_part, at_least] = WITHIN;
            for (part, found, walked, error, within) in [
                ("total", found.total(), total, errors[0], of_total * total),
                ("ground", found.ground, walked.ground, errors[1], of_part * walked.ground),
                ("facade", found.facade, walked.facade, errors[2], of_part * walked.facade),
            ] {
                if (found - walked).abs() > within.max(at_least * total) + 2.0 * error {
                    let off = 100.0 * (found / walked - 1.0);
                    faults.push(format!(
                        "{name}, {fineness:?}, {part}: {found:.1} lx, {off:+.2} %, ± {error:.1}"
                    ));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
