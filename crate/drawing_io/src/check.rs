//! What should be looked at in a drawing: what was mended, what is doubtful, what was not understood.

use kurbo::Affine;
use panel::{Drawing, Panel, PanelNote};
use plane::PanelPoint;

use crate::bridge::Way;
use crate::edge::WIDEST_MM;
use crate::fault::{DrawingFault, FaultKind, length};
use crate::layer::{Layer, Reading};
use crate::lead::Leads;
use crate::lines::{Lines, LooseEnd, OVERSHOOT_MM};
use crate::lost::{ShapePanes, lost};
use crate::near::Near;
use crate::role::Role;
use crate::svg::SvgFile;

/// Smaller gaps are those of rounded numbers, mm.
const NOTED_MM: f64 = 0.01;

/// Panes drawn side by side on a coarse grid miss one another by up to this, mm.
const COARSE_GRID_MM: f64 = 0.05;

/// A piece whose widest place is narrower than this is no piece, mm.
const SLIVER_MM: f64 = 3.0;

/// Pairs of lines that run together and are compared: a drawing with more has worse faults.
const MOST_COMPARED: usize = 500;

/// The faults of a drawing and its panel. `shares_edges`: its lines are the edges of panes, so that two of them run
/// together without being a fault.
pub(crate) fn faults_of(
    drawing: &Drawing,
    panel: &Panel,
    join_mm: f64,
    shares_edges: bool,
) -> Vec<DrawingFault> {
    let lines = Lines::of(drawing);
    found(&lines, panel, join_mm, shares_edges).into_iter().map(|(fault, _)| fault).collect()
}

/// The faults of lines and their panel, each loose end with what is known of it.
pub(crate) fn found(
    lines: &Lines,
    panel: &Panel,
    join_mm: f64,
    shares_edges: bool,
) -> Vec<(DrawingFault, Option<LooseEnd>)> {
    let edge = Near::new(lines.outline.iter());
    let all = Near::new(lines.outline.iter().chain(lines.cutlines.iter().flatten()));
    let least = if shares_edges { COARSE_GRID_MM } else { NOTED_MM };
    let mut compared = 0;
    let mut faults = Vec::new();
    let fault = |kind, at_mm, words: String| DrawingFault { kind, at_mm, words };
    for end in &panel.open_ends {
        let kind = lines.kind_of_end(end, &all);
        let gap =
            end.gap_mm.map_or_else(String::new, |gap| format!(" {} mm from the next line", length(gap)));
        let words = match kind {
            FaultKind::NearMiss => format!("A line stops short{gap}."),
            FaultKind::Overshoot => format!("A line ends past the line that it meets,{gap}."),
            _ if gap.is_empty() => "A line ends in the middle of a piece.".to_owned(),
            _ => format!("A line ends in the middle of a piece,{gap}."),
        };
        faults.push((fault(kind, end.at, words), Some(end.into())));
    }
    let mut add = |kind, at_mm, words: String| faults.push((fault(kind, at_mm, words), None));
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
    for (end, beyond) in lines.ends_outside(panel, join_mm) {
        let (kind, what) = if beyond <= OVERSHOOT_MM {
            (FaultKind::Overshoot, "ends")
        } else {
            (FaultKind::Outside, "runs")
        };
        let words = format!("A line {what} {} mm outside the window; cut off there.", length(beyond));
        faults.push((fault(kind, end.at, words), Some(end)));
    }
    let mut add = |kind, at_mm, words: String| faults.push((fault(kind, at_mm, words), None));
    for piece in &panel.pieces {
        let widest = 2.0 * piece.outline.distance_to_edge_mm(piece.interior_point);
        if widest < SLIVER_MM {
            let words = format!("A piece is only {} mm wide: a sliver between two lines.", length(widest));
            add(FaultKind::Sliver, piece.interior_point, words);
        }
    }
    faults
}

/// The gaps in the window's edge, closed or not. `place`: from there to the drawing.
pub(crate) fn mended(leads: &Leads, place: Affine) -> impl Iterator<Item = DrawingFault> {
    let closed = leads.gaps.iter().map(move |gap| {
        let mm = length(gap.mm);
        let (kind, words) = if gap.mm <= WIDEST_MM {
            (FaultKind::Joined, format!("The window's edge has a gap of {mm} mm; closed."))
        } else {
            let how = match gap.way {
                Way::Straight => "with a straight line",
                Way::CarriedOn => "by carrying its lines on until they meet",
                Way::Curve => "by carrying its curve on",
            };
            let words = format!("The window's edge was open by {mm} mm here; it was closed {how}.");
            (FaultKind::OpenEnd, words)
        };
        DrawingFault { kind, at_mm: moved(gap.at, place), words }
    });
    let open = leads.open.iter().map(move |open| DrawingFault {
        kind: FaultKind::OpenEnd,
        at_mm: moved(open.at, place),
        words: format!(
            "A line along the window's edge runs on and ends here, {} mm outside what the lines enclose; that part was \
             left out. If the window reaches that far, close its edge in the drawing.",
            length(open.beyond_mm)
        ),
    });
    closed.chain(open)
}

/// The panes of leads drawn as shapes that became no piece of their own. `place`: from there to the drawing.
pub(crate) fn lost_panes(leads: &Leads, place: Affine, panel: &Panel) -> Vec<DrawingFault> {
    let placed = |panes: &ShapePanes| ShapePanes {
        points: panes.points.iter().map(|&at| moved(at, place)).collect(),
        are_all: panes.are_all,
    };
    leads.panes.iter().flat_map(|panes| lost(&placed(panes), panel)).collect()
}

/// Closed shapes that were drawn twice. `place`: from there to the drawing.
pub(crate) fn repeated(layers: &[Layer], place: Affine) -> impl Iterator<Item = DrawingFault> {
    let used = layers.iter().filter(|layer| layer.group.role != Role::Ignored);
    used.flat_map(|layer| &layer.repeated).map(move |&at| DrawingFault {
        kind: FaultKind::Duplicate,
        at_mm: moved(at, place),
        words: "A closed shape was drawn twice; taken once.".to_owned(),
    })
}

/// A point of the layers in the drawing. `place`: from the layers to the drawing.
pub(crate) fn moved(point: PanelPoint, place: Affine) -> PanelPoint {
    let p = place * kurbo::Point::new(point[0], point[1]);
    PanelPoint::new(p.x, p.y)
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
