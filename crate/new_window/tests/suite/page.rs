//! The JSON that the page sends and gets.

use new_window::{NO_WIDTH, WIDTH, check, drawing_widths, refuse_picture, scene};
use scene::Faults;
use serde_json::{Value, json};

/// The last lead stops 3 mm short.
const WINDOW: &str = r##"<g fill="none" stroke="black" stroke-width="5"><rect id="outline" width="300" height="200"/>
    <g id="leads"><path d="M100 0V200"/><path d="M100 120H300"/><path d="M200 200V123"/></g></g>
    <path d="M-3 50H303" fill="none" stroke="blue" stroke-width="9"/>"##;

fn svg(size: &str) -> String {
    format!(r#"<svg xmlns="http://www.w3.org/2000/svg" {size}>{WINDOW}</svg>"#)
}

pub(crate) fn in_mm() -> String {
    svg(r#"width="300mm" height="200mm" viewBox="0 0 300 200""#)
}

pub(crate) fn options(width_mm: Option<f64>, roles: &Value) -> String {
    json!({ "width_mm": width_mm, "roles": roles, "seen_from_outside": false }).to_string()
}

fn plain() -> String {
    options(None, &json!([]))
}

fn checked(svg: &str, options: &str) -> Value {
    serde_json::from_str(&check(svg, options).expect("a window")).expect("JSON")
}

fn only_fault(result: Result<String, Faults>) -> (String, String, String) {
    let faults = result.expect_err("a fault").0;
    assert_eq!(faults.len(), 1, "{faults:?}");
    (faults[0].path.clone(), faults[0].expected.clone(), faults[0].found.clone())
}

#[test]
fn a_drawing_is_shown_from_its_upper_left_corner() {
    let found = checked(&in_mm(), &plain());
    assert_eq!(
        (&found["width_mm"], &found["height_mm"], &found["pieces"]),
        (&json!(300.0), &json!(200.0), &json!(3))
    );
    // As in the file, whose y runs down as well.
    assert_eq!(found["cutlines"], "M 100 0 L 100 200 M 100 120 L 300 120 M 200 200 L 200 123");
    assert_eq!(found["bars"], "M -3 50 L 303 50");
    assert!(found["outline"].as_str().is_some_and(|path| path.starts_with('M') && path.ends_with('Z')));
    let near = &found["places"][0];
    assert_eq!((&near["kind"], &near["at_mm"]), (&json!("near_miss"), &json!([200.0, 123.0])));
    let layers = found["layers"].as_array().expect("layers");
    let taken: Vec<_> = layers.iter().map(|layer| layer["taken_as"].as_str().unwrap_or_default()).collect();
    assert_eq!(taken, ["outline", "cutlines", "bars"]);
}

#[test]
fn the_real_width_is_asked_for() {
    let unitless = svg(r#"viewBox="0 0 300 200""#);
    let (path, expected, found) = only_fault(check(&unitless, &plain()));
    assert_eq!((path.as_str(), found.as_str()), (WIDTH, NO_WIDTH));
    assert_eq!(expected, "the real width of the window");
    let (path, expected, found) = only_fault(check(&unitless, &options(Some(-3.0), &json!([]))));
    assert_eq!((path.as_str(), found.as_str()), (WIDTH, "-3 mm"));
    assert!(!expected.contains("--"), "{expected}");
    let told = checked(&unitless, &options(Some(600.0), &json!([])));
    assert_eq!((&told["width_mm"], &told["height_mm"]), (&json!(600.0), &json!(400.0)));
}

#[test]
fn every_width_in_the_range_of_a_drawing_is_accepted_and_none_beyond() {
    // 300 wide with a bar that ends 3 mm beyond the edge; and upright.
    let upright = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 320 720"><g fill="none" stroke="black"
        stroke-width="5"><rect id="outline" width="300" height="700"/><path id="leads" d="M100 0V700"/></g></svg>"##;
    let unitless = svg(r#"viewBox="0 0 300 200""#);
    // An edge of four lines, of which one may stop short: what they enclose is found on a larger sheet.
    let of_lines = |bottom: &str| {
        format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 420 320"><g fill="none" stroke="black"
            stroke-width="5"><path d="M0 0H400M400 0V300M400 300{bottom}M0 300V0M100 0V300"/></g></svg>"##
        )
    };
    let (four, open) = (of_lines("H0"), of_lines("H30"));
    for (text, wanted) in [
        (unitless.as_str(), [10.0, 19_801.0]),
        (upright, [10.0, 8_571.0]),
        (four.as_str(), [10.0, 20_000.0]),
        (open.as_str(), [10.0, 20_000.0]),
    ] {
        let range = drawing_widths(text, &plain()).expect("a range");
        assert_eq!(range, format!("[{},{}]", wanted[0], wanted[1]));
        let [least, most] = wanted;
        for width in [least, 600.0, most] {
            let found = checked(text, &options(Some(width), &json!([])));
            assert_eq!(found["width_range_mm"], json!(wanted), "{width}");
        }
        for width in [least - 0.1, most + 1.0, 1e9] {
            let (path, ..) = only_fault(check(text, &options(Some(width), &json!([]))));
            assert_eq!(path, WIDTH, "{width}");
        }
    }
    // A drawing whose own size is impossible has a range too.
    let vast = svg(r#"width="30000mm" height="20000mm" viewBox="0 0 300 200""#);
    assert_eq!(only_fault(check(&vast, &plain())).0, WIDTH);
    assert_eq!(drawing_widths(&vast, &plain()).expect("a range"), "[10,19801]");
    assert!(drawing_widths("a letter", &plain()).is_err());
}

#[test]
fn pictures_and_documents_are_refused_with_advice() {
    for (beginning, what) in [
        (&b"\xff\xd8\xff\xe0\0\x10JFIF"[..], "a picture (JPEG)"),
        (b"\x89PNG\r\n\x1a\n", "a picture (PNG)"),
        (b"%PDF-1.7\n", "a document (PDF)"),
    ] {
        let (_, expected, found) = only_fault(refuse_picture(beginning).map(|()| String::new()));
        assert_eq!(expected, "a drawing in SVG");
        assert!(found.starts_with(what) && found.contains("trace it in a drawing program"), "{found}");
    }
    assert!(refuse_picture(in_mm().as_bytes()).is_ok() && refuse_picture(b"").is_ok());
}

#[test]
fn layers_are_taken_as_told_at_any_width() {
    // The bar reaches beyond the edge, so that the name of its layer states a width that depends on the options.
    let unitless = svg(r#"viewBox="0 0 300 200""#);
    let found = checked(&unitless, &options(Some(600.0), &json!([])));
    let bars = &found["layers"][2];
    assert_eq!(bars["taken_as"], "bars");
    let roles = json!([{ "group": bars["groups"][0], "taken_as": "cutlines" }]);
    let told = checked(&unitless, &options(Some(600.0), &roles));
    assert_eq!((&told["bars"], &told["layers"][2]["taken_as"]), (&json!(""), &json!("cutlines")));
    assert!(told["pieces"].as_u64() > found["pieces"].as_u64());
}

#[test]
fn a_scene_is_made_and_can_be_built() {
    let start = json!({
        "name": "North aisle", "at": "2026-06-21T19:30", "facing_deg": 350.0, "sill_height_m": 1.2,
        "site": { "latitude_deg": -33.9, "longitude_deg": 18.4, "elevation_m": 20.0, "time_zone": "Africa/Johannesburg" },
    });
    let text = scene(&in_mm(), &plain(), &start.to_string()).expect("a scene");
    let made = scene::read(&text).expect("a scene file");
    let resolved = scene::resolve(&made, None).expect("a scene that can be built");
    assert_eq!((made.name.as_str(), made.room.facing_deg), ("North aisle", 350.0));
    assert_eq!((made.site.time_zone.as_str(), made.windows[0].sill_height_m), ("Africa/Johannesburg", 1.2));
    assert_eq!(resolved.windows[0].pieces.len(), 3);
    assert_eq!((made.places[0].working_plane, made.clerestory), (None, 5));
    let planes = &checked(&in_mm(), &plain())["usual"]["working_planes"];
    let mut for_desk = start.clone();
    for_desk["working_plane"] = planes[0].clone();
    let made_for_desk = scene::read(&scene(&in_mm(), &plain(), &for_desk.to_string()).expect("a scene"));
    let made_for_desk = made_for_desk.expect("a scene file");
    assert_eq!(json!(made_for_desk.places[0].working_plane), json!({ "kind": "desk", "height_m": 0.75 }));
    assert_eq!(made_for_desk.clerestory, 5);
    assert!(!made.note.contains("bearing") && made.note.contains("the room"), "{}", made.note);
    // One storey: the window's own building, which is assumed.
    let own = made.horizon.own_building.as_ref().expect("an own building");
    assert!(own.height_m.is_none() && made.note.contains("height of the building"));
    let buildings = resolved.horizon.buildings.as_ref().expect("a wall outside");
    assert!(buildings.site().own_height_m > made.room.height_m);
}

#[test]
fn what_is_not_given_is_what_the_page_was_told() {
    let start =
        json!({ "name": "Aisle", "at": null, "site": null, "facing_deg": null, "sill_height_m": null });
    let made =
        scene::read(&scene(&in_mm(), &plain(), &start.to_string()).expect("a scene")).expect("a scene file");
    let usual = &checked(&in_mm(), &plain())["usual"];
    assert_eq!(json!(made.site), usual["site"]);
    assert_eq!(json!(made.room.facing_deg), usual["facing_deg"]);
    assert_eq!(json!(made.windows[0].sill_height_m), usual["sill_height_m"]);
    for word in ["place on Earth", "bearing", "sill"] {
        assert!(made.note.contains(word), "{}", made.note);
    }
}

#[test]
fn what_is_refused_says_why() {
    let nested = format!("{}{}", "<g>".repeat(5000), "</g>".repeat(5000));
    let bomb: String = (1..12)
        .map(|k| format!(r##"<g id="n{k}">{}</g>"##, format!(r##"<use href="#n{}"/>"##, k - 1).repeat(10)))
        .collect();
    for (text, word) in [
        ("a letter", "SVG"),
        ("<html/>", "html"),
        (r#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"/>"#, "closed line"),
        (
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="600mm" viewBox="0 0 400 600"><g fill="none" stroke="black"><path id="outline" d="M0 600V0H400V600"/><path id="leads" d="M200 0V600"/></g></svg>"#,
            "open by 400 mm at 200, 0 mm",
        ),
        (&format!(r#"<svg xmlns="http://www.w3.org/2000/svg">{nested}</svg>"#), "at most"),
        (
            &format!(
                r##"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><g id="n0"><path d="M0 0H9" stroke="red"/></g>{bomb}</svg>"##
            ),
            "at most",
        ),
    ] {
        let (_, expected, found) = only_fault(check(text, &plain()));
        assert!(format!("{expected} {found}").contains(word), "{word}: {expected}, {found}");
    }
    assert_eq!(only_fault(check(&in_mm(), "{}")).0, "options");
    let (path, _, found) = only_fault(scene(
        &in_mm(),
        &plain(),
        &json!({ "name": "x", "at": "noon", "site": null, "facing_deg": null, "sill_height_m": null })
            .to_string(),
    ));
    assert_eq!((path.as_str(), found.as_str()), ("at", "“noon”"));
}
