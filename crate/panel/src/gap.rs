//! The part of a panel that an edit of its drawing touches, rebuilt from the lines in and near it.
//!
//! Crossings and faces are found by the same functions as in a whole drawing, from the same segments in the same
//! order, so that they come out the same to the last bit. Lines are cut off some way beyond the pieces to be
//! replaced; what is found there may be wrong and is not used.

use crate::account::Account;
use crate::arrange::arrange;
use crate::build::{Built, segments_of};
use crate::graph::{Extent, Graph};
use crate::lattice::{Point, STEPS_PER_MM};
use crate::noding::node_within;
use crate::panel::{LeadLine, Panel};
use crate::redraw::{Redrawn, differing_stretches};
use crate::tiles::Tiles;

/// Maximum number of times the part may be enlarged.
const ROUND_LIMIT: usize = 8;

/// If a larger share of the panel must be rebuilt, all of it is.
const MOST_SHARE: f64 = 0.5;

/// How far the end of a changed segment may carry others with it, in snapping distances.
const REACH: f64 = 8.0;

/// The gap that an edit leaves in a panel, and what fills it.
pub(crate) struct Gap {
    /// For each old piece whether it must be replaced.
    pub(crate) old_pieces: Vec<bool>,
    /// For each old lead whether it must be replaced.
    pub(crate) old_leads: Vec<bool>,
    /// The part of the new panel in and around the gap.
    pub(crate) graph: Graph,
    /// Which of the graph's edges may have changed.
    pub(crate) is_touched: Vec<bool>,
    /// The faces that fill the gap.
    pub(crate) faces: Vec<usize>,
    /// Everything left out, in the whole drawing.
    pub(crate) account: Account,
}

/// Finds the gap and what fills it; `None` if it is too large or contains too much.
pub(crate) fn find_gap(built: &Built, redrawn: &Redrawn, snap_mm: f64, none: &Tiles) -> Option<Gap> {
    let snap = snap_mm * STEPS_PER_MM;
    let stretches = differing_stretches(&built.drawn, &redrawn.drawn, &redrawn.lines);
    let mut tiles = none.clone();
    for &segment in stretches.iter().flatten() {
        tiles.add(segment, REACH * snap);
    }
    let starts: Vec<Point> = stretches.iter().map(|stretch| stretch[0].0).collect();
    let gone = redrawn.drawn.lines.len();
    let mut old = built.account.clone();
    old.rename(|line| redrawn.lines.new_of_old[line].unwrap_or(gone));

    let outline = &redrawn.drawn.strokes[0].points;
    let segments = segments_of(&redrawn.drawn);
    for _ in 0..ROUND_LIMIT {
        while take_in_strips(&old, REACH * snap, &mut tiles) {}
        let (old_leads, old_pieces) = touched(&built.panel, &tiles);
        if take_in_lone(&built.panel, &old_pieces, &starts, &mut tiles) {
            continue;
        }
        let mut around = tiles.clone();
        for lead in built.panel.leads.iter().filter(|lead| borders(lead, &old_pieces)) {
            edges(lead).for_each(|edge| around.add(edge, 0.0));
        }
        around.grow();
        if around.share() > MOST_SHARE {
            return None;
        }
        let noded = node_within(&segments, &around).ok()?;
        let (graph, part) = arrange(noded, Extent::Part(outline), snap, &redrawn.drawn.lines).ok()?;
        if take_in_strips(&part, REACH * snap, &mut tiles) {
            continue;
        }
        let is_touched: Vec<bool> = graph.segments.iter().map(|s| tiles.touches((s.a, s.b))).collect();
        let faces = (0..graph.faces.len()).filter(|&face| graph.faces[face].inside);
        let is_new = |&face: &usize| {
            graph.faces[face].boundaries.iter().flat_map(|&h| graph.boundary(h)).any(|h| is_touched[h / 2])
        };
        let faces = faces.filter(is_new).collect();
        let mut account = old;
        account.replace_within(&tiles, part);
        if !account.names_lines_below(gone) {
            return None;
        }
        return Some(Gap { old_pieces, old_leads, graph, is_touched, faces, account });
    }
    None
}

/// A change at one end of a closed strip may reopen all of it. Adds the strips that touch the tiles, and returns
/// whether that added any tiles.
fn take_in_strips(account: &Account, reach: f64, tiles: &mut Tiles) -> bool {
    let mut grew = false;
    for strip in account.merges.iter().filter(|merge| merge.is_strip) {
        if strip.touches(tiles) && !strip.edges().iter().all(|&edge| tiles.holds(edge)) {
            strip.edges().iter().for_each(|&edge| tiles.add(edge, reach));
            grew = true;
        }
    }
    grew
}

/// Which leads touch the tiles, and which pieces lie along them.
fn touched(panel: &Panel, tiles: &Tiles) -> (Vec<bool>, Vec<bool>) {
    let [low, high] = tiles.bounds_mm();
    let mut pieces = vec![false; panel.pieces.len()];
    let leads = panel.leads.iter().map(|lead| {
        let apart = |axis: usize| {
            lead.points.iter().all(|p| p[axis] < low[axis] - 1.0)
                || lead.points.iter().all(|p| p[axis] > high[axis] + 1.0)
        };
        let touches = !apart(0) && !apart(1) && edges(lead).any(|edge| tiles.touches(edge));
        for piece in [lead.left, lead.right].into_iter().flatten().filter(|_| touches) {
            pieces[piece] = true;
        }
        touches
    });
    (leads.collect(), pieces)
}

/// A new line may lie in the middle of a piece and touch none of its leads. Adds one of that piece's leads, and
/// returns whether that added any tiles.
fn take_in_lone(panel: &Panel, pieces: &[bool], starts: &[Point], tiles: &mut Tiles) -> bool {
    let mut grew = false;
    for (piece, _) in panel.pieces.iter().zip(pieces).filter(|(_, marked)| !**marked) {
        let [low, high] = piece.bounds;
        let holds = |p: &Point| {
            let p = p.mm();
            (0..2).all(|axis| (low[axis]..=high[axis]).contains(&p[axis])) && piece.outline.contains(p)
        };
        if starts.iter().any(holds)
            && let Some(edge) = piece.edge_leads.iter().flatten().next()
        {
            edges(&panel.leads[*edge]).for_each(|edge| tiles.add(edge, 0.0));
            grew = true;
        }
    }
    grew
}

/// True if one of these pieces lies along a lead.
pub(crate) fn borders(lead: &LeadLine, pieces: &[bool]) -> bool {
    [lead.left, lead.right].into_iter().flatten().any(|piece| pieces[piece])
}

/// The edges of a lead, along it.
pub(crate) fn edges(lead: &LeadLine) -> impl Iterator<Item = (Point, Point)> {
    lead.points.windows(2).map(|pair| (Point::from_mm(pair[0]), Point::from_mm(pair[1])))
}
