//! What is no whole scene file is refused, with its place and what to do.

use archive::{MOST_FILE_BYTES, read, unpack};
use scene::FORMAT_VERSION;
use zip::CompressionMethod;

use crate::samples::{photograph, plain_file, scene_file, spectrum, zip_after, zip_of};

/// The faults, one a line.
fn refused(bytes: &[u8]) -> String {
    match read(bytes) {
        Ok(_) => panic!("it is read"),
        Err(faults) => faults.to_string(),
    }
}

fn hash(content: &[u8]) -> String {
    archive::hash_of(content).to_string()
}

#[test]
fn entries_are_the_scene_and_what_it_lists() {
    let (jpg, csv) = (hash(&photograph()), hash(&spectrum()));
    let index = |all: &[(String, Vec<u8>)], hash: &str| {
        all.iter().position(|(name, _)| name.ends_with(hash)).unwrap()
    };
    let missing = refused(&zip_after(|all| {
        all.remove(index(all, &jpg));
    }));
    assert_eq!(
        missing,
        format!("attachments/{jpg}: expected the content of “north-wall.jpg”, found no such entry")
    );
    let no_scene = refused(&zip_after(|all| {
        all.remove(0);
    }));
    assert!(no_scene.starts_with("scene.json: expected the scene, found no such entry"), "{no_scene}");
    let other = refused(&zip_after(|all| {
        let at = index(all, &csv);
        all[at].1 = b"380,0.5\n".to_vec();
    }));
    assert!(
        other.starts_with(&format!("attachments/{csv}: expected the 810 bytes of “old blue.csv”, found 8")),
        "{other}"
    );
    let swapped = refused(&zip_after(|all| {
        let at = index(all, &csv);
        all[at].1[0] = b'9';
    }));
    assert!(swapped.contains("which has this hash, found another content: the file is damaged"), "{swapped}");
    let longer = refused(&zip_after(|all| {
        let at = index(all, &csv);
        all[at].1.extend(b"790,0.1\n");
    }));
    assert!(longer.contains("expected at most 810 bytes, found more"), "{longer}");
    let unlisted = refused(&zip_after(|all| all.push((format!("attachments/{}", "0".repeat(64)), vec![1]))));
    assert!(unlisted.contains("only attachments that scene.json lists"), "{unlisted}");
}

#[test]
fn unknown_names_go_nowhere() {
    for name in [
        "../../evil.sh",
        "/etc/passwd",
        "notes.txt",
        "attachments/wall.jpg",
        "scene.json/x",
        "__MACOSX/",
        "C:\\x",
    ] {
        let said = refused(&zip_after(|all| all.push((name.to_owned(), b"x".to_vec()))));
        assert!(said.contains("only scene.json and attachments/"), "{name}: {said}");
        assert!(said.contains("remove what another program has put in"), "{name}: {said}");
    }
    let steering = refused(&zip_after(|all| all.push(("\u{1b}[31mred".to_owned(), vec![]))));
    assert!(!steering.contains('\u{1b}'), "{steering:?}");
    // What a scene calls its attachments is quoted before the scene is read.
    let name = "\u{1b}]0;x\u{7}\n\u{202e}\u{61c}".to_owned() + &"long ".repeat(1000);
    let mut file = scene_file();
    file.scene.attachments.values_mut().for_each(|one| one.name.clone_from(&name));
    let text = scene::write(&file.scene);
    let zip = zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated);
    for bytes in [text.as_bytes(), &zip] {
        let Err(faults) = read(bytes) else { panic!("it is read") };
        for fault in faults.0 {
            let said = fault.to_string();
            assert!(!said.contains(scene::is_steering) && said.len() < 1000, "{said:?}");
        }
    }
    let faults = archive::pack(&text, &archive::Contents::new()).unwrap_err();
    assert!(faults.0.iter().all(|fault| !fault.to_string().contains(scene::is_steering)), "{faults:?}");
}

#[test]
fn two_entries_of_one_name_are_refused() {
    let mut bytes = zip_after(|all| all.push(("scene.jso_".to_owned(), b"{}".to_vec())));
    let name = b"scene.jso_";
    while let Some(at) = bytes.windows(name.len()).position(|window| window == name) {
        bytes[at + name.len() - 1] = b'n';
    }
    assert!(refused(&bytes).contains("two of the same name"));
}

#[test]
fn a_file_cut_off_anywhere_is_refused() {
    let bytes = archive::write(&scene_file()).unwrap();
    for length in (0..bytes.len()).step_by(7).chain([bytes.len() - 1]) {
        assert!(read(&bytes[..length]).is_err(), "{length} of {}", bytes.len());
    }
    let said = refused(&bytes[..bytes.len() / 2]);
    assert!(said.contains("get the file again from where it came from"), "{said}");
}

#[test]
fn an_encrypted_entry_is_named() {
    let mut bytes = archive::write(&scene_file()).unwrap();
    // Bit 0 of the flags, in the headers before the entries and in the list at the end. Source: APPNOTE 6.3.10, 4.4.4.
    for (signature, flags) in [(b"PK\x03\x04", 6), (b"PK\x01\x02", 8)] {
        let at: Vec<usize> = (0..bytes.len() - 4).filter(|at| bytes[*at..].starts_with(signature)).collect();
        at.into_iter().for_each(|at| bytes[at + flags] |= 1);
    }
    let said = refused(&bytes);
    assert!(said.starts_with("scene.json: ") && said.contains("pack the file again without one"), "{said}");
}

#[test]
fn declared_sizes_are_not_trusted() {
    // A scene that lists one byte, and a content of 32 MiB under its hash.
    let mut file = scene_file();
    let (hash, _) = file.contents.pop_first().unwrap();
    let bomb = vec![0; 32 << 20];
    file.scene.attachments.retain(|listed, _| *listed == hash);
    file.scene.attachments.get_mut(&hash).unwrap().bytes = 1;
    let text = scene::write(&file.scene);
    let name = format!("attachments/{hash}");
    let zip = zip_of(&[("scene.json", text.as_bytes()), (&name, &bomb)], CompressionMethod::Deflated);
    assert!(zip.len() < 200_000);
    assert!(refused(&zip).contains("expected at most 1 byte, found more"));
    // A scene that unpacks to more than a scene may have.
    let zip = zip_of(&[("scene.json", &vec![b' '; scene::MOST_BYTES + 1])], CompressionMethod::Deflated);
    assert!(refused(&zip).starts_with("scene.json: expected at most"));
}

#[test]
fn number_and_total_are_limited() {
    let names: Vec<String> = (0..300).map(|i| format!("attachments/{i:064x}")).collect();
    let mut all: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b"x"[..])).collect();
    all.push(("scene.json", b"{}"));
    assert!(refused(&zip_of(&all, CompressionMethod::Stored)).contains("at most 258 entries, found 301"));
    let mut file = scene_file();
    let one = file.scene.attachments.values().next().unwrap().clone();
    for i in 0..5u8 {
        let attachment = scene::Attachment { bytes: 64 << 20, ..one.clone() };
        file.scene.attachments.insert(scene::ContentHash::from_sha256([i; 32]), attachment);
    }
    let text = scene::write(&file.scene);
    let said = refused(&zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated));
    assert!(said.contains("attachments of at most 268.4 MB together"), "{said}");
    // More attachments than there may be are counted, not looked for one by one.
    for i in 0..300u16 {
        let mut digest = [0; 32];
        digest[..2].copy_from_slice(&i.to_be_bytes());
        let attachment = scene::Attachment { bytes: 1, ..one.clone() };
        file.scene.attachments.insert(scene::ContentHash::from_sha256(digest), attachment);
    }
    let count = file.scene.attachments.len();
    let text = scene::write(&file.scene);
    let said = refused(&zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated));
    assert_eq!(said, format!("attachments: expected at most 256 attachments, found {count}"));
    while file.scene.attachments.len() > 256 {
        file.scene.attachments.pop_first();
    }
    file.scene.attachments.values_mut().for_each(|attachment| attachment.bytes = 1);
    let text = scene::write(&file.scene);
    let said = refused(&zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated));
    assert_eq!(said.lines().count(), 200, "no more faults than anyone reads");
    let long = usize::try_from(MOST_FILE_BYTES).unwrap() + 1;
    assert!(refused(&vec![0; long]).contains("a scene file of at most"));
}

#[test]
fn fields_that_come_twice_hide_no_attachment() {
    let text = scene::write(&scene_file().scene);
    // Of two fields of one name, the last counts.
    let twice = [
        text.replacen("\"attachments\":", "\"attachments\": {}, \"attachments\":", 1),
        text.replacen("\"name\": \"north-wall.jpg\"", "\"name\": \"a.jpg\", \"name\": \"north-wall.jpg\"", 1),
    ];
    for twice in twice {
        assert_ne!(twice, text);
        assert!(refused(twice.as_bytes()).starts_with("attachments: expected the ZIP"), "{twice}");
        let alone = zip_of(&[("scene.json", twice.as_bytes())], CompressionMethod::Deflated);
        assert!(refused(&alone).contains("expected the content of “north-wall.jpg”, found no such entry"));
        let whole = zip_after(|all| all[0].1 = twice.clone().into_bytes());
        assert_eq!(read(&whole).unwrap(), scene_file());
    }
}

#[test]
fn json_has_no_room_for_attachments() {
    let said = refused(scene::write(&scene_file().scene).as_bytes());
    assert!(said.starts_with("attachments: expected the ZIP that the scene was saved as"), "{said}");
    assert!(said.contains("“north-wall.jpg”") && said.contains("“old blue.csv”"), "{said}");
    assert!(refused(b"\xff\xfe{}").contains("a scene in JSON (UTF-8) or a ZIP"));
    // What else is wrong with a text, the scene's own reading says.
    assert!(refused(b"{\"clerestory\": 2,").contains("line 1"));
    assert!(refused(b"").contains("an empty file"));
}

#[test]
fn another_kind_of_file_is_named() {
    for (bytes, named) in [
        (
            &b"\xff\xd8\xff\xe0 and more"[..],
            "found a picture (JPEG), which is not read yet: trace it in a drawing program",
        ),
        (b"%PDF-1.7\n", "found a document (PDF), which is not read yet: trace it"),
        (b"\x1f\x8b\x08", "found a compressed file (gzip)"),
        (b"\xef\xbb\xbf<?xml version=\"1.0\"?>\n<!-- a window -->\n<svg/>", "found a drawing (SVG)"),
    ] {
        assert!(refused(bytes).contains(named), "{}", refused(bytes));
    }
    // A scene may speak of drawings.
    let text = "{\"clerestory\": 2, \"note\": \"<svg\"";
    assert!(!refused(text.as_bytes()).contains("drawing"));
}

#[test]
fn a_newer_version_is_not_called_damaged() {
    let text = format!("{{\"clerestory\": {}, \"attachments\": [1]}}", FORMAT_VERSION + 1);
    for bytes in
        [text.as_bytes().to_vec(), zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated)]
    {
        assert!(read(&bytes).unwrap_err().is_newer_version());
        assert_eq!(unpack(&bytes).unwrap().text, text);
    }
}

#[test]
fn faults_of_the_scene_are_the_scenes_own() {
    let text =
        scene::write(&plain_file().scene).replace("\"thickness_mm\": 3.0", "\"thickness_mm\": \"3 mm\"");
    let said = refused(&zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated));
    assert!(said.contains("windows[0].pieces[0].makeup.plates[0].thickness_mm: expected a number"), "{said}");
}
