//! What a change of the drawing has changed in the panel.

use crate::panel::{Panel, Piece};
use std::collections::{HashMap, HashSet};

/// What a change of the drawing has changed in the panel.
///
/// Indices in the panel may have changed in what is called the same: those of a piece's neighbours and leads, a
/// lead's pieces, joints and line, a joint's leads.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelChange {
    /// For each piece now, which it was before, if its shapes are the same to the last bit: outline, light, cut
    /// and interior point.
    pub pieces: Vec<Option<usize>>,
    /// The pieces whose shapes are no longer there, with their old indices, ascending.
    pub gone: Vec<(usize, Piece)>,
    /// For each lead now, which it was before, if its points and its face are the same to the last bit.
    pub leads: Vec<Option<usize>>,
    /// For each joint now, which it was before, if there was one in the very place.
    pub joints: Vec<Option<usize>>,
    /// True where the opening is another.
    pub opening: bool,
    /// True where the bars are others.
    pub bars: bool,
}

/// What differs between two panels.
pub(crate) fn compare(old: &Panel, new: &Panel) -> PanelChange {
    let place = |p: [f64; 2]| p.map(f64::to_bits);
    let by_place = |places: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut known: HashMap<[u64; 2], Vec<usize>> = HashMap::new();
        for (index, at) in places.enumerate() {
            known.entry(place(at)).or_default().push(index);
        }
        known
    };
    let start = |points: &[[f64; 2]]| points.first().copied().unwrap_or_default();
    let old_pieces = by_place(&mut old.pieces.iter().map(|piece| piece.interior_point));
    let old_leads = by_place(&mut old.leads.iter().map(|lead| start(&lead.points)));
    let old_joints = by_place(&mut old.joints.iter().map(|joint| joint.at));
    let find = |known: &HashMap<[u64; 2], Vec<usize>>, at: [f64; 2], is_same: &dyn Fn(usize) -> bool| {
        known.get(&place(at))?.iter().copied().find(|&index| is_same(index))
    };
    let same =
        |piece: &Piece| find(&old_pieces, piece.interior_point, &|i| old.pieces[i].has_shape_of(piece));
    let pieces: Vec<Option<usize>> = new.pieces.iter().map(same).collect();
    let stays: HashSet<usize> = pieces.iter().flatten().copied().collect();
    let gone = old.pieces.iter().enumerate().filter(|(index, _)| !stays.contains(index));
    PanelChange {
        gone: gone.map(|(index, piece)| (index, piece.clone())).collect(),
        pieces,
        leads: new
            .leads
            .iter()
            .map(|lead| find(&old_leads, start(&lead.points), &|i| old.leads[i].has_shape_of(lead)))
            .collect(),
        joints: new.joints.iter().map(|joint| find(&old_joints, joint.at, &|_| true)).collect(),
        opening: old.opening != new.opening,
        bars: old.bars != new.bars,
    }
}
