//! `report` and `day`: keys, unusual hours, wording.

use serde_json::{Value, json};

use crate::run::{DEMOS, Run, clerestory, clerestory_once, demo, folder, keys, list, near, number};

fn run_json(arguments: &[&str]) -> Value {
    json_of(&clerestory(arguments), arguments)
}

/// As [`run_json`], for reading a file that no test changes.
fn run_json_once(arguments: &[&str]) -> Value {
    json_of(clerestory_once(arguments), arguments)
}

fn json_of(run: &Run, arguments: &[&str]) -> Value {
    assert_eq!(run.code, Some(0), "{arguments:?}: {}", run.err);
    assert!(run.err.is_empty(), "{}", run.err);
    serde_json::from_str(&run.out).unwrap()
}

fn sorted(keys: &[&'static str]) -> Vec<&'static str> {
    let mut keys = keys.to_vec();
    keys.sort_unstable();
    keys
}

/// No number is −0.
fn check_zeros(value: &Value) {
    match value {
        Value::Number(n) => assert!(n.as_f64().is_none_or(|n| n != 0.0 || n.is_sign_positive())),
        Value::Array(items) => items.iter().for_each(check_zeros),
        Value::Object(map) => map.values().for_each(check_zeros),
        _ => {}
    }
}

/// The report's keys, nested; values are numbers, strings, or null if they may be undefined.
fn check_report(report: &Value) {
    check_zeros(report);
    let top = ["scene", "utc", "local", "sun", "outside", "viewing", "pieces", "warnings", "ranges"];
    assert_eq!(keys(report), sorted(&top));
    assert_eq!(keys(&report["sun"]), sorted(&["altitude_deg", "azimuth_deg", "incidence_deg"]));
    let outside = ["beam_normal_lx", "diffuse_horizontal_lx", "global_horizontal_lx", "vertical_on_glass_lx"];
    assert_eq!(keys(&report["outside"]), sorted(&outside));
    let viewing = &report["viewing"];
    assert_eq!(
        keys(viewing),
        sorted(&["vertical", "horizontal", "share_of_clear", "cast", "looks", "ra", "glare"])
    );
    let glare = ["dgp", "dgp_p05", "dgp_p95", "words", "sun_share", "sun_through"];
    assert_eq!(keys(&viewing["glare"]), sorted(&glare));
    for plane in ["vertical", "horizontal"] {
        let light = &viewing[plane];
        let figures = ["total_lx", "sky_ground_lx", "sun_lx", "room_lx", "uncertainty_lx"];
        assert_eq!(keys(light), sorted(&figures));
        assert!(figures.iter().all(|k| number(&light[k]) >= 0.0), "{light}");
        let parts: f64 = ["sky_ground_lx", "sun_lx", "room_lx"].iter().map(|k| number(&light[k])).sum();
        near(plane, parts, number(&light["total_lx"]), 1e-9 * parts);
        assert!(number(&light["uncertainty_lx"]) <= number(&light["total_lx"]));
    }
    let cast = [
        "x",
        "y",
        "u_prime",
        "v_prime",
        "cct_k",
        "duv",
        "dominant_nm",
        "excitation_purity",
        "shift_from_clear",
        "uncertainty_uv",
        "words",
    ];
    assert_eq!(keys(&viewing["cast"]), sorted(&cast));
    for key in cast {
        let value = &viewing["cast"][key];
        assert!(
            if key == "words" { value.is_string() } else { value.is_null() || value.is_number() },
            "{key}"
        );
    }
    assert_eq!(keys(&viewing["looks"]), sorted(&["white_cloth", "pale_stone", "dark_skin", "light_skin"]));
    for look in viewing["looks"].as_object().unwrap().values().filter(|v| !v.is_null()) {
        assert_eq!(keys(look), ["lab", "srgb"]);
        assert_eq!((list(look, "lab").len(), list(look, "srgb").len()), (3, 3));
    }
    assert!(!list(report, "pieces").is_empty());
    for piece in list(report, "pieces") {
        let figures = ["id", "glass", "light_area_mm2", "luminance_cd_m2", "x", "y", "transmittance_y"];
        assert_eq!(keys(piece), sorted(&figures));
        assert!(piece["id"].is_u64() && piece["glass"].is_string());
        assert!(number(&piece["light_area_mm2"]) > 0.0);
        assert!((0.0..=1.0).contains(&number(&piece["transmittance_y"])));
    }
    assert!(list(report, "warnings").iter().all(Value::is_string));
    if let Some(share) = viewing["share_of_clear"].as_f64() {
        assert!((0.0..1.2).contains(&share), "{share}");
    }
    let altitude = number(&report["sun"]["altitude_deg"]);
    assert!((-90.0..=90.0).contains(&altitude));
}

#[test]
fn every_demo_place_and_variant_reports_exactly_the_keys() {
    for name in DEMOS {
        let path = demo(name);
        let path = path.to_str().unwrap();
        let scene: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
        let plain = run_json_once(&["report", path, "--json"]);
        check_report(&plain);
        assert_eq!(plain["scene"], scene["name"]);
        assert!(number(&plain["viewing"]["vertical"]["total_lx"]) > 1.0);
        let pieces: usize = list(&scene, "windows").iter().map(|w| list(w, "pieces").len()).sum();
        assert_eq!(list(&plain, "pieces").len(), pieces);
        for place in list(&scene, "places") {
            check_report(&run_json(&["report", path, "--json", "--place", place["name"].as_str().unwrap()]));
        }
        for variant in list(&scene, "variants") {
            let changed =
                run_json(&["report", path, "--json", "--variant", variant["name"].as_str().unwrap()]);
            check_report(&changed);
            assert_ne!(changed["viewing"], plain["viewing"], "{variant}");
        }
    }
}

/// A demo scene at another place, written beside the tests.
fn moved(name: &str, latitude_deg: f64, longitude_deg: f64, zone: &str) -> String {
    let mut scene: Value =
        serde_json::from_str(&std::fs::read_to_string(demo("small-rose")).unwrap()).unwrap();
    scene["site"] = json!({"latitude_deg": latitude_deg, "longitude_deg": longitude_deg, "time_zone": zone});
    let path = folder(name).join("moved.json");
    std::fs::write(&path, scene.to_string()).unwrap();
    path.to_str().unwrap().to_owned()
}

fn total(report: &Value) -> f64 {
    number(&report["viewing"]["vertical"]["total_lx"])
}

#[test]
fn midnight_is_dark_and_says_so() {
    let path = demo("estuary-lancet");
    let report = run_json(&["report", path.to_str().unwrap(), "--json", "--at", "2026-12-21T00:00"]);
    check_report(&report);
    assert_eq!(report["utc"], "2026-12-21T00:00:00Z");
    assert!(number(&report["sun"]["altitude_deg"]) < -30.0 && report["sun"]["incidence_deg"].is_null());
    assert!(total(&report) < 0.1 && number(&report["outside"]["beam_normal_lx"]).abs() < 1e-12);
    assert!(report["warnings"].to_string().contains("night"), "{}", report["warnings"]);
    let words = clerestory(&["report", path.to_str().unwrap(), "--at", "2026-12-21T00:00"]);
    assert_eq!(words.code, Some(0));
    assert!(words.out.contains("Too dark to see colour") && !words.out.contains("NaN"), "{}", words.out);
}

#[test]
fn in_the_dark_the_words_do_not_speak_of_colour() {
    let path = demo("estuary-lancet");
    let path = path.to_str().unwrap();
    let text = clerestory(&["report", path, "--at", "2026-12-21T00:00"]).out;
    let cast = text.split("\nCast: ").nth(1).unwrap();
    assert!(cast.starts_with("Too dark to see colour\n  Nobody sees these colours"), "{text}");
    // The figures stay, for whoever computes with them.
    assert!(cast.contains("x, y") && cast.contains("– (too dark to see colour)"), "{text}");
    assert!(
        !text.contains("has no meaning for this light") && !text.contains("too strong a colour"),
        "{text}"
    );
    let noon = clerestory(&["report", path, "--at", "2026-06-21T12:00"]).out;
    assert!(!noon.contains("Nobody sees") && !noon.contains("too dark"), "{noon}");
}

#[test]
fn polar_day_and_night() {
    let path = moved("polar", 78.2, 15.6, "Arctic/Longyearbyen");
    let summer = run_json(&["report", &path, "--json", "--at", "2026-06-21T00:30"]);
    check_report(&summer);
    assert!(number(&summer["sun"]["altitude_deg"]) > 5.0 && total(&summer) > 1.0);
    let winter = run_json(&["report", &path, "--json", "--at", "2026-12-21T12:00"]);
    check_report(&winter);
    assert!(number(&winter["sun"]["altitude_deg"]) < -5.0);
    let day = run_json(&["day", &path, "--json", "--date", "2026-06-21"]);
    assert_eq!(day["polar"], "day");
    assert!(day["sunrise_utc"].is_null() && day["sunset_utc"].is_null());
    assert!(list(&day, "instants").iter().all(|i| number(&i["total_lx"]) > 0.5));
    let night = run_json(&["day", &path, "--json", "--date", "2026-12-21"]);
    assert_eq!(night["polar"], "night");
    let words = clerestory(&["day", &path, "--date", "2026-12-21"]);
    assert!(words.out.contains("The sun does not rise."), "{}", words.out);
    assert!(!words.out.contains('█'), "bars of nothing in {}", words.out);
    for (latitude, at) in [(90.0, "2026-06-21T12:00"), (-90.0, "2026-06-21T12:00"), (0.0, "2026-03-20T12:00")]
    {
        let path = moved("extremes", latitude, 0.0, "UTC");
        check_report(&run_json(&["report", &path, "--json", "--at", at]));
    }
}

#[test]
fn the_southern_sun_passes_north() {
    let path = moved("south", -41.3, 174.8, "Pacific/Auckland");
    let noon = run_json(&["report", &path, "--json", "--at", "2026-12-21T13:20"]);
    check_report(&noon);
    assert_eq!(noon["utc"], "2026-12-21T00:20:00Z");
    let azimuth = number(&noon["sun"]["azimuth_deg"]);
    assert!(!(10.0..=350.0).contains(&azimuth), "{azimuth}");
    near("altitude", number(&noon["sun"]["altitude_deg"]), 90.0 - 41.3 + 23.44, 0.5);
}

#[test]
fn clocks_that_change_are_named() {
    let path = demo("estuary-lancet");
    let path = path.to_str().unwrap();
    let gap = run_json(&["report", path, "--json", "--at", "2026-03-29T01:30"]);
    check_report(&gap);
    assert_eq!(gap["utc"], "2026-03-29T01:30:00Z");
    assert!(gap["local"].as_str().unwrap().starts_with("2026-03-29T02:30"), "{}", gap["local"]);
    let fold = run_json(&["report", path, "--json", "--at", "2026-10-25T01:30"]);
    check_report(&fold);
    assert_eq!(fold["utc"], "2026-10-25T00:30:00Z");
    let clear = run_json(&["report", path, "--json", "--at", "2026-10-24T01:30"]);
    let notes = |r: &Value| list(r, "warnings").len();
    assert_eq!(
        (notes(&gap), notes(&fold)),
        (notes(&clear) + 1, notes(&clear) + 1),
        "{} {}",
        gap["warnings"],
        fold["warnings"]
    );
}

#[test]
fn a_day_has_96_instants_that_agree_with_the_report() {
    let path = demo("small-rose");
    let path = path.to_str().unwrap();
    let day = run_json(&["day", path, "--json", "--date", "2026-10-14"]);
    let top = [
        "scene",
        "place",
        "date",
        "time_zone",
        "sunrise_utc",
        "sunrise_local",
        "sunset_utc",
        "sunset_local",
        "polar",
        "instants",
    ];
    assert_eq!(keys(&day), sorted(&top));
    let instants = list(&day, "instants");
    assert_eq!(instants.len(), 96);
    assert!(!day.to_string().contains("NaN"));
    for instant in instants {
        for key in ["utc", "local", "words"] {
            assert!(instant[key].is_string());
        }
        let parts: f64 = ["sky_ground_lx", "sun_lx", "room_lx"].iter().map(|k| number(&instant[k])).sum();
        near("parts", parts, number(&instant["total_lx"]), 1e-9 * parts);
    }
    // The same instant in the report: its time to the second, for instants halfway through their quarter hour.
    for k in [20, 37, 50, 70] {
        let instant = &instants[k];
        let local = instant["local"].as_str().unwrap();
        let report = run_json(&["report", path, "--json", "--at", local]);
        assert_eq!(report["utc"], instant["utc"]);
        near(local, number(&instant["total_lx"]), total(&report), 1e-9 * total(&report));
        assert_eq!(instant["words"], report["viewing"]["cast"]["words"]);
    }
    // The sun is up only between sunrise and sunset.
    let [rise, set] = ["sunrise_utc", "sunset_utc"].map(|k| day[k].as_str().unwrap().to_owned());
    for instant in instants {
        let utc = instant["utc"].as_str().unwrap();
        let up = utc > rise.as_str() && utc < set.as_str();
        let altitude = number(&instant["sun_altitude_deg"]);
        assert!(if up { altitude > -0.4 } else { altitude < 0.0 }, "{utc} {altitude}");
    }
}

#[test]
fn days_of_23_and_25_hours_have_all_their_steps() {
    let path = demo("north-corridor");
    let path = path.to_str().unwrap();
    for (date, steps) in [("2026-03-29", 23), ("2026-10-25", 25), ("2026-06-01", 24)] {
        let day = run_json(&["day", path, "--json", "--date", date, "--step-minutes", "60"]);
        assert_eq!(list(&day, "instants").len(), steps, "{date}");
    }
}

#[test]
fn tables_are_aligned_and_in_plain_words() {
    for name in DEMOS {
        let path = demo(name);
        let path = path.to_str().unwrap();
        let run = clerestory_once(&["report", path, "--pieces"]);
        assert_eq!(run.code, Some(0));
        for words in [
            "lx",
            "in nine cases of ten",
            "of what clear glass",
            "recipe",
            "A design aid, not proof of compliance",
            "Cast: ",
        ] {
            assert!(run.out.contains(words), "{name}: {words}\n{}", run.out);
        }
        assert_eq!(run.out.to_lowercase().matches("a design aid").count(), 1, "{}", run.out);
        assert!(!run.out.contains("NaN") && !run.out.contains("inf"), "{}", run.out);
        let day = clerestory_once(&["day", path]);
        assert_eq!(day.code, Some(0));
        assert!(day.out.contains("Sunrise ") && day.out.contains('█'), "{}", day.out);
        assert_eq!(day.out.lines().filter(|l| l.contains(" %  ")).count(), 96);
    }
}

#[test]
fn help_is_there_and_names_the_commands() {
    for arguments in
        [&["help"][..], &["--help"], &["help", "report"], &["report", "--help"], &["help", "calc"]]
    {
        let run = clerestory(arguments);
        assert_eq!(run.code, Some(0));
        assert!(run.out.contains("Usage: clerestory"), "{}", run.out);
    }
    let all = clerestory(&["help"]).out;
    assert!(["report", "day", "picture", "calc"].iter().all(|c| all.contains(c)), "{all}");
}

// The figures in front suit what the position is used for; those at the eye stay the same and stand beside them.
#[test]
fn a_desk_comes_first_and_the_eye_beside_it() {
    let path = demo(DEMOS[0]);
    let scene = path.to_str().unwrap();
    let mut value: Value = serde_json::from_str(&std::fs::read_to_string(scene).unwrap()).unwrap();
    value["clerestory"] = json!(4);
    value["places"][0]["working_plane"] = json!({ "kind": "desk", "height_m": 0.75 });
    let file = folder("desk").join("desk.json");
    std::fs::write(&file, value.to_string()).unwrap();
    let with_desk = file.to_str().unwrap();

    let (bare, report) =
        (run_json_once(&["report", scene, "--json"]), run_json(&["report", with_desk, "--json"]));
    let mut eye = report.clone();
    let desk = eye["viewing"].as_object_mut().unwrap().remove("working_plane").unwrap();
    // What is in front has the list of what it depends on, and the ± of its colour.
    assert!(eye["viewing"]["cast"]["uncertainty_uv"].is_null() && desk["cast"]["uncertainty_uv"].is_number());
    assert!(eye["ranges"]["everything"]["working_plane_lx"]["median"].is_number());
    for plane in ["vertical_lx", "horizontal_lx"] {
        // What is in front decides what of the window is followed most closely, by less than light is known.
        let [eye, bare] = [&eye, &bare].map(|report| &report["ranges"]["everything"][plane]);
        for (key, value) in eye.as_object().unwrap() {
            near(key, number(value), number(&bare[key]), 1e-5 * number(value));
        }
    }
    let mut bare_eye = bare.clone();
    for report in [&mut eye, &mut bare_eye] {
        report.as_object_mut().unwrap().remove("ranges");
        report["viewing"]["cast"].as_object_mut().unwrap().remove("uncertainty_uv");
    }
    assert_eq!(eye, bare_eye);
    let figures = ["kind", "height_m", "horizontal", "share_of_clear", "cast", "looks", "ra"];
    assert_eq!(keys(&desk), sorted(&figures));
    assert_eq!((&desk["kind"], number(&desk["height_m"])), (&json!("desk"), 0.75));
    let total = number(&desk["horizontal"]["total_lx"]);
    assert!(total > 0.0 && (total / number(&bare["viewing"]["horizontal"]["total_lx"]) - 1.0).abs() > 0.01);

    let text = clerestory(&["report", with_desk]).out;
    let rows: Vec<&str> = text.lines().skip_while(|line| !line.starts_with("Light ")).collect();
    assert_eq!(rows[0], "Light on the desk, 0.75 m above the floor");
    for (row, start) in
        rows[2..5].iter().zip(["on the desk", "at the eye, facing the", "at the eye, facing up"])
    {
        assert!(row.trim_start().starts_with(start), "{text}");
    }
    assert!(text.contains(&format!("Cast: {}", desk["cast"]["words"].as_str().unwrap())));

    // The day is the desk's.
    let date = report["local"].as_str().unwrap().get(..10).unwrap();
    let day = run_json(&["day", with_desk, "--date", date, "--json"]);
    assert_eq!(day["working_plane"], json!({ "kind": "desk", "height_m": 0.75 }));
    let utc = &report["utc"];
    let step = list(&day, "instants").iter().find(|step| step["utc"] == *utc).unwrap();
    near("desk in the day", number(&step["total_lx"]), total, 1e-9 * total);
    let text = clerestory(&["day", with_desk, "--date", date, "--step-minutes", "120"]).out;
    assert!(text.contains("Light on the desk, 0.75 m above the floor, facing up, lx"), "{text}");
}

#[test]
fn buildings_outside_are_named_with_what_was_assumed_of_them() {
    let mut scene: Value =
        serde_json::from_str(&std::fs::read_to_string(demo("north-corridor")).unwrap()).unwrap();
    scene["clerestory"] = json!(5);
    scene["horizon"]["own_building"] = json!({});
    scene["horizon"]["blocks"] = json!([
        { "distance_m": 20.0, "from_m": -30.0, "to_m": 60.0, "height_m": 15.0, "depth_m": 10.0 }
    ]);
    // The sun of a summer's morning stands behind it.
    (scene["at"], scene["sky"]) = (json!("2026-06-21T06:30"), json!({ "kind": "clear" }));
    scene["horizon"]["skyline"] = json!([]);
    let path = folder("buildings").join("scene.json");
    std::fs::write(&path, scene.to_string()).unwrap();
    let path = path.to_str().unwrap();
    let storey = number(&scene["room"]["height_m"]) + 1.0;
    let report = run_json(&["report", path, "--json"]);
    let own = &report["buildings"]["own_building"];
    near("own wall", number(&own["height_m"]), storey, 1e-9);
    assert_eq!(own["assumed"], true);
    assert_eq!(list(&report["buildings"], "blocks").len(), 1);
    let text = clerestory(&["report", path]).out;
    for line in [
        "Buildings outside",
        "m high, assumed from the room: one storey",
        "house or wall: 20.0 m away, 15.0 m high, from 30.0 m left to 60.0 m right",
        "0  lx, hidden by a building",
        "sun and sky, on open ground",
        "all, upright before the window",
    ] {
        assert!(text.contains(line), "{line} in {text}");
    }
    // The scene's own note says what else was assumed.
    assert!(text.contains(&format!("Note: {}", scene["note"].as_str().unwrap().trim())), "{text}");
}
