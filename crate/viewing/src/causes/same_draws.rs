//! Ranges against scenes made anew with the same draws on both sides, so that few draws tell whether both ends are right.

use scene::Resolved;
use uncertainty::{Range, sample_all};

use super::around::names;
use super::brute_force::{drawn, one_piece, one_piece_text, open};
use super::known::{Known, known};
use super::levels::Levels;
use crate::box_room::Surface;
use crate::figure_range::FigureRange;
use crate::prepared::Prepared;

const DRAWS: usize = 64;
/// Paint on a part of a piece, which is counted as scattering alike at all wavelengths, is off by 0.03 where it is dense.
const SAME_Y: f64 = 0.035;

/// Light in front, its share of clear glass, y, and the luminance of the first piece: scaled, and anew.
pub(super) struct Both {
    pub scaled: [Range; 4],
    pub anew: [Range; 4],
}

/// With the room's surfaces and the colour of the sky as they are: the place need not be prepared again, and colour would be the
/// same product on both sides.
pub(super) fn both(resolved: &Resolved) -> Both {
    let surfaces = Surface::ALL.map(names::surface);
    let taken = |name: &str| name == names::COLOUR || surfaces.iter().any(|surface| surface == name);
    let Known { prepared, instant, listed, mut model, .. } = known(resolved).without(taken);
    let mut scaled = vec![0.0; model.count()];
    let sample = sample_all(&listed.causes, DRAWS, 8, |draw, into| {
        model.figures(draw, &mut scaled);
        into[..4].copy_from_slice(&[scaled[6], scaled[15], scaled[17], scaled[20]]);
        let (scene, level) = drawn(resolved, &model, &listed, draw);
        let mut prepared = prepared.clone();
        let makeups = scene.windows.iter().flat_map(|window| &window.pieces).map(|piece| &piece.makeup);
        makeups.enumerate().for_each(|(place, makeup)| prepared.set_makeup(place, makeup));
        let light = prepared.light(&scene.outside_at_level(instant, level).unwrap());
        let levels = Levels::of(&prepared, &light);
        let [x, y, z, ..] = levels.figures;
        into[4..].copy_from_slice(&[y, y / levels.clear, y / (x + y + z), levels.pieces[0]]);
    })
    .unwrap();
    let ranges = |from: usize| std::array::from_fn(|figure| sample.range(from + figure));
    Both { scaled: ranges(0), anew: ranges(4) }
}

/// Both ends and the median of light, share and luminance are within so much of each other, relative, and those of y within
/// [`SAME_Y`].
pub(super) fn check(name: &str, Both { scaled, anew }: &Both, tolerance: f64) {
    let words = format!("{name}: scaled {scaled:.4?}, anew {anew:.4?}");
    eprintln!("{words}");
    for (figure, (scaled, anew)) in scaled.iter().zip(anew).enumerate() {
        for (scaled, anew) in [(scaled.p05, anew.p05), (scaled.median, anew.median), (scaled.p95, anew.p95)] {
            let off = if figure == 2 { (scaled - anew) / SAME_Y } else { (scaled / anew - 1.0) / tolerance };
            assert!(off.abs() < 1.0, "{scaled} {anew}; {words}");
        }
    }
}

/// The printed ranges of the light in front and of its share of clear glass.
pub(super) fn printed(resolved: &Resolved) -> [FigureRange; 2] {
    let prepared = Prepared::new(resolved, None).unwrap();
    let outside = resolved.outside(resolved.instant(&resolved.scene.at).unwrap().utc).unwrap();
    let ranges = prepared.ranges(resolved, &outside, &prepared.light(&outside)).unwrap().unwrap();
    [ranges.everything.vertical_lx, ranges.everything.share_of_clear.unwrap()]
}

// The density of stain and enamel is that of one wavelength, while other light passes as through clear glass.
fn check_tints(paints: &[(&str, f64)]) {
    let bare = printed(&one_piece("low-iron-white", 3.0, ""));
    for (paint, density) in paints {
        let paint = format!("{{{paint}, \"density\": {density}}}");
        let scene = one_piece("low-iron-white", 3.0, &paint);
        check(&paint, &both(&scene), 0.1);
        // What it scatters may send a little more light to the eye than comes straight.
        for (painted, bare) in printed(&scene).iter().zip(&bare) {
            assert!(painted.p95 < 1.15 * bare.p95 && painted.p05 > 0.0, "{paint}: {painted:?} {bare:?}");
        }
    }
}

const GOLD: &str = r#""kind": {"stain": "gold"}, "face": "outside""#;
const GOLD_IN_PART: &str = r#""kind": {"stain": "gold"}, "face": "outside", "coverage": 0.9"#;
const YELLOW: &str = r#""kind": {"enamel": "yellow"}"#;
const BLUE_IN_PART: &str = r#""kind": {"enamel": "blue"}, "coverage": 0.6"#;

#[test]
fn ranges_of_dense_stain_and_enamel_are_those_of_scenes_made_anew_and_below_bare_glass() {
    check_tints(&[(GOLD, 2.0), (GOLD_IN_PART, 2.4), (YELLOW, 3.0), (BLUE_IN_PART, 1.6)]);
}

#[test]
#[ignore = "minutes"]
fn ranges_of_every_tint_are_those_of_scenes_made_anew_and_below_bare_glass() {
    let kinds = [GOLD, GOLD_IN_PART, YELLOW, BLUE_IN_PART].into_iter();
    let all: Vec<_> = kinds.flat_map(|kind| [1.0, 2.0, 3.0].map(|density| (kind, density))).collect();
    check_tints(&all);
}

/// A room with the sun low in the eye, through one pane, at noon in winter.
fn against_the_sun(sky: &serde_json::Value, blocks: &serde_json::Value) -> Resolved {
    let mut scene: serde_json::Value =
        serde_json::from_str(&one_piece_text("low-iron-white", 3.0, "")).unwrap();
    scene["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    scene["at"] = serde_json::json!("2026-12-21T12:00");
    scene["sky"] = sky.clone();
    scene["room"]["facing_deg"] = serde_json::json!(180);
    scene["horizon"] = serde_json::json!({ "own_building": { "height_m": 8 }, "blocks": blocks });
    scene["places"][0]["eye_height_m"] = serde_json::json!(1.3);
    open(&scene.to_string())
}

fn block(height_m: f64) -> serde_json::Value {
    serde_json::json!([
        { "distance_m": 20, "from_m": -5, "to_m": 5, "height_m": height_m, "depth_m": 3 }
    ])
}

/// A house 20 m away, whose edge lies at the sun, below it, in it or above it.
fn check_edges(heights_m: &[f64]) {
    let clear = serde_json::json!({ "kind": "clear" });
    let free = printed(&against_the_sun(&clear, &serde_json::json!([])))[0];
    for height_m in heights_m {
        let scene = against_the_sun(&clear, &block(*height_m));
        check(&format!("{height_m} m"), &both(&scene), 0.15);
        let printed = printed(&scene)[0];
        assert!(printed.p95 < 1.05 * free.p95, "{height_m} m: {printed:?} {free:?}");
    }
}

fn check_clouds(clouds: &[f64]) {
    let free = printed(&against_the_sun(&serde_json::json!({ "kind": "clear" }), &serde_json::json!([])))[0];
    for cloud in clouds {
        let sky = serde_json::json!({ "kind": "overcast", "cloud": cloud });
        let scene = against_the_sun(&sky, &serde_json::json!([]));
        check(&format!("cloud {cloud}"), &both(&scene), 0.15);
        let printed = printed(&scene)[0];
        assert!(printed.p95 < free.p95, "{cloud}: {printed:?} {free:?}");
    }
}

#[test]
fn ranges_with_an_edge_at_the_sun_are_those_of_scenes_made_anew_and_never_brighter_than_without_it() {
    check_edges(&[7.0, 7.5]);
}

#[test]
fn ranges_under_cloud_that_closes_are_those_of_scenes_made_anew_and_never_brighter_than_in_full_sun() {
    check_clouds(&[0.95]);
}

#[test]
#[ignore = "minutes"]
fn ranges_at_every_edge_and_cloud_are_those_of_scenes_made_anew() {
    check_edges(&[5.8, 6.1, 6.4, 6.7, 7.2, 7.9, 8.2]);
    check_clouds(&[0.6, 0.8, 0.9, 0.97, 0.99]);
}

// Scattering of nearly all light: what is left varies, and nothing is scattered more than wholly.
#[test]
fn ranges_of_what_scatters_nearly_all_are_those_of_scenes_made_anew() {
    let mut opal: serde_json::Value = serde_json::from_str(&one_piece_text("opal-white", 3.0, "")).unwrap();
    opal["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    opal["at"] = serde_json::json!("2026-12-21T12:00");
    opal["sky"] = serde_json::json!({ "kind": "clear" });
    opal["room"]["facing_deg"] = serde_json::json!(180);
    opal["places"][0]["eye_height_m"] = serde_json::json!(1.3);
    let opal = open(&opal.to_string());
    check("opal against the sun", &both(&opal), 0.1);
    // A pane that scatters 97 % lets through half of it at most, whatever its scattering is.
    let light = printed(&opal)[0];
    assert!(light.p95 < 3.0 * light.median, "{light:?}");
    let matting = r#"{"kind": "matting", "density": 0.5, "scatters": 1.0}"#;
    let mut matted: serde_json::Value =
        serde_json::from_str(&one_piece_text("low-iron-white", 3.0, matting)).unwrap();
    matted["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    let matted = open(&matted.to_string());
    check("matting that scatters all", &both(&matted), 0.1);
    let outside = matted.outside(matted.instant(&matted.scene.at).unwrap().utc).unwrap();
    let figure = Prepared::new(&matted, None).unwrap().light(&outside).vertical.total();
    let median = printed(&matted)[0].median;
    assert!((median / spectra::luminous(&figure) - 1.0).abs() < 0.05, "{median}");
}

/// With the skyline at the sun, or trees before it, in the week in which they lose their leaves.
fn check_far(at: &str, horizon: &serde_json::Value) -> Vec<String> {
    let mut scene: serde_json::Value =
        serde_json::from_str(&one_piece_text("low-iron-white", 3.0, "")).unwrap();
    scene["at"] = serde_json::json!(at);
    scene["sky"] = serde_json::json!({ "kind": "clear" });
    scene["room"]["facing_deg"] = serde_json::json!(180);
    scene["horizon"] = horizon.clone();
    scene["places"][0]["eye_height_m"] = serde_json::json!(1.2);
    let scene = open(&scene.to_string());
    check(&horizon.to_string(), &both(&scene), 0.15);
    let prepared = Prepared::new(&scene, None).unwrap();
    let outside = scene.outside(scene.instant(&scene.scene.at).unwrap().utc).unwrap();
    let ranges = prepared.ranges(&scene, &outside, &prepared.light(&outside)).unwrap().unwrap();
    ranges.depends_on.into_iter().map(|cause| cause.what).collect()
}

#[test]
fn skyline_and_trees_count_where_there_are_any() {
    let skyline = |altitude: f64| {
        serde_json::json!({ "skyline": [{ "bearing_deg": 0, "altitude_deg": altitude },
            { "bearing_deg": 180, "altitude_deg": altitude }] })
    };
    // The sun stands at 14.6°.
    let depends_on = check_far("2026-12-21T12:00", &skyline(14.0));
    assert!(depends_on.iter().any(|what| what == names::SKYLINE_HEIGHT), "{depends_on:?}");
    let trees = serde_json::json!({ "trees": [{ "from_bearing_deg": 100, "to_bearing_deg": 260,
        "altitude_deg": 40, "transmittance_in_leaf": 0.1, "transmittance_bare": 0.6 }] });
    let depends_on = check_far("2026-11-04T12:00", &trees);
    for name in [names::TREES, names::LEAVES] {
        assert!(depends_on.iter().any(|what| what == name), "{depends_on:?}");
    }
    let depends_on = check_far("2026-12-21T12:00", &skyline(0.0));
    for name in [names::SKYLINE_HEIGHT, names::TREES, names::LEAVES] {
        assert!(!depends_on.iter().any(|what| what == name), "{depends_on:?}");
    }
}

// Twilight is bluer than the model has it: the colour is known less well the lower the sun is, where nobody states it.
#[test]
fn colour_is_less_well_known_in_twilight() {
    let width = |at: &str, sky: &serde_json::Value| {
        let mut scene: serde_json::Value =
            serde_json::from_str(&one_piece_text("low-iron-white", 3.0, "")).unwrap();
        scene["at"] = serde_json::json!(at);
        scene["sky"] = sky.clone();
        let scene = open(&scene.to_string());
        let prepared = Prepared::new(&scene, None).unwrap();
        let outside = scene.outside(scene.instant(&scene.scene.at).unwrap().utc).unwrap();
        let ranges = prepared.ranges(&scene, &outside, &prepared.light(&outside)).unwrap().unwrap();
        let y = ranges.everything.y.unwrap();
        y.p95 - y.p05
    };
    let clear = serde_json::json!({ "kind": "clear" });
    let [noon, low, dusk] =
        ["2026-03-20T12:00", "2026-03-20T18:00", "2026-03-20T18:35"].map(|at| width(at, &clear));
    assert!(low > 1.5 * noon && dusk > 1.5 * low, "{noon} {low} {dusk}");
    let stated = serde_json::json!({ "kind": "standard", "cie_type": 1, "spectrum": { "cct_k": 6500 } });
    let [noon, dusk] = ["2026-03-20T12:00", "2026-03-20T18:35"].map(|at| width(at, &stated));
    assert!((dusk / noon - 1.0).abs() < 0.1, "{noon} {dusk}");
}
