//! Edits of a drawing's lines.

use crate::drawing::{Bar, Cutline, Drawing, Line, Outline};
use crate::fault::{PanelError, PanelFault};

/// One edit of a drawing. Indices refer to the drawing after all previous edits.
#[derive(Debug, Clone, PartialEq)]
pub enum LineEdit {
    /// Inserts a cutline before `cutlines[index]`, or at the end if `index` is the number of cutlines.
    InsertCutline {
        /// Where to insert it.
        index: usize,
        /// The new cutline.
        cutline: Cutline,
    },
    /// Replaces `cutlines[index]` after a move, a change of shape or a change of width.
    ReplaceCutline {
        /// Which cutline to replace.
        index: usize,
        /// The new cutline.
        cutline: Cutline,
    },
    /// Removes `cutlines[index]`.
    RemoveCutline {
        /// Which cutline to remove.
        index: usize,
    },
    /// Replaces the outline.
    ReplaceOutline(Outline),
    /// Replaces all saddle bars.
    ReplaceBars(Vec<Bar>),
}

/// What edits have done to the lines of a drawing.
#[derive(Debug)]
pub(crate) struct Edited {
    /// For each cutline now: its index before, if it existed, and whether it is unchanged.
    pub(crate) cutlines: Vec<(Option<usize>, bool)>,
    /// Number of cutlines before the edits.
    pub(crate) old_count: usize,
    pub(crate) outline: bool,
    pub(crate) bars: bool,
    /// The edits that undo these, to be applied from the last to the first.
    undo: Vec<LineEdit>,
}

impl Edited {
    /// Applies edits to a drawing.
    ///
    /// # Errors
    /// An index is out of range; the drawing is then unchanged.
    pub(crate) fn new(drawing: &mut Drawing, edits: &[LineEdit]) -> Result<Self, PanelError> {
        let old_count = drawing.cutlines.len();
        let cutlines = (0..old_count).map(|index| (Some(index), true)).collect();
        let mut edited = Edited { cutlines, old_count, outline: false, bars: false, undo: Vec::new() };
        for edit in edits {
            if let Err(fault) = edited.edit(drawing, edit.clone()) {
                edited.undo(drawing);
                return Err(PanelError { faults: vec![fault] });
            }
        }
        Ok(edited)
    }

    fn edit(&mut self, drawing: &mut Drawing, edit: LineEdit) -> Result<(), PanelFault> {
        let lines = &mut drawing.cutlines;
        let count = lines.len();
        let missing = |index: usize| PanelFault::NoSuchLine { line: Line::Cutline(index), count };
        let undo = match edit {
            LineEdit::InsertCutline { index, cutline } if index <= count => {
                lines.insert(index, cutline);
                self.cutlines.insert(index, (None, false));
                LineEdit::RemoveCutline { index }
            }
            LineEdit::ReplaceCutline { index, cutline } if index < count => {
                self.cutlines[index].1 = false;
                LineEdit::ReplaceCutline { index, cutline: std::mem::replace(&mut lines[index], cutline) }
            }
            LineEdit::RemoveCutline { index } if index < count => {
                self.cutlines.remove(index);
                LineEdit::InsertCutline { index, cutline: lines.remove(index) }
            }
            LineEdit::ReplaceOutline(outline) => {
                self.outline = true;
                LineEdit::ReplaceOutline(std::mem::replace(&mut drawing.outline, outline))
            }
            LineEdit::ReplaceBars(bars) => {
                self.bars = true;
                LineEdit::ReplaceBars(std::mem::replace(&mut drawing.bars, bars))
            }
            LineEdit::InsertCutline { index, .. }
            | LineEdit::ReplaceCutline { index, .. }
            | LineEdit::RemoveCutline { index } => return Err(missing(index)),
        };
        self.undo.push(undo);
        Ok(())
    }

    /// Restores the drawing.
    pub(crate) fn undo(&mut self, drawing: &mut Drawing) {
        while let Some(edit) = self.undo.pop() {
            let undone = self.edit(drawing, edit);
            debug_assert!(undone.is_ok());
            self.undo.pop();
        }
    }
}
