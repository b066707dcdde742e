//! The ranges against scenes made anew with drawn values: nothing of how a piece's light is scaled, of effects that are
//! multiplied or of the exchange between surfaces is used on this side.
//!
//! The colour of sun and sky is at its centre on both sides: it would be the same product on both.

use std::collections::BTreeMap;
use std::sync::Arc;

use daylight::{Level, Sky};
use glass::{Absorbance, Dirt, Glass};
use scene::Resolved;
use spectra::{Spectrum, luminous};
use uncertainty::{Draw, sample_all};

use super::around::{lighter, names, sd_of, stated_surfaces};
use super::deviations::{
    AEROSOL_LN, AEROSOL_STATED_LN, BLOCK_DISTANCE_LN, BLOCK_HEIGHT_LN, CLOUD, FACADE_LN, GROUND_LN,
    GROUND_MEASURED_LN, LEAF_MM, OWN_HEIGHT_ASSUMED_LN, OWN_HEIGHT_LN, SKYLINE_LN, STANDARD_BEAM_LN,
    SURFACE_LN, SURFACE_MEASURED_LN,
};
use super::far;
use super::known::{Known, known};
use super::levels::Levels;
use super::listed::Listed;
use super::piece::scattered_by;
use super::plates::Colour;
use super::ranges::{DRAWS, Model};
use super::walls;
use super::walls_anew::move_walls;
use crate::box_room::Surface;
use crate::prepared::Prepared;

/// Chromaticities closer than this are the same; a range may be narrower where nothing is coloured.
const SAME_COLOUR: f64 = 5e-4;

pub(super) fn open(text: &str) -> Resolved {
    let scene = scene::read(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The three demos by name.
const DEMOS: [(&str, &str); 3] = [
    ("estuary-lancet", include_str!("../../../../demo-scenes/estuary-lancet.json")),
    ("north-corridor", include_str!("../../../../demo-scenes/north-corridor.json")),
    ("small-rose", include_str!("../../../../demo-scenes/small-rose.json")),
];

/// Place of the effect of a cause around the window: that of the cause among the last ones.
pub(super) fn cause_around(model: &Model, listed: &Listed, name: &str) -> Option<usize> {
    let first = listed.causes.list().len() - model.effects.len();
    listed.causes.list()[first..].iter().position(|cause| cause.name == name)
}

/// How many standard deviations a cause around the window is away in a draw.
fn away(model: &Model, listed: &Listed, draw: &Draw, name: &str) -> f64 {
    cause_around(model, listed, name).map_or(0.0, |place| draw.number(model.effects[place].cause))
}

/// The scene as it is in a draw, and the level of its sky.
pub(super) fn drawn(resolved: &Resolved, model: &Model, listed: &Listed, draw: &Draw) -> (Resolved, Level) {
    let mut scene = resolved.clone();
    let mut made: BTreeMap<String, Arc<Glass>> = BTreeMap::new();
    let pieces = scene.windows.iter_mut().flat_map(|w| &mut w.pieces);
    for (piece, known) in pieces.zip(&model.window.pieces) {
        for (plate, known) in piece.makeup.plates.iter_mut().zip(&known.plates) {
            let glass = made.entry(plate.glass.id.clone()).or_insert_with(|| {
                let (mut glass, model_of) =
                    ((*plate.glass).clone(), &model.window.glasses.models[known.glass]);
                let drawn = |colour: &Colour| Absorbance::per_mm(colour.spectrum_at(draw));
                glass.base = drawn(&model_of.base);
                if let (Some(streak), Some(colour)) = (&mut glass.streak, &model_of.streak) {
                    streak.absorbance = drawn(colour);
                }
                if let (Some(flash), Some(colour)) = (&mut glass.flash, &model_of.flash) {
                    flash.absorbance = drawn(colour);
                }
                glass.n = model_of.n_at(draw);
                if let Some(id) = model.window.glasses.scatter[known.glass] {
                    glass.diffuse.share = scattered_by(glass.diffuse.share, draw.number(id));
                }
                Arc::new(glass)
            });
            plate.glass = glass.clone();
            plate.thickness_mm = known.thickness.at(draw);
            plate.flash_left = known.flash.map_or(plate.flash_left, |flash| flash.at(draw));
            plate.streak_mix = known.mix_at(draw);
        }
        for (paint, known) in piece.makeup.paints.iter_mut().zip(&known.coats) {
            paint.density = known.density_at(draw);
            paint.coverage = known.coverage_at(draw);
            paint.diffuse_share = model.window.paint_scatter[known.scatter].share_at(draw);
        }
        let [pane, outside, inside] =
            known.dirt.map(|dirt| dirt.map(|dirt| (dirt.loss_at(draw), dirt.scattered_at(draw))));
        let drawn = |known: Dirt, drawn: Option<(f64, f64)>| {
            drawn.map_or(known, |(loss, diffuse_share)| Dirt { loss, diffuse_share, ..known })
        };
        let deposits = &mut piece.makeup.deposits;
        deposits.outside = drawn(deposits.outside, outside);
        deposits.inside = drawn(deposits.inside, inside);
        if let (Some(protective), Some(_)) = (&mut piece.makeup.protective, pane) {
            protective.dirt = drawn(protective.dirt, pane);
            protective.thickness_mm += known.front.map_or(0.0, |(_, id)| draw.number(id));
        }
        model.window.forward.draw(&mut piece.makeup, draw);
    }
    let z = |name: &str| away(model, listed, draw, name);
    let stated = stated_surfaces(&resolved.scene.room.surfaces);
    for ((surface, stated), rho) in Surface::ALL.iter().zip(stated).zip(&mut scene.room.surfaces) {
        let sd = sd_of(stated, [SURFACE_LN, SURFACE_MEASURED_LN]);
        *rho = lighter(rho, sd, z(&names::surface(*surface))).map(|rho| rho.min(0.98));
    }
    let sd = sd_of(&resolved.scene.ground, [GROUND_LN, GROUND_MEASURED_LN]);
    scene.ground.albedo = lighter(&scene.ground.albedo, sd, z(names::GROUND));
    for wall in scene.scene.windows.iter_mut().filter_map(|window| window.wall.as_mut()) {
        wall.leaf_mm = wall.leaf_mm.map(|leaf_mm| (leaf_mm + LEAF_MM * z(names::LEADS)).max(0.0));
    }
    scene.horizon.reflectance = lighter(&scene.horizon.reflectance, SKYLINE_LN, z(names::SKYLINE));
    let instant = resolved.instant(&resolved.scene.at).unwrap().utc;
    far::raise(&mut scene.horizon, z(names::SKYLINE_HEIGHT));
    far::grow(&mut scene.horizon, &resolved.place, instant, [z(names::TREES), z(names::LEAVES)]);
    if let Some(buildings) = &mut scene.horizon.buildings {
        let mut site = buildings.site().clone();
        let own = resolved.scene.horizon.own_building.as_ref();
        let assumed = own.is_some_and(|own| own.height_m.is_none());
        let sd = if assumed { OWN_HEIGHT_ASSUMED_LN } else { OWN_HEIGHT_LN };
        site.own_height_m *= (sd * z(names::OWN_HEIGHT)).exp();
        for block in &mut site.blocks {
            block.height_m *= (BLOCK_HEIGHT_LN * z(names::BLOCK_HEIGHT)).exp();
            block.distance_m *= (BLOCK_DISTANCE_LN * z(names::BLOCK_DISTANCE)).exp();
        }
        let [own, block] = [names::OWN_WALL, names::BLOCK_WALL].map(|name| (FACADE_LN * z(name)).exp());
        *buildings = buildings.measured(&site.within_limits()).unwrap().lighter(own, block);
    }
    move_walls(&mut scene, [walls::names::STONE, walls::names::DEPTH, walls::names::GUARDS].map(z));
    let stated = match &resolved.scene.sky {
        scene::Sky::Clear { air } | scene::Sky::Overcast { air, .. } => air.aerosol_depth_500nm.is_some(),
        scene::Sky::Standard { .. } => false,
    };
    let haze = if stated { AEROSOL_STATED_LN } else { AEROSOL_LN } * z(names::HAZE);
    match &mut scene.sky {
        Sky::Clear { atmosphere } => atmosphere.aod_500nm *= haze.exp(),
        Sky::Overcast { atmosphere, cloud } => {
            atmosphere.aod_500nm *= haze.exp();
            *cloud = (*cloud + CLOUD * z(names::CLOUD)).clamp(0.0, 1.0);
        }
        Sky::Standard { .. } => {}
    }
    let sd = resolved.outside(instant).unwrap().diffuse_relative_sd();
    let level = Level { sky: (sd * z(names::LEVEL)).exp(), beam: (STANDARD_BEAM_LN * z(names::BEAM)).exp() };
    (scene, level)
}

/// How the printed ranges hold scenes made anew.
struct Held {
    /// Shares of the drawn scenes within them: light in front, share of clear glass, x, y, and the mean over the pieces'
    /// luminances. `None` for chromaticities that hardly vary: there, the range must be that of the scenes, which tells more.
    shares: [Option<f64>; 5],
    /// How far the scaled figure is from the scene made anew, in the logarithm of the light in front: the root mean square
    /// over its spread.
    off: f64,
    /// All of it.
    words: String,
}

/// `same_room`: with the room's surfaces as they are, which need not be prepared again in each draw.
fn coverage(resolved: &Resolved, draws: usize, same_room: bool) -> Held {
    let surfaces = Surface::ALL.map(names::surface);
    let taken =
        |name: &str| name == names::COLOUR || same_room && surfaces.iter().any(|surface| surface == name);
    let Known { prepared, instant, levels, listed, mut model, .. } = known(resolved).without(taken);
    let count = model.count();
    let printed =
        sample_all(&listed.causes, DRAWS[0], count, |draw, into| model.figures(draw, into)).unwrap();
    // Light in front, its share of clear glass, x, y; then the pieces.
    let places = [6, 15, 16, 17];
    let pieces = count - 20;
    let mut scaled = vec![0.0; count];
    let anew = sample_all(&listed.causes, draws, 5 + pieces, |draw, into| {
        model.figures(draw, &mut scaled);
        let (scene, level) = drawn(resolved, &model, &listed, draw);
        let prepared = if same_room {
            let mut again = prepared.clone();
            let makeups = scene.windows.iter().flat_map(|window| &window.pieces).map(|piece| &piece.makeup);
            makeups.enumerate().for_each(|(place, makeup)| again.set_makeup(place, makeup));
            again
        } else {
            Prepared::new(&scene, None).unwrap()
        };
        let light = prepared.light(&scene.outside_at_level(instant, level).unwrap());
        let levels = Levels::of(&prepared, &light);
        let [x, y, z, ..] = levels.figures;
        into[..4].copy_from_slice(&[y, y / levels.clear, x / (x + y + z), y / (x + y + z)]);
        into[4] = (scaled[6] / y).ln();
        into[5..].copy_from_slice(&levels.pieces);
    })
    .unwrap();
    let within = |printed_at: usize, anew_at: usize| {
        let range = printed.range(printed_at);
        let is_in = |value: &&f64| (range.p05..=range.p95).contains(*value);
        anew.values(anew_at).iter().filter(is_in).count() as f64 / draws as f64
    };
    let mut shares = [None; 5];
    for (figure, place) in places.into_iter().enumerate() {
        let (range, values) = (printed.range(place), anew.range(figure));
        if figure >= 2 && range.p95 - range.p05 < 4.0 * SAME_COLOUR {
            let ends = [values.p05 - range.p05, values.p95 - range.p95];
            assert!(ends.iter().all(|off| off.abs() < SAME_COLOUR), "{figure}: {range:?} {values:?}");
        } else {
            shares[figure] = Some(within(place, figure));
        }
    }
    let seen: Vec<usize> = (0..pieces).filter(|p| levels.pieces[*p] > 0.0).collect();
    shares[4] = Some(seen.iter().map(|p| within(20 + p, 5 + p)).sum::<f64>() / seen.len() as f64);
    let off = anew.values(4).iter().map(|log| log * log).sum::<f64>() / draws as f64;
    let spread = printed.distribution(6).sd_ln.unwrap_or(1.0);
    let mut words = format!("off by {:.3} of a spread of {spread:.3}", off.sqrt());
    for (figure, place) in places.into_iter().enumerate() {
        words += &format!("; printed {:.4?}, anew {:.4?}", printed.range(place), anew.range(figure));
    }
    Held { shares, off: off.sqrt() / spread, words }
}

/// From `least` to `most` of the scenes lie in every range, and the scaled figure is no further off than `most_off` of its
/// spread.
fn check(name: &str, held: Held, [least, most]: [f64; 2], most_off: f64) {
    let Held { shares, off, words } = held;
    eprintln!("{name}: {shares:.3?} off {off:.3}; {words}");
    for (figure, share) in ["light", "share of clear", "x", "y", "luminance"].into_iter().zip(shares) {
        assert!(
            share.is_none_or(|share| (least..=most).contains(&share)),
            "{name}, {figure}: {share:?}; {words}"
        );
    }
    assert!(off < most_off, "{name}: {off}; {words}");
}

/// What nine of ten may be. The goal is 0.85 to 0.95; of a share of 0.9 of n scenes the standard error is √(0.9·0.1/n), 0.015
/// to 0.02 here, and for few scenes 0.03 to 0.04: one to one and a half of it more is allowed.
const GOAL: [f64; 2] = [0.83, 0.97];
const FEW: [f64; 2] = [0.8, 0.98];

// Each draw prepares the whole scene again.
#[test]
#[ignore = "minutes"]
fn ranges_of_the_demos_hold_nine_scenes_of_ten() {
    for (name, text) in DEMOS {
        check(name, coverage(&open(text), 200, false), GOAL, 0.25);
    }
}

/// A clear sky, a street, dirt on glass and pane: what the demos have not.
#[test]
#[ignore = "minutes"]
fn ranges_in_a_street_behind_dirt_hold_nine_scenes_of_ten() {
    let mut scene: serde_json::Value =
        serde_json::from_str(include_str!("../../../../demo-scenes/small-rose.json")).unwrap();
    scene["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    scene["horizon"]["own_building"] = serde_json::json!({});
    scene["horizon"]["blocks"] = serde_json::json!([
        { "distance_m": 15.0, "from_m": -30.0, "to_m": 20.0, "height_m": 8.0, "depth_m": 10.0 }
    ]);
    scene["windows"][0]["deposits"] = serde_json::json!({ "outside": { "loss": 0.2 } });
    scene["windows"][0]["protective_glazing"] = serde_json::json!({ "thickness_mm": 6.0, "dirt": 0.1 });
    check("street", coverage(&open(&scene.to_string()), 100, false), FEW, 0.35);
}

/// Leads whose leaves stand out, over ground and before a wall that were measured.
#[test]
#[ignore = "minutes"]
fn ranges_between_leads_with_depth_hold_nine_scenes_of_ten() {
    let mut scene: serde_json::Value =
        serde_json::from_str(include_str!("../../../../demo-scenes/north-corridor.json")).unwrap();
    scene["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    scene["windows"][0]["wall"] = serde_json::json!({ "leaf_mm": 2.0 });
    scene["ground"] = serde_json::json!({ "samples": vec![0.25; spectra::SAMPLES] });
    scene["room"]["surfaces"]["back_wall"] = serde_json::json!({ "samples": vec![0.6; spectra::SAMPLES] });
    check("leads", coverage(&open(&scene.to_string()), 100, false), FEW, 0.25);
}

/// Reveals, an overhang and bars, of which nothing is known but what is usual.
#[test]
#[ignore = "minutes"]
fn ranges_in_a_wall_hold_nine_scenes_of_ten() {
    let mut scene: serde_json::Value = serde_json::from_str(&one_piece_text("float-clear", 3.0, "")).unwrap();
    scene["clerestory"] = serde_json::json!(scene::FORMAT_VERSION);
    scene["windows"][0]["wall"] = serde_json::json!({
        "outer": { "depth_m": 0.25 },
        "inner": { "depth_m": 0.3, "splay_deg": { "jamb": 30.0 } },
        "overhang": { "depth_m": 0.4, "above_m": 0.1, "width_m": 1.2 },
        "guards": [{ "kind": "upright_bars", "diameter_mm": 20, "pitch_mm": 110 }]
    });
    for (sky, facing_deg) in [("overcast", 0), ("clear", 180)] {
        if sky == "clear" {
            scene["sky"] = serde_json::json!({ "kind": "clear" });
        }
        scene["room"]["facing_deg"] = serde_json::json!(facing_deg);
        check(sky, coverage(&open(&scene.to_string()), 64, false), FEW, 0.25);
    }
}

/// A window of one piece of a glass of the library, matted or bare, under an overcast sky.
pub(super) fn one_piece(glass: &str, thickness_mm: f64, paint: &str) -> Resolved {
    open(&one_piece_text(glass, thickness_mm, paint))
}

pub(super) fn one_piece_text(glass: &str, thickness_mm: f64, paint: &str) -> String {
    format!(
        r#"{{
        "clerestory": 2, "name": "One piece", "at": "2026-03-20T12:00",
        "site": {{"latitude_deg": 52.0, "longitude_deg": 0.0, "time_zone": "Europe/London"}},
        "sky": {{"kind": "standard", "cie_type": 1, "spectrum": {{"cct_k": 6500}}, "diffuse_horizontal_lx": 12000}},
        "ground": {{"grey": 0.2}},
        "room": {{"width_m": 4, "height_m": 3, "depth_m": 5, "facing_deg": 0, "surfaces": {{
            "window_wall": {{"grey": 0.6}}, "back_wall": {{"grey": 0.6}}, "left_wall": {{"grey": 0.6}},
            "right_wall": {{"grey": 0.6}}, "floor": {{"grey": 0.2}}, "ceiling": {{"grey": 0.7}}}}}},
        "windows": [{{"id": "w", "centre_x_m": 2, "sill_height_m": 1,
            "drawing": {{"sight_size": {{"path": "M0 0H800V1200H0Z", "width_mm": 10}}, "cutlines": []}},
            "pieces": [{{"id": 1, "at_mm": [400, 600], "makeup": {{
                "plates": [{{"glass": "{glass}", "thickness_mm": {thickness_mm}}}], "paint": [{paint}]}}}}]}}],
        "places": [{{"name": "here", "distance_m": 2, "eye_height_m": 1.5}}]
        }}"#
    )
}

// The sun stands high before the window, so that its light comes to the eye by the foot of the lobe.
#[test]
fn ranges_of_what_scatters_forwards_in_the_sun_hold_nine_scenes_of_ten() {
    for (glass, paint) in [("float-clear", MATTING), ("hammered-green", "")] {
        let mut scene: serde_json::Value = serde_json::from_str(&one_piece_text(glass, 3.0, paint)).unwrap();
        scene["sky"] = serde_json::json!({ "kind": "clear" });
        scene["room"]["facing_deg"] = serde_json::json!(180);
        check(glass, coverage(&open(&scene.to_string()), 64, true), FEW, 0.25);
    }
}

/// Luminous transmittance of 3 mm of a glass for equal energy.
fn lightness(glass: &Glass) -> f64 {
    luminous(&glass.internal(3.0)) / luminous(&Spectrum::ONE)
}

const MATTING: &str = r#"{"kind": "matting", "density": 0.5}"#;

fn by_lightness(a: &&Arc<Glass>, b: &&Arc<Glass>) -> std::cmp::Ordering {
    lightness(a).total_cmp(&lightness(b)).then(a.id.cmp(&b.id))
}

// Few draws in a room that is not prepared again, so that it is soon done.
#[test]
fn ranges_of_the_darkest_glass_and_of_matting_hold_nine_scenes_of_ten() {
    let darkest = glass::library().iter().min_by(by_lightness).unwrap();
    let palest = glass::library().iter().max_by(by_lightness).unwrap();
    for (glass, paint) in [(darkest, ""), (palest, MATTING)] {
        check(&glass.id, coverage(&one_piece(&glass.id, 3.0, paint), 64, true), FEW, 0.25);
    }
}

#[test]
#[ignore = "minutes"]
fn ranges_of_the_darkest_palest_and_edge_glasses_hold_nine_scenes_of_ten() {
    let darkest = glass::library().iter().min_by(by_lightness).unwrap();
    let palest = glass::library().iter().max_by(by_lightness).unwrap();
    let edge = |glass: &&Arc<Glass>| {
        glass::ingredients(&glass.id).is_some_and(|i| i.base.iter().any(|(name, _)| glass::is_edge(name)))
    };
    let edges: Vec<&Arc<Glass>> = glass::library().iter().filter(edge).collect();
    assert!(edges.len() >= 2, "{}", edges.len());
    let edges = edges.into_iter().map(|edge| (edge, ""));
    for (glass, paint) in [(darkest, ""), (palest, ""), (palest, MATTING)].into_iter().chain(edges) {
        let name = format!("{} {paint}", glass.id);
        check(&name, coverage(&one_piece(&glass.id, 3.0, paint), 400, true), GOAL, 0.25);
        check(&name, coverage(&one_piece(&glass.id, 3.0, paint), 100, false), FEW, 0.25);
    }
}
