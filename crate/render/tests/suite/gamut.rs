//! Colours look the same whatever primaries a screen has.

#![allow(missing_docs, reason = "a test")]

use crate::common::{Hour, small_light, small_optics, small_window};
use render::{Gamut, LightTables, Look, View, WindowMesh, software_picture};
use spectra::rgb::{linear_display_p3_from_xyz, xyz_from_linear_srgb};

/// Code value of a primary below which the shoulder of the tone curve has not begun.
const SHOULDER_CODE: u8 = 180;

/// sRGB's curve, which Display P3 shares (IEC 61966-2-1), to linear.
fn linear(code: u8) -> f64 {
    let v = f64::from(code) / 255.0;
    if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
}

// Tolerance: half a step of 255 of each of the two roundings, in linear light, through a matrix whose rows sum to 1.
#[test]
fn display_p3_and_srgb_agree_on_colours_that_both_can_show() {
    let model = small_window();
    let mesh = WindowMesh::new(&model);
    let tables = LightTables::new(&model, &small_optics(&model), &small_light(&model, Hour::Noon));
    let view = View::fit(model.bounds(), [120, 180], 0.05);
    // In appearance mode, bright colours are rolled off by their largest primary, which differs between gamuts.
    // There, only colours below the shoulder are the same.
    for (look, brightest) in [(Look::default(), SHOULDER_CODE), (Look::colour_true(), 254)] {
        let picture = |gamut| software_picture(&mesh, &tables, &view, &Look { gamut, ..look });
        let (srgb, p3) = (picture(Gamut::Srgb), picture(Gamut::DisplayP3));
        let (mut compared, mut coloured, mut wider) = (0, 0, 0);
        for (a, b) in srgb.as_chunks::<4>().0.iter().zip(p3.as_chunks::<4>().0) {
            if a[..3].iter().any(|v| *v == 0 || *v > brightest) {
                wider += usize::from(a != b);
                continue;
            }
            compared += 1;
            coloured += usize::from(a[..3].iter().any(|v| v.abs_diff(a[0]) > 20));
            let xyz = xyz_from_linear_srgb([a[0], a[1], a[2]].map(linear).into());
            let wanted = <[f64; 3]>::from(linear_display_p3_from_xyz(xyz));
            for (k, wanted) in wanted.into_iter().enumerate() {
                let found = linear(b[k]);
                // In linear light, a step is widest at the code above.
                let step = linear(b[k].saturating_add(1)) - found;
                let steps =
                    a[..3].iter().map(|v| linear(v.saturating_add(1)) - linear(*v)).fold(0.0, f64::max);
                assert!((found - wanted).abs() <= 0.75 * (step + steps), "{look:?}: {a:?} {b:?}");
            }
        }
        assert!(compared > 2_000 && coloured > 500, "{compared} {coloured}");
        assert!(wider > 0, "the window has colours that only Display P3 shows");
    }
}
