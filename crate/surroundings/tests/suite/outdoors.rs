//! Every case of tests/reference/outdoors, within the tolerances that its data allow.

use std::collections::BTreeMap;

use plane::RoomVector;
use serde_json::Value;
use surroundings::{Block, Exchange, Fineness, Light, Site, Surface};

use crate::site::{Sky, for_site, parts};

/// Largest relative error of each kind of figure.
#[derive(Default)]
struct Errors(BTreeMap<String, (f64, String)>);

impl Errors {
    fn add(&mut self, kind: String, found: f64, expected: f64, case: &str) {
        // Parts that are absent must be absent here too.
        let error = if expected == 0.0 { found.abs() } else { (found / expected - 1.0).abs() };
        let worst = self.0.entry(kind).or_default();
        if error >= worst.0 || error.is_nan() {
            *worst = (error, format!("{case}: {found}, expected {expected}"));
        }
    }
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn site(case: &Value) -> (Site, f64) {
    let (street, block) = (&case["street"], &case["block"]);
    let (blocks, reflectance) = if street.is_object() {
        let facade = Block::street(number(street, "distance_m"), number(street, "height_m"));
        (vec![facade], number(street, "reflectance"))
    } else if block.is_object() {
        let sizes = Block {
            distance_m: number(block, "distance_m"),
            x_m: [number(block, "x0_m"), number(block, "x1_m")],
            height_m: number(block, "height_m"),
            depth_m: number(block, "depth_m"),
        };
        (vec![sizes], number(block, "reflectance"))
    } else {
        (Vec::new(), 0.0)
    };
    let window_middle_height_m = number(case, "window_middle_height_m");
    let own_height_m = number(&case["own_building"], "height_m");
    (Site { window_middle_height_m, own_height_m, blocks }, reflectance)
}

fn sky(case: &Value) -> Sky {
    let sky = &case["sky"];
    let sun = sky["sun_altitude_deg"].as_f64().map(|altitude| [number(sky, "sun_bearing_deg"), altitude]);
    let cie_type = sky["cie_type"].as_u64().unwrap() as u8;
    Sky::new(
        cie_type,
        number(sky, "diffuse_horizontal_lx"),
        sun,
        sky["beam_normal_lx"].as_f64().unwrap_or(0.0),
    )
}

/// Direction from the window's middle to a point of the facade or of the block's front.
fn toward(site: &Site, x: f64, y: f64) -> RoomVector {
    let distance = site.blocks[0].distance_m;
    RoomVector::new(x, y - site.window_middle_height_m, -distance).unit()
}

/// Direction to a distance on the ground or a height on the facade, m.
type Look<'a> = &'a dyn Fn(f64) -> RoomVector;

#[test]
fn every_case_is_within_its_tolerance() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/outdoors/outdoors.json");
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let file: Value = serde_json::from_str(&text).unwrap();
    let cases = list(&file, "cases");
    assert_eq!(cases.len(), 47);
    let (mut errors, mut shadows) = (Errors::default(), 0);
    for case in cases {
        let name = case["name"].as_str().unwrap();
        let ((site, opposite), sky) = (site(case), sky(case));
        let kind = if case["block"].is_object() { "block" } else { "street" };
        let own = number(&case["own_building"], "reflectance");
        let exchange = Exchange::new(&site, Fineness::Fine).unwrap();
        let luminance = |toward| [sky.luminance(toward)];
        let light = Light {
            sky: &luminance,
            edges: &surroundings::no_edges,
            sun: sky.sun,
            beam_normal: [sky.beam_normal],
        };
        let rho = for_site([number(case, "ground_reflectance"), own, opposite], &site);
        let lit = exchange.lit(light, &rho).unwrap();
        let (found, expected) = (parts(&lit.vertical(&luminance)), &case["vertical_illuminance"]);
        for (part, found) in [
            ("total", found.total()),
            ("sky", found.sky),
            ("ground", found.ground),
            ("facade", found.facade),
            ("sun", found.sun),
        ] {
            errors.add(format!("{kind} {part}"), found, number(expected, &format!("{part}_lx")), name);
        }
        for seen in list(case, "seen_below") {
            let (bearing, altitude) = (number(seen, "bearing_deg"), number(seen, "altitude_deg"));
            let met = lit.met(RoomVector::toward_sky(bearing, altitude)).unwrap().unwrap();
            let surface = if seen["surface"] == "ground" { Surface::Ground } else { Surface::Block(0) };
            assert_eq!(met.surface, surface, "{name}: {seen}");
            let at = met.at.to_array();
            for (axis, key) in ["x_m", "height_m", "z_m"].into_iter().enumerate() {
                if let Some(expected) = seen[key].as_f64() {
                    assert!(
                        (at[axis] - expected).abs() < 1e-4 * expected.abs() + 1e-4,
                        "{name}: {at:?}, {seen}"
                    );
                }
            }
            errors.add(format!("{kind} luminance"), met.luminance[0], number(seen, "luminance_cd_m2"), name);
        }
        for seen in list(case, "facade_luminance") {
            let met = lit.met(toward(&site, number(seen, "x_m"), number(seen, "height_m"))).unwrap().unwrap();
            assert_eq!(met.surface, Surface::Block(0), "{name}: {seen}");
            errors.add(format!("{kind} luminance"), met.luminance[0], number(seen, "luminance_cd_m2"), name);
        }
        // At a thousandth to either side of where a shadow ends, one point lies in the sun and one in the shade.
        let front_m = site.blocks.first().map_or(f64::INFINITY, |block| block.distance_m);
        let on_ground = |z: f64| RoomVector::new(0.0, -site.window_middle_height_m, -z).unit();
        let on_facade = |height: f64| toward(&site, 0.0, height);
        let ends: [(&str, f64, bool, Look<'_>); 3] = [
            ("own_shadow_on_open_ground_m", front_m, true, &on_ground),
            ("own_shadow_on_facade_up_to_m", f64::INFINITY, true, &on_facade),
            ("ground_sunlit_out_to_m", front_m, false, &on_ground),
        ];
        for (key, most, lit_beyond, at) in ends {
            let Some(end) = case[key].as_f64().filter(|end| *end > 0.0 && *end < most) else { continue };
            let [within, beyond] =
                [0.999, 1.001].map(|k| lit.met(at(k * end)).unwrap().unwrap().luminance[0]);
            let [shade, sun] = if lit_beyond { [within, beyond] } else { [beyond, within] };
            assert!(sun > 1.5 * shade, "{name}, {key}: {sun} {shade}");
            shadows += 1;
        }
    }
    assert_eq!(shadows, 6);
    let within = |kind: &str| match kind {
        "street total" => 0.015,
        "street ground" | "street facade" => 0.03,
        "street luminance" => 0.04,
        "block total" => 0.03,
        "block ground" | "block facade" | "block luminance" => 0.08,
        _ => 0.005,
    };
    let lines: Vec<String> = errors
        .0
        .iter()
        .map(|(kind, (error, case))| format!("{kind}: {:.3} % ({case})", 100.0 * error))
        .collect();
    // `--nocapture` shows how far off each kind of figure is at worst.
    #[expect(clippy::print_stdout, reason = "seen only on request")]
    {
        println!("{}", lines.join("\n"));
    }
    for (kind, (error, case)) in &errors.0 {
        assert!(*error <= within(kind), "{kind}: {case}\n{}", lines.join("\n"));
    }
}
