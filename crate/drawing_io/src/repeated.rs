//! Closed shapes that were drawn twice, one exactly upon the other.

use std::collections::HashMap;

use plane::PanelPoint;

use crate::part::{Part, bounds};

/// Shapes that differ by no more are one, mm.
const SAME_MM: f64 = 0.05;

/// Shapes are compared with no more than this many others in their place.
const MOST_IN_ONE_PLACE: usize = 8;

/// Takes shapes of closed parts out that repeat an earlier one. Where they begin.
pub(crate) fn without_repeated(parts: &mut Vec<Part>) -> Vec<PanelPoint> {
    // The parts of a shape follow one another.
    let mut shapes: Vec<(usize, usize)> = Vec::new();
    for (k, part) in parts.iter().enumerate() {
        match shapes.last_mut() {
            Some(last) if parts[last.0].shape == part.shape => last.1 = k + 1,
            _ => shapes.push((k, k + 1)),
        }
    }
    let key = |p: PanelPoint| [0, 1].map(|axis| (p[axis] / 1.0).floor() as i64);
    let mut places: HashMap<[i64; 2], Vec<(usize, usize)>> = HashMap::new();
    let (mut keep, mut found) = (vec![true; parts.len()], Vec::new());
    for &(from, to) in &shapes {
        let own = &parts[from..to];
        let Some([low, _]) = bounds(own).filter(|_| own.iter().all(|part| part.closed)) else { continue };
        let [x, y] = key(low);
        let around = (x - 1..=x + 1).flat_map(|x| (y - 1..=y + 1).map(move |y| [x, y]));
        let mut others = around.filter_map(|place| places.get(&place)).flatten();
        if others.any(|&(a, b)| are_same(own, &parts[a..b])) {
            keep[from..to].fill(false);
            found.push(own[0].points[0]);
        } else {
            let here = places.entry([x, y]).or_default();
            if here.len() < MOST_IN_ONE_PLACE {
                here.push((from, to));
            }
        }
    }
    let mut keep = keep.into_iter();
    parts.retain(|_| keep.next() == Some(true));
    found
}

fn are_same(a: &[Part], b: &[Part]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| is_along(a, b) && is_along(b, a))
}

fn is_along(a: &Part, b: &Part) -> bool {
    let (Some(size), Some(other)) = (bounds([a]), bounds([b])) else { return false };
    let near = |k: usize| (size[k] - other[k]).length() <= 2.0 * SAME_MM;
    near(0) && near(1) && a.points.iter().all(|&p| b.distance_mm(p) <= SAME_MM)
}
