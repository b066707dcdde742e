//! What an edit of the drawing has changed in the panel.

use crate::panel::{Panel, Piece};
use plane::PanelPoint;
use std::collections::{HashMap, HashSet};

/// What an edit of the drawing has changed in the panel.
///
/// "The same" means the same geometry to the last bit. The indices inside a part may still differ: a piece's
/// neighbours and leads, a lead's pieces, joints and line, a joint's leads.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelChange {
    /// For each piece of the new panel, the index of the same piece in the old one: outline, light, cut and interior
    /// point are the same. `None` for a new piece.
    pub pieces: Vec<Option<usize>>,
    /// Pieces of the old panel that no longer exist, with their old indices, ascending.
    pub removed: Vec<(usize, Piece)>,
    /// For each lead of the new panel, the index of the same lead in the old one: points and face are the same.
    pub leads: Vec<Option<usize>>,
    /// For each joint of the new panel, the index of the joint at the same place in the old one.
    pub joints: Vec<Option<usize>>,
    /// True if the opening has changed.
    pub opening: bool,
    /// True if the bars have changed.
    pub bars: bool,
}

/// What differs between two panels.
pub(crate) fn compare(old: &Panel, new: &Panel) -> PanelChange {
    let by_place = |places: &mut dyn Iterator<Item = PanelPoint>| {
        let mut known: HashMap<[u64; 2], Vec<usize>> = HashMap::new();
        for (index, at) in places.enumerate() {
            known.entry(at.bits()).or_default().push(index);
        }
        known
    };
    let start = |points: &[PanelPoint]| points.first().copied().unwrap_or_default();
    let old_pieces = by_place(&mut old.pieces.iter().map(|piece| piece.interior_point));
    let old_leads = by_place(&mut old.leads.iter().map(|lead| start(&lead.points)));
    let old_joints = by_place(&mut old.joints.iter().map(|joint| joint.at));
    let find = |known: &HashMap<[u64; 2], Vec<usize>>, at: PanelPoint, is_same: &dyn Fn(usize) -> bool| {
        known.get(&at.bits())?.iter().copied().find(|&index| is_same(index))
    };
    let same =
        |piece: &Piece| find(&old_pieces, piece.interior_point, &|i| old.pieces[i].has_shape_of(piece));
    let pieces: Vec<Option<usize>> = new.pieces.iter().map(same).collect();
    let stays: HashSet<usize> = pieces.iter().flatten().copied().collect();
    let removed = old.pieces.iter().enumerate().filter(|(index, _)| !stays.contains(index));
    PanelChange {
        removed: removed.map(|(index, piece)| (index, piece.clone())).collect(),
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
