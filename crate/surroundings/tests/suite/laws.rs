//! What holds whatever the measurements.

use std::f64::consts::PI;

use proptest::prelude::*;
use surroundings::{Block, Fineness, Site};

use crate::site::{Sky, block, close, free, light, light_by, reflectances, street};

const BOX: Block = Block { distance_m: 11.0, x_m: [-4.0, 6.0], height_m: 13.0, depth_m: 7.0 };

fn sites() -> [(Site, f64); 5] {
    // The second number is how closely the site is computed.
    [
        (free(2.4, 0.0), 1e-3),
        (free(2.4, 10.0), 3e-3),
        (street(2.0, 0.0, 8.0, 7.0), 3e-3),
        (street(2.0, 12.0, 8.0, 20.0), 3e-3),
        (block(2.4, 10.0, BOX), 0.01),
    ]
}

/// With white surfaces under a uniform sky of luminance one, nothing is brighter than the sky; the free horizon alone is
/// as bright.
#[test]
fn white_surfaces_are_never_brighter_than_the_sky() {
    let looks = [[0.0, -60.0], [0.0, -10.0], [20.0, -30.0], [-15.0, 5.0], [10.0, 15.0], [0.0, 70.0]];
    for (site, error) in sites() {
        let (found, seen) = light(&site, &Sky::uniform(), reflectances(1.0, 1.0, 1.0), &looks);
        assert!(found.total() <= PI * (1.0 + error), "{site:?}: {found:?}");
        for (look, luminance) in looks.iter().zip(seen) {
            assert!((0.0..=1.0 + error).contains(&luminance), "{site:?} toward {look:?}: {luminance}");
        }
    }
}

#[test]
fn black_surfaces_leave_sky_and_sun() {
    let sky = Sky::new(12, 1e4, Some([10.0, 80.0]), 5e4);
    for (site, _) in sites() {
        let (found, seen) = light(&site, &sky, reflectances(0.0, 0.0, 0.0), &[[0.0, -30.0], [0.0, 2.0]]);
        assert!(found.ground == 0.0 && found.facade == 0.0, "{site:?}: {found:?}");
        assert!(found.sky > 0.0 && found.sun > 0.0);
        assert!(seen[0] == 0.0);
    }
}

#[test]
fn left_and_right_are_alike() {
    for (site, error) in sites() {
        let mirrored = Site {
            blocks: site
                .blocks
                .iter()
                .map(|block| Block { x_m: [-block.x_m[1], -block.x_m[0]], ..*block })
                .collect(),
            ..site.clone()
        };
        for bearing in [0.0, 35.0, 160.0] {
            let [a, b] = [(&site, 1.0), (&mirrored, -1.0)].map(|(site, side)| {
                let sky = Sky::new(12, 1e4, Some([side * bearing, 40.0]), 6e4);
                light(site, &sky, reflectances(0.3, 0.4, 0.5), &[[side * 20.0, -25.0], [side * 12.0, 9.0]])
            });
            for (a, b) in
                [(a.0.sky, b.0.sky), (a.0.ground, b.0.ground), (a.0.facade, b.0.facade), (a.0.sun, b.0.sun)]
            {
                close("part", a, b, 2.0 * error);
            }
            a.1.iter().zip(&b.1).for_each(|(a, b)| close("luminance", *a, *b, 4.0 * error));
        }
    }
}

/// Light adds up: the whole is the sum of sky alone and beam alone. 1e-4: without a beam the view is not divided at
/// shadows.
#[test]
fn light_is_linear() {
    for (site, _) in sites() {
        let looks = [[0.0, -40.0], [10.0, 8.0]];
        let with = |diffuse: f64, beam: f64| {
            let sky = Sky::new(12, diffuse, Some([150.0, 50.0]), beam);
            light(&site, &sky, reflectances(0.3, 0.4, 0.5), &looks)
        };
        let (whole, sky, beam) = (with(1e4, 6e4), with(1e4, 0.0), with(0.0, 6e4));
        close("total", whole.0.total(), sky.0.total() + beam.0.total(), 1e-4);
        for i in 0..looks.len() {
            close("luminance", whole.1[i], sky.1[i] + beam.1[i], 1e-8);
        }
    }
}

/// A very wide, very deep block is a street.
#[test]
fn a_wide_block_is_a_street() {
    let wide = Block { distance_m: 10.0, x_m: [-3000.0, 3000.0], height_m: 9.0, depth_m: 3000.0 };
    for (own, sun) in [(12.0, [165.0, 55.0]), (12.0, [20.0, 50.0]), (0.0, [20.0, 50.0])] {
        let sky = Sky::new(12, 1e4, Some(sun), 6e4);
        let looks = [[0.0, -60.0], [0.0, -25.0], [0.0, 15.0]];
        let rho = reflectances(0.2, 0.4, 0.3);
        let (endless, seen) = light(&street(2.4, own, 10.0, 9.0), &sky, rho, &looks);
        let (found, met) = light(&block(2.4, own, wide), &sky, rho, &looks);
        close("sky", found.sky, endless.sky, 2e-3);
        close("sun", found.sun, endless.sun, 1e-9);
        close("ground", found.ground, endless.ground, 0.02);
        close("facade", found.facade, endless.facade, 0.02);
        met.iter().zip(seen).for_each(|(a, b)| close("luminance", *a, b, 0.02));
    }
}

/// A block far away, and an own wall of no height, leave the free horizon.
#[test]
fn little_changes_nothing() {
    let sky = Sky::new(1, 1e4, None, 0.0);
    let rho = reflectances(0.2, 0.4, 0.3);
    let (open, _) = light(&free(2.4, 0.0), &sky, rho, &[]);
    let far = Block { distance_m: 50_000.0, x_m: [-5.0, 5.0], height_m: 10.0, depth_m: 10.0 };
    close("far block", light(&block(2.4, 0.0, far), &sky, rho, &[]).0.total(), open.total(), 0.01);
    close("low street", light(&street(2.4, 0.0, 5.0, 0.0), &sky, rho, &[]).0.sky, open.sky, 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Any site gives finite, positive figures that no more than the whole sky and the whole sun could give.
    #[test]
    fn figures_are_finite_and_bounded(
        window in 0.01..1e4_f64, own in prop_oneof![Just(0.0), 0.0..1e4_f64], distance in 0.1..1e5_f64,
        height in 0.01..1e4_f64, x in -1e3..1e3_f64, width in 0.01..1e4_f64, is_block: bool,
        bearing in -180.0..180.0_f64, altitude in 0.0..90.0_f64, look in -90.0..90.0_f64, up in -90.0..90.0_f64,
    ) {
        let site = if is_block {
            block(window, own, Block { distance_m: distance, x_m: [x, x + width], height_m: height, depth_m: width })
        } else {
            street(window, own, distance, height)
        };
        let sky = Sky::new(12, 1e4, Some([bearing, altitude]), 5e4);
        let (found, seen) = light(&site, &sky, reflectances(0.9, 0.9, 0.9), &[[look, up]]);
        for part in [found.sky, found.ground, found.facade, found.sun, seen[0]] {
            prop_assert!(part.is_finite() && part >= 0.0, "{found:?} {seen:?}");
        }
        prop_assert!(found.sun <= 5e4);
    }
}

/// Quick and fine agree within what quick promises, under sun and snow.
#[test]
fn quick_is_nearly_as_good_as_fine() {
    let two = Site {
        blocks: vec![
            BOX,
            Block { distance_m: 25.0, x_m: [9.0, 30.0], height_m: 18.0, depth_m: 12.0 },
            Block::street(60.0, 20.0),
        ],
        ..block(2.4, 10.0, BOX)
    };
    let all = sites().map(|(site, _)| site).into_iter().chain([two]);
    for site in all {
        for (sun, ground) in [([160.0, 45.0], 0.2), ([20.0, 40.0], 0.2), ([100.0, 25.0], 0.9)] {
            let sky = Sky::new(12, 1e4, Some(sun), 6e4);
            let [fine, quick] = [Fineness::Fine, Fineness::Quick]
                .map(|fineness| light_by(fineness, &site, &sky, [ground, 0.4, 0.3], &[]).0);
            close(&format!("{site:?} {sun:?} total"), quick.total(), fine.total(), 0.015);
            close(&format!("{site:?} {sun:?} ground"), quick.ground, fine.ground, 0.05);
            close(&format!("{site:?} {sun:?} facade"), quick.facade, fine.facade, 0.05);
        }
    }
}
