//! What lines enclose together, and the ends of lines around it.

use std::collections::HashMap;

use kurbo::{Affine, BezPath, ParamCurve, PathSeg, Vec2};
use panel::{
    COORDINATE_LIMIT_MM, Cutline, Drawing, Line, Outline, Panel, PanelOptions, panel_from_drawing, write_path,
};
use plane::{PanelPoint, PanelVector};

use crate::part::{Part, bounds, direction_at_end, path_of};
use crate::region::Region;

/// Paper around the lines, mm.
const MARGIN_MM: f64 = 50.0;

/// The sheet is drawn at a smaller scale where it would reach farther than a panel's coordinates do, mm: lines as wide as
/// the widest window have paper around them, too.
const MOST_SHEET_MM: f64 = COORDINATE_LIMIT_MM;

/// Lines lie within 100 m of a file's origin.
const LEAST_SCALE: f64 = 1.0 / 16.0;

/// Turns from one straight stretch to the next that are those of a curve written as a polyline, degrees.
const CURVE_DEG: std::ops::Range<f64> = 0.1..20.0;

/// Lines as a panel on a larger sheet.
pub(crate) struct Enclosure {
    panel: Panel,
    /// From the lines to the sheet.
    shift: Vec2,
    /// From the sheet to the panel.
    scale: f64,
    /// The pieces that do not touch the sheet's edge.
    is_inside: Vec<bool>,
    snap_mm: f64,
}

/// An end of a line that may be part of the window's edge.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EdgeEnd {
    /// Index of the line.
    pub(crate) line: usize,
    pub(crate) at: PanelPoint,
    /// Unit vector in which the line would run on.
    pub(crate) onward: PanelVector,
    pub(crate) is_curved: bool,
    /// It meets no other line.
    pub(crate) is_loose: bool,
    /// Its line also runs along what is enclosed.
    pub(crate) is_beside_pieces: bool,
    /// Ends of one number are connected through lines.
    pub(crate) net: usize,
}

impl Enclosure {
    /// Ends that miss other lines by up to `snap_mm` meet them. `None` if no panel can be made.
    pub(crate) fn of(lines: &[&Part], snap_mm: f64) -> Option<Self> {
        let [low, high] = bounds(lines.iter().copied())?;
        let shift = Vec2::new(MARGIN_MM - low[0], MARGIN_MM - low[1]);
        let (w, h) = (high[0] - low[0] + 2.0 * MARGIN_MM, high[1] - low[1] + 2.0 * MARGIN_MM);
        let scale = scale_of_sheet(w.max(h));
        let map = Affine::translate(shift).then_scale(scale);
        let cutline = |part: &&Part| Cutline { path: write_path(&(map * part.path.clone())), face_mm: 1.0 };
        let drawing = Drawing {
            outline: Outline { path: format!("M0 0H{}V{}H0Z", w * scale, h * scale), face_mm: 1.0 },
            cutlines: lines.iter().map(cutline).collect(),
            bars: Vec::new(),
        };
        let usual = PanelOptions::default();
        let options = PanelOptions {
            snap_mm: snap_mm * scale,
            flatten_tolerance_mm: usual.flatten_tolerance_mm * scale,
            ..usual
        };
        let panel = panel_from_drawing(&drawing, &options).ok()?;
        let is_outside = |piece: &panel::Piece| {
            piece.edge_leads.iter().flatten().any(|&lead| panel.leads[lead].line == Line::Outline)
        };
        let is_inside = panel.pieces.iter().map(|piece| !is_outside(piece)).collect();
        Some(Self { panel, shift, scale, is_inside, snap_mm })
    }

    /// The edge of everything that the lines enclose.
    pub(crate) fn ring(&self) -> Option<Vec<PanelPoint>> {
        let pieces = self.panel.pieces.iter().zip(&self.is_inside).filter(|(_, is_inside)| **is_inside);
        let inside: Vec<Part> =
            pieces.filter_map(|(piece, _)| Part::new(path_of(&piece.outline.outer, true), 0)).collect();
        let ring = Region::each(&inside).ok()?.largest_ring()?.clone();
        Some(ring.into_iter().map(|p| self.back(p)).collect())
    }

    fn back(&self, p: PanelPoint) -> PanelPoint {
        PanelPoint::new(p[0] / self.scale - self.shift.x, p[1] / self.scale - self.shift.y)
    }

    /// The ends of the lines that do not divide what is enclosed. `lines`: those it was made of.
    pub(crate) fn edge_ends(&self, lines: &[&Part]) -> Vec<EdgeEnd> {
        let is_inside = |piece: Option<usize>| piece.is_some_and(|piece| self.is_inside[piece]);
        let (mut divides, mut is_beside) = (vec![false; lines.len()], vec![false; lines.len()]);
        for lead in &self.panel.leads {
            let Line::Cutline(line) = lead.line else { continue };
            let (left, right) = (is_inside(lead.left), is_inside(lead.right));
            divides[line] |= left && right;
            is_beside[line] |= left != right;
        }
        let mut loose: HashMap<usize, Vec<PanelPoint>> = HashMap::new();
        for end in &self.panel.open_ends {
            if let Line::Cutline(line) = end.line {
                loose.entry(line).or_default().push(self.back(end.at));
            }
        }
        let nets = self.nets();
        let mut ends = Vec::new();
        for (line, part) in lines.iter().enumerate().filter(|(k, part)| !part.closed && !divides[*k]) {
            for (at, (onward, is_curved)) in directions(part) {
                // The panel has moved an end by no more than it joins.
                let near = |p: &PanelPoint| (*p - at).length() <= 2.0 * self.snap_mm;
                ends.push(EdgeEnd {
                    line,
                    at,
                    onward,
                    is_curved,
                    is_loose: loose.get(&line).is_some_and(|ends| ends.iter().any(near)),
                    is_beside_pieces: is_beside[line],
                    net: nets.get(&line).copied().unwrap_or(usize::MAX),
                });
            }
        }
        ends
    }

    /// For each line the number of the net that it is connected with.
    fn nets(&self) -> HashMap<usize, usize> {
        let mut net_of: Vec<usize> = (0..self.panel.joints.len()).collect();
        fn root(net_of: &mut [usize], mut joint: usize) -> usize {
            while net_of[joint] != joint {
                net_of[joint] = net_of[net_of[joint]];
                joint = net_of[joint];
            }
            joint
        }
        for lead in &self.panel.leads {
            let (a, b) = (root(&mut net_of, lead.from_joint), root(&mut net_of, lead.to_joint));
            net_of[a] = b;
        }
        let mut nets = HashMap::new();
        for lead in &self.panel.leads {
            if let Line::Cutline(line) = lead.line {
                nets.insert(line, root(&mut net_of, lead.from_joint));
            }
        }
        nets
    }
}

/// The scale of a sheet, a power of two: exact, and 1 for all but the largest windows.
fn scale_of_sheet(longest_mm: f64) -> f64 {
    let mut scale = 1.0;
    while longest_mm * scale > MOST_SHEET_MM && scale > LEAST_SCALE {
        scale /= 2.0;
    }
    scale
}

/// The edge of everything that the lines enclose together.
pub(crate) fn edge_around(lines: &[&Part], snap_mm: f64) -> Option<Vec<PanelPoint>> {
    Enclosure::of(lines, snap_mm)?.ring()
}

/// The ends of an open part, each with the direction in which it would run on, and whether it arrives there in a curve.
fn directions(part: &Part) -> impl Iterator<Item = (PanelPoint, (PanelVector, bool))> {
    let ways = [part.path.reverse_subpaths(), part.path.clone()];
    let ends = [part.points[0], part.points[part.points.len() - 1]];
    ends.into_iter().zip(ways).filter_map(|(at, way)| Some((at, arrival(&way)?)))
}

/// The direction in which a path arrives at its end, and whether it does so in a curve.
fn arrival(path: &BezPath) -> Option<(PanelVector, bool)> {
    let segments: Vec<PathSeg> =
        path.segments().filter(|segment| (segment.end() - segment.start()).hypot() > 0.05).collect();
    let last = segments.last()?;
    let onward = direction_at_end(last)?;
    let turn_deg = || {
        let before = direction_at_end(segments.get(segments.len().checked_sub(2)?)?)?;
        Some(before.cross(onward).atan2(before.dot(onward)).to_degrees().abs())
    };
    let is_curved =
        !matches!(last, PathSeg::Line(_)) || turn_deg().is_some_and(|turn| CURVE_DEG.contains(&turn));
    let toward = PanelPoint::new(onward.x, onward.y) - PanelPoint::new(0.0, 0.0);
    Some((toward, is_curved))
}
