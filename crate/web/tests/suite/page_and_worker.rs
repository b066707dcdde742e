//! The page's document and the worker's figures, kept in agreement by edits.

use scene::Made;
use serde_json::{Value, json};
use viewing::Similarity;
use web::{Figures, SceneDocument};

use crate::demos::{DEMOS, ESTUARY};

fn section(document: &SceneDocument, window: &str, pieces: &str, at: &str) -> Value {
    parsed(&document.section(window, pieces, at).map_err(|_| "no section").unwrap())
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn every_demo_opens_and_each_piece_is_found_at_its_middle() {
    for text in DEMOS {
        let document = SceneDocument::open(text).unwrap();
        let overview = parsed(&document.overview());
        assert_eq!(overview["name"], parsed(text)["name"]);
        let outlines = parsed(&document.outlines());
        for (window, shapes) in
            overview["windows"].as_array().unwrap().iter().zip(outlines.as_array().unwrap())
        {
            for shape in shapes["pieces"].as_array().unwrap() {
                assert!(shape["path"].as_str().unwrap().ends_with('Z'), "{shape}");
                let [x, y] = [0, 1].map(|i| shape["centre_mm"][i].as_f64().unwrap());
                let found = document.piece_at(window["id"].as_str().unwrap(), x, y, "");
                assert_eq!(found.map(u64::from), shape["id"].as_u64());
            }
        }
    }
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn the_section_runs_from_outside_to_inside() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let window = parsed(&document.overview())["windows"][0]["id"].as_str().unwrap().to_owned();
    let edit = json!({ "edit": "set_makeup", "window": window, "piece": 1, "makeup": {
        "plates": [
            { "glass": "flashed-ruby", "thickness_mm": 3.0, "flash_left": 0.5 },
            { "glass": "clear-soda", "thickness_mm": 2.0 }
        ],
        "paint": [
            { "kind": { "stain": "gold" }, "face": "outside", "density": 0.4 },
            { "kind": "trace", "plate": 1, "density": 2.5, "coverage": 0.1 },
            { "kind": "matting", "plate": 1, "density": 0.3, "firing": 2 }
        ]
    } });
    document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    let glazing = json!({ "edit": "set_protective_glazing", "window": window,
                          "protective_glazing": { "thickness_mm": 6.0, "dirt": 0.08 } });
    document.make(&glazing.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    let section = section(&document, &window, "[1]", "");
    let names: Vec<&str> =
        section["layers"].as_array().unwrap().iter().map(|l| l["name"].as_str().unwrap()).collect();
    assert_eq!(
        names,
        [
            "Protective glazing",
            "air",
            "Silver stain, gold",
            "Flashed copper ruby on white",
            "Flash",
            "air",
            "Clear soda white",
            "Trace line",
            "Matting"
        ]
    );
    assert_eq!(section["makeup"]["paint"].as_array().unwrap().len(), 3);
    assert!(section["transmittance_y"].as_f64().unwrap() < 0.3);
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn edits_keep_document_and_figures_in_agreement_and_undo_restores_the_figures() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let mut figures = Figures::open(ESTUARY).unwrap();
    let at = document.resolved().scene.at.clone();
    let report = |figures: &mut Figures| parsed(&figures.report(&at, "").map_err(|_| "no report").unwrap());
    let first = report(&mut figures);
    let lux = |report: &Value| report["viewing"]["vertical"]["total_lx"].as_f64().unwrap();
    assert!(lux(&first) > 1.0);
    let window = document.resolved().windows[0].id.clone();
    let edits = [
        json!({ "edit": "set_makeup", "window": window, "piece": 40,
                "makeup": { "plates": [{ "glass": "midnight-cobalt", "thickness_mm": 6.0 }] } }),
        json!({ "edit": "together", "edits": [
            { "edit": "set_makeup", "window": window, "piece": 41,
              "makeup": { "plates": [{ "glass": "amber", "thickness_mm": 3.0 }] } },
            { "edit": "set_makeup", "window": window, "piece": 42,
              "makeup": { "plates": [{ "glass": "opal-sky", "thickness_mm": 3.0 }] } },
        ] }),
        json!({ "edit": "set_protective_glazing", "window": window,
                "protective_glazing": { "thickness_mm": 6.4, "dirt": 0.12 } }),
        json!({ "edit": "set_deposits", "window": window, "deposits": { "outside": { "loss": 0.1 } } }),
        json!({ "edit": "set_sky", "sky": { "kind": "overcast", "cloud": 1.0 } }),
        json!({ "edit": "set_ground", "ground": { "material": "snow" } }),
    ];
    for edit in &edits {
        let made = document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
        figures
            .follow(&serde_json::to_string(&made.edit).unwrap())
            .unwrap_or_else(|faults| panic!("{faults}"));
        let from_text = report(&mut Figures::open(&document.text()).unwrap());
        let in_step = report(&mut figures);
        let (a, b) = (lux(&in_step), lux(&from_text));
        assert!((a - b).abs() <= 1e-9 * b, "{edit}: {a} in step, {b} anew");
        assert_ne!(lux(&first).to_bits(), a.to_bits());
    }
    while let Some(Made { edit, .. }) = document.step(true).unwrap() {
        figures.follow(&serde_json::to_string(&edit).unwrap()).unwrap();
    }
    assert_eq!(parsed(&document.text()), parsed(&SceneDocument::open(ESTUARY).unwrap().text()));
    let back = report(&mut figures);
    assert!((lux(&back) - lux(&first)).abs() <= 1e-9 * lux(&first));
    assert!(document.step(false).unwrap().is_some());
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_day_has_its_quarters_and_its_sun() {
    let mut figures = Figures::open(ESTUARY).unwrap();
    let day = parsed(&figures.day("2026-09-22", "", 0, 1).map_err(|_| "no day").unwrap());
    let instants = day["instants"].as_array().unwrap();
    assert_eq!(instants.len(), 96);
    assert!(day["sunrise"].as_str().unwrap() < day["sunset"].as_str().unwrap());
    let lux = |i: usize| instants[i]["total_lx"].as_f64().unwrap();
    assert!(lux(0) < 0.1 && lux(50) > 5.0);
    let minutes: Vec<f64> = instants.iter().map(|i| i["minute"].as_f64().unwrap()).collect();
    assert!(minutes.windows(2).all(|pair| pair[0] < pair[1]));
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_broken_file_or_edit_changes_nothing() {
    assert!(SceneDocument::open("{\"clerestory\": 1}").is_err());
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let before = document.text();
    for edit in
        ["", "{}", r#"{"edit": "set_makeup", "window": "west", "piece": 1, "makeup": {"plates": []}}"#]
    {
        assert!(document.make(edit).is_err());
    }
    assert_eq!(document.text(), before);
    assert!(!document.can_undo());
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn the_page_gets_the_hour_in_one_form_whatever_form_the_file_has() {
    for (written, shown) in [
        ("2026-09-22T17:45", "2026-09-22T17:45"),
        ("2026-09-22 17:45:00", "2026-09-22T17:45"),
        ("20260922T17:45", "2026-09-22T17:45"),
        ("2026-09-22t17:00", "2026-09-22T17:00"),
        ("2026-09-22T17:45:30", "2026-09-22T17:45:30"),
    ] {
        let text = ESTUARY.replace("2026-09-22T17:45", written);
        let document = SceneDocument::open(&text).unwrap_or_else(|faults| panic!("{written}: {faults}"));
        assert_eq!(parsed(&document.overview())["at"], *shown, "{written}");
    }
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn similar_pieces_are_found_by_glass_and_by_colour() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let overview = parsed(&document.overview());
    let window = overview["windows"][0]["id"].as_str().unwrap().to_owned();
    let pieces = parsed(&document.outlines())[0]["pieces"].as_array().unwrap().clone();
    let glass_of = |id: u64| pieces.iter().find(|p| p["id"] == id).map(|p| p["glass"].clone());
    let glass = document.similar(&window, 1, Similarity::Glass);
    let named: Vec<u32> = pieces
        .iter()
        .filter(|p| Some(&p["glass"]) == glass_of(1).as_ref())
        .map(|p| p["id"].as_u64().unwrap() as u32)
        .collect();
    assert_eq!(glass, named);
    assert!(glass.len() > 1 && glass.len() < pieces.len(), "{glass:?}");

    // A larger tolerance includes all that a smaller one does, in the end everything.
    let colour =
        |document: &SceneDocument, delta_e| document.similar(&window, 1, Similarity::Colour { delta_e });
    let [exact, near, wide, all] = [0.0, 5.0, 30.0, 1e3].map(|delta_e| colour(&document, delta_e));
    assert!(exact.contains(&1));
    assert!(exact.iter().all(|id| near.contains(id)) && near.iter().all(|id| wide.contains(id)));
    assert!(near.len() < wide.len(), "{} and {}", near.len(), wide.len());
    assert_eq!(all.len(), pieces.len());

    // Paint changes the colour and not the glass.
    let edit = json!({ "edit": "set_makeup", "window": window, "piece": near[0], "makeup": {
        "plates": [{ "glass": "flashed-ruby", "thickness_mm": 3.0 }],
        "paint": [{ "kind": "matting", "density": 2.0 }]
    } });
    let other = near[near.len() - 1];
    assert_ne!(near[0], other);
    document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    assert!(!document.similar(&window, other, Similarity::Colour { delta_e: 5.0 }).contains(&near[0]));
    assert!(document.similar(&window, 4_000_000, Similarity::Glass).is_empty());
    assert!(document.similar("no such window", 1, Similarity::Glass).is_empty());
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn an_outline_selects_the_pieces_whose_middle_is_inside() {
    let document = SceneDocument::open(ESTUARY).unwrap();
    let overview = parsed(&document.overview());
    let found = &overview["windows"][0];
    let outlines = parsed(&document.outlines());
    let shapes = outlines[0]["pieces"].as_array().unwrap();
    let window = found["id"].as_str().unwrap();
    let [width, height] = ["width_mm", "height_mm"].map(|key| found[key].as_f64().unwrap());
    let whole = document.pieces_inside(window, &[0.0, 0.0, width, 0.0, width, height, 0.0, height]);
    assert_eq!(whole.len(), shapes.len());
    // The lower half: y runs down.
    let lower =
        document.pieces_inside(window, &[0.0, height / 2.0, width, height / 2.0, width, height, 0.0, height]);
    for shape in shapes {
        let id = shape["id"].as_u64().unwrap() as u32;
        assert_eq!(lower.contains(&id), shape["centre_mm"][1].as_f64().unwrap() > height / 2.0, "{shape}");
    }
    // A small loop that contains no middle selects the piece it lies on.
    let piece = &shapes[0];
    let [x, y] = [0, 1].map(|i| shapes[0]["centre_mm"][i].as_f64().unwrap());
    let small = document.pieces_inside(window, &[x + 0.5, y, x + 1.0, y, x + 1.0, y + 0.5]);
    assert_eq!(small, [piece["id"].as_u64().unwrap() as u32]);
    for nonsense in [&[][..], &[1.0], &[f64::NAN, 0.0, 1.0, 1.0, 2.0, 0.0]] {
        assert!(document.pieces_inside(window, nonsense).is_empty());
    }
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_section_of_several_pieces_shows_what_they_share_and_one_change_applies_to_all() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let window = document.resolved().windows[0].id.clone();
    let before = document.text();
    let paint = json!([{ "kind": "matting", "density": 0.3 }]);
    for (piece, glass, paint) in
        [(1, "amber", json!([])), (2, "amber", paint), (3, "flashed-ruby", json!([]))]
    {
        let plates = json!([{ "glass": glass, "thickness_mm": 3.0 }]);
        let edit = json!({ "edit": "set_makeup", "window": window, "piece": piece,
                           "makeup": { "plates": plates, "paint": paint } });
        document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    }
    let shared = section(&document, &window, "[1,2,3]", "");
    assert_eq!(shared["piece"], 3);
    let layers = shared["layers"].as_array().unwrap();
    let kinds: Vec<&str> = layers.iter().map(|l| l["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds, ["glass", "flash", "paint"]);
    assert_eq!(layers[0]["values"]["glass"], Value::Null);
    assert_eq!(layers[0]["values"]["thickness_mm"], 3.0);
    assert_eq!(layers[0]["swatches"].as_array().unwrap().len(), 2);
    assert_eq!(layers.iter().map(|l| l["in"].as_u64().unwrap()).collect::<Vec<_>>(), [3, 1, 1]);
    assert_eq!(section(&document, &window, "[1,2]", "")["layers"][0]["values"]["glass"], "amber");

    let change = json!({ "change": "thickness", "plate": 0, "thickness_mm": 4.0 });
    let changed = document.change(&window, "[1,2,3]", &change.to_string()).map_err(|_| "no change").unwrap();
    let changed = parsed(&changed.unwrap());
    assert_eq!(changed["pieces"], 3);
    assert_eq!(changed["layer"], layers[0]["key"]);
    document.make(&changed["edit"].to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(section(&document, &window, "[1,2,3]", "")["layers"][0]["values"]["thickness_mm"], 4.0);
    assert!(document.changed(&window, &[1, 9999], &change.to_string()).is_err());
    assert!(document.changed(&window, &[1], "{}").is_err());
    while document.step(true).unwrap().is_some() {}
    assert_eq!(document.text(), before);
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn swatches_depend_on_the_hour_and_the_thickness() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let window = document.resolved().windows[0].id.clone();
    let noon = document.glasses("2026-06-21T12:00", 3.0);
    assert_ne!(noon, document.glasses("2026-06-21T20:30", 3.0));
    assert_ne!(noon, document.glasses("2026-06-21T12:00", 6.0));
    assert_eq!(noon, document.glasses("2026-06-21T12:00", 3.0));
    let own = document.resolved().scene.at.clone();
    assert_eq!(document.glasses("", 3.0), document.glasses(&own, 3.0));
    let at = |at: &str| section(&document, &window, "[1]", at)["swatch"].clone();
    assert_ne!(at("2026-06-21T12:00"), at("2026-06-21T20:30"));
    // Another sky gives another light at the same hour.
    let sky = json!({ "edit": "set_sky", "sky": { "kind": "overcast", "cloud": 1.0 } });
    document.make(&sky.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_ne!(noon, document.glasses("2026-06-21T12:00", 3.0));
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_glass_is_replaced_everywhere_in_one_edit() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let with = |document: &SceneDocument, glass: &str| {
        document.pieces_with_glass(glass, None).map_err(|_| "no count").unwrap()
    };
    let (blue, amber) = (with(&document, "potash-blue"), with(&document, "amber"));
    assert!(blue > 1);
    let replaced = document.replace_glass("potash-blue", "amber", None).map_err(|_| "no edit").unwrap();
    let replaced = parsed(&replaced.unwrap());
    assert_eq!(replaced["pieces"], blue);
    document.make(&replaced["edit"].to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!((with(&document, "potash-blue"), with(&document, "amber")), (0, amber + blue));
    document.step(true).unwrap();
    assert_eq!((with(&document, "potash-blue"), with(&document, "amber")), (blue, amber));
}

// The size of an answer depends on the action, not on the window: at most 10 kB for one line.
#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn an_answer_contains_only_the_pieces_that_changed() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let answer = |document: &mut SceneDocument, edit: Value| {
        let made = document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
        let text = document.answer(&made);
        (text.len(), parsed(&text)["windows"].clone())
    };
    let room = &document.resolved().scene.room;
    let deeper = scene::Room { depth_m: room.depth_m + 1.0, ..room.clone() };
    let (_, windows) = answer(&mut document, json!({ "edit": "set_room", "room": deeper }));
    assert_eq!(windows, json!([]));
    let makeup = json!({ "plates": [{ "glass": "amber", "thickness_mm": 3.0 }] });
    let glaze = json!({ "edit": "set_makeup", "window": "west", "piece": 40, "makeup": makeup });
    let (_, windows) = answer(&mut document, glaze);
    assert_eq!(windows[0]["pieces"].as_array().unwrap().len(), 1);
    let line = document.resolved().scene.windows[0].drawing.cutlines[60].clone();
    let to = json!({ "path": line.path, "width_mm": line.width_mm + 0.5 });
    let wider = json!({ "edit": "set_line", "window": "west", "line": line.id, "to": to });
    let (length, windows) = answer(&mut document, wider);
    let changed = windows[0]["pieces"].as_array().unwrap().len();
    assert!((1..12).contains(&changed) && length < 10_000, "{changed} pieces, {length} bytes");
}
