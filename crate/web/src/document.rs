//! The document on the page's thread: what the user opens, edits, undoes and saves.

use std::cell::RefCell;
use std::mem::discriminant;
use std::sync::Arc;

use scene::{
    Change, Changed, Edit, EditError, Fault, Faults, Reach, Resolved, Scene, change_pieces, check,
    difference, fit_variants, pieces_with_glass, read, read_edit, replace_glass, resolve, with_variant,
    write,
};
use serde::{Deserialize, Serialize};
use serde_json::json;
use spectra::Spectrum;
use viewing::{Similarity as Alike, SwatchLight, pieces_inside, similar_pieces};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;
use crate::history::{Patch, Step};
use crate::overview::{outlines, overview, window_named};
use crate::section::{glasses, glasses_at, section};
use crate::surroundings::{sun_path, surroundings};
use crate::vary::{Vary, vary};
use crate::words::words_of;

/// A scene with its variants, one of them shown or the scene as drawn, and its history.
#[wasm_bindgen]
pub struct SceneDocument {
    /// The file: the scene as drawn with its list of variants.
    base: Scene,
    /// Name of the variant shown; none for the scene as drawn.
    shown: Option<String>,
    /// What is shown, built; without a list of variants.
    resolved: Resolved,
    undo: Vec<Step>,
    redo: Vec<Step>,
    /// What the last action took out of variants because it no longer fits.
    left_out: Vec<String>,
    /// Counts up with every change, so that what is drawn from the document knows when it is stale.
    revision: u32,
    /// Counts up with every change that may have moved a line of the drawing.
    outlines: u32,
    /// The light that was asked for last, by civil time.
    light: RefCell<Option<(String, SwatchLight)>>,
    /// What every glass lets through at the thickness that was asked for last.
    rack: RefCell<Option<(f64, Rack)>>,
}

type Rack = Vec<(Arc<glass::Glass>, Spectrum)>;

/// A document as it is kept between visits, its history included.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    /// Version of this form.
    kept: u32,
    scene: String,
    shown: Option<String>,
    undo: Vec<Step>,
    redo: Vec<Step>,
}

const KEPT_VERSION: u32 = 1;

impl SceneDocument {
    /// From the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn open(text: &str) -> Result<Self, Faults> {
        Self::with_history(read(text)?, None, Vec::new(), Vec::new())
    }

    fn with_history(
        base: Scene,
        shown: Option<String>,
        undo: Vec<Step>,
        redo: Vec<Step>,
    ) -> Result<Self, Faults> {
        let resolved = resolve(&with_variant(&base, shown.as_deref())?, None)?;
        Ok(Self {
            base,
            shown,
            resolved,
            undo,
            redo,
            left_out: Vec::new(),
            revision: 0,
            outlines: 0,
            light: RefCell::default(),
            rack: RefCell::default(),
        })
    }

    /// What [`Self::kept`] gave back, whole.
    ///
    /// # Errors
    /// The text is no kept document, or one of a newer version; every fault of its scene.
    pub fn reopen(kept: &str) -> Result<Self, Faults> {
        let unreadable = |found: String| {
            let expected = format!("a document kept by this page, version {KEPT_VERSION}");
            Faults(vec![Fault { path: String::new(), expected, found }])
        };
        let kept: Kept = serde_json::from_str(kept).map_err(|error| unreadable(error.to_string()))?;
        if kept.kept != KEPT_VERSION {
            return Err(unreadable(format!("version {}", kept.kept)));
        }
        Self::with_history(read(&kept.scene)?, kept.shown, kept.undo, kept.redo)
    }

    /// The scene as it is shown, built: as drawn or as the shown variant has it.
    pub fn resolved(&self) -> &Resolved {
        &self.resolved
    }

    /// Makes an edit, in the variant that is shown or in the scene as drawn; what could be redone before is gone.
    /// Returns the edit that brings another copy of what is shown in step.
    ///
    /// The scene's name, note, hour, viewing positions and viewer and the list of variants are the scene's own
    /// whatever is shown, unless the shown variant has one of its own. Where the scene as drawn changes so that edits of a
    /// variant no longer fit it, they are taken out by the same action.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; then nothing has changed.
    pub fn make(&mut self, edit: &str) -> Result<Edit, Faults> {
        let edit = read_edit(edit)?;
        let words = words_of(&edit, &self.resolved.scene);
        let mut base = self.base.clone();
        let place = match self.shown.as_deref() {
            Some(name) if !self.belongs_to_scene(&edit) => base.variants.iter().position(|v| v.name == name),
            _ => None,
        };
        let mut left_out = Vec::new();
        if let Some(variant) = place {
            let mut present = self.resolved.scene.clone();
            edit.apply(&mut present).map_err(not_there)?;
            base.variants[variant].edits = difference(&base, &present);
        } else {
            edit.apply(&mut base).map_err(not_there)?;
            if base.variants == self.base.variants {
                left_out = self.fit(&mut base)?;
            }
        }
        let shown = self.shown.clone().filter(|name| base.variants.iter().any(|v| v.name == *name));
        self.act(base, shown, words, left_out)
    }

    /// Whether an edit is of the scene as drawn even while a variant is shown: what the window is looked at with.
    fn belongs_to_scene(&self, edit: &Edit) -> bool {
        let own = self.base.variants.iter().find(|v| Some(&v.name) == self.shown.as_ref());
        match edit {
            Edit::SetVariants { .. } => true,
            Edit::SetName { .. }
            | Edit::SetNote { .. }
            | Edit::SetAt { .. }
            | Edit::SetPlaces { .. }
            | Edit::SetViewer { .. } => {
                let same = |other: &Edit| discriminant(other) == discriminant(edit);
                !own.is_some_and(|v| v.edits.iter().any(same))
            }
            _ => false,
        }
    }

    /// Fits the variants to a changed scene; what had to be left out, in words.
    fn fit(&self, base: &mut Scene) -> Result<Vec<String>, Faults> {
        if base.variants.is_empty() {
            return Ok(Vec::new());
        }
        // A fault of the scene itself is not the variants'.
        let faults = check(&with_variant(base, None)?);
        if !faults.is_empty() {
            return Err(Faults(faults));
        }
        let left_out = fit_variants(base);
        Ok(left_out
            .iter()
            .map(|left| format!("{} of variant “{}”", words_of(&left.edit, &self.base), left.variant))
            .collect())
    }

    /// Does something with the variants. Returns the edit that brings another copy of what is shown in step.
    ///
    /// # Errors
    /// The action is none; it names a variant that is not there, or gives a name that one has; the variant cannot
    /// be built.
    pub fn vary(&mut self, action: &str) -> Result<Edit, Faults> {
        let action: Vary = serde_json::from_str(action).map_err(|error| {
            let expected = "an action on variants".to_owned();
            Faults(vec![Fault { path: String::new(), expected, found: error.to_string() }])
        })?;
        let done = vary(&self.base, self.shown.as_deref(), &self.resolved.scene, &action)?;
        self.act(done.scene, done.shown, done.words, Vec::new())
    }

    /// Takes a new state, and notes the way to it where it changes anything but what is shown.
    fn act(
        &mut self,
        base: Scene,
        shown: Option<String>,
        words: String,
        left_out: Vec<String>,
    ) -> Result<Edit, Faults> {
        let forth = Patch::between(&self.base, &base);
        if forth.variants_change() {
            let mut faults = check(&base);
            if !faults.is_empty() {
                faults.truncate(200);
                return Err(Faults(faults));
            }
        }
        let back = Patch::between(&base, &self.base);
        let shown_before = self.shown.clone();
        let made = self.turn_to(base, shown.clone())?;
        if !forth.is_empty() {
            self.undo.push(Step { words, shown_before, shown_after: shown, back, forth });
            self.redo.clear();
        }
        self.left_out = left_out;
        Ok(made)
    }

    /// Takes back the last action, or makes it again; returns the edit that brings another copy of what is shown in
    /// step, `None` where there is nothing to step to.
    ///
    /// # Errors
    /// None are expected: the step leads to a scene that has been.
    pub fn step(&mut self, back: bool) -> Result<Option<Edit>, Faults> {
        let from = if back { &self.undo } else { &self.redo };
        let Some(step) = from.last() else { return Ok(None) };
        let (patch, shown) =
            if back { (&step.back, &step.shown_before) } else { (&step.forth, &step.shown_after) };
        let mut base = self.base.clone();
        patch.apply(&mut base)?;
        let made = self.turn_to(base, shown.clone())?;
        let (from, to) =
            if back { (&mut self.undo, &mut self.redo) } else { (&mut self.redo, &mut self.undo) };
        to.extend(from.pop());
        self.left_out.clear();
        Ok(Some(made))
    }

    /// Shows a state: what is built moves there by the fewest edits. On an error nothing has changed.
    fn turn_to(&mut self, base: Scene, shown: Option<String>) -> Result<Edit, Faults> {
        let target = with_variant(&base, shown.as_deref())?;
        let mut edits = difference(&self.resolved.scene, &target);
        let made = if edits.len() == 1 { edits.remove(0) } else { Edit::Together { edits } };
        if !matches!(&made, Edit::Together { edits } if edits.is_empty()) {
            let (_, reach) = self.resolved.apply(made.clone())?;
            self.forget(&reach);
        }
        (self.base, self.shown) = (base, shown);
        self.revision += 1;
        Ok(made)
    }

    /// Ids of the pieces that have something in common with one of them, itself among them, in the window's order.
    /// Empty where there is no such piece.
    pub fn alike(&self, window: &str, piece: u32, alike: Alike) -> Vec<u32> {
        let window = window_named(&self.resolved, window);
        window.map_or_else(Vec::new, |window| similar_pieces(window, &self.swatch_light(""), piece, alike))
    }

    /// Forgets what a change has made stale.
    fn forget(&mut self, reach: &Reach) {
        if matches!(reach, Reach::Light | Reach::Everything) {
            self.light.replace(None);
        }
        if *reach == Reach::Everything {
            self.outlines += 1;
            self.rack.replace(None);
        }
    }

    /// The light that swatches are shown in at a civil time; the scene's own where none is given.
    fn swatch_light(&self, at: &str) -> SwatchLight {
        let at = if at.is_empty() { &self.resolved.scene.at } else { at };
        let mut kept = self.light.borrow_mut();
        if let Some((of, light)) = &*kept
            && of == at
        {
            return light.clone();
        }
        let found = self.resolved.instant(at).ok();
        let outside = found.and_then(|found| self.resolved.outside(found.utc).ok());
        let light = outside.map_or_else(
            || SwatchLight::of(Spectrum::ZERO),
            |outside| SwatchLight::on_window(&outside, self.resolved.room.facing_deg),
        );
        *kept = Some((at.to_owned(), light.clone()));
        light
    }

    /// The edit that a change of pieces comes to. As [`change_pieces`].
    ///
    /// # Errors
    /// The text is no change, or a piece is not there.
    pub fn changed(&self, window: &str, pieces: &[u32], change: &str) -> Result<Option<Changed>, String> {
        let change: Change = serde_json::from_str(change).map_err(|error| error.to_string())?;
        change_pieces(&self.resolved.scene, window, pieces, &change).map_err(|error| error.to_string())
    }
}

/// What a change comes to, for the page: the edit, the layer's name afterwards, the number of pieces.
fn changed_text(changed: &Changed) -> String {
    json!({ "edit": changed.edit, "layer": changed.layer, "pieces": changed.pieces }).to_string()
}

fn no_piece(error: EditError) -> JsError {
    error::from_text("a window and pieces that are there", error)
}

fn piece_numbers(text: &str) -> Result<Vec<u32>, JsError> {
    serde_json::from_str(text).map_err(|_| error::from_text("a list of numbers of pieces", text))
}

fn not_there(error: EditError) -> Faults {
    let expected = "a change of something that is there".to_owned();
    Faults(vec![Fault { path: String::new(), expected, found: error.to_string() }])
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

    /// Makes an edit (JSON) and returns the one for the worker's copy of what is shown. Throws every fault that the scene would have.
    pub fn apply(&mut self, edit: &str) -> Result<String, JsError> {
        self.make(edit).map(|edit| text_of(&edit)).map_err(|faults| error::from_faults(&faults))
    }

    /// Takes back the last action, in the variant that it was made in; returns the edit for the worker.
    pub fn undo(&mut self) -> Result<Option<String>, JsError> {
        let edit = self.step(true).map_err(|faults| error::from_faults(&faults))?;
        Ok(edit.as_ref().map(text_of))
    }

    /// Makes the last action taken back again; returns the edit for the worker.
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

    /// Does something with the variants (JSON, such as `{"variant":"show","name":"Dusk"}`): `show` (a name, or null
    /// for the scene as drawn), `add` (`name`, `note`; of what is shown), `rename` (`name`, `to`), `note` (`name`,
    /// `note`), `remove` (`name`), `duplicate` (`name`, `to`), `make_scene` (`name`). Returns the edit for the worker.
    #[wasm_bindgen(js_name = vary)]
    pub fn vary_text(&mut self, action: &str) -> Result<String, JsError> {
        self.vary(action).map(|edit| text_of(&edit)).map_err(|faults| error::from_faults(&faults))
    }

    /// What `undo` would take back, in words.
    pub fn undo_words(&self) -> Option<String> {
        self.undo.last().map(|step| step.words.clone())
    }

    /// What `redo` would make again, in words.
    pub fn redo_words(&self) -> Option<String> {
        self.redo.last().map(|step| step.words.clone())
    }

    /// The scene file.
    pub fn text(&self) -> String {
        write(&self.base)
    }

    /// What is shown as a scene file without variants: what the worker's copy begins with.
    pub fn shown_text(&self) -> String {
        write(&self.resolved.scene)
    }

    /// The document with its history and the variant shown, for `restore`.
    pub fn kept(&self) -> String {
        let scene = serde_json::to_string(&self.base).unwrap_or_default();
        let (shown, undo, redo) = (self.shown.clone(), self.undo.clone(), self.redo.clone());
        serde_json::to_string(&Kept { kept: KEPT_VERSION, scene, shown, undo, redo }).unwrap_or_default()
    }

    /// The document that `kept` gave. Throws every fault of it; a document is restored whole or not at all.
    pub fn restore(kept: &str) -> Result<SceneDocument, JsError> {
        Self::reopen(kept).map_err(|faults| error::from_faults(&faults))
    }

    /// JSON: names, sizes, places, which glass is in which piece; the variants with how many differences each has, which of them is shown, and what
    /// the last action took out of them because it no longer fits.
    pub fn overview(&self) -> String {
        let mut overview = overview(&self.resolved);
        let variants = self.base.variants.iter();
        overview["variants"] = variants
            .map(|v| json!({ "name": v.name, "note": v.note, "differences": v.edits.len() }))
            .collect();
        overview["shown"] = json!(self.shown);
        overview["left_out"] = json!(self.left_out);
        overview.to_string()
    }

    /// JSON: site, sky, ground, skyline and room as the scene has them, and what is doubtful about them.
    pub fn surroundings(&self) -> String {
        surroundings(&self.resolved).to_string()
    }

    /// JSON: where the sun goes on a date, `YYYY-MM-DD`, over the site.
    pub fn sun_path(&self, date: &str) -> Result<String, JsError> {
        sun_path(&self.resolved, date)
            .map(|path| path.to_string())
            .map_err(|found| error::from_viewing(&found.into()))
    }

    /// Another number whenever [`Self::outlines`] may have changed.
    pub fn outlines_revision(&self) -> u32 {
        self.outlines
    }

    /// JSON: the shapes of windows and pieces.
    pub fn outlines(&self) -> String {
        outlines(&self.resolved).to_string()
    }

    /// The piece at a point of a window: mm from the left and from the **top** of its sight size.
    pub fn piece_at(&self, window: &str, x_mm: f64, y_down_mm: f64) -> Option<u32> {
        let window = window_named(&self.resolved, window)?;
        let index = window.panel.piece_at([x_mm, window.panel.height_mm - y_down_mm])?;
        Some(window.pieces[index].id)
    }

    /// Ids of the pieces inside a closed outline: x, y, x, y … in mm from the left and from the **top** of the
    /// window's sight size. A piece is inside when its middle is; an outline that holds no middle means the piece
    /// that it lies on.
    pub fn pieces_inside(&self, window: &str, outline_mm: &[f64]) -> Vec<u32> {
        let window = window_named(&self.resolved, window);
        window.map_or_else(Vec::new, |window| pieces_inside(window, outline_mm.as_chunks::<2>().0))
    }

    /// Ids of the pieces that have something in common with one of them, itself among them: with `glass` the glass
    /// of the innermost plate, with `colour` the transmitted colour in the light of the scene's hour, at most
    /// `delta_e` off in CIEDE2000.
    pub fn pieces_like(
        &self,
        window: &str,
        piece: u32,
        what: &str,
        delta_e: f64,
    ) -> Result<Vec<u32>, JsError> {
        let alike = match what {
            "glass" => Alike::Glass,
            "colour" => Alike::Colour { delta_e },
            other => return Err(error::from_text("“glass” or “colour”", other)),
        };
        Ok(self.alike(window, piece, alike))
    }

    /// JSON: pieces (a JSON list of their numbers; the last gives its name) from outside to inside, in the light of a
    /// civil time, the scene's own where none is given.
    pub fn section(&self, window: &str, pieces: &str, at: &str) -> Result<String, JsError> {
        section(&self.resolved, &self.swatch_light(at), window, &piece_numbers(pieces)?)
            .map(|section| section.to_string())
            .ok_or_else(|| error::from_text("pieces of the window", pieces))
    }

    /// JSON: every glass by family at a thickness, in the light of a civil time, the scene's own where none is given.
    pub fn glasses(&self, at: &str, thickness_mm: f64) -> String {
        let light = self.swatch_light(at);
        let mut rack = self.rack.borrow_mut();
        let kept = rack.take().filter(|(of, _)| of.to_bits() == thickness_mm.to_bits());
        let (_, all) =
            rack.insert(kept.unwrap_or_else(|| (thickness_mm, glasses_at(&self.resolved, thickness_mm))));
        glasses(all, &light).to_string()
    }

    /// The edit that a change (JSON) of pieces (a JSON list of their numbers) comes to, not made yet: JSON with `edit`,
    /// the `layer` as it is named afterwards and the number of `pieces`; nothing where it changes nothing.
    pub fn change(&self, window: &str, pieces: &str, change: &str) -> Result<Option<String>, JsError> {
        let found = self.changed(window, &piece_numbers(pieces)?, change);
        let changed = found.map_err(|found| error::from_text("a change of pieces that are there", found))?;
        Ok(changed.as_ref().map(changed_text))
    }

    /// The edit that puts another glass wherever a glass is, in one window or, where none is named, in all; as
    /// [`Self::change`].
    pub fn replace_glass(
        &self,
        from: &str,
        to: &str,
        window: Option<String>,
    ) -> Result<Option<String>, JsError> {
        let changed = replace_glass(&self.resolved.scene, from, to, window.as_deref()).map_err(no_piece)?;
        Ok(changed.as_ref().map(changed_text))
    }

    /// How many pieces have a glass, in one window or, where none is named, in all.
    pub fn pieces_with_glass(&self, glass: &str, window: Option<String>) -> Result<usize, JsError> {
        pieces_with_glass(&self.resolved.scene, glass, window.as_deref()).map_err(no_piece)
    }
}

/// Longer scene files are refused, bytes: what the page asks before it reads one.
#[wasm_bindgen]
pub fn most_bytes() -> u32 {
    u32::try_from(scene::MOST_BYTES).unwrap_or(u32::MAX)
}
