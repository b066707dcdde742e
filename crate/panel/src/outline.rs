//! The outline: one simple closed ring.

use crate::fault::PanelFault;
use crate::graph::Segment;
use crate::lattice::{Point, STEPS_PER_MM};
use crate::noding::node;
use crate::path::Polyline;
use crate::stroke::{Stroke, stroke_from};
use plane::{PanelPoint, signed_area};

/// The single closed part of an outline, counterclockwise, or faults.
pub(crate) fn outline_stroke(
    parts: Vec<Polyline>,
    snap_mm: f64,
    faults: &mut Vec<PanelFault>,
) -> Option<Stroke> {
    let mut drawn = parts.iter().filter_map(|part| stroke_from(part, 0));
    let Some(mut stroke) = drawn.next() else {
        faults.push(PanelFault::NoOutline);
        return None;
    };
    let more = drawn.count();
    if more > 0 {
        faults.push(PanelFault::OutlineParts { parts: more + 1 });
        return None;
    }
    if !stroke.closed {
        let (first, last) = (stroke.points[0], stroke.points[stroke.points.len() - 1]);
        let gap_mm = first.distance(last) / STEPS_PER_MM;
        if gap_mm > snap_mm || stroke.points.len() < 4 {
            faults.push(PanelFault::OutlineOpen { at: last.mm(), gap_mm });
            return None;
        }
        stroke.points.pop();
        stroke.closed = true;
    }
    if let Err(fault) = check_simple(&stroke) {
        faults.push(fault);
        return None;
    }
    let ring: Vec<PanelPoint> = stroke.points.iter().map(|p| p.mm()).collect();
    let area_mm2 = signed_area(&ring);
    if area_mm2.abs() < 1.0 {
        faults.push(PanelFault::OutlineEmpty { area_mm2: area_mm2.abs() });
        return None;
    }
    if area_mm2 < 0.0 {
        stroke.points.reverse();
    }
    Some(stroke)
}

fn check_simple(outline: &Stroke) -> Result<(), PanelFault> {
    let mut points = outline.points.clone();
    sorting::values(&mut points);
    if let Some(pair) = points.windows(2).find(|pair| pair[0] == pair[1]) {
        return Err(PanelFault::OutlineCrossesItself { at: pair[0].mm() });
    }
    let segments: Vec<Segment> = outline.segments().map(|(a, b)| Segment { a, b, line: 0 }).collect();
    let noded = node(&segments)?;
    let mut ends: Vec<Point> = noded.iter().flat_map(|s| [s.a, s.b]).collect();
    sorting::values(&mut ends);
    // In a simple ring two segments end at each point, and splitting it where it meets itself adds no points.
    let crossing = ends
        .chunk_by(|a, b| a == b)
        .find(|same| same.len() != 2 || points.binary_search(&same[0]).is_err())
        .map(|same| same[0]);
    match crossing {
        Some(at) => Err(PanelFault::OutlineCrossesItself { at: at.mm() }),
        None => Ok(()),
    }
}
