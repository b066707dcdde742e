//! Chromatic adaptation by three transforms, complete and at D = 0.6.

use spectra::adaptation::{ConeSpace, adapt, adapt_in};
use spectra::{Observer, Xyz, illuminant};

use crate::table::{json, near};

fn xyz(value: &serde_json::Value) -> Xyz {
    let v: Vec<f64> = value.as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect();
    Xyz::new(v[0], v[1], v[2])
}

// Eight significant digits are printed: 1e-7.
#[test]
fn twelve_transforms_of_four_colours() {
    let file = json("colour/adaptation.json");
    let whites = &file["whites_XYZ_Y1_plain_sum_5nm"];
    // The file's whites are rounded to eight digits; ours are not, and lie within that rounding.
    let light = |name: &str| match name {
        "A" => illuminant::a(),
        "C" => illuminant::c(),
        "D50" => illuminant::d50(),
        "D65" => illuminant::d65(),
        "D75" => illuminant::d75(),
        other => panic!("{other}"),
    };
    let white = |name: &str| {
        let ours = Xyz::white(&light(name), Observer::Cie1931).unwrap() / 100.0;
        for (a, b) in ours.to_array().into_iter().zip(xyz(&whites[name]).to_array()) {
            near(name, a, b, 5.1e-8);
        }
        ours
    };
    let mut checked = 0;
    for (name, transform) in file["transforms"].as_object().unwrap() {
        let (space, pair) = name.split_once(' ').unwrap();
        let (from, to) = pair.split_once("->").unwrap();
        let space = match space {
            "CAT16" => ConeSpace::Cat16,
            "CAT02" => ConeSpace::Cat02,
            "Bradford" => ConeSpace::Bradford,
            other => panic!("{other}"),
        };
        let (from, to) = (white(from), white(to));
        for example in transform["examples"].as_array().unwrap() {
            let colour = xyz(&example["XYZ_in"]);
            for (degree, key) in [(1.0, "XYZ_out_full"), (0.6, "XYZ_out_D_0_6")] {
                let found = adapt_in(space, colour, from, to, degree).unwrap();
                for (a, b) in found.to_array().into_iter().zip(xyz(&example[key]).to_array()) {
                    near(name, a, b, 1e-7);
                }
                if space == ConeSpace::Cat16 {
                    assert_eq!(adapt(colour, from, to, degree), Ok(found));
                }
                checked += 1;
            }
        }
    }
    assert_eq!(checked, 3 * 4 * 4 * 2);
}
