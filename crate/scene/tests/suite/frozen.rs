//! Files of every past version still open: scenes, autosaved documents with their history, interrupted
//! journals.
//!
//! The files in each folder were written by that version and are never changed.

use std::fs;
use std::path::{Path, PathBuf};

use scene::{
    Action, FIRST_VERSION_WRITTEN, FORMAT_VERSION, OpenScene, Scene, VERSION_WITH_ATTACHMENTS,
    VERSION_WITH_WORKING_PLANES, read, resolve, with_variant, write,
};
use serde_json::Value;

fn folder(version: u32) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/frozen/v{version}"))
}

/// Every version up to the one written now; each has a folder of files.
fn versions() -> impl Iterator<Item = u32> {
    (1..=FORMAT_VERSION).filter(|version| folder(*version).is_dir())
}

fn text(version: u32, name: &str) -> String {
    let path = folder(version).join(name);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Names in the folder of a version that end so.
fn names(version: u32, end: &str) -> Vec<String> {
    let entries = fs::read_dir(folder(version)).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = entries.filter_map(|name| name.into_string().ok()).collect();
    names.retain(|name| name.ends_with(end));
    names.sort();
    names
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn scene_of(value: &Value) -> Scene {
    read(&value.to_string()).unwrap_or_else(|faults| panic!("{faults}"))
}

/// Asserts that two files show the same window, as drawn and in every variant. How a variant's edits are
/// expressed may change between versions.
fn assert_same(found: &Scene, wanted: &Scene, name: &str) {
    let names =
        |scene: &Scene| scene.variants.iter().map(|v| (v.name.clone(), v.note.clone())).collect::<Vec<_>>();
    assert_eq!(names(found), names(wanted), "{name}");
    for variant in std::iter::once(None).chain(wanted.variants.iter().map(|v| Some(v.name.as_str()))) {
        let shown = |scene| with_variant(scene, variant).unwrap();
        assert_eq!(shown(found), shown(wanted), "{name}, {variant:?}");
    }
}

#[test]
fn every_version_has_frozen_files() {
    assert_eq!(versions().collect::<Vec<_>>(), (1..=FORMAT_VERSION).collect::<Vec<_>>());
}

#[test]
fn scenes_open_with_all_their_variants() {
    for version in versions() {
        let mut scenes = names(version, ".json");
        scenes.retain(|name| !name.ends_with("-journal.json") && !name.ends_with("-states.json"));
        assert!(!scenes.is_empty(), "version {version}");
        for name in &scenes {
            let scene = read(&text(version, name)).unwrap_or_else(|faults| panic!("{name}: {faults}"));
            let oldest = if version > VERSION_WITH_WORKING_PLANES {
                version
            } else if write(&scene).contains("\"working_plane\"") {
                VERSION_WITH_WORKING_PLANES
            } else if scene.attachments.is_empty() {
                FIRST_VERSION_WRITTEN
            } else {
                VERSION_WITH_ATTACHMENTS
            };
            assert_eq!(scene.clerestory, oldest);
            for variant in std::iter::once(None).chain(scene.variants.iter().map(|v| Some(v.name.as_str()))) {
                resolve(&scene, variant).unwrap_or_else(|faults| panic!("{name}, {variant:?}: {faults}"));
            }
            // Written now, it reads back equal.
            assert_eq!(read(&write(&scene)).unwrap(), scene);
        }
    }
}

#[test]
fn documents_open_with_their_history_and_journals_replay() {
    for version in versions() {
        let journals = names(version, "-journal.json");
        assert!(!journals.is_empty(), "version {version}");
        for name in journals.iter().filter_map(|name| name.strip_suffix("-journal.json")) {
            let journal = parsed(&text(version, &format!("{name}-journal.json")));
            let states = parsed(&text(version, &format!("{name}-states.json")));
            let mut open = OpenScene::from_record(journal["kept"].as_str().unwrap())
                .unwrap_or_else(|faults| panic!("{name}: {faults}"));
            assert_same(open.file(), &scene_of(&states["autosaved"]), name);
            for action in journal["actions"].as_array().unwrap() {
                let action = Action::read(action.as_str().unwrap()).unwrap_or_else(|f| panic!("{name}: {f}"));
                open.replay(action).unwrap_or_else(|faults| panic!("{name}: {faults}"));
            }
            assert_same(open.file(), &scene_of(&states["now"]), name);
            // Its record in the current version is the same document with the same history.
            let mut again = OpenScene::from_record(&open.record_text()).unwrap();
            assert_eq!(again.file(), open.file());
            let mut steps = 0;
            while open.step(true).unwrap_or_else(|faults| panic!("{name}, undo: {faults}")).is_some() {
                again.step(true).unwrap();
                assert_eq!(again.file(), open.file());
                steps += 1;
            }
            assert!(steps >= 9, "{name}: {steps} steps of history");
            while open.step(false).unwrap_or_else(|faults| panic!("{name}, redo: {faults}")).is_some() {}
            // What was undone when the journal was interrupted can be redone too.
            assert!(open.undo_words().is_some());
        }
    }
}

#[test]
fn without_anything_newer_everything_is_written_as_version_2_wrote_it() {
    for name in ["two-pieces", "estuary-lancet"] {
        let journal = parsed(&text(2, &format!("{name}-journal.json")));
        let record = journal["kept"].as_str().unwrap();
        let mut open = OpenScene::from_record(record).unwrap_or_else(|faults| panic!("{name}: {faults}"));
        assert_eq!(open.record_text(), record, "{name}");
        assert!(write(open.file()).starts_with("{\n  \"clerestory\": 2,"), "{name}");
        for action in journal["actions"].as_array().unwrap() {
            let written = action.as_str().unwrap();
            let action = Action::read(written).unwrap();
            assert_eq!(action.write(), written, "{name}");
            open.replay(action).unwrap_or_else(|faults| panic!("{name}: {faults}"));
        }
    }
}

#[test]
fn a_file_of_a_newer_version_is_not_reported_as_damaged() {
    let newer = FORMAT_VERSION + 1;
    let scene = read(&format!("{{\"clerestory\": {newer}, \"moons\": []}}")).unwrap_err();
    let record = OpenScene::from_record(&format!("{{\"kept\": 2, \"clerestory\": {newer}}}")).unwrap_err();
    let form = OpenScene::from_record("{\"kept\": 77, \"fields\": \"unknown\"}").unwrap_err();
    let action = Action::read(&format!("{{\"clerestory\": {newer}, \"wish\": 1}}")).unwrap_err();
    for faults in [scene, record, form, action] {
        assert!(faults.is_newer_version(), "{faults}");
        assert!(faults.to_string().contains("update Clerestory"), "{faults}");
    }
    for text in ["", "[]", "{\"kept\": 2}", "{\"kept\": 2, \"clerestory\": 2, \"scene\": {}, \"undo\": 3}"] {
        assert!(!OpenScene::from_record(text).unwrap_err().is_newer_version(), "{text}");
    }
    for text in ["", "\"jump\"", "{\"edit\": 4}", "{\"clerestory\": 2, \"edit\": {\"edit\": \"set_moon\"}}"] {
        assert!(!Action::read(text).unwrap_err().is_newer_version(), "{text}");
    }
}
