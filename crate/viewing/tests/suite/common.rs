//! Shared by the reference tests: the files, the spectra in them, and independent simple panes and skies.
#![allow(dead_code, unreachable_pub)] // each test file uses its own part

use plane::{RoomPoint, RoomVector, WallPoint};
use serde_json::Value;
use spectra::{Observer, Spectrum, TristimulusWeights};
use viewing::{AngularOptics, Receiver, Reflectances, Surface};

/// A file of tests/reference/room.
pub fn reference(name: &str) -> Value {
    let path = format!("{}/../../tests/reference/room/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
    serde_json::from_str(&text).unwrap()
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key}"))
}

pub fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect()
}

pub fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

pub fn point(value: &Value) -> [f64; 3] {
    numbers(value).try_into().unwrap()
}

/// One spectrum of spectra.json.
pub fn spectrum(kind: &str, name: &str) -> Spectrum {
    Spectrum::from_slice(&numbers(&reference("spectra.json")[kind][name])).unwrap()
}

pub fn xyz(spectrum: &Spectrum) -> [f64; 3] {
    let c = TristimulusWeights::absolute(Observer::Cie1931).xyz(spectrum);

    [c.x, c.y, c.z]
}

pub fn u_v(c: [f64; 3]) -> [f64; 2] {
    let d = c[0] + 15.0 * c[1] + 3.0 * c[2];
    [4.0 * c[0] / d, 9.0 * c[1] / d]
}

/// Kind and rectangle of each piece of a window given by rows, columns and an order of kinds.
pub fn pieces(case: &Value, rows: usize, columns: usize, order: [usize; 3]) -> Vec<(String, Vec<WallPoint>)> {
    let w = numbers(&case["window_x0_x1_y0_y1"]);
    let kinds = list(case, "kinds");
    let mut out = Vec::new();
    for r in 0..rows {
        for c in 0..columns {
            let kind = &kinds[(order[0] * r + order[1] * c + order[2] * r * c) % kinds.len()];
            let x = |k: usize| w[0] + (w[1] - w[0]) * k as f64 / columns as f64;
            let y = |k: usize| w[2] + (w[3] - w[2]) * k as f64 / rows as f64;
            out.push((kind.as_str().unwrap().to_owned(), rectangle([x(c), x(c + 1)], [y(r), y(r + 1)])));
        }
    }
    out
}

/// The pieces of a case. `rows` of a case holds its results, so the grid's rows come from its name.
pub fn case_pieces(case: &Value) -> Vec<(String, Vec<WallPoint>)> {
    let order: Vec<usize> = numbers(&case["order_a_b_c"]).iter().map(|&v| v as usize).collect();
    let rows = match case["name"].as_str().unwrap() {
        "2x3" => 2,
        "8x12" => 8,
        name if name.starts_with("chapel") => 2,
        name if name.starts_with("nave") => 5,
        name => panic!("{name}"),
    };
    pieces(case, rows, case["cols"].as_u64().unwrap() as usize, [order[0], order[1], order[2]])
}

pub fn opening(case: &Value) -> Vec<WallPoint> {
    let w = numbers(&case["window_x0_x1_y0_y1"]);
    rectangle([w[0], w[1]], [w[2], w[3]])
}

/// A rectangle on the window wall by its limits, anticlockwise from the lower left.
pub fn rectangle(x: [f64; 2], y: [f64; 2]) -> Vec<WallPoint> {
    [[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]].map(WallPoint::from).to_vec()
}

pub fn receiver(point: [f64; 3], plane: &str) -> Receiver {
    let point = RoomPoint::from(point);
    if plane == "vertical" { Receiver::vertical(point) } else { Receiver::horizontal(point) }
}

pub fn reflectances(case: &Value, mut of: impl FnMut(&str) -> Spectrum) -> Reflectances {
    Surface::ALL.map(|s| of(case["surfaces"][s.name()].as_str().unwrap()))
}

// ---- panes: n = 1.52, incoherent, polarisations apart, given by their normal transmittance -------------------------

pub fn internal_from_normal(t: f64) -> f64 {
    let r: f64 = (0.52f64 / 2.52).powi(2);
    let q = (1.0 - r).powi(2);
    2.0 * t / (q + (q * q + 4.0 * r * r * t * t).sqrt())
}

pub fn pane_transmittance(cos_incidence: f64, internal: f64) -> f64 {
    let (n, c) = (1.52, cos_incidence);
    let inside = (1.0 - (1.0 - c * c) / (n * n)).sqrt();
    let a = internal.powf(1.0 / inside);
    let s = ((c - n * inside) / (c + n * inside)).powi(2);
    let p = ((n * c - inside) / (n * c + inside)).powi(2);
    0.5 * [s, p].iter().map(|r| (1.0 - r).powi(2) * a / (1.0 - (r * a).powi(2))).sum::<f64>()
}

pub fn pane(normal: &Spectrum) -> AngularOptics {
    let internal = normal.map(internal_from_normal);
    AngularOptics::from_regular(|angle| internal.map(|t| pane_transmittance(angle.to_radians().cos(), t)))
}

// ---- CIE general skies, closed form, independent of the daylight crate ---------------------------------------------

pub struct Sky {
    parameters: [f64; 5],
    sun: RoomVector,
    scale: f64,
    ground: f64,
}

impl Sky {
    /// From a case's `cie_type`, sun, horizontal illuminance and ground luminance.
    pub fn of(case: &Value) -> Self {
        let parameters = match case["cie_type"].as_u64().unwrap() {
            1 => [4.0, -0.70, 0.0, -1.0, 0.0],
            12 => [-1.0, -0.32, 10.0, -3.0, 0.45],
            other => panic!("type {other}"),
        };
        let sun = match case["sun_bearing_altitude_deg"].as_array() {
            Some(a) => RoomVector::toward_sky(a[0].as_f64().unwrap(), a[1].as_f64().unwrap()),
            None => RoomVector::new(0.0, 1.0, 0.0),
        };
        let mut sky = Self { parameters, sun, scale: 1.0, ground: number(&case["ground_luminance"]) };
        // Horizontal illuminance by midpoints in sin² of the altitude, where the weight is uniform.
        let (n, m) = (800, 360);
        let mut sum = 0.0;
        for i in 0..n {
            let altitude = ((i as f64 + 0.5) / n as f64).sqrt().asin().to_degrees();
            for k in 0..m {
                sum += sky.luminance(RoomVector::toward_sky(360.0 * (k as f64 + 0.5) / m as f64, altitude));
            }
        }
        sky.scale = number(&case["E_dh_lx"]) / (sum * std::f64::consts::PI / (n * m) as f64);
        sky
    }

    pub fn luminance(&self, d: RoomVector) -> f64 {
        if d[1] <= 0.0 {
            return self.ground;
        }
        let [a, b, c, e_d, e] = self.parameters;
        let cosine = d.dot(self.sun).clamp(-1.0, 1.0);
        let chi = cosine.acos();
        self.scale
            * (1.0 + a * (b / d[1].max(1e-9)).exp())
            * (1.0
                + c * ((e_d * chi).exp() - (e_d * std::f64::consts::FRAC_PI_2).exp())
                + e * cosine * cosine)
    }
}

pub fn check(what: &str, got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs(), "{what}: {got}, expected {want} within {relative}");
}
