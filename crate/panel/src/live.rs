//! A panel kept in step with its drawing, edit by edit.

use crate::build::{Built, build};
use crate::change::{PanelChange, compare};
use crate::drawing::Drawing;
use crate::edit::{Edited, LineEdit};
use crate::fault::PanelError;
use crate::options::PanelOptions;
use crate::panel::Panel;
use crate::patch::patch;
use std::ops::Deref;

/// A drawing and its panel, kept in step while the drawing is edited.
///
/// After any edits, [`LivePanel::panel`] equals the result of [`crate::panel_from_drawing`] to the last bit. Only
/// the part near an edit is rebuilt, unless that is most of the panel.
///
/// # Example
/// ```
/// use panel::{Cutline, Drawing, LineEdit, LivePanel, Outline, PanelOptions};
///
/// let cutline = |path: &str| Cutline { path: path.into(), face_mm: 6.0 };
/// let drawing = Drawing {
///     outline: Outline { path: "M0 0H300V200H0Z".into(), face_mm: 12.0 },
///     cutlines: vec![cutline("M100 0V200"), cutline("M200 0V200")],
///     bars: vec![],
/// };
/// let mut live = LivePanel::new(drawing, PanelOptions::default()).unwrap();
/// let moved = LineEdit::ReplaceCutline { index: 1, cutline: cutline("M210 0V200") };
/// let change = live.apply(&[moved]).unwrap();
/// // The piece on the left is unchanged; those beside the moved line are new.
/// assert_eq!(change.pieces, [Some(0), None, None]);
/// assert!((live.panel().pieces[1].area_mm2 - 110.0 * 200.0).abs() < 1e-3);
/// ```
#[derive(Debug, Clone)]
pub struct LivePanel {
    drawing: Drawing,
    options: PanelOptions,
    built: Built,
}

/// Dereferences to the panel, for reading.
impl Deref for LivePanel {
    type Target = Panel;

    fn deref(&self) -> &Panel {
        &self.built.panel
    }
}

impl LivePanel {
    /// Makes the panel of a drawing.
    ///
    /// # Errors
    /// As [`crate::panel_from_drawing`].
    pub fn new(drawing: Drawing, options: PanelOptions) -> Result<Self, PanelError> {
        let built = build(&drawing, &options)?;
        Ok(LivePanel { drawing, options, built })
    }

    /// The current drawing.
    pub fn drawing(&self) -> &Drawing {
        &self.drawing
    }

    /// The panel of the current drawing.
    pub fn panel(&self) -> &Panel {
        &self.built.panel
    }

    /// The options that the panel is made with.
    pub fn options(&self) -> &PanelOptions {
        &self.options
    }

    /// Applies edits to the drawing, one after another, and updates the panel.
    ///
    /// # Errors
    /// [`crate::PanelFault::NoSuchLine`] for an index out of range; otherwise the faults of the edited drawing, as
    /// [`crate::panel_from_drawing`] returns them. In both cases drawing and panel stay unchanged.
    pub fn apply(&mut self, edits: &[LineEdit]) -> Result<PanelChange, PanelError> {
        let mut edited = Edited::new(&mut self.drawing, edits)?;
        if !edited.outline
            && let Some(change) = patch(&mut self.built, &self.drawing, &self.options, &edited)
        {
            return Ok(change);
        }
        match build(&self.drawing, &self.options) {
            Ok(built) => {
                let change = compare(&self.built.panel, &built.panel);
                self.built = built;
                Ok(change)
            }
            Err(error) => {
                edited.undo(&mut self.drawing);
                Err(error)
            }
        }
    }
}
