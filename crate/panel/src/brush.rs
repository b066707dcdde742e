//! Brush lines: what a painter draws over the glass, and how much of a piece it covers.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;

use crate::drawing::COORDINATE_LIMIT_MM;
use crate::inset::polygons;
use crate::lattice::int_ring;
use crate::path::{BadPath, Polyline, flatten_path, points_of, read_path};
use crate::polygon::Polygon;
use plane::{PanelPoint, PanelVector, distinct, mitres, signed_area};

/// Largest deviation between a drawn curve and its chords, mm.
const TOLERANCE_MM: f64 = 0.05;
/// Length of the taper where a brush is set down or lifted, in widths of the line. Common practice, no source.
const POINT_WIDTHS: f64 = 3.0;
/// Where along a taper the line gets corners, as shares of the taper's length.
const POINT_CORNERS: [f64; 4] = [0.08, 0.3, 0.6, 1.0];
/// Points of a line closer than this are one, mm.
const SAME_POINT_MM: f64 = 1e-6;
/// Longest mitre, in half widths.
const MITRE_LIMIT: f64 = 2.0;
/// A line is split where it turns by more than 100°.
const SHARPEST_COSINE: f64 = -0.17;
/// Most corners of one line.
const MOST_POINTS: usize = 20_000;

/// A line with a width, given along its centre line; mm in the panel plane.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BrushLine {
    /// The centre line.
    pub points: Vec<PanelPoint>,
    /// For each point, the vector to its left that moves both neighbouring edges by 1.
    pub left: Vec<PanelVector>,
    /// Half the width at each point; 0 at the tips of tapered ends.
    pub half_mm: Vec<f64>,
    /// Whether the last point joins the first.
    pub closed: bool,
}

impl BrushLine {
    /// A line of constant width with blunt ends. With fewer than two points it has no length and covers nothing.
    pub fn even(points: &[PanelPoint], closed: bool, width_mm: f64) -> Self {
        let points = distinct(points, closed, SAME_POINT_MM);
        if points.len() < 2 {
            return Self::default();
        }
        let half_mm = vec![width_mm / 2.0; points.len()];
        Self { left: mitres(&points, closed, MITRE_LIMIT), half_mm, points, closed }
    }

    /// A line as a brush leaves it: an open line tapers to a point at both ends.
    fn brushed(part: &Polyline, width_mm: f64) -> Self {
        let mut line = Self::even(&part.points, part.closed && part.points.len() > 2, width_mm);
        if line.closed || line.points.len() < 2 {
            return line;
        }
        let mut along = vec![0.0];
        for pair in line.points.windows(2) {
            along.push(along[along.len() - 1] + distance(pair[0], pair[1]));
        }
        let length = along[along.len() - 1];
        let point_mm = (POINT_WIDTHS * width_mm).min(length / 2.0);
        let corners = POINT_CORNERS.iter().flat_map(|c| [c * point_mm, length - c * point_mm]);
        let mut stations: Vec<f64> = along.iter().copied().chain(corners).collect();
        sorting::numbers(&mut stations);
        stations.dedup_by(|a, b| *a - *b < 1e-6);
        let at = |s: f64| {
            let k = along.partition_point(|a| *a <= s).clamp(1, along.len() - 1);
            let (from, to) = (line.points[k - 1], line.points[k]);
            let share = ((s - along[k - 1]) / (along[k] - along[k - 1])).clamp(0.0, 1.0);
            from + (to - from) * share
        };
        // The outline of a soft round tip: half an ellipse.
        let width = |s: f64| {
            let open = 1.0 - (s.min(length - s) / point_mm).clamp(0.0, 1.0);
            width_mm / 2.0 * (1.0 - open * open).max(0.0).sqrt()
        };
        line.points = stations.iter().map(|s| at(*s)).collect();
        line.half_mm = stations.iter().map(|s| width(*s)).collect();
        line.left = mitres(&line.points, false, MITRE_LIMIT);
        line
    }

    /// Indices of the two end points of each stretch.
    pub fn stretches(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let n = self.points.len();
        let count = if self.closed { n } else { n.saturating_sub(1) };
        (0..count).map(move |i| (i, (i + 1) % n))
    }

    /// The stretch between two points as a quadrilateral, wider by `margin_mm` on either side. Corners: right,
    /// right, left, left.
    pub fn quad(&self, (i, j): (usize, usize), margin_mm: f64) -> [PanelPoint; 4] {
        let corner = |k: usize, side: f64| {
            let by = side * (self.half_mm[k] + margin_mm);
            self.points[k] + self.left[k] * by
        };
        [corner(i, -1.0), corner(j, -1.0), corner(j, 1.0), corner(i, 1.0)]
    }
}

/// The lines that a brush of `width_mm` leaves along SVG path data in panel mm.
///
/// # Errors
/// [`BadPath`], with the character where reading stopped, if `path` is not path data, reaches beyond
/// [`COORDINATE_LIMIT_MM`] or has too many corners. A path that draws nothing gives no lines.
pub fn brush_lines(path: &str, width_mm: f64) -> Result<Vec<BrushLine>, BadPath> {
    let read = read_path(path)?;
    let far = |p: kurbo::Point| p.x.abs() > COORDINATE_LIMIT_MM || p.y.abs() > COORDINATE_LIMIT_MM;
    if read.elements().iter().flat_map(points_of).any(far) {
        let reason = format!("a coordinate beyond ±{COORDINATE_LIMIT_MM} mm");
        return Err(BadPath { reason, character: 1 });
    }
    let parts = flatten_path(&read, TOLERANCE_MM);
    if parts.iter().map(|part| part.points.len()).sum::<usize>() > MOST_POINTS {
        return Err(BadPath { reason: format!("more than {MOST_POINTS} corners"), character: 1 });
    }
    let width_mm = if width_mm > 0.0 && width_mm.is_finite() { width_mm } else { 0.0 };
    let lines = parts.iter().flat_map(lifted).map(|part| BrushLine::brushed(&part, width_mm));
    Ok(lines.filter(|line| line.points.len() > 1).collect())
}

/// Splits a line where it turns back, since a painter lifts the brush there.
fn lifted(part: &Polyline) -> Vec<Polyline> {
    let points = distinct(&part.points, part.closed, SAME_POINT_MM);
    let n = points.len();
    if n < 3 {
        return vec![Polyline { points, closed: false }];
    }
    let turns_back = |i: usize| {
        let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
        let cosine = (b - a).dot(c - b) / (distance(a, b) * distance(b, c));
        cosine < SHARPEST_COSINE
    };
    let corners: Vec<usize> =
        (0..n).filter(|&i| (part.closed || (i > 0 && i + 1 < n)) && turns_back(i)).collect();
    match corners.first() {
        None => vec![Polyline { points, closed: part.closed }],
        Some(&first) => {
            let start = if part.closed { first } else { 0 };
            let last = if part.closed { n } else { n - 1 };
            let mut parts = Vec::new();
            let mut from = 0;
            for to in (1..=last).filter(|&k| k == last || corners.contains(&((start + k) % n))) {
                parts.push(Polyline {
                    points: (from..=to).map(|k| points[(start + k) % n]).collect(),
                    closed: false,
                });
                from = to;
            }
            parts
        }
    }
}

/// The area of `region` (outer rings counterclockwise, holes clockwise) that the lines cover, mm². Overlaps count
/// once.
pub fn covered_area_mm2<'a>(
    lines: impl IntoIterator<Item = &'a BrushLine>,
    region: impl IntoIterator<Item = &'a [PanelPoint]>,
) -> f64 {
    let quads = lines.into_iter().flat_map(|line| line.stretches().map(|s| ring(&line.quad(s, 0.0))));
    let subject: Vec<_> = quads.filter(|quad| quad.len() > 2).collect();
    if subject.is_empty() {
        return 0.0;
    }
    common(&subject, &rings(region)).iter().map(Polygon::area_mm2).sum()
}

/// The part of a simple ring that lies in a region (outer rings counterclockwise, holes clockwise).
pub fn within<'a>(shape: &[PanelPoint], region: impl IntoIterator<Item = &'a [PanelPoint]>) -> Vec<Polygon> {
    common(&[ring(shape)], &rings(region))
}

fn rings<'a>(region: impl IntoIterator<Item = &'a [PanelPoint]>) -> Vec<Vec<IntPoint<i64>>> {
    region.into_iter().map(int_ring).collect()
}

// Not generic, or every crate that calls it would get a copy of the whole set operation.
fn common(subject: &[Vec<IntPoint<i64>>], clip: &[Vec<IntPoint<i64>>]) -> Vec<Polygon> {
    let mut overlay = Overlay::new(subject.len() * 4 + 64);
    overlay.add_source(subject, ShapeType::Subject);
    overlay.add_source(clip, ShapeType::Clip);
    polygons(overlay.overlay(OverlayRule::Intersect, FillRule::NonZero))
}

/// Counterclockwise, so that every stretch counts with the same sign.
fn ring(points: &[PanelPoint]) -> Vec<IntPoint<i64>> {
    let mut found = int_ring(points);
    if signed_area(points) < 0.0 {
        found.reverse();
    }
    found.dedup();
    found
}

fn distance(p: PanelPoint, q: PanelPoint) -> f64 {
    (p - q).length()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];

    fn covered(path: &str, width_mm: f64) -> f64 {
        covered_area_mm2(&brush_lines(path, width_mm).unwrap(), [PanelPoint::slice(&SQUARE)])
    }

    #[test]
    fn a_line_covers_its_width_and_less_where_it_tapers() {
        // Clipped at both ends, so that no taper lies inside.
        assert!((covered("M-50 50H150", 2.0) - 200.0).abs() < 1e-3);
        // Both tapers inside. Each is 6 mm long and follows half an ellipse in four stretches; the shares of the
        // full width are 0, 0.392, 0.714, 0.917 and 1 at 0, 8, 30, 60 and 100 % of the way.
        let share: f64 = [(0.0, 0.08), (0.08, 0.3), (0.3, 0.6), (0.6, 1.0)]
            .iter()
            .map(|(a, b): &(f64, f64)| {
                let w = |s: f64| (1.0 - (1.0 - s) * (1.0 - s)).sqrt();
                (b - a) * (w(*a) + w(*b)) / 2.0
            })
            .sum();
        let expected = 2.0 * (40.0 - 12.0 + 12.0 * share);
        assert!((covered("M30 50h40", 2.0) - expected).abs() < 1e-3);
        assert!((0.70..0.80).contains(&share));
    }

    #[test]
    fn overlaps_count_once() {
        let cross = covered("M-50 50H150M50 -50V150", 2.0);
        assert!((cross - 396.0).abs() < 1e-3, "{cross}");
        // There and back: two lines, both with their tapers outside.
        assert!((covered("M-50 50H150H-50", 2.0) - 200.0).abs() < 1e-3);
        // A closed triangle with sharp corners is three lines, each tapered at both ends.
        assert_eq!(brush_lines("M20 20H80L50 70Z", 2.0).unwrap().len(), 3);
        // A ring of radius 30: the outline's chords lie within 0.05 mm of the circle.
        let ring = covered("M20 50A30 30 0 0 1 80 50A30 30 0 0 1 20 50Z", 2.0);
        assert!((ring / (std::f64::consts::TAU * 60.0) - 1.0).abs() < 3e-3, "{ring}");
    }

    #[test]
    fn nothing_is_covered_outside_or_in_holes() {
        assert!(covered("M150 0V100", 4.0).abs() < 1e-9);
        let hole = [[40.0, 40.0], [40.0, 60.0], [60.0, 60.0], [60.0, 40.0]];
        let lines = brush_lines("M-50 50H150", 2.0).unwrap();
        let area = covered_area_mm2(&lines, [PanelPoint::slice(&SQUARE), PanelPoint::slice(&hole)]);
        assert!((area - 160.0).abs() < 1e-3, "{area}");
    }

    #[test]
    fn empty_paths_give_no_lines_and_bad_paths_are_refused() {
        for path in ["", "M5 5", "M5 5L5 5", "M5 5Z"] {
            assert_eq!(brush_lines(path, 2.0).unwrap(), [], "{path}");
        }
        assert_eq!(brush_lines("M0 0L5 x", 2.0).unwrap_err().character, 8);
        assert!(brush_lines("M0 0H30000", 2.0).unwrap_err().reason.contains("20000"));
        assert!(covered("M10 10H60", f64::NAN).abs() < 1e-12);
    }
}
