//! What viewing positions are used for: their working planes.

use scene::{
    Action, ChangeSet, Edit, OpenScene, Scene, VariantAction, WorkingPlane, WorkingPlaneKind, read, write,
};
use serde_json::{Value, json};

fn two_pieces() -> Scene {
    let path = format!("{}/tests/two-pieces.json", env!("CARGO_MANIFEST_DIR"));
    read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The edit that gives the first position this working plane.
fn set(scene: &Scene, plane: Option<WorkingPlane>) -> Edit {
    let mut places = scene.places.clone();
    places[0].working_plane = plane;
    Edit::SetPlaces { places }
}

fn desk(height_m: f64) -> Option<WorkingPlane> {
    Some(WorkingPlane { kind: WorkingPlaneKind::Desk, height_m })
}

fn version(text: &str) -> Value {
    serde_json::from_str::<Value>(text).unwrap()["clerestory"].clone()
}

#[test]
fn only_a_scene_with_a_working_plane_needs_the_newest_version() {
    let mut scene = two_pieces();
    let without = write(&scene);
    assert!(version(&without) == json!(2) && !without.contains("working_plane"));
    let inverse = set(&scene, desk(0.75)).apply(&mut scene).unwrap();
    let with = write(&scene);
    assert_eq!(version(&with), json!(4));
    assert_eq!(read(&with).unwrap(), scene);
    inverse.apply(&mut scene).unwrap();
    assert_eq!(write(&scene), without);
    // A file of an older version cannot have one.
    for older in ["2", "3"] {
        let faults =
            read(&with.replacen("\"clerestory\": 4", &format!("\"clerestory\": {older}"), 1)).unwrap_err();
        assert_eq!(faults.0[0].path, "clerestory");
        assert!(faults.0[0].expected.starts_with("4,"), "{faults}");
    }
    // A newer version than needed is settled.
    assert_eq!(
        write(&read(&without.replacen("\"clerestory\": 2", "\"clerestory\": 4", 1)).unwrap()),
        without
    );
}

#[test]
fn variants_history_and_journal_count_too() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let plain = write(open.file());
    let add = VariantAction::Add { name: "With a desk".to_owned(), note: String::new() };
    open.act_on_variants(add).unwrap();
    // The variant sets positions of its own, so that the next edit belongs to it.
    let mut variants = open.file().variants.clone();
    variants.last_mut().unwrap().edits.push(set(open.file(), desk(0.7)));
    open.make(Edit::SetVariants { variants }).unwrap();
    assert_eq!(open.resolved().scene.places[0].working_plane, desk(0.7));
    assert_eq!(version(&write(open.file())), json!(4));
    let made = open.make(set(&open.resolved().scene, desk(0.8))).unwrap();
    assert_eq!(version(&made.action.write()), json!(4));
    assert_eq!(Action::read(&made.action.write()).unwrap(), made.action);
    assert!(made.changes.working_planes && !made.changes.places);
    assert_eq!(open.undo_words(), Some("use of a viewing position"));
    open.act_on_variants(VariantAction::Show { name: None }).unwrap();
    assert_eq!((open.resolved().scene.clerestory, open.file().clerestory), (2, 4));
    open.act_on_variants(VariantAction::Remove { name: "With a desk".to_owned() }).unwrap();
    assert_eq!(write(open.file()), plain);
    // What was removed is in the history still.
    assert_eq!(version(&open.record_text()), json!(4));
    let mut again = OpenScene::from_record(&open.record_text()).unwrap();
    while open.step(true).unwrap().is_some() {
        again.step(true).unwrap();
        assert_eq!(again.file(), open.file());
        assert_eq!(read(&write(open.file())).unwrap(), *open.file());
    }
    assert_eq!(write(open.file()), plain);
}

#[test]
fn an_older_version_has_none_in_variants_edits_or_history_either() {
    let refused = |faults: scene::Faults, place: &str| {
        let text = faults.to_string();
        assert_eq!(faults.0[0].path, "clerestory", "{text}");
        assert!(
            text.contains("4, the first version that has `working_plane`") && text.contains(place),
            "{text}"
        );
    };
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let add = VariantAction::Add { name: "With a desk".to_owned(), note: String::new() };
    open.act_on_variants(add).unwrap();
    let mut variants = open.file().variants.clone();
    let edits = vec![set(open.file(), None), set(open.file(), desk(0.7))];
    variants.last_mut().unwrap().edits.push(Edit::Together { edits });
    let last = variants.len() - 1;
    let made = open.make(Edit::SetVariants { variants }).unwrap();

    let aged = |text: &str, version: u32| {
        let mut value: Value = serde_json::from_str(text).unwrap();
        assert_eq!(value["clerestory"], json!(4));
        value["clerestory"] = json!(version);
        value.to_string()
    };
    let file = write(open.file());
    read(&file).unwrap();
    for older in [1, 2, 3] {
        let place = format!("(in variants[{last}].edits[0].edits[1])");
        refused(read(&aged(&file, older)).unwrap_err(), &place);
        let place = format!("(in edit.variants[{last}].edits[0].edits[1])");
        refused(Action::read(&aged(&made.action.write(), older)).unwrap_err(), &place);
        let action = Action::Edit(set(open.file(), desk(0.7))).write();
        refused(Action::read(&aged(&action, older)).unwrap_err(), "(in edit)");
    }
    // The scene no longer has it, its history does.
    open.step(true).unwrap();
    let record = open.record_text();
    OpenScene::from_record(&record).unwrap();
    refused(OpenScene::from_record(&aged(&record, 2)).map(|_| ()).unwrap_err(), "(in edit.edits[1])");
    // A record without a version of its own is read as it always was.
    let mut unstated: Value = serde_json::from_str(&record).unwrap();
    unstated.as_object_mut().unwrap().remove("clerestory");
    let mut again = OpenScene::from_record(&unstated.to_string()).unwrap();
    again.step(false).unwrap();
    assert_eq!(write(again.file()), file);
}

#[test]
fn a_working_plane_alone_touches_neither_eye_nor_picture() {
    let scene = two_pieces();
    let changes = ChangeSet::of(&set(&scene, desk(0.75)), &scene);
    assert_eq!(changes, ChangeSet { working_planes: true, ..ChangeSet::default() });
    assert_eq!(changes.words(), "use of a viewing position");
    let Edit::SetPlaces { mut places } = set(&scene, desk(0.75)) else { panic!() };
    places[0].distance_m += 0.1;
    let changes = ChangeSet::of(&Edit::SetPlaces { places }, &scene);
    assert_eq!(changes, ChangeSet { places: true, ..ChangeSet::default() });
    assert!(ChangeSet::of(&set(&scene, None), &scene).is_empty());
}

#[test]
fn a_wrong_working_plane_is_refused_with_its_path() {
    let faults = |plane: Value| {
        let mut value: Value = serde_json::from_str(&write(&two_pieces())).unwrap();
        value["clerestory"] = json!(4);
        value["places"][0]["working_plane"] = plane;
        let faults = read(&value.to_string()).unwrap_err();
        assert_eq!(faults.0.len(), 1, "{faults}");
        (faults.0[0].path.clone(), faults.0[0].expected.clone())
    };
    let room = two_pieces().room.height_m;
    for (plane, path, expected) in [
        (json!({ "kind": "desk", "height_m": -0.1 }), "height_m", "a number from 0 to 100".to_owned()),
        (
            json!({ "kind": "desk", "height_m": room }),
            "height_m",
            format!("less than the room's height, {room} m"),
        ),
        (json!({ "kind": "shelf", "height_m": 0.1 }), "kind", "\"desk\", \"altar\" or \"floor\"".to_owned()),
    ] {
        let (at, wanted) = faults(plane);
        assert_eq!(at, format!("places[0].working_plane.{path}"));
        assert!(wanted.contains(&expected), "{wanted}");
    }
    // A lower room leaves no room for the plane, and the scene stays as it was.
    let mut open = OpenScene::new(two_pieces()).unwrap();
    open.make(set(open.file(), desk(room - 0.1))).unwrap();
    let before = open.file().clone();
    let mut low = before.room.clone();
    low.height_m = room - 0.2;
    assert!(open.make(Edit::SetRoom { room: low }).is_err());
    assert_eq!(*open.file(), before);
}

#[test]
fn heights_are_said_to_the_millimetre() {
    let words = |kind, height_m| WorkingPlane { kind, height_m }.words();
    // 29 inches.
    assert_eq!(
        words(WorkingPlaneKind::Desk, 0.736_599_999_999_999_9),
        "on the desk, 0.737 m above the floor"
    );
    assert_eq!(words(WorkingPlaneKind::Floor, 0.15), "on a step, 0.15 m above the floor");
    assert_eq!(words(WorkingPlaneKind::Floor, 0.0), "on the floor");
}
