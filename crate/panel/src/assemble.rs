//! Sorts pieces, leads and open ends, and links them to one another.

use crate::fault::PanelNote;
use crate::panel::{Joint, LeadLine, Neighbour, OpenEnd, Piece};
use plane::PanelPoint;
use std::cmp::Ordering;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// The parts of a panel in any order. Pieces and leads name one another by their index here.
#[derive(Debug, Default)]
pub(crate) struct Parts {
    /// Without their neighbours.
    pub(crate) pieces: Vec<Piece>,
    /// Count and map: the first `count` pieces name leads by their old indices; the map gives the index here for
    /// each old one.
    pub(crate) old_names: (usize, Vec<Option<usize>>),
    /// Without their joints.
    pub(crate) leads: Vec<LeadLine>,
    pub(crate) open_ends: Vec<OpenEnd>,
}

/// The parts in a panel's order.
#[derive(Debug)]
pub(crate) struct Assembled {
    pub(crate) pieces: Vec<Piece>,
    pub(crate) leads: Vec<LeadLine>,
    pub(crate) joints: Vec<Joint>,
    pub(crate) open_ends: Vec<OpenEnd>,
    /// For each piece, its index among the parts.
    pub(crate) piece_order: Vec<usize>,
    /// For each lead, its index among the parts.
    pub(crate) lead_order: Vec<usize>,
}

/// Sorts the parts into the order of a panel, which depends on their geometry alone, and links them.
pub(crate) fn assemble(parts: Parts) -> Assembled {
    let piece_order = rows(&parts.pieces);
    let lead_order = from_the_top(&parts.leads);
    let piece_index = inverse(&piece_order);
    let lead_index = inverse(&lead_order);
    let (mut pieces, mut open_ends) = (parts.pieces, parts.open_ends);
    let (old_count, old_names) = parts.old_names;
    // Most leads keep their index; only the pieces along the others need updating.
    let mut stale = vec![false; old_count];
    stale.resize(pieces.len(), true);
    for (old, part) in old_names.iter().enumerate() {
        let Some(part) = part.filter(|&part| lead_index[part] != old) else { continue };
        for piece in [parts.leads[part].left, parts.leads[part].right].into_iter().flatten() {
            stale[piece] = true;
        }
    }
    for (place, piece) in pieces.iter_mut().enumerate().filter(|(place, _)| stale[*place]) {
        let is_old = place < old_count;
        for lead in piece.edge_leads.iter_mut().flatten() {
            *lead = lead_index[if is_old { old_names[*lead].unwrap_or(0) } else { *lead }];
        }
    }
    let mut pieces = in_order(pieces, &piece_order);
    let mut leads = in_order(parts.leads, &lead_order);
    for lead in &mut leads {
        lead.left = lead.left.map(|piece| piece_index[piece]);
        lead.right = lead.right.map(|piece| piece_index[piece]);
    }
    for end in &mut open_ends {
        end.piece = piece_index[end.piece];
    }
    sorting::by(&mut open_ends, |a, b| b.at[1].total_cmp(&a.at[1]).then(a.at[0].total_cmp(&b.at[0])));
    let joints = joints(&mut leads);
    neighbours(&mut pieces, &leads);
    Assembled { pieces, leads, joints, open_ends, piece_order, lead_order }
}

fn inverse(order: &[usize]) -> Vec<usize> {
    let mut index = vec![0; order.len()];
    for (new, &old) in order.iter().enumerate() {
        index[old] = new;
    }
    index
}

fn in_order<T>(items: Vec<T>, order: &[usize]) -> Vec<T> {
    let mut items: Vec<Option<T>> = items.into_iter().map(Some).collect();
    order.iter().filter_map(|&i| items[i].take()).collect()
}

/// Row by row from the top, each row from the left.
///
/// A row holds the pieces whose interior points lie at most half the median piece height below that of its first
/// piece.
fn rows(pieces: &[Piece]) -> Vec<usize> {
    let mut heights: Vec<f64> = pieces.iter().map(|p| p.bounds[1][1] - p.bounds[0][1]).collect();
    sorting::numbers(&mut heights);
    let reach = heights.get(heights.len() / 2).map_or(0.0, |median| median / 2.0);
    let mut order: Vec<(usize, PanelPoint)> = pieces.iter().map(|p| p.interior_point).enumerate().collect();
    let by_height =
        |a: &PanelPoint, b: &PanelPoint| b[1].total_cmp(&a[1]).then_with(|| a[0].total_cmp(&b[0]));
    sorting::by(&mut order, |(_, a), (_, b)| by_height(a, b));
    let mut start = 0;
    while start < order.len() {
        let top = order[start].1[1];
        let row = order[start..].iter().take_while(|(_, p)| top - p[1] <= reach).count().max(1);
        sorting::by(&mut order[start..start + row], |(_, a), (_, b)| {
            a[0].total_cmp(&b[0]).then_with(|| by_height(a, b))
        });
        start += row;
    }
    order.into_iter().map(|(piece, _)| piece).collect()
}

/// Sorted from the top, then from the left, by the midpoint between the ends.
fn from_the_top(leads: &[LeadLine]) -> Vec<usize> {
    let sum = |lead: &LeadLine, axis: usize| {
        lead.points.first().map_or(0.0, |p| p[axis]) + lead.points.last().map_or(0.0, |p| p[axis])
    };
    // Leave out the last point, since edges are compared by their starting points.
    let by_points = |a: &LeadLine, b: &LeadLine| {
        let (a, b) = (&a.points[..a.points.len() - 1], &b.points[..b.points.len() - 1]);
        let pairs = a.iter().zip(b);
        let differing = pairs.map(|(p, q)| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
        differing.fold(Ordering::Equal, Ordering::then).then(a.len().cmp(&b.len()))
    };
    let mut order: Vec<(f64, f64, usize)> =
        leads.iter().enumerate().map(|(i, lead)| (sum(lead, 1), sum(lead, 0), i)).collect();
    sorting::by(&mut order, |a, b| {
        let by_place = b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1));
        by_place.then_with(|| by_points(&leads[a.2], &leads[b.2]))
    });
    order.into_iter().map(|(.., lead)| lead).collect()
}

/// The joints, in the order in which the leads reach them; sets the joints of the leads.
fn joints(leads: &mut [LeadLine]) -> Vec<Joint> {
    let mut joints: Vec<Joint> = Vec::new();
    let mut known: HashMap<[u64; 2], usize, BuildHasherDefault<PlaceHasher>> =
        HashMap::with_capacity_and_hasher(leads.len(), BuildHasherDefault::default());
    let mut joint = |at: PanelPoint, lead: usize| {
        let index = *known.entry(at.bits()).or_insert_with(|| {
            joints.push(Joint { at, leads: Vec::with_capacity(4) });
            joints.len() - 1
        });
        joints[index].leads.push(lead);
        index
    };
    for (index, lead) in leads.iter_mut().enumerate() {
        if let (Some(&first), Some(&last)) = (lead.points.first(), lead.points.last()) {
            lead.from_joint = joint(first, index);
            lead.to_joint = joint(last, index);
        }
    }
    joints
}

/// Lists for each piece the pieces on the other side of its leads.
fn neighbours(pieces: &mut [Piece], leads: &[LeadLine]) {
    for piece in pieces.iter_mut() {
        piece.neighbours.clear();
    }
    for (lead, line) in leads.iter().enumerate() {
        let (Some(left), Some(right)) = (line.left, line.right) else { continue };
        if left != right {
            pieces[left].neighbours.push(Neighbour { piece: right, shared_mm: line.length_mm, lead });
            pieces[right].neighbours.push(Neighbour { piece: left, shared_mm: line.length_mm, lead });
        }
    }
    for piece in pieces {
        sorting::by_key(&mut piece.neighbours, |n| (n.piece, n.lead));
    }
}

/// Adds notes about pieces that the glazier could not build.
pub(crate) fn note_faults(pieces: &[Piece], notes: &mut Vec<PanelNote>) {
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

/// A fast hash for lattice points.
#[derive(Default)]
struct PlaceHasher(u64);

impl Hasher for PlaceHasher {
    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.write_u64(u64::from(byte));
        }
    }

    fn write_u64(&mut self, word: u64) {
        // Multiplication by 2⁶⁴ over the golden ratio spreads neighbouring places (Knuth 1973, The Art of
        // Computer Programming 3, section 6.4; source from memory).
        self.0 = (self.0.rotate_left(29) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
}
