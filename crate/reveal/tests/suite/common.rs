//! Shared by the tests: the file, and a case's opening and sky.

use plane::RoomVector;
use reveal::{GlassLight, OuterReveal, Outline, SkyAndGround};
use serde_json::Value;

/// tests/reference/reveal/reveal.json.
pub(crate) fn reference() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/reveal/reveal.json");
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    serde_json::from_str(&text).unwrap()
}

pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key}"))
}

pub(crate) fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} of {value}"))
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

pub(crate) fn sky(case: &Value) -> SkyAndGround {
    let sky = &case["sky"];
    let optional = |key: &str, otherwise: f64| sky[key].as_f64().unwrap_or(otherwise);
    SkyAndGround::new(
        number(sky, "cie_type") as u8,
        optional("sun_altitude_deg", 90.0),
        optional("sun_bearing_deg", 0.0),
        number(sky, "diffuse_horizontal_lx"),
        number(case, "ground_reflectance"),
    )
    .unwrap()
}

pub(crate) fn rectangle(width_m: f64, height_m: f64, depth_m: f64) -> OuterReveal {
    OuterReveal::new(Outline::rectangle(width_m, height_m).unwrap(), depth_m).unwrap()
}

pub(crate) fn mean(
    reveal: &OuterReveal,
    luminance: impl Fn(RoomVector) -> f64,
    reflectance: f64,
) -> GlassLight<f64> {
    let received = reveal.received(luminance);
    reveal.mean(&received, &reveal.exitance(&received, reflectance))
}

/// The largest relative error of one kind, with the place where it occurs.
pub(crate) struct Worst {
    kind: &'static str,
    tolerance: f64,
    error: f64,
    place: String,
}

impl Worst {
    pub(crate) fn of(kind: &'static str, tolerance: f64) -> Self {
        Self { kind, tolerance, error: 0.0, place: String::new() }
    }

    pub(crate) fn compare(&mut self, place: &str, found: f64, expected: f64) {
        let error = (found - expected).abs() / expected.abs().max(1e-12);
        if error > self.error || error.is_nan() {
            (self.error, self.place) = (error, format!("{place}: {found}, expected {expected}"));
        }
    }

    pub(crate) fn check(self) {
        let Self { kind, tolerance, error, place } = self;
        eprintln!("{kind}: {:.4} % at worst, {place}", 100.0 * error);
        assert!(error <= tolerance, "{kind}: {error} at {place}");
    }
}
