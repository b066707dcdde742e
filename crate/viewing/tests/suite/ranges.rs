//! How well figures are known: what is shared, what is skewed, what is in the list. Ranges against scenes made anew with
//! drawn values: `causes::brute_force` in the crate.

use crate::scenes::{all_of, resolve, six_pieces};
use serde_json::{Value, json};
use viewing::{FigureRange, Ranges};

const EVENING: &str = "2026-06-20T18:30";

fn ranges(scene: &Value) -> Ranges {
    viewing::report(&resolve(scene), Some(EVENING), None).unwrap().ranges.unwrap()
}

/// A window of one glass in all pieces.
fn one_glass(glass: &str, thickness_mm: f64) -> Value {
    let mut scene = six_pieces();
    all_of(&mut scene, glass, thickness_mm);
    scene
}

/// Half the width of a range in standard deviations of the logarithm.
fn spread(range: FigureRange) -> f64 {
    0.5 * (range.p95 / range.p05).ln() / 1.645
}

fn share(ranges: &Ranges, start: &str) -> f64 {
    ranges.depends_on.iter().filter(|cause| cause.what.starts_with(start)).map(|cause| cause.share).sum()
}

#[test]
fn the_same_scene_has_the_same_ranges_and_they_hold_its_figures() {
    let scene = six_pieces();
    let (first, second) = (ranges(&scene), ranges(&scene));
    assert_eq!(first, second);
    let report = viewing::report(&resolve(&scene), Some(EVENING), None).unwrap();
    for (light, range) in [
        (report.viewing.vertical.total_lx, first.everything.vertical_lx),
        (report.viewing.horizontal.total_lx, first.everything.horizontal_lx),
        (report.viewing.share_of_clear.unwrap(), first.everything.share_of_clear.unwrap()),
        (report.viewing.cast.x.unwrap(), first.everything.x.unwrap()),
    ] {
        assert!(range.p05 < light && light < range.p95, "{light} {range:?}");
        assert!(range.p05 < range.median && range.median < range.p95 && range.step > 0.0);
    }
    assert_eq!(first.pieces.len(), report.pieces.len());
    for (piece, range) in report.pieces.iter().zip(&first.pieces) {
        assert_eq!(piece.id, range.id);
        assert_eq!(piece.luminance_cd_m2.is_some(), range.luminance_cd_m2.is_some());
    }
    let all: f64 = first.depends_on.iter().map(|cause| cause.share).sum();
    assert!((0.9..=1.0 + 1e-9).contains(&(all + first.together)), "{all} {}", first.together);
    assert!(first.depends_on.is_sorted_by(|a, b| a.share >= b.share));
    // The glass alone is known better than everything together.
    assert!(spread(first.glass_alone.vertical_lx) < spread(first.everything.vertical_lx));
}

// One error of cobalt for all glasses that have it: six pieces are no better known than one.
#[test]
fn a_colourant_is_shared_by_all_pieces_and_glasses() {
    let alone = ranges(&one_glass("deep-cobalt", 3.1));
    let mut mixed = one_glass("deep-cobalt", 3.1);
    for (piece, glass) in [(1, "mid-cobalt"), (3, "pale-cobalt"), (5, "mid-cobalt")] {
        mixed["windows"][0]["pieces"][piece]["makeup"]["plates"][0]["glass"] = json!(glass);
    }
    let mixed = ranges(&mixed);
    let count =
        |ranges: &Ranges| ranges.depends_on.iter().filter(|c| c.what.contains("cobalt (Co2+)")).count();
    assert_eq!((count(&alone), count(&mixed)), (1, 1));
    assert!(spread(alone.glass_alone.vertical_lx) > 0.2, "{:?}", alone.glass_alone.vertical_lx);
    assert!(share(&mixed, "strength of cobalt") > share(&mixed, "thickness of each piece"));
}

// Share and width of the lobe of a paint, and of each glass, are common to all pieces that have it.
#[test]
fn how_far_paint_and_glass_scatter_forwards_is_shared_by_all_pieces() {
    let scene = crate::traced::scattering();
    let each = ranges(&scene);
    let of =
        |ranges: &Ranges, start: &str| ranges.depends_on.iter().filter(|c| c.what.starts_with(start)).count();
    assert!(of(&each, "width of what") > 1 && of(&each, "share of what") >= 1, "{:?}", each.depends_on);
    let mut matted = scene.clone();
    let painted = matted["windows"][0]["pieces"][1]["makeup"].clone();
    for piece in matted["windows"][0]["pieces"].as_array_mut().unwrap() {
        piece["makeup"] = painted.clone();
    }
    let all = ranges(&matted);
    assert_eq!(of(&all, "width of what"), 1, "{:?}", all.depends_on);
    assert_eq!(of(&all, "width of what matting scatters forwards"), 1, "{:?}", all.depends_on);
    // What scatters evenly has no lobe to be in doubt.
    let mut even = scene.clone();
    for piece in even["windows"][0]["pieces"].as_array_mut().unwrap() {
        piece["makeup"] = json!({ "plates": [{ "glass": "opal-white", "thickness_mm": 3.0 }] });
    }
    let even = ranges(&even);
    assert!(!even.depends_on.iter().any(|cause| cause.what.contains("forwards")), "{:?}", even.depends_on);
}

// ±10 nm of a selenium ruby's edge are −34 and +44 % of its light.
#[test]
fn an_edge_glass_depends_on_where_its_edge_is() {
    let edge = glass::library()
        .iter()
        .filter(|glass| glass.provenance == glass::Provenance::Recipe)
        .find(|glass| {
            let ingredients = glass::ingredients(&glass.id).unwrap();
            ingredients.base.iter().any(|(name, _)| name.starts_with("CdSSe 6"))
        })
        .unwrap();
    let found = ranges(&one_glass(&edge.id, 3.1));
    assert!(spread(found.glass_alone.vertical_lx) > 0.25, "{:?}", found.glass_alone.vertical_lx);
    assert!(share(&found, "edge of cadmium selenide") > 0.3, "{:#?}", found.depends_on);
}

#[test]
fn a_dark_glass_has_a_skewed_range() {
    let found = ranges(&one_glass("deep-purple", 3.1)).glass_alone.vertical_lx;
    assert!(found.p95 / found.median > 1.5 && found.median / found.p05 > 1.5, "{found:?}");
    assert!(found.p95 - found.median > 1.5 * (found.median - found.p05), "{found:?}");
}

// Matting of density 0.5 at ±25 %: between half and twice the light, where the glass alone knows it to some per cent.
#[test]
fn paint_counts_beside_the_glass() {
    let mut scene = one_glass("low-iron-white", 3.1);
    for piece in scene["windows"][0]["pieces"].as_array_mut().unwrap() {
        piece["makeup"]["paint"] = json!([{ "kind": "matting", "density": 0.5 }]);
    }
    let found = ranges(&scene);
    let [all, glass] =
        [&found.everything, &found.glass_alone].map(|light| spread(light.share_of_clear.unwrap()));
    assert!((0.2..0.4).contains(&all) && glass < 0.08, "{all} {glass}");
    assert!(share(&found, "density of matting") > 0.3, "{:#?}", found.depends_on);
}

// A thickness left at its sheet's nominal one is less well known than one that was typed.
#[test]
fn thickness_counts_by_how_it_is_known() {
    let [nominal, typed] = [3.0, 3.01].map(|mm| ranges(&one_glass("mid-cobalt", mm)));
    let sd = |ranges: &Ranges| spread(ranges.glass_alone.vertical_lx);
    assert!(sd(&nominal) > 1.05 * sd(&typed), "{} {}", sd(&nominal), sd(&typed));
    let origin = |ranges: &Ranges| {
        let cause = ranges.depends_on.iter().find(|c| c.what.starts_with("thickness of each sheet")).unwrap();
        cause.origin.clone()
    };
    assert_eq!(
        (origin(&nominal).as_str(), origin(&typed).as_str()),
        ("common practice, no source", "assumption")
    );
}

#[test]
fn a_stated_level_of_the_sky_is_no_cause_and_a_typical_one_is() {
    let mut scene = six_pieces();
    scene["sky"] = json!({
        "kind": "standard", "cie_type": 1, "spectrum": { "cct_k": 6500.0 }, "diffuse_horizontal_lx": 12000.0
    });
    let stated = ranges(&scene);
    assert!(share(&stated, "level of the sky") <= 0.0);
    scene["sky"] = json!({ "kind": "standard", "cie_type": 1, "spectrum": { "cct_k": 6500.0 } });
    let typical = ranges(&scene);
    assert!(share(&typical, "level of the sky") > 0.5);
    assert!(spread(typical.everything.vertical_lx) > 1.5 * spread(stated.everything.vertical_lx));
    // As a share of clear glass under the same sky it does not matter.
    let [a, b] = [&typical, &stated].map(|r| spread(r.everything.share_of_clear.unwrap()));
    assert!((a / b - 1.0).abs() < 0.1, "{a} {b}");
}

/// The small scene in the newest format, so that it can have what is new there.
fn newest() -> Value {
    let read = scene::read(&six_pieces().to_string()).unwrap();
    let mut scene = serde_json::to_value(read).unwrap();
    scene["clerestory"] = json!(scene::FORMAT_VERSION);
    scene
}

/// A cause of the figure in front by the start of its name; panics if it is not listed.
fn listed<'a>(ranges: &'a Ranges, start: &str) -> &'a viewing::Dependence {
    let found = ranges.depends_on.iter().find(|cause| cause.what.starts_with(start));
    found.unwrap_or_else(|| panic!("no {start} in {:#?}", ranges.depends_on))
}

#[test]
fn a_stated_deviation_of_a_thickness_counts_instead_of_the_usual_one() {
    let with = |sd: Option<f64>| {
        let mut scene = newest();
        all_of(&mut scene, "mid-cobalt", 3.1);
        for piece in scene["windows"][0]["pieces"].as_array_mut().unwrap() {
            if let Some(sd) = sd {
                piece["makeup"]["plates"][0]["thickness_sd_mm"] = json!(sd);
            }
        }
        ranges(&scene)
    };
    let [usual, same, exact, rough] = [None, Some(0.2), Some(0.0), Some(0.8)].map(with);
    let sd = |ranges: &Ranges| spread(ranges.glass_alone.vertical_lx);
    assert!((sd(&same) / sd(&usual) - 1.0).abs() < 0.02, "{} {}", sd(&same), sd(&usual));
    assert!(sd(&exact) < sd(&usual) && sd(&usual) < 0.9 * sd(&rough));
    assert_eq!(listed(&rough, "thickness of each sheet").origin, "measured");
}

// Six pieces of one sheet and six of a sheet each: what they have in common does not average out.
#[test]
fn pieces_of_one_sheet_are_thicker_together() {
    let mut apart = one_glass("deep-cobalt", 3.1);
    for (k, piece) in apart["windows"][0]["pieces"].as_array_mut().unwrap().iter_mut().enumerate() {
        piece["makeup"]["plates"][0]["sheet"] = json!(k + 1);
    }
    let [one, six] = [one_glass("deep-cobalt", 3.1), apart].map(|scene| ranges(&scene));
    let of = |ranges: &Ranges| share(ranges, "thickness of each sheet");
    assert!(of(&one) > 3.0 * of(&six) && of(&six) > 0.0, "{} {}", of(&one), of(&six));
}

#[test]
fn dirt_and_protective_glazing_are_causes_of_their_own_window() {
    let mut scene = newest();
    scene["windows"][0]["deposits"] = json!({ "outside": { "kind": "corrosion", "loss": 0.3 } });
    scene["windows"][0]["protective_glazing"] = json!({ "thickness_mm": 6.0, "dirt": 0.3 });
    let found = ranges(&scene);
    let name = scene["windows"][0]["id"].as_str().unwrap();
    assert!(listed(&found, "corrosion on the weather face").what.contains(name));
    assert!(listed(&found, "dirt on the protective glazing").what.contains(name));
}

#[test]
fn the_second_colour_and_the_flash_of_an_own_glass_count() {
    let mut scene = newest();
    all_of(&mut scene, "own", 3.0);
    let flat = |mm: f64, t: f64| json!({ "internal": { "thickness_mm": mm, "samples": vec![t; 81] } });
    scene["glasses"] = json!({ "own": {
        "name": "Own", "family": "red", "colour": flat(3.0, 0.9), "provenance": "measured",
        "flash": { "thickness_mm": 0.5, "colour": flat(0.5, 0.05) }
    } });
    let flashed = ranges(&scene);
    assert!(share(&flashed, "flash of each sheet") > 0.05, "{:#?}", flashed.depends_on);
    assert!(share(&flashed, "spectrum of flash of Own") > 0.0, "{:#?}", flashed.depends_on);
    scene["glasses"]["own"].as_object_mut().unwrap().remove("flash");
    scene["glasses"]["own"]["streak"] = json!({ "colour": flat(3.0, 0.02) });
    let streaky = ranges(&scene);
    assert!(share(&streaky, "streaks of each piece") > 0.01, "{:#?}", streaky.depends_on);
    assert!(share(&streaky, "spectrum of second colour of Own") > 0.0, "{:#?}", streaky.depends_on);
}

#[test]
fn an_assumed_own_building_and_buildings_opposite_count() {
    let mut scene = newest();
    scene["horizon"] = json!({
        "own_building": {},
        "blocks": [{ "distance_m": 12.0, "from_m": -30.0, "to_m": 30.0, "height_m": 9.0, "depth_m": 10.0 }]
    });
    let found = ranges(&scene);
    for start in ["height of the buildings opposite", "reflectance of the buildings opposite"] {
        assert!(listed(&found, start).share > 0.005);
    }
    let assumed = viewing::Ranges { depends_on: Vec::new(), ..found.clone() };
    scene["horizon"]["own_building"] = json!({ "height_m": 4.0 });
    let stated = ranges(&scene);
    assert!(spread(stated.everything.vertical_lx) <= 1.02 * spread(assumed.everything.vertical_lx));
}

// A beam through the piece depends on the air, not on the level of the sky.
#[test]
fn the_level_of_the_sky_moves_what_the_sky_lights() {
    let mut scene = six_pieces();
    scene["sky"] = json!({ "kind": "standard", "cie_type": 12, "spectrum": { "cct_k": 6500.0 } });
    let sunny = ranges(&scene);
    scene["sky"]["cie_type"] = json!(1);
    let dull = ranges(&scene);
    assert!(share(&sunny, "level of the sky") < share(&dull, "level of the sky"));
    assert!(share(&sunny, "turbidity of the air") > 0.0 && share(&dull, "turbidity of the air") <= 0.0);
}

// Under a sky whose level is stated, so that the wall is much of what is not known.
#[test]
fn how_well_a_wall_is_known_widens_the_ranges() {
    let in_wall = |stone: Value| {
        let mut scene = crate::walls::with_wall(&crate::walls::slit(), crate::walls::everything());
        scene["sky"] = crate::walls::overcast();
        for part in ["outer", "inner", "overhang"] {
            scene["windows"][0]["wall"][part]["reflectance"] = stone.clone();
        }
        ranges(&scene)
    };
    let [usual, measured] = [Value::Null, json!({ "samples": vec![0.3; 81] })].map(in_wall);
    for start in
        ["reflectance of the reveals", "depth of the outer reveals", "thickness of the bars and mesh"]
    {
        assert_eq!(listed(&usual, start).origin, "assumption");
    }
    let of = |ranges: &Ranges| share(ranges, "reflectance of the reveals");
    assert!(of(&usual) > 2.0 * of(&measured), "{} {}", of(&usual), of(&measured));
    assert!(spread(usual.everything.vertical_lx) > spread(measured.everything.vertical_lx));
    let mut flush = crate::walls::slit();
    flush["sky"] = crate::walls::overcast();
    let flush = ranges(&flush);
    assert!(!flush.depends_on.iter().any(|cause| cause.what.contains("reveals")));
    assert!(spread(usual.everything.vertical_lx) > spread(flush.everything.vertical_lx));
}
