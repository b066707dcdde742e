//! Laws that hold for every spectrum and every colour.

use palette::encoding::Linear;
use palette::rgb::{Rgb, RgbSpace, RgbStandard};
use proptest::prelude::*;
use spectra::adaptation::{ConeSpace, adapt_in};
use spectra::rgb::{self, LinearDisplayP3, LinearSrgb};
use spectra::{
    Chromaticity, Lab, Observer, SAMPLES, Spectrum, UvPrime, Xyz, ciede2000, colour_rendering, illuminant,
    luminous, metamerism_index, planck, planckian_u_prime_v_prime,
};

fn spectrum(range: std::ops::Range<f64>) -> impl Strategy<Value = Spectrum> {
    prop::collection::vec(range, SAMPLES).prop_map(|v| Spectrum::from_slice(&v).unwrap())
}

/// Spectra that nobody should pass, but somebody will.
fn wild() -> impl Strategy<Value = Spectrum> {
    let sample = prop_oneof![
        Just(0.0),
        Just(-0.0),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
        Just(-1e300),
        Just(f64::INFINITY),
        Just(f64::NAN),
        -1.0..1.0f64,
        1e-320..1e-300f64,
    ];
    prop_oneof![
        prop::collection::vec(sample.clone(), SAMPLES).prop_map(|v| Spectrum::from_slice(&v).unwrap()),
        sample.prop_map(Spectrum::splat),
    ]
}

fn observer() -> impl Strategy<Value = Observer> {
    prop_oneof![Just(Observer::Cie1931), Just(Observer::Cie1964)]
}

fn lab() -> impl Strategy<Value = Lab> {
    (0.0..100.0f64, -120.0..120.0f64, -120.0..120.0f64).prop_map(|(l, a, b)| Lab::new(l, a, b))
}

fn close(a: f64, b: f64, relative: f64) -> bool {
    (a - b).abs() <= relative * a.abs().max(b.abs()) + 1e-300
}

fn good(what: &str, v: f64) -> Result<(), TestCaseError> {
    prop_assert!(v.is_finite(), "{what}: {v}");
    Ok(())
}

/// A colour converted to XYZ and back, then through the transfer function and back, is unchanged.
fn round_trips<S>(linear: Rgb<Linear<S>, f64>, through_xyz: Rgb<Linear<S>, f64>) -> Result<(), TestCaseError>
where
    S: RgbSpace + RgbStandard<Space = S, TransferFn = rgb::Encoding>,
{
    let back = Rgb::<S, f64>::from_linear(through_xyz).into_linear::<f64>();
    for (a, b) in <[f64; 3]>::from(linear).into_iter().zip(<[f64; 3]>::from(back)) {
        // The two halves of the transfer function meet only within 1e-7, as the standard rounds them.
        prop_assert!((a - b).abs() < 2e-7, "{a} {b}");
    }
    let inside = <[f64; 3]>::from(linear).iter().all(|v| (0.0..=1.0).contains(v));
    prop_assert!(!inside || rgb::in_gamut(linear));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn xyz_is_linear(a in spectrum(0.0..1.0), b in spectrum(0.0..1.0), k in 0.0..1e6f64, o in observer()) {
        let together = Xyz::absolute(&(a + b * k), o);
        let apart = Xyz::absolute(&a, o) + Xyz::absolute(&b, o) * k;
        for (x, y) in together.to_array().into_iter().zip(apart.to_array()) {
            prop_assert!(close(x, y, 1e-12));
        }
        prop_assert!(close(Xyz::absolute(&a, Observer::Cie1931).y, luminous(&a), 1e-13));
    }

    /// The vector kernel compared with one running sum.
    #[test]
    fn sums_are_plain_sums(a in spectrum(-1.0..1.0), b in spectrum(-1.0..1.0)) {
        let plain: f64 = a.samples().iter().zip(b.samples()).map(|(a, b)| a * b).sum();
        prop_assert!((a.dot(&b) - plain).abs() < 1e-12);
        prop_assert!((a.sum() - a.samples().iter().sum::<f64>()).abs() < 1e-12);
    }

    #[test]
    fn a_piece_absorbs_at_most_all_light(t in spectrum(0.0..1.0), light in spectrum(0.1..10.0), o in observer()) {
        let seen = Xyz::of_transmission(&t, &light, o);
        let white = Xyz::white(&light, o).unwrap();
        prop_assert!(seen.y <= 100.0 + 1e-9 && seen.x <= white.x + 1e-9 && seen.z <= white.z + 1e-9);
        // The light's own level does not matter.
        let brighter = Xyz::of_transmission(&t, &(light * 1e9), o);
        prop_assert!(close(seen.x, brighter.x, 1e-12) && close(seen.z, brighter.z, 1e-12));
        let lab = seen.lab(white).unwrap();
        prop_assert!((-1e-9..=100.0 + 1e-9).contains(&lab.l));
        let back = Xyz::from_lab(lab, white);
        prop_assert!((back - seen).to_array().iter().all(|d| d.abs() < 1e-10));
    }

    #[test]
    fn a_real_colour_lies_within_the_locus(t in spectrum(0.0..1.0), o in observer()) {
        let white = Xyz::white(&illuminant::e(), o).unwrap().chromaticity().unwrap();
        let xy = Xyz::absolute(&t, o).chromaticity().unwrap();
        if let Some(d) = xy.dominant(white, o) {
            prop_assert!((0.0..=1.0).contains(&d.excitation_purity), "{d:?}");
            prop_assert!((380.0..=700.0).contains(&d.wavelength_nm.abs()));
            // The white, the colour and the pure colour lie on one line, in the order given by the purity.
            if !d.is_complementary() {
                let i = ((d.wavelength_nm - 380.0) as usize).min(319);
                let (p, q) = (spectra::spectrum_locus(o)[i], spectra::spectrum_locus(o)[i + 1]);
                let f = d.wavelength_nm - 380.0 - i as f64;
                let pure = Chromaticity { x: p.x + f * (q.x - p.x), y: p.y + f * (q.y - p.y) };
                let k = d.excitation_purity;
                prop_assert!((white.x + k * (pure.x - white.x) - xy.x).abs() < 1e-9);
                prop_assert!((white.y + k * (pure.y - white.y) - xy.y).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn planckian_lights_have_their_temperature(t in 1_010.0..90_000.0f64, duv in -0.049..0.049f64) {
        let on = planckian_u_prime_v_prime(t).unwrap();
        let found = on.cct_duv().unwrap();
        prop_assert!(close(found.cct_k, t, 2e-6) && found.duv.abs() < 1e-9, "{t}: {found:?}");
        // Off the locus: nearest means that no other point of the locus is closer.
        let off = UvPrime { u: on.u, v: on.v + 1.5 * duv };
        if let Some(found) = off.cct_duv() {
            for i in 0..200 {
                let p = planckian_u_prime_v_prime(1e6 / (10.0 + 4.9 * f64::from(i))).unwrap();
                let distance = (p.u - off.u).hypot((p.v - off.v) / 1.5);
                prop_assert!(distance >= found.duv.abs() - 1e-9);
            }
        }
    }

    /// 380–780 nm by 5 nm compared with the locus of 360–830 nm by 1 nm: the cut ends and the step change the
    /// temperature by up to 3e-3 of its value.
    #[test]
    fn sampled_black_bodies_have_their_temperature(t in 1_500.0..20_000.0f64) {
        let found = Xyz::absolute(&planck(t), Observer::Cie1931).cct_duv().unwrap();
        prop_assert!(close(found.cct_k, t, 3e-3) && found.duv.abs() < 3e-5, "{t}: {found:?}");
    }

    #[test]
    fn ciede2000_is_a_symmetric_difference(a in lab(), b in lab()) {
        let d = ciede2000(a, b);
        prop_assert!(d.is_finite() && d >= 0.0);
        prop_assert!((d - ciede2000(b, a)).abs() < 1e-9);
        prop_assert!(ciede2000(a, a) < 1e-9);
    }

    #[test]
    fn ciede2000_accepts_anything_finite(v in prop::array::uniform6(prop_oneof![Just(0.0), -1e300..1e300f64, -1e-300..1e-300f64])) {
        let d = ciede2000(Lab::new(v[0], v[1], v[2]), Lab::new(v[3], v[4], v[5]));
        prop_assert!(!d.is_nan());
    }

    #[test]
    fn displays_round_trip(rgb in prop::array::uniform3(-0.5..1.5f64), p3 in any::<bool>()) {
        if p3 {
            let linear = LinearDisplayP3::from(rgb);
            round_trips(linear, rgb::linear_display_p3_from_xyz(rgb::xyz_from_linear_display_p3(linear)))?;
        } else {
            let linear = LinearSrgb::from(rgb);
            round_trips(linear, rgb::linear_srgb_from_xyz(rgb::xyz_from_linear_srgb(linear)))?;
        }
    }

    #[test]
    fn adaptation_is_reversible(c in prop::array::uniform3(1.0..100.0f64), d in 0.0..=1.0f64) {
        let from = Xyz::white(&illuminant::a(), Observer::Cie1931).unwrap();
        let to = Xyz::white(&illuminant::d75(), Observer::Cie1931).unwrap();
        let colour = Xyz::from(c);
        for space in [ConeSpace::Cat16, ConeSpace::Cat02, ConeSpace::Bradford] {
            let there = adapt_in(space, colour, from, to, 1.0).unwrap();
            let back = adapt_in(space, there, to, from, 1.0).unwrap();
            prop_assert!((back - colour).to_array().iter().all(|v| v.abs() < 1e-9));
            // The degree mixes no adaptation with complete adaptation.
            let part = adapt_in(space, colour, from, to, d).unwrap();
            let mixed = there * d + colour * (1.0 - d);
            prop_assert!((part - mixed).to_array().iter().all(|v| v.abs() < 1e-9));
        }
    }

    #[test]
    fn metamerism_does_not_depend_on_the_level(a in spectrum(0.1..0.9), b in spectrum(0.1..0.9), k in 0.1..10.0f64) {
        let index = |light: Spectrum| {
            metamerism_index(&a, &b, &light, &illuminant::a(), Observer::Cie1931).unwrap()
        };
        let (first, second) = (index(illuminant::d65()), index(illuminant::d65() * k));
        prop_assert!(close(first.ab, second.ab, 1e-9) && close(first.ciede2000, second.ciede2000, 1e-9));
    }

    /// Undefined results are `None` or an error, never NaN.
    #[test]
    fn undefined_results_are_none_or_errors(s in wild(), light in wild(), o in observer()) {
        for xyz in [Xyz::absolute(&s, o), Xyz::of_transmission(&s, &light, o)] {
            let xy = xyz.chromaticity();
            if let Some(c) = xy {
                good("c.x", c.x)?;
                good("c.y", c.y)?;
                if let Some(d) = c.dominant(Chromaticity { x: 0.33, y: 0.33 }, o) {
                    good("d.wavelength_nm", d.wavelength_nm)?;
                    good("d.excitation_purity", d.excitation_purity)?;
                }
                if let Some(d) = (Chromaticity { x: 0.33, y: 0.33 }).dominant(c, o) {
                    good("d.wavelength_nm", d.wavelength_nm)?;
                    good("d.excitation_purity", d.excitation_purity)?;
                }
            }
            if let Some(uv) = xyz.u_prime_v_prime() {
                good("uv.u", uv.u)?;
                good("uv.v", uv.v)?;
            }
            if let Some(t) = xyz.cct_duv() {
                good("t.cct_k", t.cct_k)?;
                good("t.duv", t.duv)?;
            }
            if let Some(lab) = Xyz::white(&light, o).and_then(|white| xyz.lab(white)) {
                good("lab.l", lab.l)?;
                good("lab.a", lab.a)?;
                good("lab.b", lab.b)?;
            }
            if let Ok(adapted) = spectra::adapt(xyz, Xyz::new(95.0, 100.0, 108.0), Xyz::new(110.0, 100.0, 35.0), 0.9) {
                good("adapted.x + adapted.y + adapted.z", adapted.x + adapted.y + adapted.z)?;
            }
        }
        if let Ok(r) = colour_rendering(&s) {
            good("r.ra", r.ra)?;
            for r in r.r {
                good("r", r)?;
            }
        }
        if let Some(m) = metamerism_index(&s, &light, &illuminant::d65(), &illuminant::a(), o) {
            good("m.ab", m.ab)?;
            good("m.ciede2000", m.ciede2000)?;
        }
    }
}
