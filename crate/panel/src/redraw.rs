//! Flattening and joining only the lines of a drawing that an edit has changed.

use crate::build::Built;
use crate::drawing::{Drawing, Line};
use crate::edit::Edited;
use crate::flatten::{FlatDrawing, flatten_cutline};
use crate::join::Move;
use crate::lattice::Point;
use crate::options::PanelOptions;
use crate::rejoin::{LineMap, differing_segments, rejoin};
use crate::stroke::{Stroke, Strokes};
use crate::tiles::Tiles;
use std::sync::Arc;

/// The lines of an edited drawing.
pub(crate) struct Redrawn {
    pub(crate) flat: FlatDrawing,
    pub(crate) flat_strokes: Strokes,
    pub(crate) drawn: Strokes,
    pub(crate) moves: Vec<Move>,
    pub(crate) lines: LineMap,
}

/// Flattens the edited lines and joins near misses again near them. Returns `None` if the drawing has faults or
/// must be joined again as a whole.
pub(crate) fn redraw(
    built: &Built,
    drawing: &Drawing,
    options: &PanelOptions,
    edited: &Edited,
    none: &Tiles,
) -> Option<Redrawn> {
    let (snap_mm, tolerance_mm) = (options.snap_mm, options.flatten_tolerance_mm);
    let mut faults = Vec::new();
    let cutlines = edited.cutlines.iter().enumerate().map(|(index, cutline)| match *cutline {
        (Some(old), true) => Arc::clone(&built.flat.cutlines[old]),
        _ => {
            let cutline = &drawing.cutlines[index];
            Arc::new(flatten_cutline(index, cutline, snap_mm, tolerance_mm, &mut faults))
        }
    });
    let flat = FlatDrawing { cutlines: cutlines.collect(), outline: Arc::clone(&built.flat.outline) };
    if !faults.is_empty() || !flat.is_within_limit() {
        return None;
    }
    let flat_strokes = flat.strokes();
    let lines = line_map(&built.flat_strokes, &flat_strokes, edited);
    let mut drawn = flat_strokes.clone();
    let moves = rejoin(&mut drawn, &flat_strokes, &built.flat_strokes, &built.moves, &lines, snap_mm, none)?;
    Some(Redrawn { flat, flat_strokes, drawn, moves, lines })
}

fn line_map(old: &Strokes, new: &Strokes, edited: &Edited) -> LineMap {
    let mut old_of_cutline = vec![None; edited.old_count];
    for (index, info) in old.lines.iter().enumerate() {
        if let Line::Cutline(cutline) = info.line {
            old_of_cutline[cutline] = Some(index);
        }
    }
    let mut map = LineMap {
        new_of_old: vec![None; old.lines.len()],
        old_of_new: vec![None; new.lines.len()],
        changed: vec![false; new.lines.len()],
        moved: Vec::new(),
    };
    for (index, info) in new.lines.iter().enumerate() {
        let was = match info.line {
            Line::Cutline(cutline) => {
                let (was, same) = edited.cutlines[cutline];
                map.changed[index] = !same;
                was.and_then(|was| old_of_cutline[was])
            }
            _ => Some(0),
        };
        map.old_of_new[index] = was;
        if let Some(was) = was {
            map.new_of_old[was] = Some(index);
        }
    }
    map.moved = has_moved(&map);
    map
}

/// Stretches of segments that are in only one of two drawings, or that may be split at different points.
///
/// Where two lines cross, the last bit of the crossing depends on which line comes first. A line whose place in the
/// order has changed is therefore returned whole.
pub(crate) fn differing_stretches(old: &Strokes, new: &Strokes, lines: &LineMap) -> Vec<Vec<(Point, Point)>> {
    let (old_parts, new_parts) = (parts_by_line(old), parts_by_line(new));
    let mut stretches = Vec::new();
    let mut add = |own: &[Stroke], other: &[Stroke], is_whole: bool| {
        for (index, stroke) in own.iter().enumerate() {
            let stretch = differing_segments(stroke, other.get(index).filter(|_| !is_whole));
            if !stretch.is_empty() {
                stretches.push(stretch);
            }
        }
    };
    for (index, own) in new_parts.iter().enumerate() {
        let Some(was) = lines.old_of_new[index] else {
            add(own, &[], true);
            continue;
        };
        let other = old_parts[was];
        let parts_differ = own.len() != other.len() || own.iter().zip(other).any(|(a, b)| a.part != b.part);
        let faces_differ = new.lines[index].face_mm.total_cmp(&old.lines[was].face_mm).is_ne();
        let is_whole =
            parts_differ || lines.changed[index] && (lines.moved[index] || faces_differ || own.len() > 1);
        add(own, other, is_whole);
        add(other, own, is_whole);
    }
    for (index, own) in old_parts.iter().enumerate() {
        if lines.new_of_old[index].is_none() {
            add(own, &[], true);
        }
    }
    stretches
}

/// The strokes of each line.
fn parts_by_line(drawn: &Strokes) -> Vec<&[Stroke]> {
    let mut parts: Vec<&[Stroke]> = vec![&[]; drawn.lines.len()];
    for same in drawn.strokes.chunk_by(|a, b| a.line == b.line) {
        parts[same[0].line] = same;
    }
    parts
}

/// For each new line, whether its rank among the others has changed.
fn has_moved(lines: &LineMap) -> Vec<bool> {
    let is_same = |new: usize| !lines.changed[new] && lines.old_of_new[new].is_some();
    let counts = |same: &mut dyn Iterator<Item = bool>| {
        let mut count = 0;
        same.map(|same| {
            count += usize::from(same);
            count
        })
        .collect::<Vec<usize>>()
    };
    // The number of unchanged lines that come before each.
    let before = counts(&mut (0..lines.changed.len()).map(is_same));
    let was_before = counts(&mut lines.new_of_old.iter().map(|new| new.is_some_and(is_same)));
    let changed = (0..lines.changed.len()).filter(|&new| !is_same(new));
    let was: Vec<usize> = changed.filter_map(|new| lines.old_of_new[new]).collect();
    let in_order = was.is_sorted();
    (0..lines.changed.len())
        .map(|new| {
            let moved = |was: usize| !in_order || before[new] != was_before[was];
            !is_same(new) && lines.old_of_new[new].is_none_or(moved)
        })
        .collect()
}
