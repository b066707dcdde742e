//! How the page wishes a picture to look.

use render::{Gamut, Look, Mode};
use serde_json::Value;
use wasm_bindgen::JsError;

use crate::error;

/// What the user chooses of a look; the screen adds its colours.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wished {
    pub(crate) mode: Mode,
    /// Stripes over what the screen cannot show.
    pub(crate) mark_unshowable: bool,
}

impl Wished {
    /// From JSON with `mode` and `mark_unshowable`.
    ///
    /// # Errors
    /// The text is no JSON, or a mode or mark that there is not.
    pub(crate) fn read(text: &str) -> Result<Self, JsError> {
        let value: Value =
            serde_json::from_str(text).map_err(|found| error::from_text("a look as JSON", found))?;
        Self::of(&value)
    }

    /// The same from a part of something larger.
    pub(crate) fn of(value: &Value) -> Result<Self, JsError> {
        let mode = match value["mode"].as_str() {
            Some("appearance") => Mode::Appearance,
            Some("colour_true") => Mode::ColourTrue,
            _ => return Err(error::from_text("“appearance” or “colour_true” for “mode”", &value["mode"])),
        };
        let mark = &value["mark_unshowable"];
        let mark_unshowable =
            mark.as_bool().ok_or_else(|| error::from_text("true or false for “mark_unshowable”", mark))?;
        Ok(Self { mode, mark_unshowable })
    }

    /// On a screen, or in a file, with these colours.
    pub(crate) fn on(self, gamut: Gamut) -> Look {
        let show_clipped = self.mark_unshowable;
        match self.mode {
            Mode::ColourTrue => Look { gamut, show_clipped, ..Look::colour_true() },
            Mode::Appearance => Look { gamut, show_clipped, mode: self.mode, ..Look::default() },
        }
    }
}
