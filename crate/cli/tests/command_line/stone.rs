//! Pictures of windows in a wall with depth against their figures: each piece's mean.

use scene::Resolved;
use serde_json::{Value, json};

use crate::pieces_drawn::{luminances, unbarred};

fn with_wall(demo_name: &str, wall: &Value) -> Resolved {
    let mut scene = unbarred(demo_name, wall);
    // What scatters forwards behind stone has tolerances of its own, in `lobes`.
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
        let bare = luminances(&with_wall(demo, &json!({})), place, at);
        for (piece, (bare, walled)) in
            bare.iter().zip(luminances(&with_wall(demo, wall), place, at)).enumerate()
        {
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
