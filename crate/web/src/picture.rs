//! The window drawn by a graphics card on a canvas, in a worker.

use std::cell::RefCell;
use std::rc::Rc;

use render::{BrowserBackend, CanvasRenderer, Gamut, Look};
use scene::read_edit;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::OffscreenCanvas;

use crate::contract::PictureRequest;
use crate::drawn_scene::{DrawnScene, PreparedWindow};
use crate::error;
use crate::memory;
use crate::picture_request::{coarse, look, view};
use crate::request;

/// A picture bound to a canvas. After a loss, drop it, put a **new** canvas in place and attach another.
#[wasm_bindgen]
pub struct Picture {
    inner: RefCell<Inner>,
}

struct Inner {
    canvas: CanvasRenderer,
    scene: Option<DrawnScene>,
    /// What is on the canvas; `None` if the scene has changed since.
    drawn: Option<Drawn>,
}

struct Drawn {
    text: String,
    request: PictureRequest,
    side: u32,
}

#[wasm_bindgen]
impl Picture {
    /// Binds to a canvas. `prefer`: `webgpu` or `webgl2` uses only that; anything else uses WebGPU if available,
    /// otherwise WebGL2. `wide`: the screen has the gamut of Display P3. Rejects if there is no such interface.
    pub async fn attach(canvas: OffscreenCanvas, prefer: String, wide: bool) -> Result<Picture, JsError> {
        let backend = match prefer.as_str() {
            "webgpu" => BrowserBackend::WebGpu,
            "webgl2" => BrowserBackend::WebGl2,
            _ => BrowserBackend::Any,
        };
        let gamut = if wide { Gamut::DisplayP3 } else { Gamut::Srgb };
        let canvas = CanvasRenderer::for_canvas(canvas, backend, gamut)
            .await
            .map_err(|found| error::from_text("a browser with WebGPU or WebGL2", found))?;
        let inner = Inner { canvas, scene: None, drawn: None };
        Ok(Self { inner: RefCell::new(inner) })
    }

    /// `WebGPU` or `WebGL2`.
    pub fn backend(&self) -> String {
        self.inner.borrow().canvas.backend().to_owned()
    }

    /// The canvas's actual gamut: `srgb` or `display_p3`.
    pub fn gamut(&self) -> String {
        match self.inner.borrow().canvas.gamut() {
            Gamut::Srgb => "srgb".to_owned(),
            Gamut::DisplayP3 => "display_p3".to_owned(),
        }
    }

    /// Takes a scene from the text of its file; what has not changed since the last one is kept. Throws every fault of it.
    pub fn open(&self, text: &str) -> Result<(), JsError> {
        let mut inner = self.inner.borrow_mut();
        inner.drawn = None;
        let opened = match &mut inner.scene {
            Some(scene) => scene.replace(text),
            None => {
                memory::reserve();
                DrawnScene::open(text).map(|scene| inner.scene = Some(scene))
            }
        };
        opened.map_err(|faults| error::from_faults(&faults))
    }

    /// Applies an edit of the document. Throws the faults that the edited scene would have; nothing has changed then.
    pub fn apply(&self, edit: &str) -> Result<(), JsError> {
        let mut inner = self.inner.borrow_mut();
        let Some(scene) = &mut inner.scene else { return Ok(()) };
        let edited = read_edit(edit).and_then(|edit| scene.apply(edit));
        if edited.map_err(|faults| error::from_faults(&faults))? {
            inner.drawn = None;
        }
        Ok(())
    }

    /// Prepares a window (empty for the first) seen from a named place (empty for the first) before any picture is
    /// requested. Throws if there is no such window or place.
    pub fn prepare(&self, window: &str, place: &str) -> Result<(), JsError> {
        let mut inner = self.inner.borrow_mut();
        inner.drawn = None;
        let first = || inner.scene.as_ref().map(DrawnScene::first_window).unwrap_or_default();
        let window = if window.is_empty() { first() } else { window.to_owned() };
        inner.show(&window, place).map(|_| ())
    }

    /// Draws a frame; `request` is JSON, a `PictureRequest`. Each pixel is `side` of the request's wide and high: on a
    /// slow card a coarse picture comes first, without the spread of light in the eye. Only what has changed since the
    /// last frame is computed again. Returns false, without drawing, if nothing has changed. Throws if the request
    /// cannot be drawn or the device is lost.
    pub fn draw(&self, request: &str, side: u32) -> Result<bool, JsError> {
        let mut inner = self.inner.borrow_mut();
        if inner.drawn.as_ref().is_some_and(|drawn| drawn.text == request && drawn.side <= side)
            && !inner.canvas.is_lost()
        {
            return Ok(false);
        }
        // After an error the canvas may hold half of the request.
        let before = inner.drawn.take();
        let read: PictureRequest =
            request::read(request, "PictureRequest").map_err(|faults| error::from_faults(&faults))?;
        inner.draw(&read, side, before.as_ref().map(|drawn| &drawn.request))?;
        inner.drawn = Some(Drawn { text: request.to_owned(), request: read, side });
        Ok(true)
    }

    /// Whether the device has drawn the last frame, or is gone.
    pub fn done(&self) -> bool {
        self.inner.borrow().canvas.is_done()
    }

    /// Whether the device has reported that it is gone.
    pub fn lost(&self) -> bool {
        self.inner.borrow().canvas.is_lost()
    }

    /// Marks the device as gone, when the worker reports it: WebGL2 tells only the canvas.
    pub fn mark_lost(&self) {
        self.inner.borrow().canvas.mark_lost();
    }
}

impl Inner {
    fn show(&mut self, window: &str, place: &str) -> Result<Rc<PreparedWindow>, JsError> {
        let Some(scene) = &mut self.scene else {
            return Err(error::from_text("a scene to draw", "none"));
        };
        let prepared = scene.show(window, place)?;
        if scene.take_new_shapes() {
            self.canvas.renderer().set_window(&prepared.window.mesh);
        }
        Ok(prepared)
    }

    fn draw(
        &mut self,
        request: &PictureRequest,
        side: u32,
        before: Option<&PictureRequest>,
    ) -> Result<(), JsError> {
        let PictureRequest { window, place, at, mode, mark_unshowable, .. } = request;
        // After an edit, everything drawn is stale.
        let prepared = self.show(window, place)?;
        let same_light =
            before.is_some_and(|before| (&before.window, &before.place, &before.at) == (window, place, at));
        if !same_light && let Some(scene) = &self.scene {
            let tables = scene.tables(&prepared, at)?;
            let taken = self.canvas.renderer().set_light(tables);
            taken
                .map_err(|found| error::from_text("a graphics device large enough for the tables", found))?;
        }
        let view = coarse(&view(request, prepared.page), side);
        self.canvas.resize(view.size_px);
        let look = look(*mode, *mark_unshowable, self.canvas.gamut());
        self.canvas.renderer().set_coarse(side > 1);
        self.canvas.renderer().set_look(Look { spread: side <= 1, ..look });
        self.canvas.renderer().set_view(view);
        self.canvas.draw().map_err(|found| error::from_text("a graphics device", found))
    }
}
