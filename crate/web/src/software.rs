//! The window drawn without a graphics card: in a worker, in passes from coarse to fine.

use std::cell::Cell;
use std::rc::Rc;

use js_sys::{Array, Function, Promise, Uint8Array};
use render::{Gamut, Mode, View, software_picture};
use scene::{Resolved, read, resolve};
use serde_json::Value;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};
use wasm_bindgen_futures::future_to_promise;

use crate::error;
use crate::picture::look_of;
use crate::shown::Shown;
use crate::turn::next_turn;

/// Sides of the pixels of each pass, in pixels of the finished picture.
const PASSES: [u32; 3] = [8, 3, 1];
/// Pixels of a part: some tens of milliseconds of work, so that a newer wish hardly waits.
const PART_PX: u32 = 1 << 16;
/// Largest side of a picture, pixels.
const MOST_PX: u64 = 16_384;

/// A scene whose windows are drawn by the processor: the same picture, slower.
#[wasm_bindgen]
pub struct SoftwarePicture {
    resolved: Resolved,
    shown: Option<Rc<Shown>>,
    /// Which picture is the newest; an older one stops before its next part.
    newest: Rc<Cell<u32>>,
}

/// A picture as it is wished.
struct Wish {
    window: String,
    place: String,
    at: String,
    mode: Mode,
    gamut: Gamut,
    centre_mm: [f64; 2],
    mm_per_px: f64,
    size_px: [u32; 2],
}

impl Wish {
    fn read(text: &str) -> Result<Self, JsError> {
        let value: Value =
            serde_json::from_str(text).map_err(|found| error::from_text("a picture as JSON", found))?;
        let missing = |key: &str| error::from_text(&format!("a value for “{key}”"), &value[key]);
        let text = |key: &str| value[key].as_str().map(str::to_owned).ok_or_else(|| missing(key));
        let number = |key: &str| value[key].as_f64().filter(|v| v.is_finite()).ok_or_else(|| missing(key));
        let size = |key: &str| match value[key].as_u64() {
            Some(px @ 1..=MOST_PX) => Ok(px as u32),
            _ => Err(missing(key)),
        };
        let mm_per_px = number("mm_per_px")?;
        if mm_per_px <= 0.0 {
            return Err(missing("mm_per_px"));
        }
        Ok(Self {
            window: text("window")?,
            place: text("place")?,
            at: text("at")?,
            mode: if text("mode")? == "colour_true" { Mode::ColourTrue } else { Mode::Appearance },
            gamut: if text("gamut")? == "display_p3" { Gamut::DisplayP3 } else { Gamut::Srgb },
            centre_mm: [number("centre_x_mm")?, number("centre_y_mm")?],
            mm_per_px,
            size_px: [size("width_px")?, size("height_px")?],
        })
    }
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
    /// under way stops. `wish` is JSON: `window`, `place` (empty for the first), `at`, `mode`, `gamut` (`srgb` or
    /// `display_p3`), `width_px`, `height_px`, `centre_x_mm` and `centre_y_mm` from the left and the **top** of the
    /// sight size, `mm_per_px`.
    ///
    /// `part` is called with `[side, top, width, height]` and RGBA8 from the top: `side` is how many pixels of the
    /// picture one of the part is wide and high, `top` in the part's own rows. The promise holds whether the whole
    /// was drawn.
    pub fn draw(&mut self, wish: &str, part: Function) -> Result<Promise, JsError> {
        let newest = self.newest.clone();
        let mine = newest.get().wrapping_add(1);
        newest.set(mine);
        let wish = Wish::read(wish)?;
        let before = self.shown.take().map(Rc::unwrap_or_clone);
        let (shown, _) = Shown::after(before, &self.resolved, &wish.window, &wish.place)?;
        let shown = Rc::new(shown);
        self.shown = Some(shown.clone());
        let tables = shown.tables(&wish.at)?;
        let look = look_of(wish.mode, wish.gamut);
        let [x, y_down] = wish.centre_mm;
        let whole = View {
            centre_mm: [x, shown.height_mm() - y_down],
            mm_per_px: wish.mm_per_px,
            size_px: wish.size_px,
        };
        Ok(future_to_promise(async move {
            for side in PASSES {
                let view = coarse(&whole, side);
                let [width, height] = view.size_px;
                let rows = if side == 1 { (PART_PX / width).next_multiple_of(8) } else { height };
                for top in (0..height).step_by(rows as usize) {
                    let rows = rows.min(height - top);
                    let tile = view.tile([0, top], [width, rows]);
                    let pixels = software_picture(&shown.window.mesh, &tables, &tile, &look);
                    let place = Array::of4(&side.into(), &top.into(), &width.into(), &rows.into());
                    part.call2(&JsValue::NULL, &place, &Uint8Array::from(pixels.as_slice()))?;
                    next_turn().await?;
                    if newest.get() != mine {
                        return Ok(JsValue::FALSE);
                    }
                }
            }
            Ok(JsValue::TRUE)
        }))
    }

    /// Stops the picture that is under way.
    pub fn stop(&self) {
        self.newest.set(self.newest.get().wrapping_add(1));
    }
}

fn resolved(text: &str) -> Result<Resolved, JsError> {
    read(text).and_then(|scene| resolve(&scene, None)).map_err(|faults| error::from_faults(&faults))
}

/// The same picture in larger pixels, from the same corner; what is over lies beyond its right and lower edges.
fn coarse(whole: &View, side: u32) -> View {
    let size_px = whole.size_px.map(|px| px.div_ceil(side));
    let middle = size_px.map(|px| f64::from(px * side) / 2.0);
    View { centre_mm: whole.panel_from_pixel(middle), mm_per_px: whole.mm_per_px * f64::from(side), size_px }
}
