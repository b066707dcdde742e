//! Closed forms of textbooks.

use std::f64::consts::PI;

use plane::RoomVector;
use surroundings::{Block, Exchange, Fineness, Light};

use crate::site::{Sky, block, close, for_site, free, light, parts, reflectances, street};

/// Under a uniform sky of luminance one, half of the sky and of endless ground lies before an upright plane.
#[test]
fn a_free_horizon() {
    let sky = Sky::uniform();
    for window in [0.5, 2.4, 30.0] {
        let (found, seen) =
            light(&free(window, 0.0), &sky, reflectances(0.2, 0.0, 0.0), &[[0.0, -20.0], [70.0, -3.0]]);
        close("sky", found.sky, PI / 2.0, 1e-5);
        close("ground", found.ground, 0.2 * PI / 2.0, 1e-4);
        assert!(found.facade == 0.0 && found.sun == 0.0);
        // Everything above is sky: its luminance is the reflectance.
        seen.iter().for_each(|luminance| close("luminance", *luminance, 0.2, 1e-5));
    }
}

/// The standard overcast sky gives an upright plane 0.396 of the horizontal with the older (1 + 2 sin γ)/3; type 1 of
/// ISO 15469 gives 0.3792 (tests/reference/daylight).
#[test]
fn an_overcast_free_horizon() {
    let (found, _) = light(&free(2.0, 0.0), &Sky::new(1, 1e4, None, 0.0), reflectances(0.0, 0.0, 0.0), &[]);
    close("sky", found.sky, 3792.0, 1e-3);
}

/// From the middle of a black street, the sky's share of a horizontal view is sin of the angle from the zenith to the
/// edges (Hottel's crossed strings; Oke, *Boundary Layer Climates*, 1987: cos of the skyline's altitude).
#[test]
fn sky_view_of_a_street() {
    let sky = Sky::uniform();
    for (width, height) in [(10.0, 3.0), (10.0, 10.0), (8.0, 30.0)] {
        // A view onto the ground's middle from a window at its own height over the middle.
        let window: f64 = 1.0;
        let down = window.atan2(width / 2.0).to_degrees();
        let (_, seen) =
            light(&street(window, height, width, height), &sky, reflectances(1.0, 0.0, 0.0), &[[0.0, -down]]);
        let skyline = (height / (width / 2.0)).atan();
        // 2 %: between the middles of 20 strips.
        close("the middle of the ground", seen[0], skyline.cos(), 0.02);
    }
}

/// A facade of luminance L up to an altitude a over a plane that faces it gives π L / 2 · sin a, and the sky above it the
/// rest of π/2.
#[test]
fn sky_above_a_facade() {
    let sky = Sky::uniform();
    for altitude in [10.0_f64, 30.0, 60.0] {
        let top = 2.0 + 12.0 * altitude.to_radians().tan();
        let (found, _) = light(&street(2.0, 0.0, 12.0, top), &sky, reflectances(0.0, 0.0, 0.0), &[]);
        close("sky", found.sky, PI / 2.0 * (1.0 - altitude.to_radians().sin()), 1e-5);
    }
}

/// Parallel and opposite rectangles with a common corner: the block's front hides this share of the uniform sky from a
/// point (Howell's catalogue, configuration B-4).
#[test]
fn sky_hidden_by_a_block() {
    let share = |a: f64, b: f64| {
        let (p, q) = ((1.0 + a * a).sqrt(), (1.0 + b * b).sqrt());
        (a / p * (b / p).atan() + b / q * (a / q).atan()) / (2.0 * PI)
    };
    for (x_m, height_m, distance_m) in
        [([-4.0, 4.0], 12.0, 10.0), ([-2.0, 9.0], 5.0, 6.0), ([-30.0, 1.0], 40.0, 3.0)]
    {
        let site = block(2.0, 0.0, Block { distance_m, x_m, height_m, depth_m: 5.0 });
        let (found, _) = light(&site, &Sky::uniform(), reflectances(0.0, 0.0, 0.0), &[]);
        let above = (height_m - 2.0) / distance_m;
        let hidden = share(-x_m[0] / distance_m, above) + share(x_m[1] / distance_m, above);
        close("sky", found.sky, PI * (0.5 - hidden), 1e-4);
    }
}

/// The beam on open ground and on the plane itself.
#[test]
fn the_beam() {
    let sky = Sky::new(12, 1e4, Some([25.0, 40.0]), 7e4);
    let site = free(2.0, 0.0);
    let exchange = Exchange::new(&site, Fineness::Fine).unwrap();
    let dark = |_: RoomVector| [0.0];
    let light = Light { sky: &dark, edges: &surroundings::no_edges, sun: sky.sun, beam_normal: [7e4] };
    let lit = exchange.lit(light, &for_site([0.3, 0.0, 0.0], &site)).unwrap();
    let (sin, cos) = 40.0_f64.to_radians().sin_cos();
    let vertical = parts(&lit.vertical(&dark));
    close("on the plane", vertical.sun, 7e4 * cos * 25.0_f64.to_radians().cos(), 1e-12);
    close("from the ground", vertical.ground, 0.3 * 7e4 * sin / 2.0, 1e-4);
    assert!(vertical.sky == 0.0);
}
