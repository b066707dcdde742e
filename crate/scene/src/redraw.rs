//! Updates a window's panel from its drawing.

use std::collections::HashSet;

use panel::{LineEdit, PanelChange};

use crate::changes::WindowChange;
use crate::document::Window;
use crate::fault::Faults;
use crate::resolve::{drawing_faults, line_numbers, panel_bars, panel_cutline, panel_outline};
use crate::resolved::ResolvedWindow;

/// What a change of the drawing changed in the panel, and how to undo it.
pub(crate) struct Redrawn {
    pub(crate) change: PanelChange,
    back: Vec<LineEdit>,
    lines_before: Vec<u32>,
}

/// Updates the panel of a window from its changed drawing.
///
/// # Errors
/// Every fault of the drawing; the panel is unchanged then.
pub(crate) fn redraw(
    built: &mut ResolvedWindow,
    window: &Window,
    change: &WindowChange,
    path: &str,
) -> Result<Redrawn, Faults> {
    let lines = line_numbers(window);
    let mut edits = if change.drawing {
        replace_all(built, window)
    } else {
        replace_some(&built.lines, &lines, window, change).unwrap_or_else(|| replace_all(built, window))
    };
    if change.drawing || change.sight_size {
        edits.push(LineEdit::ReplaceOutline(panel_outline(&window.drawing.sight_size)));
    }
    if change.drawing || change.bars {
        edits.push(LineEdit::ReplaceBars(panel_bars(&window.drawing)));
    }
    let back = inverse(&edits, built);
    let change = built.panel.apply(&edits).map_err(|error| Faults(drawing_faults(&error, path)))?;
    let lines_before = std::mem::replace(&mut built.lines, lines);
    Ok(Redrawn { change, back, lines_before })
}

/// Restores the panel.
pub(crate) fn undo_redraw(built: &mut ResolvedWindow, redrawn: Redrawn) {
    // This restores a drawing that made a panel a moment ago.
    let _ = built.panel.apply(&redrawn.back);
    built.lines = redrawn.lines_before;
}

/// Edits that replace every cutline.
fn replace_all(built: &ResolvedWindow, window: &Window) -> Vec<LineEdit> {
    let remove = (0..built.lines.len()).rev().map(|index| LineEdit::RemoveCutline { index });
    let insert = |(index, line)| LineEdit::InsertCutline { index, cutline: panel_cutline(line) };
    remove.chain(window.drawing.cutlines.iter().enumerate().map(insert)).collect()
}

/// Edits of the changed lines only; `None` if those that remain are in another order.
fn replace_some(
    before: &[u32],
    now: &[u32],
    window: &Window,
    change: &WindowChange,
) -> Option<Vec<LineEdit>> {
    let (old, new): (HashSet<u32>, HashSet<u32>) =
        (before.iter().copied().collect(), now.iter().copied().collect());
    let stays = |list: &[u32], other: &HashSet<u32>| -> Vec<u32> {
        list.iter().copied().filter(|id| other.contains(id)).collect()
    };
    if stays(before, &new) != stays(now, &old) {
        return None;
    }
    let gone = before.iter().enumerate().rev().filter(|(_, id)| !new.contains(id));
    let mut edits: Vec<LineEdit> = gone.map(|(index, _)| LineEdit::RemoveCutline { index }).collect();
    for (index, id) in now.iter().enumerate() {
        let cutline = || panel_cutline(&window.drawing.cutlines[index]);
        if !old.contains(id) {
            edits.push(LineEdit::InsertCutline { index, cutline: cutline() });
        } else if change.lines.contains(id) {
            edits.push(LineEdit::ReplaceCutline { index, cutline: cutline() });
        }
    }
    Some(edits)
}

/// The edits that undo these edits of a panel's drawing.
fn inverse(edits: &[LineEdit], built: &ResolvedWindow) -> Vec<LineEdit> {
    let drawing = built.panel.drawing();
    // Which line of the old drawing is at each index while the edits are applied; `None` for a new line.
    let mut stands: Vec<Option<usize>> = (0..drawing.cutlines.len()).map(Some).collect();
    let mut back = Vec::with_capacity(edits.len());
    for edit in edits {
        match edit {
            LineEdit::InsertCutline { index, .. } => {
                stands.insert(*index, None);
                back.push(LineEdit::RemoveCutline { index: *index });
            }
            LineEdit::ReplaceCutline { index, .. } => {
                let cutline = stands[*index].map(|line| drawing.cutlines[line].clone());
                back.extend(cutline.map(|cutline| LineEdit::ReplaceCutline { index: *index, cutline }));
            }
            LineEdit::RemoveCutline { index } => {
                let cutline = stands.remove(*index).map(|line| drawing.cutlines[line].clone());
                back.extend(cutline.map(|cutline| LineEdit::InsertCutline { index: *index, cutline }));
            }
            LineEdit::ReplaceOutline(_) => back.push(LineEdit::ReplaceOutline(drawing.outline.clone())),
            LineEdit::ReplaceBars(_) => back.push(LineEdit::ReplaceBars(drawing.bars.clone())),
        }
    }
    back.reverse();
    back
}
