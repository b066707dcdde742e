//! What should be looked at in a drawing: what was mended, what is doubtful, what was not understood.

use kurbo::{Affine, ParamCurveNearest};
use panel::{Drawing, Line, Panel, PanelNote, read_path};
use plane::PanelPoint;
use schemars::JsonSchema;
use serde::Serialize;

use crate::near::{Near, runs_along};
use crate::part::{Part, middle, parts};
use crate::recognise::{Layer, Reading};
use crate::role::Role;
use crate::svg::SvgFile;

/// An end this near to another line was meant to meet it, mm: half the face of a wide lead hides the gap.
const NEAR_MM: f64 = 6.0;

/// A line that passes another by no more than this was meant to end on it, mm.
const OVERSHOOT_MM: f64 = 15.0;

/// Smaller gaps are those of rounded numbers, mm.
const NOTED_MM: f64 = 0.01;

/// Panes drawn side by side on a coarse grid miss one another by up to this, mm.
const COARSE_GRID_MM: f64 = 0.05;

/// A piece whose widest place is narrower than this is no piece, mm.
const SLIVER_MM: f64 = 3.0;

/// Two lines of which this share runs together are one line drawn twice.
const DUPLICATE_SHARE: f64 = 0.95;

/// Pairs of lines that run together and are compared: a drawing with more has worse faults.
const MOST_COMPARED: usize = 500;

/// What kind of thing should be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// A near miss within the tolerance was joined.
    Joined,
    /// A line ends close to another without meeting it.
    NearMiss,
    /// A line ends in the middle of a piece.
    OpenEnd,
    /// A line ends just past the line that it meets.
    Overshoot,
    /// A line was drawn twice.
    Duplicate,
    /// A piece too narrow to be glass.
    Sliver,
    /// A line or a part of it lies outside the window.
    Outside,
    /// Something could not be read.
    NotUnderstood,
}

/// Something that should be looked at.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawingFault {
    /// What it is.
    pub kind: FaultKind,
    /// Where, mm from the lower left of the sight size: x right, y up.
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PanelPoint,
    /// In words.
    pub words: String,
}

/// The faults of a drawing and its panel. `shares_edges`: its lines are the edges of panes, so that two of them run
/// together without being a fault.
pub(crate) fn faults_of(
    drawing: &Drawing,
    panel: &Panel,
    join_mm: f64,
    shares_edges: bool,
) -> Vec<DrawingFault> {
    let lines = Lines::of(drawing);
    let edge = Near::new(lines.outline.iter());
    let all = Near::new(lines.outline.iter().chain(lines.cutlines.iter().flatten()));
    let least = if shares_edges { COARSE_GRID_MM } else { NOTED_MM };
    let mut compared = 0;
    let mut faults = Vec::new();
    let mut add = |kind, at_mm, words: String| faults.push(DrawingFault { kind, at_mm, words });
    for end in &panel.open_ends {
        let kind = lines.kind_of_end(end.line, end.at, end.nearest);
        let gap =
            end.gap_mm.map_or_else(String::new, |gap| format!(" {} mm from the next line", length(gap)));
        add(
            kind,
            end.at,
            match kind {
                FaultKind::NearMiss => format!("A line stops short{gap}."),
                FaultKind::Overshoot => format!("A line ends past the line that it meets,{gap}."),
                _ if gap.is_empty() => "A line ends in the middle of a piece.".to_owned(),
                _ => format!("A line ends in the middle of a piece,{gap}."),
            },
        );
    }
    for note in &panel.notes {
        match note {
            PanelNote::Joined { at, line, gap_mm }
                if *gap_mm >= least && lines.true_gap_mm(*line, *at, *gap_mm, &all) >= NOTED_MM =>
            {
                add(
                    FaultKind::Joined,
                    *at,
                    format!("A line missed another by {} mm; joined.", length(*gap_mm)),
                );
            }
            // Whatever runs together otherwise shares an edge, as shapes side by side do.
            PanelNote::RunsTogether { line, other, at, gap_mm }
                if !shares_edges && compared < MOST_COMPARED =>
            {
                compared += 1;
                if lines.is_duplicate(*line, *other, join_mm.max(*gap_mm)) {
                    add(FaultKind::Duplicate, *at, "A line was drawn twice; taken once.".to_owned());
                }
            }
            PanelNote::WhollyOutside { at, line } if !lines.runs_along(*line, &edge) => {
                add(FaultKind::Outside, *at, "A line lies outside the window; left out.".to_owned());
            }
            PanelNote::NoLength { at, .. } if !shares_edges => {
                add(FaultKind::NotUnderstood, *at, "A line has no length; left out.".to_owned());
            }
            _ => {}
        }
    }
    for (at, beyond) in lines.ends_outside(panel, join_mm) {
        let (kind, what) = if beyond <= OVERSHOOT_MM {
            (FaultKind::Overshoot, "ends")
        } else {
            (FaultKind::Outside, "runs")
        };
        add(kind, at, format!("A line {what} {} mm outside the window; cut off there.", length(beyond)));
    }
    for piece in &panel.pieces {
        let widest = 2.0 * piece.outline.distance_to_edge_mm(piece.interior_point);
        if widest < SLIVER_MM {
            let words = format!("A piece is only {} mm wide: a sliver between two lines.", length(widest));
            add(FaultKind::Sliver, piece.interior_point, words);
        }
    }
    faults
}

/// What could not be read in the layers that were used.
pub(crate) fn unread(file: &SvgFile, layers: &[Layer], map: Affine) -> Vec<DrawingFault> {
    let ignored = |names: &crate::svg::Names| {
        let name = crate::layer::name_of(names);
        let of_name: Vec<&Layer> = layers.iter().filter(|layer| layer.group.name == name).collect();
        !of_name.is_empty()
            && of_name.iter().all(|layer| layer.group.role == Role::Ignored && layer.reading == Reading::None)
    };
    file.unread
        .iter()
        .filter(|unread| !ignored(&unread.names))
        .map(|unread| {
            let at = map * unread.at;
            DrawingFault {
                kind: FaultKind::NotUnderstood,
                at_mm: PanelPoint::new(at.x, at.y),
                words: format!("{}: {}", unread.place, unread.words),
            }
        })
        .collect()
}

/// A length in mm, to two or three figures.
fn length(mm: f64) -> String {
    let digits = if mm < 0.1 {
        3
    } else if mm < 10.0 {
        2
    } else {
        1
    };
    let text = format!("{mm:.digits$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The lines of a drawing as polylines.
struct Lines {
    outline: Vec<Part>,
    cutlines: Vec<Vec<Part>>,
}

impl Lines {
    fn of(drawing: &Drawing) -> Self {
        let read = |data: &str| read_path(data).map_or_else(|_| Vec::new(), |path| parts(&path, 0));
        Self {
            outline: read(&drawing.outline.path),
            cutlines: drawing.cutlines.iter().map(|line| read(&line.path)).collect(),
        }
    }

    fn parts(&self, line: Line) -> &[Part] {
        match line {
            Line::Outline => &self.outline,
            Line::Cutline(index) => self.cutlines.get(index).map_or(&[], Vec::as_slice),
            Line::Bar(_) => &[],
        }
    }

    /// What an end in the middle of a piece is: short of a line ahead, or past one behind.
    fn kind_of_end(&self, line: Line, at: PanelPoint, nearest: Option<PanelPoint>) -> FaultKind {
        let Some(nearest) = nearest else { return FaultKind::OpenEnd };
        let gap = (nearest - at).length();
        let own = self.parts(line).iter();
        let inward = own.filter_map(|part| direction_at_end(part, at)).next();
        // Behind, if the line itself passes close to that point.
        let passes = self.parts(line).iter().any(|part| part.distance_mm(nearest) < 0.25 * gap);
        let behind = passes && inward.is_none_or(|inward| inward.dot(nearest - at) > 0.0);
        match behind {
            true if gap <= OVERSHOOT_MM => FaultKind::Overshoot,
            false if gap <= NEAR_MM => FaultKind::NearMiss,
            _ => FaultKind::OpenEnd,
        }
    }

    /// Whether two lines are one line drawn twice.
    fn is_duplicate(&self, line: Line, other: Line, within_mm: f64) -> bool {
        let share = |of: &[Part], on: &[Part]| {
            let near = Near::new(on.iter());
            let edges: Vec<_> = of.iter().flat_map(Part::edges).collect();
            let whole: f64 = edges.iter().map(|(a, b)| (*b - *a).length()).sum();
            let along = edges.iter().filter(|(a, b)| {
                [*a, *b, middle(*a, *b)].into_iter().all(|p| near.within(p, within_mm + 0.05))
            });
            along.map(|(a, b)| (*b - *a).length()).sum::<f64>() / whole.max(1e-9)
        };
        let (a, b) = (self.parts(line), self.parts(other));
        let open = |parts: &[Part]| parts.iter().all(|part| !part.closed);
        open(a) && open(b) && share(a, b).max(share(b, a)) >= DUPLICATE_SHARE
    }

    /// The gap between an end and the lines themselves: the panel measures it to their chords.
    fn true_gap_mm(&self, line: Line, at: PanelPoint, gap_mm: f64, all: &Near<'_>) -> f64 {
        let own = self.parts(line);
        let others =
            all.parts_within(at, gap_mm + 0.1).filter(|part| !own.iter().any(|own| std::ptr::eq(own, *part)));
        let point = kurbo::Point::new(at[0], at[1]);
        let segments = others.flat_map(|part| part.path.segments().collect::<Vec<_>>());
        let least = segments.map(|segment| segment.nearest(point, 1e-4).distance_sq).min_by(f64::total_cmp);
        least.map_or(gap_mm, f64::sqrt)
    }

    fn runs_along(&self, line: Line, near: &Near<'_>) -> bool {
        let own = self.parts(line);
        !own.is_empty() && own.iter().all(|part| runs_along(part, near))
    }

    /// Ends of cutlines outside the opening, with their distance from it, mm.
    fn ends_outside(&self, panel: &Panel, join_mm: f64) -> Vec<(PanelPoint, f64)> {
        let mut found = Vec::new();
        for part in self.cutlines.iter().flatten().filter(|part| !part.closed) {
            let inside = part.points.iter().copied().chain(part.middles()).any(|p| panel.opening.contains(p));
            for end in [part.points[0], part.points[part.points.len() - 1]] {
                let beyond = panel.opening.distance_to_edge_mm(end);
                if inside && beyond > join_mm && !panel.opening.contains(end) {
                    found.push((end, beyond));
                }
            }
        }
        found
    }
}

/// The direction in which a part runs on from its end at this point.
fn direction_at_end(part: &Part, at: PanelPoint) -> Option<plane::PanelVector> {
    let last = part.points.len() - 1;
    let from = |end: usize, next: usize| {
        let (end, next) = (part.points[end], part.points[next]);
        ((end - at).length() < 1.0).then(|| next - end)
    };
    from(0, 1).or_else(|| from(last, last - 1))
}
