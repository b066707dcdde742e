//! Light in a black room past outer and inner reveals.

use plane::{RoomPoint, RoomVector};
use reveal::{DeepOpening, InnerReveal};

use crate::common::{Worst, list, number, numbers, reference, sky};

// Within the tolerances of the file's description: direct 0.3 %, total 2 %.
#[test]
fn parts_of_every_case() {
    let file = reference();
    let luminance = number(&file, "lambertian_luminance_cd_m2");
    let mut direct = Worst::of("direct", 3e-3);
    let mut total = Worst::of("total", 2e-2);
    let mut outer = Worst::of("outer reveal", 0.05);
    let mut inner = Worst::of("inner reveal", 0.05);
    let mut rows = 0;
    for case in list(&file, "room") {
        let sky = sky(case);
        let splay = &case["inner"]["splay_deg"];
        let reveal = InnerReveal {
            depth_m: number(&case["inner"], "depth_m"),
            jamb_deg: number(splay, "jamb"),
            head_deg: number(splay, "head"),
            sill_deg: number(splay, "sill"),
        };
        let opening = DeepOpening::new(
            number(case, "width_m"),
            number(case, "height_m"),
            number(case, "outer_depth_m"),
            reveal,
        )
        .unwrap();
        for row in list(case, "rows") {
            rows += 1;
            let place = format!("{} {row}", case["name"]);
            let at: [f64; 3] = numbers(&row["point_m"]).try_into().unwrap();
            let normal = match row["plane"].as_str().unwrap() {
                "horizontal" => RoomVector::new(0.0, 1.0, 0.0),
                _ => RoomVector::new(0.0, 0.0, -1.0),
            };
            let view = opening.view(RoomPoint::from(at), normal).unwrap();
            let reflectance = number(row, "inner_reflectance");
            let light = if row["source"] == "hole" {
                let outer = number(case, "outer_reflectance");
                let exitance = opening.exitance_of_hole(|d| sky.luminance(d), outer, reflectance);
                opening.light_of_hole(&view, |d| sky.luminance(d), &exitance)
            } else {
                let exitance = opening.exitance_of_pane(luminance, reflectance);
                opening.light_of_pane(&view, luminance, &exitance)
            };
            direct.compare(&place, light.direct, number(row, "direct_lx"));
            total.compare(&place, light.total(), number(row, "total_lx"));
            for (worst, found, key) in [
                (&mut outer, light.outer_reveal, "outer_reveal_lx"),
                (&mut inner, light.inner_reveal, "inner_reveal_lx"),
            ] {
                let expected = number(row, key);
                if expected > 0.0 {
                    worst.compare(&place, found, expected);
                } else {
                    assert!(found.abs() <= 1e-6 * light.total(), "{key} {found} at {place}");
                }
            }
        }
    }
    assert_eq!(rows, 8 * 3 * 8);
    for worst in [direct, total, outer, inner] {
        worst.check();
    }
}
