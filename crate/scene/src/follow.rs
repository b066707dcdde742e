//! An edit of a scene that is built: what is built follows, and only what the edit touches is built anew.

use std::collections::HashMap;
use std::mem::take;

use crate::changes::{ChangeSet, WindowChange};
use crate::check::check_touched;
use crate::document::Window;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::outdoors::outdoors;
use crate::pieces::{Followed, PieceNote, follow_pieces};
use crate::redraw::{Redrawn, redraw};
use crate::resolve::{
    Resolved, ResolvedWindow, bar_sides, check_overlaps, check_placement, lower_left_m, match_entries,
    resolve_piece, resolve_room,
};

/// What an edit came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Applied {
    /// The edit as it was made: with what the pieces beside a changed line needed. Made in another copy of the
    /// scene, it leads to the same scene.
    pub made: Edit,
    /// Undoes it exactly.
    pub inverse: Edit,
    /// What it touched.
    pub changes: ChangeSet,
    /// For each redrawn window, by its index: for each of its pieces now, the index of the same shape before.
    pub redrawn: Vec<(usize, Vec<Option<usize>>)>,
    /// Pieces that could not be kept, and those that are new.
    pub notes: Vec<PieceNote>,
}

impl Resolved {
    /// Makes an edit and brings everything that was built from the document in step with it.
    ///
    /// An edit of lines need not say what becomes of the pieces beside them: a piece that is still recognisable keeps
    /// its number, glass and paint, a new one gets the make-up of the piece that it was cut from. Entries that the
    /// edit gives itself are taken as they are.
    ///
    /// # Errors
    /// Every fault that the edited document would have. Then nothing has changed.
    pub fn apply(&mut self, edit: Edit) -> Result<Applied, Faults> {
        let changes = ChangeSet::of(&edit, &self.scene);
        let mut edits = Edits { made: vec![edit.clone()], inverses: Vec::new() };
        edits.inverses.push(edit.apply(&mut self.scene).map_err(|error| {
            Faults(vec![Fault::new("", "a change of something that is there", error.to_string())])
        })?);
        match self.follow(changes, &mut edits) {
            Ok((changes, redrawn, notes)) => {
                let (made, inverse) = edits.joined();
                Ok(Applied { made, inverse, changes, redrawn, notes })
            }
            Err(faults) => {
                for inverse in edits.inverses.into_iter().rev() {
                    // An inverse names what was just there, so it cannot fail.
                    let _ = inverse.apply(&mut self.scene);
                }
                Err(faults)
            }
        }
    }

    #[expect(clippy::type_complexity, reason = "the three parts of the answer, taken apart at once")]
    fn follow(
        &mut self,
        mut changes: ChangeSet,
        edits: &mut Edits,
    ) -> Result<(ChangeSet, Vec<(usize, Vec<Option<usize>>)>, Vec<PieceNote>), Faults> {
        Faults::none_or(check_touched(&self.scene, &changes))?;
        let mut notes = Vec::new();
        let mut redrawn = Vec::new();
        for index in 0..self.windows.len() {
            let change = changes.windows.get(&self.windows[index].id);
            if change.is_some_and(WindowChange::redrawn) {
                redrawn.push((index, self.redraw_window(index, &mut changes, edits, &mut notes)?));
            }
        }
        self.check_wall(&changes, &redrawn)?;
        // From here on nothing can fail.
        self.rebuild(&changes);
        let mut shapes = Vec::with_capacity(redrawn.len());
        for (index, new) in redrawn {
            self.take_redrawn(index, &new, &changes);
            shapes.push((index, new.redrawn.old_of_new));
        }
        Ok((changes, shapes, notes))
    }

    /// Makes a window's panel anew and finds the entry of every piece.
    fn redraw_window(
        &mut self,
        index: usize,
        changes: &mut ChangeSet,
        edits: &mut Edits,
        notes: &mut Vec<PieceNote>,
    ) -> Result<NewShapes, Faults> {
        let before = &self.windows[index];
        let window = &self.scene.windows[index];
        let path = format!("windows[{index}]");
        let redrawn = redraw(&before.panel, &window.drawing, &path)?;
        let whole = changes.windows.get(&window.id).is_some_and(|change| change.drawing);
        if whole {
            // A whole drawing brings all its entries.
            let mut faults = Vec::new();
            let entries = match_entries(window, &redrawn.panel, &path, &mut faults);
            Faults::none_or(faults)?;
            let ids = entries.into_iter().flatten().map(|entry| window.pieces[entry].id).collect();
            return Ok(NewShapes { redrawn, ids });
        }
        let Followed { ids, edits: more, notes: said } = follow_pieces(window, before, &redrawn);
        for edit in more {
            edits.made.push(edit.clone());
            let touched = ChangeSet::of(&edit, &self.scene);
            for (id, change) in touched.windows {
                let known = changes.windows.entry(id).or_default();
                known.entries.extend(change.entries);
            }
            // It names a piece that is there, or one that is not there yet.
            edits.inverses.extend(edit.apply(&mut self.scene).ok());
        }
        notes.extend(said);
        Ok(NewShapes { redrawn, ids })
    }

    /// Windows must fit the wall and lie beside one another.
    fn check_wall(&self, changes: &ChangeSet, redrawn: &[(usize, NewShapes)]) -> Result<(), Faults> {
        let moved = |change: &WindowChange| change.placement || change.drawing || change.sight_size;
        if !changes.room.size && !changes.windows.values().any(moved) {
            return Ok(());
        }
        let mut faults = Vec::new();
        let mut now: Vec<ResolvedWindow> = Vec::with_capacity(self.windows.len());
        for (index, (built, window)) in self.windows.iter().zip(&self.scene.windows).enumerate() {
            let new = redrawn.iter().find(|(of, _)| *of == index);
            let panel = new.map_or(&built.panel, |(_, new)| &new.redrawn.panel);
            check_placement(&self.scene, window, panel, &format!("windows[{index}]"), &mut faults);
            now.push(ResolvedWindow {
                id: window.id.clone(),
                lower_left_m: lower_left_m(window, panel),
                panel: panel.clone(),
                bar_sides: Vec::new(),
                pieces: Vec::new(),
            });
        }
        if faults.is_empty() && now.len() > 1 {
            check_overlaps(&now.iter().collect::<Vec<_>>(), &mut faults);
        }
        Faults::none_or(faults)
    }

    /// Everything but the shapes of windows.
    fn rebuild(&mut self, changes: &ChangeSet) {
        let Self { scene, windows, .. } = self;
        if changes.outside() {
            (self.place, self.sky, self.ground, self.horizon) = outdoors(scene);
        }
        if changes.room.size || changes.room.facing || changes.room.surfaces {
            self.room = resolve_room(&scene.room);
        }
        for (window, built) in scene.windows.iter().zip(windows) {
            let change = changes.windows.get(&window.id);
            if change.is_some_and(|change| change.placement) {
                built.lower_left_m = lower_left_m(window, &built.panel);
            }
            if change.is_some_and(WindowChange::redrawn) || (change.is_none() && changes.glasses.is_empty()) {
                continue;
            }
            let shapes = &built.panel.pieces;
            for (piece, shape) in built.pieces.iter_mut().zip(shapes) {
                if is_touched(window, piece.entry, change, changes) {
                    *piece = resolve_piece(scene, window, piece.entry, shape);
                }
            }
        }
    }

    fn take_redrawn(&mut self, index: usize, new: &NewShapes, changes: &ChangeSet) {
        let Self { scene, windows, .. } = self;
        let (window, built) = (&scene.windows[index], &mut windows[index]);
        let change = changes.windows.get(&window.id);
        let entry_of: HashMap<u32, usize> =
            window.pieces.iter().enumerate().map(|(entry, piece)| (piece.id, entry)).collect();
        let mut old: Vec<_> = take(&mut built.pieces).into_iter().map(Some).collect();
        let shapes = new.redrawn.panel.pieces.iter().zip(&new.ids).zip(&new.redrawn.old_of_new);
        built.pieces = shapes
            .map(|((shape, id), before)| {
                let entry = entry_of.get(id).copied().unwrap_or_default();
                let kept = before.and_then(|before| old[before].take()).filter(|kept| kept.id == *id);
                match kept {
                    Some(kept) if !is_touched(window, entry, change, changes) => {
                        crate::resolve::ResolvedPiece { entry, ..kept }
                    }
                    _ => resolve_piece(scene, window, entry, shape),
                }
            })
            .collect();
        built.panel = new.redrawn.panel.clone();
        built.lower_left_m = lower_left_m(window, &built.panel);
        built.bar_sides = bar_sides(window);
    }
}

/// A window's shapes after an edit, and the number of the piece that each of them is.
struct NewShapes {
    redrawn: Redrawn,
    ids: Vec<u32>,
}

/// The parts of one edit, in the order in which they were made.
struct Edits {
    made: Vec<Edit>,
    inverses: Vec<Edit>,
}

impl Edits {
    /// As one edit, and the one that undoes it.
    fn joined(mut self) -> (Edit, Edit) {
        self.inverses.reverse();
        let one = |mut edits: Vec<Edit>| match (edits.pop(), edits.is_empty()) {
            (Some(only), true) => only,
            (last, _) => {
                edits.extend(last);
                Edit::Together { edits }
            }
        };
        (one(self.made), one(self.inverses))
    }
}

/// Whether glass or paint of a piece may be another after a change.
fn is_touched(window: &Window, entry: usize, change: Option<&WindowChange>, changes: &ChangeSet) -> bool {
    let piece = &window.pieces[entry];
    let own = |change: &WindowChange| {
        change.protective_glazing || change.drawing || change.makeups.contains_key(&piece.id)
    };
    change.is_some_and(own)
        || piece.makeup.plates.iter().any(|plate| changes.glasses.contains_key(&plate.glass))
}
