//! Lines of a drawing as polylines on the lattice.

use crate::drawing::{COORDINATE_LIMIT_MM, Drawing, Line};
use crate::fault::{PanelFault, PanelNote};
use crate::lattice::{Point, STEPS_PER_MM};
use crate::outline::outline_stroke;
use crate::path::{Polyline, flatten_path, points_of, read_path};

/// Most line segments one drawing may flatten to.
pub(crate) const SEGMENT_LIMIT: usize = 400_000;

/// Widest lead face or bar, mm.
const WIDTH_LIMIT_MM: f64 = 200.0;

/// One connected part of a line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Stroke {
    /// At least two points, no two neighbours equal; a closed one does not repeat its first.
    pub(crate) points: Vec<Point>,
    pub(crate) closed: bool,
    /// Which line: index into [`Strokes::lines`].
    pub(crate) line: usize,
}

impl Stroke {
    pub(crate) fn segment_count(&self) -> usize {
        if self.closed { self.points.len() } else { self.points.len() - 1 }
    }

    /// Segment `i`, from point `i` to the next.
    pub(crate) fn segment(&self, i: usize) -> (Point, Point) {
        let next = if i + 1 == self.points.len() { 0 } else { i + 1 };
        (self.points[i], self.points[next])
    }

    fn length(&self) -> f64 {
        (0..self.segment_count()).map(|i| self.segment(i)).map(|(a, b)| a.distance(b)).sum()
    }
}

/// A line's name and width.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LineInfo {
    pub(crate) line: Line,
    pub(crate) face_mm: f64,
}

/// The outline and cutlines of a drawing.
#[derive(Debug)]
pub(crate) struct Strokes {
    /// The outline first, counterclockwise; then cutlines in an order that depends on geometry alone.
    pub(crate) strokes: Vec<Stroke>,
    /// The outline first, then the cutlines in the order of their first stroke.
    pub(crate) lines: Vec<LineInfo>,
}

/// Reads and flattens the outline and cutlines, collecting every fault.
pub(crate) fn strokes_from_drawing(
    drawing: &Drawing,
    snap_mm: f64,
    flatten_tolerance_mm: f64,
    notes: &mut Vec<PanelNote>,
) -> Result<Strokes, Vec<PanelFault>> {
    let mut faults = Vec::new();
    let mut total = 0;
    let mut read = |line: Line, path: &str, width: f64, faults: &mut Vec<PanelFault>| {
        let parts = polylines(line, path, width, flatten_tolerance_mm, faults);
        total += parts.iter().map(|part| part.points.len()).sum::<usize>();
        if total > SEGMENT_LIMIT { None } else { Some(parts) }
    };
    let too_much = PanelFault::TooMuch { what: "line segments", limit: SEGMENT_LIMIT };

    let Some(parts) = read(Line::Outline, &drawing.outline.path, drawing.outline.face_mm, &mut faults) else {
        return Err(vec![too_much]);
    };
    let outline = if faults.is_empty() { outline_stroke(parts, snap_mm, &mut faults) } else { None };

    let mut cutlines = Vec::new();
    for (index, cutline) in drawing.cutlines.iter().enumerate() {
        let line = Line::Cutline(index);
        let fault_count = faults.len();
        let Some(parts) = read(line, &cutline.path, cutline.face_mm, &mut faults) else {
            return Err(vec![too_much]);
        };
        if faults.len() > fault_count {
            continue;
        }
        if parts.is_empty() {
            notes.push(PanelNote::DrawsNothing { line });
        }
        let mut strokes: Vec<Stroke> = Vec::new();
        for part in parts {
            match stroke_from(&part, 0).filter(|stroke| stroke.length() > snap_mm * STEPS_PER_MM) {
                Some(stroke) => strokes.push(stroke),
                None => notes.push(PanelNote::NoLength { line, at: part.points[0] }),
            }
        }
        strokes.sort();
        if !strokes.is_empty() {
            cutlines.push((strokes, LineInfo { line, face_mm: cutline.face_mm }));
        }
    }
    let Some(outline) = outline.filter(|_| faults.is_empty()) else { return Err(faults) };

    // By geometry first, then width, so that neither numbering nor ties follow the drawing's order.
    cutlines.sort_by(|(a, i), (b, j)| a.cmp(b).then(i.face_mm.total_cmp(&j.face_mm)));
    let mut strokes = vec![outline];
    let mut lines = vec![LineInfo { line: Line::Outline, face_mm: drawing.outline.face_mm }];
    for (parts, info) in cutlines {
        strokes.extend(parts.into_iter().map(|stroke| Stroke { line: lines.len(), ..stroke }));
        lines.push(info);
    }
    Ok(Strokes { strokes, lines })
}

/// Reads a line's path and width. Faults go to the list; the parts read so far come back.
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

pub(crate) fn stroke_from(part: &Polyline, line: usize) -> Option<Stroke> {
    let mut points: Vec<Point> = part.points.iter().map(|&p| Point::from_mm(p)).collect();
    points.dedup();
    let mut closed = part.closed;
    if points.len() > 2 && points.first() == points.last() {
        points.pop();
        closed = true;
    }
    // A loop needs three points; two are a line there and back.
    let closed = closed && points.len() > 2;
    if points.len() >= 2 { Some(Stroke { points, closed, line }) } else { None }
}
