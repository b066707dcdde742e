//! Laws that hold for every opening and sky.

use std::f64::consts::PI;
use std::ops::{AddAssign, Mul};

use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{
    Depths, Opening, OuterReveal, Outline, Overhang, Patches, Reveal, RevealError, SkyAndGround, on_bare_wall,
};

use crate::common::{mean, rectangle};

fn overcast() -> SkyAndGround {
    SkyAndGround::new(1, 90.0, 0.0, 10_000.0, 0.2).unwrap()
}

#[test]
fn no_depth_takes_no_light() {
    for depth in [0.0, 1e-12, 1e-7] {
        let reveal = rectangle(0.9, 1.8, depth);
        let factor = mean(&reveal, |d| overcast().luminance(d), 0.5).total()
            / on_bare_wall(|d| overcast().luminance(d));
        assert!((factor - 1.0).abs() < 1e-4, "{depth}: {factor}");
    }
    let reveal = rectangle(0.9, 1.8, 0.0);
    let at = reveal.at(WallPoint::new(0.1, 0.1), |d| overcast().luminance(d), &[]).unwrap();
    assert!((at.total() / on_bare_wall(|d| overcast().luminance(d)) - 1.0).abs() < 1e-12);
}

#[test]
fn a_black_reveal_leaves_the_direct_part_and_a_white_one_adds_most() {
    let reveal = rectangle(0.4, 1.6, 0.3);
    let of = |reflectance| mean(&reveal, |d| overcast().luminance(d), reflectance);
    assert!(of(0.0).reflected.abs() < 1e-300);
    let mut before = of(0.0).total();
    for reflectance in [0.2, 0.5, 0.8, 1.0] {
        let now = of(reflectance).total();
        assert!(now > before);
        before = now;
    }
}

// Howell C-11: two equal rectangles facing each other.
fn facing_rectangles(a: f64, b: f64, distance: f64) -> f64 {
    let (x, y) = (a / distance, b / distance);
    let (xx, yy) = (1.0 + x * x, 1.0 + y * y);
    2.0 / (PI * x * y)
        * ((xx * yy / (xx + yy - 1.0)).ln() / 2.0
            + x * yy.sqrt() * (x / yy.sqrt()).atan()
            + y * xx.sqrt() * (y / xx.sqrt()).atan()
            - x * x.atan()
            - y * y.atan())
}

#[test]
fn an_even_surround_gives_the_form_factor_of_facing_rectangles() {
    for (w, h, d) in [(0.4, 1.6, 0.05), (0.4, 1.6, 0.5), (0.9, 1.8, 0.2), (0.6, 0.6, 2.0), (3.0, 0.3, 0.01)] {
        let reveal = rectangle(w, h, d);
        let exact = facing_rectangles(w, h, d);
        let found = mean(&reveal, |_| 1.0, 0.0).direct / PI;
        assert!((found - exact).abs() < 1e-6 * exact, "{w} {h} {d}: {found} {exact}");
    }
}

// An even surround lights a bare wall with 1; a reveal can only take from that.
#[test]
fn energy_is_never_gained() {
    for (w, h, d) in [(0.4, 1.6, 0.05), (0.4, 1.6, 0.5), (0.6, 0.6, 2.0), (0.2, 0.2, 8.0)] {
        let reveal = rectangle(w, h, d);
        for reflectance in [0.3, 0.7, 1.0] {
            let factor = mean(&reveal, |_| 1.0 / PI, reflectance).total();
            assert!(factor > 0.0 && factor <= 1.0, "{w} {h} {d} {reflectance}: {factor}");
        }
    }
}

#[test]
fn left_and_right_are_alike() {
    let (left, right) = (
        SkyAndGround::new(12, 40.0, -35.0, 12_000.0, 0.2).unwrap(),
        SkyAndGround::new(12, 40.0, 35.0, 12_000.0, 0.2).unwrap(),
    );
    let reveal = rectangle(0.9, 1.8, 0.2);
    let [a, b] = [left, right].map(|sky| mean(&reveal, |d| sky.luminance(d), 0.5).total());
    assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
    let at = |sky: SkyAndGround, x: f64| {
        let received = reveal.received(|d| sky.luminance(d));
        let exitance = reveal.exitance(&received, 0.5);
        reveal.at(WallPoint::new(x, 0.3), |d| sky.luminance(d), &exitance).unwrap().total()
    };
    assert!((at(left, 0.2) / at(right, 0.7) - 1.0).abs() < 1e-9);
}

/// Light of two colours.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Two([f64; 2]);

impl AddAssign for Two {
    fn add_assign(&mut self, other: Self) {
        self.0 = [self.0[0] + other.0[0], self.0[1] + other.0[1]];
    }
}

impl Mul<f64> for Two {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0.map(|v| v * factor))
    }
}

impl Mul for Two {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self([self.0[0] * other.0[0], self.0[1] * other.0[1]])
    }
}

#[test]
fn colours_at_once_equal_each_alone_and_skies_add() {
    let reveal = rectangle(0.4, 1.6, 0.3);
    let sky = |d: RoomVector| overcast().luminance(d);
    let up = |d: RoomVector| 100.0 * d.to_array()[1].abs();
    let received = reveal.received(|d| Two([sky(d), up(d)]));
    let both = reveal.mean(&received, &reveal.exitance(&received, Two([0.3, 0.7]))).total();
    let alone = [mean(&reveal, sky, 0.3).total(), mean(&reveal, up, 0.7).total()];
    assert!(both.0.iter().zip(alone).all(|(b, a)| (b / a - 1.0).abs() < 1e-12), "{both:?} {alone:?}");
    let sum = mean(&reveal, |d| sky(d) + up(d), 0.3).total();
    assert!((sum / (alone[0] + mean(&reveal, up, 0.3).total()) - 1.0).abs() < 1e-12);
}

// An arch of many edges behaves like one opening: a ring equal to the rectangle gives the rectangle's figures, and a disc
// the form factor of facing discs (Howell C-41).
#[test]
fn outlines_of_any_convex_shape() {
    let ring = Outline::convex(Outline::rectangle(0.4, 1.6).unwrap().corners()).unwrap();
    let as_ring = OuterReveal::new(ring, 0.3).unwrap();
    let [a, b] =
        [&as_ring, &rectangle(0.4, 1.6, 0.3)].map(|r| mean(r, |d| overcast().luminance(d), 0.5).total());
    assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");

    let (radius, depth) = (0.4, 0.3);
    let corners: Vec<WallPoint> = (0..48)
        .map(|i| (f64::from(i) / 48.0 * 2.0 * PI).sin_cos())
        .map(|(sin, cos)| WallPoint::new(radius * cos, radius * sin))
        .collect();
    let disc = OuterReveal::new(Outline::convex(&corners).unwrap(), depth).unwrap();
    let x = 2.0 + (depth / radius) * (depth / radius);
    let exact = (x - (x * x - 4.0).sqrt()) / 2.0;
    let found = mean(&disc, |_| 1.0 / PI, 0.0).direct;
    assert!((found / exact - 1.0).abs() < 3e-3, "{found} {exact}");
}

#[test]
fn wrong_measurements_are_named() {
    let with = |depths: Depths| {
        Opening::new(Outline::rectangle(1.0, 1.0).unwrap(), &depths, Patches::Few).unwrap_err()
    };
    let splayed = |jamb_deg| Reveal { depth_m: 0.2, jamb_deg, ..Reveal::default() };
    let over = Overhang { depth_m: 0.0, above_m: 0.1, width_m: 1.0 };
    let faults = [
        (Outline::rectangle(0.0, 1.0).unwrap_err(), "width_m: expected metres from 0.001 to 1000, found 0"),
        (
            Outline::rectangle(1.0, f64::NAN).unwrap_err(),
            "height_m: expected metres from 0.001 to 1000, found NaN",
        ),
        (
            OuterReveal::new(Outline::rectangle(1.0, 1.0).unwrap(), -0.1).unwrap_err(),
            "outer_depth_m: expected metres from 0 to 1000, found -0.1",
        ),
        (
            with(Depths { inner: splayed(90.0), ..Depths::default() }),
            "inner.splay_deg.jamb: expected degrees from 0 to 80, found 90",
        ),
        (
            with(Depths { outer: splayed(-1.0), ..Depths::default() }),
            "outer.splay_deg.jamb: expected degrees from 0 to 80, found -1",
        ),
        (
            with(Depths { overhang: Some(over), ..Depths::default() }),
            "overhang.depth_m: expected metres from 0.001 to 100, found 0",
        ),
        (
            SkyAndGround::new(16, 90.0, 0.0, 1.0, 0.2).unwrap_err(),
            "cie_type: expected a type from 1 to 15 (ISO 15469), found 16",
        ),
        (
            SkyAndGround::new(1, 90.0, 0.0, 1.0, 1.2).unwrap_err(),
            "ground_reflectance: expected a reflectance from 0 to 1, found 1.2",
        ),
    ];
    for (fault, text) in faults {
        assert_eq!(fault.to_string(), text);
    }
    let depths = Depths { inner: splayed(30.0), ..Depths::default() };
    let opening = Opening::new(Outline::rectangle(1.0, 1.0).unwrap(), &depths, Patches::Few).unwrap();
    assert!(opening.from_eye(RoomPoint::new(0.5, 0.5, 0.2)).is_err());
    assert!(opening.from_eye(RoomPoint::new(f64::NAN, 0.5, 2.0)).is_err());
    // Foils cannot lean far: their sides would run into each other. Straight, they may be as deep as they like.
    let foil: Vec<WallPoint> = (0..24)
        .map(|i| (f64::from(i) / 24.0 * 2.0 * PI, if i % 4 == 0 { 0.28 } else { 0.5 }))
        .map(|(angle, r)| WallPoint::new(r * angle.cos(), r * angle.sin()))
        .collect();
    let foil = Outline::ring(&foil).unwrap();
    for (deg, fits) in [(0.0, true), (60.0, false)] {
        let all = Reveal { depth_m: 0.4, jamb_deg: deg, head_deg: deg, sill_deg: deg };
        let found = Opening::new(foil.clone(), &Depths { inner: all, ..Depths::default() }, Patches::Few);
        assert!(fits == found.is_ok() && (fits || matches!(found, Err(RevealError::Splay { .. }))), "{deg}");
    }
}
