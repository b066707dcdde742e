//! One piece of glass, and the open ends in it, from a face of the graph.

use crate::graph::{Graph, twin};
use crate::grid::SegmentGrid;
use crate::inset::{Inset, WideRing};
use crate::lattice::{Point, STEPS_PER_MM, nearest_on_segment};
use crate::options::PanelOptions;
use crate::panel::{OpenEnd, Piece};
use crate::pole::pole_of_inaccessibility;
use crate::polygon::Polygon;
use crate::stroke::LineInfo;
use plane::{PanelPoint, bounds};

/// Makes pieces from the faces of a graph.
pub(crate) struct PieceMaker<'a> {
    graph: &'a Graph,
    lines: &'a [LineInfo],
    /// Half the face of each line, steps.
    half_faces: Vec<f64>,
    /// Distance of the cut from the hearts' centre lines, steps.
    cut_width: f64,
    inset: Inset,
}

impl<'a> PieceMaker<'a> {
    pub(crate) fn new(graph: &'a Graph, lines: &'a [LineInfo], options: &PanelOptions) -> Self {
        PieceMaker {
            graph,
            lines,
            half_faces: lines.iter().map(|line| line.face_mm / 2.0 * STEPS_PER_MM).collect(),
            cut_width: (options.half_heart_mm + options.cut_clearance_mm) * STEPS_PER_MM,
            inset: Inset::new(),
        }
    }

    /// The piece of a face, without its neighbours. `lead`: the lead of an edge.
    pub(crate) fn piece(&mut self, face: usize, lead: impl Fn(usize) -> usize) -> Piece {
        let graph = self.graph;
        let boundaries: Vec<Vec<usize>> =
            graph.faces[face].boundaries.iter().map(|&start| graph.boundary(start).collect()).collect();
        let clean: Vec<Vec<usize>> =
            boundaries.iter().map(|ring| without_spurs(ring)).filter(|ring| ring.len() > 2).collect();
        let points = |ring: &[usize]| ring.iter().map(|&h| graph.point(h)).collect::<Vec<Point>>();
        let wide = |ring: &Vec<usize>, width: &dyn Fn(usize) -> f64| WideRing {
            points: points(ring),
            widths: ring.iter().map(|&h| width(h)).collect(),
        };
        let light_rings: Vec<WideRing> =
            boundaries.iter().map(|ring| wide(ring, &|h| self.half_faces[graph.line(h)])).collect();
        let cut_rings: Vec<WideRing> = clean.iter().map(|ring| wide(ring, &|_| self.cut_width)).collect();
        let light = self.inset.of(&light_rings);
        let cut = self.inset.of(&cut_rings);

        let mut rings = clean.iter().map(|ring| points(ring).iter().map(|p| p.mm()).collect::<Vec<_>>());
        let outline = Polygon { outer: rings.next().unwrap_or_default(), holes: rings.collect() };
        let interior_point = deepest(&light)
            .or_else(|| deepest(&cut))
            .or_else(|| deepest(std::slice::from_ref(&outline)))
            .or_else(|| outline.outer.first().copied())
            .unwrap_or_default();
        Piece {
            edge_leads: clean.iter().map(|ring| ring.iter().map(|&h| lead(h / 2)).collect()).collect(),
            area_mm2: outline.area_mm2(),
            light_area_mm2: total(&light, Polygon::area_mm2),
            cut_area_mm2: total(&cut, Polygon::area_mm2),
            cut_perimeter_mm: total(&cut, Polygon::perimeter_mm),
            neighbours: Vec::new(),
            interior_point,
            bounds: bounds(&outline.outer).unwrap_or_default(),
            outline,
            light,
            cut,
        }
    }

    /// The ends of cutlines that meet nothing within a face, each with the nearest other line.
    ///
    /// The nearest line borders the face, since no other line lies between the two. `piece`: the index of the face's
    /// piece.
    pub(crate) fn open_ends(&self, face: usize, piece: usize, found: &mut Vec<OpenEnd>) {
        let graph = self.graph;
        let around = || graph.faces[face].boundaries.iter().flat_map(|&start| graph.boundary(start));
        let ends: Vec<usize> = around().filter(|&h| graph.out_of(graph.origin[h]).len() == 1).collect();
        if ends.is_empty() {
            return;
        }
        let mut edges: Vec<usize> = around().map(|h| h / 2).collect();
        sorting::values(&mut edges);
        edges.dedup();
        let segments: Vec<(Point, Point)> =
            edges.iter().map(|&e| (graph.segments[e].a, graph.segments[e].b)).collect();
        let grid = SegmentGrid::new(&segments);
        for h in ends {
            let own = free_stretch(graph, graph.origin[h]);
            let at = graph.point(h);
            let is_other = |i: usize| own.binary_search(&edges[i]).is_err();
            let nearest = nearest_other(&grid, &segments, at, is_other);
            found.push(OpenEnd {
                line: self.lines[graph.line(h)].line,
                at: at.mm(),
                gap_mm: nearest.map(|(distance, _)| distance / STEPS_PER_MM),
                nearest: nearest.map(|(_, p)| p.mm()),
                piece,
            });
        }
    }
}

/// The deepest of the parts' poles of inaccessibility; the first of several equal ones.
fn deepest(parts: &[Polygon]) -> Option<PanelPoint> {
    parts
        .iter()
        .filter_map(pole_of_inaccessibility)
        .fold(None, |best: Option<(PanelPoint, f64)>, pole| match best {
            Some(best) if best.1 >= pole.1 => Some(best),
            _ => Some(pole),
        })
        .map(|(point, _)| point)
}

fn total(parts: &[Polygon], measure: fn(&Polygon) -> f64) -> f64 {
    parts.iter().map(measure).fold(0.0, |sum, part| sum + part)
}

/// A boundary without its spurs: the edges along open leads, which it runs out and straight back.
fn without_spurs(ring: &[usize]) -> Vec<usize> {
    let mut clean: Vec<usize> = Vec::with_capacity(ring.len());
    for &h in ring {
        if clean.last() == Some(&twin(h)) {
            clean.pop();
        } else {
            clean.push(h);
        }
    }
    let mut first = 0;
    while first + 1 < clean.len() && clean[first] == twin(clean[clean.len() - 1]) {
        clean.pop();
        first += 1;
    }
    clean.drain(..first.min(clean.len()));
    clean
}

/// Edges from an open end to the first joint, ascending.
fn free_stretch(graph: &Graph, end: usize) -> Vec<usize> {
    let mut edges = Vec::new();
    let mut at = end;
    loop {
        let before = edges.last().copied();
        let Some(h) = graph.out_of(at).find(|h| before != Some(h / 2)) else { break };
        edges.push(h / 2);
        at = graph.target(h);
        if graph.out_of(at).len() != 2 {
            break;
        }
    }
    sorting::values(&mut edges);
    edges
}

/// Nearest point on any segment that `is_other` accepts, and its distance. Searches in circles of doubling radius;
/// of equally near points, the first on the lattice.
fn nearest_other(
    grid: &SegmentGrid,
    segments: &[(Point, Point)],
    at: Point,
    is_other: impl Fn(usize) -> bool,
) -> Option<(f64, Point)> {
    let mut radius = grid.cell();
    loop {
        let mut best: Option<(f64, Point)> = None;
        grid.near(at.steps(), radius, |i| {
            if is_other(i) {
                let (p, distance) = nearest_on_segment(at, segments[i].0, segments[i].1);
                let near = (distance, Point::from_steps(p));
                if best.is_none_or(|known| near < known) {
                    best = Some(near);
                }
            }
        });
        if let Some(found) = best.filter(|found| found.0 <= radius) {
            return Some(found);
        }
        if radius > grid.reach() {
            return best;
        }
        radius *= 2.0;
    }
}
