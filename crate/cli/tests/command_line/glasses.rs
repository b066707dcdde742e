//! Glass against tests/reference/glass and glass_stack.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::run::{Csv, answers, json_file, list, near, number, numbers};

// Exact sums, ten digits printed: 1e-8.
#[test]
fn stacks_of_panes() {
    let file = json_file("glass_stack/glass_stack.json");
    let mut lines = Vec::new();
    let mut expected = Vec::new();
    for stack in list(&file, "stacks") {
        let layers: Vec<Value> = list(stack, "layers_n_tau_i")
            .iter()
            .map(|layer| json!({"n": layer[0], "tau_internal": layer[1]}))
            .collect();
        let reversed: Vec<Value> = layers.iter().rev().cloned().collect();
        for row in list(stack, "rows") {
            let row = numbers(row);
            lines.push(json!({"calc": "stack", "angle_deg": row[0], "layers": layers}));
            expected.push((row[1], row[2]));
            // From the other side: reflection on the inside.
            lines.push(json!({"calc": "stack", "angle_deg": row[0], "layers": reversed}));
            expected.push((row[1], row[3]));
        }
    }
    assert!(lines.len() >= 300);
    for ((line, answer), (t, r)) in lines.iter().zip(answers(&lines)).zip(expected) {
        near(&line.to_string(), number(&answer["transmittance"]), t, 1e-8);
        near(&line.to_string(), number(&answer["reflectance"]), r, 1e-8);
    }
}

// Whole panes, eight digits: 1e-7. Numbers and spectra give the same.
#[test]
fn single_panes() {
    let file = Csv::read("glass/pane.csv");
    let rows: Vec<_> = file.rows().filter(|r| r.number("deg") < 90.0).collect();
    let ask = |n: f64, tau: Value, angle: f64| json!({"calc": "stack", "angle_deg": angle, "layers": [{"n": n, "tau_internal": tau}]});
    let mut lines = Vec::new();
    for r in &rows {
        let (n, tau, angle) = (r.number("n"), r.number("tau_normal"), r.number("deg"));
        lines.push(ask(n, json!(tau), angle));
        lines.push(ask(n, json!(vec![tau; 81]), angle));
    }
    let answers = answers(&lines);
    for (row, pair) in rows.iter().zip(answers.chunks(2)) {
        for (key, column) in [("transmittance", "T"), ("reflectance", "R")] {
            near(column, number(&pair[0][key]), row.number(column), 1e-7);
            let spectrum = numbers(&pair[1][key]);
            assert_eq!(spectrum.len(), 81);
            near(column, spectrum[40], row.number(column), 1e-7);
        }
    }
}

fn amounts(texts: &[&str]) -> BTreeMap<String, f64> {
    let mut sum = BTreeMap::new();
    for part in texts.iter().flat_map(|t| t.split_whitespace()) {
        let (name, amount) = part.split_once(':').unwrap();
        *sum.entry(name.to_owned()).or_insert(0.0) += amount.parse::<f64>().unwrap();
    }
    sum
}

// τ printed with five decimals: 2e-5. Flash is its own layer within the thickness. One recipe is omitted: it contains a
// flat grey that is not a colourant.
#[test]
fn recipes() {
    let recipes = Csv::read("glass/recipes.csv");
    let tau = Csv::read("glass/recipes_tau.csv");
    let ask = |amounts: BTreeMap<String, f64>, mm: f64| json!({"calc": "recipe", "amounts": amounts, "thickness_mm": mm, "n": 1.52, "angle_deg": 0});
    let mut compared = 0;
    for row in recipes.rows().filter(|r| !r.text("pot").contains("neutral")) {
        let body = ask(amounts(&[row.text("base"), row.text("pot")]), row.number("total_mm"));
        let flash = ask(amounts(&[row.text("flash")]), row.number("flash_mm"));
        let found = answers(&[body, flash]);
        let [body, flash] = [0, 1].map(|k| numbers(&found[k]["internal"]));
        for ((b, f), expected) in body.iter().zip(&flash).zip(tau.column(row.text("id"))) {
            compared += 1;
            near(row.text("name"), b * f, expected, 2e-5);
        }
        // The pane along the normal: two faces of n = 1.52 around the internal transmittance.
        let r = (0.52_f64 / 2.52).powi(2);
        for (t, i) in numbers(&found[0]["transmittance"]).iter().zip(&body) {
            near("pane", *t, (1.0 - r).powi(2) * i / (1.0 - (r * i).powi(2)), 1e-12);
        }
    }
    assert_eq!(compared, 58 * 81);
}

// A clear glass of the library is its recipe behind two faces; every glass answers with its provenance and obeys the
// laws.
#[test]
fn glasses_of_the_library() {
    let lines: Vec<Value> = glass::library()
        .iter()
        .flat_map(|g| {
            [0.0, 60.0].map(|a| json!({"calc": "glass", "id": g.id, "thickness_mm": 3, "angle_deg": a}))
        })
        .collect();
    assert!(lines.len() >= 100);
    let marks = ["measured", "photographed", "estimated from a colour", "recipe"];
    for (line, answer) in lines.iter().zip(answers(&lines)) {
        assert!(marks.contains(&answer["provenance"].as_str().unwrap()), "{answer}");
        let (t, i) = (numbers(&answer["transmittance"]), numbers(&answer["internal"]));
        assert_eq!((t.len(), i.len()), (81, 81));
        assert!(t.iter().zip(&i).all(|(t, i)| *t >= 0.0 && t <= i && *i <= 1.0), "{line}");
    }
    let found = answers(&[
        json!({"calc": "glass", "id": "clear-soda", "thickness_mm": 4, "angle_deg": 50}),
        json!({"calc": "recipe", "amounts": {"Fe2+": 0.02, "Fe3+": 0.06}, "thickness_mm": 4, "n": 1.52,
            "angle_deg": 50}),
    ]);
    for key in ["transmittance", "internal"] {
        for (a, b) in numbers(&found[0][key]).iter().zip(numbers(&found[1][key])) {
            near(key, *a, b, 1e-9);
        }
    }
}

// Internal transmittance is a power of the thickness: 105 pairs from a catalogue, rounded to three decimals in both
// columns, compared by this law.
#[test]
fn two_thicknesses() {
    let file = Csv::read("glass/two_thickness.csv");
    let one = |tau: f64| json!({"calc": "stack", "angle_deg": 0, "layers": vec![json!({"n": 1, "tau_internal": tau}); 5]});
    let lines: Vec<Value> = file.rows().map(|r| one(r.number("tau_10mm").sqrt())).collect();
    for (row, answer) in file.rows().zip(answers(&lines)) {
        near("25 mm", number(&answer["transmittance"]), row.number("tau_25mm"), 1.8e-3);
    }
}
