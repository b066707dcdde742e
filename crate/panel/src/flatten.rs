//! A drawing's lines flattened to polylines on the lattice, line by line.

use crate::drawing::{COORDINATE_LIMIT_MM, Cutline, Drawing, Line};
use crate::fault::{PanelFault, PanelNote};
use crate::lattice::STEPS_PER_MM;
use crate::outline::outline_stroke;
use crate::path::{Polyline, flatten_path, points_of, read_path};
use crate::stroke::{LineInfo, Stroke, Strokes, stroke_from};
use plane::PanelPoint;
use std::sync::Arc;

/// Most points that the lines of one drawing may flatten to.
const POINT_LIMIT: usize = 400_000;

/// Widest lead face or bar, mm.
const WIDTH_LIMIT_MM: f64 = 200.0;

/// A drawing's lines, each flattened by itself.
#[derive(Debug, Clone)]
pub(crate) struct FlatDrawing {
    pub(crate) outline: Arc<FlatLine>,
    /// In the drawing's order.
    pub(crate) cutlines: Vec<Arc<FlatLine>>,
}

/// One flattened line. Nothing in it depends on the line's index.
#[derive(Debug, Clone)]
pub(crate) struct FlatLine {
    /// Its parts in ascending order. Their `line` is 0.
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) face_mm: f64,
    /// Parts shorter than the snapping distance, by their first point.
    no_length: Vec<PanelPoint>,
    draws_nothing: bool,
    point_count: usize,
}

/// Reads and flattens the outline and cutlines, collecting every fault.
pub(crate) fn flatten_drawing(
    drawing: &Drawing,
    snap_mm: f64,
    tolerance_mm: f64,
) -> Result<FlatDrawing, Vec<PanelFault>> {
    let too_much = || vec![PanelFault::TooMuch { what: "line segments", limit: POINT_LIMIT }];
    let mut faults = Vec::new();
    let Drawing { outline, cutlines, .. } = drawing;
    let parts = polylines(Line::Outline, &outline.path, outline.face_mm, tolerance_mm, &mut faults);
    let point_count = count_points(&parts);
    let mut total = point_count;
    if total > POINT_LIMIT {
        return Err(too_much());
    }
    let stroke = if faults.is_empty() { outline_stroke(parts, snap_mm, &mut faults) } else { None };
    let mut lines = Vec::with_capacity(cutlines.len());
    for (index, cutline) in cutlines.iter().enumerate() {
        let line = flatten_cutline(index, cutline, snap_mm, tolerance_mm, &mut faults);
        total += line.point_count;
        if total > POINT_LIMIT {
            return Err(too_much());
        }
        lines.push(Arc::new(line));
    }
    match stroke {
        Some(stroke) if faults.is_empty() => {
            let (face_mm, no_length) = (outline.face_mm, Vec::new());
            let outline =
                FlatLine { strokes: vec![stroke], face_mm, no_length, draws_nothing: false, point_count };
            Ok(FlatDrawing { outline: Arc::new(outline), cutlines: lines })
        }
        _ => Err(faults),
    }
}

/// Reads and flattens `cutlines[index]`. Adds any faults to the list.
pub(crate) fn flatten_cutline(
    index: usize,
    cutline: &Cutline,
    snap_mm: f64,
    tolerance_mm: f64,
    faults: &mut Vec<PanelFault>,
) -> FlatLine {
    let parts = polylines(Line::Cutline(index), &cutline.path, cutline.face_mm, tolerance_mm, faults);
    let mut line = FlatLine {
        strokes: Vec::new(),
        face_mm: cutline.face_mm,
        no_length: Vec::new(),
        draws_nothing: parts.is_empty(),
        point_count: count_points(&parts),
    };
    for part in parts {
        match stroke_from(&part, 0).filter(|stroke| stroke.length() > snap_mm * STEPS_PER_MM) {
            Some(stroke) => line.strokes.push(stroke),
            None => line.no_length.push(part.points[0]),
        }
    }
    sorting::values(&mut line.strokes);
    for (part, stroke) in line.strokes.iter_mut().enumerate() {
        stroke.part = part;
    }
    line
}

fn count_points(parts: &[Polyline]) -> usize {
    parts.iter().map(|part| part.points.len()).sum()
}

impl FlatDrawing {
    /// True if the lines have no more points than one drawing may have.
    pub(crate) fn is_within_limit(&self) -> bool {
        let lines = std::iter::once(&self.outline).chain(&self.cutlines);
        lines.map(|line| line.point_count).sum::<usize>() <= POINT_LIMIT
    }

    /// Adds a note for each line that draws nothing.
    pub(crate) fn note_empty_lines(&self, notes: &mut Vec<PanelNote>) {
        for (index, flat) in self.cutlines.iter().enumerate() {
            let line = Line::Cutline(index);
            if flat.draws_nothing {
                notes.push(PanelNote::DrawsNothing { line });
            }
            notes.extend(flat.no_length.iter().map(|&at| PanelNote::NoLength { line, at }));
        }
    }

    /// All strokes. Cutlines are sorted by geometry, then by width, so that no result depends on the drawing's
    /// order.
    pub(crate) fn strokes(&self) -> Strokes {
        let mut order: Vec<usize> =
            (0..self.cutlines.len()).filter(|&i| !self.cutlines[i].strokes.is_empty()).collect();
        sorting::by(&mut order, |&i, &j| {
            let (a, b) = (&self.cutlines[i], &self.cutlines[j]);
            a.strokes.cmp(&b.strokes).then(a.face_mm.total_cmp(&b.face_mm))
        });
        let mut strokes = self.outline.strokes.clone();
        let mut lines = vec![LineInfo { line: Line::Outline, face_mm: self.outline.face_mm }];
        for index in order {
            let flat = &self.cutlines[index];
            let line = lines.len();
            strokes.extend(flat.strokes.iter().map(|stroke| Stroke { line, ..stroke.clone() }));
            lines.push(LineInfo { line: Line::Cutline(index), face_mm: flat.face_mm });
        }
        Strokes { strokes, lines }
    }
}

/// Reads a line's path and width. Adds any faults to the list and returns the parts read so far.
pub(crate) fn polylines(
    line: Line,
    path: &str,
    width: f64,
    tolerance_mm: f64,
    faults: &mut Vec<PanelFault>,
) -> Vec<Polyline> {
    if !(width > 0.0 && width <= WIDTH_LIMIT_MM) {
        faults.push(PanelFault::BadWidth { line, found: width });
    }
    match read_path(path) {
        Ok(path) => {
            let mut coordinates = path.elements().iter().flat_map(points_of).flat_map(|p| [p.x, p.y]);
            if let Some(found) = coordinates.find(|v| v.abs() > COORDINATE_LIMIT_MM) {
                faults.push(PanelFault::OutOfRange { line, found });
                return Vec::new();
            }
            flatten_path(&path, tolerance_mm)
        }
        Err(bad) => {
            faults.push(PanelFault::BadPath { line, reason: bad.reason, character: bad.character });
            Vec::new()
        }
    }
}
