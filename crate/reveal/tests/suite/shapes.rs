//! Openings of many shapes, each as the crate has it and as triangles with rings of the test's own.

use std::f64::consts::TAU;

use plane::WallPoint;
use reveal::{Depths, Face, Opening, Outline, Overhang, Patches, Reveal};

use crate::tracer::Model;

pub(crate) struct Shape {
    pub(crate) name: &'static str,
    pub(crate) opening: Opening,
    pub(crate) fine: Opening,
    pub(crate) model: Model,
    /// Number of patches of the outer reveal, without the overhang's.
    pub(crate) reveal: usize,
}

fn points(ring: &[[f64; 2]]) -> Vec<WallPoint> {
    WallPoint::slice(ring).to_vec()
}

fn rectangle([left, right, low, high]: [f64; 4]) -> Vec<WallPoint> {
    points(&[[left, low], [right, low], [right, high], [left, high]])
}

pub(crate) fn circle(middle: [f64; 2], radius: f64, corners: u32) -> Vec<WallPoint> {
    let at = |i: u32| (f64::from(i) / f64::from(corners) * TAU).sin_cos();
    (0..corners)
        .map(at)
        .map(|(s, c)| WallPoint::new(middle[0] + radius * c, middle[1] + radius * s))
        .collect()
}

/// Three lobes around a middle.
fn trefoil() -> Vec<WallPoint> {
    let mut ring = Vec::new();
    for lobe in 0..3 {
        let toward = TAU * (f64::from(lobe) / 3.0 + 0.25);
        let middle = [0.6 + 0.25 * toward.cos(), 0.6 + 0.25 * toward.sin()];
        // Lobes of 0.25 meet 60° before and after the way to the middle between them.
        for i in 0..8 {
            let angle = toward + TAU * (f64::from(i) / 7.0 - 0.5) * 0.6;
            ring.push(WallPoint::new(middle[0] + 0.25 * angle.cos(), middle[1] + 0.25 * angle.sin()));
        }
    }
    ring
}

/// A pointed arch over a tall light: two arcs about the springing's far ends.
fn pointed() -> Vec<WallPoint> {
    let w = 0.5;
    let mut ring = points(&[[0.0, 0.0], [w, 0.0]]);
    let arc = |i: u32| (f64::from(i) / 8.0 * TAU / 6.0).sin_cos();
    ring.extend((0..=8).map(arc).map(|(s, c)| WallPoint::new(w * c, 1.2 + w * s)));
    ring.extend((0..8).rev().map(arc).map(|(s, c)| WallPoint::new(w - w * c, 1.2 + w * s)));
    ring
}

fn shape(name: &'static str, rings: [Vec<WallPoint>; 3], depths: Depths, outline: Outline) -> Shape {
    let mut model =
        Model::new([&rings[0], &rings[1], &rings[2]], [depths.outer.depth_m, depths.inner.depth_m]);
    if let Some(over) = depths.overhang {
        let [low, high] = plane::bounds(&rings[0]).unwrap();
        let middle = 0.5 * (low.x() + high.x());
        let z = -depths.outer.depth_m;
        model = model.with_overhang(
            [middle - 0.5 * over.width_m, middle + 0.5 * over.width_m],
            high.y() + over.above_m,
            [z - over.depth_m, z],
        );
    }
    let opening = Opening::new(outline.clone(), &depths, Patches::Few).unwrap();
    let sides = opening.outer_sides();
    Shape {
        name,
        reveal: (0..sides.len()).filter(|&i| sides.face(i) != Face::Overhang).count(),
        opening,
        fine: Opening::new(outline, &depths, Patches::Fine).unwrap(),
        model,
    }
}

pub(crate) fn all() -> Vec<Shape> {
    let tan = |deg: f64| deg.to_radians().tan();
    let splay = |depth_m, jamb_deg, head_deg, sill_deg| Reveal { depth_m, jamb_deg, head_deg, sill_deg };
    let grown = |d: f64, jamb: f64, head: f64, sill: f64| {
        rectangle([-d * tan(jamb), 0.5 + d * tan(jamb), -d * tan(sill), 1.4 + d * tan(head)])
    };
    let lancet = rectangle([0.0, 0.5, 0.0, 1.4]);
    let round = |r: f64| circle([0.5, 0.5], r, 32);
    let (arch, foil) = (pointed(), trefoil());
    // The rays of a polygon's moved corners are longer than the moved edges' step by 1/cos of half a side.
    let side = (TAU / 64.0).cos();
    let ring = |points: &[WallPoint]| Outline::ring(points).unwrap();
    let straight = Reveal::straight;
    vec![
        shape(
            "straight lancet",
            [lancet.clone(), lancet.clone(), lancet.clone()],
            Depths { outer: straight(0.2), inner: straight(0.3), overhang: None },
            ring(&lancet),
        ),
        shape(
            "splayed lancet",
            [grown(0.15, 20.0, 0.0, 35.0), lancet.clone(), grown(0.4, 40.0, 15.0, 45.0)],
            Depths {
                outer: splay(0.15, 20.0, 0.0, 35.0),
                inner: splay(0.4, 40.0, 15.0, 45.0),
                overhang: None,
            },
            ring(&lancet),
        ),
        shape(
            "lancet under a canopy",
            [grown(0.1, 0.0, 0.0, 30.0), lancet.clone(), lancet.clone()],
            Depths {
                outer: splay(0.1, 0.0, 0.0, 30.0),
                inner: Reveal::default(),
                overhang: Some(Overhang { depth_m: 0.5, above_m: 0.1, width_m: 1.1 }),
            },
            Outline::rectangle(0.5, 1.4).unwrap(),
        ),
        shape(
            "oculus",
            [round(0.5 + 0.15 * tan(25.0) / side), round(0.5), round(0.5 + 0.3 * tan(45.0) / side)],
            Depths {
                outer: splay(0.15, 25.0, 25.0, 25.0),
                inner: splay(0.3, 45.0, 45.0, 45.0),
                overhang: None,
            },
            ring(&round(0.5)),
        ),
        shape(
            "pointed light",
            [arch.clone(), arch.clone(), arch.clone()],
            Depths { outer: straight(0.25), inner: straight(0.35), overhang: None },
            ring(&arch),
        ),
        shape(
            "trefoil",
            [foil.clone(), foil.clone(), foil.clone()],
            Depths { outer: straight(0.2), inner: straight(0.25), overhang: None },
            ring(&foil),
        ),
    ]
}

/// A piece somewhere in a glass: with a notch, near an edge.
pub(crate) fn piece(shape: &Shape) -> Vec<WallPoint> {
    let [low, high] = plane::bounds(&shape.model.glass).unwrap();
    let at = |x: f64, y: f64| {
        WallPoint::new(low.x() + x * (high.x() - low.x()), low.y() + y * (high.y() - low.y()))
    };
    vec![at(0.35, 0.3), at(0.65, 0.35), at(0.5, 0.45), at(0.6, 0.6), at(0.4, 0.62)]
}
