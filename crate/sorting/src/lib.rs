//! Sorts that are compiled once, whatever is sorted.
//!
//! The standard library's sorts are generic: each type and order that is sorted costs about 6 kB of the page's module, of
//! which this project would need some forty. Here, the order is found among positions and then put into effect by swaps,
//! so that a type adds only how two of its values compare and swap. All sorts are stable.
//!
//! - [`numbers`] in ascending order; [`values`] in their own order; [`by`] a comparison; [`by_key`].

use std::cmp::Ordering;

/// Up to this many values are sorted by insertion, which allocates nothing: the leads at a joint, the cuts of a line.
/// An estimate.
const FEW: usize = 12;

/// Sorts numbers in ascending order ([`f64::total_cmp`]).
pub fn numbers(numbers: &mut [f64]) {
    numbers.sort_by(f64::total_cmp);
}

/// Sorts values in ascending order.
pub fn values<T: Ord>(values: &mut [T]) {
    by(values, T::cmp);
}

/// Sorts values by a key in ascending order.
pub fn by_key<T, K: Ord>(values: &mut [T], key: impl Fn(&T) -> K) {
    by(values, |a, b| key(a).cmp(&key(b)));
}

/// Sorts values by a comparison, which must be a total order.
pub fn by<T>(values: &mut [T], compare: impl Fn(&T, &T) -> Ordering) {
    sort(values.len(), &mut Compared { values, compare });
}

/// A list without the type of its values.
trait List {
    fn compare(&self, a: usize, b: usize) -> Ordering;
    fn swap(&mut self, a: usize, b: usize);
}

struct Compared<'a, T, F> {
    values: &'a mut [T],
    compare: F,
}

impl<T, F: Fn(&T, &T) -> Ordering> List for Compared<'_, T, F> {
    fn compare(&self, a: usize, b: usize) -> Ordering {
        (self.compare)(&self.values[a], &self.values[b])
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.values.swap(a, b);
    }
}

fn sort(count: usize, list: &mut dyn List) {
    if count <= FEW {
        for end in 1..count {
            for at in (1..=end).rev() {
                if list.compare(at - 1, at) != Ordering::Greater {
                    break;
                }
                list.swap(at - 1, at);
            }
        }
        return;
    }
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| list.compare(*a, *b));
    put_in(&mut order, list);
}

/// Moves the value at `order[i]` to `i`, for all `i`, round one cycle of the permutation after the other.
fn put_in(order: &mut [usize], list: &mut dyn List) {
    for start in 0..order.len() {
        let mut at = start;
        loop {
            let from = std::mem::replace(&mut order[at], at);
            if from == start {
                break;
            }
            list.swap(at, from);
            at = from;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers from 0 to 99 in no order (a linear congruential generator), each with its position.
    fn mixed(count: usize) -> Vec<(u32, usize)> {
        let mut state = 1_u32;
        (0..count)
            .map(|at| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                ((state >> 16) % 100, at)
            })
            .collect()
    }

    #[test]
    fn sorts_as_the_standard_library_does_and_keeps_equals_in_order() {
        for count in (0..40).chain([100, 1000]) {
            let mut ours = mixed(count);
            let mut theirs = ours.clone();
            by_key(&mut ours, |pair| pair.0);
            theirs.sort_by_key(|pair| pair.0);
            assert_eq!(ours, theirs, "{count}");
            by(&mut ours, |a, b| b.0.cmp(&a.0));
            theirs.sort_by_key(|pair| std::cmp::Reverse(pair.0));
            assert_eq!(ours, theirs, "{count}, descending");
            values(&mut ours);
            theirs.sort();
            assert_eq!(ours, theirs, "{count}, in their own order");
        }
    }

    #[test]
    fn values_that_cannot_be_copied_are_moved() {
        let mut names: Vec<String> =
            mixed(50).iter().map(|(number, at)| format!("{number:02} {at}")).collect();
        let mut theirs = names.clone();
        values(&mut names);
        theirs.sort();
        assert_eq!(names, theirs);
    }

    #[test]
    fn numbers_ascend_in_total_order() {
        let mut some = [2.0, f64::INFINITY, -0.0, 0.0, -1.5, 0.0];
        numbers(&mut some);
        assert_eq!(some.map(f64::to_bits), [-1.5, -0.0, 0.0, 0.0, 2.0, f64::INFINITY].map(f64::to_bits));
    }
}
