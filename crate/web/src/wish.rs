//! What the page wishes to see, as JSON: the same for every way of drawing.

use render::{Gamut, Look, Mode, View};
use serde_json::Value;
use wasm_bindgen::JsError;

use crate::error;

/// Largest side of a picture, pixels.
const MOST_PX: u32 = 16_384;

/// A picture: `window`, `place` (empty for the first), `at`, `mode` (`appearance` for what it feels like from the dim
/// room, `colour_true` to compare colours), `mark_unshowable` for stripes over what the screen cannot show; which
/// part of it: `width_px`, `height_px`, `centre_x_mm` and `centre_y_mm` from the left and the **top** of the sight
/// size, `mm_per_px`; and where no canvas decides it, `gamut` (`srgb` or `display_p3`).
#[derive(Debug)]
pub(crate) struct Wish {
    pub(crate) window: String,
    pub(crate) place: String,
    pub(crate) at: String,
    mode: Mode,
    mark_unshowable: bool,
    value: Value,
}

fn missing(value: &Value, key: &str) -> JsError {
    error::from_text(&format!("a value for “{key}” that can be drawn"), &value[key])
}

impl Wish {
    /// Reads what is shown and how; the rest when it is asked for.
    ///
    /// # Errors
    /// The text is no JSON, or a value is missing or none that there is.
    pub(crate) fn read(text: &str) -> Result<Self, JsError> {
        let value: Value =
            serde_json::from_str(text).map_err(|found| error::from_text("a picture as JSON", found))?;
        let text = |key: &str| value[key].as_str().map(str::to_owned).ok_or_else(|| missing(&value, key));
        let mode = match value["mode"].as_str() {
            Some("appearance") => Mode::Appearance,
            Some("colour_true") => Mode::ColourTrue,
            _ => return Err(error::from_text("“appearance” or “colour_true” for “mode”", &value["mode"])),
        };
        let mark = &value["mark_unshowable"];
        let mark_unshowable =
            mark.as_bool().ok_or_else(|| error::from_text("true or false for “mark_unshowable”", mark))?;
        Ok(Self {
            window: text("window")?,
            place: text("place")?,
            at: text("at")?,
            mode,
            mark_unshowable,
            value,
        })
    }

    /// How it looks on a screen, or in a file, with these colours.
    pub(crate) fn look(&self, gamut: Gamut) -> Look {
        let show_clipped = self.mark_unshowable;
        match self.mode {
            Mode::ColourTrue => Look { gamut, show_clipped, ..Look::colour_true() },
            Mode::Appearance => Look { gamut, show_clipped, mode: self.mode, ..Look::default() },
        }
    }

    /// How it looks in the colours that it names.
    ///
    /// # Errors
    /// It names none that there are.
    pub(crate) fn look_in_its_colours(&self) -> Result<Look, JsError> {
        match self.value["gamut"].as_str() {
            Some("srgb") => Ok(self.look(Gamut::Srgb)),
            Some("display_p3") => Ok(self.look(Gamut::DisplayP3)),
            _ => Err(missing(&self.value, "gamut")),
        }
    }

    /// A side of the picture, above 0 and at most 16 384 pixels.
    ///
    /// # Errors
    /// It is no such number.
    pub(crate) fn size_px(&self, key: &str) -> Result<u32, JsError> {
        match self.value[key].as_u64() {
            Some(px) if px >= 1 && px <= u64::from(MOST_PX) => Ok(px as u32),
            _ => Err(missing(&self.value, key)),
        }
    }

    /// The part of a window so high that it shows.
    ///
    /// # Errors
    /// A number is missing or no length.
    pub(crate) fn view(&self, height_mm: f64) -> Result<View, JsError> {
        let value = &self.value;
        let number =
            |key: &str| value[key].as_f64().filter(|v| v.is_finite()).ok_or_else(|| missing(value, key));
        let mm_per_px = number("mm_per_px")?;
        if mm_per_px <= 0.0 {
            return Err(missing(value, "mm_per_px"));
        }
        Ok(View {
            centre_mm: [number("centre_x_mm")?, height_mm - number("centre_y_mm")?],
            mm_per_px,
            size_px: [self.size_px("width_px")?, self.size_px("height_px")?],
        })
    }
}

/// The same picture in larger pixels, `side` of its own wide and high, from the same corner; what is over lies beyond
/// its right and lower edges.
pub(crate) fn coarse(whole: &View, side: u32) -> View {
    let side = side.max(1);
    let size_px = whole.size_px.map(|px| px.div_ceil(side));
    let middle = size_px.map(|px| f64::from(px * side) / 2.0);
    View { centre_mm: whole.panel_from_pixel(middle), mm_per_px: whole.mm_per_px * f64::from(side), size_px }
}
