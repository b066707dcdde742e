//! The lead as one region: the union of the shapes, with what nearly touches joined.

use crate::crossings::{Rings, check_crossings};
use crate::fault::CentreLinesFault;
use crate::moved::moved;
use crate::options::COORDINATE_LIMIT_MM;
use crate::simplify::simplified_ring;
use glam::DVec2;
use i_overlay::core::fill_rule::FillRule as Rule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use i_overlay::mesh::math::MathMode;
use plane::{PanelPoint, perimeter, signed_area};

/// The integers of the library for set operations. Its grid is a 2³⁰th of the shapes' reach, 0.04 µm at most; wider
/// integers take three times as long.
type Engine = i32;

/// Most points of all shapes together.
const POINT_LIMIT: usize = 2_000_000;
/// Points of a shape closer than this to the line between their neighbours are left out, mm: a little more than what
/// rounding to 0.02 mm moves a point.
const RING_TOLERANCE_MM: f64 = 0.02;
/// The same after the union, which leaves points next to each other.
const UNION_TOLERANCE_MM: f64 = 0.004;
/// No pane and no lead has less area, mm²: it is a chink or a crumb.
const LEAST_AREA_MM2: f64 = 2.0;
/// No pane is narrower, mm (twice its area by its perimeter): glass so narrow cannot be cut. Common practice, no source.
const NARROWEST_PANE_MM: f64 = 0.4;

/// What a shape with several rings, or one that crosses itself, covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FillRule {
    /// Every place that the rings wind round, as SVG fills by default.
    #[default]
    NonZero,
    /// Every place that a way out crosses an odd number of times.
    EvenOdd,
}

/// A filled shape of a drawing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FilledShape {
    /// Rings in mm, closed by an edge from the last point to the first; curves flattened.
    pub rings: Vec<Vec<PanelPoint>>,
    /// How they are filled.
    pub fill: FillRule,
}

/// The lead between its boundary rings.
#[derive(Debug, Clone)]
pub(crate) struct Region {
    /// The lead on the left of each, mm.
    pub(crate) rings: Vec<Vec<DVec2>>,
    pub(crate) area: f64,
    pub(crate) perimeter: f64,
}

impl Region {
    /// Mean width of the lead, mm: that of a ribbon of its area and perimeter.
    pub(crate) fn mean_width(&self) -> f64 {
        2.0 * self.area / self.perimeter
    }
}

/// The union of shapes as rings, the covered side on their left.
///
/// # Errors
/// `OutOfRange`, `TooManyPoints`, `TooManyCrossings`
pub(crate) fn union(shapes: &[FilledShape]) -> Result<Rings, CentreLinesFault> {
    let points: usize = shapes.iter().flat_map(|shape| &shape.rings).map(Vec::len).sum();
    if points > POINT_LIMIT {
        return Err(CentreLinesFault::TooManyPoints { limit: POINT_LIMIT });
    }
    let mut all: Rings = Vec::new();
    // The end of each shape's rings among all, and its rule.
    let mut ends = Vec::new();
    for (index, shape) in shapes.iter().enumerate() {
        for (ring_index, ring) in shape.rings.iter().enumerate() {
            let mut numbers = ring.iter().flat_map(|p| p.to_array());
            // NaN lies in no range.
            if let Some(found) = numbers.find(|v| !(-COORDINATE_LIMIT_MM..=COORDINATE_LIMIT_MM).contains(v)) {
                return Err(CentreLinesFault::OutOfRange { shape: index, ring: ring_index, found });
            }
            let ring: Vec<DVec2> = ring.iter().map(|p| DVec2::from(p.to_array())).collect();
            let ring = simplified_ring(&ring, RING_TOLERANCE_MM);
            if ring.len() > 2 {
                all.push(ring.iter().map(DVec2::to_array).collect());
            }
        }
        ends.push((all.len(), shape.fill));
    }
    check_crossings(&all)?;
    let mut covered: Rings = Vec::new();
    let (mut several, mut start) = (false, 0);
    for (end, fill) in ends {
        let rings = &all[std::mem::replace(&mut start, end)..end];
        if rings.is_empty() {
            continue;
        }
        let rule = match fill {
            FillRule::NonZero => Rule::NonZero,
            FillRule::EvenOdd => Rule::EvenOdd,
        };
        several |= !covered.is_empty();
        covered.extend(rings.simplify_shape_as::<Engine>(rule).into_iter().flatten());
    }
    if several && !covered.is_empty() {
        covered = covered.simplify_shape_as::<Engine>(Rule::NonZero).into_iter().flatten().collect();
    }
    Ok(covered)
}

/// A region grown on all sides, or shrunk by a negative distance (mm). Corners stay sharp, but are cut off where they are
/// sharper than an angle (radians). Round ones would take many points each, close together, and most of the time.
pub(crate) fn grown(rings: &Rings, by: f64, sharpest: f64) -> Rings {
    if rings.is_empty() {
        return Vec::new();
    }
    if let Some(moved) = moved(rings, by, sharpest) {
        return moved;
    }
    let style = OutlineStyle::new(by).line_join(LineJoin::Miter(sharpest)).math(MathMode::Float);
    rings.outline_as::<Engine>(&style).into_iter().flatten().collect()
}

/// What two regions cover together.
pub(crate) fn together(rings: &Rings, others: &Rings) -> Rings {
    rings.overlay_as::<Engine>(others, OverlayRule::Union, Rule::NonZero).into_iter().flatten().collect()
}

/// A region without another.
pub(crate) fn without(rings: &Rings, others: &Rings) -> Rings {
    rings.overlay_as::<Engine>(others, OverlayRule::Difference, Rule::NonZero).into_iter().flatten().collect()
}

/// The lead that some rings enclose, without chinks and crumbs.
///
/// # Errors
/// `NoLead`
pub(crate) fn region(rings: &Rings) -> Result<Region, CentreLinesFault> {
    let mut region = Region { rings: Vec::new(), area: 0.0, perimeter: 0.0 };
    for ring in rings {
        let points = PanelPoint::slice(ring);
        let area = signed_area(points);
        let length = perimeter([points]);
        let is_chink = area < 0.0 && 2.0 * -area < NARROWEST_PANE_MM * length;
        if area.abs() < LEAST_AREA_MM2 || is_chink {
            continue;
        }
        let points: Vec<DVec2> = ring.iter().copied().map(DVec2::from).collect();
        let points = simplified_ring(&points, UNION_TOLERANCE_MM);
        if points.len() < 3 {
            continue;
        }
        region.area += area;
        region.perimeter += length;
        region.rings.push(points);
    }
    // A hole that lies in a dropped crumb cannot be: the crumb would be larger than it.
    if region.rings.is_empty() || region.area < LEAST_AREA_MM2 {
        return Err(CentreLinesFault::NoLead);
    }
    Ok(region)
}
