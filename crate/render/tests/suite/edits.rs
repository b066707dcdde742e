//! Updated windows equal windows built from scratch.

use plane::RoomPoint;
use render::SceneWindow;

#[test]
fn a_changed_piece_and_a_moved_eye_equal_a_rebuilt_window() {
    let document = scene::read(include_str!("../../../../demo-scenes/small-rose.json")).unwrap();
    let mut scene = scene::resolve(&document, None).unwrap();
    let eye_m = scene.eye_m(None).unwrap();
    let mut kept = SceneWindow::new(&scene, 0, eye_m).unwrap();
    let last = scene.windows[0].pieces.len() - 1;
    let (from, to) = (scene.windows[0].pieces[0].makeup.clone(), &mut scene.windows[0].pieces[last]);
    assert_ne!(from, to.makeup);
    to.makeup = from;
    to.sheet += 3;
    let before = kept.optics[last].clone();
    kept.set_piece(&scene.windows[0], last);
    assert!(!kept.set_piece(&scene.windows[0], last + 1));
    let anew = SceneWindow::new(&scene, 0, eye_m).unwrap();
    assert_ne!(kept.optics[last], before);
    assert!(kept.optics == anew.optics && kept.model == anew.model && kept.mesh == anew.mesh);

    let nearer = RoomPoint::new(eye_m[0] + 0.4, eye_m[1], eye_m[2] * 0.5);
    kept.set_eye(render::eye_before(&scene, &scene.windows[0], nearer));
    let anew = SceneWindow::new(&scene, 0, nearer).unwrap();
    assert!(kept.optics == anew.optics && kept.eye == anew.eye);
    assert!(SceneWindow::new(&scene, 7, nearer).is_none());

    let outside = scene.outside(scene.instant("2026-06-21T08:00").unwrap().utc).unwrap();
    assert!(kept.tables(&outside, None) == anew.tables(&outside, None));
}

#[test]
fn another_wall_place_and_skyline_equal_a_rebuilt_window() {
    let text = include_str!("../../../../demo-scenes/small-rose.json");
    let scene = scene::resolve(&scene::read(text).unwrap(), None).unwrap();
    let eye_m = scene.eye_m(None).unwrap();
    let mut kept = SceneWindow::new(&scene, 0, eye_m).unwrap();
    let mut document = scene::read(text).unwrap();
    document.room.facing_deg = (document.room.facing_deg + 70.0) % 360.0;
    document.site.latitude_deg = -document.site.latitude_deg;
    document.horizon = scene::Horizon::default();
    document.viewer.age_years = 80.0;
    let other = scene::resolve(&document, None).unwrap();
    let anew = SceneWindow::new(&other, 0, eye_m).unwrap();
    let light = |window: &SceneWindow, of: &scene::Resolved| {
        window.tables(&of.outside(of.instant("2026-06-21T12:00").unwrap().utc).unwrap(), None)
    };
    assert!(light(&kept, &other) != light(&anew, &other));
    kept.set_outdoors(&other);
    assert!(light(&kept, &other) == light(&anew, &other));
}
