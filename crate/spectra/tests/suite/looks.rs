//! The invented reflectances compared with published ones.

use spectra::{Lab, Observer, Spectrum, Xyz, ciede2000, illuminant, reflectance};

use crate::table::{Table, near};

fn lab(reflectance: &Spectrum) -> Lab {
    let d65 = illuminant::d65();
    let white = Xyz::white(&d65, Observer::Cie1931).unwrap();
    Xyz::of_transmission(reflectance, &d65, Observer::Cie1931).lab(white).unwrap()
}

#[test]
fn cloth_stone_and_wood_match_the_file() {
    let table = Table::read("colour/reflectances_invented.csv");
    for (name, ours) in [
        ("white_linen_invented", reflectance::white_linen()),
        ("pale_limestone_invented", reflectance::pale_limestone()),
        ("sandstone_invented", reflectance::sandstone()),
        ("oak_invented", reflectance::oak()),
    ] {
        assert_eq!(ours, table.spectrum(name), "{name}");
    }
}

// Resemblance, not agreement: ΔE00 below 4 under D65, while the four neighbouring skins of the third chart in the
// file lie 1.8, 5.5 and 15.0 apart.
#[test]
fn the_skins_look_like_measured_skins() {
    let table = Table::read("colour/reflectances_measured.csv");
    let measured = |set: &str, sample: &str| {
        let points: Vec<(f64, f64)> = table
            .rows(551)
            .filter(|r| r.text("set") == set && r.text("sample") == sample)
            .map(|r| (r.number("wavelength_nm"), r.number("reflectance")))
            .collect();
        assert!(points.len() > 30, "{set} {sample}");
        Spectrum::from_table(&points)
    };
    for set in ["babelcolor_average", "iso17321_ohta"] {
        for (sample, ours) in
            [("dark skin", reflectance::dark_skin()), ("light skin", reflectance::light_skin())]
        {
            let theirs = measured(set, sample);
            let difference = ciede2000(lab(&ours), lab(&theirs));
            assert!(difference < 4.0, "{sample} of {set}: ΔE00 {difference:.2}");
            // But not a copy of it.
            assert!((ours - theirs).map(f64::abs).max() > 0.02);
        }
    }
}

#[test]
fn linen_is_lighter_than_stone_and_stone_lighter_than_skin() {
    let order = [
        reflectance::white_linen(),
        reflectance::pale_limestone(),
        reflectance::light_skin(),
        reflectance::sandstone(),
        reflectance::dark_skin(),
    ];
    assert!(order.windows(2).all(|pair| lab(&pair[0]).l > lab(&pair[1]).l));
    near("L* of linen", lab(&reflectance::white_linen()).l, 94.0, 1.0);
}
