//! Glare compared with tests/reference/room/glare.json: 1e-5 on the formula with the file's own sources (seven
//! digits), 0.002 compared with the general tool.

use crate::common::{list, number, numbers, reference};
use plane::RoomVector;
use viewing::{GlareSource, daylight_glare_probability, position_index};

#[test]
fn glare_probability_of_four_views() {
    for case in list(&reference("glare.json"), "cases") {
        let sources: Vec<_> = list(case, "sources_L_omega_P")
            .iter()
            .map(|s| {
                let s = numbers(s);
                GlareSource { luminance_cd_m2: s[0], solid_angle_sr: s[1], position_index: s[2] }
            })
            .collect();
        let lux = number(&case["vertical_illuminance_lx"]);
        let got = daylight_glare_probability(lux, &sources).unwrap();
        assert!((got - number(&case["dgp_formula"])).abs() < 1e-5);
        assert!((got - number(&case["evalglare"]["dgp"])).abs() < 0.002);
    }
}

#[test]
fn position_indices_of_discs() {
    for case in list(&reference("glare.json"), "cases") {
        let Some(discs) = case["discs"].as_array() else { continue };
        for (disc, source) in discs.iter().zip(list(case, "sources_L_omega_P")) {
            let (disc, source) = (numbers(disc), numbers(source));
            let got = position_index(RoomVector::toward_sky(disc[0], disc[1]));
            assert!((got / source[2] - 1.0).abs() < 1e-6, "{got} {}", source[2]);
        }
    }
}

#[test]
fn darkness_has_no_glare() {
    assert_eq!(daylight_glare_probability(0.0, &[]), None);
}
