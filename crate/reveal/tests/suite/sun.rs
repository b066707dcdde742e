//! The part of the glass that the sun reaches.

use plane::{RoomVector, WallPoint, bounds, signed_area};
use reveal::{Depths, Opening, Outline, Patches, Reveal};

use crate::common::{list, number, numbers, reference};

const TOLERANCE: f64 = 1e-5;

fn behind(outline: Outline, depth_m: f64) -> Opening {
    let depths = Depths { outer: Reveal::straight(depth_m), ..Depths::default() };
    Opening::new(outline, &depths, Patches::Few).unwrap()
}

/// Share of the glass in the sun, and the lit part; none from behind the wall.
fn lit(opening: &Opening, toward: RoomVector) -> (f64, Vec<WallPoint>) {
    opening.beam(toward).map_or((0.0, Vec::new()), |beam| {
        let mut parts = beam.lit(opening.outline().corners());
        assert!(parts.len() <= 1);
        (beam.lit_share(), parts.pop().unwrap_or_default())
    })
}

#[test]
fn lit_rectangles_and_shares_of_every_case() {
    let file = reference();
    let mut rows = 0;
    for case in list(&file, "sun") {
        let (w, h) = (number(case, "width_m"), number(case, "height_m"));
        let depth = number(case, "outer_depth_m");
        let outline = Outline::rectangle(w, h).unwrap();
        let as_ring = Outline::convex(outline.corners()).unwrap();
        let openings = [outline, as_ring].map(|outline| behind(outline, depth));
        for row in list(case, "rows") {
            rows += 1;
            let head: Vec<f64> = row.as_array().unwrap()[..3].iter().map(|v| v.as_f64().unwrap()).collect();
            let toward = RoomVector::toward_sky(head[0], head[1]);
            for opening in &openings {
                let (share, lit) = lit(opening, toward);
                assert!((share - head[2]).abs() < TOLERANCE, "{row}: {share}");
                if row[3].is_null() {
                    assert!(lit.is_empty(), "{row}: {lit:?}");
                    continue;
                }
                let [low, high] = bounds(&lit).unwrap();
                let found = [low.x(), high.x(), low.y(), high.y()];
                let expected = numbers(&row.as_array().unwrap()[3..].to_vec().into());
                for (f, e) in found.iter().zip(expected) {
                    assert!((f - e).abs() < TOLERANCE, "{row}: {found:?}");
                }
            }
        }
    }
    assert_eq!(rows, 44);
}

// A disc and itself moved by s share 2r²·acos(s/2r) − (s/2)·√(4r² − s²).
#[test]
fn a_round_opening_is_lit_in_a_lens() {
    let r = 0.5;
    let corners: Vec<WallPoint> = (0..128)
        .map(|i| (f64::from(i) / 128.0 * std::f64::consts::TAU).sin_cos())
        .map(|(sin, cos)| WallPoint::new(r * cos, r * sin))
        .collect();
    let round = behind(Outline::convex(&corners).unwrap(), 0.3);
    for (bearing, altitude) in [(0.0, 30.0), (40.0, 20.0), (-60.0, 0.0), (70.0, 60.0)] {
        let toward = RoomVector::toward_sky(bearing, altitude);
        let [x, y, z] = toward.to_array();
        let s = 0.3 * (x / z).hypot(y / z);
        let lens = if s < 2.0 * r {
            2.0 * r * r * (s / (2.0 * r)).acos() - 0.5 * s * (4.0 * r * r - s * s).sqrt()
        } else {
            0.0
        };
        let (share, part) = lit(&round, toward);
        assert!(
            (share - lens / (std::f64::consts::PI * r * r)).abs() < 1e-3,
            "{bearing} {altitude}: {share}"
        );
        let part = signed_area(&part) / round.outline().area_m2();
        assert!((part - share).abs() < 1e-9);
    }
}

#[test]
fn no_sun_behind_the_wall_and_all_of_it_without_depth() {
    for (bearing, altitude, depth, share) in
        [(180.0, 20.0, 0.1, 0.0), (90.0, 0.0, 0.1, 0.0), (60.0, 50.0, 0.0, 1.0)]
    {
        let opening = behind(Outline::rectangle(1.0, 2.0).unwrap(), depth);
        let (found, _) = lit(&opening, RoomVector::toward_sky(bearing, altitude));
        assert!((found - share).abs() < 1e-12, "{bearing} {altitude}: {found}");
    }
}
