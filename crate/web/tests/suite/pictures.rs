//! In a real browser, WebGPU, WebGL2 and the processor draw the same picture of a window. Requests of the page are
//! drawn, or refused with the place of the fault.
//!
//! The renderer's own native tests compare Vulkan and GL with the picture without a GPU. This compares the browser's
//! two interfaces with it, and so all of them with one another.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Function, Uint8Array};
use render::{BrowserBackend, CanvasRenderer, Gamut, Look, SceneWindow, View, software_picture};
use serde_json::{Value, json};
use wasm_bindgen::prelude::{Closure, JsCast, JsError, JsValue};
use wasm_bindgen_futures::JsFuture;
use wasm_bindgen_test::wasm_bindgen_test;
use web_sys::OffscreenCanvas;

use crate::demos::ESTUARY;

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

/// Number of pixels with a channel that differs by more than 2 of 255, the bound for any two ways of drawing.
fn beyond_two(a: &[u8], b: &[u8]) -> usize {
    assert_eq!(a.len(), b.len());
    let pixels = a.chunks_exact(4).zip(b.chunks_exact(4));
    pixels.filter(|(a, b)| a.iter().zip(*b).any(|(a, b)| a.abs_diff(*b) > 2)).count()
}

/// A pixel whose middle lies exactly on an edge belongs to either side, depending on the driver.
const PIXELS_ON_EDGES: usize = (SIZE[0] * SIZE[1] / 10_000) as usize;

#[wasm_bindgen_test]
async fn webgpu_webgl2_and_no_gpu_agree() {
    let scene = scene::resolve(&scene::read(ESTUARY).expect("a scene"), None).expect("a whole scene");
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

fn request() -> Value {
    json!({
        "window": "west", "place": "", "at": "2026-09-22T12:00", "mode": "appearance", "mark_unshowable": false,
        "gamut": "srgb", "width_px": 60, "height_px": 100, "centre_x_mm": 300.0, "centre_y_mm": 500.0,
        "mm_per_px": 10.0
    })
}

fn file_request() -> Value {
    let mut request = request();
    let fields = request.as_object_mut().expect("an object");
    fields.retain(|key, _| !["height_px", "centre_x_mm", "centre_y_mm", "mm_per_px"].contains(&key.as_str()));
    request
}

fn with(mut request: Value, key: &str, value: Value) -> String {
    request[key] = value;
    request.to_string()
}

fn without(mut request: Value, key: &str) -> String {
    request.as_object_mut().expect("an object").remove(key);
    request.to_string()
}

/// The result of a request that must succeed.
fn given<T>(result: Result<T, JsError>) -> T {
    result.unwrap_or_else(|error| panic!("{:?}", JsValue::from(error)))
}

/// The places of the faults of a request that must be refused.
fn refused<T>(result: Result<T, JsError>) -> Vec<String> {
    let error: js_sys::Error = JsValue::from(result.err().expect("a refusal")).unchecked_into();
    let refusal: Value = serde_json::from_str(&String::from(error.message())).expect("faults as JSON");
    let faults = refusal["faults"].as_array().expect("a list of faults");
    faults.iter().map(|fault| fault["path"].as_str().expect("a path").to_owned()).collect()
}

/// Width and height from the header of a PNG.
fn size_of_png(file: &[u8]) -> [u32; 2] {
    [16, 20].map(|at| u32::from_be_bytes(file[at..at + 4].try_into().expect("a header")))
}

#[wasm_bindgen_test]
async fn the_processor_draws_what_is_requested_and_names_what_is_wrong() {
    let mut picture = given(web::SoftwarePicture::new(ESTUARY));
    let rows = Rc::new(Cell::new(0));
    let counted = rows.clone();
    let part = Closure::<dyn Fn(Array, Uint8Array)>::new(move |place: Array, pixels: Uint8Array| {
        let [side, width, height] = [0, 2, 3].map(|i| place.get(i).as_f64().expect("a number") as u32);
        assert_eq!(pixels.length(), 4 * width * height);
        if side == 1 {
            assert_eq!(width, 60);
            counted.set(counted.get() + height);
        }
    });
    let call: &Function = part.as_ref().unchecked_ref();
    let drawing = given(picture.draw(&request().to_string(), call.clone()));
    assert_eq!(JsFuture::from(drawing).await.expect("a picture"), JsValue::TRUE);
    assert_eq!(rows.get(), 100);

    let done = Rc::new(Cell::new(0.0));
    let heard = done.clone();
    let progress = Closure::<dyn Fn(f64)>::new(move |share: f64| heard.set(share));
    let progress: &Function = progress.as_ref().unchecked_ref();
    let file = given(picture.png(&file_request().to_string(), None, progress)).to_vec();
    assert_eq!((&file[..4], done.get()), (&b"\x89PNG"[..], 1.0));
    // A caption is so many more rows.
    let wide = size_of_png(&file)[0];
    let caption = vec![0x15; (4 * wide * 7) as usize];
    let captioned = given(picture.png(&file_request().to_string(), Some(caption), progress)).to_vec();
    assert_eq!(size_of_png(&captioned), [wide, size_of_png(&file)[1] + 7]);
    let ragged = picture.png(&file_request().to_string(), Some(vec![0x15; 5]), progress);
    assert_eq!(refused(ragged), ["caption"]);

    let draw = |picture: &mut web::SoftwarePicture, text: &str| refused(picture.draw(text, call.clone()));
    assert_eq!(draw(&mut picture, &without(request(), "gamut")), ["gamut"]);
    assert_eq!(draw(&mut picture, &with(request(), "width_px", json!(0))), ["width_px"]);
    assert_eq!(draw(&mut picture, &with(request(), "zoom", json!(2))), ["zoom"]);
    assert_eq!(draw(&mut picture, &with(request(), "window", json!("nowhere"))), [""]);
    let png = |picture: &mut web::SoftwarePicture, text: &str| refused(picture.png(text, None, progress));
    assert_eq!(png(&mut picture, &without(file_request(), "mode")), ["mode"]);
    assert_eq!(png(&mut picture, &request().to_string()).len(), 4);
}

#[wasm_bindgen_test]
async fn the_card_draws_what_is_requested_and_names_what_is_wrong() {
    let picture = given(web::Picture::attach(canvas(), "webgl2".to_owned(), false).await);
    assert_eq!((picture.backend(), picture.gamut()), ("WebGL2".to_owned(), "srgb".to_owned()));
    given(picture.open(ESTUARY));
    let draw = |text: &str| picture.draw(text, 1);
    assert!(given(draw(&without(request(), "gamut"))));
    assert!(!given(draw(&without(request(), "gamut"))), "nothing is new");
    assert!(given(draw(&with(request(), "at", json!("2026-09-22T17:45")))));
    assert_eq!(refused(draw(&with(request(), "mm_per_px", json!("1")))), ["mm_per_px"]);
    assert_eq!(refused(draw(&with(request(), "mode", json!("sepia")))), ["mode"]);
    // After a refusal the picture is drawn again.
    assert!(given(draw(&with(request(), "at", json!("2026-09-22T17:45")))));
}
