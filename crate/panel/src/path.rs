//! SVG path data: reading, writing, and flattening to polylines.

use kurbo::{Arc, BezPath, PathEl, Point, SvgArc, Vec2};
use plane::PanelPoint;
use svgtypes::{PathParser, PathSegment};

/// Largest number accepted in path data, in the data's own unit.
const NUMBER_LIMIT: f64 = 1e9;

/// Largest deviation between an elliptical arc and its cubics, as a share of its radius.
const ARC_TOLERANCE: f64 = 1e-7;

/// Path data that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{reason}, at character {character}")]
pub struct BadPath {
    /// What is wrong.
    pub reason: String,
    /// Where, counted from 1.
    pub character: usize,
}

/// First and last point of every part of a path that is not closed, mm. None in data that cannot be read.
pub fn path_ends(data: &str) -> Vec<PanelPoint> {
    let path = read_path(data).unwrap_or_default();
    let point = |element: Option<&PathEl>| {
        // The end of a closed part has none.
        let at = element?.end_point()?;
        Some(PanelPoint::new(at.x, at.y))
    };
    let parts = path.elements().chunk_by(|_, next| !matches!(next, PathEl::MoveTo(_)));
    let ends = parts.filter_map(|part| Some([point(part.first())?, point(part.last())?]));
    ends.flatten().collect()
}

/// Reads SVG path data, all commands, absolute and relative; arcs become cubics.
///
/// # Errors
/// [`BadPath`]: data that cannot be read, or a number beyond ±1e9.
pub fn read_path(data: &str) -> Result<BezPath, BadPath> {
    let mut path = BezPath::new();
    let (mut here, mut start) = (Point::ZERO, Point::ZERO);
    // The control point that a following smooth command mirrors, by degree of the curve.
    let (mut cubic_control, mut quad_control) = (None, None);
    let mut must_move = false;
    for (index, segment) in PathParser::from(data).enumerate() {
        let segment = segment.map_err(|error| bad_path(data, &error))?;
        let absolute = segment.is_abs();
        let at = |x: f64, y: f64| if absolute { Point::new(x, y) } else { here + Vec2::new(x, y) };
        let (last_cubic, last_quad) = (cubic_control.take(), quad_control.take());
        if must_move && !matches!(segment, PathSegment::MoveTo { .. } | PathSegment::ClosePath { .. }) {
            path.move_to(start);
            must_move = false;
        }
        let before = path.elements().len();
        match segment {
            PathSegment::MoveTo { x, y, .. } => {
                here = at(x, y);
                start = here;
                must_move = false;
                path.move_to(here);
            }
            PathSegment::LineTo { x, y, .. } => {
                here = at(x, y);
                path.line_to(here);
            }
            PathSegment::HorizontalLineTo { x, .. } => {
                here.x = if absolute { x } else { here.x + x };
                path.line_to(here);
            }
            PathSegment::VerticalLineTo { y, .. } => {
                here.y = if absolute { y } else { here.y + y };
                path.line_to(here);
            }
            PathSegment::CurveTo { x1, y1, x2, y2, x, y, .. } => {
                let (c1, c2, end) = (at(x1, y1), at(x2, y2), at(x, y));
                path.curve_to(c1, c2, end);
                (here, cubic_control) = (end, Some(c2));
            }
            PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                let c1 = last_cubic.map_or(here, |c: Point| here + (here - c));
                let (c2, end) = (at(x2, y2), at(x, y));
                path.curve_to(c1, c2, end);
                (here, cubic_control) = (end, Some(c2));
            }
            PathSegment::Quadratic { x1, y1, x, y, .. } => {
                let (c, end) = (at(x1, y1), at(x, y));
                path.quad_to(c, end);
                (here, quad_control) = (end, Some(c));
            }
            PathSegment::SmoothQuadratic { x, y, .. } => {
                let c = last_quad.map_or(here, |c: Point| here + (here - c));
                let end = at(x, y);
                path.quad_to(c, end);
                (here, quad_control) = (end, Some(c));
            }
            PathSegment::EllipticalArc { rx, ry, x_axis_rotation, large_arc, sweep, x, y, .. } => {
                let end = at(x, y);
                let arc = SvgArc {
                    from: here,
                    to: end,
                    radii: Vec2::new(rx, ry),
                    x_rotation: (x_axis_rotation % 360.0).to_radians(),
                    large_arc,
                    sweep,
                };
                let finite = [rx, ry, x_axis_rotation, x, y].iter().all(|v| v.abs() <= NUMBER_LIMIT);
                if !finite {
                    return Err(too_large(index));
                }
                push_arc(&mut path, &arc);
                here = end;
            }
            PathSegment::ClosePath { .. } => {
                if !must_move {
                    path.close_path();
                }
                here = start;
                must_move = true;
            }
        }
        if !path.elements()[before..].iter().flat_map(points_of).all(|p| is_usable(p.x) && is_usable(p.y)) {
            return Err(too_large(index));
        }
    }
    Ok(path)
}

fn is_usable(v: f64) -> bool {
    v.abs() <= NUMBER_LIMIT
}

fn too_large(command: usize) -> BadPath {
    BadPath { reason: format!("a number beyond ±1e9 in command {}", command + 1), character: 1 }
}

fn bad_path(data: &str, error: &svgtypes::Error) -> BadPath {
    use svgtypes::Error;
    let character = match error {
        Error::UnexpectedEndOfStream | Error::InvalidValue | Error::InvalidIdent => data.chars().count(),
        Error::UnexpectedData(at)
        | Error::InvalidNumber(at)
        | Error::InvalidChar(_, at)
        | Error::InvalidString(_, at) => *at,
    };
    let reason = match error {
        Error::UnexpectedEndOfStream => "the data ends in the middle of a command",
        Error::InvalidNumber(_) => "not a number",
        _ => "not a path command (M, L, H, V, C, S, Q, T, A, Z; M first)",
    };
    BadPath { reason: reason.to_owned(), character }
}

/// Appends an SVG arc; an arc without radius or length is a straight line, as SVG 2 section 9.5.1 requires.
fn push_arc(path: &mut BezPath, arc: &SvgArc) {
    let radius = arc.radii.x.abs().max(arc.radii.y.abs()).max((arc.to - arc.from).hypot() / 2.0);
    match Arc::from_svg_arc(arc) {
        Some(round) => {
            let mut last = arc.from;
            let mut cubics = Vec::new();
            round.to_cubic_beziers(radius * ARC_TOLERANCE, |a, b, c| cubics.push((a, b, c)));
            let count = cubics.len();
            for (i, (a, b, c)) in cubics.into_iter().enumerate() {
                last = if i + 1 == count { arc.to } else { c };
                path.curve_to(a, b, last);
            }
            if last != arc.to {
                path.line_to(arc.to);
            }
        }
        None => path.line_to(arc.to),
    }
}

/// All points an element holds, control points included.
pub(crate) fn points_of(element: &PathEl) -> impl Iterator<Item = Point> + use<> {
    let points = match *element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) => [Some(p), None, None],
        PathEl::QuadTo(a, b) => [Some(a), Some(b), None],
        PathEl::CurveTo(a, b, c) => [Some(a), Some(b), Some(c)],
        PathEl::ClosePath => [None; 3],
    };
    points.into_iter().flatten()
}

/// Writes path data with absolute commands, numbers rounded to 1e-5.
pub fn write_path(path: &BezPath) -> String {
    use std::fmt::Write;
    let mut text = String::new();
    for element in path.elements() {
        let letter = match element {
            PathEl::MoveTo(_) => 'M',
            PathEl::LineTo(_) => 'L',
            PathEl::QuadTo(..) => 'Q',
            PathEl::CurveTo(..) => 'C',
            PathEl::ClosePath => 'Z',
        };
        if !text.is_empty() {
            text.push(' ');
        }
        text.push(letter);
        for p in points_of(element) {
            let _ = write!(text, " {} {}", rounded(p.x), rounded(p.y));
        }
    }
    text
}

/// Rounded to 1e-5, and never minus zero.
fn rounded(v: f64) -> f64 {
    (v * 1e5).round() / 1e5 + 0.0
}

/// One connected part of a path as a polyline. A closed part does not repeat its first point.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Polyline {
    pub(crate) points: Vec<PanelPoint>,
    pub(crate) closed: bool,
}

/// Flattens a path so that no curve deviates from its chords by more than `tolerance`.
pub(crate) fn flatten_path(path: &BezPath, tolerance: f64) -> Vec<Polyline> {
    let mut parts: Vec<Polyline> = Vec::new();
    let mut fresh = true;
    kurbo::flatten(path.elements().iter().copied(), tolerance, |element| match element {
        PathEl::MoveTo(p) => {
            parts.push(Polyline { points: vec![PanelPoint::new(p.x, p.y)], closed: false });
            fresh = false;
        }
        PathEl::LineTo(p) => {
            if let Some(part) = parts.last_mut().filter(|_| !fresh)
                && p.is_finite()
            {
                part.points.push(PanelPoint::new(p.x, p.y));
            }
        }
        PathEl::ClosePath => {
            if let Some(part) = parts.last_mut() {
                part.closed = true;
            }
            fresh = true;
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(data: &str, absolute: &str) {
        let path = read_path(data).expect("readable");
        assert_eq!(write_path(&path), absolute, "{data}");
    }

    #[test]
    fn every_command_reads_relative_and_absolute() {
        check("M1 2 3 4", "M 1 2 L 3 4");
        check("m1 2 3 4h5v-6H0V0z", "M 1 2 L 4 6 L 9 6 L 9 0 L 0 0 L 0 0 Z");
        check("M0 0C1 1 2 1 3 0s2-1 3 0", "M 0 0 C 1 1 2 1 3 0 C 4 -1 5 -1 6 0");
        check("M0 0Q1 1 2 0t2 0T6 0", "M 0 0 Q 1 1 2 0 Q 3 -1 4 0 Q 5 1 6 0");
        check("M0 0S1 1 2 0", "M 0 0 C 0 0 1 1 2 0");
        check("M0 0zL1 1", "M 0 0 Z M 0 0 L 1 1");
        check("M5 5zzm1 1l1 0", "M 5 5 Z M 6 6 L 7 6");
        check("M0 0A0 5 0 0 1 3 4", "M 0 0 L 3 4");
    }

    #[test]
    fn arcs_keep_their_radius() {
        // A half circle of radius 250 about (250, 0), and one by radii too small for its chord.
        for data in ["M0 0A250 250 0 0 1 500 0", "M0 0a1 1 0 0 1 500 0", "M0 0a250 250 720 1 1 500 0"] {
            let path = read_path(data).expect("readable");
            for part in flatten_path(&path, 0.001) {
                for p in part.points {
                    let r = (p[0] - 250.0).hypot(p[1]);
                    assert!((r - 250.0).abs() < 1e-4, "{data}: {r}");
                }
            }
        }
    }

    #[test]
    fn faults_name_their_place() {
        let fault = |data: &str| read_path(data).expect_err("unreadable");
        assert_eq!(fault("M0 0L5 x").character, 8);
        assert_eq!(fault("L5 5").character, 1);
        assert!(fault("M0 0L1e300 0").reason.contains("1e9"));
        assert!(fault("M0 0A1e300 1e300 0 0 1 5 5").reason.contains("1e9"));
        assert!(fault("M0 0L5").reason.contains("ends"));
    }

    #[test]
    fn flattening_keeps_to_its_tolerance() {
        let path = read_path("M0 0C0 55.2284749831 44.7715250169 100 100 100").expect("readable");
        let [part] = flatten_path(&path, 0.02).try_into().expect("one part");
        for pair in part.points.windows(2) {
            let middle = [(pair[0][0] + pair[1][0]) / 2.0, (pair[0][1] + pair[1][1]) / 2.0];
            // The cubic itself bulges 0.027 out of the circle of radius 100 about (100, 0).
            let r = (middle[0] - 100.0).hypot(middle[1]);
            assert!((100.0 - 0.021..100.03).contains(&r), "{r}");
        }
    }
}
