//! The edits that turn one scene into another.

use std::collections::{HashMap, HashSet};
use std::hash::Hash;

use crate::document::{Attachments, Line, Piece, Scene, Window};
use crate::edit::{Edit, PieceEntry};

/// The fewest edits that turn `from` into `to`: at most one for each part of the scene, each line and each
/// piece. Lists of variants are ignored, and so are windows that only one of the scenes has, since no edit
/// adds or removes a window.
pub fn difference(from: &Scene, to: &Scene) -> Vec<Edit> {
    difference_with(from, to, &HashSet::new())
}

/// As [`difference`], but the drawings of the windows in `whole` are each replaced by one edit.
pub(crate) fn difference_with(from: &Scene, to: &Scene, whole: &HashSet<String>) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut differs = |differs: bool, edit: &dyn Fn() -> Edit| {
        if differs {
            edits.push(edit());
        }
    };
    differs(from.name != to.name, &|| Edit::SetName { name: to.name.clone() });
    differs(from.note != to.note, &|| Edit::SetNote { note: to.note.clone() });
    differs(from.site != to.site, &|| Edit::SetSite { site: to.site.clone() });
    differs(from.at != to.at, &|| Edit::SetAt { at: to.at.clone() });
    differs(from.sky != to.sky, &|| Edit::SetSky { sky: to.sky.clone() });
    differs(from.ground != to.ground, &|| Edit::SetGround { ground: to.ground.clone() });
    differs(from.horizon != to.horizon, &|| Edit::SetHorizon { horizon: to.horizon.clone() });
    differs(from.room != to.room, &|| Edit::SetRoom { room: to.room.clone() });
    for (id, glass) in &to.glasses {
        differs(from.glasses.get(id) != Some(glass), &|| Edit::SetGlass {
            id: id.clone(),
            glass: Some(glass.clone()),
        });
    }
    for id in from.glasses.keys() {
        differs(!to.glasses.contains_key(id), &|| Edit::SetGlass { id: id.clone(), glass: None });
    }
    for window in &to.windows {
        if let Some(before) = from.windows.iter().find(|w| w.id == window.id) {
            of_window(before, window, whole.contains(&window.id), &mut edits);
        }
    }
    if from.places != to.places {
        edits.push(Edit::SetPlaces { places: to.places.clone() });
    }
    if from.viewer != to.viewer {
        edits.push(Edit::SetViewer { viewer: to.viewer });
    }
    of_attachments(&from.attachments, &to.attachments, &mut edits);
    edits
}

fn of_attachments(from: &Attachments, to: &Attachments, edits: &mut Vec<Edit>) {
    let gone = from.keys().filter(|hash| !to.contains_key(hash));
    edits.extend(gone.map(|hash| Edit::SetAttachment { hash: *hash, attachment: None }));
    let other = to.iter().filter(|(hash, attachment)| from.get(hash) != Some(attachment));
    edits.extend(
        other.map(|(hash, attachment)| Edit::SetAttachment {
            hash: *hash,
            attachment: Some(attachment.clone()),
        }),
    );
}

fn of_window(from: &Window, to: &Window, whole: bool, edits: &mut Vec<Edit>) {
    let window = || to.id.clone();
    if (from.centre_x_m, from.sill_height_m) != (to.centre_x_m, to.sill_height_m) {
        let (centre_x_m, sill_height_m) = (to.centre_x_m, to.sill_height_m);
        edits.push(Edit::MoveWindow { window: window(), centre_x_m, sill_height_m });
    }
    if from.protective_glazing != to.protective_glazing {
        let protective_glazing = to.protective_glazing;
        edits.push(Edit::SetProtectiveGlazing { window: window(), protective_glazing });
    }
    if from.deposits != to.deposits {
        edits.push(Edit::SetDeposits { window: window(), deposits: to.deposits.clone() });
    }
    if from.wall != to.wall {
        edits.push(Edit::SetWall { window: window(), wall: to.wall.clone().map(Box::new) });
    }
    let parts = lines_between(from, to).zip(pieces_between(from, to));
    let redraws = |(lines, pieces): &(Vec<Edit>, Vec<Edit>)| {
        lines.len() + pieces.iter().filter(|edit| !matches!(edit, Edit::SetMakeup { .. })).count()
    };
    let redrawn = from.drawing != to.drawing || parts.as_ref().is_none_or(|parts| redraws(parts) > 0);
    let parts = parts.filter(|parts| !(whole && redrawn) && redraws(parts) <= most_redraws(to));
    let Some((lines, pieces)) = parts else {
        edits.push(Edit::SetDrawing {
            window: window(),
            drawing: to.drawing.clone(),
            pieces: to.pieces.clone(),
        });
        return;
    };
    if from.drawing.sight_size != to.drawing.sight_size {
        edits.push(Edit::SetSightSize { window: window(), sight_size: to.drawing.sight_size.clone() });
    }
    edits.extend(lines);
    if from.drawing.bars != to.drawing.bars {
        edits.push(Edit::SetBars { window: window(), bars: to.drawing.bars.clone() });
    }
    edits.extend(pieces);
}

/// Above this many edits of lines and entries, one edit replaces the entire drawing.
fn most_redraws(window: &Window) -> usize {
    8 + (window.drawing.cutlines.len() + window.pieces.len()) / 2
}

/// Edits of single lines; `None` if no earlier line remains or those that remain are in another order.
fn lines_between(from: &Window, to: &Window) -> Option<Vec<Edit>> {
    let (a, b) = (&from.drawing.cutlines, &to.drawing.cutlines);
    if a == b {
        return Some(Vec::new());
    }
    let steps = steps_between(a, b, |line| line.id)?;
    let edit = |step: Step<'_, crate::document::Cutline>| {
        let line =
            |line: &crate::document::Cutline| Line { path: line.path.clone(), width_mm: line.width_mm };
        let (id, to_line, at) = match step {
            Step::Remove(old) => (old.id, None, None),
            Step::Change(new) => (new.id, Some(line(new)), None),
            Step::Insert(new, at) => (new.id, Some(line(new)), Some(at)),
        };
        Edit::SetLine { window: to.id.clone(), line: id, to: to_line, at }
    };
    Some(steps.into_iter().map(edit).collect())
}

/// Edits of single entries; `None` as for lines.
fn pieces_between(from: &Window, to: &Window) -> Option<Vec<Edit>> {
    let steps = steps_between(&from.pieces, &to.pieces, |piece| piece.id)?;
    let old_of: HashMap<u32, &Piece> = from.pieces.iter().map(|piece| (piece.id, piece)).collect();
    let window = || to.id.clone();
    let edit = |step: Step<'_, Piece>| {
        let entry = |new: &Piece| Some(PieceEntry { at_mm: new.at_mm, makeup: new.makeup.clone() });
        match step {
            Step::Remove(old) => Edit::SetPiece { window: window(), piece: old.id, to: None, at: None },
            Step::Insert(new, at) => {
                Edit::SetPiece { window: window(), piece: new.id, to: entry(new), at: Some(at) }
            }
            Step::Change(new) => match old_of.get(&new.id) {
                Some(old) if old.at_mm == new.at_mm => {
                    Edit::SetMakeup { window: window(), piece: new.id, makeup: new.makeup.clone() }
                }
                Some(old) if old.makeup == new.makeup => {
                    Edit::MovePiece { window: window(), piece: new.id, at_mm: new.at_mm }
                }
                _ => Edit::SetPiece { window: window(), piece: new.id, to: entry(new), at: None },
            },
        }
    };
    Some(steps.into_iter().map(edit).collect())
}

enum Step<'a, T> {
    Remove(&'a T),
    Change(&'a T),
    /// At this index of the list at that step.
    Insert(&'a T, usize),
}

/// The steps that turn one list into another, with items identified by a key: removals, then changes and
/// insertions from the front. `None` if nothing remains of a list that was not empty, or what remains is in
/// another order.
fn steps_between<'a, T: PartialEq, K: Eq + Hash + Copy>(
    from: &'a [T],
    to: &'a [T],
    key: impl Fn(&T) -> K,
) -> Option<Vec<Step<'a, T>>> {
    let new: HashSet<K> = to.iter().map(&key).collect();
    let old: HashMap<K, &T> = from.iter().map(|item| (key(item), item)).collect();
    let mut stays = from.iter().filter(|item| new.contains(&key(item))).map(&key);
    let mut steps: Vec<Step<'a, T>> =
        from.iter().filter(|item| !new.contains(&key(item))).map(Step::Remove).collect();
    if steps.len() == from.len() && !from.is_empty() && !to.is_empty() {
        return None;
    }
    for (at, item) in to.iter().enumerate() {
        match old.get(&key(item)) {
            None => steps.push(Step::Insert(item, at)),
            Some(before) => {
                if stays.next() != Some(key(item)) {
                    return None;
                }
                if *before != item {
                    steps.push(Step::Change(item));
                }
            }
        }
    }
    Some(steps)
}
