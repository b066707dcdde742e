//! Applies an edit to a built scene and rebuilds only what the edit touches.

use std::collections::HashMap;
use std::mem::take;

use panel::PanelChange;
use plane::PanelOnWall;

use crate::changes::{ChangeSet, WindowChange};
use crate::check::check_touched;
use crate::document::Window;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::outdoors::{buildings, outdoors};
use crate::pieces::{PieceNote, follow_pieces};
use crate::redraw::{Redrawn, redraw, undo_redraw};
use crate::resolve::{
    bar_sides, check_overlaps, check_own_wall, check_placement, match_entries, placement, resolve_piece,
    resolve_room,
};
use crate::resolved::{Resolved, ResolvedPiece, ResolvedWall};
use crate::wall::{check_faces, resolve_wall};

/// The result of an edit.
#[derive(Clone, Debug, PartialEq)]
pub struct Applied {
    /// The edit as applied, including what the pieces beside a changed line needed. Applied to another copy
    /// of the scene, it gives the same scene.
    pub made: Edit,
    /// The edit that undoes it exactly.
    pub inverse: Edit,
    /// What it touched.
    pub changes: ChangeSet,
    /// What changed in the panels of redrawn windows, by the window's index.
    pub redrawn: Vec<(usize, PanelChange)>,
    /// Pieces that could not be kept, and those that are new.
    pub notes: Vec<PieceNote>,
}

impl Resolved {
    /// Applies an edit and updates everything that was built from the document.
    ///
    /// An edit of lines need not say what becomes of the pieces beside them: a piece that is still
    /// recognisable keeps its number, glass and paint; a new one gets the make-up of the piece that it was
    /// cut from. Entries given in the edit itself are used unchanged.
    ///
    /// # Errors
    /// Every fault that the edited document would have. Nothing has changed then.
    pub fn apply(&mut self, edit: Edit) -> Result<Applied, Faults> {
        let changes = ChangeSet::of(&edit, &self.scene);
        let mut edits = Edits { made: vec![edit.clone()], inverses: Vec::new() };
        edits.inverses.push(edit.apply(&mut self.scene).map_err(|error| {
            Faults(vec![Fault::new("", "a change to something that exists", error.to_string())])
        })?);
        match self.follow(changes, &mut edits) {
            Ok(Touched { changes, redrawn, notes }) => {
                let (made, inverse) = edits.joined();
                Ok(Applied { made, inverse, changes, redrawn, notes })
            }
            Err(faults) => {
                for inverse in edits.inverses.into_iter().rev() {
                    // The inverse names only what existed a moment ago, so it cannot fail.
                    let _ = inverse.apply(&mut self.scene);
                }
                Err(faults)
            }
        }
    }

    fn follow(&mut self, changes: ChangeSet, edits: &mut Edits) -> Result<Touched, Faults> {
        Faults::none_or(check_touched(&self.scene, &changes))?;
        let mut redrawn: Vec<(usize, NewShapes)> = Vec::new();
        let mut after = Touched { changes, redrawn: Vec::new(), notes: Vec::new() };
        let mut result = Ok(());
        for index in 0..self.windows.len() {
            let change = after.changes.windows.get(&self.windows[index].id);
            if result.is_ok() && change.is_some_and(WindowChange::redrawn) {
                result = self.redraw_window(index, &mut after, edits, &mut redrawn);
            }
        }
        if let Err(faults) = result.and_then(|()| self.check_wall(&after.changes)) {
            for (index, new) in redrawn.into_iter().rev() {
                undo_redraw(&mut self.windows[index], new.redrawn);
            }
            return Err(faults);
        }
        // From here on nothing can fail.
        self.rebuild(&after.changes);
        for (index, new) in redrawn {
            self.take_redrawn(index, &new, &after.changes);
            after.redrawn.push((index, new.redrawn.change));
        }
        Ok(after)
    }

    /// Updates a window's panel from its drawing and finds the entry of every piece.
    fn redraw_window(
        &mut self,
        index: usize,
        after: &mut Touched,
        edits: &mut Edits,
        all: &mut Vec<(usize, NewShapes)>,
    ) -> Result<(), Faults> {
        let Self { scene, windows, numbers_up_to, .. } = self;
        let (window, built) = (&scene.windows[index], &mut windows[index]);
        let path = format!("windows[{index}]");
        let Some(change) = after.changes.windows.get(&window.id) else { return Ok(()) };
        let moves_lines = change.sight_size || !change.lines.is_empty();
        let whole = change.drawing || (!moves_lines && !change.entries.is_empty());
        let given = change.entries.clone();
        let redrawn = redraw(built, window, change, &path)?;
        if whole {
            // An entire drawing comes with all its entries; where no line moves, entries must fit unchanged.
            let mut faults = Vec::new();
            let entries = match_entries(window, &built.panel, &path, &mut faults);
            let ids = entries.into_iter().flatten().map(|entry| window.pieces[entry].id).collect();
            all.push((index, NewShapes { redrawn, ids }));
            return Faults::none_or(faults);
        }
        let followed = follow_pieces(window, built, &redrawn.change, &given, *numbers_up_to);
        all.push((index, NewShapes { redrawn, ids: followed.ids }));
        for edit in followed.edits {
            edits.made.push(edit.clone());
            let touched = ChangeSet::of(&edit, scene);
            for (id, change) in touched.windows {
                after.changes.windows.entry(id).or_default().entries.extend(change.entries);
            }
            // The entry's piece may or may not exist yet.
            edits.inverses.extend(edit.apply(scene).ok());
        }
        after.notes.extend(followed.notes);
        Ok(())
    }

    /// Windows must fit the wall and must not overlap.
    fn check_wall(&mut self, changes: &ChangeSet) -> Result<(), Faults> {
        let moved =
            |change: &WindowChange| change.placement || change.drawing || change.sight_size || change.wall;
        let mut faults = Vec::new();
        if !changes.room.size && !changes.windows.values().any(moved) {
            if changes.horizon {
                check_own_wall(&self.scene, &self.windows, &mut faults);
            }
            return Faults::none_or(faults);
        }
        let before: Vec<(PanelOnWall, Option<ResolvedWall>)> =
            self.windows.iter().map(|built| (built.placement, built.wall.clone())).collect();
        for (index, (built, window)) in self.windows.iter_mut().zip(&self.scene.windows).enumerate() {
            check_placement(&self.scene, window, &built.panel, &format!("windows[{index}]"), &mut faults);
            built.placement = placement(window, &built.panel);
        }
        if faults.is_empty() {
            for (index, (built, window)) in self.windows.iter_mut().zip(&self.scene.windows).enumerate() {
                built.wall =
                    resolve_wall(&self.scene, window, built, &format!("windows[{index}]"), &mut faults);
            }
        }
        if faults.is_empty() {
            check_overlaps(&self.windows, &mut faults);
            check_faces(&self.windows, &mut faults);
            check_own_wall(&self.scene, &self.windows, &mut faults);
        }
        if !faults.is_empty() {
            for (built, (placement, wall)) in self.windows.iter_mut().zip(before) {
                (built.placement, built.wall) = (placement, wall);
            }
        }
        Faults::none_or(faults)
    }

    /// Updates everything but the shapes of windows.
    fn rebuild(&mut self, changes: &ChangeSet) {
        let Self { scene, windows, .. } = self;
        if changes.outside() {
            let buildings = self.horizon.buildings.take();
            (self.place, self.sky, self.ground, self.horizon) = outdoors(scene);
            self.horizon.buildings = buildings;
        }
        // They are as far from the window as the scene says, and turn with its wall; their geometry stays while its
        // measurements do.
        let moved = |change: &WindowChange| change.placement || change.drawing || change.sight_size;
        // An assumed wall is as high as the room asks for.
        if changes.horizon || changes.room.facing || changes.room.size || changes.windows.values().any(moved)
        {
            self.horizon.buildings = buildings(scene, windows, self.horizon.buildings.take());
        }
        if changes.room.size || changes.room.facing || changes.room.surfaces {
            self.room = resolve_room(&scene.room);
        }
        for (window, built) in scene.windows.iter().zip(windows) {
            let change = changes.windows.get(&window.id);
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
        let shapes = built.panel.pieces.iter().zip(&new.ids).zip(&new.redrawn.change.pieces);
        built.pieces = shapes
            .map(|((shape, id), before)| {
                let entry = entry_of.get(id).copied().unwrap_or_default();
                let kept = before.and_then(|before| old[before].take()).filter(|kept| kept.id == *id);
                match kept {
                    Some(kept) if !is_touched(window, entry, change, changes) => {
                        ResolvedPiece { entry, ..kept }
                    }
                    _ => resolve_piece(scene, window, entry, shape),
                }
            })
            .collect();
        built.bar_sides = bar_sides(window);
    }
}

/// What an edit touched, and what happened to the pieces.
struct Touched {
    changes: ChangeSet,
    redrawn: Vec<(usize, PanelChange)>,
    notes: Vec<PieceNote>,
}

/// A window's shapes after an edit, and the piece number of each.
struct NewShapes {
    redrawn: Redrawn,
    ids: Vec<u32>,
}

/// The parts of one edit, in the order they were applied.
struct Edits {
    made: Vec<Edit>,
    inverses: Vec<Edit>,
}

impl Edits {
    /// One edit of all the parts, and the edit that undoes it.
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

/// Whether the glass or paint of a piece may have changed.
fn is_touched(window: &Window, entry: usize, change: Option<&WindowChange>, changes: &ChangeSet) -> bool {
    let piece = &window.pieces[entry];
    let own = |change: &WindowChange| {
        change.protective_glazing
            || change.deposits
            || change.drawing
            || change.entries.contains(&piece.id)
            || change.makeups.contains_key(&piece.id)
    };
    change.is_some_and(own)
        || piece.makeup.plates.iter().any(|plate| changes.glasses.contains_key(&plate.glass))
}
