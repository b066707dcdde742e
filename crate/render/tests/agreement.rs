//! The picture of every demo against the 81-sample path: the mean colour of each piece in colour-true mode, glass
//! drawn even.

mod common;

use std::f64::consts::PI;

use render::{
    Factors, Headless, Light, LightTables, Look, NativeBackend, View, WindowMesh, XYZ_FROM_RGB, apply,
    contains, from_scene::SceneWindow, reference,
};
use scene::Resolved;
use spectra::{Xyz, ciede2000};

/// Half the width that a piece must extend around a pixel for it to count, pixels.
const CLEARANCE: f64 = 0.8;
/// Pixels compared in each piece.
const POINTS: usize = 12;

/// The pixels of a piece that no edge touches, thinned evenly.
fn inner_pixels(window: &SceneWindow, piece: usize, view: &View) -> Vec<[u32; 2]> {
    let shape = &window.model.pieces[piece].light_shape;
    let corners = shape.iter().flatten().map(|p| view.pixel_from_panel(*p));
    let (mut low, mut high) = ([f64::MAX; 2], [0.0_f64; 2]);
    for c in corners {
        for k in 0..2 {
            low[k] = low[k].min(c[k]);
            high[k] = high[k].max(c[k]);
        }
    }
    let mut found = Vec::new();
    for y in low[1].max(0.0) as u32..(high[1].max(0.0) as u32).min(view.size_px[1]) {
        for x in low[0].max(0.0) as u32..(high[0].max(0.0) as u32).min(view.size_px[0]) {
            let clear = [-1.0, 0.0, 1.0].iter().all(|dy| {
                [-1.0, 0.0, 1.0].iter().all(|dx| {
                    let p = [f64::from(x) + 0.5 + dx * CLEARANCE, f64::from(y) + 0.5 + dy * CLEARANCE];
                    contains(shape, view.panel_from_pixel(p))
                })
            });
            if clear {
                found.push([x, y]);
            }
        }
    }
    // Spread by the golden ratio, so that no row or column is preferred.
    let spread = |k: usize| (k as f64 * 0.618_033_988_75).fract() * found.len() as f64;
    if found.len() <= POINTS { found } else { (0..POINTS).map(|k| found[spread(k) as usize]).collect() }
}

fn resolved(text: &str) -> Resolved {
    let document = scene::read(text).unwrap_or_else(|e| panic!("{e:?}"));
    scene::resolve(&document, None).unwrap_or_else(|e| panic!("{e:?}"))
}

/// Its first window from a place, without the bars, which stand before the glass.
fn window_of(scene: &Resolved, place: Option<&str>) -> SceneWindow {
    let eye_m = scene.eye_m(place).expect("the scene names a place");
    let mut window = SceneWindow::new(scene, 0, eye_m).unwrap();
    window.model.bars.clear();
    window.mesh = WindowMesh::new(&window.model);
    window
}

/// Draws a window at some instants and compares every piece; returns the worst ΔE00 and where.
fn compare(
    device: &mut Headless,
    scene: &Resolved,
    window: &SceneWindow,
    instants: &[&str],
) -> (f64, String) {
    let view = View::fit(window.model.bounds(), [380, 700], 0.01);
    let look = Look::colour_true();
    let pixels: Vec<_> = (0..window.model.pieces.len()).map(|k| inner_pixels(window, k, &view)).collect();
    let seen = pixels.iter().filter(|p| !p.is_empty()).count();
    assert!(
        seen * 100 >= pixels.len() * 97,
        "only {seen} of {} pieces have a pixel of their own",
        pixels.len()
    );
    let mut worst = (0.0, String::new());
    for at in instants {
        let instant = scene.instant(at).unwrap().utc;
        let outside = scene.outside(instant).unwrap();
        // The sun's disc is no part of the direct path; it has a test of its own below.
        let light = Light { toward_sun: None, ..window.light(&outside, None) };
        device.set(&window.mesh, LightTables::new(&window.model, &window.optics, &light)).unwrap();
        let light = device.scene_light(view, look).unwrap();
        // White is what the picture shows as white, of the colour of D65.
        let white_cd_m2 = device.renderer().white_cd_m2().unwrap();
        let [x, y, z] = apply(&XYZ_FROM_RGB, [white_cd_m2; 3]);
        let white = Xyz::new(x, y, z);
        let surroundings = window.surroundings(&outside);
        for (piece, pixels) in pixels.iter().enumerate() {
            if pixels.is_empty() {
                continue;
            }
            let mut mean = [0.0; 3];
            for [x, y] in pixels {
                let rgb = light[(y * view.size_px[0] + x) as usize];
                for (m, v) in mean.iter_mut().zip(rgb) {
                    *m += f64::from(v) / pixels.len() as f64;
                }
            }
            let [x, y, z] = apply(&XYZ_FROM_RGB, mean);
            let drawn = Xyz::new(x, y, z);
            let points = pixels.iter().map(|p| view.panel_from_pixel(p.map(|c| f64::from(c) + 0.5)));
            let exact = reference::mean_xyz(
                &window.model,
                piece,
                points,
                view.mm_per_px,
                window.eye,
                &surroundings,
                window.transmittance(),
            )
            .expect("its pixels lie inside it");
            let (Some(a), Some(b)) = (drawn.lab(white), exact.lab(white)) else {
                panic!("no white at {at}");
            };
            let off = ciede2000(a, b);
            if off > worst.0 || off.is_nan() {
                worst = (off, format!("{at}, piece {piece}: drawn {drawn:?}, exact {exact:?}"));
            }
        }
    }
    worst
}

// Tolerance ΔE00 0.5: a just noticeable difference is about 1. What is left comes from five spectra for the sky,
// cubic interpolation over thickness, angles taken in the middle of each piece, and half floats.
#[test]
fn every_piece_of_every_demo_is_drawn_as_its_spectra_say() {
    let mut device = Headless::new(NativeBackend::Vulkan).unwrap();
    for (name, text, instants) in [
        (
            "estuary lancet",
            include_str!("../../../demo-scenes/estuary-lancet.json"),
            ["2026-11-25T15:00", "2026-06-21T12:00", "2026-06-21T20:30", "2026-11-25T16:20"],
        ),
        (
            "north corridor",
            include_str!("../../../demo-scenes/north-corridor.json"),
            ["2026-11-25T09:30", "2026-06-21T12:00", "2026-06-21T21:00", "2026-03-20T17:00"],
        ),
        (
            "small rose",
            include_str!("../../../demo-scenes/small-rose.json"),
            ["2026-11-25T10:00", "2026-06-21T07:00", "2026-06-21T13:00", "2026-09-22T18:00"],
        ),
    ] {
        let scene = resolved(text);
        let (worst, place) = compare(&mut device, &scene, &window_of(&scene, None), &instants);
        eprintln!("{name}: {worst:.3} at {place}");
        assert!(worst <= 0.5, "{name}: ΔE00 {worst:.3} at {place}");
    }
}

// The same tolerance under every kind of sky, with the horizon in view and the glass seen from close by.
#[test]
fn pieces_agree_under_every_kind_of_sky() {
    let mut scene = resolved(include_str!("../../../demo-scenes/estuary-lancet.json"));
    let mut device = Headless::new(NativeBackend::Vulkan).unwrap();
    let mut window = window_of(&scene, None);
    window.set_eye(render::Eye { position_mm: [500.0, 600.0, 1600.0] });
    let atmosphere = daylight::Atmosphere::default;
    let standard =
        |cie_type, spectrum| daylight::Sky::Standard { cie_type, spectrum, diffuse_horizontal_lx: None };
    let daylight_of = |cct_k| daylight::SkySpectrum::Daylight { cct_k };
    for sky in [
        daylight::Sky::Clear { atmosphere: atmosphere() },
        daylight::Sky::Clear { atmosphere: daylight::Atmosphere { aod_500nm: 0.4, ..atmosphere() } },
        daylight::Sky::Overcast { cloud: 0.5, atmosphere: atmosphere() },
        daylight::Sky::Overcast { cloud: 1.0, atmosphere: atmosphere() },
        standard(1, daylight_of(5500.0)),
        standard(5, daylight_of(6500.0)),
        standard(12, daylight_of(12000.0)),
        standard(15, daylight::SkySpectrum::ClearDiffuse),
    ] {
        scene.sky = sky.clone();
        let (worst, place) = compare(&mut device, &scene, &window, &["2026-06-21T19:30"]);
        eprintln!("{sky:?}: {worst:.3}");
        assert!(worst <= 0.5, "{sky:?}: ΔE00 {worst:.3} at {place}");
    }
}

// In the middle of the sun's disc a piece shows its regular transmittance times the disc: beam over πr².
// 1 %: sky and glow beside the disc count for less than 0.1 %, the direct value is taken at one point.
#[test]
fn the_suns_disc_is_seen_through_the_piece_it_stands_behind() {
    let scene = resolved(include_str!("../../../demo-scenes/estuary-lancet.json"));
    let outside = scene.outside(scene.instant("2026-06-21T19:30").unwrap().utc).unwrap();
    let mut window = window_of(&scene, None);
    // Stand so that the sun is behind the middle of a piece.
    let piece = 18;
    let middle = window.optics[piece].middle_mm;
    let sun = window.light(&outside, None).toward_sun.expect("the sun is up and in front of the wall");
    let away = 3000.0 / -sun[2];
    let eye = render::Eye { position_mm: [middle[0] - sun[0] * away, middle[1] - sun[1] * away, 3000.0] };
    window.set_eye(eye);
    let view = View { centre_mm: middle, mm_per_px: 1.0, size_px: [9, 9] };
    let look = Look { exposure: render::Exposure::White(1e6), ..Look::colour_true() };
    let mut device = Headless::new(NativeBackend::Any).unwrap();
    device.set(&window.mesh, window.tables(&outside, None)).unwrap();
    let drawn = apply(&XYZ_FROM_RGB, device.scene_light(view, look).unwrap()[40].map(f64::from))[1];
    let t = window.transmittance()(piece, Factors::PLAIN, eye.incidence_deg(middle)).regular;
    let disc_sr = PI * (daylight::SUN_DIAMETER_DEG / 2.0).to_radians().powi(2);
    let expected = spectra::luminous(&(t * outside.beam_normal())) / disc_sr;
    assert!(expected > 1e5, "{expected}");
    assert!((drawn / expected - 1.0).abs() < 0.01, "{drawn} {expected}");
}
