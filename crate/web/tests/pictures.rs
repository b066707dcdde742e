//! The same window drawn through WebGPU, through WebGL2 and without a GPU, in a real browser, is the same picture.
//!
//! Natively the renderer's own tests hold Vulkan and GL to the picture without a GPU; this holds the browser's two
//! interfaces to it, and so all of them to one another.
#![cfg(target_arch = "wasm32")]

use render::{BrowserBackend, CanvasRenderer, Gamut, Look, SceneWindow, View, software_picture};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::OffscreenCanvas;

wasm_bindgen_test_configure!(run_in_browser);

const SIZE: [u32; 2] = [200, 520];

fn canvas() -> OffscreenCanvas {
    OffscreenCanvas::new(SIZE[0], SIZE[1]).expect("a canvas")
}

async fn next_turn() {
    let turn = js_sys::Promise::new(&mut |resolve, _| {
        let window = web_sys::window().expect("a page");
        window.set_timeout_with_callback(&resolve).expect("a timer");
    });
    wasm_bindgen_futures::JsFuture::from(turn).await.expect("a turn");
}

async fn drawn(
    backend: BrowserBackend,
    window: &SceneWindow,
    lights: &[render::LightTables],
    view: View,
    look: Look,
) -> Vec<Vec<u8>> {
    let mut canvas = CanvasRenderer::for_canvas(canvas(), backend, Gamut::Srgb).await.expect("a device");
    canvas.resize(SIZE);
    canvas.renderer().set_window(&window.mesh);
    canvas.renderer().set_view(view);
    canvas.renderer().set_look(look);
    let mut pictures = Vec::new();
    for light in lights {
        canvas.renderer().set_light(light.clone()).expect("tables that fit");
        canvas.draw().expect("a frame");
        let pending = canvas.begin_picture().expect("a picture");
        pictures.push(loop {
            next_turn().await;
            if let Some(pixels) = canvas.poll_picture(&pending).expect("pixels") {
                break pixels;
            }
        });
    }
    pictures
}

/// Pixels of which a channel differs by more than 2 of 255: the bound that any two ways of drawing are held to.
fn beyond_two(a: &[u8], b: &[u8]) -> usize {
    assert_eq!(a.len(), b.len());
    let pixels = a.chunks_exact(4).zip(b.chunks_exact(4));
    pixels.filter(|(a, b)| a.iter().zip(*b).any(|(a, b)| a.abs_diff(*b) > 2)).count()
}

/// A pixel whose middle lies exactly on an edge belongs to one side or the other, as the driver has it.
const PIXELS_ON_EDGES: usize = (SIZE[0] * SIZE[1] / 10_000) as usize;

#[wasm_bindgen_test]
async fn webgpu_webgl2_and_no_gpu_agree() {
    let text = web::demo("estuary-lancet").unwrap_or_else(|_| panic!("the demo is there"));
    let scene = scene::resolve(&scene::read(&text).expect("a scene"), None).expect("a whole scene");
    let window = SceneWindow::new(&scene, 0, scene.eye_m(None).expect("a place")).expect("a window");
    let lights: Vec<_> = ["2026-09-22T12:00", "2026-09-22T17:45", "2026-09-22T19:30"]
        .iter()
        .map(|at| {
            let outside = scene.outside(scene.instant(at).expect("a time").utc).expect("a sky");
            window.tables(&outside, None)
        })
        .collect();
    let view = View::fit(window.model.bounds(), SIZE, 0.03);
    for look in [Look::default(), Look::colour_true()] {
        let webgpu = drawn(BrowserBackend::WebGpu, &window, &lights, view, look).await;
        let webgl2 = drawn(BrowserBackend::WebGl2, &window, &lights, view, look).await;
        for (k, light) in lights.iter().enumerate() {
            let without = software_picture(&window.mesh, light, &view, &look);
            assert!(without.chunks_exact(4).any(|p| p[0] > 40 || p[1] > 40), "the picture is lit");
            for (name, a, b) in [
                ("WebGPU and WebGL2", &webgpu[k], &webgl2[k]),
                ("WebGPU and no GPU", &webgpu[k], &without),
                ("WebGL2 and no GPU", &webgl2[k], &without),
            ] {
                let beyond = beyond_two(a, b);
                assert!(beyond <= PIXELS_ON_EDGES, "{name}, light {k}, {look:?}: {beyond} pixels differ");
            }
        }
    }
}
