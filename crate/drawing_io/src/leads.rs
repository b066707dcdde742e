//! The window's edge and the hearts of its leads, from the layers that hold them.

use kurbo::Affine;
use panel::{Cutline, Drawing, Line, Outline, PanelOptions, panel_from_drawing, write_path};

use crate::edge::{
    Edge, Seen, check_reaches, edge_within_frame, enclosing_edge, holds_more, mended_edge, nearly_closed_edge,
};
use crate::enclosure::edge_around;
use crate::error::ImportError;
use crate::layer::{Layer, Reading};
use crate::lead::{LeadPath, Leads};
use crate::lead_faces::{along_faces, between_panes};
use crate::near::{Near, runs_within};
use crate::outline::{edge_among, is_frame};
use crate::part::{Part, middle, ring_part, simplified};
use crate::region::Region;
use crate::role::Role;
use crate::svg::SvgFile;

/// Widest gap between panes that is a fault of the drawing, not a lead, mm.
const CRACK_MM: f64 = 1.0;

/// Widest gap between panes that is a lead, mm: the broadest cames (common practice, no source).
const WIDEST_GAP_MM: f64 = 20.0;

/// Finds the window's edge and its leads. `map`: from the file's page to mm; `join_mm`: near misses up to this are
/// joined; `width_mm`: the real width, if it was given.
pub(crate) fn leads_at(
    layers: &[Layer],
    file: &SvgFile,
    map: Affine,
    join_mm: f64,
    width_mm: Option<f64>,
) -> Result<Leads, ImportError> {
    let page = file.size.page.map(|page| map.transform_rect_bbox(page));
    let of = |role: Role| layers.iter().enumerate().filter(move |(_, layer)| layer.group.role == role);
    let lines: Vec<&Part> = of(Role::Cutlines)
        .filter(|(_, layer)| layer.reading == Reading::Lines)
        .flat_map(|(_, layer)| &layer.parts)
        .collect();
    let shapes = shapes_by_reading(layers);

    // The edge: from its own layer, among the lines, around panes, or around what the lines enclose.
    let named: Vec<(usize, &Part)> =
        of(Role::Outline).flat_map(|(k, layer)| layer.parts.iter().map(move |part| (k, part))).collect();
    let mut found = own_edge(&named, &lines, page, join_mm);
    if found.is_none() {
        let candidates: Vec<(usize, &Part)> = layers
            .iter()
            .enumerate()
            .filter(|(_, layer)| layer.may_hold_edge())
            .flat_map(|(k, layer)| layer.parts.iter().map(move |part| (k, part)))
            .collect();
        let parts: Vec<&Part> = candidates.iter().map(|(_, part)| *part).collect();
        let all: Vec<&Part> =
            lines.iter().copied().chain(shapes.iter().flat_map(|shapes| &shapes.parts)).collect();
        found = edge_among(&parts, &all, page)
            .map(|k| (k, Edge::whole(parts[k].clone())))
            .or_else(|| nearly_closed_edge(&parts, &all, page))
            .map(|(k, edge)| (Some(candidates[k].0), edge));
        if let Some((_, frame)) = &found
            && page.is_some_and(|page| is_frame(&frame.part, page))
            && let Some(edge) = edge_within_frame(&lines, &frame.part, join_mm)
        {
            found = Some((layer_of(layers, &edge.part), edge));
        }
    }
    let width_of = |layer: Option<usize>| layer.and_then(|k| layers[k].width_mm);
    if let Some((layer, Edge { part: outline, gaps, open, within_mm })) = found {
        let outline_alone =
            layer.is_some_and(|k| layers[k].parts.len() == 1 || layers[k].group.role == Role::Outline);
        let mut leads = Leads {
            cutlines: Vec::new(),
            panes: Vec::new(),
            outline,
            outline_face_mm: width_of(layer),
            outline_layer: layer,
            outline_alone,
            gaps,
            open,
            shares_edges: shapes.iter().any(|shapes| shapes.reading == Reading::Panes),
        };
        for layer in &shapes {
            let of_shapes = leads_of_shapes(layer, Some(&leads.outline))?;
            leads.cutlines.extend(of_shapes.cutlines);
            leads.panes.extend(of_shapes.panes);
            leads.outline = of_shapes.outline;
            leads.outline_face_mm = of_shapes.outline_face_mm.or(leads.outline_face_mm);
        }
        leads.add_lines(line_paths(layers, &leads.outline, within_mm));
        return Ok(leads);
    }
    if let Some(layer) = shapes.first() {
        let mut leads = leads_of_shapes(layer, None)?;
        for layer in &shapes[1..] {
            let of_shapes = leads_of_shapes(layer, Some(&leads.outline))?;
            leads.cutlines.extend(of_shapes.cutlines);
            leads.panes.extend(of_shapes.panes);
        }
        leads.add_lines(line_paths(layers, &leads.outline, 0.0));
        return Ok(leads);
    }
    if lines.is_empty() {
        return Err(ImportError::NoOutline {
            why: "no layer holds lines, panes or leads that could be a window's",
        });
    }
    let edge = enclosing_edge(&lines, join_mm);
    let named: Vec<&Part> = named.iter().map(|(_, part)| *part).collect();
    // The file's y runs down: unmirrored, the map turns it over.
    let seen = Seen { is_mirrored: map.determinant() > 0.0, width_mm };
    check_reaches(&named, edge.as_ref().map(|edge| &edge.part), seen)?;
    let why = "the lines do not enclose anything; close the window's edge, or name its layer outline";
    let Edge { part: outline, gaps, open, within_mm } = edge.ok_or(ImportError::NoOutline { why })?;
    // The layer, if the edge is one line.
    let layer = layer_of(layers, &outline);
    Ok(Leads {
        cutlines: line_paths(layers, &outline, within_mm),
        panes: Vec::new(),
        outline,
        gaps,
        open,
        outline_face_mm: width_of(layer),
        outline_layer: layer,
        outline_alone: layer.is_some_and(|k| layers[k].parts.len() == 1),
        shares_edges: false,
    })
}

/// The layer that a part was drawn in; `None` for one that was made of several.
fn layer_of(layers: &[Layer], part: &Part) -> Option<usize> {
    layers.iter().position(|layer| layer.group.shapes.contains(&part.shape))
}

/// The edge from layers that are named for it.
fn own_edge(
    named: &[(usize, &Part)],
    lines: &[&Part],
    page: Option<kurbo::Rect>,
    join_mm: f64,
) -> Option<(Option<usize>, Edge)> {
    let parts: Vec<&Part> = named.iter().map(|(_, part)| *part).collect();
    let all: Vec<&Part> = lines.iter().copied().chain(parts.iter().copied()).collect();
    let largest = || {
        (0..parts.len())
            .filter(|&k| parts[k].closed)
            .max_by(|&a, &b| parts[a].area_mm2().total_cmp(&parts[b].area_mm2()))
    };
    if let Some(k) = edge_among(&parts, &all, page) {
        return Some((Some(named[k].0), Edge::whole(parts[k].clone())));
    }
    if let Some(k) = largest() {
        // A mark beside an edge with a gap is closed, too.
        let is_edge = |edge: &Edge| {
            edge.part.area_mm2() > parts[k].area_mm2() && holds_more(&edge.part, parts[k], &all)
        };
        let edge = mended_edge(&parts, join_mm).filter(is_edge);
        return Some((Some(named[k].0), edge.unwrap_or_else(|| Edge::whole(parts[k].clone()))));
    }
    if let Some((k, edge)) = nearly_closed_edge(&parts, &all, page) {
        return Some((Some(named[k].0), edge));
    }
    let edge = enclosing_edge(&parts, join_mm)?;
    Some((named.first().map(|(k, _)| *k), edge))
}

/// The leads drawn as lines, and those around pieces within panes, without the edge and what runs along it within a distance (mm).
fn line_paths(layers: &[Layer], outline: &Part, within_mm: f64) -> Vec<LeadPath> {
    let near = Near::new(std::iter::once(outline));
    let is_edge = |part: &Part| {
        (part.shape == outline.shape && part.points == outline.points) || runs_within(part, &near, within_mm)
    };
    layers
        .iter()
        .filter(|layer| layer.group.role == Role::Cutlines)
        .filter(|layer| layer.reading == Reading::Lines || layer.is_within_panes())
        .flat_map(|layer| layer.parts.iter().map(|part| (part, layer.width_mm)))
        .filter(|(part, _)| !is_edge(part))
        .map(|(part, face_mm)| LeadPath { path: part.path.clone(), face_mm })
        .collect()
}

/// Shapes that are panes, or the faces of leads, of all layers together.
struct Shapes {
    reading: Reading,
    parts: Vec<Part>,
    width_mm: Option<f64>,
}

/// The shapes of all layers that leads are read from, panes and faces apart.
fn shapes_by_reading(layers: &[Layer]) -> Vec<Shapes> {
    let of = |reading: Reading| {
        let layers: Vec<&Layer> = layers
            .iter()
            .filter(|layer| layer.group.role == Role::Cutlines && layer.reading == reading)
            .filter(|layer| !layer.is_within_panes())
            .collect();
        let parts: Vec<Part> = layers.iter().flat_map(|layer| layer.parts.iter().cloned()).collect();
        let width_mm = layers.first().and_then(|layer| layer.width_mm);
        (!parts.is_empty()).then_some(Shapes { reading, parts, width_mm })
    };
    [Reading::Faces, Reading::Panes].into_iter().filter_map(of).collect()
}

/// The leads of shapes that are panes or the faces of leads.
fn leads_of_shapes(layer: &Shapes, outline: Option<&Part>) -> Result<Leads, ImportError> {
    match layer.reading {
        Reading::Panes => {
            let gap = typical_gap_mm(&layer.parts);
            if gap > CRACK_MM {
                between_panes(&layer.parts, outline, WIDEST_GAP_MM)
            } else {
                shared_edges(layer, outline)
            }
        }
        _ => along_faces(&layer.parts, outline),
    }
}

/// The gap between panes that lie side by side, mm: the median over the length of their edges of the distance to the next
/// pane.
fn typical_gap_mm(panes: &[Part]) -> f64 {
    let near = Near::new(panes.iter());
    let edges = panes.iter().flat_map(|pane| pane.edges().map(move |edge| (edge, pane)));
    let mut gaps: Vec<(f64, f64)> = edges
        .filter_map(|((a, b), pane)| {
            let gap = near.distance_to_others(middle(a, b), WIDEST_GAP_MM, pane)?;
            Some((gap, (b - a).length()))
        })
        .collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = gaps.iter().map(|(_, length)| length).sum::<f64>() / 2.0;
    let mut reached = 0.0;
    let median = gaps.iter().find(|(_, length)| {
        reached += length;
        reached >= half
    });
    median.map_or(0.0, |(gap, _)| *gap)
}

/// The edges of panes that touch, each once.
fn shared_edges(layer: &Shapes, outline: Option<&Part>) -> Result<Leads, ImportError> {
    let snap_mm = PanelOptions::default().snap_mm;
    let ring = match outline {
        Some(outline) => outline.points.clone(),
        None => {
            let parts: Vec<&Part> = layer.parts.iter().collect();
            let around = edge_around(&parts, snap_mm);
            let why = "the panes do not touch one another";
            around
                .or_else(|| Region::each(&layer.parts).ok()?.largest_ring().cloned())
                .ok_or(ImportError::NoOutline { why })?
        }
    };
    let outline_part = match outline {
        Some(outline) => outline.clone(),
        None => ring_part(&ring).ok_or(ImportError::NoOutline { why: "the panes enclose nothing" })?,
    };
    let [low, _] = plane::bounds(&ring).unwrap_or_default();
    let shift = Affine::translate((-low[0], -low[1]));
    let drawing = Drawing {
        outline: Outline { path: write_path(&(shift * outline_part.path.clone())), face_mm: 1.0 },
        cutlines: layer
            .parts
            .iter()
            .map(|part| Cutline { path: write_path(&(shift * part.path.clone())), face_mm: 1.0 })
            .collect(),
        bars: Vec::new(),
    };
    let panel = panel_from_drawing(&drawing, &PanelOptions { snap_mm, ..PanelOptions::default() })?;
    let cutlines = panel
        .leads
        .iter()
        .filter(|lead| lead.line != Line::Outline && lead.length_mm > snap_mm / 2.0)
        .map(|lead| LeadPath { path: shift.inverse() * simplified(&lead.points), face_mm: layer.width_mm })
        .collect();
    Ok(Leads {
        outline: outline_part,
        outline_face_mm: layer.width_mm,
        outline_layer: None,
        outline_alone: false,
        gaps: Vec::new(),
        open: None,
        cutlines,
        panes: Vec::new(),
        shares_edges: true,
    })
}
