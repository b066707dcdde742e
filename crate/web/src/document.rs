//! The document on the page's thread: what the user opens, edits, undoes and saves.

use scene::{Edit, Faults, Resolved, read, read_edit, resolve, write};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;
use crate::overview::overview;
use crate::section::{glasses, section};
use crate::swatch::SwatchLight;

/// A scene with its history.
#[wasm_bindgen]
pub struct SceneDocument {
    resolved: Resolved,
    undo: Vec<Edit>,
    redo: Vec<Edit>,
    /// Counts up with every change, so that what is drawn from the document knows when it is stale.
    revision: u32,
}

impl SceneDocument {
    /// From the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn open(text: &str) -> Result<Self, Faults> {
        let resolved = resolve(&read(text)?, None)?;
        Ok(Self { resolved, undo: Vec::new(), redo: Vec::new(), revision: 0 })
    }

    /// The scene as it stands, built.
    pub fn resolved(&self) -> &Resolved {
        &self.resolved
    }

    /// Makes an edit; what could be redone before is gone.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; then nothing has changed.
    pub fn make(&mut self, edit: &str) -> Result<Edit, Faults> {
        let edit = read_edit(edit)?;
        let (inverse, _) = self.resolved.apply(edit.clone())?;
        self.undo.push(inverse);
        self.redo.clear();
        self.revision += 1;
        Ok(edit)
    }

    /// Takes back the last edit, or makes it again; returns the edit that did it, `None` where there is none.
    ///
    /// # Errors
    /// None are expected: the edit leads to a scene that has been.
    pub fn step(&mut self, back: bool) -> Result<Option<Edit>, Faults> {
        let from = if back { &mut self.undo } else { &mut self.redo };
        let Some(edit) = from.pop() else { return Ok(None) };
        let (inverse, _) = self.resolved.apply(edit.clone())?;
        if back { &mut self.redo } else { &mut self.undo }.push(inverse);
        self.revision += 1;
        Ok(Some(edit))
    }

    fn swatch_light(&self) -> SwatchLight {
        let at = &self.resolved.scene.at;
        let irradiance =
            self.resolved.instant(at).ok().and_then(|found| self.resolved.outside(found.utc).ok());
        SwatchLight::of(irradiance.map_or_else(Default::default, |outside| {
            // As the picture shows a piece: against the sky and the ground, not against the sun.
            let (_, diffuse) = outside.irradiance_on(self.resolved.room.facing_deg, 90.0);
            diffuse
        }))
    }
}

fn text_of(edit: &Edit) -> String {
    // An edit is plain data with text keys and always serialises.
    serde_json::to_string(edit).unwrap_or_default()
}

#[wasm_bindgen]
impl SceneDocument {
    /// From the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<SceneDocument, JsError> {
        Self::open(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Makes an edit (JSON) and returns it, for the worker. Throws every fault that the scene would have.
    pub fn apply(&mut self, edit: &str) -> Result<String, JsError> {
        self.make(edit).map(|edit| text_of(&edit)).map_err(|faults| error::from_faults(&faults))
    }

    /// Takes back the last edit; returns the edit that did so, for the worker.
    pub fn undo(&mut self) -> Result<Option<String>, JsError> {
        let edit = self.step(true).map_err(|faults| error::from_faults(&faults))?;
        Ok(edit.as_ref().map(text_of))
    }

    /// Makes the last edit taken back again; returns it, for the worker.
    pub fn redo(&mut self) -> Result<Option<String>, JsError> {
        let edit = self.step(false).map_err(|faults| error::from_faults(&faults))?;
        Ok(edit.as_ref().map(text_of))
    }

    /// Whether there is something to take back.
    pub fn can_undo(&self) -> bool {
        !self.undo.is_empty()
    }

    /// Whether there is something to make again.
    pub fn can_redo(&self) -> bool {
        !self.redo.is_empty()
    }

    /// Counts up with every change.
    pub fn revision(&self) -> u32 {
        self.revision
    }

    /// The scene file.
    pub fn text(&self) -> String {
        write(&self.resolved.scene)
    }

    /// JSON: names, shapes, places, variants.
    pub fn overview(&self) -> String {
        overview(&self.resolved).to_string()
    }

    /// The piece at a point of a window: mm from the left and from the **top** of its sight size.
    pub fn piece_at(&self, window: &str, x_mm: f64, y_down_mm: f64) -> Option<u32> {
        let window = self.resolved.windows.iter().find(|w| w.id == window)?;
        let index = window.panel.piece_at([x_mm, window.panel.height_mm - y_down_mm])?;
        Some(window.pieces[index].id)
    }

    /// JSON: one piece from outside to inside, in the light of the scene's hour.
    pub fn section(&self, window: &str, piece: u32) -> Result<String, JsError> {
        section(&self.resolved, &self.swatch_light(), window, piece)
            .map(|section| section.to_string())
            .ok_or_else(|| error::from_text("a piece of the window", piece))
    }

    /// JSON: every glass by family, in the light of the scene's hour.
    pub fn glasses(&self) -> String {
        glasses(&self.resolved, &self.swatch_light()).to_string()
    }
}
