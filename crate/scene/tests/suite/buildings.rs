//! The window's own building and the blocks before it.

use scene::{
    Action, Block, ChangeSet, Edit, Horizon, OpenScene, OwnBuilding, Reflectance, Scene, read, resolve, write,
};
use serde_json::{Value, json};

fn two_pieces() -> Scene {
    let path = format!("{}/tests/two-pieces.json", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn block() -> Block {
    Block {
        distance_m: 12.0,
        from_m: -6.0,
        to_m: 4.0,
        height_m: 9.0,
        depth_m: 10.0,
        reflectance: Some(Reflectance::Material("brick".to_owned())),
    }
}

fn between_houses() -> Horizon {
    Horizon {
        own_building: Some(OwnBuilding { height_m: Some(7.0), reflectance: None }),
        floor_above_ground_m: Some(0.5),
        blocks: vec![block()],
        ..Horizon::default()
    }
}

fn version(text: &str) -> Value {
    serde_json::from_str::<Value>(text).unwrap()["clerestory"].clone()
}

#[test]
fn only_a_scene_with_buildings_needs_version_5() {
    let plain = two_pieces();
    let without = write(&plain);
    assert_eq!(version(&without), json!(2));
    let parts = [
        Horizon { floor_above_ground_m: Some(0.5), ..Horizon::default() },
        Horizon { blocks: vec![block()], ..Horizon::default() },
        between_houses(),
    ];
    for horizon in parts {
        let edit = Edit::SetHorizon { horizon };
        assert_eq!(version(&Action::Edit(edit.clone()).write()), json!(5));
        let mut scene = plain.clone();
        let inverse = edit.clone().apply(&mut scene).unwrap();
        let with = write(&scene);
        assert_eq!(version(&with), json!(5));
        assert_eq!(read(&with).unwrap(), scene);
        for older in 2..5 {
            let aged = with.replacen("\"clerestory\": 5", &format!("\"clerestory\": {older}"), 1);
            let faults = read(&aged).unwrap_err();
            assert_eq!(faults.0[0].path, "clerestory");
            assert!(faults.0[0].expected.starts_with("5, the first version that has `"), "{faults}");
            let action = Action::Edit(edit.clone()).write().replacen(":5", &format!(":{older}"), 1);
            assert!(Action::read(&action).unwrap_err().to_string().contains("(in edit)"));
        }
        inverse.apply(&mut scene).unwrap();
        assert_eq!(write(&scene), without);
    }
}

#[test]
fn what_cannot_stand_there_is_refused_and_nothing_changes() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let before = write(open.file());
    let all = between_houses();
    let own = |height_m: f64| Some(OwnBuilding { height_m: Some(height_m), reflectance: None });
    let brass = Reflectance::Material("brass".to_owned());
    let wrong = [
        // Higher than the sill is not enough.
        (Horizon { own_building: own(1.0), ..all.clone() }, "horizon.own_building.height_m"),
        (Horizon { own_building: own(1.8), ..all.clone() }, "horizon.own_building.height_m"),
        (Horizon { floor_above_ground_m: Some(-3.0), ..all.clone() }, "horizon.floor_above_ground_m"),
        (
            Horizon { blocks: vec![block(), Block { to_m: -6.0, ..block() }], ..all.clone() },
            "horizon.blocks[1].to_m",
        ),
        (
            Horizon { blocks: vec![Block { reflectance: Some(brass.clone()), ..block() }], ..all.clone() },
            "horizon.blocks[0].reflectance.material",
        ),
        (
            Horizon {
                own_building: Some(OwnBuilding { height_m: Some(9.0), reflectance: Some(brass) }),
                ..all.clone()
            },
            "horizon.own_building.reflectance.material",
        ),
    ];
    for (horizon, path) in wrong {
        let faults = open.make(Edit::SetHorizon { horizon }).unwrap_err();
        assert_eq!(faults.0[0].path, path, "{faults}");
        assert_eq!(write(open.file()), before);
    }
    // A window that moves below the ground outside, or above its building.
    open.make(Edit::SetHorizon { horizon: all }).unwrap();
    let higher = Edit::MoveWindow { window: "west".to_owned(), centre_x_m: 2.0, sill_height_m: 7.0 };
    assert!(open.make(higher).is_err());
    let text = write(open.file());
    for (found, put, path) in [
        ("\"distance_m\": 12.0", "\"distance_m\": 0.1", "horizon.blocks[0].distance_m"),
        ("\"height_m\": 9.0", "\"height_m\": -2", "horizon.blocks[0].height_m"),
        ("\"depth_m\": 10.0", "\"storeys\": 2", "horizon.blocks[0]"),
    ] {
        assert!(text.contains(found), "{text}");
        let faults = read(&text.replacen(found, put, 1)).unwrap_err();
        assert!(faults.0.iter().any(|fault| fault.path.starts_with(path)), "{faults}");
    }
}

#[test]
fn buildings_follow_edits_as_if_built_anew() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    assert!(open.resolved().horizon.buildings.is_none());
    let made = open.make(Edit::SetHorizon { horizon: between_houses() }).unwrap();
    assert!(made.changes.outside() && made.changes.horizon);
    assert_eq!(open.undo_words(), Some("surroundings"));
    let mut room = open.file().room.clone();
    room.facing_deg = 33.0;
    let height = |open: &OpenScene| {
        open.resolved().horizon.buildings.as_ref().map(|b| b.site().window_middle_height_m)
    };
    let first = height(&open).unwrap();
    for edit in [
        Edit::SetRoom { room },
        Edit::MoveWindow { window: "west".to_owned(), centre_x_m: 2.0, sill_height_m: 1.4 },
        Edit::SetGround { ground: Reflectance::fresh_snow() },
    ] {
        open.make(edit).unwrap();
        let anew = resolve(open.file(), None).unwrap();
        assert_eq!(open.resolved().horizon, anew.horizon);
    }
    assert!((height(&open).unwrap() - first - 0.2).abs() < 1e-9, "{first} {:?}", height(&open));
    while open.step(true).unwrap().is_some() {}
    assert!(open.resolved().horizon.buildings.is_none());
    assert_eq!(write(open.file()), write(&two_pieces()));
}

#[test]
fn setting_the_same_surroundings_changes_nothing() {
    let mut scene = two_pieces();
    scene.horizon = between_houses();
    assert!(ChangeSet::of(&Edit::SetHorizon { horizon: between_houses() }, &scene).is_empty());
}

/// A wall whose height nobody has stated follows floor, room and sill, so that it never stands in the way of an edit.
#[test]
fn an_assumed_wall_follows_the_room() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let before = write(open.file());
    let wall = |open: &OpenScene| {
        let buildings = open.resolved().horizon.buildings.as_ref().unwrap();
        let anew = resolve(open.file(), None).unwrap();
        assert_eq!(open.resolved().horizon, anew.horizon);
        buildings.site().own_height_m
    };
    let with_floor = |floor_above_ground_m| Edit::SetHorizon {
        horizon: Horizon {
            own_building: Some(OwnBuilding::default()),
            floor_above_ground_m,
            ..Horizon::default()
        },
    };
    open.make(with_floor(None)).unwrap();
    let room_m = open.file().room.height_m;
    let storey_m = wall(&open);
    assert!((0.999..1.1).contains(&(storey_m - room_m)), "{storey_m}");
    open.make(with_floor(Some(3.2))).unwrap();
    assert!((wall(&open) - storey_m - 3.2).abs() < 1e-9);
    let mut room = open.file().room.clone();
    room.height_m += 2.0;
    open.make(Edit::SetRoom { room }).unwrap();
    assert!((wall(&open) - storey_m - 5.2).abs() < 1e-9);
    let higher = Edit::MoveWindow { window: "west".to_owned(), centre_x_m: 2.0, sill_height_m: 2.6 };
    open.make(higher).unwrap();
    // Stated, it stays as it is, and a floor too high for it is refused.
    let mut stated = open.file().horizon.clone();
    stated.own_building = Some(OwnBuilding { height_m: Some(7.0), reflectance: None });
    open.make(Edit::SetHorizon { horizon: stated.clone() }).unwrap();
    assert!((wall(&open) - 7.0).abs() < 1e-9);
    let faults =
        open.make(Edit::SetHorizon { horizon: Horizon { floor_above_ground_m: Some(5.0), ..stated } });
    assert_eq!(faults.unwrap_err().0[0].path, "horizon.own_building.height_m");
    while open.step(true).unwrap().is_some() {}
    assert_eq!(write(open.file()), before);
}
