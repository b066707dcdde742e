//! The same picture on Vulkan, on OpenGL and without a GPU.

use crate::common::{Hour, small_light, small_optics, small_window};
use render::{
    Gamut, Headless, LightTables, Look, Mode, NativeBackend, SoftwarePicture, View, WindowMesh,
    software_picture,
};

pub(crate) fn open(backend: NativeBackend) -> Headless {
    Headless::new(backend).unwrap_or_else(|e| {
        panic!("{e}. These tests need Mesa's software drivers: apt-get install mesa-vulkan-drivers libegl1")
    })
}

/// Largest difference of a channel, and how many pixels differ by more than 1.
pub(crate) fn difference(a: &[u8], b: &[u8]) -> (u8, usize) {
    assert_eq!(a.len(), b.len());
    let by_pixel = a
        .chunks_exact(4)
        .zip(b.chunks_exact(4))
        .map(|(a, b)| a.iter().zip(b).map(|(a, b)| a.abs_diff(*b)).max().unwrap_or(0));
    by_pixel.fold((0, 0), |(most, count), d| (most.max(d), count + usize::from(d > 1)))
}

// Tolerance 2 of 255: half floats between the passes round by 1/2048, which the tone curve turns into up to one
// step, and drivers differ in the last bits of exp and pow.
#[test]
fn vulkan_gl_and_software_agree() {
    let model = small_window();
    let mesh = WindowMesh::new(&model);
    let optics = small_optics(&model);
    let (mut vulkan, mut gl) = (open(NativeBackend::Vulkan), open(NativeBackend::Gl));
    let view = View::fit(model.bounds(), [200, 300], 0.05);
    let close = view.zoomed(5.0, [70.0, 140.0]).panned([3.0, 2.0]);
    let far = View { mm_per_px: 7.0, ..view };
    let looks = [
        Look::default(),
        Look { mode: Mode::ColourTrue, gamut: Gamut::DisplayP3, show_clipped: true, ..Look::default() },
    ];
    for hour in [Hour::Overcast, Hour::LowSun, Hour::Noon, Hour::Dusk] {
        let tables = LightTables::new(&model, &optics, &small_light(&model, hour));
        vulkan.set(&mesh, tables.clone()).unwrap();
        gl.set(&mesh, tables.clone()).unwrap();
        for view in [view, close, far] {
            for look in looks {
                let a = vulkan.picture(view, look).unwrap();
                let b = gl.picture(view, look).unwrap();
                let c = software_picture(&mesh, &tables, &view, &look);
                let (ab, ac) = (difference(&a, &b), difference(&a, &c));
                eprintln!("{hour:?} {:?}: GL {ab:?}, software {ac:?}", look.mode);
                assert!(ab.0 <= 2, "{hour:?}: Vulkan and GL differ by {ab:?}");
                assert!(ac.0 <= 2, "{hour:?}: Vulkan and the CPU differ by {ac:?}");
            }
        }
    }
}

// Tolerance 2 of 255: positions are computed from another centre, and rounding moves an edge by 1e-4 of a pixel.
#[test]
fn tiles_join_without_a_seam() {
    let model = small_window();
    let mesh = WindowMesh::new(&model);
    let tables = LightTables::new(&model, &small_optics(&model), &small_light(&model, Hour::LowSun));
    let mut device = open(NativeBackend::Any);
    device.set(&mesh, tables.clone()).unwrap();
    // Off centre, so that no edge lies half way between two nodes of the grid that corners snap to. The second is
    // wider than a device's tile.
    let fitted = View::fit(model.bounds(), [150, 220], 0.05).panned([0.23, 0.31]);
    let wide = View { mm_per_px: fitted.mm_per_px / 9.0, size_px: [1100, 70], ..fitted };
    for look in [Look::default(), Look { show_clipped: true, ..Look::colour_true() }] {
        for view in [fitted, wide] {
            let whole = SoftwarePicture::new(&mesh, &tables, look).tile(view);
            let (mut joined, mut shares) = (Vec::new(), Vec::new());
            let mut picture = SoftwarePicture::new(&mesh, &tables, look);
            let told: Result<(), ()> = picture.picture_rows(view, 96, |rows, share| {
                joined.extend_from_slice(rows);
                shares.push(share);
                Ok(())
            });
            told.unwrap();
            assert!(shares.len() > 3 && shares.is_sorted() && shares.ends_with(&[1.0]), "{shares:?}");
            let mut of_device = Vec::new();
            let told: Result<(), render::RenderError> = device.picture_rows(view, look, |rows| {
                of_device.extend_from_slice(rows);
                Ok(())
            });
            told.unwrap();
            assert!(difference(&whole, &joined).0 <= 2, "{:?}", difference(&whole, &joined));
            assert!(difference(&whole, &of_device).0 <= 2, "{:?}", difference(&whole, &of_device));
        }
    }
}

#[test]
fn a_warmed_up_device_has_nothing_set_and_draws_the_same() {
    let model = small_window();
    let mesh = WindowMesh::new(&model);
    let tables = LightTables::new(&model, &small_optics(&model), &small_light(&model, Hour::LowSun));
    let view = View::fit(model.bounds(), [60, 90], 0.05);
    let mut cold = open(NativeBackend::Any);
    cold.set(&mesh, tables.clone()).unwrap();
    let before = cold.picture(view, Look::default()).unwrap();
    let mut warm = open(NativeBackend::Any);
    warm.renderer().warm_up().unwrap();
    assert!(warm.picture(view, Look::default()).unwrap().chunks_exact(4).all(|p| p[..3] == [0; 3]));
    warm.set(&mesh, tables).unwrap();
    assert!(warm.picture(view, Look::default()).unwrap() == before);
}

#[test]
fn with_nothing_set_the_picture_is_black() {
    let mut device = open(NativeBackend::Any);
    let view = View { centre_mm: plane::PanelPoint::default(), mm_per_px: 1.0, size_px: [8, 8] };
    let picture = device.picture(view, Look::default()).unwrap();
    assert!(picture.chunks_exact(4).all(|p| p[..3].iter().all(|v| *v <= 1)));
    let empty = render::WindowModel::default();
    let tables = LightTables::new(&empty, &[], &small_light(&small_window(), Hour::Noon));
    device.set(&WindowMesh::new(&empty), tables).unwrap();
    device.picture(view, Look::default()).unwrap();
}
