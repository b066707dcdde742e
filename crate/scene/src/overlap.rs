//! Whether two windows overlap in their wall, so that light would be counted twice.

use panel::Panel;
use plane::{PanelPoint, PanelVector, edges, signed_area};

use crate::resolved::ResolvedWindow;

type Edge = (PanelPoint, PanelPoint);

/// Windows that overlap by less than this, mm, count as side by side: their positions are rounded.
const SIDE_BY_SIDE_MM: f64 = 0.01;

/// Whether the sight sizes of two windows overlap. Sharing an edge or a corner does not count.
pub(crate) fn overlap(one: &ResolvedWindow, other: &ResolvedWindow) -> bool {
    // From the millimetres of the one panel to those of the other.
    let step = one.placement.panel_from_wall(other.placement.lower_left) - PanelPoint::default();
    let (a, b) = (&one.panel, &other.panel);
    let apart = |from: f64, length: f64, other_length: f64| {
        from >= length - SIDE_BY_SIDE_MM || -from >= other_length - SIDE_BY_SIDE_MM
    };
    if apart(step[0], a.width_mm, b.width_mm) || apart(step[1], a.height_mm, b.height_mm) {
        return false;
    }
    let moved: Vec<PanelPoint> = b.opening.outer.iter().map(|&p| p + step).collect();
    edges_cross(&a.opening.outer, &moved)
        || inner_points(a).any(|p| b.piece_at(p + -step).is_some())
        || inner_points(b).any(|p| a.piece_at(p + step).is_some())
}

/// A point in every piece, and one just inside the middle of every edge of the sight size.
fn inner_points(panel: &Panel) -> impl Iterator<Item = PanelPoint> + '_ {
    let ring = &panel.opening.outer;
    let turn = signed_area(ring).signum();
    let beside_edges = edges(ring).filter_map(move |(a, b)| {
        let d = b - a;
        let step = turn * SIDE_BY_SIDE_MM / d.length();
        step.is_finite().then(|| a + d * 0.5 + d.left() * step)
    });
    panel.pieces.iter().map(|piece| piece.interior_point).chain(beside_edges)
}

/// Whether an edge of one ring passes right through an edge of another.
pub(crate) fn edges_cross(one: &[PanelPoint], other: &[PanelPoint]) -> bool {
    edges(one).any(|a| edges(other).any(|b| parts(a, b) && parts(b, a)))
}

/// Whether the ends of `edge` lie clearly on either side of the line through `line`.
fn parts(line: Edge, edge: Edge) -> bool {
    let d: PanelVector = line.1 - line.0;
    let side = |p: PanelPoint| d.cross(p - line.0);
    let (a, b) = (side(edge.0), side(edge.1));
    a * b < 0.0 && a.abs().min(b.abs()) > SIDE_BY_SIDE_MM * d.length()
}
