//! Where rays and beams go, ray by ray against the tracer.

use plane::{RoomPoint, RoomVector, WallPoint, contains, signed_area};
use reveal::{Depths, Opening, Outline, Patches, Ring, Split, Way};

use crate::shapes::{Shape, all, piece};
use crate::tracer::{Met, Random};

const SUNS: [[f64; 2]; 5] = [[0.0, 40.0], [35.0, 20.0], [-50.0, 35.0], [70.0, 15.0], [10.0, 68.0]];

fn holds(rings: &[Ring], p: WallPoint) -> bool {
    rings.iter().any(|ring| contains([ring], p))
}

fn patch_at(split: &Split, p: WallPoint) -> Option<usize> {
    split.patches.iter().find(|(_, ring)| contains([ring], p)).map(|(patch, _)| *patch)
}

fn on_glass(p: WallPoint) -> RoomPoint {
    RoomPoint::new(p.x(), p.y(), 0.0)
}

/// How many of `tries` may differ: points on an edge to the last digit.
fn check(shape: &Shape, what: &str, wrong: usize, tries: usize) {
    assert!(wrong * 1000 <= tries, "{}, {what}: {wrong} of {tries} differ", shape.name);
}

#[test]
fn rays_meet_what_the_tracer_meets() {
    for shape in all() {
        let mut random = Random(1);
        let (mut wrong, tries) = (0, 20_000);
        for i in 0..tries {
            let p = random.within(&shape.model.glass);
            let inward = i % 2 == 0;
            let along = random.cosine(RoomVector::new(0.0, 0.0, if inward { 1.0 } else { -1.0 }));
            let (met, ..) = shape.model.first(on_glass(p), along);
            let way = if inward { shape.opening.inward(p, along) } else { shape.opening.outward(p, along) };
            let same = match (way, met) {
                (Way::Open, Met::Nothing) | (Way::Patch(_), Met::Inner) => true,
                (Way::Patch(n), Met::Outer) => n < shape.reveal,
                (Way::Patch(n), Met::Overhang) => n >= shape.reveal,
                _ => false,
            };
            wrong += usize::from(!same);
        }
        check(&shape, "rays", wrong, tries);
    }
}

#[test]
fn a_point_sees_what_its_rays_meet() {
    for shape in all() {
        let [low, high] = plane::bounds(&shape.model.glass).unwrap();
        let mut random = Random(2);
        for (x, y, z) in [(0.5, 0.4, 3.0), (-1.4, 0.3, 1.5), (2.4, 1.3, 1.2), (0.7, -0.5, 0.8)] {
            let eye = RoomPoint::new(
                low.x() + x * (high.x() - low.x()),
                low.y() + y * (high.y() - low.y()),
                shape.model.depths[1] + z,
            );
            let view = shape.opening.from_eye(eye).unwrap();
            for part in [shape.model.glass.clone(), piece(&shape)] {
                let visible = view.visible(&part);
                let seen: Vec<Split> = visible.iter().map(|ring| view.through(ring)).collect();
                let (mut wrong, tries) = (0, 3000);
                for _ in 0..tries {
                    let p = random.within(&part);
                    let along = (on_glass(p) - eye).unit();
                    let hidden = shape.model.first(eye, along).0 == Met::Inner;
                    let met = shape.model.first(on_glass(p), along).0;
                    let open = seen.iter().any(|s| holds(&s.open, p));
                    let patch = seen.iter().find_map(|s| patch_at(s, p));
                    let way = shape.opening.outward(p, along);
                    let same = if hidden {
                        !open && patch.is_none()
                    } else if met == Met::Nothing {
                        open && way == Way::Open
                    } else {
                        patch.is_some_and(|patch| way == Way::Patch(patch)) && !open
                    };
                    wrong += usize::from(!same);
                }
                check(&shape, &format!("from {eye:?}"), wrong, tries);
            }
        }
    }
}

// The inner reveal as seen through the inner wall face: what a ray through the face meets before the glass.
#[test]
fn a_point_sees_the_inner_reveal() {
    for shape in all().into_iter().filter(|s| s.model.depths[1] > 0.0) {
        let z = shape.model.depths[1];
        let mut random = Random(3);
        for eye in [[0.2, 0.5, z + 1.0], [-1.5, 1.0, z + 0.9], [1.9, 0.1, z + 2.0]].map(RoomPoint::from) {
            let seen = shape.opening.from_eye(eye).unwrap().inner();
            let flat: Vec<Ring> = seen
                .iter()
                .map(|(_, ring)| ring.iter().map(|p| WallPoint::new(p[0], p[1])).collect())
                .collect();
            let (mut wrong, tries) = (0, 3000);
            for _ in 0..tries {
                let p = random.within(&shape.model.inner_face);
                let along = (RoomPoint::new(p.x(), p.y(), z) - eye).unit();
                let met = shape.model.first(eye, along);
                let inner = met.0 == Met::Inner && met.1[2] > 0.0;
                wrong += usize::from(inner != holds(&flat, p));
            }
            check(&shape, "inner reveal", wrong, tries);
        }
    }
}

#[test]
fn the_sun_reaches_what_the_tracer_sees_lit() {
    for shape in all() {
        let mut random = Random(4);
        for [bearing, altitude] in SUNS {
            let toward = RoomVector::toward_sky(bearing, altitude);
            let beam = shape.opening.beam(toward).unwrap();
            for part in [shape.model.glass.clone(), piece(&shape)] {
                let lit = beam.lit(&part);
                let inside: Vec<Split> = lit.iter().map(|ring| beam.inside(ring)).collect();
                let (mut wrong, tries) = (0, 2000);
                for _ in 0..tries {
                    let p = random.within(&part);
                    let free = shape.model.first(on_glass(p), toward).0 == Met::Nothing;
                    let patch = inside.iter().find_map(|s| patch_at(s, p));
                    let onward = inside.iter().any(|s| holds(&s.open, p));
                    let lands = shape.model.first(on_glass(p), -toward).0 == Met::Inner;
                    let same = holds(&lit, p) == free
                        && (!free || (lands == patch.is_some() && onward != lands))
                        && patch.is_none_or(|n| shape.opening.inward(p, -toward) == Way::Patch(n));
                    wrong += usize::from(!same);
                }
                check(&shape, &format!("sun at {bearing}, {altitude}"), wrong, tries);
            }
        }
    }
}

// All that passes the outer wall face lands on the sides or the glass; without an overhang that is the face itself.
#[test]
fn no_sunlight_is_lost_on_the_reveal() {
    for shape in all() {
        for [bearing, altitude] in SUNS {
            let toward = RoomVector::toward_sky(bearing, altitude);
            let beam = shape.opening.beam(toward).unwrap();
            let sides = shape.opening.outer_sides();
            let reveal = shape.reveal;
            let on_sides: f64 =
                beam.on_outer().iter().take(reveal).enumerate().map(|(i, e)| e * sides.area_m2(i)).sum();
            let lit: f64 = beam.lit(&shape.model.glass).iter().map(|ring| signed_area(ring)).sum();
            let found = on_sides + lit * -toward[2];
            let mut random = Random(5);
            let tries = 4000;
            let from_face = |p: WallPoint| RoomPoint::new(p.x(), p.y(), -shape.model.depths[0] - 1e-7);
            let shaded = (0..tries)
                .filter(|_| {
                    let p = random.within(&shape.model.outer_face);
                    shape.model.first(from_face(p), toward).0 == Met::Overhang
                })
                .count() as f64
                / f64::from(tries);
            let expected = (1.0 - shaded) * signed_area(&shape.model.outer_face) * -toward[2];
            let tolerance = if shaded > 0.0 { 0.03 } else { 1e-9 };
            assert!(
                (found / expected - 1.0).abs() < tolerance,
                "{} {bearing}: {found} {expected}",
                shape.name
            );
        }
    }
}

#[test]
fn without_depth_everything_is_as_without_reveal() {
    let outline = Outline::rectangle(0.5, 1.4).unwrap();
    let opening = Opening::new(outline, &Depths::default(), Patches::Few).unwrap();
    let part = WallPoint::slice(&[[0.1, 0.1], [0.3, 0.2], [0.2, 0.9]]).to_vec();
    let view = opening.from_eye(RoomPoint::new(2.0, 1.0, 0.5)).unwrap();
    assert_eq!(view.visible(&part), vec![part.clone()]);
    assert_eq!(view.through(&part), Split { open: vec![part.clone()], patches: Vec::new() });
    assert!(view.inner().is_empty());
    for [bearing, altitude] in SUNS {
        let toward = RoomVector::toward_sky(bearing, altitude);
        let beam = opening.beam(toward).unwrap();
        assert_eq!(beam.lit(&part), vec![part.clone()]);
        assert_eq!(beam.inside(&part).open, vec![part.clone()]);
        assert!((beam.lit_share() - 1.0).abs() < 1e-15 && beam.on_outer().is_empty());
        assert_eq!(opening.outward(part[0], toward), Way::Open);
        assert_eq!(opening.inward(part[0], -toward), Way::Open);
    }
    assert!(opening.outer_sides().is_empty() && opening.inner_sides().is_empty());
    let glass = opening.inner_sides().returned(|_| 0.5, 0.1);
    assert!((glass - 0.1).abs() < 1e-12, "{glass}");
    assert!(opening.beam(RoomVector::new(0.0, 0.0, 1.0)).is_none());
}
