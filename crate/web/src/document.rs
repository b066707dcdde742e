//! The document on the page's thread: what the user opens, edits, undoes and saves.

use std::cell::RefCell;
use std::sync::Arc;

use plane::PagePoint;
use scene::{
    Action, Change, ChangeSet, Changed, EditError, Fault, Faults, Made, OpenScene, Resolved, change_pieces,
    pieces_with_glass, read, read_edit, replace_glass, write,
};
use spectra::Spectrum;
use viewing::{SIMILAR_DELTA_E, Similarity, SwatchLight, piece_seen_at, pieces_inside, similar_pieces};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;
use crate::json::Json;
use crate::overview::overview;
use crate::request;
use crate::section::{glasses, glasses_at, section};
use crate::shapes::{made_answer, outlines, window_named};
use crate::surroundings::{sun_path, surroundings};

/// An open scene, with what the page last asked about it.
#[wasm_bindgen]
pub struct SceneDocument {
    open: OpenScene,
    /// Counts every change, so that anything derived from the document can tell when it is stale.
    revision: u32,
    /// The light last requested, by civil time.
    light: RefCell<Option<(String, SwatchLight)>>,
    /// What every glass transmits at the thickness last requested.
    rack: RefCell<Option<(f64, Rack)>>,
}

type Rack = Vec<(Arc<glass::Glass>, Spectrum)>;

impl SceneDocument {
    /// Opens the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn open(text: &str) -> Result<Self, Faults> {
        OpenScene::new(read(text)?).map(Self::of)
    }

    /// Restores the document that [`Self::kept`] returned.
    ///
    /// # Errors
    /// The text is not an autosaved document, or it is from a newer version; every fault of its scene.
    pub fn reopen(kept: &str) -> Result<Self, Faults> {
        OpenScene::from_record(kept).map(Self::of)
    }

    fn of(open: OpenScene) -> Self {
        Self { open, revision: 0, light: RefCell::default(), rack: RefCell::default() }
    }

    /// The scene shown, built: as drawn or with the shown variant applied.
    pub fn resolved(&self) -> &Resolved {
        self.open.resolved()
    }

    /// Applies an edit (JSON), as [`OpenScene::make`].
    ///
    /// # Errors
    /// Every fault that the edited scene would have; nothing has changed then.
    pub fn make(&mut self, edit: &str) -> Result<Made, Faults> {
        let edit = read_edit(edit)?;
        let made = self.open.make(edit)?;
        self.note(&made);
        Ok(made)
    }

    /// Performs an action on the variants (JSON), as [`OpenScene::act_on_variants`].
    ///
    /// # Errors
    /// The text is not an action on variants, or the action is refused.
    pub fn vary(&mut self, action: &str) -> Result<Made, Faults> {
        let made = self.open.act_on_variants(request::read(action, "VariantAction")?)?;
        self.note(&made);
        Ok(made)
    }

    /// Undoes the last action or redoes the last undone one; `None` if there is none.
    ///
    /// # Errors
    /// None are expected: the step restores a state that was valid before.
    pub fn step(&mut self, back: bool) -> Result<Option<Made>, Faults> {
        let made = self.open.step(back)?;
        made.iter().for_each(|made| self.note(made));
        Ok(made)
    }

    fn note(&mut self, made: &Made) {
        self.revision += 1;
        self.forget(&made.changes);
    }

    /// Ids of the pieces similar to one of them, including itself, in the window's order. Empty if there is no such
    /// piece.
    pub fn similar(&self, window: &str, piece: u32, similarity: Similarity) -> Vec<u32> {
        let window = window_named(self.resolved(), window);
        window
            .map_or_else(Vec::new, |window| similar_pieces(window, &self.swatch_light(""), piece, similarity))
    }

    /// Discards what a change has made stale.
    fn forget(&mut self, changes: &ChangeSet) {
        // An assumed wall outside follows the room's height.
        if changes.outside() || changes.site.time_zone || changes.room.facing || changes.room.size {
            self.light.replace(None);
        }
        if !changes.glasses.is_empty() {
            self.rack.replace(None);
        }
    }

    /// The light for swatches at a civil time; the scene's own time if none is given.
    fn swatch_light(&self, at: &str) -> SwatchLight {
        let at = if at.is_empty() { &self.resolved().scene.at } else { at };
        let mut kept = self.light.borrow_mut();
        if let Some((of, light)) = &*kept
            && of == at
        {
            return light.clone();
        }
        let found = self.resolved().instant(at).ok();
        let outside = found.and_then(|found| self.resolved().outside(found.utc).ok());
        let light = outside.map_or_else(
            || SwatchLight::of(Spectrum::ZERO),
            |outside| SwatchLight::on_window(&outside, self.resolved().room.facing_deg),
        );
        *kept = Some((at.to_owned(), light.clone()));
        light
    }

    /// The edit for a change of pieces (JSON), as [`change_pieces`].
    ///
    /// # Errors
    /// The text is not a change, or a piece does not exist.
    pub fn changed(&self, window: &str, pieces: &[u32], change: &str) -> Result<Option<Changed>, Faults> {
        let change: Change = request::read(change, "Change")?;
        change_pieces(&self.resolved().scene, window, pieces, &change)
            .map_err(|error| Faults(vec![Fault::new("", "a change to existing pieces", error.to_string())]))
    }

    /// The result of an action as JSON for the page.
    pub fn answer(&self, made: &Made) -> String {
        made_answer(self.resolved(), made).to_string()
    }
}

fn no_piece(error: EditError) -> JsError {
    error::from_text("an existing window and existing pieces", error)
}

fn piece_numbers(text: &str) -> Result<Vec<u32>, JsError> {
    serde_json::from_str(text).map_err(|_| error::from_text("a list of piece numbers", text))
}

#[wasm_bindgen]
impl SceneDocument {
    /// Opens the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<SceneDocument, JsError> {
        Self::open(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Applies an edit (JSON). Returns its result as JSON. Throws every fault that the scene would have.
    pub fn apply(&mut self, edit: &str) -> Result<String, JsError> {
        let made = self.make(edit).map_err(|faults| error::from_faults(&faults))?;
        Ok(self.answer(&made))
    }

    /// Undoes the last action, in the variant in which it was made. Returns JSON as `apply` does.
    pub fn undo(&mut self) -> Result<Option<String>, JsError> {
        let made = self.step(true).map_err(|faults| error::from_faults(&faults))?;
        Ok(made.as_ref().map(|made| self.answer(made)))
    }

    /// Redoes what was undone last. Returns JSON as `apply` does.
    pub fn redo(&mut self) -> Result<Option<String>, JsError> {
        let made = self.step(false).map_err(|faults| error::from_faults(&faults))?;
        Ok(made.as_ref().map(|made| self.answer(made)))
    }

    /// Performs an action on the variants (JSON, such as `{"variant":"show","name":"Dusk"}`): `show` (a name, or null
    /// for the scene as drawn), `add` (`name`, `note`; of what is shown), `rename` (`name`, `to`), `note` (`name`,
    /// `note`), `remove` (`name`), `duplicate` (`name`, `to`), `make_scene` (`name`). Returns JSON as `apply` does.
    #[wasm_bindgen(js_name = vary)]
    pub fn vary_text(&mut self, action: &str) -> Result<String, JsError> {
        let made = self.vary(action).map_err(|faults| error::from_faults(&faults))?;
        Ok(self.answer(&made))
    }

    /// Replays an action of the journal, of this version or an older one.
    pub fn replay(&mut self, action: &str) -> Result<(), JsError> {
        let replayed = Action::read(action).and_then(|action| self.open.replay(action));
        let made = replayed.map_err(|faults| error::from_faults(&faults))?;
        made.iter().for_each(|made| self.note(made));
        Ok(())
    }

    /// Whether there is something to undo.
    pub fn can_undo(&self) -> bool {
        self.open.undo_words().is_some()
    }

    /// Whether there is something to redo.
    pub fn can_redo(&self) -> bool {
        self.open.redo_words().is_some()
    }

    /// Counts every change.
    pub fn revision(&self) -> u32 {
        self.revision
    }

    /// What `undo` would undo, in words.
    pub fn undo_words(&self) -> Option<String> {
        self.open.undo_words().map(str::to_owned)
    }

    /// What `redo` would redo, in words.
    pub fn redo_words(&self) -> Option<String> {
        self.open.redo_words().map(str::to_owned)
    }

    /// The scene file.
    pub fn text(&self) -> String {
        write(self.open.file())
    }

    /// What is shown, as a scene file without variants: the starting point of the worker's copy.
    pub fn shown_text(&self) -> String {
        write(&self.resolved().scene)
    }

    /// The document with its history and the variant shown, for `restore`.
    pub fn kept(&self) -> String {
        self.open.record_text()
    }

    /// Restores the document that `kept` returned, completely or not at all. Throws every fault of it.
    pub fn restore(kept: &str) -> Result<SceneDocument, JsError> {
        Self::reopen(kept).map_err(|faults| error::from_faults(&faults))
    }

    /// JSON: names, sizes, places, variants.
    pub fn overview(&self) -> String {
        overview(&self.open).to_string()
    }

    /// JSON: the scene's site, sky, ground, skyline and room, and cautions about them.
    pub fn surroundings(&self) -> String {
        surroundings(&self.open).to_string()
    }

    /// JSON: the sun's path over the site on a date, `YYYY-MM-DD`.
    pub fn sun_path(&self, date: &str) -> Result<String, JsError> {
        sun_path(self.resolved(), date)
            .map(|path| path.to_string())
            .map_err(|found| error::from_viewing(&found.into()))
    }

    /// JSON: the pieces of every window with their shapes. The answer to an action has its changes to them.
    pub fn outlines(&self) -> String {
        outlines(self.resolved()).to_string()
    }

    /// The piece that a place sees at a point of a window: mm from the left and from the **top** of its sight size.
    pub fn piece_at(&self, window: &str, x_mm: f64, y_down_mm: f64, place: &str) -> Option<u32> {
        let built = window_named(self.resolved(), window)?;
        let place = (!place.is_empty()).then_some(place);
        piece_seen_at(self.resolved(), built, PagePoint::new(x_mm, y_down_mm), place)
    }

    /// Ids of the pieces inside a closed outline: x, y, x, y … in mm from the left and from the **top** of the
    /// window's sight size. A piece is inside if its middle is; an outline that contains no middle selects the piece
    /// that it lies on.
    pub fn pieces_inside(&self, window: &str, outline_mm: &[f64]) -> Vec<u32> {
        let window = window_named(self.resolved(), window);
        window.map_or_else(Vec::new, |window| {
            pieces_inside(window, PagePoint::slice(outline_mm.as_chunks::<2>().0))
        })
    }

    /// Ids of the pieces similar to one of them, including itself: with `glass`, those of the same glass in the
    /// innermost plate; with `colour`, those of a similar transmitted colour in the light of the scene's hour.
    pub fn similar_pieces(&self, window: &str, piece: u32, what: &str) -> Result<Vec<u32>, JsError> {
        let similarity = match what {
            "glass" => Similarity::Glass,
            "colour" => Similarity::Colour { delta_e: SIMILAR_DELTA_E },
            other => return Err(error::from_text("“glass” or “colour”", other)),
        };
        Ok(self.similar(window, piece, similarity))
    }

    /// JSON: the section of pieces (a JSON list of their numbers; the last names it) from outside to inside, in the
    /// light of a civil time, or of the scene's own if none is given.
    pub fn section(&self, window: &str, pieces: &str, at: &str) -> Result<String, JsError> {
        section(self.resolved(), &self.swatch_light(at), window, &piece_numbers(pieces)?)
            .map(|section| section.to_string())
            .ok_or_else(|| error::from_text("pieces of the window", pieces))
    }

    /// JSON: every glass by family at a thickness, in the light of a civil time, or of the scene's own if none is
    /// given.
    pub fn glasses(&self, at: &str, thickness_mm: f64) -> String {
        let light = self.swatch_light(at);
        let mut rack = self.rack.borrow_mut();
        let kept = rack.take().filter(|(of, _)| of.to_bits() == thickness_mm.to_bits());
        let (_, all) =
            rack.insert(kept.unwrap_or_else(|| (thickness_mm, glasses_at(self.resolved(), thickness_mm))));
        glasses(all, &light).to_string()
    }

    /// The edit for a change (JSON) of pieces (a JSON list of their numbers), not yet applied: JSON with `edit`, the
    /// `layer` after the edit and the number of `pieces`; nothing if it changes nothing.
    pub fn change(&self, window: &str, pieces: &str, change: &str) -> Result<Option<String>, JsError> {
        let changed = self.changed(window, &piece_numbers(pieces)?, change);
        let changed = changed.map_err(|faults| error::from_faults(&faults))?;
        Ok(changed.map(|changed| Json(changed).to_string()))
    }

    /// The edit that replaces a glass everywhere, in one window or, if none is named, in all; as [`Self::change`].
    pub fn replace_glass(
        &self,
        from: &str,
        to: &str,
        window: Option<String>,
    ) -> Result<Option<String>, JsError> {
        let changed = replace_glass(&self.resolved().scene, from, to, window.as_deref()).map_err(no_piece)?;
        Ok(changed.map(|changed| Json(changed).to_string()))
    }

    /// How many pieces have a glass, in one window or, if none is named, in all.
    pub fn pieces_with_glass(&self, glass: &str, window: Option<String>) -> Result<usize, JsError> {
        pieces_with_glass(&self.resolved().scene, glass, window.as_deref()).map_err(no_piece)
    }
}

/// Longer scene files are refused, bytes. The page checks this before it reads one.
#[wasm_bindgen]
pub fn most_bytes() -> u32 {
    u32::try_from(scene::MOST_BYTES).unwrap_or(u32::MAX)
}
