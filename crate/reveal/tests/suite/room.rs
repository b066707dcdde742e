//! Light in a black room past outer and inner reveals.

use std::f64::consts::{FRAC_1_PI, PI};

use plane::{RoomPoint, RoomVector, WallPoint, area_and_centroid, clip_to_rectangle};
use reveal::{Depths, EyeView, Opening, Outline, Patches, Reveal, SkyAndGround, Way};
use serde_json::Value;

use crate::common::{Worst, list, number, numbers, reference, sky};
use crate::tracer::Random;

/// Form factor of a polygon from a point, by Lambert's contour sum.
fn form_factor(at: RoomPoint, normal: RoomVector, ring: impl IntoIterator<Item = RoomPoint>) -> f64 {
    let corners: Vec<RoomVector> = ring.into_iter().map(|p| p - at).collect();
    let mut kept = Vec::new();
    for (i, &a) in corners.iter().enumerate() {
        let b = corners[(i + 1) % corners.len()];
        let (ha, hb) = (normal.dot(a), normal.dot(b));
        if ha >= 0.0 {
            kept.push(a);
        }
        if ha * hb < 0.0 {
            kept.push(a + (b + -a) * (ha / (ha - hb)));
        }
    }
    let mut sum = 0.0;
    for (i, &a) in kept.iter().enumerate() {
        let b = kept[(i + 1) % kept.len()];
        let across = a.cross(b);
        if across.length() > 0.0 {
            sum += across.length().atan2(a.dot(b)) * normal.dot(across.unit());
        }
    }
    sum.abs() / (2.0 * PI)
}

fn on_glass(ring: &[WallPoint]) -> impl Iterator<Item = RoomPoint> + '_ {
    ring.iter().map(|p| RoomPoint::new(p.x(), p.y(), 0.0))
}

/// Light from outside and from each outer patch, through small parts of the glass that do not cross the horizon.
fn through_glass(
    view: &EyeView<'_>,
    eye: RoomPoint,
    normal: RoomVector,
    sky: &SkyAndGround,
    size: [f64; 2],
    exitance: &[f64],
) -> [f64; 2] {
    let glass = WallPoint::slice(&[[0.0, 0.0], [size[0], 0.0], [size[0], size[1]], [0.0, size[1]]]).to_vec();
    let split = view.visible(&glass).iter().map(|ring| view.through(ring)).collect::<Vec<_>>();
    let (mut direct, mut outer) = (0.0, 0.0);
    for ring in split.iter().flat_map(|s| &s.open) {
        let [low, high] = plane::bounds(ring).unwrap();
        let n = 16;
        let mut stops: Vec<f64> =
            (0..=n).map(|j| low.y() + (high.y() - low.y()) * f64::from(j) / f64::from(n)).collect();
        stops.push(eye[1].clamp(low.y(), high.y()));
        stops.sort_by(f64::total_cmp);
        for rows in stops.windows(2) {
            for i in 0..n {
                let x = [i, i + 1].map(|i| low.x() + (high.x() - low.x()) * f64::from(i) / f64::from(n));
                let part = clip_to_rectangle(ring, x, [rows[0], rows[1]]);
                if let Some((_, middle)) = area_and_centroid(&part) {
                    let toward = (RoomPoint::new(middle.x(), middle.y(), 0.0) - eye).unit();
                    direct += PI * form_factor(eye, normal, on_glass(&part)) * sky.luminance(toward);
                }
            }
        }
    }
    for (patch, ring) in split.iter().flat_map(|s| &s.patches) {
        outer += form_factor(eye, normal, on_glass(ring)) * exitance[*patch];
    }
    [direct, outer]
}

/// What the inner patches receive through the open glass: rays in steps of equal flux.
fn landed(opening: &Opening, source: impl Fn(WallPoint, RoomVector) -> f64) -> Vec<f64> {
    let sides = opening.inner_sides();
    let mut light = vec![0.0; sides.len()];
    let mut random = Random(17);
    let rays = 400_000;
    let flux = opening.outline().area_m2() * PI / f64::from(rays);
    for _ in 0..rays {
        let p = random.within(opening.outline().corners());
        let along = random.cosine(RoomVector::new(0.0, 0.0, 1.0));
        if let Way::Patch(n) = opening.inward(p, along) {
            light[n] += flux * source(p, -along) / sides.area_m2(n);
        }
    }
    light
}

fn opening(case: &Value, patches: Patches) -> Opening {
    let splay = &case["inner"]["splay_deg"];
    let inner = Reveal {
        depth_m: number(&case["inner"], "depth_m"),
        jamb_deg: number(splay, "jamb"),
        head_deg: number(splay, "head"),
        sill_deg: number(splay, "sill"),
    };
    let outline = Outline::rectangle(number(case, "width_m"), number(case, "height_m")).unwrap();
    let outer = Reveal::straight(number(case, "outer_depth_m"));
    Opening::new(outline, &Depths { outer, inner, overhang: None }, patches).unwrap()
}

// Within the tolerances of the file's description: direct 0.3 %, total 2 %. A few patches are a little less true to what a
// point sees of one side alone.
#[test]
fn parts_of_every_case() {
    compare(Patches::Few, 0.07);
    compare(Patches::Fine, 0.05);
}

fn compare(patches: Patches, of_reveals: f64) {
    let file = reference();
    let luminance = number(&file, "lambertian_luminance_cd_m2");
    let mut direct = Worst::of("direct", 3e-3);
    let mut total = Worst::of("total", 2e-2);
    let mut outer = Worst::of("outer reveal", of_reveals);
    let mut inner = Worst::of("inner reveal", of_reveals);
    let mut rows = 0;
    for case in list(&file, "room") {
        let sky = sky(case);
        let opening = opening(case, patches);
        let (outside, inside) = (opening.outer_sides(), opening.inner_sides());
        let size = [number(case, "width_m"), number(case, "height_m")];
        let outer_reflectance = number(case, "outer_reflectance");
        let sent = outside.exitance(&outside.received(|d| sky.luminance(d)), |_| outer_reflectance);
        let through_hole = landed(&opening, |p, d| match opening.outward(p, d) {
            Way::Open => sky.luminance(d),
            Way::Patch(n) => sent[n] * FRAC_1_PI,
        });
        let from_pane = landed(&opening, |_, _| luminance);
        for row in list(case, "rows") {
            rows += 1;
            let place = format!("{} {row}", case["name"]);
            let at = RoomPoint::from(<[f64; 3]>::try_from(numbers(&row["point_m"])).unwrap());
            let normal = match row["plane"].as_str().unwrap() {
                "horizontal" => RoomVector::new(0.0, 1.0, 0.0),
                _ => RoomVector::new(0.0, 0.0, -1.0),
            };
            let view = opening.from_eye(at).unwrap();
            let reflectance = number(row, "inner_reflectance");
            let hole = row["source"] == "hole";
            let received = if hole { &through_hole } else { &from_pane };
            let exitance = inside.exitance(received, |_| reflectance);
            let from_inner: f64 = view
                .inner()
                .into_iter()
                .map(|(patch, ring)| exitance[patch] * form_factor(at, normal, ring))
                .sum();
            let [from_outside, from_outer] = if hole {
                through_glass(&view, at, normal, &sky, size, &sent)
            } else {
                let glass = view.visible(opening.outline().corners());
                let seen: f64 = glass.iter().map(|ring| form_factor(at, normal, on_glass(ring))).sum();
                [luminance * PI * seen, 0.0]
            };
            direct.compare(&place, from_outside, number(row, "direct_lx"));
            let sum = from_outside + from_outer + from_inner;
            total.compare(&place, sum, number(row, "total_lx"));
            for (worst, found, key) in
                [(&mut outer, from_outer, "outer_reveal_lx"), (&mut inner, from_inner, "inner_reveal_lx")]
            {
                let expected = number(row, key);
                // Light that goes back out through the hole to the outer reveal is left out: glass lets little of it pass,
                // and it is less than 1.5 % here.
                if expected > 0.0 && (reflectance < 1e-9 || key == "inner_reveal_lx") {
                    worst.compare(&place, found, expected);
                } else {
                    assert!((found - expected).abs() <= 1.5e-2 * sum, "{key} {found} at {place}");
                }
            }
        }
    }
    assert_eq!(rows, 8 * 3 * 8);
    for worst in [direct, total, outer, inner] {
        worst.check();
    }
}
