//! Pictures of windows in a wall with depth against their figures: each piece's mean.

use plane::{PanelPoint, contains};
use render::{Bounds, SceneWindow, View, reference};
use scene::Resolved;
use serde_json::{Value, json};
use viewing::Prepared;

use crate::run::demo;

fn with_wall(demo_name: &str, wall: &Value) -> Resolved {
    let text = std::fs::read_to_string(demo(demo_name)).unwrap();
    let mut scene: Value = serde_json::from_str(&text).unwrap();
    scene["clerestory"] = json!(5);
    scene["windows"][0]["wall"] = wall.clone();
    // Bars hide parts of pieces.
    scene["windows"][0]["drawing"].as_object_mut().unwrap().remove("bars");
    let mut scene = scene::resolve(&scene::read(&scene.to_string()).unwrap(), None).unwrap();
    // The picture spreads evenly what the figures scatter forwards.
    for makeup in scene.windows.iter_mut().flat_map(|w| &mut w.pieces).map(|piece| &mut piece.makeup) {
        makeup.paints.iter_mut().for_each(|paint| paint.lobe = glass::Lobe::NONE);
        let pane = makeup.protective.iter_mut().map(|pane| &mut pane.dirt);
        let dirt = [&mut makeup.deposits.outside, &mut makeup.deposits.inside];
        dirt.into_iter().chain(pane).for_each(|dirt| dirt.lobe = glass::Lobe::NONE);
        for plate in &mut makeup.plates {
            std::sync::Arc::make_mut(&mut plate.glass).diffuse.lobe = glass::Lobe::NONE;
        }
    }
    scene
}

/// Mean luminance of a piece in the picture, each point weighted by its solid angle, cd/m².
fn drawn(window: &SceneWindow, tables: &render::LightTables, piece: usize) -> Option<f64> {
    const ACROSS: u32 = 100;
    let shape = &window.model.pieces[piece].light_shape;
    let bounds = Bounds::of(shape.iter().flatten())?;
    let view = View { centre_mm: bounds.centre(), mm_per_px: 0.2, size_px: [1, 1] };
    let [width, height] = bounds.size();
    let [x, y, z] = window.eye.position_mm.to_array();
    let (mut sum, mut weights) = (0.0, 0.0);
    for k in 0..ACROSS * ACROSS {
        let share = |k: u32| (f64::from(k) + 0.5) / f64::from(ACROSS);
        let at = PanelPoint::new(
            bounds.min[0] + width * share(k % ACROSS),
            bounds.min[1] + height * share(k / ACROSS),
        );
        if contains(shape, at) {
            let away = (at[0] - x).hypot(at[1] - y).hypot(z);
            let rgb = reference::light_at(tables, &view, piece, at);
            let luminance = spectra::rgb::xyz_from_linear_srgb(rgb.into()).y;
            sum += luminance / away.powi(3);
            weights += away.powi(-3);
        }
    }
    (weights > 0.0).then(|| sum / weights)
}

/// Each piece's luminance in picture and figures, cd/m²; `None` for one that is not seen or has strokes, which are drawn
/// over it and are a part of its figure.
fn luminances(demo: &str, wall: &Value, place: Option<&str>, at: &str) -> Vec<Option<[f64; 2]>> {
    let scene = with_wall(demo, wall);
    let outside = scene.outside(scene.instant(at).unwrap().utc).unwrap();
    let light = Prepared::new(&scene, place).unwrap().light(&outside);
    let window = SceneWindow::new(&scene, 0, scene.eye_m(place).unwrap()).unwrap();
    let tables = window.tables(&outside, None);
    let of = |piece: usize| {
        let stroked = window.model.overlays.iter().any(|overlay| overlay.piece == piece);
        let figure = spectra::luminous(&light.pieces[piece].radiance.filter(|_| !stroked)?);
        Some([drawn(&window, &tables, piece)?, figure])
    };
    (0..window.model.pieces.len()).map(of).collect()
}

// 2 % of the figure, besides what picture and figure are apart without the wall (the picture takes the light that a piece
// scatters as if it came from the eye's direction, which matters under a high sun), and 0.2 % of what is seen without the
// wall, for pieces that the stone leaves nearly dark.
#[test]
fn each_piece_of_a_picture_has_its_figure() {
    let deep = json!({ "outer": { "depth_m": 0.4, "reflectance": { "grey": 0.4 } } });
    let everything = json!({
        "outer": { "depth_m": 0.25, "splay_deg": { "jamb": 8.0, "sill": 20.0 },
            "reflectance": { "material": "brick" }, "sill_reflectance": { "grey": 0.2 } },
        "overhang": { "depth_m": 0.5, "above_m": 0.1, "width_m": 1.2 },
        "guards": [{ "kind": "mesh", "wire_mm": 1.5, "pitch_mm": 12.0 }]
    });
    let (mut compared, mut darkened) = (0, 0);
    for (demo, wall, place, at) in [
        ("estuary-lancet", &deep, Some("bench, 4.5 m back"), "2026-09-22T17:45"),
        ("estuary-lancet", &deep, Some("desk below the window"), "2026-09-22T15:00"),
        ("estuary-lancet", &everything, Some("bench, 4.5 m back"), "2026-06-21T16:00"),
        ("north-corridor", &everything, None, "2026-06-21T12:00"),
        ("small-rose", &deep, None, "2026-06-21T07:00"),
    ] {
        let bare = luminances(demo, &json!({}), place, at);
        for (piece, (bare, walled)) in bare.iter().zip(luminances(demo, wall, place, at)).enumerate() {
            let Some(([bare_drawn, bare], [drawn, figure])) = bare.zip(walled) else { continue };
            let tolerance = 0.02 * figure + (bare_drawn - bare).abs() + 0.002 * bare;
            assert!(
                (drawn - figure).abs() <= tolerance,
                "{demo} {at}, piece {piece}: drawn {drawn}, figure {figure}; without the wall {bare_drawn}, {bare}"
            );
            compared += 1;
            darkened += usize::from(figure < 0.5 * bare);
        }
    }
    assert!(compared > 300 && darkened > 50, "{compared}, {darkened}");
}
