//! The window drawn without a graphics card: in a worker, in passes from coarse to fine.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Function, Promise, Uint8Array};
use render::png::{PngBytes, PngRows};
use render::{LightTables, TilePlan, View};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};
use wasm_bindgen_futures::future_to_promise;

use crate::contract::{FileRequest, PictureRequest};
use crate::drawn_scene::{DrawnScene, PreparedWindow};
use crate::error;
use crate::memory;
use crate::picture_request::{coarse, look, view};
use crate::request;
use crate::turn::next_turn;

/// Sides of the pixels of the coarse passes, in pixels of the finished picture that follows them.
const COARSE: [u32; 2] = [8, 3];
/// Sides of a tile with its margin, pixels: a few tens of milliseconds of work, so that a newer request hardly waits.
const TILE_PX: u32 = 320;
/// Most pixels of a file, so that they fit in a browser tab's memory.
const MOST_PNG_PX: u64 = 60_000_000;
/// Wall that a file shows around the window, as a share of the window's smaller side.
const MARGIN: f64 = 0.06;

/// A scene whose windows are drawn by the processor: the same picture, slower.
#[wasm_bindgen]
pub struct SoftwarePicture {
    scene: DrawnScene,
    /// The newest picture; an older one stops before its next part.
    newest: Rc<Cell<u32>>,
}

#[wasm_bindgen]
impl SoftwarePicture {
    /// Opens the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<SoftwarePicture, JsError> {
        memory::reserve();
        let scene = DrawnScene::open(text).map_err(|faults| error::from_faults(&faults))?;
        Ok(Self { scene, newest: Rc::default() })
    }

    /// Takes the current scene; what has not changed is kept.
    pub fn open(&mut self, text: &str) -> Result<(), JsError> {
        self.scene.replace(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Draws a picture in passes, each finer than the one before, and yields between its parts. Any picture in progress
    /// stops. `request` is JSON, a `PictureRequest` with its `gamut`.
    ///
    /// `part` is called with `[side, top, width, height]` and RGBA8 from the top: each pixel of the part is `side` pixels
    /// of the picture wide and high, and `top` counts rows of the part. The promise resolves to whether the whole
    /// picture was drawn. Throws if the request cannot be drawn.
    pub fn draw(&mut self, request: &str, part: Function) -> Result<Promise, JsError> {
        let newest = self.newest.clone();
        let mine = newest.get().wrapping_add(1);
        newest.set(mine);
        let request: PictureRequest =
            request::read(request, "PictureRequest").map_err(|faults| error::from_faults(&faults))?;
        let PictureRequest { window, place, at, mode, mark_unshowable, gamut, .. } = &request;
        let gamut = gamut.ok_or_else(|| {
            error::from_fault("gamut", "\"srgb\" or \"display_p3\"", "nothing: the field is missing")
        })?;
        let look = look(*mode, *mark_unshowable, gamut.into());
        let (window, tables) = self.show(window, place, at)?;
        let whole = view(&request, window.page);
        Ok(future_to_promise(async move {
            let mesh = &window.window.mesh;
            let hand_on = |side: u32, top: u32, width: u32, pixels: &[u8]| {
                let rows = pixels.len() as u32 / 4 / width.max(1);
                let place = Array::of4(&side.into(), &top.into(), &width.into(), &rows.into());
                part.call2(&JsValue::NULL, &place, &Uint8Array::from(pixels))
            };
            for side in COARSE {
                let view = coarse(&whole, side);
                let pixels = render::SoftwarePicture::on_screen(mesh, &tables, look).tile(view);
                hand_on(side, 0, view.size_px[0], &pixels)?;
                next_turn().await?;
                if newest.get() != mine {
                    return Ok(JsValue::FALSE);
                }
            }
            let plan = TilePlan::new(whole, Some(&tables), &look, TILE_PX);
            let mut picture = render::SoftwarePicture::new(mesh, &tables, look);
            let mut joined = plan.join();
            for tile in plan.tiles() {
                let pixels = picture.tile(tile.view);
                if let Some(rows) = joined.take(&tile, &pixels) {
                    hand_on(1, tile.at_px[1], whole.size_px[0], rows)?;
                }
                next_turn().await?;
                if newest.get() != mine {
                    return Ok(JsValue::FALSE);
                }
            }
            Ok(JsValue::TRUE)
        }))
    }

    /// The whole window as a PNG file tagged with its colour space. `request` is JSON, a `FileRequest`. `progress` is
    /// called with the share done, 0–1. `caption`: rows of RGBA8 that follow the picture, as wide as it is. Throws if the
    /// file would have more than 60 million pixels, or if the caption is not of whole rows.
    pub fn png(
        &mut self,
        request: &str,
        caption: Option<Vec<u8>>,
        progress: &Function,
    ) -> Result<Uint8Array, JsError> {
        let FileRequest { window, place, at, mode, mark_unshowable, gamut, width_px: width } =
            request::read(request, "FileRequest").map_err(|faults| error::from_faults(&faults))?;
        let look = look(mode, mark_unshowable, gamut.into());
        let (window, tables) = self.show(&window, &place, &at)?;
        let bounds = window.window.bounds();
        let [across, down] = bounds.size();
        let margin = MARGIN * across.min(down);
        let bounds = bounds.grown(margin);
        let mm_per_px = bounds.size()[0] / f64::from(width);
        let height = (bounds.size()[1] / mm_per_px).round().clamp(1.0, f64::from(u32::MAX)) as u32;
        let caption = caption.unwrap_or_default();
        let row = 4 * width as usize;
        if !caption.len().is_multiple_of(row) {
            let found = format!("{} bytes", caption.len());
            return Err(error::from_fault("caption", &format!("whole rows of {row} bytes"), &found));
        }
        let below = (caption.len() / row) as u32;
        let of_file = height.saturating_add(below);
        if u64::from(width) * u64::from(of_file) > MOST_PNG_PX {
            return Err(error::from_text(
                "a width that gives at most 60 million pixels",
                format!("{width} × {of_file} pixels"),
            ));
        }
        let whole = View { centre_mm: bounds.centre(), mm_per_px, size_px: [width, height] };
        let failed = |found| error::from_text("a picture that can be written", found);
        let file = PngBytes::default();
        let mut rows = PngRows::new(file.clone(), [width, of_file], look.gamut).map_err(failed)?;
        let mut picture = render::SoftwarePicture::new(&window.window.mesh, &tables, look);
        picture.picture_rows(whole, TILE_PX, |rgba, share| {
            rows.write(rgba).map_err(failed)?;
            // An error in the page's callback does not stop the picture.
            let _ = progress.call1(&JsValue::NULL, &share.into());
            Ok::<_, JsError>(())
        })?;
        rows.write(&caption).map_err(failed)?;
        rows.finish().map_err(failed)?;
        let file = file.take();
        Ok(Uint8Array::from(file.as_slice()))
    }

    /// Stops the picture in progress.
    pub fn stop(&self) {
        self.newest.set(self.newest.get().wrapping_add(1));
    }
}

impl SoftwarePicture {
    /// The prepared window, and the light of the hour.
    fn show(
        &mut self,
        window: &str,
        place: &str,
        at: &str,
    ) -> Result<(Rc<PreparedWindow>, LightTables), JsError> {
        let prepared = self.scene.show(window, place)?;
        let tables = self.scene.tables(&prepared, at)?;
        Ok((prepared, tables))
    }
}
