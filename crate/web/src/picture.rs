//! The window drawn on a canvas of the page.

use std::cell::RefCell;

use render::{BrowserBackend, CanvasRenderer, Gamut, View};
use scene::Resolved;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::HtmlCanvasElement;

use crate::document::SceneDocument;
use crate::error;
use crate::look::Wished;
use crate::shown::{BeingMade, Shown};

/// A picture bound to a canvas element. After a loss, drop it, put a **new** canvas in place and attach another.
#[wasm_bindgen]
pub struct Picture {
    inner: RefCell<Inner>,
}

struct Inner {
    canvas: CanvasRenderer,
    wished: Wished,
    shown: Option<Shown>,
    /// What is to be shown next.
    being_made: Option<BeingMade>,
    at: Option<String>,
}

#[wasm_bindgen]
impl Picture {
    /// Binds to a canvas. `prefer` is `webgpu` or `webgl2` to take that or nothing; anything else takes WebGPU where
    /// there is one, otherwise WebGL2. Rejects where there is neither.
    pub async fn attach(canvas: HtmlCanvasElement, prefer: String) -> Result<Picture, JsError> {
        let backend = match prefer.as_str() {
            "webgpu" => BrowserBackend::WebGpu,
            "webgl2" => BrowserBackend::WebGl2,
            _ => BrowserBackend::Any,
        };
        let gamut = if screen_is_wide() { Gamut::DisplayP3 } else { Gamut::Srgb };
        let canvas = CanvasRenderer::for_canvas(canvas, backend, gamut)
            .await
            .map_err(|found| error::from_text("a browser with WebGPU or WebGL2", found))?;
        Ok(Self {
            inner: RefCell::new(Inner {
                canvas,
                wished: Wished::default(),
                shown: None,
                being_made: None,
                at: None,
            }),
        })
    }

    /// `WebGPU` or `WebGL2`.
    pub fn backend(&self) -> String {
        self.inner.borrow().canvas.backend().to_owned()
    }

    /// Shows a window of the document from a named place (empty for the first). The hour stays; the first call takes
    /// the document's own. Where more has changed than pieces, the window is only begun: [`go_on`](Self::go_on) says
    /// when it is ready.
    pub fn show(&self, document: &SceneDocument, window: &str, place: &str) -> Result<(), JsError> {
        self.inner.borrow_mut().show(document.resolved(), window, place)
    }

    /// Goes on with a window that was begun, for about `most_ms`. Whether all is ready to be drawn.
    pub fn go_on(&self, most_ms: f64) -> Result<bool, JsError> {
        self.inner.borrow_mut().go_on(most_ms)
    }

    /// Takes the light of another hour: civil time at the site.
    pub fn set_at(&self, at: &str) -> Result<(), JsError> {
        self.inner.borrow_mut().set_at(at)
    }

    /// How it is shown, as JSON: `mode` is `colour_true` to compare colours or `appearance` for what it feels like
    /// from the dim room; with `mark_unshowable` stripes lie over what the screen cannot show.
    pub fn set_look(&self, look: &str) -> Result<(), JsError> {
        let wished = Wished::read(look)?;
        let mut inner = self.inner.borrow_mut();
        inner.wished = wished;
        inner.set_look();
        Ok(())
    }

    /// The colours that the canvas really has: `srgb` or `display_p3`.
    pub fn gamut(&self) -> String {
        match self.inner.borrow().canvas.gamut() {
            Gamut::Srgb => "srgb".to_owned(),
            Gamut::DisplayP3 => "display_p3".to_owned(),
        }
    }

    /// Follows the canvas's size, device pixels.
    pub fn resize(&self, width_px: u32, height_px: u32) {
        self.inner.borrow_mut().canvas.resize([f64::from(width_px), f64::from(height_px)], 1.0);
    }

    /// Which part is shown: the middle in mm from the left and from the **top** of the sight size, and mm for each
    /// device pixel.
    pub fn set_view(&self, centre_x_mm: f64, centre_y_down_mm: f64, mm_per_px: f64) {
        let mut inner = self.inner.borrow_mut();
        let height_mm = inner.shown.as_ref().map_or(0.0, Shown::height_mm);
        let size_px = inner.canvas.renderer().view().size_px;
        let centre_mm = [centre_x_mm, height_mm - centre_y_down_mm];
        inner.canvas.renderer().set_view(View { centre_mm, mm_per_px, size_px });
    }

    /// Draws a frame. Throws when the device is lost.
    pub fn draw(&self) -> Result<(), JsError> {
        let drawn = self.inner.borrow_mut().canvas.draw();
        drawn.map_err(|found| error::from_text("a graphics device", found))
    }

    /// Whether the device has said that it is gone.
    pub fn lost(&self) -> bool {
        self.inner.borrow().canvas.is_lost()
    }

    /// Takes the page's word that the device is gone: WebGL2 tells only the canvas.
    pub fn mark_lost(&self) {
        self.inner.borrow().canvas.mark_lost();
    }
}

/// Whether the screen has the colours of Display P3.
fn screen_is_wide() -> bool {
    let query = web_sys::window().and_then(|window| window.match_media("(color-gamut: p3)").ok().flatten());
    query.is_some_and(|query| query.matches())
}

impl Inner {
    fn show(&mut self, resolved: &Resolved, window: &str, place: &str) -> Result<(), JsError> {
        self.being_made = None;
        match self.shown.take().and_then(|shown| shown.edited(resolved, window, place)) {
            Some((shown, new_shapes)) => self.take(shown, new_shapes),
            None => {
                self.being_made = Some(BeingMade::new(resolved, window, place)?);
                Ok(())
            }
        }
    }

    fn go_on(&mut self, most_ms: f64) -> Result<bool, JsError> {
        let Some(mut being_made) = self.being_made.take() else { return Ok(true) };
        let begun = js_sys::Date::now();
        while being_made.next_piece() {
            if js_sys::Date::now() - begun >= most_ms {
                self.being_made = Some(being_made);
                return Ok(false);
            }
        }
        self.take(being_made.finish()?, true)?;
        Ok(true)
    }

    fn take(&mut self, shown: Shown, new_shapes: bool) -> Result<(), JsError> {
        if new_shapes {
            self.canvas.renderer().set_window(&shown.window.mesh);
        }
        let at = self.at.clone().unwrap_or_else(|| shown.scene().at.clone());
        self.shown = Some(shown);
        self.set_look();
        self.set_at(&at)
    }

    fn set_at(&mut self, at: &str) -> Result<(), JsError> {
        let Some(shown) = &self.shown else {
            self.at = Some(at.to_owned());
            return Ok(());
        };
        let tables = shown.tables(at)?;
        self.at = Some(at.to_owned());
        let set = self.canvas.renderer().set_light(tables);
        set.map_err(|found| error::from_text("a graphics device that holds the tables", found))
    }

    fn set_look(&mut self) {
        let look = self.wished.on(self.canvas.gamut());
        self.canvas.renderer().set_look(look);
    }
}
