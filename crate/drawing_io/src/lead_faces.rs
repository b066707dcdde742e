//! The hearts of leads that are drawn as shapes: by the faces of the leads, or by the panes between them.

use centre_lines::{CentreLineOptions, CentreLines, CentreLinesFault, FillRule, FilledShape};

use crate::error::ImportError;
use crate::lead::{LeadPath, Leads};
use crate::lost::ShapePanes;
use crate::part::{Part, path_of, ring_part};

/// A drawn edge is that of the leads' own border if it lies within this many of its widths.
const BORDER_WIDTHS: f64 = 1.5;

/// The hearts of leads whose faces are these closed parts. `outline`: the window's edge, if one was drawn.
pub(crate) fn along_faces(faces: &[Part], outline: Option<&Part>) -> Result<Leads, ImportError> {
    let found = centre_lines::centre_lines(&shapes(faces), &CentreLineOptions::default());
    leads(found.map_err(refused)?, outline)
}

/// The hearts of leads that run between these panes, at most `widest_mm` apart.
pub(crate) fn between_panes(
    panes: &[Part],
    outline: Option<&Part>,
    widest_mm: f64,
) -> Result<Leads, ImportError> {
    let options = CentreLineOptions { widest_gap_mm: widest_mm, ..CentreLineOptions::default() };
    let found = centre_lines::between_panes(&shapes(panes), None, &options);
    leads(found.map_err(refused)?, outline)
}

fn refused(fault: CentreLinesFault) -> ImportError {
    ImportError::Shapes(fault.to_string())
}

/// The parts of each shape together: a ring within another is a hole.
fn shapes(parts: &[Part]) -> Vec<FilledShape> {
    let mut shapes: Vec<(usize, FilledShape)> = Vec::new();
    for part in parts {
        match shapes.last_mut().filter(|(shape, _)| *shape == part.shape) {
            Some((_, shape)) => shape.rings.push(part.points.clone()),
            None => {
                let shape = FilledShape { rings: vec![part.points.clone()], fill: FillRule::EvenOdd };
                shapes.push((part.shape, shape));
            }
        }
    }
    shapes.into_iter().map(|(_, shape)| shape).collect()
}

/// Where the leads have a border of their own, it is the window's edge, unless one was drawn elsewhere.
fn leads(found: CentreLines, outline: Option<&Part>) -> Result<Leads, ImportError> {
    let CentreLines { lines, border, panes } = found;
    let mut cutlines: Vec<LeadPath> = lines
        .iter()
        .map(|line| LeadPath { path: path_of(&line.points, line.closed), face_mm: Some(line.width_mm) })
        .collect();
    let is_edge = |border: &centre_lines::CentreLine, drawn: &Part| {
        border.points.iter().all(|&p| drawn.distance_mm(p) <= BORDER_WIDTHS * border.width_mm)
    };
    let (outline, outline_face_mm, are_all) = match (border, outline) {
        (Some(border), drawn) if drawn.is_none_or(|drawn| is_edge(&border, drawn)) => {
            (ring_part(&border.points), Some(border.width_mm), true)
        }
        (border, drawn) => {
            cutlines.extend(border.map(|border| LeadPath {
                path: path_of(&border.points, true),
                face_mm: Some(border.width_mm),
            }));
            (drawn.cloned(), None, false)
        }
    };
    let why = "the leads do not surround the window; draw its edge, or close the border lead";
    Ok(Leads {
        outline: outline.ok_or(ImportError::NoOutline { why })?,
        outline_face_mm,
        outline_layer: None,
        outline_alone: false,
        gaps: Vec::new(),
        open: None,
        cutlines,
        panes: vec![ShapePanes { points: panes, are_all }],
        shares_edges: false,
    })
}
