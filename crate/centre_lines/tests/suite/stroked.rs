//! Nets with known centre lines, and the shapes that a drawing program makes of them.

use centre_lines::{CentreLineOptions, CentreLines, FillRule, FilledShape, centre_lines};
use i_overlay::core::fill_rule::FillRule as Rule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{BezPath, Cap, Join, PathEl, Point, Stroke, StrokeOpts, flatten, stroke};
use plane::PanelPoint;

/// A line with a width, as a person draws it.
#[derive(Debug, Clone)]
pub(crate) struct Lead {
    pub(crate) path: BezPath,
    pub(crate) width: f64,
}

/// A straight or kinked lead.
pub(crate) fn lead(points: &[[f64; 2]], width: f64) -> Lead {
    let mut path = BezPath::new();
    for (i, &p) in points.iter().enumerate() {
        if i == 0 { path.move_to(Point::new(p[0], p[1])) } else { path.line_to(Point::new(p[0], p[1])) }
    }
    Lead { path, width }
}

/// A closed straight-sided lead.
pub(crate) fn frame([left, bottom]: [f64; 2], [right, top]: [f64; 2], width: f64) -> Lead {
    let mut lead = lead(&[[left, bottom], [right, bottom], [right, top], [left, top]], width);
    lead.path.close_path();
    lead
}

/// A lead along SVG path data.
pub(crate) fn curve(data: &str, width: f64) -> Lead {
    Lead { path: BezPath::from_svg(data).expect("path data"), width }
}

/// A closed circle.
pub(crate) fn circle(x: f64, y: f64, radius: f64, width: f64) -> Lead {
    use kurbo::Shape;
    Lead { path: kurbo::Circle::new((x, y), radius).to_path(1e-4), width }
}

/// The subpaths as points; a closed one repeats its first point.
pub(crate) fn polylines(path: &BezPath, tolerance: f64) -> Vec<Vec<[f64; 2]>> {
    let mut lines: Vec<Vec<[f64; 2]>> = Vec::new();
    flatten(path, tolerance, |element| match element {
        PathEl::MoveTo(p) => lines.push(vec![[p.x, p.y]]),
        PathEl::LineTo(p) => lines.last_mut().expect("a start").push([p.x, p.y]),
        PathEl::ClosePath => {
            let line = lines.last_mut().expect("a start");
            let first = line[0];
            if line.last() != Some(&first) {
                line.push(first);
            }
        }
        _ => unreachable!("flattened"),
    });
    lines
}

/// How strokes end and how the shapes are handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// One shape a lead.
    Ribbons,
    /// All in one shape with holes.
    Compound,
}

/// The leads as filled shapes.
pub(crate) fn shapes(leads: &[Lead], cap: Cap, form: Form) -> Vec<FilledShape> {
    let ribbons: Vec<FilledShape> = leads
        .iter()
        .map(|lead| {
            let style = Stroke::new(lead.width).with_caps(cap).with_join(Join::Miter);
            let outline = stroke(lead.path.elements().iter().copied(), &style, &StrokeOpts::default(), 0.005);
            let rings =
                polylines(&outline, 0.005).iter().map(|ring| PanelPoint::slice(ring).to_vec()).collect();
            FilledShape { rings, fill: FillRule::NonZero }
        })
        .collect();
    match form {
        Form::Ribbons => ribbons,
        Form::Compound => {
            let rings: Vec<Vec<[f64; 2]>> = ribbons
                .iter()
                .flat_map(|shape| &shape.rings)
                .map(|ring| PanelPoint::arrays(ring).to_vec())
                .collect();
            let union = rings.simplify_shape_as::<i64>(Rule::NonZero);
            let rings = union.iter().flatten().map(|ring| PanelPoint::slice(ring).to_vec()).collect();
            vec![FilledShape { rings, fill: FillRule::EvenOdd }]
        }
    }
}

/// What the crate finds, without a fault.
pub(crate) fn find(shapes: &[FilledShape]) -> CentreLines {
    centre_lines(shapes, &CentreLineOptions::default()).expect("centre lines")
}
