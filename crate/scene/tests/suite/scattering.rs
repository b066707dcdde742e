//! How paint, glass and dirt scatter, as stated in the document.

use scene::{Change, Edit, Face, Layer, Lobe, PaintClass, Scene, change_pieces, read, resolve, write};
use serde_json::{Value, json};

fn value() -> Value {
    let path = format!("{}/tests/frozen/v5/scattering.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn scene() -> Scene {
    read(&value().to_string()).unwrap()
}

fn makeup(scene: &Scene, id: u32) -> glass::Makeup {
    let resolved = resolve(scene, None).unwrap();
    resolved.windows[0].pieces.iter().find(|piece| piece.id == id).unwrap().makeup.clone()
}

#[test]
fn what_is_stated_is_used_and_the_rest_is_usual() {
    let scene = scene();
    let own = makeup(&scene, 1).plates[0].glass.diffuse;
    assert_eq!((own.share, own.lobe), (0.8, glass::Lobe { share: 0.9, half_width_deg: 12.0 }));
    let painted = makeup(&scene, 2);
    let paint = &painted.paints[0];
    assert!((paint.diffuse_share - 0.45).abs() < 1e-12);
    assert_eq!(paint.lobe, glass::Lobe { share: 0.6, ..glass::Lobe::MATTING });
    assert_eq!(painted.deposits.outside.lobe, glass::Lobe { half_width_deg: 6.0, ..glass::Lobe::DIRT });
    let words = scene::scattering_in_words(&resolve(&scene, None).unwrap());
    assert!(words.iter().any(|line| line.starts_with("Rack 15, matted:") && line.contains("a lamp behind")));
    assert!(
        words.iter().any(|line| line.starts_with("matting: scatters 45 %") && line.contains("assumption"))
    );
    assert!(words.iter().any(|line| line.starts_with("dirt: scatters 10 %")), "{words:?}");
}

#[test]
fn without_them_older_versions_hold_the_scene() {
    let mut text = value();
    text["windows"][0].as_object_mut().unwrap().remove("deposits");
    text["windows"][0]["pieces"][0]["makeup"]["plates"][0]["glass"] = json!("matted-white");
    text["glasses"] = json!({});
    let stated = read(&text.to_string()).unwrap();
    assert!(write(&stated).contains("\"clerestory\": 5"));
    let paint = text["windows"][0]["pieces"][1]["makeup"]["paint"][0].as_object_mut().unwrap();
    paint.remove("scatters");
    paint.remove("lobe");
    assert!(write(&read(&text.to_string()).unwrap()).contains("\"clerestory\": 2"));
}

#[test]
fn older_versions_do_not_have_them() {
    for place in ["/windows/0/pieces/1/makeup/paint/0", "/glasses/rack-15"] {
        let mut text = value();
        text["clerestory"] = json!(4);
        text["windows"][0].as_object_mut().unwrap().remove("deposits");
        let glass = text.pointer_mut("/glasses/rack-15").unwrap().as_object_mut().unwrap();
        glass.remove("kind");
        if place != "/glasses/rack-15" {
            glass.remove("lobe");
        }
        let faults = read(&text.to_string()).unwrap_err().to_string();
        assert!(faults.contains("the first version that has"), "{faults}");
    }
}

#[test]
fn numbers_out_of_range_are_named() {
    for (field, bad) in [("share", 1.2), ("half_width_deg", 0.5), ("half_width_deg", 60.0)] {
        let mut text = value();
        text["windows"][0]["pieces"][1]["makeup"]["paint"][0]["lobe"] = json!({ field: bad });
        let faults = read(&text.to_string()).unwrap_err().to_string();
        assert!(faults.contains(&format!("paint[0].lobe.{field}")), "{faults}");
    }
}

#[test]
fn a_layer_gets_a_lobe_and_loses_it() {
    let mut scene = scene();
    let paint = Layer::Paint { plate: 0, face: Face::Inside, kind: PaintClass::Matting, nth: 0 };
    let mut set = |stated: Value| {
        let mut change = stated;
        change["change"] = json!("scattering");
        change["layer"] = json!(paint);
        let change: Change = serde_json::from_value(change).unwrap();
        let made = change_pieces(&scene, "west", &[2], &change).unwrap().unwrap();
        let Edit::SetMakeup { makeup, .. } = made.edit else { panic!("{:?}", made.edit) };
        scene.windows[0].pieces[1].makeup = makeup;
        scene.windows[0].pieces[1].makeup.paint[0].clone()
    };
    // What is not given stays.
    let found = set(json!({ "scatters": 0.5, "half_width_deg": 30.0 }));
    let wide = Lobe { share: Some(0.6), half_width_deg: Some(30.0), source: String::new() };
    assert_eq!((found.scatters, found.lobe.as_deref()), (Some(0.5), Some(&wide)));
    let found = set(json!({ "usual": true, "half_width_deg": 20.0 }));
    let narrow = Lobe { half_width_deg: Some(20.0), ..Lobe::default() };
    assert_eq!((found.scatters, found.lobe.as_deref()), (None, Some(&narrow)));
    assert_eq!(set(json!({ "usual": true })).lobe, None);
    let layer = json!({ "layer": "deposit", "face": "outside" });
    let change = json!({ "change": "scattering", "layer": layer, "forwards": 0.2 });
    let change: Change = serde_json::from_value(change).unwrap();
    let made = change_pieces(&scene, "west", &[1], &change).unwrap().unwrap();
    let Edit::SetMakeup { makeup, .. } = made.edit else { panic!("{:?}", made.edit) };
    assert_eq!(makeup.deposits.outside.unwrap().lobe.unwrap().share, Some(0.2));
}

#[test]
fn a_glass_of_the_scenes_own_changes_wherever_it_is() {
    let open = scene();
    let layer = json!({ "layer": "plate", "plate": 0 });
    let change = |scatters: f64| -> Change {
        let stated = json!({ "change": "scattering", "layer": layer, "scatters": scatters, "forwards": 0.5 });
        serde_json::from_value(stated).unwrap()
    };
    let made = change_pieces(&open, "west", &[1], &change(0.3)).unwrap().unwrap();
    let Edit::SetGlass { id, glass: Some(glass) } = made.edit else { panic!("{:?}", made.edit) };
    assert_eq!((id.as_str(), glass.diffuse_share, glass.lobe.unwrap().share), ("rack-15", 0.3, Some(0.5)));
    // The second piece is of glass of the library, which stays.
    assert_eq!(change_pieces(&open, "west", &[2], &change(0.3)).unwrap(), None);
}

#[test]
fn all_pieces_of_a_glass_count_and_unknown_ones_are_refused() {
    let mut text = value();
    // Another piece of the same glass, as the plate behind.
    let plates = text.pointer_mut("/windows/0/pieces/1/makeup/plates").unwrap().as_array_mut().unwrap();
    plates.insert(0, json!({ "glass": "rack-15", "thickness_mm": 3.0 }));
    text["windows"][0]["pieces"][1]["makeup"]["paint"][0]["plate"] = json!(1);
    let open = read(&text.to_string()).unwrap();
    let stated =
        json!({ "change": "scattering", "layer": { "layer": "plate", "plate": 0 }, "scatters": 0.3 });
    let change: Change = serde_json::from_value(stated).unwrap();
    assert_eq!(change_pieces(&open, "west", &[1], &change).unwrap().unwrap().pieces, 2);
    assert_eq!(change_pieces(&open, "west", &[2], &change).unwrap(), None);
    let refused = change_pieces(&open, "west", &[1, 77], &change).unwrap_err();
    assert!(refused.to_string().contains("77"), "{refused}");
    let clean = Change::DepositEverywhere { face: Face::Inside, deposit: None };
    assert!(change_pieces(&open, "west", &[77], &clean).is_err());
}
