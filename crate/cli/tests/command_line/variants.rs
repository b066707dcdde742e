//! Listing a scene's variants on the command line.

use serde_json::Value;

use crate::run::{clerestory, demo, folder};

#[test]
fn variants_are_listed_with_what_they_change() {
    let rose = demo("small-rose");
    let run = clerestory(&["variants".as_ref(), rose.as_os_str()]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(run.out.contains("Before the loss") && run.out.contains("of piece"), "{}", run.out);
    let run = clerestory(&["variants".as_ref(), rose.as_os_str(), "--json".as_ref()]);
    let list: Value = serde_json::from_str(&run.out).unwrap();
    let entries = list.as_array().unwrap();
    assert_eq!(entries.len(), 3);
    assert_eq!(entries[1]["name"], "Mid cobalt, thicker");
    assert_eq!(entries[1]["differences"], 1);
    // `--variant` accepts every name listed.
    for entry in entries {
        let name = entry["name"].as_str().unwrap();
        let run = clerestory(&["check".as_ref(), rose.as_os_str(), "--variant".as_ref(), name.as_ref()]);
        assert_eq!(run.code, Some(0), "{}", run.err);
        assert!(run.out.contains(&format!("variant \"{name}\"")), "{}", run.out);
    }
    let unknown = clerestory(&["check".as_ref(), rose.as_os_str(), "--variant".as_ref(), "none".as_ref()]);
    assert_eq!(unknown.code, Some(2));
    assert!(unknown.err.contains("“Before the loss”"), "{}", unknown.err);
}

#[test]
fn a_scene_without_variants_says_so() {
    let mut scene: Value =
        serde_json::from_str(&std::fs::read_to_string(demo("small-rose")).unwrap()).unwrap();
    scene["variants"] = Value::Array(Vec::new());
    let file = folder("no-variants").join("scene.json");
    std::fs::write(&file, scene.to_string()).unwrap();
    let run = clerestory(&["variants".as_ref(), file.as_os_str()]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(run.out.contains("no variants"), "{}", run.out);
}
