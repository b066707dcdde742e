//! The whole way from a drawing to a panel.

use crate::arrange::arrange;
use crate::bars::bars_from_drawing;
use crate::drawing::Drawing;
use crate::fault::{PanelError, PanelFault, PanelNote};
use crate::graph::{Graph, OUTSIDE, twin};
use crate::inset::{Inset, WideRing};
use crate::join::join_near_misses;
use crate::lattice::{Point, STEPS_PER_MM};
use crate::leads::{Chain, trace_leads};
use crate::open_ends::find_open_ends;
use crate::panel::{Joint, LeadLine, Neighbour, Panel, Piece};
use crate::pole::pole_of_inaccessibility;
use crate::polygon::{Polygon, bounds};
use crate::stroke::{Strokes, strokes_from_drawing};

/// Half the heart of a came, mm: 1.2 mm thick hearts are sold. Trade catalogues; no single source.
pub const HALF_HEART_MM: f64 = 0.6;

/// Clearance between the heart and the glass edge, mm. Common practice, no source.
pub const CUT_CLEARANCE_MM: f64 = 0.2;

/// Farthest the outline's lower left may lie from the origin, mm.
const ORIGIN_TOLERANCE_MM: f64 = 0.05;

/// How a drawing is made into a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelOptions {
    /// Lines that miss one another by at most this are joined, mm, 0.001–5. Strips between lines narrower than
    /// this are closed.
    pub snap_mm: f64,
    /// Largest deviation of a curve from the chords that stand for it, mm, 0.001–1.
    pub flatten_tolerance_mm: f64,
    /// Half the thickness of the leads' hearts, mm, 0–5.
    pub half_heart_mm: f64,
    /// Clearance between heart and glass, mm, 0–5.
    pub cut_clearance_mm: f64,
}

impl Default for PanelOptions {
    /// Snapping 0.2 mm, flattening 0.02 mm, half heart 0.6 mm, clearance 0.2 mm.
    fn default() -> Self {
        PanelOptions {
            snap_mm: 0.2,
            flatten_tolerance_mm: 0.02,
            half_heart_mm: HALF_HEART_MM,
            cut_clearance_mm: CUT_CLEARANCE_MM,
        }
    }
}

impl PanelOptions {
    fn faults(&self) -> Vec<PanelFault> {
        let lengths = [
            ("snap_mm", self.snap_mm, 0.001..=5.0, "0.001 to 5"),
            ("flatten_tolerance_mm", self.flatten_tolerance_mm, 0.001..=1.0, "0.001 to 1"),
            ("half_heart_mm", self.half_heart_mm, 0.0..=5.0, "0 to 5"),
            ("cut_clearance_mm", self.cut_clearance_mm, 0.0..=5.0, "0 to 5"),
        ];
        lengths
            .into_iter()
            .filter(|(_, found, range, _)| !range.contains(found))
            .map(|(option, found, _, expected)| PanelFault::BadOption { option, expected, found })
            .collect()
    }
}

/// Makes a panel from a drawing.
///
/// Lines may cross, overlap, run past the outline and miss one another by up to `options.snap_mm`. The result
/// depends on the drawing's geometry only, not on the order of its cutlines (except that
/// [`LeadLine::line`] names them by index).
///
/// # Errors
/// [`PanelError`] with every fault that leaves no panel: unreadable paths, widths or numbers out of range, an
/// outline that is not one simple closed ring at the origin. Everything else comes back in
/// [`Panel::open_ends`] and [`Panel::notes`].
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
    build(drawing, options).map_err(|faults| PanelError { faults })
}

fn build(drawing: &Drawing, options: &PanelOptions) -> Result<Panel, Vec<PanelFault>> {
    let mut faults = options.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut notes = Vec::new();
    let strokes = strokes_from_drawing(drawing, options.snap_mm, options.flatten_tolerance_mm, &mut notes);
    let opening = strokes.as_ref().map_or_else(
        |_| Polygon::default(),
        |drawn| Polygon { outer: drawn.strokes[0].points.iter().map(|p| p.mm()).collect(), holes: vec![] },
    );
    let [low, high] = bounds(&opening.outer).unwrap_or_default();
    let bars = bars_from_drawing(drawing, [low, high], options.flatten_tolerance_mm, &mut faults, &mut notes);
    let mut drawn = match strokes {
        Ok(drawn) if faults.is_empty() => drawn,
        Ok(_) => return Err(faults),
        Err(mut first) => {
            first.append(&mut faults);
            return Err(first);
        }
    };
    if low[0].abs() > ORIGIN_TOLERANCE_MM || low[1].abs() > ORIGIN_TOLERANCE_MM {
        return Err(vec![PanelFault::OutlineOffOrigin { at: low }]);
    }

    join_near_misses(&mut drawn, options.snap_mm, &mut notes).map_err(|fault| vec![fault])?;
    let graph = arrange(&drawn, options.snap_mm, &mut notes).map_err(|fault| vec![fault])?;
    let chains = trace_leads(&graph);
    let mut lead_of_edge = vec![0; graph.segments.len()];
    for (lead, chain) in chains.iter().enumerate() {
        for &h in &chain.half_edges {
            lead_of_edge[h / 2] = lead;
        }
    }

    let mut inset = Inset::new();
    let half_faces: Vec<f64> = drawn.lines.iter().map(|line| line.face_mm / 2.0 * STEPS_PER_MM).collect();
    let cut_width = (options.half_heart_mm + options.cut_clearance_mm) * STEPS_PER_MM;
    let mut pieces: Vec<(usize, Piece)> = (0..graph.faces.len())
        .filter(|&face| graph.faces[face].inside)
        .map(|face| (face, piece_of(&graph, face, &lead_of_edge, &half_faces, cut_width, &mut inset)))
        .collect();
    order_by_rows(&mut pieces);
    let mut piece_of_face = vec![None; graph.faces.len()];
    for (index, (face, _)) in pieces.iter().enumerate() {
        piece_of_face[*face] = Some(index);
    }
    let mut pieces: Vec<Piece> = pieces.into_iter().map(|(_, piece)| piece).collect();

    let (leads, joints) = lead_lines(&graph, &chains, &drawn, &piece_of_face);
    for (lead, line) in leads.iter().enumerate() {
        let (Some(left), Some(right)) = (line.left, line.right) else { continue };
        if left != right {
            pieces[left].neighbours.push(Neighbour { piece: right, shared_mm: line.length_mm, lead });
            pieces[right].neighbours.push(Neighbour { piece: left, shared_mm: line.length_mm, lead });
        }
    }
    for piece in &mut pieces {
        piece.neighbours.sort_by_key(|n| (n.piece, n.lead));
    }
    let open_ends = find_open_ends(&graph, &drawn, &piece_of_face);
    note_faults(&pieces, &mut notes);
    Ok(Panel {
        width_mm: high[0] - low[0],
        height_mm: high[1] - low[1],
        opening,
        pieces,
        leads,
        joints,
        bars,
        open_ends,
        notes,
    })
}

fn piece_of(
    graph: &Graph,
    face: usize,
    lead_of_edge: &[usize],
    half_faces: &[f64],
    cut_width: f64,
    inset: &mut Inset,
) -> Piece {
    let boundaries: Vec<Vec<usize>> =
        graph.faces[face].boundaries.iter().map(|&start| graph.boundary(start).collect()).collect();
    let clean: Vec<Vec<usize>> =
        boundaries.iter().map(|ring| without_spurs(ring)).filter(|ring| ring.len() > 2).collect();
    let points = |ring: &[usize]| ring.iter().map(|&h| graph.point(h)).collect::<Vec<Point>>();
    let wide = |ring: &Vec<usize>, width: &dyn Fn(usize) -> f64| WideRing {
        points: points(ring),
        widths: ring.iter().map(|&h| width(h)).collect(),
    };
    let light_rings: Vec<WideRing> =
        boundaries.iter().map(|ring| wide(ring, &|h| half_faces[graph.line(h)])).collect();
    let cut_rings: Vec<WideRing> = clean.iter().map(|ring| wide(ring, &|_| cut_width)).collect();
    let light = inset.of(&light_rings);
    let cut = inset.of(&cut_rings);

    let mut rings = clean.iter().map(|ring| points(ring).iter().map(|p| p.mm()).collect::<Vec<_>>());
    let outline = Polygon { outer: rings.next().unwrap_or_default(), holes: rings.collect() };
    let edge_leads = clean.iter().map(|ring| ring.iter().map(|&h| lead_of_edge[h / 2]).collect()).collect();
    let deepest = |parts: &[Polygon]| {
        parts
            .iter()
            .filter_map(pole_of_inaccessibility)
            .fold(None, |best: Option<([f64; 2], f64)>, pole| match best {
                Some(best) if best.1 >= pole.1 => Some(best),
                _ => Some(pole),
            })
            .map(|(point, _)| point)
    };
    let interior_point = deepest(&light)
        .or_else(|| deepest(&cut))
        .or_else(|| deepest(std::slice::from_ref(&outline)))
        .or_else(|| outline.outer.first().copied())
        .unwrap_or_default();
    Piece {
        edge_leads,
        area_mm2: outline.area_mm2(),
        light_area_mm2: total(&light, Polygon::area_mm2),
        cut_area_mm2: total(&cut, Polygon::area_mm2),
        cut_perimeter_mm: total(&cut, Polygon::perimeter_mm),
        neighbours: Vec::new(),
        interior_point,
        bounds: bounds(&outline.outer).unwrap_or_default(),
        outline,
        light,
        cut,
    }
}

fn total(parts: &[Polygon], measure: fn(&Polygon) -> f64) -> f64 {
    parts.iter().map(measure).fold(0.0, |sum, part| sum + part)
}

/// A boundary without the edges that it runs along there and straight back: open ends of leads.
fn without_spurs(ring: &[usize]) -> Vec<usize> {
    let mut clean: Vec<usize> = Vec::with_capacity(ring.len());
    for &h in ring {
        if clean.last() == Some(&twin(h)) {
            clean.pop();
        } else {
            clean.push(h);
        }
    }
    let mut first = 0;
    while first + 1 < clean.len() && clean[first] == twin(clean[clean.len() - 1]) {
        clean.pop();
        first += 1;
    }
    clean.drain(..first.min(clean.len()));
    clean
}

/// Sorts pieces row by row from the top, each row from the left.
///
/// A row takes in the pieces whose interior points lie at most half the median piece's height below its first.
fn order_by_rows(pieces: &mut [(usize, Piece)]) {
    let mut heights: Vec<f64> = pieces.iter().map(|(_, p)| p.bounds[1][1] - p.bounds[0][1]).collect();
    heights.sort_by(f64::total_cmp);
    let reach = heights.get(heights.len() / 2).map_or(0.0, |median| median / 2.0);
    let by_height = |a: &Piece, b: &Piece| {
        b.interior_point[1]
            .total_cmp(&a.interior_point[1])
            .then(a.interior_point[0].total_cmp(&b.interior_point[0]))
    };
    pieces.sort_by(|(_, a), (_, b)| by_height(a, b));
    let mut start = 0;
    while start < pieces.len() {
        let top = pieces[start].1.interior_point[1];
        let row =
            pieces[start..].iter().take_while(|(_, p)| top - p.interior_point[1] <= reach).count().max(1);
        pieces[start..start + row].sort_by(|(_, a), (_, b)| {
            a.interior_point[0].total_cmp(&b.interior_point[0]).then(by_height(a, b))
        });
        start += row;
    }
}

fn lead_lines(
    graph: &Graph,
    chains: &[Chain],
    drawn: &Strokes,
    piece_of_face: &[Option<usize>],
) -> (Vec<LeadLine>, Vec<Joint>) {
    // Joints in the order in which the leads reach them.
    let mut joint_of_vertex = vec![usize::MAX; graph.points.len()];
    let mut joints: Vec<Joint> = Vec::new();
    let mut joint = |vertex: usize, lead: usize| {
        if joint_of_vertex[vertex] == usize::MAX {
            joint_of_vertex[vertex] = joints.len();
            joints.push(Joint { at: graph.points[vertex].mm(), leads: Vec::new() });
        }
        let index = joint_of_vertex[vertex];
        joints[index].leads.push(lead);
        index
    };
    let piece = |face: usize| if face == OUTSIDE { None } else { piece_of_face[face] };
    let leads = chains
        .iter()
        .enumerate()
        .map(|(index, chain)| {
            let (first, last) = (chain.half_edges[0], chain.half_edges[chain.half_edges.len() - 1]);
            let line = drawn.lines[graph.line(first)];
            let mut points: Vec<[f64; 2]> = chain.half_edges.iter().map(|&h| graph.point(h).mm()).collect();
            points.push(graph.point(twin(last)).mm());
            LeadLine {
                length_mm: chain.half_edges.iter().map(|&h| graph.length(h)).sum::<f64>() / STEPS_PER_MM,
                points,
                face_mm: line.face_mm,
                from_joint: joint(graph.origin[first], index),
                to_joint: joint(graph.target(last), index),
                left: piece(graph.face[first]),
                right: piece(graph.face[twin(first)]),
                line: line.line,
            }
        })
        .collect();
    (leads, joints)
}

/// Notes what the glazier could not build.
fn note_faults(pieces: &[Piece], notes: &mut Vec<PanelNote>) {
    for (index, piece) in pieces.iter().enumerate() {
        let at = piece.interior_point;
        match piece.light.len() {
            0 => notes.push(PanelNote::PieceCovered { piece: index, at }),
            1 => {}
            parts => notes.push(PanelNote::PieceParted { piece: index, at, parts }),
        }
        if piece.cut.len() != 1 {
            notes.push(PanelNote::PieceTooThin { piece: index, at, parts: piece.cut.len() });
        }
        for hole in &piece.outline.holes {
            if let Some(&at) = hole.first() {
                notes.push(PanelNote::PieceHoled { piece: index, at });
            }
        }
    }
}
