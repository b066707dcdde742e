//! Runs the built command and reads reference data for the tests.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};
use std::sync::{Mutex, OnceLock};

use serde_json::{Value, json};

/// The output of a run.
pub(crate) struct Run {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs `clerestory` with arguments.
pub(crate) fn clerestory<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> Run {
    let Output { status, stdout, stderr } =
        Command::new(env!("CARGO_BIN_EXE_clerestory")).args(arguments).stdin(Stdio::null()).output().unwrap();
    Run {
        code: status.code(),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    }
}

/// As [`clerestory`], for reading a file that no test changes: several tests look at the same output, which is made once.
pub(crate) fn clerestory_once<S: AsRef<str>>(arguments: &[S]) -> &'static Run {
    static RUNS: Mutex<BTreeMap<Vec<String>, &'static OnceLock<Run>>> = Mutex::new(BTreeMap::new());
    let arguments: Vec<String> = arguments.iter().map(|argument| argument.as_ref().to_owned()).collect();
    // Kept until the program ends. The lock is for finding it, not for running.
    let run = *RUNS.lock().unwrap().entry(arguments.clone()).or_insert_with(|| Box::leak(Box::default()));
    run.get_or_init(|| clerestory(&arguments))
}

/// Feeds bytes to `clerestory calc` and returns its output.
pub(crate) fn calc_bytes(input: Vec<u8>) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_clerestory"))
        .arg("calc")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let writer = std::thread::spawn(move || stdin.write_all(&input).unwrap());
    let output = child.wait_with_output().unwrap();
    writer.join().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Calculations through one process, one answer each.
pub(crate) fn calc(lines: &[Value]) -> Vec<Value> {
    let input: String = lines.iter().map(|line| line.to_string() + "\n").collect();
    let answers: Vec<Value> =
        calc_bytes(input.into_bytes()).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(answers.len(), lines.len());
    answers
}

/// Calculations that must not be refused.
pub(crate) fn answers(lines: &[Value]) -> Vec<Value> {
    let answers = calc(lines);
    for (line, answer) in lines.iter().zip(&answers) {
        assert!(answer.get("error").is_none(), "{answer} to {line}");
    }
    answers
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A demo scene's path.
pub(crate) fn demo(name: &str) -> PathBuf {
    root().join("demo-scenes").join(name.to_owned() + ".json")
}

/// The three demo scenes.
pub(crate) const DEMOS: [&str; 3] = ["estuary-lancet", "north-corridor", "small-rose"];

/// A folder for one test.
pub(crate) fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn reference(name: &str) -> String {
    let path = root().join("tests/reference").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// A JSON file of tests/reference.
pub(crate) fn json_file(name: &str) -> Value {
    serde_json::from_str(&reference(name)).unwrap()
}

/// A CSV file of tests/reference.
pub(crate) struct Csv {
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Csv {
    pub(crate) fn read(name: &str) -> Self {
        let text = reference(name);
        let mut lines = text.lines().map(cells);
        Self { columns: lines.next().unwrap(), rows: lines.collect() }
    }

    pub(crate) fn rows(&self) -> impl ExactSizeIterator<Item = Row<'_>> + Clone {
        self.rows.iter().map(|cells| Row { csv: self, cells })
    }

    /// A column of numbers.
    pub(crate) fn column(&self, name: &str) -> Vec<f64> {
        self.rows().map(|r| r.number(name)).collect()
    }
}

/// The cells of a line; a quoted cell may contain commas.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match (c, quoted) {
            ('"', _) => quoted = !quoted,
            (',', false) => cells.push(String::new()),
            _ => cells.iter_mut().last().unwrap().push(c),
        }
    }
    cells
}

/// A row of a CSV file.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    csv: &'a Csv,
    cells: &'a [String],
}

impl<'a> Row<'a> {
    pub(crate) fn text(&self, name: &str) -> &'a str {
        let place =
            self.csv.columns.iter().position(|c| c == name).unwrap_or_else(|| panic!("column {name}"));
        &self.cells[place]
    }

    pub(crate) fn number(&self, name: &str) -> f64 {
        self.optional(name).unwrap_or_else(|| panic!("{name}: {:?}", self.text(name)))
    }

    pub(crate) fn cells(&self) -> &'a [String] {
        self.cells
    }

    /// `None` for an empty cell.
    pub(crate) fn optional(&self, name: &str) -> Option<f64> {
        match self.text(name) {
            "" => None,
            text => Some(text.parse().unwrap()),
        }
    }
}

pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

pub(crate) fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("not a list: {value}")).iter().map(number).collect()
}

pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key}"))
}

/// Within a tolerance, absolute.
#[track_caller]
pub(crate) fn near(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{what}: {found}, expected {expected} ± {tolerance}");
}

/// Within a tolerance relative to the expected value.
#[track_caller]
pub(crate) fn close(what: &str, found: f64, expected: f64, relative: f64) {
    near(what, found, expected, relative * expected.abs());
}

/// X, Y, Z of a spectral irradiance or radiance, by the plain sum of the published functions.
pub(crate) fn xyz(spectrum: &[f64]) -> [f64; 3] {
    let functions = spectra::observer_functions(spectra::Observer::Cie1931);
    [0, 1, 2]
        .map(|k| 683.0 * 5.0 * functions[k].samples().iter().zip(spectrum).map(|(f, s)| f * s).sum::<f64>())
}

/// The keys of an object, sorted.
pub(crate) fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> =
        value.as_object().unwrap_or_else(|| panic!("{value}")).keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// A valid line of every kind, with the keys of its answer.
pub(crate) fn one_of_each() -> Vec<(Value, &'static [&'static str])> {
    let air = json!({
        "apparent_zenith_deg": 40, "day_of_year": 100, "pressure_hpa": 1013, "precipitable_water_cm": 1.4,
        "ozone_atm_cm": 0.34, "aod_500nm": 0.1, "angstrom_exponent": 1.14, "single_scattering_albedo_400nm": 0.945,
        "wavelength_variation": 0.095, "ground_albedo": 0.2,
    });
    let with = |calc: &str, more: Value| {
        let mut line = air.clone();
        line["calc"] = json!(calc);
        line.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        line
    };
    let flat = vec![0.5; 81];
    let surfaces = json!({
        "window_wall": 0.5, "back_wall": 0.5, "left_wall": 0.5, "right_wall": 0.5, "floor": 0.2, "ceiling": 0.8,
    });
    vec![
        (
            json!({"calc": "sun", "utc": "2026-11-25T12:00:00Z", "latitude_deg": 50, "longitude_deg": 5,
                "elevation_m": 100, "pressure_hpa": 1000, "temperature_c": 8, "delta_t_s": 69}),
            &["zenith_deg", "apparent_zenith_deg", "azimuth_deg", "equation_of_time_min"],
        ),
        (
            json!({"calc": "rise_set", "date": "2026-11-25", "utc_offset_h": 1, "latitude_deg": 50,
                "longitude_deg": 5, "delta_t_s": 69}),
            &["sunrise_utc", "transit_utc", "sunset_utc", "polar"],
        ),
        (with("clear_spectra", json!({})), &["beam_normal", "diffuse_horizontal"]),
        (
            json!({"calc": "cie_sky", "type": 12, "sun_altitude_deg": 30, "directions": [[45, 90]]}),
            &["relative_luminance"],
        ),
        (with("clear_sky", json!({"directions": [[45, 90]]})), &["radiance", "luminance"]),
        (
            json!({"calc": "clear_sky", "turbidity": 3, "ground_albedo": 0.2, "sun_altitude_deg": 30,
                "directions": [[45, 90]], "raw": true}),
            &["radiance"],
        ),
        (
            json!({"calc": "colour", "spectrum": flat, "illuminant": "D65", "observer": 2}),
            &[
                "X",
                "Y",
                "Z",
                "x",
                "y",
                "u_prime",
                "v_prime",
                "L",
                "a",
                "b",
                "cct_k",
                "duv",
                "dominant_nm",
                "excitation_purity",
            ],
        ),
        (json!({"calc": "difference", "lab1": [50, 2, 3], "lab2": [51, 2, 4]}), &["ciede2000"]),
        (
            json!({"calc": "adapt", "xyz": [20, 20, 20], "from_white": [110, 100, 36], "to_white": [95, 100, 109],
                "degree": 0.8}),
            &["xyz"],
        ),
        (json!({"calc": "rendering", "spd": flat}), &["ra", "r"]),
        (
            json!({"calc": "stack", "angle_deg": 30, "layers": [{"n": 1.52, "tau_internal": 0.5}]}),
            &["transmittance", "reflectance"],
        ),
        (
            json!({"calc": "recipe", "amounts": {"Co2+": 0.05}, "thickness_mm": 3, "n": 1.52, "angle_deg": 20}),
            &["internal", "transmittance"],
        ),
        (
            json!({"calc": "glass", "id": "clear-soda", "thickness_mm": 3, "angle_deg": 20}),
            &["transmittance", "internal", "provenance"],
        ),
        (json!({"calc": "glare_spread", "angle_deg": 1, "age": 40, "pigmentation": 0.5}), &["per_sr"]),
        (
            json!({"calc": "room", "size_m": [4, 3, 5], "surfaces": surfaces,
                "pieces": [{"rect_m": [1, 2, 1, 2], "radiance": 3}],
                "points": [{"at": [2, 1, 2], "normal": [0, 1, 0]}]}),
            &["direct", "indirect"],
        ),
        (
            json!({"calc": "sun_patch", "size_m": [4, 3, 5], "pieces": [{"rect_m": [1, 2, 1, 2]}],
                "sun_altitude_deg": 30, "sun_bearing_deg": 10}),
            &["patches"],
        ),
        (
            json!({"calc": "pieces_to_point", "polygons": [[[0, 0, 1], [1, 0, 1], [0, 1, 1]]], "radiance": [2],
                "point": [0, 0, 0], "normal": [0, 0, 1]}),
            &["irradiance"],
        ),
        (
            json!({"calc": "uncertainty", "glass": "grey", "thickness_mm": 3,
                "absorbance_per_mm_base10": {"grey": flat}}),
            &["Y_median", "Y_p05", "Y_p95", "sd_ln_Y"],
        ),
        (
            json!({"calc": "uncertainty", "pieces": [{"area_m2": 0.1, "thickness_mm": 3, "amounts": {"grey": 0.2}}],
                "absorbance_per_mm_base10": {"grey": flat}}),
            &["mean_Y_median", "mean_Y_p05", "mean_Y_p95", "sd_ln_mean_Y"],
        ),
        (
            json!({"calc": "streak", "first": flat, "second": flat, "thickness_mm": 3, "mix_mean": 0.5, "mix_sd": 0.2,
                "illuminant": "D65"}),
            &["XYZ_mean_of_T"],
        ),
        (
            json!({"calc": "reveal", "width_m": 0.4, "height_m": 1.6, "outer_depth_m": 0.2,
                "outer_reflectance": 0.3, "ground_reflectance": 0.2,
                "sky": {"cie_type": 1, "diffuse_horizontal_lx": 10000}}),
            &["mean_factor"],
        ),
        (
            json!({"calc": "outdoors", "sky": {"cie_type": 1, "diffuse_horizontal_lx": 10000},
                "window_middle_height_m": 2, "ground_reflectance": 0.2,
                "own_building": {"height_m": 10, "reflectance": 0.4}, "look": [[0, -30], [20, 50]]}),
            &["vertical_illuminance", "luminance_cd_m2"],
        ),
    ]
}
