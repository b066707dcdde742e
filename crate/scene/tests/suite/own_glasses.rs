//! Glasses of the scene's own: what their spectra mean, how they are made, what is refused.

use scene::{Edit, OwnGlass, Scene, check, find_glass, read, resolve, write};
use serde_json::{Value, json};
use spectra::Spectrum;

fn two_pieces() -> Value {
    let path = format!("{}/tests/two-pieces.json", env!("CARGO_MANIFEST_DIR"));
    let mut scene: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    scene["clerestory"] = json!(5);
    scene["windows"][0]["drawing"]["cutlines"][0]["id"] = json!(1);
    scene
}

/// The scene with a glass of its own, as text.
fn with(glass: &Value) -> String {
    let mut scene = two_pieces();
    scene["glasses"] = json!({ "own": glass });
    scene.to_string()
}

fn scene_with(glass: &Value) -> Scene {
    read(&with(glass)).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The faults of the scene with such a glass.
fn faults(glass: &Value) -> Vec<String> {
    let Err(faults) = read(&with(glass)) else { return Vec::new() };
    faults.0.iter().map(|f| format!("{} | {} | {}", f.path, f.expected, f.found)).collect()
}

fn glass(colour: &Value) -> Value {
    json!({ "name": "Own", "family": "green", "provenance": "measured", "colour": colour })
}

fn samples(spectrum: &Spectrum) -> Value {
    json!(spectrum.samples().to_vec())
}

/// Absorbance per mm of a green glass.
fn green() -> glass::Absorbance {
    glass::Absorbance::per_mm(Spectrum::from_fn(|nm| 0.02 + ((nm - 530.0) / 200.0).powi(2)))
}

/// What an instrument reads of a sheet of that glass in air.
fn total(of: &glass::Absorbance, mm: f64, index: f64) -> Spectrum {
    glass::stack(&[glass::Layer { n: index, tau_internal: of.internal(mm) }], 0.0).unwrap().transmittance
}

fn worst(a: &Spectrum, b: &Spectrum) -> f64 {
    (*a - *b).map(f64::abs).max()
}

/// A total transmittance and the internal one of the same sheet give the same glass, whatever its index; pasted as the other
/// kind it would be 8 % off.
#[test]
fn total_and_internal_are_the_same_glass() {
    for index in [1.5, 1.52, 1.6] {
        let read_as = |kind: &str, spectrum: &Spectrum| {
            let mut own = glass(&json!({ kind: { "thickness_mm": 2.5, "samples": samples(spectrum) } }));
            own["index"] = json!(index);
            *find_glass(&scene_with(&own), "own").unwrap().base.spectrum()
        };
        let through = total(&green(), 2.5, index);
        assert!(worst(&read_as("total", &through), green().spectrum()) < 1e-12);
        assert!(worst(&read_as("internal", &green().internal(2.5)), green().spectrum()) < 1e-12);
        let wrong = read_as("internal", &through);
        assert!(wrong[30] - green().spectrum()[30] > 0.03 / 2.5, "as internal it is darker");
    }
}

#[test]
fn a_total_above_what_the_faces_let_through_is_refused_with_its_wavelength() {
    let mut through = total(&green(), 3.0, 1.52);
    through[4] = 0.97;
    let of = |kind: &str| glass(&json!({ kind: { "thickness_mm": 3.0, "samples": samples(&through) } }));
    let found = faults(&of("total"));
    assert_eq!(
        found,
        [
            "glasses.own.colour.total.samples[4] | at most 0.9183, what the two faces of a sheet of index 1.52 let \
          through; or give it as `internal`, if the reflections are already removed | 0.97 at 400 nm"
        ]
    );
    assert!(faults(&of("internal")).is_empty());
    // Nothing is guessed: the kind must be stated.
    let plain = glass(&json!({ "thickness_mm": 3.0, "samples": samples(&through) }));
    assert!(faults(&plain)[0].starts_with("glasses.own.colour"), "{:?}", faults(&plain));
}

/// A flash by its own internal transmittance, and by the total of a whole sheet beside that of its base.
#[test]
fn flashed() {
    let ruby = glass::Absorbance::per_mm(Spectrum::from_fn(|nm| if nm < 600.0 { 6.0 } else { 0.5 }));
    let base = total(&green(), 3.0, 1.52);
    let sheet = green().internal(3.0) * ruby.internal(0.2);
    let sheet = glass::stack(&[glass::Layer { n: 1.52, tau_internal: sheet }], 0.0).unwrap().transmittance;
    let own = |flash: Value| {
        let mut own = glass(&json!({ "total": { "thickness_mm": 3.0, "samples": samples(&base) } }));
        own["flash"] = flash;
        own
    };
    let layer = samples(&ruby.internal(0.2));
    for colour in [
        json!({ "internal": { "thickness_mm": 0.2, "samples": layer } }),
        json!({ "total": { "thickness_mm": 3.0, "samples": samples(&sheet) } }),
    ] {
        let scene = scene_with(&own(json!({ "thickness_mm": 0.2, "colour": colour })));
        let flash = find_glass(&scene, "own").unwrap().flash.unwrap();
        assert!(worst(flash.absorbance.spectrum(), ruby.spectrum()) < 1e-9, "{colour}");
        assert!((flash.thickness_mm - 0.2).abs() < 1e-12);
    }
    // Of a sheet that is paler than its own base there is no flash.
    let mut paler = sheet;
    paler[30] = base[30] * 1.05;
    let colour = json!({ "total": { "thickness_mm": 3.0, "samples": samples(&paler) } });
    let found = faults(&own(json!({ "thickness_mm": 0.2, "colour": colour })));
    assert!(
        found[0].starts_with("glasses.own.flash.colour.total.samples[30] | at most what a sheet of the base")
    );
    assert!(found[0].ends_with("% more at 530 nm"), "{found:?}");
}

#[test]
fn streaky_opalescent_and_textured() {
    let recipe = |amount: f64| json!({ "recipe": { "Co2+": amount } });
    let built = |more: Value| {
        let mut own = glass(&recipe(0.05));
        own.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        find_glass(&scene_with(&own), "own").unwrap()
    };
    let streaky = built(json!({ "streak": { "colour": recipe(0.2) } }));
    assert_eq!(streaky.kind, glass::Kind::Streaky);
    let streak = streaky.streak.unwrap();
    assert!((streak.absorbance.spectrum()[43] / streaky.base.spectrum()[43] - 4.0).abs() < 1e-9);
    assert_eq!((streak.mix_mean, streak.mix_sd), (0.5, glass::Streak::USUAL_SD));
    // The error of the second colour is its own.
    assert!(streaky.uncertainty.streak_per_mm[43] > 3.0 * streaky.uncertainty.base_per_mm[43]);
    let mixed = built(json!({ "streak": { "colour": recipe(0.2), "mix_mean": 0.2, "mix_sd": 0.1 } }));
    assert_eq!(mixed.streak.map(|s| (s.mix_mean, s.mix_sd)), Some((0.2, 0.1)));

    let milky =
        built(json!({ "diffuse_share": 0.6, "sheets": { "thickness_mm": 4.0, "plus_minus_mm": 0.3 } }));
    assert_eq!(milky.kind, glass::Kind::Opalescent);
    assert_eq!(milky.diffuse.site, glass::ScatterSite::Body { reference_mm: 4.0 });
    assert_eq!((milky.thickness.min_mm, milky.thickness.max_mm), (3.7, 4.3));
    let rolled = built(json!({ "diffuse_share": 0.3, "kind": "rolled" }));
    assert_eq!((rolled.kind, rolled.diffuse.site), (glass::Kind::Rolled, glass::ScatterSite::Surface));

    let mut own = glass(&recipe(0.05));
    own["kind"] = json!("clear");
    own["diffuse_share"] = json!(0.2);
    assert!(faults(&own)[0].starts_with("glasses.own.kind | a kind that scatters"), "{:?}", faults(&own));
    own["kind"] = json!("striped");
    assert!(faults(&own)[0].starts_with("glasses.own.kind | "), "{:?}", faults(&own));
    let mut own = glass(&recipe(0.05));
    own["streak"] = json!({ "colour": { "recipe": { "Xx": 1.0 } } });
    assert!(faults(&own)[0].contains("glasses.own.streak.colour.recipe"), "{:?}", faults(&own));
}

/// A streaky glass of the scene's own is the mean of T over its mixtures, like one of the library.
#[test]
fn a_piece_of_it_is_resolved_as_such() {
    let mut own = glass(&json!({ "recipe": { "Co2+": 0.01 } }));
    own["streak"] = json!({ "colour": { "recipe": { "Co2+": 0.3 } }, "mix_sd": 0.4 });
    let mut scene = two_pieces();
    scene["glasses"] = json!({ "own": own });
    scene["windows"][0]["pieces"][0]["makeup"] =
        json!({ "plates": [{ "glass": "own", "thickness_mm": 3.0 }] });
    let scene = read(&scene.to_string()).unwrap();
    assert!(check(&scene).is_empty());
    let resolved = resolve(&scene, None).unwrap();
    let piece = resolved.windows[0].pieces.iter().find(|p| p.id == 1).unwrap();
    let glass = find_glass(&scene, "own").unwrap();
    let expected = glass::stack(&[glass::Layer { n: 1.52, tau_internal: glass.internal(3.0) }], 0.0).unwrap();
    assert!(worst(&piece.makeup.optics(0.0).regular_transmittance, &expected.transmittance) < 1e-12);
}

#[test]
fn only_what_is_new_needs_the_newest_version() {
    let plain = glass(&json!({ "recipe": { "Co2+": 0.1 } }));
    assert_eq!(scene_with(&plain).clerestory, 2);
    let through = samples(&total(&green(), 3.0, 1.52));
    for (key, value) in [
        ("kind", json!("seedy")),
        ("sheets", json!({ "thickness_mm": 3.0, "plus_minus_mm": 1.0 })),
        ("streak", json!({ "colour": { "recipe": { "Co2+": 0.2 } } })),
        ("flash", json!({ "thickness_mm": 0.2, "colour": { "recipe": { "Cu2+": 0.2 } } })),
        ("colour", json!({ "total": { "thickness_mm": 3.0, "samples": through } })),
    ] {
        let mut own = plain.clone();
        own[key] = value;
        let scene = scene_with(&own);
        assert_eq!(scene.clerestory, 5, "{key}");
        assert_eq!(read(&write(&scene)).unwrap(), scene, "{key}");
        let older = write(&scene).replacen("\"clerestory\": 5", "\"clerestory\": 4", 1);
        let fault = &read(&older).unwrap_err().0[0];
        assert_eq!(fault.path, "clerestory");
        assert!(fault.expected.starts_with("5,") && fault.expected.contains("glasses.own"), "{fault}");
        // As an edit, too, and away again.
        let mut edited = read(&two_pieces().to_string()).unwrap();
        let made: OwnGlass = serde_json::from_value(own).unwrap();
        let inverse = Edit::SetGlass { id: "own".to_owned(), glass: Some(made) }.apply(&mut edited).unwrap();
        assert_eq!(edited.clerestory, 5, "{key}");
        inverse.apply(&mut edited).unwrap();
        assert_eq!(edited.clerestory, 2, "{key}");
    }
}
