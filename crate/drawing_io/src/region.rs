//! Filled shapes as regions.

use centre_lines::{CentreLinesFault, check_crossings};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use plane::PanelPoint;

use crate::part::Part;

/// The integers of the library for set operations: its grid is a 2³⁰th of the shapes' reach.
type Engine = i32;

/// The union of closed parts: for each connected area its outer ring, counterclockwise, then its holes. Holes of one
/// shape run against its outer ring, or nest in it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Region {
    pub(crate) areas: Vec<Vec<Vec<PanelPoint>>>,
}

impl Region {
    /// The union of what each shape fills. A shape's own parts cancel one another where they overlap, so that a ring
    /// within another is a hole in whichever direction it runs.
    ///
    /// # Errors
    /// Shapes with far more points or crossings than a window has.
    pub(crate) fn of(parts: &[Part]) -> Result<Self, CentreLinesFault> {
        let all: Vec<Vec<[f64; 2]>> =
            parts.iter().map(|part| PanelPoint::arrays(&part.points).to_vec()).collect();
        check_crossings(&all)?;
        let mut rings: Vec<Vec<[f64; 2]>> = Vec::new();
        let mut from = 0;
        while from < parts.len() {
            let shape = parts[from].shape;
            let count = parts[from..].iter().take_while(|part| part.shape == shape).count();
            let own = &all[from..from + count];
            from += count;
            // Each shape by the even-odd rule first: its result has holes that run against their outer ring.
            rings.extend(own.simplify_shape_as::<Engine>(FillRule::EvenOdd).into_iter().flatten());
        }
        Ok(Self::union(&rings))
    }

    /// The union of closed parts, each filled on its own.
    ///
    /// # Errors
    /// As of [`Region::of`].
    pub(crate) fn each<'a>(parts: impl IntoIterator<Item = &'a Part>) -> Result<Self, CentreLinesFault> {
        let rings: Vec<Vec<[f64; 2]>> = parts
            .into_iter()
            .filter(|part| part.closed)
            .map(|part| {
                let mut ring = PanelPoint::arrays(&part.points).to_vec();
                // Against one another they would cancel.
                if plane::signed_area(&part.points) < 0.0 {
                    ring.reverse();
                }
                ring
            })
            .collect();
        check_crossings(&rings)?;
        Ok(Self::union(&rings))
    }

    fn union(rings: &[Vec<[f64; 2]>]) -> Self {
        let shapes = rings.to_vec().simplify_shape_as::<Engine>(FillRule::NonZero);
        let points = |ring: Vec<[f64; 2]>| PanelPoint::slice(&ring).to_vec();
        Self { areas: shapes.into_iter().map(|shape| shape.into_iter().map(points).collect()).collect() }
    }

    /// Area, mm².
    pub(crate) fn area_mm2(&self) -> f64 {
        self.areas.iter().map(plane::area).sum()
    }

    /// Length of all rings, mm.
    pub(crate) fn perimeter_mm(&self) -> f64 {
        self.areas.iter().map(plane::perimeter).sum()
    }

    /// The outer ring that encloses the most; `None` if there is none.
    pub(crate) fn largest_ring(&self) -> Option<&Vec<PanelPoint>> {
        let outer = self.areas.iter().filter_map(|area| area.first());
        outer.max_by(|a, b| plane::signed_area(a).abs().total_cmp(&plane::signed_area(b).abs()))
    }
}
