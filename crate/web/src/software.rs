//! The window drawn without a graphics card: in a worker, in passes from coarse to fine.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Function, Promise, Uint8Array};
use render::png::{PngBytes, PngRows};
use render::{LightTables, TilePlan, View};
use scene::Resolved;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};
use wasm_bindgen_futures::future_to_promise;

use crate::error;
use crate::shown::{Shown, resolved};
use crate::turn::next_turn;
use crate::wish::{Wish, coarse};

/// Sides of the pixels of the coarse passes, in pixels of the finished picture that follows them.
const COARSE: [u32; 2] = [8, 3];
/// Sides of a tile with its margin, pixels: some tens of milliseconds of work, so that a newer wish hardly waits.
const TILE_PX: u32 = 320;
/// Pixels of a file: what a browser's tab has memory for.
const MOST_PNG_PX: u64 = 60_000_000;
/// Wall that a file shows round the window, as a share of the window's smaller side.
const MARGIN: f64 = 0.06;

/// A scene whose windows are drawn by the processor: the same picture, slower.
#[wasm_bindgen]
pub struct SoftwarePicture {
    resolved: Resolved,
    shown: Option<Rc<Shown>>,
    /// Which picture is the newest; an older one stops before its next part.
    newest: Rc<Cell<u32>>,
}

#[wasm_bindgen]
impl SoftwarePicture {
    /// From the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<SoftwarePicture, JsError> {
        Ok(Self { resolved: resolved(text)?, shown: None, newest: Rc::default() })
    }

    /// Takes the scene as it is now; what has not changed is kept.
    pub fn open(&mut self, text: &str) -> Result<(), JsError> {
        self.resolved = resolved(text)?;
        Ok(())
    }

    /// Draws a picture in passes, each finer than the one before, and gives way between its parts; a picture that is
    /// under way stops. `wish` is JSON: `window`, `place` (empty for the first), `at`, `mode`, `mark_unshowable`,
    /// `gamut` (`srgb` or `display_p3`), `width_px`, `height_px`, `centre_x_mm` and `centre_y_mm` from the left and
    /// the **top** of the sight size, `mm_per_px`.
    ///
    /// `part` is called with `[side, top, width, height]` and RGBA8 from the top: `side` is how many pixels of the
    /// picture one of the part is wide and high, `top` in the part's own rows. The promise holds whether the whole
    /// was drawn.
    pub fn draw(&mut self, wish: &str, part: Function) -> Result<Promise, JsError> {
        let newest = self.newest.clone();
        let mine = newest.get().wrapping_add(1);
        newest.set(mine);
        let wish = Wish::read(wish)?;
        let look = wish.look_in_its_colours()?;
        let (shown, tables) = self.show(&wish)?;
        let whole = wish.view(shown.height_mm())?;
        Ok(future_to_promise(async move {
            let mesh = &shown.window.mesh;
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

    /// The whole window as a PNG file that names its colours. `wish` is JSON as for `draw`, of the sizes only
    /// `width_px`. `progress` is called with the share that is done, 0–1. Throws where the picture would have more
    /// than 60 million pixels.
    pub fn png(&mut self, wish: &str, progress: &Function) -> Result<Uint8Array, JsError> {
        let wish = Wish::read(wish)?;
        let look = wish.look_in_its_colours()?;
        let (shown, tables) = self.show(&wish)?;
        let width = wish.size_px("width_px")?;
        let bounds = shown.window.model.bounds();
        let [across, down] = bounds.size();
        let margin = MARGIN * across.min(down);
        let bounds = bounds.grown(margin);
        let mm_per_px = bounds.size()[0] / f64::from(width);
        let height = (bounds.size()[1] / mm_per_px).round().clamp(1.0, f64::from(u32::MAX)) as u32;
        if u64::from(width) * u64::from(height) > MOST_PNG_PX {
            return Err(error::from_text(
                "a width that makes a picture of at most 60 million pixels",
                format!("{width} × {height} pixels"),
            ));
        }
        let size = [width, height];
        let whole = View { centre_mm: bounds.centre(), mm_per_px, size_px: size };
        let failed = |found| error::from_text("a picture that can be written", found);
        let file = PngBytes::default();
        let mut rows = PngRows::new(file.clone(), size, look.gamut).map_err(failed)?;
        let mut picture = render::SoftwarePicture::new(&shown.window.mesh, &tables, look);
        picture.picture_rows(whole, TILE_PX, |rgba, share| {
            rows.write(rgba).map_err(failed)?;
            // What the page's word about progress comes to is its own affair.
            let _ = progress.call1(&JsValue::NULL, &share.into());
            Ok::<_, JsError>(())
        })?;
        rows.finish().map_err(failed)?;
        let file = file.take();
        Ok(Uint8Array::from(file.as_slice()))
    }

    /// Stops the picture that is under way.
    pub fn stop(&self) {
        self.newest.set(self.newest.get().wrapping_add(1));
    }
}

impl SoftwarePicture {
    /// The window made ready, and the light of the hour.
    fn show(&mut self, wish: &Wish) -> Result<(Rc<Shown>, LightTables), JsError> {
        let before = self.shown.take().map(Rc::unwrap_or_clone);
        let (shown, _) = Shown::after(before, &self.resolved, &wish.window, &wish.place)?;
        let shown = Rc::new(shown);
        self.shown = Some(shown.clone());
        let tables = shown.tables(&wish.at)?;
        Ok((shown, tables))
    }
}
