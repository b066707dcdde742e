//! Windows from SVG files on the command line.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;

use crate::run::{Run, clerestory, demo, folder};

const WINDOW: &str = r#"<g fill="none" stroke="black" stroke-width="5"><rect id="outline" width="300" height="200"/>
    <g id="leads"><path d="M100 0V200"/><path d="M100 120H300"/><path d="M200 200V123"/></g></g>"#;

fn written(name: &str, size: &str, content: &str) -> PathBuf {
    let file = folder(name).join("window.svg");
    fs::write(&file, format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {size}>{content}</svg>"#)).unwrap();
    file
}

fn check(file: &std::path::Path, more: &[&str]) -> Run {
    let mut arguments = vec!["drawing".as_ref(), "check".as_ref(), file.as_os_str()];
    arguments.extend(more.iter().map(std::ffi::OsStr::new));
    clerestory(&arguments)
}

#[test]
fn check_lists_size_pieces_layers_and_places() {
    let file = written("drawing-check", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, WINDOW);
    let run = check(&file, &["--json"]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let found: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(
        (&found["width_mm"], &found["height_mm"], &found["unit"]),
        (&300.0.into(), &200.0.into(), &"mm".into())
    );
    assert_eq!(found["pieces"], 3);
    assert_eq!(found["areas_mm2"], serde_json::json!([20_000.0, 24_000.0, 16_000.0]));
    assert_eq!(
        found["layers"],
        serde_json::json!([{"name": "outline", "taken_as": "outline"}, {"name": "leads", "taken_as": "cutlines"}])
    );
    let faults = found["faults"].as_array().unwrap();
    assert_eq!((faults.len(), &faults[0]["kind"]), (1, &"near_miss".into()));
    assert_eq!(faults[0]["at_mm"], serde_json::json!([200.0, 77.0]));
    let words = check(&file, &[]);
    for word in ["300.0 by 200.0 mm, 3 pieces", "leads", "cutlines", "1 place to look at", "stops short"] {
        assert!(words.out.contains(word), "{word}: {}", words.out);
    }
    // Joined by a wider tolerance, there are four.
    let joined: Value = serde_json::from_str(&check(&file, &["--json", "--join-mm", "4"]).out).unwrap();
    assert_eq!((&joined["pieces"], &joined["faults"][0]["kind"]), (&4.into(), &"joined".into()));
    let role = check(&file, &["--json", "--layer", "leads=ignored"]);
    assert_eq!(serde_json::from_str::<Value>(&role.out).unwrap()["pieces"], 1);
    let unknown = check(&file, &["--layer", "lead=ignored"]);
    assert_eq!(unknown.code, Some(2));
    assert!(unknown.err.contains("outline, leads"), "{}", unknown.err);
}

#[test]
fn a_file_without_a_real_size_asks_for_it() {
    let file = written("drawing-width", r#"viewBox="0 0 300 200""#, WINDOW);
    let run = check(&file, &["--json"]);
    assert_eq!((run.code, run.out.as_str()), (Some(2), ""));
    assert!(run.err.contains("window.svg") && run.err.contains("--width-mm"), "{}", run.err);
    let told: Value = serde_json::from_str(&check(&file, &["--json", "--width-mm", "600"]).out).unwrap();
    assert_eq!(
        (&told["width_mm"], &told["height_mm"], &told["unit"]),
        (&600.0.into(), &400.0.into(), &"none".into())
    );
    let bad = check(&file, &["--width-mm", "0"]);
    assert!(bad.code == Some(2) && bad.err.contains("--width-mm: expected above 0"), "{}", bad.err);
}

#[test]
fn an_imported_drawing_is_a_scene_with_light() {
    let file = written("drawing-import", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, WINDOW);
    let scene = file.with_file_name("scene.json");
    let import = |more: &[&str]| {
        let mut arguments = vec![
            "drawing".as_ref(),
            "import".as_ref(),
            file.as_os_str(),
            "--out".as_ref(),
            scene.as_os_str(),
        ];
        arguments.extend(more.iter().map(std::ffi::OsStr::new));
        clerestory(&arguments)
    };
    let run = import(&[]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(
        run.out.contains("Assumed when this window was begun") && run.out.contains("scene.json: written"),
        "{}",
        run.out
    );
    let report = clerestory(&["report".as_ref(), scene.as_os_str(), "--json".as_ref()]);
    let light: Value = serde_json::from_str(&report.out).unwrap();
    assert_eq!(light["scene"], "window");
    assert!(light["viewing"]["vertical"]["total_lx"].as_f64().unwrap() > 1.0, "{}", report.out);
    assert_eq!(light["pieces"].as_array().unwrap().len(), 3);
    let south =
        ["--latitude", "-33.9", "--longitude", "18.4", "--time-zone", "Africa/Johannesburg", "--facing", "0"];
    assert_eq!(import(&[&south[..], &["--name", "Chapel"]].concat()).code, Some(0));
    let written: Value = serde_json::from_str(&fs::read_to_string(&scene).unwrap()).unwrap();
    assert_eq!((&written["name"], &written["site"]["latitude_deg"]), (&"Chapel".into(), &(-33.9).into()));
    assert!(!written["note"].as_str().unwrap().contains("place on Earth"));
    let half = import(&["--latitude", "50"]);
    assert!(half.code == Some(2) && half.err.contains("--longitude"), "{}", half.err);
    let nowhere = import(&[&south[..4], &["--time-zone", "Nowhere/Land"]].concat());
    assert!(nowhere.code == Some(2) && nowhere.err.contains("--time-zone: expected"), "{}", nowhere.err);
}

#[test]
fn an_open_edge_is_closed_and_said() {
    let open = r#"<g fill="none" stroke="black" stroke-width="5"><path d="M0 0H300M300 0V200M300 200H30M0 200V0"/>
        <path d="M100 0V200"/><path d="M100 120H300"/></g>"#;
    let file = written("drawing-open-edge", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, open);
    let run = check(&file, &["--json"]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let found: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(found["areas_mm2"], serde_json::json!([20_000.0, 24_000.0, 16_000.0]));
    let faults = found["faults"].as_array().unwrap();
    assert_eq!((faults.len(), &faults[0]["kind"]), (1, &"open_end".into()));
    assert_eq!(
        faults[0]["words"],
        "The window's edge was open by 30 mm here; it was closed by carrying its lines on until they meet."
    );
    // What has no third of its edge is no window.
    let missing = r#"<g fill="none" stroke="black"><path id="outline" d="M0 200V0H300V200"/><path d="M100 0V200"/></g>"#;
    let file = written("drawing-no-edge", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, missing);
    let run = check(&file, &[]);
    assert!(run.code == Some(2) && run.err.contains("open by 300 mm at 150, 0 mm"), "{}", run.err);
}

#[test]
fn what_holds_no_window_is_refused() {
    for (name, content, word) in [
        ("drawing-empty", "", "no layer holds"),
        ("drawing-open", r#"<path d="M0 0L9 9" stroke="black"/>"#, "do not enclose"),
        ("drawing-broken", "<g>", "not readable as SVG"),
    ] {
        let file = written(name, r#"width="300mm" viewBox="0 0 300 200""#, content);
        let run = check(&file, &[]);
        assert!(
            run.code == Some(2) && run.err.contains(word) && run.err.contains("window.svg"),
            "{}",
            run.err
        );
    }
    let picture = folder("drawing-binary").join("photo.jpg");
    fs::write(&picture, [0xff, 0xd8, 0xff, 0xe0]).unwrap();
    let run = check(&picture, &[]);
    assert!(run.code == Some(2) && run.err.contains("expected SVG, found a picture (JPEG)"), "{}", run.err);
    assert!(run.err.contains("trace it in a drawing program"), "{}", run.err);
}

#[test]
fn the_drawing_beside_each_demo_is_the_one_in_it() {
    for name in ["estuary-lancet", "north-corridor", "small-rose"] {
        let path = demo(name);
        let run = check(&path.with_extension("svg"), &["--json"]);
        assert_eq!(run.code, Some(0), "{name}: {}", run.err);
        let found: Value = serde_json::from_str(&run.out).unwrap();
        // Drawn by hand: some ends miss their line by a tenth of a millimetre.
        let faults = found["faults"].as_array().unwrap();
        assert!(faults.iter().all(|fault| fault["kind"] == "joined"), "{name}: {faults:?}");
        let scene = scene::read(&fs::read_to_string(&path).unwrap()).unwrap();
        let drawing = scene::panel_drawing(&scene.windows[0].drawing);
        let panel = panel::panel_from_drawing(&drawing, &panel::PanelOptions::default()).unwrap();
        let areas: Vec<f64> =
            found["areas_mm2"].as_array().unwrap().iter().map(|a| a.as_f64().unwrap()).collect();
        assert_eq!(areas.len(), panel.pieces.len(), "{name}");
        // Coordinates are written with three decimals in both.
        for (area, piece) in areas.iter().zip(&panel.pieces) {
            assert!((area - piece.area_mm2).abs() < 2.0, "{name}: {area}, {}", piece.area_mm2);
        }
    }
}

#[test]
fn a_window_from_measurements_is_a_scene_with_light() {
    let scene = folder("drawing-new").join("scene.json");
    let new = |more: &[&str]| {
        let mut arguments = vec!["drawing".as_ref(), "new".as_ref(), "--out".as_ref(), scene.as_os_str()];
        arguments.extend(more.iter().map(std::ffi::OsStr::new));
        clerestory(&arguments)
    };
    let run = new(&["--width-mm", "600", "--height-mm", "800", "--panes", "3", "4"]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert!(run.out.contains("600.0 by 800.0 mm, 12 pieces"), "{}", run.out);
    let report = clerestory(&["report".as_ref(), scene.as_os_str(), "--json".as_ref()]);
    let light: Value = serde_json::from_str(&report.out).unwrap();
    assert_eq!(light["pieces"].as_array().unwrap().len(), 12);
    for more in [
        &["--shape", "pointed", "--width-mm", "600", "--height-mm", "1500", "--quarries", "100", "150"][..],
        &["--shape", "round", "--width-mm", "900", "--border-mm", "60"],
        &[
            "--shape",
            "segmental",
            "--width-mm",
            "900",
            "--height-mm",
            "900",
            "--rise-mm",
            "150",
            "--bars-mm",
            "400",
        ],
        &[
            "--shape",
            "round-headed",
            "--width-mm",
            "700",
            "--height-mm",
            "1400",
            "--border-mm",
            "50",
            "--panes",
            "2",
            "6",
        ],
    ] {
        let run = new(more);
        assert_eq!(run.code, Some(0), "{more:?}: {}", run.err);
    }
    for (more, word) in [
        (&["--width-mm", "600"][..], "--height-mm"),
        (
            &["--shape", "round", "--width-mm", "600", "--height-mm", "5"],
            "--height-mm: a round opening has only --width-mm",
        ),
        (&["--width-mm", "600", "--height-mm", "600", "--rise-mm", "5"], "--rise-mm"),
        (&["--width-mm", "-5", "--height-mm", "600"], "--width-mm: expected 50 to 19999 mm, found -5 mm"),
        (
            &["--width-mm", "600", "--height-mm", "600", "--border-mm", "400"],
            "--border-mm: expected 14 to 200 mm",
        ),
    ] {
        let run = new(more);
        assert!(run.code == Some(2) && run.err.contains(word), "{more:?}: {}", run.err);
    }
}

#[test]
fn a_drawing_joined_by_a_wide_tolerance_is_a_scene() {
    let file = written("drawing-joined", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, WINDOW);
    let scene = file.with_file_name("scene.json");
    let run = clerestory(&[
        "drawing".as_ref(),
        "import".as_ref(),
        file.as_os_str(),
        "--join-mm".as_ref(),
        "4".as_ref(),
        "--out".as_ref(),
        scene.as_os_str(),
    ]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let report = clerestory(&["report".as_ref(), scene.as_os_str(), "--json".as_ref()]);
    assert_eq!(serde_json::from_str::<Value>(&report.out).unwrap()["pieces"].as_array().unwrap().len(), 4);
}

#[test]
fn open_ends_of_a_scene_are_listed_and_joined() {
    let file = written("drawing-join", r#"width="300mm" height="200mm" viewBox="0 0 300 200""#, WINDOW);
    let (scene, joined) = (file.with_file_name("window.json"), file.with_file_name("joined.json"));
    let run = |arguments: &[&std::ffi::OsStr]| clerestory(arguments);
    let made = run(&["drawing".as_ref(), "import".as_ref(), file.as_ref(), "--out".as_ref(), scene.as_ref()]);
    assert_eq!(made.code, Some(0), "{}", made.err);

    // The same as of the drawing, without what only a drawing has.
    let mut of_file: Value = serde_json::from_str(&check(&file, &["--json"]).out).unwrap();
    for key in ["layers", "assumed", "unit"] {
        of_file.as_object_mut().unwrap().remove(key);
    }
    let of_scene: Value = serde_json::from_str(&check(&scene, &["--json"]).out).unwrap();
    assert_eq!(of_scene, of_file);
    let words = check(&scene, &[]).out;
    assert!(words.contains("300.0 by 200.0 mm, 3 pieces") && words.contains("stops short 3 mm"), "{words}");

    let join = |within: &str, out: &std::path::Path| {
        run(&[
            "drawing".as_ref(),
            "join".as_ref(),
            scene.as_ref(),
            "--within-mm".as_ref(),
            within.as_ref(),
            "--out".as_ref(),
            out.as_ref(),
        ])
    };
    let done = join("3", &joined);
    assert_eq!(done.code, Some(0), "{}", done.err);
    assert!(
        done.out.contains("1 open end joined or trimmed, 0 left") && done.out.contains("Piece 4 is new"),
        "{}",
        done.out
    );
    let now: Value = serde_json::from_str(&check(&joined, &["--json"]).out).unwrap();
    assert_eq!((&now["pieces"], &now["faults"]), (&4.into(), &serde_json::json!([])));
    assert!(check(&joined, &[]).out.contains("Nothing to look at"));
    let short = join("2", &joined);
    assert!(short.out.contains("0 open ends joined or trimmed, 1 left"), "{}", short.out);

    // What does not fit is refused, and nothing is written.
    let unwritten = file.with_file_name("unwritten.json");
    assert_eq!((join("40", &unwritten).code, unwritten.exists()), (Some(2), false));
    let refused = check(&scene, &["--width-mm", "300"]);
    assert!(refused.code == Some(2) && refused.err.contains("--width-mm"), "{}", refused.err);
    let refused = check(&scene, &["--window", "nave"]);
    assert!(refused.code == Some(2) && refused.err.contains("expected one of"), "{}", refused.err);
    let refused = check(&file, &["--window", "nave"]);
    assert!(refused.code == Some(2) && refused.err.contains("--window"), "{}", refused.err);
}

#[test]
fn the_drawing_with_open_ends_beside_the_demos_is_mended() {
    let svg = demo("open-ends").with_extension("svg");
    let scene = folder("drawing-open-ends").join("ends.json");
    let out = scene.as_os_str();
    let made = clerestory(&["drawing".as_ref(), "import".as_ref(), svg.as_ref(), "--out".as_ref(), out]);
    assert_eq!(made.code, Some(0), "{}", made.err);
    assert!(check(&scene, &[]).out.contains("3 places to look at"), "{}", check(&scene, &[]).out);
    let whole = clerestory(&["check".as_ref(), out]);
    assert!(whole.code == Some(0) && whole.out.contains("no faults"), "{}", whole.err);
    assert!(whole.out.contains("3 places in its lines to look at"), "{}", whole.out);
    let mend = [
        "drawing".as_ref(),
        "join".as_ref(),
        out,
        "--within-mm".as_ref(),
        "10".as_ref(),
        "--out".as_ref(),
        out,
    ];
    let mended = clerestory(&mend);
    assert_eq!(mended.code, Some(0), "{}", mended.err);
    assert!(mended.out.contains("3 open ends joined or trimmed, 0 left"), "{}", mended.out);
    assert!(check(&scene, &[]).out.contains("Nothing to look at"));
    assert!(!clerestory(&["check".as_ref(), out]).out.contains("to look at"));
}
