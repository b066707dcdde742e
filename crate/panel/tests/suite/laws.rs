//! Laws that hold for any drawing: areas add up, points lie where they should, order does not matter.

// Numbers that are exact by construction are compared exactly.
#![allow(clippy::float_cmp)]

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::overlay::FloatOverlay;
use panel::{Cutline, Drawing, Outline, Panel, PanelOptions, Polygon, panel_from_drawing};
use plane::PanelPoint;
use proptest::prelude::*;
use std::f64::consts::TAU;

const WIDTH: f64 = 600.0;
const HEIGHT: f64 = 800.0;

fn drawing(cutlines: Vec<(String, f64)>) -> Drawing {
    Drawing {
        outline: Outline { path: format!("M0 0H{WIDTH}V{HEIGHT}H0Z"), face_mm: 12.0 },
        cutlines: cutlines.into_iter().map(|(path, face_mm)| Cutline { path, face_mm }).collect(),
        bars: vec![],
    }
}

fn build(drawing: &Drawing) -> Panel {
    panel_from_drawing(drawing, &PanelOptions::default()).expect("a panel")
}

/// Lines as a glazier might draw them: right across, from one to another, arcs, waves, rings, and loose ends.
fn cutline() -> impl Strategy<Value = String> {
    let (x, y) = (|| -20.0..WIDTH + 20.0, || -20.0..HEIGHT + 20.0);
    prop_oneof![
        4 => (y(), y()).prop_map(|(a, b)| format!("M-5 {a}L605 {b}")),
        4 => (x(), x()).prop_map(|(a, b)| format!("M{a} 0L{b} 800")),
        3 => (y(), y(), y(), y()).prop_map(|(a, b, c, d)| format!("M0 {a}C200 {b} 400 {c} 600 {d}")),
        2 => (x(), x(), y()).prop_map(|(a, b, c)| format!("M{a} 0Q{b} {c} {b} 800")),
        2 => (x(), y(), 20.0..300.0).prop_map(|(x, y, r)| format!("M{x} {y}a{r} {r} 0 0 1 {} 0a{r} {r} 0 0 1 -{} 0z", 2.0 * r, 2.0 * r)),
        1 => (x(), y(), x(), y()).prop_map(|(a, b, c, d)| format!("M{a} {b}L{c} {d}")),
        1 => (x(), y(), x(), y(), x(), y()).prop_map(|(a, b, c, d, e, f)| format!("M{a} {b}L{c} {d}L{e} {f}")),
    ]
}

fn face() -> impl Strategy<Value = f64> {
    prop_oneof![Just(4.0), Just(6.0), Just(10.0), 3.5..12.0]
}

/// The laws that every panel keeps.
fn check(panel: &Panel) -> Result<(), TestCaseError> {
    let opening = panel.opening_area_mm2();
    let sum = |measure: fn(&panel::Piece) -> f64| panel.pieces.iter().map(measure).sum::<f64>();
    prop_assert!((sum(|p| p.area_mm2) - opening).abs() <= 1e-9 * opening, "pieces fill the opening");
    let whole = panel.light_area_mm2() + panel.lead_area_mm2();
    prop_assert!((whole - opening).abs() <= 1e-9 * opening, "light and lead fill the opening");

    // The same by a general polygon library: the opening less all light.
    let lead: f64 = panel.lead_shape().iter().map(Polygon::area_mm2).sum();
    prop_assert!((lead - panel.lead_area_mm2()).abs() <= 1e-7 * opening, "lead {lead}");

    for (index, piece) in panel.pieces.iter().enumerate() {
        prop_assert!(piece.outline.area_mm2() > 0.0);
        prop_assert!(piece.outline.contains(piece.interior_point), "{index} {:?}", piece.interior_point);
        if piece.light.is_empty() {
            prop_assert_eq!(piece.light_area_mm2, 0.0);
        } else {
            prop_assert!(piece.light.iter().any(|part| part.contains(piece.interior_point)));
        }
        prop_assert!(piece.light_area_mm2 <= piece.cut_area_mm2 + 1e-6);
        prop_assert!(piece.cut_area_mm2 <= piece.area_mm2 + 1e-6);
        // A little inside, rounding to the lattice cannot decide.
        for point in piece.light.iter().flat_map(Polygon::rings).flatten() {
            let depth = piece.outline.distance_to_edge_mm(*point);
            prop_assert!(piece.outline.contains(*point) && depth > 1.74, "light in outline: {depth}");
            prop_assert!(piece.cut.iter().any(|part| part.contains(*point)), "light within cut");
        }
        for point in piece.cut.iter().flat_map(Polygon::rings).flatten() {
            let depth = piece.outline.distance_to_edge_mm(*point);
            // A chord of a corner's arc may come 0.005 mm nearer.
            prop_assert!(piece.outline.contains(*point) && (depth - 0.8).abs() < 0.006, "cut: {depth}");
        }
        for (ring, leads) in piece.outline.rings().zip(&piece.edge_leads) {
            prop_assert_eq!(ring.len(), leads.len());
            for (point, &lead) in ring.iter().zip(leads) {
                prop_assert!(panel.leads[lead].points.contains(point));
                prop_assert!([panel.leads[lead].left, panel.leads[lead].right].contains(&Some(index)));
            }
        }
        for neighbour in &piece.neighbours {
            let back = panel.pieces[neighbour.piece].neighbours.iter().filter(|n| {
                n.piece == index && n.lead == neighbour.lead && n.shared_mm == neighbour.shared_mm
            });
            prop_assert_eq!(back.count(), 1, "neighbours are mutual");
        }
        prop_assert_eq!(panel.piece_at(piece.interior_point), Some(index));
    }
    euler(panel)
}

/// V − E + F = 1 + C over joints, leads, pieces and the outside.
fn euler(panel: &Panel) -> Result<(), TestCaseError> {
    let mut root: Vec<usize> = (0..panel.joints.len()).collect();
    fn find(root: &[usize], mut i: usize) -> usize {
        while root[i] != i {
            i = root[i];
        }
        i
    }
    for lead in &panel.leads {
        let (a, b) = (find(&root, lead.from_joint), find(&root, lead.to_joint));
        root[a] = b;
    }
    let components = (0..root.len()).filter(|&i| root[i] == i).count();
    let (v, e, f) = (panel.joints.len(), panel.leads.len(), panel.pieces.len() + 1);
    prop_assert_eq!(v + f, e + 1 + components);
    Ok(())
}

/// The pieces' areas in ascending order.
fn signature(panel: &Panel) -> Vec<f64> {
    let mut areas: Vec<f64> = panel.pieces.iter().map(|p| p.area_mm2).collect();
    areas.sort_by(f64::total_cmp);
    areas
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_drawing_keeps_the_laws(lines in prop::collection::vec((cutline(), face()), 0..14)) {
        check(&build(&drawing(lines)))?;
    }

    #[test]
    fn order_does_not_matter(lines in prop::collection::vec((cutline(), face()), 1..12), turn in 0..12_usize) {
        let straight = build(&drawing(lines.clone()));
        let mut shuffled = lines;
        let by = turn % shuffled.len();
        shuffled.rotate_left(by);
        shuffled.reverse();
        let other = build(&drawing(shuffled));
        prop_assert_eq!(&straight.pieces, &other.pieces);
        prop_assert_eq!(&straight.joints, &other.joints);
        let points = |panel: &Panel| panel.leads.iter().map(|lead| lead.points.clone()).collect::<Vec<_>>();
        prop_assert_eq!(points(&straight), points(&other));
    }

    // On a coarse lattice lines coincide, end on one another and meet in one point all the time.
    #[test]
    fn coincidences_keep_the_laws(
        ends in prop::collection::vec(((0..9_u32, 0..9_u32, 0..9_u32, 0..9_u32), 0..4_u32), 1..16),
    ) {
        let lines = ends.iter().map(|((a, b, c, d), off)| {
            // Off by a tenth of a millimetre now and then.
            let (x, y) = (f64::from(*a) * 75.0 + f64::from(*off % 2) * 0.1, f64::from(*b) * 100.0);
            (format!("M{x} {y}L{} {}", c * 75, d * 100), 5.0)
        });
        check(&build(&drawing(lines.collect())))?;
    }

    // Everything within a few snapping distances: the worst that joining and closing can meet. No panic, and
    // the areas still add up.
    #[test]
    fn crumpled_lines_keep_the_areas(
        points in prop::collection::vec((0.0..3.0_f64, 0.0..3.0_f64), 3..40),
    ) {
        let path: Vec<String> = points.iter().map(|(x, y)| format!("{} {}", 300.0 + x, 400.0 + y)).collect();
        let panel = build(&drawing(vec![(format!("M{}", path.join("L")), 4.0), ("M0 400H600".into(), 4.0)]));
        let sum: f64 = panel.pieces.iter().map(|p| p.area_mm2).sum();
        prop_assert!((sum - panel.opening_area_mm2()).abs() < 1e-3);
        euler(&panel)?;
    }

    // A point clear of every lead of its piece lets light pass; one beside a lead within its half face does
    // not. (Round the ends of leads of different widths neither may hold.)
    #[test]
    fn light_lies_between_the_faces(
        lines in prop::collection::vec((cutline(), face()), 1..10),
        points in prop::collection::vec((0.0..WIDTH, 0.0..HEIGHT), 300),
    ) {
        let panel = build(&drawing(lines));
        // Chords of arcs at corners: 0.005 mm; mitred joins of flattened curves: below 0.02 mm.
        let slack = 0.02;
        for (x, y) in points {
            let p = PanelPoint::new(x, y);
            let Some(index) = panel.piece_at(p) else { continue };
            let lit = panel.pieces[index].light.iter().any(|part| part.contains(p));
            let own = panel.leads.iter().filter(|l| l.left == Some(index) || l.right == Some(index));
            let mut clear = true;
            for lead in own {
                for pair in lead.points.windows(2) {
                    let (distance, beside) = distance_to_segment(p, pair[0], pair[1]);
                    clear &= distance > lead.face_mm / 2.0 + slack;
                    // Few points lie this near; what they see takes much longer to find.
                    let under = beside && distance < lead.face_mm / 2.0 - slack;
                    if under && sees(&panel.pieces[index], p, pair[0], pair[1]) {
                        prop_assert!(!lit, "{p:?} is under lead, {distance} from its centre");
                    }
                }
            }
            prop_assert!(lit || !clear, "{p:?} is clear of all leads of piece {index}");
        }
    }

    // Leads of one width, drawn as strokes with round ends and united by a general polygon library.
    #[test]
    fn lead_area_is_that_of_the_united_strokes(lines in prop::collection::vec(cutline(), 1..9)) {
        let face = 8.0;
        let mut drawing = drawing(lines.into_iter().map(|line| (line, face)).collect());
        drawing.outline.face_mm = face;
        let panel = build(&drawing);
        let mut strokes: Vec<Vec<[f64; 2]>> = Vec::new();
        for lead in &panel.leads {
            for pair in lead.points.windows(2) {
                strokes.push(capsule(pair[0], pair[1], face / 2.0));
            }
        }
        let opening = vec![PanelPoint::arrays(&panel.opening.outer).to_vec()];
        let shapes = FloatOverlay::<[f64; 2], i64>::from_subj_and_clip(&opening, &strokes)
            .overlay(OverlayRule::Intersect, FillRule::NonZero);
        let united: f64 = shapes.into_iter().flatten().map(|ring| shoelace(&ring)).sum();
        // A piece only counts its own leads, but of leads of one width none reaches farther than the last one
        // before it. What differs is the chords at round corners: up to 0.1 mm² each.
        let slack = 0.1 * panel.joints.len() as f64;
        prop_assert!((united - panel.lead_area_mm2()).abs() < slack, "{united} {}", panel.lead_area_mm2());
    }

    // Ends on steps of 25 mm: most lines meet exactly or clearly do not. A splinter closed one way here would be closed
    // another way there.
    #[test]
    fn turned_and_mirrored_drawings_keep_their_areas(
        steps in prop::collection::vec((0..33_u32, 0..33_u32), 1..9),
    ) {
        let lines: Vec<(f64, f64)> =
            steps.iter().map(|&(a, b)| (f64::from(a) * 25.0, f64::from(b) * 25.0)).collect();
        prop_assume!(!leaves_a_splinter(&lines));
        let straight = |map: &dyn Fn(f64, f64) -> (f64, f64), outline: &str| {
            let cutlines = lines.iter().map(|&(a, b)| {
                let ((x0, y0), (x1, y1)) = (map(0.0, a), map(600.0, b));
                (format!("M{x0} {y0}L{x1} {y1}"), 6.0)
            });
            let mut drawing = drawing(cutlines.collect());
            drawing.outline.path = outline.to_owned();
            let panel = build(&drawing);
            (signature(&panel), panel.light_area_mm2(), panel.leads.iter().map(|l| l.length_mm).sum::<f64>())
        };
        let plain = straight(&|x, y| (x, y), "M0 0H600V800H0Z");
        let mirrored = straight(&|x, y| (600.0 - x, y), "M0 0H600V800H0Z");
        let turned = straight(&|x, y| (800.0 - y, x), "M0 0H800V600H0Z");
        // Turned by the 3-4-5 triangle's angle: corners at 480 and 360 times the sides' shares.
        let slanted = straight(&|x, y| (640.0 + 0.6 * x - 0.8 * y, 0.8 * x + 0.6 * y), "M640 0L1000 480L360 960L0 480Z");
        for other in [mirrored, turned, slanted] {
            prop_assert_eq!(plain.0.len(), other.0.len());
            for (a, b) in plain.0.iter().zip(&other.0) {
                prop_assert!((a - b).abs() < 0.01, "{a} {b}");
            }
            prop_assert!((plain.1 - other.1).abs() < 0.05, "light {} {}", plain.1, other.1);
            prop_assert!((plain.2 - other.2).abs() < 0.01, "lengths {} {}", plain.2, other.2);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_path_data_is_read_or_refused(data in "[MmLlHhVvCcSsQqTtAaZz0-9 ,.eE+-]{0,60}", snap in 0.001..5.0_f64) {
        let mut drawing = drawing(vec![(data.clone(), 6.0)]);
        let options = PanelOptions { snap_mm: snap, ..PanelOptions::default() };
        if let Ok(panel) = panel_from_drawing(&drawing, &options) {
            let sum: f64 = panel.pieces.iter().map(|p| p.area_mm2).sum();
            prop_assert!((sum - panel.opening_area_mm2()).abs() < 1e-3);
        }
        drawing.outline.path = format!("M0 0{data}");
        let _ = panel_from_drawing(&drawing, &options);
    }
}

/// Three of these lines, given by their heights at both sides, enclose a triangle that may be closed as a strip: narrower
/// on average than 0.3 mm, where strips of up to 0.2 mm are closed.
fn leaves_a_splinter(lines: &[(f64, f64)]) -> bool {
    let crossing = |p: (f64, f64), q: (f64, f64)| {
        let (at_left, at_right) = (p.0 - q.0, p.1 - q.1);
        let x = at_left / (at_left - at_right);
        (at_left * at_right <= 0.0 && at_left != at_right).then_some([WIDTH * x, p.0 + (p.1 - p.0) * x])
    };
    let apart = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    (0..lines.len()).any(|i| {
        (0..i).any(|j| {
            (0..j).any(|k| {
                let corner = |p: usize, q: usize| crossing(lines[p], lines[q]);
                let (Some(a), Some(b), Some(c)) = (corner(i, j), corner(j, k), corner(k, i)) else {
                    return false;
                };
                let twice_area = ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs();
                let around = apart(a, b) + apart(b, c) + apart(c, a);
                around > 1e-6 && twice_area < 0.3 * around
            })
        })
    })
}

/// Distance from a point to a segment, and whether the point lies beside it rather than past an end.
fn distance_to_segment(p: PanelPoint, a: PanelPoint, b: PanelPoint) -> (f64, bool) {
    let d = [b[0] - a[0], b[1] - a[1]];
    let length_squared = d[0] * d[0] + d[1] * d[1];
    let t = ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / length_squared;
    let c = t.clamp(0.0, 1.0);
    ((p[0] - a[0] - c * d[0]).hypot(p[1] - a[1] - c * d[1]), (0.01..=0.99).contains(&t))
}

/// True if the foot of the perpendicular to a segment lies within the piece: a lead blocks light on its own two
/// sides, not through another lead.
fn sees(piece: &panel::Piece, p: PanelPoint, a: PanelPoint, b: PanelPoint) -> bool {
    let d = [b[0] - a[0], b[1] - a[1]];
    let t = ((p[0] - a[0]) * d[0] + (p[1] - a[1]) * d[1]) / (d[0] * d[0] + d[1] * d[1]);
    let foot = [a[0] + t * d[0], a[1] + t * d[1]];
    (1..40).all(|i| {
        let s = f64::from(i) / 40.0;
        piece.outline.contains(PanelPoint::new(p[0] + (foot[0] - p[0]) * s, p[1] + (foot[1] - p[1]) * s))
    })
}

fn capsule(a: PanelPoint, b: PanelPoint, r: f64) -> Vec<[f64; 2]> {
    let along = (b[1] - a[1]).atan2(b[0] - a[0]);
    let half = |centre: PanelPoint, from: f64| {
        (0..=64).map(move |i| {
            let angle = from + TAU / 2.0 * f64::from(i) / 64.0;
            [centre[0] + r * angle.cos(), centre[1] + r * angle.sin()]
        })
    };
    half(b, along - TAU / 4.0).chain(half(a, along + TAU / 4.0)).collect()
}

fn shoelace(ring: &[[f64; 2]]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}
