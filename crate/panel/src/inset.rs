//! The part of a ring-bounded region farther than a given distance from each of its edges.
//!
//! Each edge removes a strip of its own width along its inner side. Each corner that juts into the region removes a
//! sector as wide as the wider of its two strips. For each ring, the boundary of region minus strips minus sectors
//! is one closed chain, the *raw offset*. A point belongs to the inset if that chain winds round it a positive
//! number of times, since every strip and sector over it subtracts one turn (offsetting by winding number, Chen &
//! McMains 2005, "Polygon offsetting by computing winding numbers"; source from memory).

use crate::lattice::{Point, STEPS_PER_MM, cross, dot, int_ring, ring_mm};
use crate::polygon::Polygon;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

/// Largest deviation between a corner's arc and its chords, mm.
const ARC_TOLERANCE_MM: f64 = 0.005;

/// Parts smaller than this are rounding residue, mm².
const LEAST_AREA_MM2: f64 = 1e-3;

/// A ring with the width to take off each edge; edge `i` runs from point `i` to the next, region on its left.
#[derive(Debug, Default, Clone)]
pub(crate) struct WideRing {
    pub(crate) points: Vec<Point>,
    /// Steps.
    pub(crate) widths: Vec<f64>,
}

/// Reusable workspace of [`Inset::of`].
pub(crate) struct Inset {
    overlay: Overlay<i64>,
}

impl Inset {
    pub(crate) fn new() -> Self {
        let mut overlay = Overlay::new(256);
        let least = LEAST_AREA_MM2 * STEPS_PER_MM * STEPS_PER_MM;
        // The option expects twice the area.
        overlay.options.min_output_area = (2.0 * least) as u128;
        Inset { overlay }
    }

    /// The inset region of a region with these boundary rings.
    pub(crate) fn of(&mut self, rings: &[WideRing]) -> Vec<Polygon> {
        let raw: Vec<Vec<IntPoint<i64>>> = rings
            .iter()
            .map(raw_offset)
            .map(|ring| ring.into_iter().map(|p| IntPoint { x: p.x, y: p.y }).collect())
            .collect();
        self.overlay.clear();
        self.overlay.add_source(&raw, ShapeType::Subject);
        polygons(self.overlay.overlay(OverlayRule::Subject, FillRule::Positive))
    }
}

/// A polygon minus other polygons that lie in it.
pub(crate) fn difference<'a>(whole: &Polygon, parts: impl Iterator<Item = &'a Polygon>) -> Vec<Polygon> {
    let rings = |polygon: &Polygon| polygon.rings().map(int_ring).collect::<Vec<_>>();
    let mut overlay = Overlay::new(256);
    overlay.add_source(&rings(whole), ShapeType::Subject);
    for part in parts {
        overlay.add_source(&rings(part), ShapeType::Clip);
    }
    polygons(overlay.overlay(OverlayRule::Difference, FillRule::NonZero))
}

pub(crate) fn polygons(shapes: Vec<Vec<Vec<IntPoint<i64>>>>) -> Vec<Polygon> {
    shapes
        .into_iter()
        .filter_map(|shape| {
            let mut rings = shape.iter().map(|ring| ring_mm(ring));
            Some(Polygon { outer: rings.next()?, holes: rings.collect() })
        })
        .collect()
}

/// The chain described at the head of this file.
fn raw_offset(ring: &WideRing) -> Vec<Point> {
    let count = ring.points.len();
    let steps: Vec<[f64; 2]> = ring.points.iter().map(|p| p.steps()).collect();
    // Unit directions and lengths of the edges.
    let edges: Vec<([f64; 2], f64)> = (0..count)
        .map(|i| {
            let d = ring.points[i].vector_to(ring.points[(i + 1) % count]);
            let length = d[0].hypot(d[1]);
            ([d[0] / length, d[1] / length], length)
        })
        .collect();
    let mut raw = Vec::with_capacity(count * 2);
    for i in 0..count {
        let before = (i + count - 1) % count;
        let (d, e) = (edges[before], edges[i]);
        let (w, v) = (ring.widths[before], ring.widths[i]);
        corner(steps[i], d, e, w, v, &mut raw);
    }
    raw.dedup();
    raw
}

/// Adds the chain's points at a corner: edge `d` of width `w` arrives, edge `e` of width `v` leaves.
fn corner(
    at: [f64; 2],
    (d, d_length): ([f64; 2], f64),
    (e, e_length): ([f64; 2], f64),
    w: f64,
    v: f64,
    raw: &mut Vec<Point>,
) {
    let mut push = |p: [f64; 2]| raw.push(Point::from_steps(p));
    let off = |n: [f64; 2], by: f64| [at[0] - n[1] * by, at[1] + n[0] * by];
    let (turn, ahead) = (cross(d, e), dot(d, e));
    let arrives = off(d, w);
    let leaves = off(e, v);
    if turn.abs() < 1e-9 && ahead > 0.0 {
        push(arrives);
        push(leaves);
        return;
    }
    if turn > 0.0 {
        // The strips overlap in the corner. Their inner edges meet at these distances before the end of d and after
        // the start of e. If the edges are too short for that, go out to the corner and back in.
        let (back, on) = ((v - w * ahead) / turn, (w - v * ahead) / turn);
        if (0.0..=d_length / 2.0).contains(&back) && (0.0..=e_length / 2.0).contains(&on) {
            push([arrives[0] - d[0] * back, arrives[1] - d[1] * back]);
        } else {
            push(arrives);
            push(at);
            push(leaves);
        }
        return;
    }
    // The corner juts in (or the ring turns back at an open end): round it with the wider strip.
    let radius = w.max(v);
    let angle = (-turn).atan2(ahead).abs();
    let step = 2.0 * (1.0 - (ARC_TOLERANCE_MM * STEPS_PER_MM / radius).min(1.0)).acos();
    let count = (angle / step).ceil().max(1.0) as usize;
    push(arrives);
    for i in 0..=count {
        let (sin, cos) = (angle * i as f64 / count as f64).sin_cos();
        // d turned clockwise; its left normal sweeps from that of d to that of e.
        push(off([d[0] * cos + d[1] * sin, d[1] * cos - d[0] * sin], radius));
    }
    push(leaves);
}
