//! The wall around a window.

use scene::{
    Action, ChangeSet, Edit, Guard, Overhang, Reflectance, Reveal, Scene, Splay, Wall, difference, read,
    resolve, write,
};

fn two_pieces() -> Scene {
    let path = format!("{}/tests/two-pieces.json", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn reveal(depth_m: f64, jamb: f64) -> Reveal {
    let splay_deg = Splay { jamb, head: 0.0, sill: 0.0 };
    Reveal { depth_m, splay_deg, reflectance: None, sill_reflectance: None }
}

fn thick() -> Wall {
    Wall {
        outer: Some(reveal(0.2, 0.0)),
        inner: Some(Reveal { sill_reflectance: Some(Reflectance::Grey(0.6)), ..reveal(0.3, 20.0) }),
        overhang: Some(Overhang { depth_m: 0.5, above_m: 0.1, width_m: 1.5, reflectance: None }),
        guards: vec![Guard::Mesh { wire_mm: 1.5, pitch_mm: 12.0 }],
        leaf_mm: Some(1.0),
    }
}

fn set(wall: Option<Wall>) -> Edit {
    Edit::SetWall { window: "west".to_owned(), wall: wall.map(Box::new) }
}

#[test]
fn only_a_scene_with_a_wall_needs_version_5() {
    let plain = two_pieces();
    let mut scene = plain.clone();
    let inverse = set(Some(thick())).apply(&mut scene).unwrap();
    let with = write(&scene);
    assert!(with.starts_with("{\n  \"clerestory\": 5,"));
    assert_eq!(read(&with).unwrap(), scene);
    for older in 2..5 {
        let aged = with.replacen("\"clerestory\": 5", &format!("\"clerestory\": {older}"), 1);
        let faults = read(&aged).unwrap_err();
        assert_eq!(faults.0[0].path, "clerestory");
        assert!(faults.0[0].expected.contains("`wall` (in windows[0])"), "{faults}");
        let action = Action::Edit(set(Some(thick()))).write().replacen(":5", &format!(":{older}"), 1);
        assert!(Action::read(&action).unwrap_err().to_string().contains("(in edit)"));
    }
    let changes = ChangeSet::of(&set(Some(thick())), &plain);
    assert!(changes.windows["west"].wall && changes.light());
    assert_eq!(changes.words(), "wall around window “west”");
    assert_eq!(difference(&plain, &scene), [set(Some(thick()))]);
    inverse.apply(&mut scene).unwrap();
    assert_eq!(write(&scene), write(&plain));
}

#[test]
fn a_wall_is_built_and_follows_edits() {
    let mut open = resolve(&two_pieces(), None).unwrap();
    assert!(open.windows[0].wall.is_none());
    let applied = open.apply(set(Some(thick()))).unwrap();
    let built = open.windows[0].wall.clone().unwrap();
    assert_eq!(Some(&built), resolve(&open.scene, None).unwrap().windows[0].wall.as_ref());
    assert!((built.depths.outer.depth_m - 0.2).abs() < 1e-12 && built.guards.len() == 1);
    assert!(
        (built.sills[1][40] - 0.6).abs() < 1e-12
            && (built.sides[1][40] - scene::USUAL_INNER_REFLECTANCE).abs() < 1e-12
    );
    let eye = open.eye_m(None).unwrap();
    assert!((open.in_room(eye)[2] - (eye[2] - 0.3)).abs() < 1e-12);
    // It moves with its window.
    let window = &open.scene.windows[0];
    let (centre_x_m, sill_height_m) = (window.centre_x_m + 0.1, window.sill_height_m);
    open.apply(Edit::MoveWindow { window: "west".to_owned(), centre_x_m, sill_height_m }).unwrap();
    let moved = open.windows[0].wall.clone().unwrap();
    assert_eq!(Some(&moved), resolve(&open.scene, None).unwrap().windows[0].wall.as_ref());
    assert!(moved != built);
    open.apply(applied.inverse).unwrap();
    assert!(open.windows[0].wall.is_none());
}

#[test]
fn what_cannot_be_built_is_refused_and_nothing_changes() {
    let mut open = resolve(&two_pieces(), None).unwrap();
    let before = open.scene.clone();
    let brass = Reflectance::Material("brass".to_owned());
    let guard = Guard::UprightBars { diameter_mm: 20.0, pitch_mm: 10.0 };
    for (wall, path) in [
        (Wall { inner: Some(reveal(1.0, 80.0)), ..Wall::default() }, "windows[0].wall.inner"),
        (Wall { inner: Some(reveal(4.95, 0.0)), ..Wall::default() }, "places[0].distance_m"),
        (Wall { guards: vec![guard], ..Wall::default() }, "windows[0].wall.guards[0]"),
        (
            Wall { outer: Some(Reveal { reflectance: Some(brass), ..reveal(0.2, 0.0) }), ..Wall::default() },
            "windows[0].wall.outer.reflectance.material",
        ),
    ] {
        let faults = open.apply(set(Some(wall))).unwrap_err();
        assert!(faults.0.iter().any(|fault| fault.path == path), "{path}: {faults}");
        assert_eq!(open.scene, before);
        assert!(open.windows[0].wall.is_none());
    }
}

#[test]
fn a_splay_that_makes_sides_meet_is_refused_by_its_place() {
    let mut scene = two_pieces();
    let cusp = "M0 0L600 0L600 590L400 600L600 610L600 1000L0 1000Z";
    scene.windows[0].drawing.sight_size.path = cusp.to_owned();
    let mut open = resolve(&scene, None).unwrap();
    let leaning = Reveal { splay_deg: Splay { jamb: 0.0, head: 45.0, sill: 45.0 }, ..reveal(0.3, 0.0) };
    let inner = |reveal: Reveal| set(Some(Wall { inner: Some(reveal), ..Wall::default() }));
    let text = open.apply(inner(leaning)).unwrap_err().to_string();
    for words in ["windows[0].wall", "less splay or depth", "600 mm from the left and 590 mm from the bottom"]
    {
        assert!(text.contains(words), "{words} in {text}");
    }
    assert!(open.apply(inner(reveal(0.3, 0.0))).is_ok());
}

#[test]
fn a_wall_without_depth_is_none() {
    let mut open = resolve(&two_pieces(), None).unwrap();
    for (outer, inner) in [(Some(reveal(0.0, 0.0)), None), (Some(reveal(0.0, 0.0)), Some(reveal(0.0, 30.0)))]
    {
        let flush = Wall { outer, inner, leaf_mm: Some(2.0), ..Wall::default() };
        open.apply(set(Some(flush.clone()))).unwrap();
        assert!(open.windows[0].wall.is_none());
        // What hangs before it makes it one.
        for wall in
            [Wall { overhang: thick().overhang, ..flush.clone() }, Wall { guards: thick().guards, ..flush }]
        {
            open.apply(set(Some(wall))).unwrap();
            assert!(open.windows[0].wall.is_some());
        }
    }
}
