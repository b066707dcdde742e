//! Attachments: what a scene says of files that live outside it.

use proptest::prelude::{prop_assert, prop_assert_eq, proptest};
use scene::{
    Action, Attachment, AttachmentKind, ChangeSet, ContentHash, Edit, OpenScene, Scene, VariantAction, check,
    difference, plain_file_name, read, read_edit, resolve, with_variant, write,
};
use serde_json::{Value, json};

const TWO_PIECES: &str = include_str!("../two-pieces.json");

fn two_pieces() -> Scene {
    read(TWO_PIECES).unwrap_or_else(|faults| panic!("{faults}"))
}

fn hash(digit: char) -> ContentHash {
    digit.to_string().repeat(64).parse().unwrap()
}

fn photograph(name: &str) -> Attachment {
    Attachment {
        name: name.to_owned(),
        kind: AttachmentKind::Photograph,
        media_type: "image/jpeg".to_owned(),
        bytes: 2_400_000,
        note: String::new(),
    }
}

fn attach(digit: char, name: &str) -> Edit {
    Edit::SetAttachment { hash: hash(digit), attachment: Some(photograph(name)) }
}

fn detach(digit: char) -> Edit {
    Edit::SetAttachment { hash: hash(digit), attachment: None }
}

/// Faults of the sample with these attachments, as `path | expected | found`.
fn faults_with(attachments: Value) -> Vec<String> {
    let mut value: Value = serde_json::from_str(&write(&two_pieces())).unwrap();
    value["clerestory"] = json!(3);
    value["attachments"] = attachments;
    let Err(faults) = read(&value.to_string()) else { return Vec::new() };
    faults.0.into_iter().map(|f| format!("{} | {} | {}", f.path, f.expected, f.found)).collect()
}

#[test]
fn the_version_says_whether_a_program_must_know_attachments() {
    let mut scene = two_pieces();
    let without = write(&scene);
    assert!(without.starts_with("{\n  \"clerestory\": 2,") && !without.contains("attachments"));
    let inverse = attach('a', "north-wall.jpg").apply(&mut scene).unwrap();
    let with = write(&scene);
    assert!(with.starts_with("{\n  \"clerestory\": 3,"));
    assert_eq!(read(&with).unwrap(), scene);
    inverse.apply(&mut scene).unwrap();
    assert_eq!(write(&scene), without);
    // Files of both versions are what they say.
    let faults = read(&with.replacen("\"clerestory\": 3", "\"clerestory\": 2", 1)).unwrap_err();
    assert_eq!(faults.0[0].path, "clerestory");
    assert!(faults.0[0].expected.starts_with("3,"), "{faults}");
    assert_eq!(
        write(&read(&without.replacen("\"clerestory\": 2", "\"clerestory\": 3", 1)).unwrap()),
        without
    );
}

#[test]
fn journals_and_records_say_the_oldest_version_that_can_hold_them() {
    let version = |text: &str| serde_json::from_str::<Value>(text).unwrap()["clerestory"].clone();
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let named = open.make(Edit::SetName { name: "Other".to_owned() }).unwrap();
    assert_eq!((version(&named.action.write()), version(&open.record_text())), (json!(2), json!(2)));
    let attached = open.make(attach('a', "north-wall.jpg")).unwrap();
    assert_eq!((version(&attached.action.write()), version(&open.record_text())), (json!(3), json!(3)));
    // What was removed is in the history still.
    open.make(detach('a')).unwrap();
    assert_eq!((version(&write(open.file())), version(&open.record_text())), (json!(2), json!(3)));
    let again = OpenScene::from_record(&open.record_text()).unwrap();
    assert_eq!(again.file(), open.file());
    assert_eq!(Action::read(&attached.action.write()).unwrap(), attached.action);
}

#[test]
fn every_fault_of_an_attachment_has_its_path() {
    let h = "0".repeat(64);
    let of = |field: &str, value: Value| {
        let mut attachment = json!(photograph("wall.jpg"));
        attachment[field] = value;
        faults_with(json!({ h.clone(): attachment }))
    };
    assert_eq!(of("note", json!("from the yard")), [""; 0]);
    for (field, value, expected) in [
        ("name", json!("photos/wall.jpg"), "a plain file name"),
        ("name", json!("wall\u{202e}gpj.exe"), "a plain file name"),
        ("name", json!(""), "some text"),
        ("name", json!("x".repeat(201)), "at most 200 characters"),
        ("media_type", json!("a picture"), "a media type"),
        ("bytes", json!(0), "a number from 1 to 67108864"),
        ("bytes", json!(67_108_865), "a number from 1 to 67108864"),
        ("kind", json!("film"), "\"measured_spectrum\", \"thickness_map\" or \"photograph\""),
        ("author", json!("somebody"), "only the fields"),
    ] {
        let faults = of(field, value.clone());
        assert_eq!(faults.len(), 1, "{field}: {faults:?}");
        assert!(faults[0].starts_with(&format!("attachments.{h}.{field} | {expected}")), "{faults:?}");
    }
    for field in ["name", "media_type"] {
        let faults = of(field, json!("a\u{1b}[31m\n\u{202e}b"));
        assert!(faults[0].ends_with("| “a\u{fffd}[31m\u{fffd}\u{fffd}b”"), "{faults:?}");
    }
    let faults = faults_with(json!({ "wall.jpg": photograph("wall.jpg") }));
    assert!(faults[0].starts_with("attachments | only names that are the SHA-256"), "{faults:?}");
    assert_eq!(faults_with(json!({ "A".repeat(64): photograph("wall.jpg") })).len(), 1);
}

#[test]
fn number_and_size_are_limited() {
    let many = |count: usize, bytes: u64| {
        let one = Attachment { bytes, ..photograph("wall.jpg") };
        let all = (0..count).map(|i| (format!("{i:064x}"), json!(one)));
        faults_with(Value::Object(all.collect()))
    };
    assert_eq!(many(256, 1 << 20), [""; 0]);
    assert!(many(257, 1)[0].starts_with("attachments | at most 256 attachments | 257"));
    assert!(many(5, 64 << 20)[0].starts_with("attachments | attachments of at most 268.4 MB together"));
    let mut open = OpenScene::new(two_pieces()).unwrap();
    for digit in ['1', '2', '3', '4'] {
        let attachment = Some(Attachment { bytes: 64 << 20, ..photograph("wall.jpg") });
        open.make(Edit::SetAttachment { hash: hash(digit), attachment }).unwrap();
    }
    let before = open.file().clone();
    assert!(open.make(attach('5', "one-more.jpg")).is_err());
    assert_eq!(*open.file(), before);
}

#[test]
fn an_attachment_touches_neither_light_nor_picture() {
    let scene = two_pieces();
    let changes = ChangeSet::of(&attach('a', "north-wall.jpg"), &scene);
    assert!(!changes.is_empty());
    assert!(!changes.light() && !changes.outside() && !changes.glazing() && !changes.shapes());
    assert_eq!(changes.words(), "attach photograph “north-wall.jpg”");
    let mut resolved = resolve(&scene, None).unwrap();
    let applied = resolved.apply(attach('a', "north-wall.jpg")).unwrap();
    assert_eq!(applied.redrawn, []);
    assert!(ChangeSet::of(&attach('a', "north-wall.jpg"), &resolved.scene).is_empty());
    let described = ChangeSet::of(&attach('a', "wall from the north.jpg"), &resolved.scene);
    assert_eq!(described.words(), "details of photograph “wall from the north.jpg”");
    assert_eq!(ChangeSet::of(&detach('a'), &resolved.scene).words(), "remove photograph “north-wall.jpg”");
    let two = Edit::Together { edits: vec![attach('b', "b.jpg"), attach('c', "c.jpg")] };
    assert_eq!(ChangeSet::of(&two, &scene).words(), "attach 2 files");
}

#[test]
fn differences_and_undo_are_exact() {
    let from = two_pieces();
    let mut to = from.clone();
    for edit in [attach('a', "a.jpg"), attach('b', "b.jpg")] {
        edit.apply(&mut to).unwrap();
    }
    let mut other = from.clone();
    for edit in [attach('b', "other.jpg"), attach('c', "c.jpg")] {
        edit.apply(&mut other).unwrap();
    }
    for (from, to) in [(&from, &to), (&to, &other), (&other, &from), (&to, &to)] {
        let mut made = from.clone();
        let inverse = Edit::Together { edits: difference(from, to) }.apply(&mut made).unwrap();
        assert_eq!(made, *to);
        inverse.apply(&mut made).unwrap();
        assert_eq!(made, *from);
    }
    let text = serde_json::to_string(&attach('a', "a.jpg")).unwrap();
    assert_eq!(read_edit(&text).unwrap(), attach('a', "a.jpg"));
    assert!(read_edit(&text.replace("aaaa", "AAAA")).unwrap_err().0[0].path.ends_with("hash"));
}

#[test]
fn attachments_are_the_scenes_whatever_variant_is_shown() {
    let mut open = OpenScene::new(two_pieces()).unwrap();
    let name = open.file().variants[0].name.clone();
    open.act_on_variants(VariantAction::Show { name: Some(name.clone()) }).unwrap();
    let before = open.file().clone();
    let made = open.make(attach('a', "north-wall.jpg")).unwrap();
    assert!(!made.changes.variants && made.changes.attachments.len() == 1);
    assert_eq!(open.undo_words(), Some("attach photograph “north-wall.jpg”"));
    assert_eq!(open.file().variants, before.variants);
    for variant in [None, Some(name.as_str())] {
        assert_eq!(with_variant(open.file(), variant).unwrap().attachments, open.file().attachments);
    }
    let both =
        Edit::Together { edits: vec![attach('b', "b.jpg"), Edit::SetNote { note: "and more".into() }] };
    assert_eq!(open.make(both).unwrap_err().0[0].path, "attachments");
    // An action of its own, in the journal and back.
    let mut again = OpenScene::new(before.clone()).unwrap();
    again.act_on_variants(VariantAction::Show { name: Some(name.clone()) }).unwrap();
    again.replay(Action::read(&made.action.write()).unwrap()).unwrap();
    assert_eq!(again.file(), open.file());
    open.act_on_variants(VariantAction::MakeScene { name }).unwrap();
    assert_eq!(open.file().attachments.len(), 1);
    while open.step(true).unwrap().is_some() {}
    assert_eq!(*open.file(), before);
    while open.step(false).unwrap().is_some() {}
    assert_eq!(open.file().attachments.len(), 1);
    assert_eq!(check(open.file()), []);
}

#[test]
fn a_variant_holds_no_attachments() {
    let mut value: Value = serde_json::from_str(TWO_PIECES).unwrap();
    value["variants"][0]["edits"] = json!([{ "edit": "together", "edits": [attach('a', "a.jpg")] }]);
    let faults = read(&value.to_string()).unwrap_err();
    assert_eq!(faults.0.len(), 1, "{faults}");
    assert_eq!(faults.0[0].path, "variants[0].edits[0]");
    assert!(faults.0[0].expected.contains("no change of attachments"), "{faults}");
}

#[test]
fn a_name_that_ends_in_a_dot_once_shortened_stays_plain() {
    for name in ["a".repeat(199) + "." + &"b".repeat(50), "a".repeat(198) + "\u{a0}." + &"b".repeat(50)] {
        let plain = plain_file_name(&name);
        assert_eq!(plain_file_name(&plain), plain);
    }
}

proptest! {
    #[test]
    fn a_plain_name_is_its_own(
        head in "[aü語. \u{a0}/\"\u{61c}\u{1b}]{0,6}", filling in "[a語]", length in 0usize..230, tail in "[ab. \u{a0}]{0,30}",
    ) {
        let plain = plain_file_name(&(head + &filling.repeat(length) + &tail));
        prop_assert!((1..=200).contains(&plain.chars().count()), "{:?}", plain);
        prop_assert_eq!(plain_file_name(&plain), plain);
    }
}
