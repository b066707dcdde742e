//! Filled shapes that lie under or upon others: a ground behind panes, and what is painted on them.

use std::collections::BTreeMap;

use kurbo::{Affine, Shape as _};
use plane::{PanelPoint, contains};

use crate::layer::{Group, Look, Paint};
use crate::part::{Part, bounds, parts};
use crate::svg::{Ink, SvgFile};

/// The drawing's size, in the units in which shapes are compared here: their real size is not yet known.
const SIZE: f64 = 1000.0;

/// What lies upon a shape keeps at least this far from its edge: what reaches the edge may be a piece.
const WITHIN: f64 = 0.5;

/// More colours than this are no kinds of paint.
const MOST_COLOURS: usize = 32;

/// More shapes of one kind are not compared pair by pair.
const MOST_COMPARED: usize = 10_000;

/// Parts groups of filled shapes into what lies beneath others, the shapes themselves, and what lies within one other
/// shape: no piece of glass has a hole, so that this is painted.
pub(crate) fn apart(file: &SvgFile, groups: Vec<Group>) -> Vec<Group> {
    let mut all = Vec::with_capacity(groups.len());
    for group in groups {
        let filled = group.look == Look::Area && !group.hidden;
        if filled && group.shapes.len() > 1 && group.shapes.len() <= MOST_COMPARED {
            all.extend(parted(file, group));
        } else {
            all.push(group);
        }
    }
    all
}

fn parted(file: &SvgFile, group: Group) -> Vec<Group> {
    let boxes = group.shapes.iter().map(|&shape| file.shapes[shape].path.bounding_box());
    let Some(whole) = boxes.reduce(|a, b| a.union(b)).filter(|whole| whole.is_finite()) else {
        return vec![group];
    };
    let scale = SIZE / whole.width().max(whole.height()).max(1e-12);
    let place = Affine::scale(scale) * Affine::translate(-whole.origin().to_vec2());
    let shapes: Vec<Vec<Part>> = group
        .shapes
        .iter()
        .enumerate()
        .map(|(k, &shape)| {
            let mut parts = parts(&(place * file.shapes[shape].path.clone()), k);
            parts.iter_mut().for_each(Part::close);
            parts.retain(|part| part.closed);
            parts
        })
        .collect();
    let single: Vec<Option<Boxed<'_>>> = shapes
        .iter()
        .map(|parts| match parts.as_slice() {
            [part] => bounds([part]).map(|size| (part, size)),
            _ => None,
        })
        .collect();
    let ground = single
        .iter()
        .position(|one| one.is_some_and(|one| shapes.iter().flatten().all(|part| is_covered(part, one))));
    let (mut panes, mut upon) = (Vec::new(), BTreeMap::<Ink, Vec<usize>>::new());
    for (k, &shape) in group.shapes.iter().enumerate() {
        if Some(k) == ground {
            continue;
        }
        let mut under =
            single[..k].iter().enumerate().filter(|(k, _)| Some(*k) != ground).filter_map(|(_, one)| *one);
        let is_upon = single[k].is_some_and(|inner| under.any(|outer| lies_within(inner, outer)));
        match file.shapes[shape].fill.filter(|_| is_upon) {
            Some(ink) => upon.entry(ink).or_default().push(shape),
            None => panes.push(shape),
        }
    }
    if panes.len() < 2 || upon.len() > MOST_COLOURS {
        return vec![group];
    }
    let part = |shapes: Vec<usize>, paint: Paint| Group { shapes, paint, ..group.clone() };
    let colour = |shape: usize| file.shapes[shape].fill.unwrap_or(Ink::Colour([0; 3]));
    let under = ground.map(|k| group.shapes[k]).map(|shape| part(vec![shape], Paint::Under(colour(shape))));
    let above = upon.into_iter().map(|(ink, shapes)| part(shapes, Paint::Upon(ink)));
    under.into_iter().chain([part(panes, Paint::Whole)]).chain(above).collect()
}

/// A shape of one part, and the box around it.
type Boxed<'a> = (&'a Part, [PanelPoint; 2]);

/// Whether a part lies on another, or reaches beyond it by very little.
fn is_covered(part: &Part, (ground, [low, high]): Boxed<'_>) -> bool {
    part.points.iter().all(|&p| {
        (0..2).all(|axis| p[axis] > low[axis] - WITHIN && p[axis] < high[axis] + WITHIN)
            && (contains([&ground.points[..]], p) || ground.distance_mm(p) <= WITHIN)
    })
}

fn lies_within((inner, [low, high]): Boxed<'_>, (outer, around): Boxed<'_>) -> bool {
    (0..2).all(|axis| low[axis] > around[0][axis] && high[axis] < around[1][axis])
        && inner.points.iter().all(|&p| contains([&outer.points[..]], p) && outer.distance_mm(p) > WITHIN)
}
