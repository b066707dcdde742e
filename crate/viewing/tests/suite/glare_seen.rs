//! Glare in reports, against sums over the window that share nothing with the prepared view.

use plane::RoomVector;
use serde_json::json;
use spectra::luminous;
use viewing::{GlareSource, Prepared, daylight_glare_probability, position_index};

use crate::scenes::{all_of, resolve, six_pieces};

/// A window between an even sky and ground nearly as bright, at the seat.
#[test]
fn a_bright_window_disturbs_as_the_formula_says() {
    let mut scene = six_pieces();
    all_of(&mut scene, "float-clear", 3.0);
    scene["windows"][0]["drawing"]["bars"] = json!([]);
    scene["ground"] = json!({ "grey": 0.98 });
    scene["sky"] = json!({
        "kind": "standard", "cie_type": 5, "spectrum": { "cct_k": 6500.0 }, "diffuse_horizontal_lx": 40_000.0,
    });
    let resolved = resolve(&scene);
    let prepared = Prepared::new(&resolved, Some("seat")).unwrap();
    let outside = resolved.outside(resolved.instant("2026-06-20T12:00").unwrap().utc).unwrap();
    let light = prepared.light(&outside);
    let vertical_lx = luminous(&light.vertical.total());
    let eye = [2.4, 1.2, 3.0];
    let mut sources = Vec::new();
    for (shape, seen) in prepared.wall().pieces.iter().zip(&light.pieces) {
        let luminance_cd_m2 = luminous(&seen.radiance.unwrap());
        assert!(
            luminance_cd_m2 > 5.0 * vertical_lx / std::f64::consts::PI,
            "{luminance_cd_m2} {vertical_lx}"
        );
        let [low, high] = plane::bounds(shape.light.iter().flatten()).unwrap();
        let ([x0, y0], [x1, y1]) = (low.to_array(), high.to_array());
        const EACH: u32 = 60;
        let step = [(x1 - x0) / f64::from(EACH), (y1 - y0) / f64::from(EACH)];
        for k in 0..EACH * EACH {
            let [x, y] =
                [x0 + (f64::from(k % EACH) + 0.5) * step[0], y0 + (f64::from(k / EACH) + 0.5) * step[1]];
            let to = RoomVector::new(x - eye[0], y - eye[1], -eye[2]);
            let solid_angle_sr = step[0] * step[1] * eye[2] / to.length().powi(3);
            sources.push(GlareSource {
                luminance_cd_m2,
                solid_angle_sr,
                position_index: position_index(to.unit()),
            });
        }
    }
    let expected = daylight_glare_probability(vertical_lx, &sources).unwrap();
    let glare = prepared.report(&resolved, &outside).unwrap().viewing.glare;
    assert!((glare.dgp.unwrap() - expected).abs() < 0.002, "{glare:?}, expected {expected}");
    assert_eq!((glare.sun_share, glare.sun_through), (0.0, Vec::new()));
    // A hundredth of that is too little light for the formula.
    scene["sky"]["diffuse_horizontal_lx"] = json!(400.0);
    let dim =
        viewing::report(&resolve(&scene), Some("2026-06-20T12:00"), Some("seat")).unwrap().viewing.glare;
    assert_eq!(dim.dgp, None);
    assert!(dim.words.contains("below 380 lx"), "{dim:?}");
}

#[test]
fn the_sun_in_the_eyes_cannot_be_borne() {
    let mut scene = six_pieces();
    let at = "2026-06-20T18:30";
    let resolved = resolve(&scene);
    let sun = resolved.outside(resolved.instant(at).unwrap().utc).unwrap().sun().direction();
    let toward = RoomVector::toward_sky(sun.azimuth_deg - 270.0, sun.altitude_deg).to_array();
    // Where the sun stands behind the middle of piece 3, whose glass is clear: 0.3 m left of the window's, 1.6 m up.
    let distance_m = 1.1;
    let away = distance_m / -toward[2];
    let [right_m, eye_height_m] = [-0.3 - away * toward[0], 1.55 - away * toward[1]];
    assert!((0.3..2.5).contains(&eye_height_m), "{eye_height_m}");
    scene["places"] = json!([{
        "name": "dazzled", "distance_m": distance_m, "right_m": right_m, "eye_height_m": eye_height_m,
    }]);
    let report = viewing::report(&resolve(&scene), Some(at), Some("dazzled")).unwrap();
    let glare = report.viewing.glare;
    assert_eq!(glare.sun_through, [3], "{glare:?}");
    assert!(glare.sun_share > 0.99 && glare.dgp.unwrap() > 0.9, "{glare:?}");
    assert_eq!(glare.words, "intolerable");
    let (low, high) = (glare.dgp_p05.unwrap(), glare.dgp_p95.unwrap());
    assert!(low <= glare.dgp.unwrap() && glare.dgp.unwrap() <= high, "{glare:?}");
}

// Half of the disc stands above a roof: half as much light, from a disc half as large and as bright as ever.
#[test]
fn a_roof_cuts_the_sun_in_the_eyes() {
    let mut scene = six_pieces();
    all_of(&mut scene, "float-clear", 3.0);
    let at = "2026-06-20T19:30";
    let outside = |scene: &serde_json::Value| {
        let resolved = resolve(scene);
        resolved.outside(resolved.instant(at).unwrap().utc).unwrap()
    };
    let report = |scene: &serde_json::Value| viewing::report(&resolve(scene), Some(at), Some("sun")).unwrap();
    let sun = outside(&scene).sun().direction();
    // On the line from the sun through a piece.
    let beside = (sun.azimuth_deg - 270.0).to_radians();
    let (back, middle) = (2.0, [0.3, 1.2]);
    scene["places"] = json!([{ "name": "sun", "distance_m": back,
        "right_m": middle[0] - back * beside.tan(),
        "eye_height_m": 0.9 + middle[1] - back * sun.altitude_deg.to_radians().tan() / beside.cos() }]);
    let free = report(&scene);
    assert!((free.viewing.glare.sun_share - 1.0).abs() < 1e-9, "{:?}", free.viewing.glare);
    scene["horizon"] = json!({ "skyline": [{ "bearing_deg": 0.0, "altitude_deg": sun.altitude_deg }] });
    let (half, disc) = (report(&scene), outside(&scene).sun_seen().disc);
    assert!((0.2..0.8).contains(&disc));
    assert!((half.viewing.glare.sun_share - disc).abs() < 1e-9, "{:?}", half.viewing.glare);
    let lit = half.viewing.vertical.sun_lx / free.viewing.vertical.sun_lx;
    assert!((lit - disc).abs() < 0.02, "{lit} of the light, {disc} of the disc");
    let caution = format!("sun: {:.0} % of its disc", 100.0 * disc);
    assert!(half.warnings.iter().any(|words| words.starts_with(&caution)), "{:?}", half.warnings);
}
