//! Whether two windows overlap in their wall, so that light would be counted twice.

use panel::Panel;

use crate::resolved::ResolvedWindow;

type P2 = [f64; 2];

/// Windows that overlap by less than this, mm, count as side by side: their positions are rounded.
const SIDE_BY_SIDE_MM: f64 = 0.01;

/// Whether the sight sizes of two windows overlap. Sharing an edge or a corner does not count.
pub(crate) fn overlap(one: &ResolvedWindow, other: &ResolvedWindow) -> bool {
    // From the millimetres of the one panel to those of the other.
    let [dx, dy] = [0, 1].map(|k| 1000.0 * (other.lower_left_m[k] - one.lower_left_m[k]));
    let (a, b) = (&one.panel, &other.panel);
    let apart = |from: f64, length: f64, other_length: f64| {
        from >= length - SIDE_BY_SIDE_MM || -from >= other_length - SIDE_BY_SIDE_MM
    };
    if apart(dx, a.width_mm, b.width_mm) || apart(dy, a.height_mm, b.height_mm) {
        return false;
    }
    let moved: Vec<P2> = b.opening.outer.iter().map(|p| [p[0] + dx, p[1] + dy]).collect();
    edges_cross(&a.opening.outer, &moved)
        || inner_points(a).any(|[x, y]| b.piece_at([x - dx, y - dy]).is_some())
        || inner_points(b).any(|[x, y]| a.piece_at([x + dx, y + dy]).is_some())
}

/// A point in every piece, and one just inside the middle of every edge of the sight size.
fn inner_points(panel: &Panel) -> impl Iterator<Item = P2> + '_ {
    let ring = &panel.opening.outer;
    let turn = edges(ring).map(|[a, b]| a[0] * b[1] - a[1] * b[0]).sum::<f64>().signum();
    let beside_edges = edges(ring).filter_map(move |[a, b]| {
        let d = [b[0] - a[0], b[1] - a[1]];
        let step = turn * SIDE_BY_SIDE_MM / d[0].hypot(d[1]);
        step.is_finite().then_some([0.5 * (a[0] + b[0]) - step * d[1], 0.5 * (a[1] + b[1]) + step * d[0]])
    });
    panel.pieces.iter().map(|piece| piece.interior_point).chain(beside_edges)
}

/// Whether an edge of one ring passes right through an edge of another.
fn edges_cross(one: &[P2], other: &[P2]) -> bool {
    edges(one).any(|a| edges(other).any(|b| parts(a, b) && parts(b, a)))
}

fn edges(ring: &[P2]) -> impl Iterator<Item = [P2; 2]> + '_ {
    ring.iter().zip(ring.iter().cycle().skip(1)).map(|(a, b)| [*a, *b])
}

/// Whether the ends of `edge` lie clearly on either side of the line through `line`.
fn parts(line: [P2; 2], edge: [P2; 2]) -> bool {
    let d = [line[1][0] - line[0][0], line[1][1] - line[0][1]];
    let side = |p: P2| d[0] * (p[1] - line[0][1]) - d[1] * (p[0] - line[0][0]);
    let [a, b] = edge.map(side);
    a * b < 0.0 && a.abs().min(b.abs()) > SIDE_BY_SIDE_MM * d[0].hypot(d[1])
}
