//! What would close the gaps between the ends of a window's edge.

use std::collections::HashSet;

use kurbo::{BezPath, Point};
use plane::{PanelPoint, PanelVector};

use crate::enclosure::EdgeEnd;
use crate::near::Near;
use crate::part::{Part, middle};

/// Two ends are carried on until they meet if they do within this many times their distance.
const MOST_DETOUR: f64 = 1.5;

/// Ends that went too far by no more than this still meet, mm.
const PAST_MM: f64 = 0.5;

/// Ends that turn to one another by less run on as one line, degrees.
const STRAIGHT_DEG: f64 = 3.0;

/// A curve that turns by less in the gap is carried on as a curve, degrees: one that turns more has a corner there.
const CURVE_DEG: f64 = 45.0;

/// Cosine of the most by which a straight line turns from the lines that it connects: 60°.
const LEAST_AHEAD: f64 = 0.5;

/// Sine of the least angle at which an end meets the line that it is carried on to: about 12°.
const LEAST_CROSSING: f64 = 0.2;

/// A gap has no line in it: of so many places, none but a few lie on lines.
const PLACES: usize = 24;
const MOST_ON_LINES: usize = 4;

/// A place this near to a line lies on it, mm.
const ON_MM: f64 = 0.3;

/// Most ends without a line that they meet: of more, only those of lines along what is enclosed already. With more of these
/// than that, too, nothing is closed, and nothing need be said of it here: such an edge does not only miss itself somewhere,
/// and each end is a fault of its own.
const MOST_LOOSE: usize = 64;

/// Most gaps that are tried, the narrowest: an edge has a few, and the wider of so many cross other lines.
const MOST_BRIDGES: usize = 400;

/// How a gap is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    Straight,
    /// Its lines are carried on until they meet.
    CarriedOn,
    /// Its curve is carried on.
    Curve,
}

/// What closes a gap.
#[derive(Debug, Clone)]
pub(crate) struct Bridge {
    pub(crate) part: Part,
    pub(crate) from: PanelPoint,
    pub(crate) to: PanelPoint,
    pub(crate) way: Way,
    /// Neither end meets anything.
    pub(crate) is_between_loose_ends: bool,
}

impl Bridge {
    /// How far the ends are apart, mm.
    pub(crate) fn mm(&self) -> f64 {
        (self.to - self.from).length()
    }

    pub(crate) fn at(&self) -> PanelPoint {
        middle(self.from, self.to)
    }

    fn new(points: &[PanelPoint], way: Way) -> Option<Self> {
        let (from, to) = (*points.first()?, *points.last()?);
        let mut path = BezPath::new();
        path.move_to(point(from));
        match points[1..] {
            [bend, to] if way == Way::Curve => path.quad_to(point(bend), point(to)),
            _ => points[1..].iter().for_each(|&p| path.line_to(point(p))),
        }
        let part = Part::new(path, usize::MAX)?;
        Some(Self { part, from, to, way, is_between_loose_ends: false })
    }

    /// Whether half of it at least runs where others do.
    pub(crate) fn overlaps<'a>(&self, others: impl Iterator<Item = &'a Part>) -> bool {
        let near = Near::new(others);
        let on = self.places().filter(|place| near.within(*place, ON_MM));
        2 * on.count() >= PLACES
    }

    fn places(&self) -> impl Iterator<Item = PanelPoint> {
        (0..PLACES).map(|k| self.part.place((k as f64 + 0.5) / PLACES as f64))
    }
}

/// Whatever would close gaps of at most `most_mm` between these ends, and between one of them and a line.
pub(crate) fn bridges(ends: &[EdgeEnd], lines: &[&Part], most_mm: f64) -> Vec<Bridge> {
    let mut loose: Vec<&EdgeEnd> = ends.iter().filter(|end| end.is_loose).collect();
    if loose.len() > MOST_LOOSE {
        loose.retain(|end| end.is_beside_pieces);
    }
    if loose.is_empty() || loose.len() > MOST_LOOSE {
        return Vec::new();
    }
    let near = Near::new(lines.iter().copied());
    let mut found: Vec<Bridge> = Vec::new();
    for (k, a) in loose.iter().enumerate() {
        // What ends on another line is whole there; it closes a gap only with what it is connected with.
        let others = loose[k + 1..].iter().copied();
        let others = others.chain(ends.iter().filter(|b| !b.is_loose && b.net == a.net));
        let between = others.filter_map(|b| {
            let bridge = between(a, b, most_mm)?;
            Some(Bridge { is_between_loose_ends: b.is_loose, ..bridge })
        });
        let bridges = between.chain(to_line(a, ends, lines, most_mm));
        found.extend(bridges.filter(|bridge| is_in_gap(bridge, &near)));
        // Now and then, so that they are never many.
        if found.len() > 2 * MOST_BRIDGES {
            keep_narrowest(&mut found);
        }
    }
    if found.len() > MOST_BRIDGES {
        keep_narrowest(&mut found);
    }
    found
}

/// Keeps no more than are tried, whatever their order was.
fn keep_narrowest(bridges: &mut Vec<Bridge>) {
    bridges.sort_by(|a, b| {
        let (at, other) = (a.at(), b.at());
        a.mm().total_cmp(&b.mm()).then(at[0].total_cmp(&other[0])).then(at[1].total_cmp(&other[1]))
    });
    bridges.truncate(MOST_BRIDGES);
}

/// What closes the gap between two ends that face one another.
fn between(a: &EdgeEnd, b: &EdgeEnd, most_mm: f64) -> Option<Bridge> {
    let across = b.at - a.at;
    let gap = across.length();
    if gap > most_mm || gap < 1e-6 {
        return None;
    }
    let turn_deg = (-a.onward.dot(b.onward)).clamp(-1.0, 1.0).acos().to_degrees();
    // a.at + t·a.onward = b.at + s·b.onward
    let crossing = a.onward.cross(b.onward);
    let (t, s) = (across.cross(b.onward) / crossing, across.cross(a.onward) / crossing);
    let within = -PAST_MM..=MOST_DETOUR * gap;
    if crossing.abs() > 1e-3 && within.contains(&t) && within.contains(&s) {
        let bend = a.at + a.onward * t;
        if turn_deg < CURVE_DEG && (a.is_curved || b.is_curved) {
            return Bridge::new(&[a.at, bend, b.at], Way::Curve);
        }
        if turn_deg >= STRAIGHT_DEG {
            return Bridge::new(&[a.at, bend, b.at], Way::CarriedOn);
        }
    }
    let ahead = |onward: PanelVector, toward: PanelVector| onward.dot(toward) > LEAST_AHEAD * gap;
    let faces = ahead(a.onward, across) && ahead(b.onward, across * -1.0);
    if faces { Bridge::new(&[a.at, b.at], Way::Straight) } else { None }
}

/// What carries an end on to the first other line ahead.
fn to_line(end: &EdgeEnd, ends: &[EdgeEnd], lines: &[&Part], most_mm: f64) -> Option<Bridge> {
    let mut reached: Option<f64> = None;
    let mut tried = HashSet::new();
    for other in ends.iter().filter(|other| other.line != end.line && other.net == end.net) {
        if !tried.insert(other.line) {
            continue;
        }
        for (from, to) in lines[other.line].edges() {
            let along = to - from;
            let crossing = end.onward.cross(along);
            if crossing.abs() < LEAST_CROSSING * along.length() {
                continue;
            }
            let t = (from - end.at).cross(along) / crossing;
            let u = (from - end.at).cross(end.onward) / crossing;
            if (0.0..=1.0).contains(&u) && (PAST_MM..=most_mm).contains(&t) {
                reached = Some(reached.map_or(t, |least| least.min(t)));
            }
        }
    }
    Bridge::new(&[end.at, end.at + end.onward * reached?], Way::CarriedOn)
}

/// Whether a bridge lies where no line is.
fn is_in_gap(bridge: &Bridge, near: &Near<'_>) -> bool {
    let on = |place: &PanelPoint| {
        // Its own ends lie on lines.
        let is_end = [bridge.from, bridge.to].iter().any(|end| (*end - *place).length() < 1.0);
        !is_end && near.within(*place, ON_MM)
    };
    bridge.places().filter(on).count() <= MOST_ON_LINES
}

fn point(p: PanelPoint) -> Point {
    Point::new(p[0], p[1])
}
