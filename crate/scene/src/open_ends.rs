//! Names edits by the ends of lines that they join or trim, for the labels of undo and redo.

use panel::{Line, PanelOptions, path_ends};

use crate::changes::ChangeSet;
use crate::edit::Edit;
use crate::follow::Applied;
use crate::resolved::{Resolved, ResolvedWindow};

/// A lead is longer only if it grew by more than this, mm: one that is cut off at the window's edge keeps its length
/// inside up to rounding.
const ROUNDING_MM: f64 = 1e-3;

/// How many ends of lines meet nothing, and how long each line is inside its window.
pub(crate) struct OpenEnds {
    open: usize,
    /// For each window, the lengths of its cutlines, mm, in the drawing's order.
    lengths_mm: Vec<Vec<f64>>,
}

impl OpenEnds {
    pub(crate) fn of(resolved: &Resolved) -> Self {
        Self {
            open: resolved.windows.iter().map(|window| window.panel.open_ends.len()).sum(),
            lengths_mm: resolved.windows.iter().map(lengths_mm).collect(),
        }
    }

    /// What an edit changed, in words that follow "Undo: ": the ends that are joined or trimmed if it only changed lines,
    /// otherwise as [`ChangeSet::words`].
    pub(crate) fn words(&self, applied: &Applied, after: &Resolved) -> String {
        let changes = &applied.changes;
        let now = Self::of(after);
        let lines = |ends: &Self| ends.lengths_mm.iter().map(Vec::len).collect::<Vec<_>>();
        let only_lines =
            changes.windows.values().all(|window| !window.lines.is_empty()) && changes.parts().len() == 1;
        if !only_lines || lines(self) != lines(&now) {
            return changes.words();
        }
        let [before, left] = [&applied.inverse, &applied.made].map(|edit| ends_outside(edit, after));
        let (before, left) = (before + self.open, left + now.open);
        let is_longer = |(window, line): (usize, usize)| {
            now.lengths_mm[window][line] > self.lengths_mm[window][line] + ROUNDING_MM
        };
        let (longer, others): (Vec<_>, Vec<_>) = changed(changes, after).partition(|line| is_longer(*line));
        match (before.saturating_sub(left), longer.is_empty(), others.is_empty()) {
            (0, ..) => changes.words(),
            (1, false, true) => "join an open end".to_owned(),
            (ends, false, true) => format!("join {ends} open ends"),
            (1, true, _) => "trim an end".to_owned(),
            (ends, true, _) => format!("trim {ends} ends"),
            (ends, false, false) => format!("join or trim {ends} ends"),
        }
    }
}

/// How many ends of the lines that an edit sets lie outside their window, farther from its edge than a panel joins.
fn ends_outside(edit: &Edit, scene: &Resolved) -> usize {
    match edit {
        Edit::SetLine { window, to: Some(line), .. } => {
            let index = scene.scene.windows.iter().position(|one| one.id == *window);
            let Some(built) = index.and_then(|index| scene.windows.get(index)) else { return 0 };
            let opening = &built.panel.opening;
            let is_outside = |at: &plane::PanelPoint| {
                !opening.contains(*at) && opening.distance_to_edge_mm(*at) > PanelOptions::default().snap_mm
            };
            path_ends(&line.path).iter().filter(|at| is_outside(at)).count()
        }
        Edit::Together { edits } => edits.iter().map(|edit| ends_outside(edit, scene)).sum(),
        _ => 0,
    }
}

/// The lines that changed: index of the window, index of the line.
fn changed<'a>(changes: &'a ChangeSet, after: &'a Resolved) -> impl Iterator<Item = (usize, usize)> + 'a {
    after.scene.windows.iter().zip(&after.windows).enumerate().flat_map(|(k, (window, built))| {
        let lines = changes.windows.get(&window.id).map(|change| &change.lines);
        let is_changed = move |id: &u32| lines.is_some_and(|lines| lines.contains(id));
        let indices = built.lines.iter().enumerate().filter(move |(_, id)| is_changed(id));
        indices.map(move |(line, _)| (k, line))
    })
}

/// The lengths of a window's cutlines inside it, mm.
fn lengths_mm(window: &ResolvedWindow) -> Vec<f64> {
    let mut lengths = vec![0.0; window.lines.len()];
    for lead in &window.panel.leads {
        if let Line::Cutline(index) = lead.line
            && let Some(length) = lengths.get_mut(index)
        {
            *length += lead.length_mm;
        }
    }
    lengths
}
