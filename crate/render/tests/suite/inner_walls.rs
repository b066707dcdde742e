//! The reveal inside a window in a wall with depth.

use plane::{RoomPoint, WallPoint, signed_area};
use render::{Look, NativeBackend, View, software_picture};
use reveal::{Opening, Patches};
use scene::Resolved;
use serde_json::{Value, json};

use crate::backends::{difference, open};
use crate::golden::check;
use crate::walls::{everything, lancet, seen, tables};

fn inner(depth_m: f64, splay_deg: f64) -> Value {
    json!({ "inner": { "depth_m": depth_m, "splay_deg": { "jamb": splay_deg, "sill": splay_deg } } })
}

/// Share of the glass that the near jamb hides from a place, from the geometry of the opening.
fn hidden(scene: &Resolved, place: &str) -> f64 {
    let wall = scene.windows[0].wall.as_ref().unwrap();
    let opening = Opening::new(wall.outline.clone(), &wall.depths, Patches::Fine).unwrap();
    let [x, y, z] = scene.in_room(scene.eye_m(Some(place)).unwrap()).to_array();
    let view = opening.from_eye(RoomPoint::new(x, y, z + wall.depths.inner.depth_m)).unwrap();
    let glass: &[WallPoint] = wall.outline.corners();
    let open: f64 = view.visible(glass).iter().map(|ring| signed_area(ring).abs()).sum();
    1.0 - open / signed_area(glass).abs()
}

// The wall's face has one colour, which nothing else has. 0.5 %: a pixel along the edge.
#[test]
fn the_near_jamb_hides_as_much_glass_as_for_the_figures() {
    for (wall, place) in
        [(inner(0.5, 0.0), "bench"), (inner(0.6, 10.0), "bench"), (everything(), "before it")]
    {
        let scene = lancet(&wall);
        let window = seen(&scene, place);
        let tables = tables(&scene, &window, "2026-03-20T14:00");
        let view = View::fit(window.model.bounds(), [300, 1000], 0.0);
        let picture = software_picture(&window.mesh, &tables, &view, &Look::colour_true());
        let far = View { centre_mm: plane::PanelPoint::new(5000.0, 700.0), size_px: [1, 1], ..view };
        let face = software_picture(&window.mesh, &tables, &far, &Look::colour_true());
        let (mut glass, mut covered) = (0.0, 0.0);
        for (k, pixel) in picture.chunks_exact(4).enumerate() {
            let at = view.panel_from_pixel([(k % 300) as f64 + 0.5, (k / 300) as f64 + 0.5]);
            if plane::contains(&window.model.opening, at) {
                glass += 1.0;
                covered += if pixel == face { 1.0 } else { 0.0 };
            }
        }
        let expected = hidden(&scene, place);
        assert!((covered / glass - expected).abs() < 0.005, "{} {expected}", covered / glass);
        assert!((expected > 0.1) == (place == "bench"), "{expected}");
    }
}

#[test]
fn gpus_and_software_draw_the_same_reveal() {
    let (mut vulkan, mut gl) = (open(NativeBackend::Vulkan), open(NativeBackend::Gl));
    for (place, at) in [("bench", "2026-03-20T15:00"), ("before it", "2026-12-21T12:30")] {
        let scene = lancet(&inner(0.5, 20.0));
        let window = seen(&scene, place);
        let tables = tables(&scene, &window, at);
        vulkan.set(&window.mesh, tables.clone()).unwrap();
        gl.set(&window.mesh, tables.clone()).unwrap();
        let view = View::fit(window.bounds(), [160, 400], 0.02);
        for view in [view, view.zoomed(4.0, [30.0, 380.0])] {
            let a = vulkan.picture(view, Look::default()).unwrap();
            let b = gl.picture(view, Look::default()).unwrap();
            let c = software_picture(&window.mesh, &tables, &view, &Look::default());
            let (ab, ac) = (difference(&a, &b), difference(&a, &c));
            assert!(ab.0 <= 2, "Vulkan and GL differ by {ab:?}");
            assert!(ac.0 <= 2, "Vulkan and the CPU differ by {ac:?}");
        }
    }
}

#[test]
fn the_thick_wall_inside_as_committed() {
    let mut device = open(NativeBackend::Any);
    let scene = lancet(&inner(0.5, 25.0));
    let window = seen(&scene, "bench");
    device.set(&window.mesh, tables(&scene, &window, "2026-03-20T16:00")).unwrap();
    let size = [240, 400];
    let view = View::fit(window.bounds(), size, 0.02);
    check("thick-wall-inside", &device.picture(view, Look::default()).unwrap(), size);
}

#[test]
fn a_wall_or_a_glass_that_changes_leaves_the_window_as_if_built_with_it() {
    let at = "2026-03-20T11:00";
    let (mut scene, bare) = (lancet(&inner(0.4, 20.0)), lancet(&Value::Null));
    let fresh = seen(&scene, "bench");
    let mut kept = seen(&bare, "bench");
    let before = tables(&bare, &kept, at);
    assert!(kept.set_wall(&scene.windows[0]) && !kept.set_wall(&scene.windows[0]));
    kept.set_eye(fresh.eye);
    assert!(kept.mesh == fresh.mesh && tables(&scene, &kept, at) == tables(&scene, &fresh, at));

    // Another glass throws another light on the stone: clear, pale cobalt, opal, and opal again in another piece.
    for (piece, from) in [(0, 1), (0, 2), (4, 2), (0, 3)] {
        let mut other = scene.windows[0].clone();
        other.pieces[piece].makeup = scene.windows[0].pieces[from].makeup.clone();
        kept.set_piece(&other, piece);
        scene.windows[0] = other;
        assert!(tables(&scene, &kept, at) == tables(&scene, &seen(&scene, "bench"), at), "{piece} {from}");
        assert!(tables(&scene, &kept, at) != tables(&scene, &fresh, at), "{piece} {from}");
    }

    let mut kept = fresh;
    assert!(kept.set_wall(&bare.windows[0]));
    kept.set_eye(seen(&bare, "bench").eye);
    assert!(kept.mesh == seen(&bare, "bench").mesh && tables(&bare, &kept, at) == before);
}

// Cobalt lies beside opal and amber: the stone at its height is bluer than beside them.
#[test]
fn a_blue_piece_throws_blue_on_the_stone() {
    let of = |glass: usize| {
        let mut scene = lancet(&inner(0.4, 30.0));
        let makeup = scene.windows[0].pieces[glass].makeup.clone();
        scene.windows[0].pieces.iter_mut().for_each(|piece| piece.makeup = makeup.clone());
        let window = seen(&scene, "before it");
        let sides = window.inner_sides(&tables(&scene, &window, "2026-03-20T11:00"));
        let [r, _, b] =
            sides.iter().fold([0.0; 3], |s, (_, area, rgb)| [0, 1, 2].map(|k| s[k] + area * rgb[k]));
        b / r
    };
    // Clear and pale cobalt.
    let (clear, blue) = (of(0), of(1));
    assert!(blue > 1.2 * clear, "{blue} {clear}");
}
