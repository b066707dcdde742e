//! `picture`: a complete PNG tagged with its colour space, or none.

use std::path::Path;

use crate::run::{clerestory, demo, folder};

/// Width, height and names of the chunks of a PNG; every chunk must be complete.
fn chunks(path: &Path) -> (u32, u32, Vec<String>) {
    let bytes = std::fs::read(path).unwrap();
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
    let word = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
    let mut names = Vec::new();
    let mut at = 8;
    while at < bytes.len() {
        names.push(String::from_utf8(bytes[at + 4..at + 8].to_vec()).unwrap());
        at += word(at) as usize + 12;
    }
    assert_eq!((at, names.last().map(String::as_str)), (bytes.len(), Some("IEND")));
    (word(16), word(20), names)
}

#[test]
fn a_picture_is_complete_and_tagged_with_its_colour_space() {
    let folder = folder("pictures");
    let scene = demo("small-rose");
    let scene = scene.to_str().unwrap();
    for (name, more, size) in [
        ("plain.png", &["--width", "120"][..], (120, 120)),
        ("software.png", &["--width", "120", "--software"], (120, 120)),
        ("true.png", &["--height", "90", "--mode", "colour-true", "--software"], (90, 90)),
        ("both.png", &["--width", "100", "--height", "60", "--software", "--window", "rose"], (100, 60)),
        ("night.png", &["--width", "60", "--at", "2026-12-21T23:00", "--software"], (60, 60)),
    ] {
        let out = folder.join(name);
        let mut arguments = vec!["picture", scene, "--out", out.to_str().unwrap()];
        arguments.extend(more);
        let run = clerestory(&arguments);
        assert_eq!(run.code, Some(0), "{}", run.err);
        assert!(run.out.is_empty());
        assert!(run.err.contains(name) && run.err.contains("drawn "), "{}", run.err);
        let (width, height, names) = chunks(&out);
        assert_eq!((width, height), size, "{name}");
        for chunk in ["cICP", "iCCP", "IDAT"] {
            assert!(names.iter().any(|n| n == chunk), "{name}: {names:?}");
        }
    }
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 5, "nothing left beside the pictures");
    // The two ways of drawing give nearly the same picture, so the files have nearly the same size.
    let length = |name: &str| std::fs::metadata(folder.join(name)).unwrap().len() as f64;
    assert!((length("plain.png") / length("software.png") - 1.0).abs() < 0.1);
}

#[test]
fn the_same_picture_twice_is_the_same_file_and_replaces_the_old_one() {
    let folder = folder("again");
    let out = folder.join("a.png");
    let scene = demo("north-corridor");
    let arguments =
        ["picture", scene.to_str().unwrap(), "--out", out.to_str().unwrap(), "--width", "60", "--software"];
    std::fs::write(&out, b"something older").unwrap();
    assert_eq!(clerestory(&arguments).code, Some(0));
    let first = std::fs::read(&out).unwrap();
    assert_eq!(clerestory(&arguments).code, Some(0));
    assert_eq!(first, std::fs::read(&out).unwrap());
}

#[test]
fn a_picture_that_cannot_be_written_leaves_no_file() {
    let folder = folder("unwritable");
    let scene = demo("small-rose");
    let scene = scene.to_str().unwrap();
    let taken = folder.join("taken.png");
    std::fs::create_dir(&taken).unwrap();
    for (out, why) in [
        (folder.join("no/such/folder.png"), "there is no such folder"),
        (taken, "a folder has that name"),
        (folder.clone(), "a folder has that name"),
    ] {
        let run =
            clerestory(&["picture", scene, "--out", out.to_str().unwrap(), "--width", "40", "--software"]);
        assert_eq!(run.code, Some(2), "{}", run.err);
        let why = format!("could not be written: {why}");
        assert!(run.out.is_empty() && run.err.contains(&why), "{}", run.err);
    }
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "only the folder that was there");
}
