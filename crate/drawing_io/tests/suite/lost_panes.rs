//! Panes between leads drawn as shapes that became no piece of their own are named.

use drawing_io::{DrawingFault, FaultKind, Import, ImportOptions, import};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::float::simplify::SimplifyShape;
use kurbo::{BezPath, Cap, Join, PathEl, Point, Stroke, StrokeOpts, flatten, stroke};

/// Leads within a frame as one filled shape with holes.
/// `edge`: path data of the window's edge, y down, if it is drawn beside them.
fn window(leads: &[(&[[f64; 2]], f64)], edge: Option<&str>) -> Import {
    let frame: &[[f64; 2]] = &[[-20.0, -20.0], [220.0, -20.0], [220.0, 220.0], [-20.0, 220.0]];
    let mut rings: Vec<Vec<[f64; 2]>> = Vec::new();
    for (k, (points, width)) in [(frame, 8.0)].iter().chain(leads).enumerate() {
        let mut path = BezPath::new();
        for (i, p) in points.iter().map(|&[x, y]| Point::new(x, y)).enumerate() {
            if i == 0 { path.move_to(p) } else { path.line_to(p) }
        }
        if k == 0 {
            path.close_path();
        }
        let style = Stroke::new(*width).with_caps(Cap::Butt).with_join(Join::Miter);
        flatten(stroke(path, &style, &StrokeOpts::default(), 0.005), 0.005, |element| match element {
            PathEl::MoveTo(p) => rings.push(vec![[p.x, p.y]]),
            PathEl::LineTo(p) => rings.last_mut().expect("a start").push([p.x, p.y]),
            _ => {}
        });
    }
    let union = rings.simplify_shape_as::<i64>(FillRule::NonZero);
    let ring = |ring: &Vec<[f64; 2]>| {
        let points: Vec<String> = ring.iter().map(|[x, y]| format!("{x:.6} {:.6}", -y)).collect();
        format!("M{}Z", points.join("L"))
    };
    let data: String = union.iter().flatten().map(ring).collect();
    let edge = edge.map_or_else(String::new, |edge| {
        format!(r#"<g id="outline"><path fill="none" stroke="black" d="{edge}"/></g>"#)
    });
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="260mm" height="260mm" viewBox="-30 -230 260 260">
        <path fill="black" fill-rule="evenodd" d="{data}"/>{edge}</svg>"#
    );
    import(&svg, &ImportOptions::default()).expect("a window")
}

fn of_panes(found: &Import) -> Vec<&DrawingFault> {
    let is_of_panes = |fault: &&DrawingFault| {
        fault.kind == FaultKind::NotUnderstood && fault.words.contains("the leads' shapes")
    };
    found.faults.iter().filter(is_of_panes).collect()
}

/// A frame with two leads in it, which leave three panes.
const LEADS: [(&[[f64; 2]], f64); 2] =
    [(&[[-20.0, 100.0], [100.0, 100.0]], 6.0), (&[[100.0, -20.0], [100.0, 220.0]], 6.0)];

#[test]
fn a_window_whose_panes_are_all_pieces_has_no_such_fault() {
    let found = window(&LEADS, None);
    assert_eq!(found.panel.pieces.len(), 3);
    assert!(of_panes(&found).is_empty(), "{:?}", found.faults);
}

#[test]
fn a_pane_outside_the_edge_that_was_drawn_is_named_at_its_place() {
    let found = window(&LEADS, Some("M-20 20H100V-220H-20Z"));
    assert_eq!(found.panel.pieces.len(), 2);
    let named = of_panes(&found);
    let [fault] = named[..] else { panic!("{:?}", found.faults) };
    // From the lower left of the edge: the pane is 114 mm wide and reaches from 123 mm to 236 mm.
    assert!(fault.words.contains("lies in no piece"), "{}", fault.words);
    assert!(fault.at_mm.x() > 123.0 && fault.at_mm.x() < 236.0, "{:?}", fault.at_mm);
}
