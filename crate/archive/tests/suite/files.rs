//! What is written is read back.

use archive::{Contents, SceneFile, hash_of, is_zip, pack, read, unpack, write};
use zip::CompressionMethod;

use crate::samples::{entries, photograph, plain_file, scene_file, spectrum, zip_of};

#[test]
fn a_scene_with_attachments_is_a_zip_and_reads_back() {
    let file = scene_file();
    let bytes = write(&file).unwrap();
    assert!(is_zip(&bytes));
    assert_eq!(read(&bytes).unwrap(), file);
    let unpacked = unpack(&bytes).unwrap();
    assert_eq!(unpacked.text, scene::write(&file.scene));
    assert_eq!(unpacked.contents, file.contents);
}

#[test]
fn a_scene_without_attachments_is_its_json() {
    let file = plain_file();
    let bytes = write(&file).unwrap();
    assert_eq!(String::from_utf8(bytes.clone()).unwrap(), scene::write(&file.scene));
    assert_eq!(read(&bytes).unwrap(), file);
    // Contents that nothing refers to do not make it a ZIP.
    let left_over = SceneFile { contents: scene_file().contents, ..file };
    assert_eq!(write(&left_over).unwrap(), bytes);
}

#[test]
fn the_same_scene_makes_the_same_bytes() {
    let file = scene_file();
    assert_eq!(write(&file).unwrap(), write(&file.clone()).unwrap());
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(write(&file).unwrap())).unwrap();
    let mut names = Vec::new();
    for index in 0..archive.len() {
        let entry = archive.by_index_raw(index).unwrap();
        assert_eq!(entry.last_modified().unwrap().year(), 1980);
        names.push(entry.name().unwrap().into_owned());
    }
    let mut sorted = names[1..].to_vec();
    sorted.sort();
    assert_eq!((names[0].as_str(), &names[1..]), ("scene.json", &sorted[..]));
}

#[test]
fn what_is_compressed_already_is_stored() {
    let bytes = write(&scene_file()).unwrap();
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut method =
        |content: &[u8]| archive.by_name(&format!("attachments/{}", hash_of(content))).unwrap().compression();
    assert_eq!(method(&photograph()), CompressionMethod::Stored);
    assert_eq!(method(&spectrum()), CompressionMethod::Deflated);
}

#[test]
fn a_zip_of_another_program_is_read() {
    let file = scene_file();
    let mut all = entries(&file);
    all.reverse();
    let mut all: Vec<(&str, &[u8])> =
        all.iter().map(|(name, content)| (name.as_str(), &content[..])).collect();
    all.insert(0, ("attachments/", b""));
    for method in [CompressionMethod::Stored, CompressionMethod::Deflated] {
        assert_eq!(read(&zip_of(&all, method)).unwrap(), file);
    }
    let plain = plain_file();
    let text = scene::write(&plain.scene);
    let zip = zip_of(&[("scene.json", text.as_bytes())], CompressionMethod::Deflated);
    assert_eq!(read(&zip).unwrap(), plain);
}

#[test]
fn the_form_is_told_by_the_first_bytes() {
    for (bytes, zip) in
        [(&b"PK\x03\x04"[..], true), (b"PK\x05\x06\0\0", true), (b"PK", false), (b"{}", false), (b"", false)]
    {
        assert_eq!(is_zip(bytes), zip);
    }
}

#[test]
fn nothing_is_packed_without_its_content() {
    let file = scene_file();
    let text = scene::write(&file.scene);
    let faults = pack(&text, &Contents::new()).unwrap_err();
    assert_eq!(faults.0.len(), 2);
    assert!(faults.0.iter().all(|fault| fault.path.starts_with("attachments.")), "{faults}");
    assert!(faults.to_string().contains("add the file again or remove the attachment"), "{faults}");
    let mut short = file.contents.clone();
    short.values_mut().for_each(|content| content.truncate(5));
    assert_eq!(pack(&text, &short).unwrap_err().0.len(), 2);
    let mut other = file.contents.clone();
    other.values_mut().for_each(|content| content[9] ^= 1);
    assert_eq!(pack(&text, &other).unwrap_err().0.len(), 2);
    assert!(pack("[]", &file.contents).is_err());
}
