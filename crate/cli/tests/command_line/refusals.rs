//! Errors go to standard error with exit code 2, and nothing else is written.

use std::process::{Command, Stdio};

use serde_json::Value;

use crate::run::{Run, clerestory, demo, folder};

#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let Run { code, out, err } = clerestory(arguments);
    assert_eq!(code, Some(2), "{arguments:?}: {err}");
    assert!(out.is_empty(), "{out}");
    for word in words {
        assert!(err.contains(word), "{arguments:?}: {word} in\n{err}");
    }
    assert!(!err.contains("panicked"), "{err}");
}

#[test]
fn a_broken_scene_has_all_its_faults_listed() {
    let folder = folder("broken");
    let mut scene: Value =
        serde_json::from_str(&std::fs::read_to_string(demo("small-rose")).unwrap()).unwrap();
    scene["site"]["latitude_deg"] = "north".into();
    scene["windows"][0]["pieces"][3]["makeup"]["plates"][0]["thickness_mm"] = (-3).into();
    scene["room"].as_object_mut().unwrap().remove("depth_m");
    scene["colour"] = "blue".into();
    let path = folder.join("broken.json");
    std::fs::write(&path, scene.to_string()).unwrap();
    let path = path.to_str().unwrap();
    let picture = folder.join("picture.png");
    let words = [
        "broken.json: 4 faults",
        "site.latitude_deg: expected",
        "windows[0].pieces[3].makeup.plates[0].thickness_mm: expected",
        "depth_m",
        "colour",
    ];
    for arguments in [
        &["report", path][..],
        &["report", path, "--json"],
        &["day", path],
        &["check", path],
        &["picture", path, "--out", picture.to_str().unwrap()],
    ] {
        refused(arguments, &words);
    }
    assert!(!picture.exists());
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "nothing but the scene");
}

#[test]
fn files_that_are_not_scenes() {
    let folder = folder("no-scene");
    for (name, text) in
        [("empty.json", ""), ("text.json", "hello"), ("list.json", "[]"), ("object.json", "{}")]
    {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap();
        refused(&["report", path.to_str().unwrap()], &[name, "1 fault", "expected"]);
    }
    let path = folder.join("binary.json");
    std::fs::write(&path, [0xff, 0xfe, 0x00]).unwrap();
    refused(&["report", path.to_str().unwrap()], &["binary.json"]);
    refused(
        &["report", folder.join("missing.json").to_str().unwrap()],
        &["missing.json: there is no such file"],
    );
    refused(&["report", folder.to_str().unwrap()], &[": this is a folder, not a file"]);
}

#[test]
fn unknown_names_and_invalid_times() {
    let path = demo("small-rose");
    let path = path.to_str().unwrap();
    let scene: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let known = |list: &str| scene[list][0]["name"].as_str().unwrap().to_owned();
    refused(&["report", path, "--place", "cellar"], &["cellar", &known("places")]);
    refused(&["report", path, "--variant", "upside down"], &["upside down", &known("variants")]);
    refused(&["report", path, "--at", "noon"], &["noon", "2026-11-25T15:00"]);
    refused(&["report", path, "--at", "2026-02-30T12:00"], &["2026-02-30T12:00"]);
    refused(&["report", path, "--at", "9999-06-01T12:00"], &["years"]);
    refused(&["day", path, "--date", "yesterday"], &["yesterday", "2026-11-25"]);
    refused(&["day", path, "--date", "2026-02-30"], &["2026-02-30"]);
    refused(&["day", path, "--place", "cellar"], &["cellar"]);
    refused(&["picture", path, "--out", "nowhere/x.png", "--window", "east"], &["east", "rose"]);
}

#[test]
fn wrong_command_lines() {
    let path = demo("small-rose");
    let path = path.to_str().unwrap();
    for arguments in [
        &[][..],
        &["repot"],
        &["report"],
        &["report", path, "--colour"],
        &["day", path, "--step-minutes", "0"],
        &["picture", path],
        &["picture", path, "--out", "x.png", "--width", "0"],
        &["picture", path, "--out", "x.png", "--mode", "pretty"],
        &["calc", "sun"],
    ] {
        let run = clerestory(arguments);
        assert_eq!(run.code, Some(2), "{arguments:?}");
        assert!(run.out.is_empty() && !run.err.is_empty(), "{arguments:?}");
    }
}

#[test]
fn demos_are_without_faults() {
    for name in crate::run::DEMOS {
        let run = clerestory(&["check", demo(name).to_str().unwrap()]);
        assert_eq!(run.code, Some(0), "{}", run.err);
        assert!(run.out.contains("no faults"), "{}", run.out);
    }
}

// The reader may close the pipe early: no panic, no message.
#[test]
fn a_closed_pipe_is_not_an_error() {
    let path = demo("small-rose");
    let path = path.to_str().unwrap();
    for arguments in [&["day", path, "--json"][..], &["report", path, "--json"]] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_clerestory"))
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
        assert!(output.status.success());
    }
}
