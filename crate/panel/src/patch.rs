//! Replacing the pieces of a panel that an edit of its drawing touches.

use crate::assemble::{Parts, assemble};
use crate::bars::bars_from_drawing;
use crate::build::{Built, all_notes};
use crate::change::PanelChange;
use crate::drawing::{Drawing, Line};
use crate::edit::Edited;
use crate::fault::PanelNote;
use crate::gap::{Gap, borders, edges, find_gap};
use crate::lattice::Point;
use crate::leads::{chain_of_edge, trace_leads};
use crate::options::PanelOptions;
use crate::panel::{Joint, LeadLine, OpenEnd, Panel, Piece, SaddleBar};
use crate::piece::PieceMaker;
use crate::redraw::{Redrawn, redraw};
use crate::tiles::Tiles;
use plane::bounds;
use std::cell::Cell;
use std::collections::HashMap;

/// Updates a panel after an edit of its drawing by replacing only the pieces that the edit touches.
///
/// Returns `None` and changes nothing if that is not possible: the drawing has faults, the gap is too large, or the
/// new pieces do not fit into it exactly. Then the whole panel must be rebuilt.
pub(crate) fn patch(
    built: &mut Built,
    drawing: &Drawing,
    options: &PanelOptions,
    edited: &Edited,
) -> Option<PanelChange> {
    let none = Tiles::none(built.panel.width_mm, built.panel.height_mm, options.snap_mm);
    let bars = if edited.bars { Some(new_bars(&built.panel, drawing, options)?) } else { None };
    let redrawn = redraw(built, drawing, options, edited, &none)?;
    let gap = find_gap(built, &redrawn, options.snap_mm, &none)?;
    let filling = Filling::new(&built.panel, &gap, &redrawn, options, edited)?;
    let mut change = fit_in(&mut built.panel, &gap, filling);
    if let Some((bars, notes)) = bars {
        change.bars = bars != built.panel.bars;
        built.panel.bars = bars;
        built.bar_notes = notes;
    }
    let Redrawn { flat, flat_strokes, drawn, moves, .. } = redrawn;
    built.panel.notes = all_notes(&flat, &built.bar_notes, &moves, &gap.account, &drawn, &built.panel);
    built.flat = flat;
    built.flat_strokes = flat_strokes;
    built.drawn = drawn;
    built.moves = moves;
    built.account = gap.account;
    Some(change)
}

/// The drawing's bars and the notes about them, if they have no faults.
fn new_bars(
    panel: &Panel,
    drawing: &Drawing,
    options: &PanelOptions,
) -> Option<(Vec<SaddleBar>, Vec<PanelNote>)> {
    let (mut faults, mut notes) = (Vec::new(), Vec::new());
    let opening = bounds(&panel.opening.outer)?;
    let bars = bars_from_drawing(drawing, opening, options.flatten_tolerance_mm, &mut faults, &mut notes);
    faults.is_empty().then_some((bars, notes))
}

/// The parts of a panel that stay, and the new ones. Indices refer to the list of all parts: first those that stay,
/// in their old order, then the new ones.
struct Filling {
    pieces: Vec<Piece>,
    leads: Vec<LeadLine>,
    open_ends: Vec<OpenEnd>,
    /// Index among the parts of each old piece that stays.
    piece_part: Vec<Option<usize>>,
    /// Index among the parts of each old lead that stays.
    lead_part: Vec<Option<usize>>,
    /// Old index, left and right piece of each lead that stays and borders the gap.
    sides: Vec<(usize, [Option<usize>; 2])>,
    /// New index of each old cutline.
    cutline: Vec<Option<usize>>,
}

impl Filling {
    fn new(
        panel: &Panel,
        gap: &Gap,
        redrawn: &Redrawn,
        options: &PanelOptions,
        edited: &Edited,
    ) -> Option<Self> {
        let graph = &gap.graph;
        let piece_part = places(&gap.old_pieces);
        let lead_part = places(&gap.old_leads);
        let piece_count = piece_part.iter().flatten().count();
        let lead_count = lead_part.iter().flatten().count();

        let mut cutline = vec![None; edited.old_count];
        for (index, (was, _)) in edited.cutlines.iter().enumerate() {
            if let Some(was) = *was {
                cutline[was] = Some(index);
            }
        }
        let is_named = |line: Line| if let Line::Cutline(was) = line { cutline[was].is_some() } else { true };
        let stays = panel.leads.iter().zip(&lead_part).filter(|(_, part)| part.is_some());
        if !stays.clone().all(|(lead, _)| is_named(lead.line)) {
            return None;
        }

        let chains = trace_leads(graph);
        let chain_of_edge = chain_of_edge(graph, &chains);
        let mut part_of_chain: Vec<Option<usize>> = vec![None; chains.len()];
        let mut new_chains = Vec::new();
        for (index, chain) in chains.iter().enumerate() {
            if chain.half_edges.iter().any(|h| gap.is_touched[h / 2]) {
                part_of_chain[index] = Some(lead_count + new_chains.len());
                new_chains.push(chain);
            }
        }

        // The boundary of the gap must consist of exactly the old leads that stay along it, seen from the gap's
        // side.
        let mut part_of_face: Vec<Option<usize>> = vec![None; graph.faces.len()];
        let mut rim: HashMap<(Point, Point), usize> = HashMap::new();
        for (index, &face) in gap.faces.iter().enumerate() {
            part_of_face[face] = Some(piece_count + index);
            for h in graph.faces[face].boundaries.iter().flat_map(|&start| graph.boundary(start)) {
                if part_of_chain[chain_of_edge[h / 2]].is_none() {
                    rim.insert((graph.point(h), graph.point(h ^ 1)), piece_count + index);
                }
            }
        }
        let mut lead_of_edge: HashMap<(Point, Point), usize> = HashMap::new();
        let mut sides = Vec::new();
        let mut found = 0;
        for (index, (lead, part)) in panel.leads.iter().zip(&lead_part).enumerate() {
            let Some(part) = *part else { continue };
            if !borders(lead, &gap.old_pieces) {
                continue;
            }
            let mut side = [lead.left, lead.right].map(|piece| piece.and_then(|piece| piece_part[piece]));
            for (a, b) in edges(lead) {
                lead_of_edge.insert((a.min(b), a.max(b)), part);
                let around = [(lead.left, (a, b)), (lead.right, (b, a))];
                for (which, (piece, edge)) in around.into_iter().enumerate() {
                    if piece.is_some_and(|piece| gap.old_pieces[piece]) {
                        side[which] = Some(*rim.get(&edge)?);
                        found += 1;
                    }
                }
            }
            sides.push((index, side));
        }
        if found != rim.len() {
            return None;
        }

        let lines = &redrawn.drawn.lines;
        let mut maker = PieceMaker::new(graph, lines, options);
        let mut pieces = Vec::with_capacity(gap.faces.len());
        let mut open_ends = Vec::new();
        let is_whole = Cell::new(true);
        for (index, &face) in gap.faces.iter().enumerate() {
            pieces.push(maker.piece(face, |edge| {
                part_of_chain[chain_of_edge[edge]].unwrap_or_else(|| {
                    let segment = graph.segments[edge];
                    let ends = (segment.a.min(segment.b), segment.a.max(segment.b));
                    lead_of_edge.get(&ends).copied().unwrap_or_else(|| {
                        is_whole.set(false);
                        0
                    })
                })
            }));
            maker.open_ends(face, piece_count + index, &mut open_ends);
        }
        let piece = |face: usize| part_of_face.get(face).copied().flatten();
        let leads: Vec<LeadLine> =
            new_chains.into_iter().map(|chain| chain.lead(graph, lines, piece)).collect();
        let is_beside = |lead: &LeadLine| lead.left.is_some() || lead.right.is_some();
        let is_whole = is_whole.get() && leads.iter().all(is_beside);
        is_whole.then_some(Filling { pieces, leads, open_ends, piece_part, lead_part, sides, cutline })
    }
}

/// Numbers the parts that are not in the gap.
fn places(in_gap: &[bool]) -> Vec<Option<usize>> {
    let mut count = 0;
    let place = in_gap.iter().map(|&in_gap| {
        count += usize::from(!in_gap);
        (!in_gap).then(|| count - 1)
    });
    place.collect()
}

/// Takes the old parts out of the gap and puts the new ones in.
fn fit_in(panel: &mut Panel, gap: &Gap, filling: Filling) -> PanelChange {
    let Filling {
        pieces: new_pieces,
        leads: new_leads,
        open_ends: new_ends,
        piece_part,
        lead_part,
        sides,
        cutline,
    } = filling;
    let (piece_part, lead_part) = (&piece_part, &lead_part);
    let name = |line: Line| match line {
        Line::Cutline(was) => cutline[was].map_or(line, Line::Cutline),
        _ => line,
    };
    for (index, [left, right]) in &sides {
        (panel.leads[*index].left, panel.leads[*index].right) = (*left, *right);
    }
    for (index, lead) in panel.leads.iter_mut().enumerate().filter(|(index, _)| !gap.old_leads[*index]) {
        lead.line = name(lead.line);
        if sides.binary_search_by_key(&index, |(index, _)| *index).is_err() {
            lead.left = lead.left.and_then(|piece| piece_part[piece]);
            lead.right = lead.right.and_then(|piece| piece_part[piece]);
        }
    }
    panel.open_ends.retain_mut(|end| {
        end.line = name(end.line);
        let part = piece_part[end.piece];
        end.piece = part.unwrap_or(0);
        part.is_some()
    });

    let old_joints = std::mem::take(&mut panel.joints);
    let joints_of: Vec<[usize; 2]> =
        panel.leads.iter().map(|lead| [lead.from_joint, lead.to_joint]).collect();
    let (mut pieces, gone_pieces) = separate(std::mem::take(&mut panel.pieces), piece_part);
    let (mut leads, gone_leads) = separate(std::mem::take(&mut panel.leads), lead_part);
    let kept = pieces.len();
    pieces.extend(new_pieces);
    leads.extend(new_leads);
    let mut open_ends = std::mem::take(&mut panel.open_ends);
    open_ends.extend(new_ends);
    let assembled = assemble(Parts { old_names: (kept, lead_part.clone()), pieces, leads, open_ends });
    panel.pieces = assembled.pieces;
    panel.leads = assembled.leads;
    panel.joints = assembled.joints;
    panel.open_ends = assembled.open_ends;

    let pieces_stay = old_of_parts(piece_part);
    let pieces = assembled.piece_order.iter().zip(&panel.pieces).map(|(&part, piece)| {
        let again =
            || gone_pieces.iter().find(|(_, removed)| removed.has_shape_of(piece)).map(|(old, _)| *old);
        pieces_stay.get(part).copied().or_else(again)
    });
    let leads_stay = old_of_parts(lead_part);
    let leads = assembled.lead_order.iter().zip(&panel.leads).map(|(&part, lead)| {
        let again = || gone_leads.iter().find(|(_, removed)| removed.has_shape_of(lead)).map(|(old, _)| *old);
        leads_stay.get(part).copied().or_else(again)
    });
    let (pieces, leads) = (pieces.collect::<Vec<Option<usize>>>(), leads.collect::<Vec<Option<usize>>>());
    // A joint is matched by an unchanged lead, or else by its place at the end of a removed lead.
    let gone_joints: Vec<usize> = gone_leads.iter().flat_map(|(old, _)| joints_of[*old]).collect();
    let joint = |(index, joint): (usize, &Joint)| {
        let known = joint.leads.iter().find_map(|&lead| {
            let end = usize::from(panel.leads[lead].from_joint != index);
            leads[lead].map(|old| joints_of[old][end])
        });
        let there = |old: &&usize| old_joints[**old].at.bits() == joint.at.bits();
        known.or_else(|| gone_joints.iter().find(there).copied())
    };
    let joints = panel.joints.iter().enumerate().map(joint).collect();
    let mut removed = gone_pieces;
    removed.retain(|(old, _)| !pieces.contains(&Some(*old)));
    PanelChange { pieces, removed, leads, joints, opening: false, bars: false }
}

/// Old indices of the parts that stay, ascending.
fn old_of_parts(part: &[Option<usize>]) -> Vec<usize> {
    (0..part.len()).filter(|&old| part[old].is_some()).collect()
}

/// Separates the items that stay from the others, which keep their old indices.
fn separate<T>(items: Vec<T>, part: &[Option<usize>]) -> (Vec<T>, Vec<(usize, T)>) {
    let (mut stay, mut gone) = (Vec::with_capacity(items.len()), Vec::new());
    for (index, item) in items.into_iter().enumerate() {
        if part[index].is_some() {
            stay.push(item);
        } else {
            gone.push((index, item));
        }
    }
    (stay, gone)
}
