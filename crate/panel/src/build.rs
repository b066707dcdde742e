//! Building a panel from a drawing.

use crate::account::Account;
use crate::arrange::arrange;
use crate::assemble::{Parts, assemble, note_faults};
use crate::bars::bars_from_drawing;
use crate::drawing::{Drawing, Line};
use crate::fault::{PanelError, PanelFault, PanelNote};
use crate::flatten::{FlatDrawing, flatten_drawing};
use crate::graph::{Extent, Segment};
use crate::join::{Move, join_near_misses, note_moves};
use crate::lattice::STEPS_PER_MM;
use crate::leads::{chain_of_edge, trace_leads};
use crate::noding::node;
use crate::options::PanelOptions;
use crate::panel::{LeadLine, Panel};
use crate::piece::PieceMaker;
use crate::polygon::Polygon;
use crate::stroke::Strokes;
use plane::bounds;

/// Farthest the outline's lower left may lie from the origin, mm.
const ORIGIN_TOLERANCE_MM: f64 = 0.05;

/// Makes a panel from a drawing.
///
/// Lines may cross, overlap, run past the outline and miss one another by up to `options.snap_mm`. The result
/// depends on the drawing's geometry only, not on the order of its cutlines (except that
/// [`LeadLine::line`] names them by index).
///
/// # Errors
/// [`PanelError`] with every fault that makes a panel impossible: unreadable paths, widths or numbers out of range,
/// an outline that is not one simple closed ring at the origin. Everything else is reported in [`Panel::open_ends`]
/// and [`Panel::notes`].
///
/// # Example
/// ```
/// use panel::{Cutline, Drawing, Outline, PanelOptions, panel_from_drawing};
///
/// let drawing = Drawing {
///     outline: Outline { path: "M0 0H300V200H0Z".into(), face_mm: 12.0 },
///     cutlines: vec![Cutline { path: "M100 0V200".into(), face_mm: 6.0 }],
///     bars: vec![],
/// };
/// let panel = panel_from_drawing(&drawing, &PanelOptions::default()).unwrap();
/// assert_eq!(panel.pieces.len(), 2);
/// // Between the faces: 6 mm of border on three sides, 3 mm of the inner lead on the fourth.
/// assert!((panel.pieces[0].light_area_mm2 - 91.0 * 188.0).abs() < 1e-3);
/// ```
pub fn panel_from_drawing(drawing: &Drawing, options: &PanelOptions) -> Result<Panel, PanelError> {
    Ok(build(drawing, options)?.panel)
}

/// A panel and what it was made from.
#[derive(Debug, Clone)]
pub(crate) struct Built {
    pub(crate) flat: FlatDrawing,
    /// The strokes as drawn.
    pub(crate) flat_strokes: Strokes,
    /// The strokes with their near misses joined.
    pub(crate) drawn: Strokes,
    /// How they were joined.
    pub(crate) moves: Vec<Move>,
    pub(crate) account: Account,
    /// Notes about the bars.
    pub(crate) bar_notes: Vec<PanelNote>,
    pub(crate) panel: Panel,
}

/// [`panel_from_drawing`], keeping everything that a later edit of the drawing needs.
pub(crate) fn build(drawing: &Drawing, options: &PanelOptions) -> Result<Built, PanelError> {
    let failed = |faults: Vec<PanelFault>| PanelError { faults };
    let one = |fault: PanelFault| PanelError { faults: vec![fault] };
    let faults = options.faults();
    if !faults.is_empty() {
        return Err(failed(faults));
    }
    let flat = flatten_drawing(drawing, options.snap_mm, options.flatten_tolerance_mm);
    let opening = flat.as_ref().map_or_else(
        |_| Polygon::default(),
        |flat| Polygon {
            outer: flat.outline.strokes[0].points.iter().map(|p| p.mm()).collect(),
            holes: vec![],
        },
    );
    let [low, high] = bounds(&opening.outer).unwrap_or_default();
    let (mut faults, mut bar_notes) = (Vec::new(), Vec::new());
    let bars =
        bars_from_drawing(drawing, [low, high], options.flatten_tolerance_mm, &mut faults, &mut bar_notes);
    let flat = match flat {
        Ok(flat) if faults.is_empty() => flat,
        Ok(_) => return Err(failed(faults)),
        Err(mut first) => {
            first.append(&mut faults);
            return Err(failed(first));
        }
    };
    if low[0].abs() > ORIGIN_TOLERANCE_MM || low[1].abs() > ORIGIN_TOLERANCE_MM {
        return Err(one(PanelFault::OutlineOffOrigin { at: low }));
    }

    let flat_strokes = flat.strokes();
    let mut drawn = flat_strokes.clone();
    let moves = join_near_misses(&mut drawn, options.snap_mm, None).map_err(one)?;
    let noded = node(&segments_of(&drawn)).map_err(one)?;
    let snap = options.snap_mm * STEPS_PER_MM;
    let (graph, account) = arrange(noded, Extent::Whole, snap, &drawn.lines).map_err(one)?;

    let chains = trace_leads(&graph);
    let chain_of_edge = chain_of_edge(&graph, &chains);
    let mut maker = PieceMaker::new(&graph, &drawn.lines, options);
    let mut parts = Parts::default();
    let mut piece_of_face = vec![None; graph.faces.len()];
    for face in (0..graph.faces.len()).filter(|&face| graph.faces[face].inside) {
        let index = parts.pieces.len();
        piece_of_face[face] = Some(index);
        parts.pieces.push(maker.piece(face, |edge| chain_of_edge[edge]));
        maker.open_ends(face, index, &mut parts.open_ends);
    }
    let piece = |face: usize| piece_of_face.get(face).copied().flatten();
    parts.leads = chains.iter().map(|chain| chain.lead(&graph, &drawn.lines, piece)).collect();
    let assembled = assemble(parts);
    let mut panel = Panel {
        width_mm: high[0] - low[0],
        height_mm: high[1] - low[1],
        opening,
        pieces: assembled.pieces,
        leads: assembled.leads,
        joints: assembled.joints,
        bars,
        open_ends: assembled.open_ends,
        notes: Vec::new(),
    };
    panel.notes = all_notes(&flat, &bar_notes, &moves, &account, &drawn, &panel);
    Ok(Built { flat, flat_strokes, drawn, moves, account, bar_notes, panel })
}

/// All segments of the strokes, in their order.
pub(crate) fn segments_of(drawn: &Strokes) -> Vec<Segment> {
    let of_line = |line: usize| move |(a, b)| Segment { a, b, line };
    drawn.strokes.iter().flat_map(|stroke| stroke.segments().map(of_line(stroke.line))).collect()
}

/// The notes of a panel, in the order of the steps that produce them.
pub(crate) fn all_notes(
    flat: &FlatDrawing,
    bar_notes: &[PanelNote],
    moves: &[Move],
    account: &Account,
    drawn: &Strokes,
    panel: &Panel,
) -> Vec<PanelNote> {
    let mut notes = Vec::new();
    flat.note_empty_lines(&mut notes);
    notes.extend_from_slice(bar_notes);
    note_moves(moves, drawn, &mut notes);
    account.note_together(&drawn.lines, &mut notes);
    account.note_outside(&drawn.strokes, &drawn.lines, lines_with_leads(drawn, &panel.leads), &mut notes);
    note_faults(&panel.pieces, &mut notes);
    notes
}

fn lines_with_leads(drawn: &Strokes, leads: &[LeadLine]) -> Vec<bool> {
    let cutlines = drawn.lines.iter().filter_map(|info| match info.line {
        Line::Cutline(index) => Some(index + 1),
        _ => None,
    });
    let mut of_cutline = vec![false; cutlines.max().unwrap_or(0)];
    let mut outline = false;
    for lead in leads {
        match lead.line {
            Line::Cutline(index) => of_cutline[index] = true,
            _ => outline = true,
        }
    }
    let has_lead = |line: Line| if let Line::Cutline(index) = line { of_cutline[index] } else { outline };
    drawn.lines.iter().map(|info| has_lead(info.line)).collect()
}
