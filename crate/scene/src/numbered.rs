//! Looking up lines and pieces by their number.

use crate::document::{Cutline, Piece};

/// A part of a drawing that has a number of its own.
pub(crate) trait Numbered {
    fn number(&self) -> u32;
}

impl Numbered for Cutline {
    fn number(&self) -> u32 {
        self.id
    }
}

impl Numbered for Piece {
    fn number(&self) -> u32 {
        self.id
    }
}

/// Index of the part with a number.
///
/// Numbers mostly follow the order of the list. The search therefore starts where the number would be if none were
/// missing and goes outward: looking up every piece of a window takes time in proportion to their number, not to its
/// square.
pub(crate) fn index_of<T: Numbered>(list: &[T], number: u32) -> Option<usize> {
    let start = (number.saturating_sub(1) as usize).min(list.len());
    let is_it = |index: &usize| list.get(*index).is_some_and(|part| part.number() == number);
    (0..=list.len()).find_map(|away| {
        let before = start.checked_sub(away).filter(is_it);
        before.or_else(|| Some(start + away).filter(is_it))
    })
}

/// The part with a number.
pub(crate) fn find<T: Numbered>(list: &[T], number: u32) -> Option<&T> {
    index_of(list, number).map(|index| &list[index])
}

#[cfg(test)]
mod tests {
    use super::*;

    impl Numbered for u32 {
        fn number(&self) -> u32 {
            *self
        }
    }

    #[test]
    fn every_number_is_found_in_any_order_and_no_other() {
        for list in [vec![], vec![1], vec![7], vec![1, 2, 3, 4], vec![9, 2, 40, 3, u32::MAX, 0]] {
            for number in (0..50).chain([u32::MAX - 1, u32::MAX]) {
                assert_eq!(
                    index_of(&list, number),
                    list.iter().position(|n| *n == number),
                    "{number} in {list:?}"
                );
            }
        }
    }
}
