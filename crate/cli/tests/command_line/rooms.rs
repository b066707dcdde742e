//! Rooms, panes and sun patches against tests/reference/room.

use serde_json::{Value, json};

use crate::run::{answers, close, json_file, list, near, number, numbers, xyz};

/// Kinds and rectangles of a case's window; row 0 is the lowest, column 0 the leftmost. `rows` of a case holds its
/// results, so its name gives the number of rows.
fn pieces(case: &Value) -> Vec<(String, [f64; 4])> {
    let rows = match case["name"].as_str().unwrap() {
        "2x3" => 2,
        "8x12" => 8,
        name if name.starts_with("chapel") => 2,
        name if name.starts_with("nave") => 5,
        name => panic!("{name}"),
    };
    let columns = case["cols"].as_u64().unwrap() as usize;
    let order: Vec<usize> = numbers(&case["order_a_b_c"]).iter().map(|v| *v as usize).collect();
    let kinds = list(case, "kinds");
    let w = numbers(&case["window_x0_x1_y0_y1"]);
    let mut pieces = Vec::new();
    for r in 0..rows {
        for c in 0..columns {
            let kind = &kinds[(order[0] * r + order[1] * c + order[2] * r * c) % kinds.len()];
            let x = |k: usize| w[0] + (w[1] - w[0]) * k as f64 / columns as f64;
            let y = |k: usize| w[2] + (w[3] - w[2]) * k as f64 / rows as f64;
            pieces.push((kind.as_str().unwrap().to_owned(), [x(c), x(c + 1), y(r), y(r + 1)]));
        }
    }
    pieces
}

fn normal(plane: &str) -> [f64; 3] {
    if plane == "vertical" { [0.0, 0.0, -1.0] } else { [0.0, 1.0, 0.0] }
}

fn points(rows: &[Value]) -> Vec<Value> {
    rows.iter().map(|r| json!({"at": r["point"], "normal": normal(r["plane"].as_str().unwrap())})).collect()
}

fn surfaces(case: &Value, mut reflectance: impl FnMut(&str) -> Value) -> Value {
    let names = case["surfaces"].as_object().unwrap();
    names
        .iter()
        .map(|(k, v)| (k.clone(), reflectance(v.as_str().unwrap())))
        .collect::<serde_json::Map<_, _>>()
        .into()
}

fn black() -> Value {
    let all = ["window_wall", "back_wall", "left_wall", "right_wall", "floor", "ceiling"];
    all.map(|s| (s.to_owned(), json!(0))).into_iter().collect::<serde_json::Map<_, _>>().into()
}

/// Internal transmittance, n = 1.52, of a pane given by its transmittance along the normal.
fn internal(t: f64) -> f64 {
    let r = (0.52_f64 / 2.52).powi(2);
    let q = (1.0 - r).powi(2);
    2.0 * t / (q + (q * q + 4.0 * r * r * t * t).sqrt())
}

fn u_v([x, y, z]: [f64; 3]) -> [f64; 2] {
    let d = x + 15.0 * y + 3.0 * z;
    [4.0 * x / d, 9.0 * y / d]
}

/// Radiance of each kind of pane in front of the sky of 6500 K.
fn radiance(case: &Value, kind: &str) -> Vec<f64> {
    let file = json_file("room/spectra.json");
    let sky = numbers(&file["radiance_per_cd_m2"]["planck6500"]);
    let glass = numbers(&file["glass_normal_transmittance"][kind]);
    let level = number(&case["sky_luminance"]);
    sky.iter().zip(glass).map(|(s, t)| s * t * level).collect()
}

// Exact contour sums, seven digits: 1e-5 in XYZ, 1e-6 in u′v′; each piece alone if the file has it.
#[test]
fn uniform_pieces_and_a_point() {
    for case in list(&json_file("room/window_grid.json"), "cases") {
        let pieces = pieces(case);
        let polygons: Vec<Value> = pieces
            .iter()
            .map(|(_, [x0, x1, y0, y1])| json!([[x0, y0, 0], [x1, y0, 0], [x1, y1, 0], [x0, y1, 0]]))
            .collect();
        let radiances: Vec<Vec<f64>> = pieces.iter().map(|(kind, _)| radiance(case, kind)).collect();
        let mut lines = Vec::new();
        for row in list(case, "rows") {
            for plane in ["horizontal", "vertical"] {
                lines.push(json!({"calc": "pieces_to_point", "polygons": polygons, "radiance": radiances,
                    "point": row["point"], "normal": normal(plane)}));
            }
        }
        let mut answers = answers(&lines).into_iter();
        for row in list(case, "rows") {
            for plane in ["horizontal", "vertical"] {
                let what = format!("{} {} {plane}", case["name"], row["point"]);
                let found = xyz(&numbers(&answers.next().unwrap()["irradiance"]));
                for (f, e) in found.iter().zip(numbers(&row[plane]["XYZ_lx"])) {
                    near(&what, *f, e, 1e-5 * e + 1e-9);
                }
                if row[plane]["u_v"].is_array() {
                    for (f, e) in u_v(found).iter().zip(numbers(&row[plane]["u_v"])) {
                        near(&what, *f, e, 1e-6);
                    }
                }
            }
        }
    }
}

// One piece at a time, and the closed forms of the catalogue of form factors: twelve digits, 1e-9 here.
#[test]
fn elements_and_rectangles() {
    let file = json_file("room/form_factors.json");
    let rows =
        |name: &str| -> Vec<Vec<f64>> { list(&file["cases"][name], "rows").iter().map(numbers).collect() };
    let mut lines = Vec::new();
    let mut expected = Vec::new();
    let mut ask = |rectangle: [[f64; 3]; 4], f: f64| {
        lines.push(
            json!({"calc": "pieces_to_point", "polygons": [rectangle], "radiance": 1.0, "point": [0, 0, 0],
            "normal": [0, 0, 2]}),
        );
        expected.push(f);
    };
    for r in rows("element_to_parallel_rectangle") {
        let [a, b, c] = [r[0], r[1], r[2]];
        ask([[0.0, 0.0, c], [a, 0.0, c], [a, b, c], [0.0, b, c]], r[3]);
    }
    for r in rows("element_to_perpendicular_rectangle") {
        let [a, b, c] = [r[0], r[1], r[2]];
        ask([[0.0, a, 0.0], [c, a, 0.0], [c, a, b], [0.0, a, b]], r[3]);
    }
    assert_eq!(lines.len(), 40);
    for (answer, f) in answers(&lines).iter().zip(expected) {
        near("form factor", number(&answer["irradiance"]) / std::f64::consts::PI, f, 1e-9);
    }
}

// Sky and ground through one pane into a black room: 0.1 %. The open hole is a layer of air.
#[test]
fn a_sky_through_a_pane() {
    let file = json_file("room/window_sky.json");
    let mut lines = Vec::new();
    for case in list(&file, "cases") {
        let (n, tau) = case["glass"].as_f64().map_or((1.0, 1.0), |t| (1.52, internal(t)));
        let sun = &case["sun_bearing_altitude_deg"];
        let points: Vec<Value> = list(case, "rows")
            .iter()
            .flat_map(|r| {
                ["horizontal", "vertical"].map(|p| json!({"at": [r[0], r[1], r[2]], "normal": normal(p)}))
            })
            .collect();
        lines.push(json!({"calc": "room", "size_m": case["size_WHD"], "surfaces": black(),
            "pieces": [{"rect_m": case["window_x0_x1_y0_y1"], "tau_internal": tau, "n": n}],
            "sky": {"cie_type": case["cie_type"], "sun_bearing_deg": sun.get(0), "sun_altitude_deg": sun.get(1),
                "diffuse_horizontal": case["E_dh_lx"], "ground_radiance": case["ground_luminance"]},
            "points": points}));
    }
    for (case, answer) in list(&file, "cases").iter().zip(answers(&lines)) {
        let expected: Vec<f64> =
            list(case, "rows").iter().flat_map(|r| [number(&r[3]), number(&r[4])]).collect();
        for (k, (found, expected)) in numbers(&answer["direct"]).iter().zip(expected).enumerate() {
            near(&format!("{} {k}", case["name"]), *found, expected, 1e-3 * expected + 1e-6);
        }
        assert!(numbers(&answer["indirect"]).iter().all(|v| v.abs() < 1e-12));
    }
}

// All reflections, 81 wavelengths, glowing panes that reflect nothing: 1 % of totals against a radiosity and a path
// tracer, 0.001 in u′v′.
#[test]
fn glowing_panes_in_coloured_rooms() {
    let spectra = json_file("room/spectra.json");
    let file = json_file("room/box_room.json");
    let lines: Vec<Value> = list(&file, "lambertian_panes")
        .iter()
        .map(|case| {
            let pieces: Vec<Value> = pieces(case)
                .iter()
                .map(|(kind, rect)| json!({"rect_m": rect, "radiance": radiance(case, kind)}))
                .collect();
            json!({"calc": "room", "size_m": case["size_WHD"],
                "surfaces": surfaces(case, |name| spectra["reflectance"][name].clone()), "pieces": pieces,
                "points": points(list(case, "rows"))})
        })
        .collect();
    for (case, answer) in list(&file, "lambertian_panes").iter().zip(answers(&lines)) {
        for (i, row) in list(case, "rows").iter().enumerate() {
            let what = format!("{} {} {}", case["name"], row["point"], row["plane"]);
            let [direct, indirect] = ["direct", "indirect"].map(|k| xyz(&numbers(&answer[k][i])));
            let total = [0, 1, 2].map(|k| direct[k] + indirect[k]);
            for k in 0..3 {
                let expected =
                    [&row["radiosity_direct_XYZ"][k], &row["radiosity_indirect_XYZ"][k]].map(number);
                close(&format!("direct, {what}"), direct[k], expected[0], 1e-5);
                close(&what, total[k], expected[0] + expected[1], 0.01);
                close(&format!("path tracer, {what}"), total[k], number(&row["mitsuba_XYZ"][k]), 0.01);
            }
            for (f, e) in u_v(total).iter().zip(numbers(&row["radiosity_u_v"])) {
                near(&what, *f, e, 1e-3);
            }
        }
    }
}

// Clear panes under a sky, three bands apart, each a line of plain numbers: 0.1 % direct, 1 % of totals.
#[test]
fn clear_panes_in_rooms() {
    let file = json_file("room/box_room.json");
    let mut lines = Vec::new();
    for case in list(&file, "clear_panes_under_sky") {
        for band in 0..3 {
            let of = |group: &str, name: &str| number(&file[group][name][band]);
            let pieces: Vec<Value> = pieces(case)
                .iter()
                .map(|(kind, rect)| {
                    json!({"rect_m": rect, "tau_internal": internal(of("glass_normal_transmittance_b", kind)), "n": 1.52})
                })
                .collect();
            let sun = &case["sun_bearing_altitude_deg"];
            lines.push(json!({"calc": "room", "size_m": case["size_WHD"],
                "surfaces": surfaces(case, |name| json!(of("reflectance_b", name))), "pieces": pieces,
                "sky": {"cie_type": case["cie_type"], "sun_bearing_deg": sun.get(0), "sun_altitude_deg": sun.get(1),
                    "diffuse_horizontal": case["E_dh_lx"], "ground_radiance": case["ground_luminance"]},
                "points": points(list(case, "rows"))}));
        }
    }
    let mut answers = answers(&lines).into_iter();
    for case in list(&file, "clear_panes_under_sky") {
        for band in 0..3 {
            let answer = answers.next().unwrap();
            let [direct, indirect] = ["direct", "indirect"].map(|k| numbers(&answer[k]));
            for (i, row) in list(case, "rows").iter().enumerate() {
                let what = format!("{} {} {} band {band}", case["name"], row["point"], row["plane"]);
                let expected = [&row["radiosity_direct"][band], &row["radiosity_indirect"][band]].map(number);
                close(&format!("direct, {what}"), direct[i], expected[0], 1e-3);
                close(&what, direct[i] + indirect[i], expected[0] + expected[1], 0.01);
            }
        }
    }
}

// Parallel projection, seven digits: 1e-6 m.
#[test]
fn sun_patches() {
    let file = json_file("room/sun_patch.json");
    let lines: Vec<Value> = list(&file, "cases")
        .iter()
        .map(|case| {
            let pieces: Vec<Value> = list(case, "panes").iter().map(|p| json!({"rect_m": p["rect"]})).collect();
            let sun = &case["sun_bearing_altitude_deg"];
            json!({"calc": "sun_patch", "size_m": case["size_WHD"], "pieces": pieces, "sun_bearing_deg": sun[0],
                "sun_altitude_deg": sun[1]})
        })
        .collect();
    for (case, answer) in list(&file, "cases").iter().zip(answers(&lines)) {
        let mut expected = 0;
        for (piece, pane) in list(case, "panes").iter().enumerate() {
            for patch in list(pane, "patches") {
                expected += 1;
                let found = list(&answer, "patches")
                    .iter()
                    .find(|p| p["piece"] == piece && p["surface"] == patch["surface"])
                    .unwrap_or_else(|| panic!("{} {piece} {}", case["name"], patch["surface"]));
                close("area", number(&found["area_m2"]), number(&patch["area_m2"]), 1e-6);
                let corners: Vec<Vec<f64>> = list(found, "polygon").iter().map(numbers).collect();
                let vertices: Vec<Vec<f64>> = list(patch, "vertices").iter().map(numbers).collect();
                assert_eq!(corners.len(), vertices.len());
                for v in &vertices {
                    let there = corners.iter().any(|c| c.iter().zip(v).all(|(a, b)| (a - b).abs() < 1e-6));
                    assert!(there, "{v:?} in {corners:?}");
                }
            }
        }
        assert_eq!(list(&answer, "patches").len(), expected);
    }
    let behind = json!({"calc": "sun_patch", "size_m": [4, 3, 5], "pieces": [{"rect_m": [1, 2, 1, 2]}],
        "sun_altitude_deg": 30, "sun_bearing_deg": 120});
    assert_eq!(answers(&[behind])[0]["patches"], json!([]));
}

// Twice the radiance gives twice the light; whiter walls reflect more of it, and black ones none.
#[test]
fn light_is_linear_and_walls_only_absorb() {
    let ask = |radiance: f64, rho: f64| {
        let names = ["window_wall", "back_wall", "left_wall", "right_wall", "floor", "ceiling"];
        let surfaces: serde_json::Map<_, _> = names.map(|s| (s.to_owned(), json!(rho))).into_iter().collect();
        json!({"calc": "room", "size_m": [5, 3, 7], "surfaces": surfaces,
            "pieces": [{"rect_m": [2, 3, 1, 2.2], "radiance": radiance}],
            "points": [{"at": [2.5, 1.2, 4], "normal": [0, 0, -1]}]})
    };
    let found = answers(&[ask(10.0, 0.5), ask(20.0, 0.5), ask(10.0, 0.8), ask(10.0, 0.0)]);
    let at = |k: usize, key: &str| number(&found[k][key][0]);
    close("direct", at(1, "direct"), 2.0 * at(0, "direct"), 1e-12);
    close("indirect", at(1, "indirect"), 2.0 * at(0, "indirect"), 1e-12);
    assert!(at(2, "indirect") > at(0, "indirect") && at(0, "indirect") > 0.0);
    near("black", at(3, "indirect"), 0.0, 1e-15);
}
