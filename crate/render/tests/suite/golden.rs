//! Small pictures compared with committed ones. `CLERESTORY_UPDATE_GOLDEN=1` redraws them; inspect them afterwards.

use std::path::Path;

use crate::common::{Hour, small_light, small_optics, small_window};
use render::{
    Gamut, Headless, LightTables, Look, Mode, NativeBackend, SceneWindow, View, WindowMesh, png::encode,
};

const SIZE: [u32; 2] = [240, 360];
/// Pictures of demos are no larger than this in either direction.
const DEMO_SIDE: f64 = 220.0;

fn read(path: &Path) -> Option<Vec<u8>> {
    let file = std::fs::File::open(path).ok()?;
    let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().ok()?;
    let mut pixels = vec![0; reader.output_buffer_size()?];
    reader.next_frame(&mut pixels).ok()?;
    Some(pixels)
}

/// Two tiers. Every channel is within 2 of 255, the bound between backends; but one pixel in a thousand may differ
/// by up to 12, where another driver rounds a corner of the lead the other way.
pub(crate) fn check(name: &str, rgba: &[u8], size: [u32; 2]) {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(format!("{name}.png"));
    let file = encode(rgba, size, Gamut::Srgb).unwrap();
    assert!(file.len() <= 110_000, "{name}: {} bytes", file.len());
    if std::env::var_os("CLERESTORY_UPDATE_GOLDEN").is_some() {
        std::fs::create_dir_all(golden.parent().unwrap()).unwrap();
        std::fs::write(&golden, file).unwrap();
        return;
    }
    let expected = read(&golden).unwrap_or_else(|| panic!("{} cannot be read", golden.display()));
    let actual: Vec<u8> = rgba.chunks_exact(4).flat_map(|p| p[..3].to_vec()).collect();
    assert_eq!(actual.len(), expected.len());
    let off: Vec<u8> = actual.iter().zip(&expected).map(|(a, b)| a.abs_diff(*b)).collect();
    let beyond = |limit: u8| off.chunks_exact(3).filter(|p| p.iter().any(|d| *d > limit)).count();
    if beyond(2) > off.len() / 3000 || beyond(12) > 0 {
        let to = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let difference: Vec<u8> = off
            .chunks_exact(3)
            .flat_map(|p| [p[0], p[1], p[2]].map(|d| d.saturating_mul(16)).into_iter().chain([255]))
            .collect();
        std::fs::write(to.join(format!("{name}-actual.png")), file).unwrap();
        let difference = encode(&difference, size, Gamut::Srgb).unwrap();
        std::fs::write(to.join(format!("{name}-difference.png")), difference).unwrap();
        panic!(
            "{name}: {} pixels off by more than 2, {} by more than 12; see {}",
            beyond(2),
            beyond(12),
            to.display()
        );
    }
}

#[test]
fn the_small_window_at_four_hours() {
    let model = small_window();
    let mesh = WindowMesh::new(&model);
    let optics = small_optics(&model);
    let mut device = Headless::new(NativeBackend::Any).unwrap();
    let view = View::fit(model.bounds(), SIZE, 0.05);
    for (name, hour) in
        [("overcast", Hour::Overcast), ("low-sun", Hour::LowSun), ("noon", Hour::Noon), ("dusk", Hour::Dusk)]
    {
        device.set(&mesh, LightTables::new(&model, &optics, &small_light(&model, hour))).unwrap();
        check(name, &device.picture(view, Look::default()).unwrap(), SIZE);
    }
    let look = Look { mode: Mode::ColourTrue, show_clipped: true, ..Look::default() };
    check("dusk-colour-true", &device.picture(view, look).unwrap(), SIZE);
    let close = view.zoomed(4.0, [90.0, 150.0]);
    check("dusk-close", &device.picture(close, Look::default()).unwrap(), SIZE);
}

#[test]
fn each_demo_at_four_hours() {
    let mut device = Headless::new(NativeBackend::Any).unwrap();
    for (name, text, hours) in [
        (
            "estuary-lancet",
            include_str!("../../../../demo-scenes/estuary-lancet.json"),
            ["2026-11-25T15:00", "2026-06-21T12:00", "2026-09-22T17:45", "2026-11-25T16:20"],
        ),
        (
            "north-corridor",
            include_str!("../../../../demo-scenes/north-corridor.json"),
            ["2026-02-11T10:30", "2026-06-21T12:00", "2026-06-21T21:00", "2026-11-25T16:20"],
        ),
        (
            "small-rose",
            include_str!("../../../../demo-scenes/small-rose.json"),
            ["2026-10-14T09:00", "2026-06-21T07:00", "2026-06-21T13:00", "2026-11-25T16:30"],
        ),
    ] {
        let document = scene::read(text).unwrap();
        let scene = scene::resolve(&document, None).unwrap();
        let window = SceneWindow::new(&scene, 0, scene.eye_m(None).unwrap()).unwrap();
        let bounds = window.model.bounds();
        let [width, height] = bounds.size();
        let scale = DEMO_SIDE / width.max(height);
        let size = [width, height].map(|side| (side * scale).ceil() as u32 + 8);
        let view = View::fit(bounds, size, 0.02);
        for hour in hours {
            let outside = scene.outside(scene.instant(hour).unwrap().utc).unwrap();
            device.set(&window.mesh, window.tables(&outside, None)).unwrap();
            let picture = device.picture(view, Look::default()).unwrap();
            check(&format!("{name}-{}", hour.replace(':', "")), &picture, size);
        }
    }
}
