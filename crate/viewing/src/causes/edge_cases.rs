//! Causes at the limits of what they can do, and the depth of leads in a window beside another.

use spectra::{Observer, TristimulusWeights};
use uncertainty::sample_all;

use super::around::names;
use super::brute_force::{cause_around, one_piece, one_piece_text, open};
use super::deviations::LEAF_MM;
use super::effect::{Effect, Factors, NODE};
use super::known::{Known, known};
use super::levels::{FIGURES, Levels};
use super::ranges::DRAWS;

impl Known {
    /// What a cause around the window does to each figure at so many standard deviations.
    fn factors(&self, name: &str, z: f64) -> Levels {
        let place = cause_around(&self.model, &self.listed, name).unwrap_or_else(|| panic!("no {name}"));
        let mut factors = Factors::new(self.levels.pieces.len());
        self.model.effects[place].apply(z, &mut factors);
        factors.take().clone()
    }
}

// A cause that takes more light than there is in some draws.
#[test]
fn figures_of_zero_leave_the_shares_of_the_variance_finite() {
    let mut known = known(&one_piece("float-clear", 3.0, ""));
    let ground = cause_around(&known.model, &known.listed, names::GROUND).unwrap();
    for (place, effect) in known.model.effects.iter_mut().enumerate() {
        let slope = Levels::all(if place == ground { -2.0 } else { 0.0 }, 1);
        *effect = Effect::sloping(effect.cause, Box::new(|z| z), slope);
    }
    let count = known.model.count();
    let sample =
        sample_all(&known.listed.causes, DRAWS[0], count, |draw, into| known.model.figures(draw, into))
            .unwrap();
    assert!(sample.values(FIGURES + 1).contains(&0.0));
    let (found, together) = known.model.dependences(&known.listed, &sample);
    assert_eq!(found[0].what, names::GROUND);
    assert!(found[0].share > 0.5 && (0.0..0.5).contains(&together), "{found:?} {together}");
}

// A wall that is nearly as near as one may be.
#[test]
fn a_size_near_its_limit_is_moved_up_to_the_limit() {
    let mut scene: serde_json::Value = serde_json::from_str(&one_piece_text("float-clear", 3.0, "")).unwrap();
    scene["clerestory"] = serde_json::json!(5);
    scene["horizon"] = serde_json::json!({ "own_building": {}, "blocks": [
        { "distance_m": 0.5, "from_m": -2.0, "to_m": 2.0, "height_m": 1.4, "depth_m": 0.3 }
    ] });
    let mut resolved = open(&scene.to_string());
    let buildings = resolved.horizon.buildings.take().unwrap();
    let mut site = buildings.site().clone();
    site.blocks[0].distance_m = 0.103;
    resolved.horizon.buildings = Some(buildings.measured(&site).unwrap());
    let nearer = known(&resolved).factors(names::BLOCK_DISTANCE, -NODE);
    assert!((nearer.figures[1] - 1.0).abs() > 1e-5, "{:?}", nearer.figures);
}

// Blue glass between leads with depth, beside clear glass between flat ones: what falls is what comes through the blue.
#[test]
fn the_depth_of_leads_counts_for_each_figure_by_what_comes_past_them() {
    let mut scene: serde_json::Value = serde_json::from_str(&one_piece_text("pale-cobalt", 3.0, "")).unwrap();
    scene["clerestory"] = serde_json::json!(5);
    let mut beside: serde_json::Value =
        serde_json::from_str(&one_piece_text("float-clear", 3.0, "")).unwrap();
    let mut beside = beside["windows"][0].take();
    beside["id"] = serde_json::json!("beside");
    beside["centre_x_m"] = serde_json::json!(3.0);
    scene["windows"][0]["wall"] = serde_json::json!({ "leaf_mm": 1.0 });
    scene["windows"].as_array_mut().unwrap().push(beside);
    scene["places"][0]["working_plane"] = serde_json::json!({ "kind": "floor", "height_m": 0.0 });
    let resolved = open(&scene.to_string());
    let known = known(&resolved);
    let found = known.factors(names::LEADS, 1.0);
    let [passes, falls] = known.prepared.wall.lead_depth(0).unwrap().overcast();
    let floor = known.light.working_plane.as_ref().unwrap();
    let [x, y, z] = *TristimulusWeights::absolute(Observer::Cie1931).spectra();
    let figures =
        [(floor.as_ref(), 1, x), (floor, 1, y), (floor, 1, z), (&known.light, 0, y), (&known.light, 1, y)];
    let mut seen = Vec::new();
    for (figure, (light, receiver, weight)) in figures.into_iter().enumerate() {
        let [blue, clear] = [0, 1].map(|p| light.pieces[p].received[receiver].dot(&weight));
        let expected = 1.0 - LEAF_MM * falls / passes * blue / (blue + clear);
        assert!((found.figures[figure] - expected).abs() < 1e-9, "{figure}: {:?}", found.figures);
        assert!(expected < 1.0 && seen.iter().all(|other: &f64| (other - expected).abs() > 1e-7));
        seen.push(expected);
    }
    assert_eq!((found.clear, found.pieces), (found.figures[1], vec![1.0; 2]));
}
