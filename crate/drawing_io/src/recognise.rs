//! What each group of shapes is: leads as lines, leads as shapes, panes, bars, or nothing of the window.
//!
//! Names come first. Where they say nothing, geometry decides: leads end on one another, panes fill the window, bars run
//! straight across it and nothing ends on them, and what is painted on the glass ends anywhere.

use centre_lines::CentreLinesFault;

use crate::bars::{are_bars, could_be_bars, cross_the_leads, rectangles_across};
use crate::edge_ring::find_edge_ring;
use crate::error::ImportError;
use crate::layer::{Group, Layer, LeftOut, Look, Paint, Reading};
use crate::left_out::check_left_out;
use crate::meeting::{is_hatching, share_of_meeting_ends};
use crate::part::{Part, bounds};
use crate::region::Region;
use crate::repeated::without_repeated;
use crate::role::{Hint, Role};
use crate::svg::SvgFile;

/// Panes fill at least this share of the box around them; the faces of leads fill less.
const FILLED_SHARE: f64 = 0.55;

/// Widest mean width of leads drawn as shapes, mm. The widest leads made are about 25 mm.
const WIDEST_FACE_MM: f64 = 30.0;

/// Lines of which at least this share of ends meet others are leads.
const MEETING_SHARE: f64 = 0.6;

/// Smallest size of a letter's box, as a share of the drawing's height: smaller filled shapes from definitions are text.
const LETTER_SHARE: f64 = 0.04;

/// Reads every group; roles are as names and geometry say.
///
/// # Errors
/// Filled shapes with far more points or crossings than a window has, if nothing else holds leads or they should.
pub(crate) fn recognise<'a>(
    file: &SvgFile,
    groups: Vec<Group>,
    parts_of: &dyn Fn(usize) -> &'a [Part],
    mm: f64,
) -> Result<Vec<Layer>, ImportError> {
    let mut layers: Vec<Layer> = groups
        .into_iter()
        .map(|group| {
            let mut parts: Vec<Part> =
                group.shapes.iter().flat_map(|&shape| parts_of(shape)).cloned().collect();
            let repeated = without_repeated(&mut parts);
            if group.edge_role == Some(Role::Ignored) {
                leave_out_edge(&mut parts);
            }
            let width_mm = match group.look {
                Look::Line { width, .. } => width.map(|width| width as f64 / 1e6 * mm),
                _ => group
                    .shapes
                    .first()
                    .and_then(|&shape| file.shapes[shape].stroke_width)
                    .map(|width| width * mm),
            };
            Layer {
                group,
                parts,
                repeated,
                reading: Reading::None,
                left_out: None,
                is_edge_ring: false,
                is_around: false,
                width_mm,
            }
        })
        .collect();
    let size = bounds(layers.iter().filter(|layer| !layer.group.hidden).flat_map(|layer| &layer.parts));
    let Some([low, high]) = size else { return Ok(layers) };
    let height = high[1] - low[1];
    // A name that would leave out everything was meant otherwise.
    let left_out = |layer: &Layer| layer.group.hint == Some(Hint::Role(Role::Ignored)) && !layer.group.told;
    let draws =
        |layer: &Layer| !layer.group.hidden && !layer.parts.is_empty() && layer.group.look != Look::Nothing;
    if layers.iter().filter(|layer| draws(layer)).all(left_out) {
        layers.iter_mut().filter(|layer| left_out(layer)).for_each(|layer| layer.group.hint = None);
    }
    for layer in &mut layers {
        layer.reading = reading(file, layer, height).unwrap_or_else(|fault| {
            layer.left_out = Some(LeftOut::Tangled(fault));
            Reading::None
        });
    }
    pool_panes(file, &mut layers, height);
    find_edge_ring(&mut layers);
    read_hatching_alone(&mut layers);
    assign(&mut layers);
    check_left_out(&layers, mm)?;
    Ok(layers)
}

/// Leaves out the outermost closed part.
fn leave_out_edge(parts: &mut Vec<Part>) {
    let largest = (0..parts.len()).max_by(|&a, &b| parts[a].area_mm2().total_cmp(&parts[b].area_mm2()));
    if let Some(k) = largest.filter(|&k| parts[k].closed) {
        parts.remove(k);
    }
}

/// How a group can be read, by its look and the shape of its parts.
fn reading(file: &SvgFile, layer: &mut Layer, height_mm: f64) -> Result<Reading, CentreLinesFault> {
    let Group { hint, look, hidden, .. } = layer.group;
    let named = matches!(hint, Some(Hint::Role(role)) if role != Role::Ignored) || hint == Some(Hint::Panes);
    // What lies under or upon panes is none.
    let beside_panes = layer.group.paint == Paint::Whole || named;
    if hidden || !beside_panes || layer.parts.is_empty() || hint == Some(Hint::Role(Role::Ignored)) {
        return Ok(Reading::None);
    }
    let closed = layer.parts.iter().filter(|part| part.closed).count();
    Ok(match look {
        Look::NoLine => Reading::None,
        Look::Nothing if !named => Reading::None,
        Look::Line { is_dashed: true, .. } if !named => Reading::None,
        Look::Line { .. } if !named && is_hatching(&layer.parts) => {
            layer.left_out = Some(LeftOut::Hatching);
            Reading::None
        }
        Look::Line { .. } | Look::Nothing => {
            if closed == layer.parts.len() && closed > 1 && fills(&layer.parts)? {
                Reading::Panes
            } else {
                Reading::Lines
            }
        }
        // Without a paint, SVG fills with black what its author thinks of as lines.
        Look::Default if named && closed < layer.parts.len() => Reading::Lines,
        Look::Area | Look::Default => {
            if is_text(file, layer, height_mm) {
                return Ok(Reading::None);
            }
            layer.parts.retain(|part| part.closed);
            // Somebody says that these are pieces in the panes beneath them.
            if matches!(layer.group.paint, Paint::Upon(_)) {
                return Ok(Reading::Panes);
            }
            let region = Region::of(&layer.parts)?;
            let (area, perimeter) = (region.area_mm2(), region.perimeter_mm());
            if perimeter <= 0.0 {
                return Ok(Reading::None);
            }
            let mean_width = 2.0 * area / perimeter;
            let box_area =
                bounds(&layer.parts).map_or(0.0, |[low, high]| (high[0] - low[0]) * (high[1] - low[1]));
            let thin = mean_width <= WIDEST_FACE_MM && area < FILLED_SHARE * box_area;
            if thin && perimeter > 12.0 * mean_width {
                Reading::Faces
            } else if layer.parts.len() > 1 && area >= FILLED_SHARE * box_area {
                Reading::Panes
            } else if named && hint != Some(Hint::Panes) {
                Reading::Lines
            } else if hint == Some(Hint::Panes) {
                Reading::Panes
            } else {
                Reading::None
            }
        }
    })
}

/// Whether closed parts lie side by side and fill most of their box.
fn fills(parts: &[Part]) -> Result<bool, CentreLinesFault> {
    let Some([low, high]) = bounds(parts) else { return Ok(false) };
    let box_area = (high[0] - low[0]) * (high[1] - low[1]);
    let sum: f64 = parts.iter().map(Part::area_mm2).sum();
    // Parts that overlap count twice: the sum is then more than the union.
    Ok(sum >= FILLED_SHARE * box_area && sum <= 1.02 * Region::each(parts)?.area_mm2())
}

/// Reads panes that lie in layers by colour, or each in a group of its own: together they fill the window.
fn pool_panes(file: &SvgFile, layers: &mut [Layer], height_mm: f64) {
    let is_pane = |layer: &Layer| {
        let by_hint = matches!(layer.group.hint, None | Some(Hint::Panes)) && !layer.group.told;
        let group = &layer.group;
        let filled = group.look == Look::Area && group.paint == Paint::Whole && !group.hidden;
        by_hint
            && filled
            && !layer.is_tangled()
            && layer.reading != Reading::Faces
            && !is_text(file, layer, height_mm)
    };
    let together: Vec<usize> = (0..layers.len()).filter(|&k| is_pane(&layers[k])).collect();
    let parts: Vec<Part> = together.iter().flat_map(|&k| layers[k].parts.iter().cloned()).collect();
    // Layers whose shapes cross one another without end do not lie side by side.
    if parts.len() > 1 && together.len() > 1 && fills(&parts).unwrap_or(false) {
        for k in together {
            layers[k].reading = Reading::Panes;
        }
    }
}

/// Reads what looks like hatching as lines where no other layer could hold the leads: each lead may be drawn as two lines.
/// Beside a window's edge, these end on it or on one another; painted strokes end anywhere.
fn read_hatching_alone(layers: &mut [Layer]) {
    let could_hold_leads = |layer: &Layer| {
        let is_bars = layer.group.hint == Some(Hint::Role(Role::Bars));
        layer.reading != Reading::None && !layer.is_edge_alone() && !layer.is_edge_ring && !is_bars
    };
    if layers.iter().any(could_hold_leads) {
        return;
    }
    let nothing_else = layers.iter().all(|layer| layer.reading == Reading::None);
    let meets = |k: usize| share_of_meeting_ends(&layers[k], layers, k) >= MEETING_SHARE;
    let leads: Vec<usize> = (0..layers.len())
        .filter(|&k| layers[k].left_out == Some(LeftOut::Hatching) && (nothing_else || meets(k)))
        .collect();
    for k in leads {
        layers[k].reading = Reading::Lines;
    }
}

/// Whether a group is text that was turned into shapes: small filled shapes that the file defines once and repeats.
fn is_text(file: &SvgFile, layer: &Layer, height_mm: f64) -> bool {
    layer.group.shapes.iter().all(|&shape| file.shapes[shape].from_definitions)
        && layer.parts.iter().all(|part| {
            bounds([part]).is_none_or(|[low, high]| (high - low).length() < LETTER_SHARE * height_mm)
        })
}

/// Gives every group its role.
fn assign(layers: &mut [Layer]) {
    let role_of = |layer: &Layer| match layer.group.hint {
        Some(Hint::Role(role)) => Some(role),
        Some(Hint::Panes) | None => None,
    };
    for layer in layers.iter_mut() {
        layer.group.role = if layer.reading == Reading::None {
            Role::Ignored
        } else {
            role_of(layer).unwrap_or(Role::Ignored)
        };
    }
    // What lies upon panes is no window by itself.
    let is_upon = |layer: &Layer| matches!(layer.group.paint, Paint::Upon(_));
    let named = layers.iter().any(|layer| layer.group.role == Role::Cutlines && !is_upon(layer));
    // "Outlines" are often all lines of a drawing: without other leads, the edge is the outermost of them.
    let others = layers.iter().any(|layer| layer.reading != Reading::None && role_of(layer).is_none());
    if !named && !others {
        for layer in layers.iter_mut().filter(|layer| layer.group.role == Role::Outline && !layer.group.told)
        {
            if layer.parts.len() > 1 {
                layer.group.role = Role::Cutlines;
            }
        }
    }
    let unnamed: Vec<usize> = (0..layers.len())
        .filter(|&k| layers[k].reading != Reading::None && role_of(&layers[k]).is_none())
        .collect();
    if !named {
        let main = main_layer(layers, &unnamed);
        if let Some(main) = main {
            layers[main].group.role = Role::Cutlines;
            // Panes, or faces of leads, in several layers are one window's.
            let reading = layers[main].reading;
            for &k in unnamed.iter().filter(|_| reading != Reading::Lines) {
                if layers[k].reading == reading {
                    layers[k].group.role = Role::Cutlines;
                }
            }
        }
    }
    bars_by_shape(layers);
    let has_faces_or_panes =
        layers.iter().any(|layer| layer.group.role == Role::Cutlines && layer.reading != Reading::Lines);
    if has_faces_or_panes {
        return;
    }
    // Further lines belong to the leads if they end on them; whether something is a bar is seen when all leads are known.
    let further: Vec<usize> = unnamed.into_iter().filter(|&k| layers[k].reading == Reading::Lines).collect();
    for bars_too in [false, true] {
        let mut more = true;
        while more {
            more = false;
            for &k in &further {
                if layers[k].group.role == Role::Ignored
                    && (bars_too || !could_be_bars(&layers[k]))
                    && (meets_leads(layers, k) || (bars_too && cross_the_leads(&layers[k].parts, layers)))
                {
                    let is_bars = bars_too && !layers[k].is_edge_ring && are_bars(&layers[k], layers);
                    layers[k].group.role = if is_bars { Role::Bars } else { Role::Cutlines };
                    more = true;
                }
            }
        }
    }
}

/// Whether a group's lines end on leads, or are the window's edge, perhaps with a gap.
fn meets_leads(layers: &[Layer], k: usize) -> bool {
    let layer = &layers[k];
    let ends_meet = || share_of_meeting_ends(layer, layers, k) >= MEETING_SHARE;
    layer.is_edge_ring || (!layer.is_around && ends_meet())
}

/// Takes unnamed groups of long rectangles across the leads as bars.
fn bars_by_shape(layers: &mut [Layer]) {
    for k in 0..layers.len() {
        let Layer { group, parts, .. } = &layers[k];
        let paints = matches!(group.look, Look::Area | Look::Line { is_dashed: false, .. });
        let is_free = paints
            && group.role == Role::Ignored
            && group.hint.is_none()
            && !group.hidden
            && !layers[k].is_tangled();
        if is_free && parts.iter().all(|part| part.closed) && rectangles_across(&layers[k], layers).is_some()
        {
            layers[k].group.role = Role::Bars;
            layers[k].reading = Reading::Lines;
        }
    }
}

/// Of several groups without telling names, the one that the leads are read from.
fn main_layer(layers: &[Layer], unnamed: &[usize]) -> Option<usize> {
    let of = |reading: Reading| unnamed.iter().copied().filter(move |&k| layers[k].reading == reading);
    let length = |k: usize| layers[k].parts.iter().map(Part::length_mm).sum::<f64>();
    let is_edge = |k: usize| layers[k].is_edge_alone();
    let is_edge_or_ring = |k: usize| is_edge(k) || layers[k].is_edge_ring;
    let meets = |k: usize| meets_leads(layers, k);
    let longest = |reading: Reading| {
        // Painted strokes may be longer than the leads, but they end anywhere.
        let some_meets = reading == Reading::Lines && of(reading).any(|k| !is_edge(k) && meets(k));
        of(reading).filter(|&k| !some_meets || meets(k)).max_by(|&a, &b| {
            is_edge_or_ring(b).cmp(&is_edge_or_ring(a)).then(length(a).total_cmp(&length(b)))
        })
    };
    let (lines, faces, panes) = (longest(Reading::Lines), longest(Reading::Faces), longest(Reading::Panes));
    let said = unnamed.iter().copied().find(|&k| layers[k].group.hint == Some(Hint::Panes));
    let lines_meet = lines.is_some_and(meets);
    match (lines, faces, panes.or(said)) {
        // Panes in colour beneath, leads above: the leads' lines say more. But a few lines on panes are painting.
        (Some(lines), _, Some(panes)) => {
            let enough = length(lines) > 0.25 * length(panes);
            Some(if lines_meet && enough { lines } else { faces.unwrap_or(panes) })
        }
        (Some(lines), Some(faces), None) => {
            Some(if length(lines) > 0.5 * length(faces) { lines } else { faces })
        }
        (lines, faces, panes) => lines.or(faces).or(panes),
    }
}
