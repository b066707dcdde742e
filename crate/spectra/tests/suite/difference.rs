//! Colour difference and metamerism.

use spectra::{Lab, Observer, Xyz, ciede2000, difference_1976, metamerism_index};

use crate::table::{Row, Table, near};

fn pair(row: &Row<'_>) -> [Lab; 2] {
    let [l1, a1, b1, l2, a2, b2] = row.numbers(["L1", "a1", "b1", "L2", "a2", "b2"]);
    [Lab::new(l1, a1, b1), Lab::new(l2, a2, b2)]
}

// Source: Sharma, Wu & Dalal 2005, Color Res. Appl. 30(1), 21–30, table 1; 34 pairs.
// Tolerance 1e-4: the source prints four decimals.
#[test]
fn sharmas_pairs() {
    for row in Table::read("colour/ciede2000_sharma34.csv").rows(34) {
        let [first, second] = pair(&row);
        let what = format!("pair {}", row.text("pair"));
        near(&what, ciede2000(first, second), row.number("dE00_published_4dp"), 1e-4);
        near(&what, ciede2000(first, second), row.number("dE00_colour_science"), 1e-6);
        near(&what, ciede2000(second, first), row.number("dE00_published_4dp"), 1e-4);
    }
}

// Two libraries agree within 1e-7, the printed digit; 1e-6 is required.
#[test]
fn random_pairs() {
    for row in Table::read("colour/ciede2000_random.csv").rows(60) {
        let [first, second] = pair(&row);
        near("ΔE00", ciede2000(first, second), row.number("dE00"), 1e-6);
        near("ΔE*ab", difference_1976(first, second), row.number("dE76"), 1e-6);
    }
}

// Five pairs of metamers in six lights. 1e-4 for differences (five decimals), 1e-5 for XYZ (eight digits of
// spectra printed to eight decimals).
#[test]
fn metamers() {
    let spectra = Table::read("colour/metamer_spectra.csv");
    let lights = Table::read("colour/illuminants_5nm.csv");
    let observer = Observer::Cie1931;
    let mut apart = 0;
    for row in Table::read("colour/metamerism.csv").rows(30) {
        let pair = row.text("pair");
        let what = format!("{pair} in {}", row.text("test_light"));
        let [first, second] = [1, 2].map(|k| spectra.spectrum(&format!("{pair}_{k}")));
        let (reference, test) =
            (lights.spectrum(row.text("reference_light")), lights.spectrum(row.text("test_light")));

        let white = Xyz::white(&test, observer).unwrap();
        let [seen1, seen2] = [first, second].map(|s| Xyz::of_transmission(&s, &test, observer));
        for (found, columns) in [(seen1, ["X1", "Y1", "Z1"]), (seen2, ["X2", "Y2", "Z2"])] {
            for (found, expected) in found.to_array().into_iter().zip(row.numbers(columns)) {
                near(&what, found, expected, 1e-5);
            }
        }
        let (lab1, lab2) = (seen1.lab(white).unwrap(), seen2.lab(white).unwrap());
        near(&what, difference_1976(lab1, lab2), row.number("dE76"), 1e-4);
        near(&what, ciede2000(lab1, lab2), row.number("dE00"), 1e-4);

        let index = metamerism_index(&first, &second, &reference, &test, observer).unwrap();
        near(&what, index.ab, row.number("M_ilm_dE76_multiplicative_correction"), 1e-4);
        near(&what, index.ciede2000, row.number("M_ilm_dE00_multiplicative_correction"), 1e-4);
        apart += usize::from(index.ab > 0.5);
    }
    assert!(apart > 10, "{apart}");
}
