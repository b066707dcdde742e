//! What becomes of pieces when a line between them is drawn, moved or removed.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::fmt;

use panel::{Panel, PanelChange, overlap_area_mm2};
use plane::PanelPoint;

use crate::document::{Makeup, Piece, Plate, Window};
use crate::edit::{Edit, PieceEntry};
use crate::numbered::find;
use crate::resolved::ResolvedWindow;

/// A piece is recognisable if its shapes before and after overlap by this share of the smaller one.
/// Assumption.
const RECOGNISABLE: f64 = 0.5;
/// Glass of a piece that was not cut from another: ordinary float.
const PLAIN_GLASS: &str = "float-clear";
const PLAIN_THICKNESS_MM: f64 = 3.0;

/// What an edit of lines did to a piece: created it, or could not keep it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PieceNote {
    /// A new piece.
    New {
        /// Its number.
        piece: u32,
        /// The piece whose make-up it has; `None` if it was not cut from another.
        like: Option<u32>,
    },
    /// A piece that is gone.
    Gone {
        /// Its number.
        piece: u32,
        /// The piece that lies there now; `None` if there is no glass any more.
        into: Option<u32>,
    },
}

impl fmt::Display for PieceNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::New { piece, like: Some(like) } => {
                write!(f, "Piece {piece} is new, with the make-up of piece {like}.")
            }
            Self::New { piece, like: None } => write!(f, "Piece {piece} is new, in plain glass."),
            Self::Gone { piece, into: Some(into) } => {
                write!(f, "Piece {piece} is now part of piece {into}; its glass and paint are gone.")
            }
            Self::Gone { piece, into: None } => write!(f, "Piece {piece} is gone, with its glass and paint."),
        }
    }
}

/// The number of every new shape, the edits of entries that follow, and the notes for the user.
pub(crate) struct Followed {
    pub(crate) ids: Vec<u32>,
    pub(crate) edits: Vec<Edit>,
    pub(crate) notes: Vec<PieceNote>,
}

/// Finds which piece each shape of a redrawn window is. `window` is the document after the edit; in `built`,
/// the panel is already the new one, and the pieces are still the old ones.
///
/// `given`: pieces whose entries the edit sets itself. New pieces get numbers above `numbers_up_to`.
pub(crate) fn follow_pieces(
    window: &Window,
    built: &ResolvedWindow,
    change: &PanelChange,
    given: &BTreeSet<u32>,
    numbers_up_to: u32,
) -> Followed {
    let panel: &Panel = &built.panel;
    let entries: HashMap<u32, &Piece> = window.pieces.iter().map(|piece| (piece.id, piece)).collect();
    let mut id_of: Vec<Option<u32>> = vec![None; panel.pieces.len()];
    let mut placed: HashSet<u32> = HashSet::with_capacity(entries.len());
    for (new, old) in change.pieces.iter().enumerate() {
        let id = old.map(|old| built.pieces[old].id);
        if let Some(entry) = id.and_then(|id| entries.get(&id))
            && panel.pieces[new].outline.contains(entry.at_mm)
        {
            id_of[new] = Some(entry.id);
            placed.insert(entry.id);
        }
    }
    let left: Vec<&Piece> = window.pieces.iter().filter(|piece| !placed.contains(&piece.id)).collect();
    let open: Vec<usize> = (0..id_of.len()).filter(|new| id_of[*new].is_none()).collect();
    let gone = change.removed.iter().map(|(old, shape)| (built.pieces[*old].id, shape)).collect();
    let followed = Following { window, gone, panel, left, open, given, numbers_up_to };
    let mut found = Followed { ids: Vec::new(), edits: Vec::new(), notes: Vec::new() };
    match followed.by_points() {
        Some(pairs) => pairs.into_iter().for_each(|(new, id)| id_of[new] = Some(id)),
        None => followed.by_overlap(&mut id_of, &mut found),
    }
    // By now every shape has a number.
    found.ids = id_of.into_iter().map(Option::unwrap_or_default).collect();
    found
}

/// Entries and shapes that the edit touched.
struct Following<'a> {
    window: &'a Window,
    /// Shapes that are no longer there, with the numbers of their pieces.
    gone: Vec<(u32, &'a panel::Piece)>,
    panel: &'a Panel,
    left: Vec<&'a Piece>,
    open: Vec<usize>,
    given: &'a BTreeSet<u32>,
    numbers_up_to: u32,
}

impl Following<'_> {
    /// Matches by points, if every entry's point lies in a shape of its own and every shape has one.
    fn by_points(&self) -> Option<Vec<(usize, u32)>> {
        if self.left.len() != self.open.len() {
            return None;
        }
        let mut taken = HashSet::new();
        let place = |entry: &&Piece| {
            let new = *self.open.iter().find(|new| self.panel.pieces[**new].contains(entry.at_mm))?;
            taken.insert(new).then_some((new, entry.id))
        };
        self.left.iter().map(place).collect()
    }

    /// Matches by the area that new shapes share with the entries' old shapes.
    fn by_overlap(&self, id_of: &mut [Option<u32>], found: &mut Followed) {
        let window_id = || self.window.id.clone();
        let shape_before: HashMap<u32, &panel::Piece> = self.gone.iter().copied().collect();
        let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
        for (k, entry) in self.left.iter().enumerate() {
            for &new in &self.open {
                let shape = &self.panel.pieces[new];
                let given = self.given.contains(&entry.id);
                let share = match shape_before.get(&entry.id).filter(|_| !given) {
                    Some(was) => {
                        let common = common_area_mm2(was, shape);
                        if common < RECOGNISABLE * was.area_mm2.min(shape.area_mm2) {
                            continue;
                        }
                        common
                    }
                    // An entry given in the edit itself.
                    None if shape.contains(entry.at_mm) => f64::INFINITY,
                    None => continue,
                };
                pairs.push((share, k, new));
            }
        }
        sorting::by(&mut pairs, |a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
        let mut placed = vec![false; self.left.len()];
        for (_, k, new) in pairs {
            if !placed[k] && id_of[new].is_none() {
                placed[k] = true;
                id_of[new] = Some(self.left[k].id);
                let shape = &self.panel.pieces[new];
                if !shape.light.iter().any(|light| light.contains(self.left[k].at_mm)) {
                    let at_mm = point_in(shape);
                    found.edits.push(Edit::MovePiece { window: window_id(), piece: self.left[k].id, at_mm });
                }
            }
        }
        let gone = || self.left.iter().zip(&placed).filter(|(_, placed)| !**placed).map(|(entry, _)| entry);
        for entry in gone() {
            found.edits.push(Edit::SetPiece { window: window_id(), piece: entry.id, to: None, at: None });
        }
        let mut taken: HashSet<u32> = self.window.pieces.iter().map(|piece| piece.id).collect();
        let highest = taken.iter().copied().max().unwrap_or(0).max(self.numbers_up_to);
        for &new in &self.open {
            if id_of[new].is_none() {
                let next = free_number(highest, &taken);
                taken.insert(next);
                let like = self.cut_from(new);
                let makeup = like.map_or_else(plain, |entry| entry.makeup.clone());
                let to = Some(PieceEntry { at_mm: point_in(&self.panel.pieces[new]), makeup });
                found.edits.push(Edit::SetPiece { window: window_id(), piece: next, to, at: None });
                found.notes.push(PieceNote::New { piece: next, like: like.map(|entry| entry.id) });
                id_of[new] = Some(next);
            }
        }
        for entry in gone() {
            let into = self.panel.piece_at(entry.at_mm).and_then(|new| id_of[new]);
            found.notes.push(PieceNote::Gone { piece: entry.id, into });
        }
    }

    /// The entry whose old shape covers most of a new shape.
    fn cut_from(&self, new: usize) -> Option<&Piece> {
        let shape = &self.panel.pieces[new];
        let common = self.gone.iter().map(|(id, was)| (common_area_mm2(was, shape), *id));
        let common = common.filter(|(area, _)| *area > 0.0);
        let entries = common.filter_map(|(area, id)| Some((area, find(&self.window.pieces, id)?)));
        entries.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, entry)| entry)
    }
}

/// The area that lies in both pieces. Most pairs are told apart by their bounds alone.
fn common_area_mm2(a: &panel::Piece, b: &panel::Piece) -> f64 {
    let apart =
        |axis: usize| a.bounds[0][axis] >= b.bounds[1][axis] || b.bounds[0][axis] >= a.bounds[1][axis];
    if apart(0) || apart(1) { 0.0 } else { overlap_area_mm2(&a.outline, &b.outline) }
}

/// A number above `highest`; if there is none, the lowest free number.
fn free_number(highest: u32, taken: &HashSet<u32>) -> u32 {
    let above = highest.checked_add(1).unwrap_or(1)..=u32::MAX;
    above.chain(1..=highest).find(|number| !taken.contains(number)).unwrap_or(u32::MAX)
}

/// A point well inside a piece, to a hundredth of a millimetre where that still lies in it.
pub(crate) fn point_in(shape: &panel::Piece) -> PanelPoint {
    let rounded = PanelPoint::from(shape.interior_point.to_array().map(|v| (v * 100.0).round() / 100.0));
    if shape.outline.contains(rounded) { rounded } else { shape.interior_point }
}

pub(crate) fn plain() -> Makeup {
    Makeup {
        plates: vec![Plate {
            glass: PLAIN_GLASS.to_owned(),
            thickness_mm: PLAIN_THICKNESS_MM,
            thickness_sd_mm: None,
            sheet: 0,
            flash_left: 1.0,
            flash_face: crate::document::Face::Inside,
        }],
        gap: crate::document::Gap::Air,
        paint: Vec::new(),
        deposits: crate::document::Deposits::default(),
    }
}
