//! The picture of every demo against the 81-sample path, every piece, in colour-true mode: the mean colour of even
//! glass, and single pixels of varied glass with the same factors as in the picture.

use std::f64::consts::PI;
use std::sync::LazyLock;

use plane::{PanelPoint, PanelSpacePoint, contains};
use render::{
    Bounds, Factors, Headless, Light, LightTables, Look, NativeBackend, OutsideOfWall, SceneWindow, View,
    WindowMesh,
    reference::{self, Drawn, Scatters},
};
use scene::Resolved;
use spectra::{Observer, Spectrum, Xyz, ciede2000, rgb::xyz_from_linear_srgb};

/// Half the width that a piece must extend around a pixel for it to count, pixels.
const CLEARANCE: f64 = 0.8;
/// Pixels compared in each piece.
const POINTS: usize = 3;

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

/// The view of a whole window.
fn whole_view(window: &SceneWindow) -> View {
    View::fit(window.model.bounds(), [380, 700], 0.01)
}

/// The pixels of a piece to compare, and a view in which it has some.
struct Sample {
    piece: usize,
    /// `None`: the view of the whole window.
    close: Option<View>,
    pixels: Vec<[u32; 2]>,
}

/// All pieces. Those too small for the whole view are seen from close by, around the widest place found in them.
fn samples(window: &SceneWindow) -> Vec<Sample> {
    let whole = &whole_view(window);
    let pieces = 0..window.model.pieces.len();
    let sample = |piece: usize| {
        let pixels = inner_pixels(window, piece, whole);
        if !pixels.is_empty() {
            return Sample { piece, close: None, pixels };
        }
        let shape = &window.model.pieces[piece].light_shape;
        let bounds = Bounds::of(shape.iter().flatten()).expect("a piece has corners");
        let close = View::fit(bounds, [24, 24], 0.0);
        let pixels = inner_pixels(window, piece, &close);
        assert!(!pixels.is_empty(), "piece {piece} has no pixel of its own, not even from close by");
        Sample { piece, close: Some(close), pixels }
    };
    pieces.map(sample).collect()
}

fn resolved(text: &str) -> Resolved {
    let document = scene::read(text).unwrap_or_else(|e| panic!("{e:?}"));
    scene::resolve(&document, None).unwrap_or_else(|e| panic!("{e:?}"))
}

/// The first window seen from a place, without the bars in front of the glass, the strokes on it and the fading of
/// its matting.
fn window_of(scene: &Resolved, place: Option<&str>) -> SceneWindow {
    let eye_m = scene.eye_m(place).expect("the scene names a place");
    let mut window = SceneWindow::new(scene, 0, eye_m).unwrap();
    window.model.bars.clear();
    window.model.overlays.clear();
    // Only the mesh knows the distance of a point from the lead.
    window.model.pieces.iter_mut().for_each(|piece| piece.fade = render::Fade::default());
    window.mesh = WindowMesh::new(&window.model);
    window
}

/// The worst ΔE00 of even and of varied glass, and where.
#[derive(Default)]
struct Worst {
    even: (f64, String),
    varied: (f64, String),
    /// Number of varied pixels compared.
    pixels: usize,
}

impl Worst {
    fn take(worst: &mut (f64, String), drawn: [f64; 3], exact: &Spectrum, white: Xyz, place: String) {
        let (drawn, exact) = (xyz_from_linear_srgb(drawn.into()), Xyz::absolute(exact, Observer::Cie1931));
        let (Some(a), Some(b)) = (drawn.lab(white), exact.lab(white)) else { panic!("no white, {place}") };
        let off = ciede2000(a, b);
        if off > worst.0 || off.is_nan() {
            *worst = (off, format!("{place}: drawn {drawn:?}, exact {exact:?}"));
        }
    }
}

/// Spectrum of a pixel of varied glass, with the factors, the layer shares and the place seen that the shader's
/// twin gives; `None` if an upright edge of the world outside runs through.
fn varied_spectrum(
    window: &SceneWindow,
    (surroundings, scatters): (&OutsideOfWall<'_>, Option<&Scatters>),
    bounds: Bounds,
    piece: usize,
    point: PanelPoint,
    drawn: &Drawn,
) -> Option<Spectrum> {
    let shares = drawn.layers?;
    // The picture knows the world only as far as its field reaches.
    let seen = PanelPoint::from(drawn.seen_mm.vector().clamp(bounds.min.vector(), bounds.max.vector()));
    let layers = surroundings.layers(window.horizon(), window.eye.direction_through(seen));
    let mut behind = surroundings.outside.ground_radiance() * drawn.ground;
    for (share, layer) in shares.iter().zip(&layers) {
        behind.add_scaled(*share, layer);
    }
    let t = window.transmittance()(piece, drawn.factors, window.eye.incidence_deg(point));
    let ahead = window.eye.direction_through(drawn.seen_mm);
    let scattered = reference::scattered(scatters, surroundings, ahead);
    Some((t.regular * behind + t.diffuse * scattered) * drawn.gain)
}

/// Draws a window at some instants and compares every piece.
fn compare(
    device: &mut Headless,
    scene: &Resolved,
    window: &SceneWindow,
    samples: &[Sample],
    instants: &[&str],
) -> Worst {
    let whole = whole_view(window);
    let even = Look::colour_true();
    let varied = Look { variation: 1.0, ..even };
    let mut worst = Worst::default();
    for at in instants {
        let instant = scene.instant(at).unwrap().utc;
        let outside = scene.outside(instant).unwrap();
        // The direct path does not include the sun's disc, which has its own test below.
        let light = Light { disc: Spectrum::ZERO, ..window.light(&outside, None) };
        let field = light.field.bounds;
        let tables = LightTables::new(&window.model, &window.optics, &light);
        device.set(&window.mesh, tables.clone()).unwrap();
        let surroundings = window.surroundings(&outside);
        let pictures = [even, varied].map(|look| device.scene_light(whole, look).unwrap());
        // White is the luminance that the picture shows as white, in the colour of D65.
        let white_cd_m2 = device.renderer().white_cd_m2().unwrap();
        let white = xyz_from_linear_srgb([white_cd_m2; 3].into());
        for Sample { piece, close, pixels } in samples {
            let close_pictures =
                close.map(|view| [even, varied].map(|look| device.scene_light(view, look).unwrap()));
            let (view, [even, varied]) =
                (close.unwrap_or(whole), close_pictures.as_ref().unwrap_or(&pictures));
            let place = |what: &str| format!("{at}, piece {piece}, {what}");
            let pixel = |picture: &[[f32; 3]], [x, y]: [u32; 2]| {
                picture[(y * view.size_px[0] + x) as usize].map(f64::from)
            };
            let point = |p: [u32; 2]| view.panel_from_pixel(p.map(|c| f64::from(c) + 0.5));
            let scatters = Scatters::new(window.optics[*piece].angle_deg, |angle_deg| {
                window.transmittance()(*piece, Factors::PLAIN, angle_deg)
            });
            let mut mean = [0.0; 3];
            for p in pixels {
                for (m, v) in mean.iter_mut().zip(pixel(even, *p)) {
                    *m += v / pixels.len() as f64;
                }
                let drawn = reference::drawn_at(&tables, &view, 1.0, *piece, point(*p));
                let exact = varied_spectrum(
                    window,
                    (&surroundings, scatters.as_ref()),
                    field,
                    *piece,
                    point(*p),
                    &drawn,
                );
                if let Some(exact) = exact {
                    Worst::take(&mut worst.varied, pixel(varied, *p), &exact, white, place("varied"));
                    worst.pixels += 1;
                }
            }
            let exact = reference::mean_spectrum(
                &window.model,
                *piece,
                pixels.iter().map(|p| point(*p)),
                view.mm_per_px,
                window.eye,
                (&surroundings, scatters.as_ref()),
                window.transmittance(),
            )
            .expect("its pixels lie inside it");
            Worst::take(&mut worst.even, mean, &exact, white, place("even"));
        }
    }
    worst
}

fn check(name: &str, worst: &Worst, compared: usize) {
    let (even, varied) = (&worst.even, &worst.varied);
    eprintln!("{name}: even {:.3}, varied {:.3} over {} pixels", even.0, varied.0, worst.pixels);
    assert!(even.0 <= 0.5, "{name}: ΔE00 {:.3} at {}", even.0, even.1);
    assert!(varied.0 <= 0.5, "{name}: ΔE00 {:.3} at {}", varied.0, varied.1);
    // Upright edges run through few places.
    assert!(worst.pixels >= compared, "{name}: only {} pixels of varied glass", worst.pixels);
}

const DEMOS: [(&str, &str, [&str; 4]); 3] = [
    (
        "estuary lancet",
        include_str!("../../../../demo-scenes/estuary-lancet.json"),
        ["2026-11-25T15:00", "2026-06-21T12:00", "2026-06-21T20:30", "2026-11-25T16:20"],
    ),
    (
        "north corridor",
        include_str!("../../../../demo-scenes/north-corridor.json"),
        ["2026-11-25T09:30", "2026-06-21T12:00", "2026-06-21T21:00", "2026-03-20T17:00"],
    ),
    (
        "small rose",
        include_str!("../../../../demo-scenes/small-rose.json"),
        ["2026-11-25T10:00", "2026-06-21T07:00", "2026-06-21T13:00", "2026-09-22T18:00"],
    ),
];

/// Pixels to compare in each of [`DEMOS`]: they depend on the shapes of the pieces alone, so that glass, light and the
/// place of the eye may change.
static SAMPLES: LazyLock<[Vec<Sample>; 3]> =
    LazyLock::new(|| DEMOS.map(|(_, text, _)| samples(&window_of(&resolved(text), None))));

// Tolerance ΔE00 0.5: a just noticeable difference is about 1. The remaining error comes from five spectra for the
// sky, cubic interpolation over thickness, angles taken in the middle of each piece, and half floats.
#[test]
fn every_piece_of_every_demo_matches_its_spectra() {
    let mut device = Headless::new(NativeBackend::Vulkan).unwrap();
    for ((name, text, instants), samples) in DEMOS.into_iter().zip(&*SAMPLES) {
        let scene = resolved(text);
        let window = window_of(&scene, None);
        let worst = compare(&mut device, &scene, &window, samples, &instants);
        check(name, &worst, window.model.pieces.len() * instants.len());
    }
}

// The same tolerance under every kind of sky, for every demo; the lancet with the horizon in view and from close by.
#[test]
fn pieces_agree_under_every_kind_of_sky() {
    let mut device = Headless::new(NativeBackend::Vulkan).unwrap();
    let atmosphere = daylight::Atmosphere::default;
    let standard =
        |cie_type, spectrum| daylight::Sky::Standard { cie_type, spectrum, diffuse_horizontal_lx: None };
    let daylight_of = |cct_k| daylight::SkySpectrum::Daylight { cct_k };
    for (k, (name, text, _)) in DEMOS.into_iter().enumerate() {
        let mut scene = resolved(text);
        let mut window = window_of(&scene, None);
        if k == 0 {
            window.set_eye(render::Eye { position_mm: PanelSpacePoint::new(500.0, 600.0, 1600.0) });
        }
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
            let worst = compare(&mut device, &scene, &window, &SAMPLES[k], &["2026-06-21T19:30"]);
            check(&format!("{name}, {sky:?}"), &worst, window.model.pieces.len());
        }
    }
}

// Every kind of glass that varies in more than thickness, in the place of the first demo's pieces.
#[test]
fn every_kind_of_glass_agrees() {
    let mut scene = resolved(DEMOS[0].1);
    let kinds: Vec<_> = glass::library()
        .iter()
        .filter(|g| g.kind != glass::Kind::Clear || g.streak.is_some() || g.flash.is_some())
        .collect();
    for (k, piece) in scene.windows[0].pieces.iter_mut().enumerate() {
        let mut plate = glass::Plate::new(kinds[k % kinds.len()].clone(), 3.0);
        if k % 2 == 0 {
            plate.flash_left = 0.5;
        }
        piece.makeup = glass::Makeup { plates: vec![plate], ..piece.makeup.clone() };
        piece.makeup.paints.clear();
    }
    let window = window_of(&scene, None);
    let mut device = Headless::new(NativeBackend::Vulkan).unwrap();
    let worst = compare(&mut device, &scene, &window, &SAMPLES[0], &["2026-06-21T19:30"]);
    check("every kind", &worst, window.model.pieces.len());
}

// In the middle of the sun's disc a piece shows its regular transmittance times the disc: beam over πr².
// 1 %: sky and glow beside the disc count for less than 0.1 %, the direct value is taken at one point.
#[test]
fn the_suns_disc_is_seen_through_the_piece_it_stands_behind() {
    let scene = resolved(include_str!("../../../../demo-scenes/estuary-lancet.json"));
    let outside = scene.outside(scene.instant("2026-06-21T19:30").unwrap().utc).unwrap();
    let mut window = window_of(&scene, None);
    // Stand so that the sun is behind the middle of a piece.
    let piece = 18;
    let middle = window.optics[piece].middle_mm;
    let sun = window.light(&outside, None).toward_sun.expect("the sun is up and in front of the wall");
    let away = 3000.0 / -sun[2];
    let [x, y] = [0, 1].map(|axis| middle[axis] - sun[axis] * away);
    let eye = render::Eye { position_mm: PanelSpacePoint::new(x, y, 3000.0) };
    window.set_eye(eye);
    let view = View { centre_mm: middle, mm_per_px: 1.0, size_px: [9, 9] };
    let look = Look { exposure: render::Exposure::White(1e6), ..Look::colour_true() };
    let mut device = Headless::new(NativeBackend::Any).unwrap();
    device.set(&window.mesh, window.tables(&outside, None)).unwrap();
    let drawn = xyz_from_linear_srgb(device.scene_light(view, look).unwrap()[40].map(f64::from).into()).y;
    let t = window.transmittance()(piece, Factors::PLAIN, eye.incidence_deg(middle)).regular;
    let disc_sr = PI * (daylight::SUN_DIAMETER_DEG / 2.0).to_radians().powi(2);
    let expected = spectra::luminous(&(t * outside.beam_normal())) / disc_sr;
    assert!(expected > 1e5, "{expected}");
    assert!((drawn / expected - 1.0).abs() < 0.01, "{drawn} {expected}");
}
