//! A damaged file gives the same content or an error: never another content, never a panic.

use archive::{Contents, SceneFile, read, write};
use proptest::prelude::{Strategy, any, prop_assert, proptest};
use proptest::sample::Index;

use crate::samples::scene_file;

/// A file small enough to damage in every byte.
fn small() -> (SceneFile, Vec<u8>) {
    let file = scene_file();
    let bytes = write(&file).unwrap();
    (file, bytes)
}

#[test]
fn any_flipped_byte_gives_the_same_content_or_an_error() {
    let (file, bytes) = small();
    let mut same = 0;
    for at in 0..bytes.len() {
        let mut damaged = bytes.clone();
        damaged[at] ^= 0xff;
        if let Ok(found) = read(&damaged) {
            assert!(found == file, "byte {at}");
            same += 1;
        }
    }
    // Times, permissions, and what the headers before the entries repeat of the list at the end.
    assert!(same < 400, "{same} of {} bytes mean nothing", bytes.len());
}

#[derive(Clone, Debug)]
enum Damage {
    Set(Index, u8),
    Cut(Index),
    Insert(Index, Vec<u8>),
    Remove(Index, usize),
    Swap(Index, Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    (0..5, any::<Index>(), any::<Index>(), any::<u8>(), proptest::collection::vec(any::<u8>(), 1..40))
        .prop_map(|(kind, at, to, byte, bytes)| match kind {
            0 => Damage::Set(at, byte),
            1 => Damage::Cut(at),
            2 => Damage::Insert(at, bytes),
            3 => Damage::Remove(at, usize::from(byte)),
            _ => Damage::Swap(at, to),
        })
}

fn damaged(mut bytes: Vec<u8>, damages: &[Damage]) -> Vec<u8> {
    for damage in damages {
        let length = bytes.len();
        if length == 0 {
            break;
        }
        match damage {
            Damage::Set(at, byte) => bytes[at.index(length)] = *byte,
            Damage::Cut(at) => bytes.truncate(at.index(length)),
            Damage::Insert(at, more) => {
                let at = at.index(length);
                bytes.splice(at..at, more.iter().copied());
            }
            Damage::Remove(at, count) => {
                let at = at.index(length);
                bytes.drain(at..(at + count).min(length));
            }
            Damage::Swap(at, to) => bytes.swap(at.index(length), to.index(length)),
        }
    }
    bytes
}

proptest! {
    #[test]
    fn any_damage_gives_the_same_content_or_an_error(damages in proptest::collection::vec(damage(), 1..4)) {
        let (file, bytes) = small();
        if let Ok(found) = read(&damaged(bytes, &damages)) {
            prop_assert!(found == file);
        }
    }

    #[test]
    fn any_bytes_are_refused(mut bytes in proptest::collection::vec(any::<u8>(), 0..300), zip in any::<bool>()) {
        if zip {
            bytes.splice(0..0, *b"PK\x03\x04");
        }
        prop_assert!(read(&bytes).is_err());
    }

    #[test]
    fn any_content_comes_back(contents in proptest::collection::vec(proptest::collection::vec(any::<u8>(), 1..3_000), 1..6)) {
        let mut file = SceneFile { contents: Contents::new(), ..scene_file() };
        let one = file.scene.attachments.values().next().unwrap().clone();
        file.scene.attachments.clear();
        for content in contents {
            let hash = archive::hash_of(&content);
            let attachment = scene::Attachment { bytes: content.len() as u64, ..one.clone() };
            file.scene.attachments.insert(hash, attachment);
            file.contents.insert(hash, content);
        }
        prop_assert!(read(&write(&file).unwrap()).unwrap() == file);
    }
}
