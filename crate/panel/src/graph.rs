//! The planar graph of a noded drawing: vertices, edges, and the faces between them.

use crate::fault::PanelFault;
use crate::lattice::{Point, compare_angle, twice_area};

/// Maximum number of pairs of islands and pieces examined.
const ISLAND_LIMIT: usize = 400_000_000;

/// The face outside everything.
pub(crate) const OUTSIDE: usize = usize::MAX;

/// A directed piece of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Segment {
    pub(crate) a: Point,
    pub(crate) b: Point,
    pub(crate) line: usize,
}

/// How much of a drawing a graph holds.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Extent<'a> {
    /// All of it, with the outline as line 0: a closed counterclockwise ring.
    Whole,
    /// A part of it, and the points of the outline, which need not be in that part.
    ///
    /// Only faces whose whole boundary is in the part are faces of the whole drawing.
    Part(&'a [Point]),
}

/// Vertices, edges and faces of noded segments, none of which coincide.
///
/// Half-edge `2e` runs along edge `e`, `2e + 1` against it; each has its face on the left.
#[derive(Debug)]
pub(crate) struct Graph {
    pub(crate) points: Vec<Point>,
    pub(crate) segments: Vec<Segment>,
    /// Origin vertex of each half-edge.
    pub(crate) origin: Vec<usize>,
    /// The half-edge that follows on the boundary of the same face.
    pub(crate) next: Vec<usize>,
    /// Half-edges out of each vertex, counterclockwise from +x.
    out: Vec<Vec<usize>>,
    /// Face on the left of each half-edge, or [`OUTSIDE`].
    pub(crate) face: Vec<usize>,
    pub(crate) faces: Vec<Face>,
}

/// A bounded face.
#[derive(Debug, Clone)]
pub(crate) struct Face {
    /// One half-edge of each boundary: the outer one first, then those of islands.
    pub(crate) boundaries: Vec<usize>,
    /// Whether the face is inside the outline.
    pub(crate) inside: bool,
}

pub(crate) fn twin(half_edge: usize) -> usize {
    half_edge ^ 1
}

impl Graph {
    /// Builds the graph. `segments` must be noded and distinct, and line 0 directed counterclockwise.
    pub(crate) fn new(segments: Vec<Segment>, extent: Extent<'_>) -> Result<Self, PanelFault> {
        let mut points: Vec<Point> = segments.iter().flat_map(|s| [s.a, s.b]).collect();
        points.sort_unstable();
        points.dedup();
        let vertex = |p: Point| points.binary_search(&p).unwrap_or(0);
        let origin: Vec<usize> = segments.iter().flat_map(|s| [vertex(s.a), vertex(s.b)]).collect();

        let mut out: Vec<Vec<usize>> = vec![Vec::new(); points.len()];
        for (half_edge, &v) in origin.iter().enumerate() {
            out[v].push(half_edge);
        }
        let mut next = vec![0; origin.len()];
        for (v, around) in out.iter_mut().enumerate() {
            sorting::by(around, |&p, &q| {
                compare_angle(points[v], points[origin[twin(p)]], points[origin[twin(q)]])
            });
            for (i, &half_edge) in around.iter().enumerate() {
                // Arriving along the twin of an outgoing edge, the boundary of the face on the left continues along
                // the next edge clockwise.
                next[twin(half_edge)] = around[(i + around.len() - 1) % around.len()];
            }
        }
        let mut graph = Graph { points, segments, origin, next, out, face: Vec::new(), faces: Vec::new() };
        let is_whole = matches!(extent, Extent::Whole);
        graph.find_faces(is_whole)?;
        match extent {
            Extent::Whole => graph.mark_inside(),
            Extent::Part(outline) => graph.mark_inside_of(outline),
        }
        Ok(graph)
    }

    pub(crate) fn point(&self, half_edge: usize) -> Point {
        self.points[self.origin[half_edge]]
    }

    /// Vertex a half-edge leads to.
    pub(crate) fn target(&self, half_edge: usize) -> usize {
        self.origin[twin(half_edge)]
    }

    pub(crate) fn line(&self, half_edge: usize) -> usize {
        self.segments[half_edge / 2].line
    }

    pub(crate) fn length(&self, half_edge: usize) -> f64 {
        self.point(half_edge).distance(self.point(twin(half_edge)))
    }

    pub(crate) fn is_inside(&self, half_edge: usize) -> bool {
        self.faces.get(self.face[half_edge]).is_some_and(|face| face.inside)
    }

    /// True for edges of the panel, which have a face inside the outline on at least one side.
    pub(crate) fn is_alive(&self, half_edge: usize) -> bool {
        self.is_inside(half_edge) || self.is_inside(twin(half_edge))
    }

    /// Half-edges out of a vertex, counterclockwise from +x.
    pub(crate) fn out_of(&self, vertex: usize) -> impl ExactSizeIterator<Item = usize> {
        self.out[vertex].iter().copied()
    }

    /// Half-edges of a boundary in order, from a given one.
    pub(crate) fn boundary(&self, start: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(start), move |&h| Some(self.next[h]).filter(|&n| n != start))
    }

    /// Twice the signed area of a boundary, square steps.
    pub(crate) fn twice_area(&self, start: usize) -> i128 {
        let o = self.point(start);
        self.boundary(start).map(|h| twice_area(o, self.point(h), self.point(twin(h)))).sum()
    }

    fn find_faces(&mut self, is_whole: bool) -> Result<(), PanelFault> {
        let count = self.origin.len();
        let mut cycle = vec![usize::MAX; count];
        let mut starts = Vec::new();
        for h in 0..count {
            if cycle[h] == usize::MAX {
                for k in self.boundary(h) {
                    cycle[k] = starts.len();
                }
                starts.push(h);
            }
        }
        let areas: Vec<i128> = starts.iter().map(|&start| self.twice_area(start)).collect();

        // Each connected component has one boundary that runs clockwise: its outside.
        let component = self.components();
        let mut face_of_cycle = vec![OUTSIDE; starts.len()];
        for (c, &area) in areas.iter().enumerate() {
            if area > 0 {
                face_of_cycle[c] = self.faces.len();
                self.faces.push(Face { boundaries: vec![starts[c]], inside: false });
            }
        }
        let outline = is_whole.then(|| component[self.origin[self.outline_half_edge()]]);
        let islands: Vec<usize> = (0..starts.len())
            .filter(|&c| areas[c] <= 0 && Some(component[self.origin[starts[c]]]) != outline)
            .collect();
        if !islands.is_empty() {
            let boxes: Vec<(usize, Point, Point)> = (0..starts.len())
                .filter(|&c| areas[c] > 0)
                .map(|c| {
                    let (low, high) = self.bounds(starts[c]);
                    (c, low, high)
                })
                .collect();
            if islands.len().saturating_mul(boxes.len()) > ISLAND_LIMIT {
                return Err(PanelFault::TooMuch { what: "islands", limit: ISLAND_LIMIT / boxes.len() });
            }
            for island in islands {
                let p = self.point(starts[island]);
                let own = component[self.origin[starts[island]]];
                let around = boxes
                    .iter()
                    .filter(|(_, low, high)| {
                        (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y)
                    })
                    .filter(|(c, ..)| component[self.origin[starts[*c]]] != own)
                    .filter(|(c, ..)| self.encloses(starts[*c], p))
                    .min_by_key(|(c, ..)| areas[*c]);
                if let Some(&(c, ..)) = around {
                    face_of_cycle[island] = face_of_cycle[c];
                    self.faces[face_of_cycle[c]].boundaries.push(starts[island]);
                }
            }
        }
        self.face = cycle.iter().map(|&c| face_of_cycle[c]).collect();
        Ok(())
    }

    /// A half-edge along the outline (line 0) whose face is inside the panel.
    fn outline_half_edge(&self) -> usize {
        2 * self.segments.iter().position(|s| s.line == 0).unwrap_or(0)
    }

    fn components(&self) -> Vec<usize> {
        let mut component = vec![usize::MAX; self.points.len()];
        let mut stack = Vec::new();
        for start in 0..self.points.len() {
            if component[start] != usize::MAX {
                continue;
            }
            component[start] = start;
            stack.push(start);
            while let Some(v) = stack.pop() {
                for &h in &self.out[v] {
                    let w = self.target(h);
                    if component[w] == usize::MAX {
                        component[w] = start;
                        stack.push(w);
                    }
                }
            }
        }
        component
    }

    fn bounds(&self, start: usize) -> (Point, Point) {
        let first = self.point(start);
        self.boundary(start).map(|h| self.point(h)).fold((first, first), |(low, high), p| {
            (Point { x: low.x.min(p.x), y: low.y.min(p.y) }, Point { x: high.x.max(p.x), y: high.y.max(p.y) })
        })
    }

    /// True if a boundary goes round a point that is not on it; exact.
    fn encloses(&self, start: usize, p: Point) -> bool {
        self.boundary(start).fold(false, |inside, h| {
            let (a, b) = (self.point(h), self.point(twin(h)));
            let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
            let left_of = low.y <= p.y && p.y < high.y && twice_area(low, high, p) > 0;
            inside ^ left_of
        })
    }

    /// Spreads "inside" from the outline over every face reached without crossing it.
    fn mark_inside(&mut self) {
        let mut stack: Vec<usize> = (0..self.segments.len())
            .filter(|&e| self.segments[e].line == 0)
            .map(|e| self.face[2 * e])
            .collect();
        while let Some(f) = stack.pop() {
            let Some(face) = self.faces.get_mut(f).filter(|face| !face.inside) else { continue };
            face.inside = true;
            let boundaries = face.boundaries.clone();
            for start in boundaries {
                for h in self.boundary(start) {
                    if self.line(h) != 0 {
                        stack.push(self.face[twin(h)]);
                    }
                }
            }
        }
    }

    /// Marks as inside the faces within a closed counterclockwise ring, each by its own boundary.
    fn mark_inside_of(&mut self, outline: &[Point]) {
        let inside = |graph: &Self, face: &Face| {
            let on_outline = |start: usize| graph.boundary(start).find(|&h| graph.line(h) == 0);
            if let Some(h) = face.boundaries.iter().find_map(|&start| on_outline(start)) {
                return h % 2 == 0;
            }
            // Use the longest edge: its middle is least likely to lie within a rounding step of the outline.
            let length = |h: &usize| graph.length(*h);
            let longest = graph.boundary(face.boundaries[0]).max_by(|g, h| length(g).total_cmp(&length(h)));
            longest.is_some_and(|h| encloses_middle(outline, graph.point(h), graph.point(twin(h))))
        };
        let marks: Vec<bool> = self.faces.iter().map(|face| inside(self, face)).collect();
        for (face, inside) in self.faces.iter_mut().zip(marks) {
            face.inside = inside;
        }
    }
}

/// True if a ring goes round the middle of a segment; exact.
fn encloses_middle(ring: &[Point], a: Point, b: Point) -> bool {
    // In half steps, so that the middle is a lattice point.
    let p = Point { x: a.x + b.x, y: a.y + b.y };
    let twice = |p: Point| Point { x: 2 * p.x, y: 2 * p.y };
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).fold(false, |inside, (&a, &b)| {
        let (a, b) = (twice(a), twice(b));
        let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
        inside ^ (low.y <= p.y && p.y < high.y && twice_area(low, high, p) > 0)
    })
}
