//! An open scene: as drawn and with its variants, one of them shown and built, and its history.

use std::collections::HashSet;
use std::mem::discriminant;

use panel::PanelChange;

use crate::changes::ChangeSet;
use crate::check::check;
use crate::difference::{difference, difference_with};
use crate::document::Scene;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::fit::{LeftOut, fit_variants};
use crate::follow::Applied;
use crate::history::{Patch, Step, edits_between, variants_between};
use crate::journal::Action;
use crate::open_ends::OpenEnds;
use crate::pieces::PieceNote;
use crate::resolve::resolve;
use crate::resolved::Resolved;
use crate::variant_action::{VariantAction, after_action};
use crate::variants::with_variant;

/// Most faults listed.
const MOST_FAULTS: usize = 200;

/// A scene with its variants and history. Either one of the variants or the scene as drawn is shown.
#[derive(Clone, Debug)]
pub struct OpenScene {
    /// The file: the scene as drawn with its list of variants.
    base: Scene,
    /// Name of the variant shown; `None` for the scene as drawn.
    shown: Option<String>,
    /// What is shown, built, without a list of variants.
    resolved: Resolved,
    undo: Vec<Step>,
    redo: Vec<Step>,
    /// What the last action could not keep, in sentences.
    notices: Vec<String>,
}

/// The result of an action.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// The edit that updates another copy of what is shown.
    pub edit: Edit,
    /// What it touched in what is shown, and whether the variants or the one shown changed.
    pub changes: ChangeSet,
    /// What changed in the panels of redrawn windows, by the window's index.
    pub redrawn: Vec<(usize, PanelChange)>,
    /// The action for the journal: replaying it gives the same document.
    pub action: Action,
}

impl OpenScene {
    /// Opens a scene as drawn, without history.
    ///
    /// # Errors
    /// Every fault of its drawings and of their positions in the wall.
    pub fn new(scene: Scene) -> Result<Self, Faults> {
        Self::with_history(scene, None, Vec::new(), Vec::new())
    }

    pub(crate) fn with_history(
        base: Scene,
        shown: Option<String>,
        undo: Vec<Step>,
        redo: Vec<Step>,
    ) -> Result<Self, Faults> {
        let resolved = resolve(&with_variant(&base, shown.as_deref())?, None)?;
        Ok(Self { base, shown, resolved, undo, redo, notices: Vec::new() })
    }

    /// The file: the scene as drawn with its list of variants.
    pub fn file(&self) -> &Scene {
        &self.base
    }

    /// Name of the variant shown; `None` for the scene as drawn.
    pub fn shown(&self) -> Option<&str> {
        self.shown.as_deref()
    }

    /// What is shown, built: as drawn or as the shown variant has it.
    pub fn resolved(&self) -> &Resolved {
        &self.resolved
    }

    /// What the last action could not keep, in sentences: pieces that are gone or new, edits that variants
    /// lost.
    pub fn notices(&self) -> &[String] {
        &self.notices
    }

    /// What undo would undo, in words that follow "Undo: "; `None` if there is nothing to undo.
    pub fn undo_words(&self) -> Option<&str> {
        self.undo.last().map(|step| step.words.as_str())
    }

    /// What redo would redo, in words that follow "Redo: "; `None` if there is nothing to redo.
    pub fn redo_words(&self) -> Option<&str> {
        self.redo.last().map(|step| step.words.as_str())
    }

    pub(crate) fn history(&self) -> (&[Step], &[Step]) {
        (&self.undo, &self.redo)
    }

    /// Replays an action from the journal.
    ///
    /// # Errors
    /// As the action itself.
    pub fn replay(&mut self, action: Action) -> Result<Option<Made>, Faults> {
        match action {
            Action::Edit(edit) => self.make(edit).map(Some),
            Action::Variant(action) => self.act_on_variants(action).map(Some),
            Action::Undo => self.step(true),
            Action::Redo => self.step(false),
        }
    }

    /// Applies an edit to the variant shown or to the scene as drawn. This clears redo.
    ///
    /// Edits of attachments and of the list of variants always apply to the scene as drawn, and so do edits of name,
    /// note, time, viewing positions and viewer unless the variant shown sets that part itself. If the scene as drawn
    /// changes so that edits of a variant no longer fit it, the same action removes them.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; nothing has changed then.
    pub fn make(&mut self, edit: Edit) -> Result<Made, Faults> {
        let variant = self.base.variants.iter().position(|v| Some(&v.name) == self.shown.as_ref());
        match variant {
            _ if edit.sets_variants() => self.make_in_file(edit),
            Some(_) if self.belongs_to_scene(&edit) => self.make_in_file(edit),
            Some(variant) => self.make_in_variant(variant, edit),
            None => self.make_as_drawn(edit),
        }
    }

    /// Edits the scene as drawn while it is shown.
    fn make_as_drawn(&mut self, edit: Edit) -> Result<Made, Faults> {
        self.reserve_numbers();
        let ends = OpenEnds::of(&self.resolved);
        let applied = self.resolved.apply(edit)?;
        // What is shown is the scene as drawn, so an edit that applied there applies here.
        let back = match applied.made.clone().apply(&mut self.base) {
            Ok(inverse) => inverse,
            Err(error) => {
                self.resolved.apply(applied.inverse)?;
                let wanted = "a change to something that exists";
                return Err(Faults(vec![Fault::new("", wanted, error.to_string())]));
            }
        };
        let mut notices = sentences(&applied.notes);
        let mut variants = [None, None];
        if !self.base.variants.is_empty() && may_invalidate_variants(&applied.changes) {
            let before = self.base.variants.clone();
            notices.extend(fit_variants(&mut self.base).iter().map(|left| lost(left, &self.base)));
            variants = [
                variants_between(&self.base.variants, &before),
                variants_between(&before, &self.base.variants),
            ];
        }
        let mut changes = applied.changes.clone();
        changes.variants = variants[1].is_some();
        if !changes.is_empty() {
            let [back_variants, forth_variants] = variants;
            self.record(
                ends.words(&applied, &self.resolved),
                self.shown.clone(),
                Patch { edits: vec![back], variants: back_variants },
                Patch { edits: vec![applied.made.clone()], variants: forth_variants },
            );
        }
        self.notices = notices;
        Ok(made(applied, changes))
    }

    /// Edits a variant while it is shown.
    fn make_in_variant(&mut self, variant: usize, edit: Edit) -> Result<Made, Faults> {
        if edit.sets_attachments() {
            let wanted = "attachments set by themselves while a variant is shown";
            return Err(Faults(vec![Fault::new("attachments", wanted, "other changes beside them")]));
        }
        self.reserve_numbers();
        let ends = OpenEnds::of(&self.resolved);
        let applied = self.resolved.apply(edit)?;
        if applied.changes.is_empty() {
            self.notices.clear();
            return Ok(made(applied, ChangeSet::default()));
        }
        let whole = windows_redrawn(std::iter::once(&applied.made).chain(&self.base.variants[variant].edits));
        let edits = difference_with(&self.base, &self.resolved.scene, &whole);
        let before = std::mem::replace(&mut self.base.variants[variant].edits, edits);
        self.base.settle_version();
        let now = &self.base.variants[variant].edits;
        let patch = |from: &[Edit], to: &[Edit]| Patch {
            edits: Vec::new(),
            variants: edits_between(variant, from, to),
        };
        let (back, forth) = (patch(now, &before), patch(&before, now));
        let mut changes = applied.changes.clone();
        changes.variants = !forth.is_empty();
        if changes.variants {
            self.record(ends.words(&applied, &self.resolved), self.shown.clone(), back, forth);
        }
        self.notices = sentences(&applied.notes);
        Ok(made(applied, changes))
    }

    /// A new piece never takes a number used in the scene as drawn or in any variant.
    fn reserve_numbers(&mut self) {
        let edits = self.base.variants.iter().flat_map(|variant| &variant.edits);
        let drawn = self.base.windows.iter().flat_map(|window| &window.pieces).map(|piece| piece.id).max();
        self.resolved.numbers_up_to = highest_number(edits).max(drawn).unwrap_or(0);
    }

    /// Edits the file but not what is shown, or edits its list of variants.
    fn make_in_file(&mut self, edit: Edit) -> Result<Made, Faults> {
        let words = ChangeSet::of(&edit, &self.base).words();
        let mut base = self.base.clone();
        edit.clone().apply(&mut base).map_err(|error| {
            Faults(vec![Fault::new("", "a change to something that exists", error.to_string())])
        })?;
        let mut notices = Vec::new();
        if base.variants == self.base.variants {
            // A fault of the scene itself is not a fault of its variants.
            Faults::none_or(check(&with_variant(&base, None)?))?;
            notices.extend(fit_variants(&mut base).iter().map(|left| lost(left, &self.base)));
        }
        let shown = self.shown.clone().filter(|name| base.variants.iter().any(|v| v.name == *name));
        self.turn_to(base, shown, words, notices, Action::Edit(edit))
    }

    /// Performs an action on the variants.
    ///
    /// # Errors
    /// The action names an unknown variant or gives a name that another one has; the variant cannot be built.
    pub fn act_on_variants(&mut self, action: VariantAction) -> Result<Made, Faults> {
        let after = after_action(&self.base, self.shown.as_deref(), &self.resolved.scene, &action)?;
        self.turn_to(after.scene, after.shown, after.words, Vec::new(), Action::Variant(action))
    }

    /// Whether an edit applies to the scene as drawn even while a variant is shown.
    fn belongs_to_scene(&self, edit: &Edit) -> bool {
        let own = self.base.variants.iter().find(|v| Some(&v.name) == self.shown.as_ref());
        match edit {
            Edit::SetName { .. }
            | Edit::SetNote { .. }
            | Edit::SetAt { .. }
            | Edit::SetPlaces { .. }
            | Edit::SetViewer { .. } => {
                let same = |other: &Edit| discriminant(other) == discriminant(edit);
                !own.is_some_and(|v| v.edits.iter().any(same))
            }
            _ => edit.only_sets_attachments(),
        }
    }

    /// Adopts a new state, and adds it to the history if it changes anything but which variant is shown.
    fn turn_to(
        &mut self,
        base: Scene,
        shown: Option<String>,
        words: String,
        notices: Vec<String>,
        action: Action,
    ) -> Result<Made, Faults> {
        let forth = Patch::between(&self.base, &base);
        if forth.variants.is_some() {
            let mut faults = check(&base);
            faults.truncate(MOST_FAULTS);
            Faults::none_or(faults)?;
        }
        let back = Patch::between(&base, &self.base);
        let variants = forth.variants.is_some() || shown != self.shown;
        let applied = self.show(&base, shown.as_deref())?;
        let before = std::mem::replace(&mut self.shown, shown);
        self.base = base;
        if !forth.is_empty() {
            self.record(words, before, back, forth);
        }
        self.notices = notices;
        let changes = ChangeSet { variants, ..applied.changes.clone() };
        Ok(Made { action, ..made(applied, changes) })
    }

    /// Undoes the last action or redoes the last undone one; `None` if there is none.
    ///
    /// # Errors
    /// None are expected: the step restores a state that was valid before.
    pub fn step(&mut self, back: bool) -> Result<Option<Made>, Faults> {
        let from = if back { &self.undo } else { &self.redo };
        let Some(step) = from.last() else { return Ok(None) };
        let (patch, shown) =
            if back { (&step.back, &step.shown_before) } else { (&step.forth, &step.shown_after) };
        let shown = shown.clone();
        let variants = patch.variants.is_some() || shown != self.shown;
        let applied = if shown.is_none() && self.shown.is_none() {
            let mut edits = patch.edits.clone();
            let edit = if edits.len() == 1 { edits.remove(0) } else { Edit::Together { edits } };
            let applied = self.resolved.apply(edit)?;
            if let Err(faults) = patch.apply(&mut self.base) {
                // The patch belongs to another scene: restore what was shown.
                self.resolved.apply(applied.inverse)?;
                return Err(faults);
            }
            applied
        } else {
            let mut base = self.base.clone();
            patch.apply(&mut base)?;
            let applied = self.show(&base, shown.as_deref())?;
            self.base = base;
            applied
        };
        self.shown = shown;
        let (from, to) =
            if back { (&mut self.undo, &mut self.redo) } else { (&mut self.redo, &mut self.undo) };
        to.extend(from.pop());
        self.notices.clear();
        let changes = ChangeSet { variants, ..applied.changes.clone() };
        let action = if back { Action::Undo } else { Action::Redo };
        Ok(Some(Made { action, ..made(applied, changes) }))
    }

    /// Shows a state, updating what is built by the fewest edits. On an error nothing has changed.
    fn show(&mut self, base: &Scene, shown: Option<&str>) -> Result<Applied, Faults> {
        let target = with_variant(base, shown)?;
        let mut edits = difference(&self.resolved.scene, &target);
        let edit = if edits.len() == 1 { edits.remove(0) } else { Edit::Together { edits } };
        let applied = self.resolved.apply(edit)?;
        if self.resolved.scene != target {
            // Missing entries were filled in, so the state itself is incomplete.
            self.resolved.apply(applied.inverse)?;
            resolve(&target, None)?;
            return Err(Faults(vec![Fault::new(
                "windows",
                "an entry for every piece",
                "too few or too many",
            )]));
        }
        Ok(applied)
    }

    fn record(&mut self, words: String, shown_before: Option<String>, back: Patch, forth: Patch) {
        let shown_after = self.shown.clone();
        self.undo.push(Step { words, shown_before, shown_after, back, forth });
        self.redo.clear();
    }
}

/// The result of an edit of what is shown, for the page and the journal.
fn made(applied: Applied, changes: ChangeSet) -> Made {
    let action = Action::Edit(applied.made.clone());
    Made { edit: applied.made, changes, redrawn: applied.redrawn, action }
}

/// Whether a change to the scene as drawn may make a variant no longer fit it.
fn may_invalidate_variants(changes: &ChangeSet) -> bool {
    changes.site.time_zone
        || changes.places
        || changes.working_planes
        || changes.room.size
        || !changes.glasses.is_empty()
        || changes.windows.values().any(|window| window.placement || window.redrawn())
}

/// What became of pieces, in sentences; for many pieces, only their number.
fn sentences(notes: &[PieceNote]) -> Vec<String> {
    const MOST: usize = 4;
    if notes.len() <= MOST {
        return notes.iter().map(ToString::to_string).collect();
    }
    let new = notes.iter().filter(|note| matches!(note, PieceNote::New { .. })).count();
    let gone = notes.len() - new;
    let told = |count: usize, one: &str, many: &str| match count {
        0 => None,
        1 => Some(one.to_owned()),
        _ => Some(format!("{count} {many}")),
    };
    let new = told(new, "1 piece is new.", "pieces are new.");
    let gone = told(
        gone,
        "1 piece is gone, with its glass and paint.",
        "pieces are gone, with their glass and paint.",
    );
    new.into_iter().chain(gone).collect()
}

/// The notice that a variant lost an edit.
fn lost(left: &LeftOut, scene: &Scene) -> String {
    let words = ChangeSet::of(&left.edit, scene).words();
    format!("Variant “{}” has lost a difference that no longer fits: {words}.", left.variant)
}

/// The highest piece number in the edits.
fn highest_number<'a>(edits: impl Iterator<Item = &'a Edit>) -> Option<u32> {
    let of = |edit: &Edit| match edit {
        Edit::SetPiece { piece, .. } => Some(*piece),
        Edit::SetDrawing { pieces, .. } => pieces.iter().map(|piece| piece.id).max(),
        Edit::Together { edits } => highest_number(edits.iter()),
        _ => None,
    };
    edits.filter_map(of).max()
}

/// Windows whose entire drawing is set by one of these edits.
fn windows_redrawn<'a>(edits: impl Iterator<Item = &'a Edit>) -> HashSet<String> {
    let mut windows = HashSet::new();
    for edit in edits {
        match edit {
            Edit::SetDrawing { window, .. } => {
                windows.insert(window.clone());
            }
            Edit::Together { edits } => windows.extend(windows_redrawn(edits.iter())),
            _ => {}
        }
    }
    windows
}
