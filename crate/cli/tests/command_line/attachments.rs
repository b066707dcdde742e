//! Files attached to a scene from the command line.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::run::{Run, clerestory, demo, folder};

const JPEG: &[u8] = b"\xff\xd8\xff\xe0\0\x10JFIF\0 no picture, but it begins as one";
const SPECTRUM: &[u8] = b"380,0.91\n385,0.92\n";

fn run(arguments: &[&str]) -> String {
    let Run { code, out, err } = clerestory(arguments);
    assert_eq!(code, Some(0), "{arguments:?}: {err}");
    out
}

#[track_caller]
fn refused(arguments: &[&str], words: &str) {
    let Run { code, out, err } = clerestory(arguments);
    assert_eq!((code, out.as_str()), (Some(2), ""), "{arguments:?}: {err}");
    assert!(err.contains(words), "{arguments:?}: {words} in\n{err}");
    assert!(!err.contains("panicked"), "{err}");
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// A folder with a photograph, a spectrum and the rose with both attached.
fn attached(name: &str) -> (PathBuf, PathBuf) {
    let folder = folder(name);
    let (jpeg, spectrum, out) =
        (folder.join("north-wall.jpg"), folder.join("old blue.csv"), folder.join("rose.zip"));
    fs::write(&jpeg, JPEG).unwrap();
    fs::write(&spectrum, SPECTRUM).unwrap();
    let rose = demo("small-rose");
    let said = run(&[
        "attach",
        text(&rose),
        text(&jpeg),
        "--kind",
        "photograph",
        "--note",
        "from the yard",
        "--out",
        text(&out),
    ]);
    assert!(said.ends_with("rose.zip: 1 attachment, written as a ZIP\n"), "{said}");
    let said =
        run(&["attach", text(&out), text(&spectrum), "--kind", "measured-spectrum", "--out", text(&out)]);
    assert!(said.contains("2 attachments"), "{said}");
    (folder, out)
}

fn listed(scene: &Path) -> Vec<Value> {
    serde_json::from_str(&run(&["attachments", text(scene), "--json"])).unwrap()
}

#[test]
fn every_command_takes_a_scene_with_attachments() {
    let (folder, out) = attached("attached");
    assert!(fs::read(&out).unwrap().starts_with(b"PK\x03\x04"));
    let rose = demo("small-rose");
    for arguments in [&["report"][..], &["report", "--json"], &["variants", "--json"], &["check"]] {
        let of = |scene: &Path| {
            let mut all = vec![arguments[0], text(scene)];
            all.extend(&arguments[1..]);
            run(&all)
        };
        assert_eq!(of(&out), of(&rose), "{arguments:?}");
    }
    // The form is told by the content.
    let named_json = folder.join("rose.json");
    fs::copy(&out, &named_json).unwrap();
    assert!(run(&["check", text(&named_json)]).contains("no faults"));
}

#[test]
fn attachments_are_listed_and_extracted() {
    let (folder, out) = attached("extracted");
    let entries = listed(&out);
    let jpeg = entries.iter().find(|entry| entry["name"] == "north-wall.jpg").unwrap();
    assert_eq!(
        (&jpeg["kind"], &jpeg["media_type"], &jpeg["note"], jpeg["bytes"].as_u64()),
        (&"photograph".into(), &"image/jpeg".into(), &"from the yard".into(), Some(JPEG.len() as u64))
    );
    assert_eq!(jpeg["hash"].as_str().unwrap().len(), 64);
    let table = run(&["attachments", text(&out)]);
    for word in ["old blue.csv", "measured spectrum", "text/csv", "north-wall.jpg: from the yard"] {
        assert!(table.contains(word), "{word} in\n{table}");
    }
    // By name, whatever the hashes are.
    let third = folder.join("third.zip");
    let names = ["b middle.csv", "A first.csv", "c last.csv"].map(|name| folder.join(name));
    for (name, path) in ["wavelength_nm,transmittance\n400,0.5\n410,0.5\n", "x", "y"].iter().zip(&names) {
        fs::write(path, name).unwrap();
    }
    let files = names.each_ref().map(|path| text(path));
    let mut arguments = vec!["attach", text(&out), "--kind", "photograph", "--out", text(&third)];
    arguments.extend(files);
    run(&arguments);
    let hashed: Vec<_> =
        listed(&third).iter().map(|entry| entry["name"].as_str().unwrap().to_owned()).collect();
    let table = run(&["attachments", text(&third)]);
    let mut rows: Vec<_> = hashed.iter().map(|name| (table.find(name.as_str()).unwrap(), name)).collect();
    rows.sort();
    let named: Vec<_> = rows.iter().map(|(_, name)| name.to_lowercase()).collect();
    assert!(named.is_sorted(), "{table}");
    assert!(!hashed.iter().map(|name| name.to_lowercase()).is_sorted(), "{hashed:?}");
    let into = folder.join("new/files");
    let said = run(&["attachments", text(&out), "--extract", text(&into)]);
    assert!(said.contains("2 files written"), "{said}");
    assert_eq!(fs::read(into.join("north-wall.jpg")).unwrap(), JPEG);
    assert_eq!(fs::read(into.join("old blue.csv")).unwrap(), SPECTRUM);
    // Nothing that is there is replaced, and then nothing is written.
    fs::remove_file(into.join("north-wall.jpg")).unwrap();
    fs::write(into.join("old blue.csv"), "mine").unwrap();
    refused(&["attachments", text(&out), "--extract", text(&into)], "old blue.csv: expected no file there");
    assert_eq!(fs::read(into.join("old blue.csv")).unwrap(), b"mine");
    assert!(!into.join("north-wall.jpg").exists());
    let none = run(&["attachments", text(&demo("small-rose"))]);
    assert!(none.contains("no attachments"), "{none}");
}

#[test]
fn a_name_that_is_too_long_for_a_file_does_not_keep_the_others_back() {
    let (folder, out) = attached("long-name");
    let mut file = archive::read(&fs::read(&out).unwrap()).unwrap();
    let name = "語".repeat(190) + ".jpg";
    file.scene.attachments.values_mut().for_each(|one| one.name.clone_from(&name));
    fs::write(&out, archive::write(&file).unwrap()).unwrap();
    let into = folder.join("files");
    assert!(run(&["attachments", text(&out), "--extract", text(&into)]).contains("2 files written"));
    let mut contents: Vec<Vec<u8>> =
        fs::read_dir(&into).unwrap().map(|entry| fs::read(entry.unwrap().path()).unwrap()).collect();
    contents.sort();
    assert_eq!(contents, [SPECTRUM, JPEG]);
    assert!(listed(&out).iter().all(|entry| entry["name"] == name.as_str()), "the name is kept");
}

#[test]
fn an_attachment_is_removed_by_name_or_hash() {
    let (folder, out) = attached("detached");
    let one = folder.join("one.zip");
    run(&["detach", text(&out), "old blue.csv", "--out", text(&one)]);
    let entries = listed(&one);
    assert_eq!((entries.len(), &entries[0]["name"]), (1, &"north-wall.jpg".into()));
    let none = folder.join("none.json");
    let beginning = &entries[0]["hash"].as_str().unwrap()[..6];
    let said = run(&["detach", text(&one), beginning, "--out", text(&none)]);
    assert!(said.contains("0 attachments, written as JSON"), "{said}");
    assert!(fs::read_to_string(&none).unwrap().starts_with("{\n  \"clerestory\": 2,"));
    refused(&["detach", text(&out), "wall.jpg", "--out", text(&none)], "“old blue.csv”");
    refused(&["detach", text(&none), "wall.jpg", "--out", text(&none)], "this scene has none");
    // Two of one name are told apart by their hashes.
    let other = folder.join("other");
    fs::create_dir(&other).unwrap();
    fs::write(other.join("north-wall.jpg"), b"\xff\xd8\xff another").unwrap();
    let two = folder.join("two.zip");
    run(&[
        "attach",
        text(&one),
        text(&other.join("north-wall.jpg")),
        "--kind",
        "photograph",
        "--out",
        text(&two),
    ]);
    refused(&["detach", text(&two), "north-wall.jpg", "--out", text(&none)], "by the beginning of its hash");
    run(&["attachments", text(&two), "--extract", text(&folder.join("both"))]);
    assert!(folder.join("both/north-wall.jpg").exists() && folder.join("both/north-wall (2).jpg").exists());
}

#[test]
fn a_content_that_is_attached_already_is_described_anew() {
    let (folder, out) = attached("again");
    let [wall, copy] = ["wall.jpg", "wall-copy.jpg"].map(|name| folder.join(name));
    fs::write(&wall, JPEG).unwrap();
    fs::write(&copy, JPEG).unwrap();
    let attach = |more: &[&str]| {
        let mut all = vec!["attach", text(&out), "--kind", "photograph", "--out", text(&out)];
        all.extend(more);
        run(&all)
    };
    let of_jpeg = || {
        let entry = listed(&out).into_iter().find(|entry| entry["kind"] == "photograph").unwrap();
        (entry["name"].as_str().unwrap().to_owned(), entry["note"].as_str().map(str::to_owned))
    };
    // Neither a description nor a note goes without a word.
    let said = attach(&[text(&wall), text(&copy)]);
    assert!(said.contains("rose.zip: 2 attachments"), "{said}");
    for (before, after) in [("north-wall.jpg", "wall.jpg"), ("wall.jpg", "wall-copy.jpg")] {
        let line = format!(
            "“{before}”, photograph, has the same content as “{after}”, photograph, and is replaced by it\n"
        );
        assert!(said.contains(&line), "{line} in\n{said}");
    }
    assert_eq!(of_jpeg(), ("wall-copy.jpg".to_owned(), Some("from the yard".to_owned())));
    attach(&[text(&wall), "--note", "from the tower"]);
    assert_eq!(of_jpeg(), ("wall.jpg".to_owned(), Some("from the tower".to_owned())));
    attach(&[text(&wall), "--note", ""]);
    assert_eq!(of_jpeg(), ("wall.jpg".to_owned(), None));
}

#[test]
fn what_cannot_be_attached_is_named_and_nothing_is_written() {
    let (folder, _) = attached("not-attached");
    let (rose, out, empty) = (demo("small-rose"), folder.join("out.zip"), folder.join("empty.csv"));
    fs::write(&empty, "").unwrap();
    let attach = |file: &Path, words: &str| {
        refused(&["attach", text(&rose), text(file), "--kind", "photograph", "--out", text(&out)], words);
    };
    attach(&empty, "empty.csv: expected a file of 1 byte to 67.1 MB, found 0 bytes");
    attach(&folder.join("nowhere.jpg"), "nowhere.jpg");
    let large = folder.join("large.tif");
    fs::File::create(&large).unwrap().set_len((64 << 20) + 1).unwrap();
    attach(&large, "an attachment has at most 67.1 MB, this one 67.2 MB");
    assert!(!out.exists());
}

#[test]
fn a_note_that_no_scene_may_have_leaves_the_file_as_it_was() {
    let (folder, out) = attached("long-note");
    let (before, jpeg) = (fs::read(&out).unwrap(), folder.join("north-wall.jpg"));
    let attach = |note: &str| {
        ["attach", text(&out), text(&jpeg), "--kind", "photograph", "--note", note, "--out", text(&out)]
            .map(str::to_owned)
    };
    let too_long = attach(&"n".repeat(4001));
    refused(
        &too_long.each_ref().map(String::as_str),
        "expected a note of at most 4000 characters, found 4001",
    );
    assert_eq!(fs::read(&out).unwrap(), before);
    run(&attach(&"n".repeat(4000)).each_ref().map(String::as_str));
    assert_eq!(listed(&out).len(), 2);
}

#[test]
fn a_damaged_scene_file_is_refused() {
    let (folder, out) = attached("damaged");
    let mut bytes = fs::read(&out).unwrap();
    let at = bytes.windows(4).position(|window| window == b"JFIF").unwrap();
    bytes[at] ^= 1;
    let damaged = folder.join("damaged.zip");
    fs::write(&damaged, &bytes).unwrap();
    refused(&["report", text(&damaged)], "damaged.zip: 1 fault\n  attachments/");
    bytes.truncate(bytes.len() / 2);
    fs::write(&damaged, &bytes).unwrap();
    refused(&["check", text(&damaged)], "get the file again from where it came from");
}
