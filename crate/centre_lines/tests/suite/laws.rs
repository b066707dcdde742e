//! What holds for any shapes.

use crate::measure::{Arrangement, found_lines};
use crate::stroked::{Form, Lead, lead, shapes};
use centre_lines::{CentreLineOptions, CentreLines, FillRule, FilledShape, between_panes, centre_lines};
use i_overlay::core::fill_rule::FillRule as Rule;
use i_overlay::float::simplify::SimplifyShape;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use kurbo::Cap;
use plane::{PanelPoint, bounds, perimeter, signed_area};
use proptest::prelude::*;

fn nets() -> impl Strategy<Value = Vec<Lead>> {
    let point = || [0.0..200.0f64, 0.0..200.0f64];
    let line = (proptest::collection::vec(point(), 2..4), 2.0..14.0f64);
    proptest::collection::vec(line, 1..12)
        .prop_map(|lines| lines.into_iter().map(|(points, width)| lead(&points, width)).collect())
}

fn rings() -> impl Strategy<Value = Vec<FilledShape>> {
    // A coarse grid makes points coincide, lines overlap and rings touch themselves.
    let coordinate = prop_oneof![(-9..9i32).prop_map(|i| f64::from(i) * 5.0), -45.0..45.0f64];
    let ring = proptest::collection::vec((coordinate.clone(), coordinate), 0..9);
    let shape =
        (proptest::collection::vec(ring, 0..4), any::<bool>()).prop_map(|(rings, even_odd)| FilledShape {
            rings: rings
                .into_iter()
                .map(|r| r.into_iter().map(|(x, y)| PanelPoint::new(x, y)).collect())
                .collect(),
            fill: if even_odd { FillRule::EvenOdd } else { FillRule::NonZero },
        });
    proptest::collection::vec(shape, 0..5)
}

fn check_sound(found: &CentreLines, shapes: &[FilledShape], margin: f64) {
    let [low, high] = bounds(shapes.iter().flat_map(|s| s.rings.iter().flatten())).expect("points");
    for line in found.lines.iter().chain(&found.border) {
        assert!(line.points.len() >= if line.closed { 3 } else { 2 });
        assert!(line.width_mm.is_finite() && line.width_mm >= 0.0);
        for p in &line.points {
            assert!(p.vector().is_finite());
            assert!(p.x() >= low.x() - margin && p.x() <= high.x() + margin, "{p:?}");
            assert!(p.y() >= low.y() - margin && p.y() <= high.y() + margin, "{p:?}");
        }
    }
}

/// Holes of the shapes' union; `None` where one is so small or narrow that it may count or not, or where leads nearly touch.
pub(crate) fn holes(shapes: &[FilledShape]) -> Option<usize> {
    let rings: Vec<Vec<[f64; 2]>> =
        shapes.iter().flat_map(|shape| &shape.rings).map(|ring| PanelPoint::arrays(ring).to_vec()).collect();
    let union = rings.simplify_shape_as::<i64>(Rule::NonZero);
    let counts = [-0.06, 0.0, 0.06].map(|by| {
        let style = OutlineStyle::new(by).line_join(LineJoin::Miter(0.3));
        let grown = if by == 0.0 { union.clone() } else { union.outline_as::<i64>(&style) };
        let holes = grown.iter().flat_map(|shape| &shape[1..]).map(|ring| {
            let points = PanelPoint::slice(ring);
            let area = signed_area(points).abs();
            (area > 4.0 && 2.0 * area / perimeter([points]) > 0.6).then_some(())
        });
        holes.collect::<Option<Vec<()>>>().map(|holes| holes.len())
    });
    counts[1].filter(|_| counts.iter().all(|count| *count == counts[1]))
}

fn pieces(shapes: &[FilledShape]) -> usize {
    let found = centre_lines(shapes, &CentreLineOptions::default()).expect("lines");
    let in_glass = |p: &PanelPoint| {
        shapes.iter().all(|shape| !shape.rings.iter().any(|ring| plane::contains([ring], *p)))
    };
    assert!(found.panes.iter().all(in_glass));
    if let Some(holes) = holes(shapes) {
        assert_eq!(found.panes.len(), holes);
    }
    Arrangement::of(&found_lines(&found), 1e-6).areas().len()
}

/// Up to twelve leads across one another at random.
pub(crate) fn random_net(state: &mut u64) -> Vec<Lead> {
    // A linear congruential generator (Knuth, MMIX; constants from memory).
    let mut draw = |below: f64| {
        *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*state >> 33) as f64 / (1_u64 << 31) as f64 * below
    };
    (0..1 + draw(11.0) as usize)
        .map(|_| {
            let points: Vec<[f64; 2]> =
                (0..2 + draw(2.0) as usize).map(|_| [draw(200.0), draw(200.0)]).collect();
            lead(&points, 2.0 + draw(12.0))
        })
        .collect()
}

/// Leads wider than they are long, as no window has them: their shapes do not show how they meet, but they show each pane.
#[test]
fn tangles_of_wide_leads_have_as_many_pieces_as_holes() {
    let mut state = 11_u64;
    let mut all = 0;
    while all < 500 {
        let leads = random_net(&mut state);
        let shapes = shapes(&leads, Cap::Butt, Form::Ribbons);
        let Some(holes) = holes(&shapes) else { continue };
        all += 1;
        assert_eq!(pieces(&shapes), holes, "net {all}: {leads:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_net_gives_finite_lines_within_its_box(leads in nets(), round in any::<bool>(), compound in any::<bool>()) {
        let form = if compound { Form::Compound } else { Form::Ribbons };
        let shapes = shapes(&leads, if round { Cap::Round } else { Cap::Butt }, form);
        let found = centre_lines(&shapes, &CentreLineOptions::default()).expect("lines");
        check_sound(&found, &shapes, 0.05);
    }

    #[test]
    fn any_rings_give_sound_lines_or_a_fault(shapes in rings()) {
        if let Ok(found) = centre_lines(&shapes, &CentreLineOptions::default()) {
            check_sound(&found, &shapes, 0.05);
        }
        if let Ok(found) = between_panes(&shapes, None, &CentreLineOptions::default()) {
            check_sound(&found, &shapes, 80.0);
        }
    }
}

#[test]
fn a_pane_in_the_corner_of_two_wide_leads_stays() {
    // The sides of the small pane at the corner are shorter than the leads are wide.
    let leads = [
        lead(&[[160.0, 16.5], [133.2, 190.0]], 7.6),
        lead(&[[126.2, 148.6], [197.2, 0.0], [60.0, 146.5]], 13.7),
        lead(&[[152.1, 52.8], [183.7, 96.1]], 2.0),
    ];
    let shapes = shapes(&leads, Cap::Butt, Form::Ribbons);
    assert_eq!(Some(pieces(&shapes)), holes(&shapes));
}

#[test]
fn a_small_pane_beside_wide_leads_is_counted_though_its_lines_collapse() {
    // The lead around the small pane is all joint: the lines found leave one piece of two.
    let leads = [
        lead(&[[185.5006, 122.606], [124.4724, 21.4405], [177.4073, 185.2974]], 13.2567),
        lead(&[[88.9985, 75.4004], [63.6441, 92.987]], 2.8824),
        lead(&[[95.9944, 63.6533], [161.5118, 155.6837], [145.5723, 24.4359]], 7.8142),
        lead(&[[149.0992, 16.8073], [118.5386, 44.7034]], 8.8871),
        lead(&[[150.1186, 13.5659], [158.2834, 196.088], [190.6969, 104.6114]], 13.9831),
    ];
    let shapes = shapes(&leads, Cap::Butt, Form::Ribbons);
    let found = centre_lines(&shapes, &CentreLineOptions::default()).expect("lines");
    assert_eq!(Some(found.panes.len()), holes(&shapes));
}

#[test]
fn panes_are_counted_right_where_a_line_crosses_itself() {
    // A line crosses itself in the middle of wide leads: there is a piece more than panes.
    let leads = [
        lead(&[[190.2052, 24.1352], [145.0399, 89.8433], [72.4354, 29.3035]], 13.5959),
        lead(&[[59.6391, 36.4815], [194.8817, 197.3031], [185.6509, 154.0212]], 5.6181),
        lead(&[[158.4725, 74.4194], [25.3398, 69.0595], [93.8132, 22.3554]], 2.499),
        lead(&[[155.6298, 147.9413], [106.5203, 28.2768], [20.6808, 38.9711]], 12.1736),
        lead(&[[178.4279, 22.4752], [72.8947, 134.2892], [25.3602, 199.2261]], 2.7966),
        lead(&[[185.1753, 15.9186], [48.2094, 192.8461], [60.4757, 133.347]], 7.9189),
        lead(&[[84.814, 178.3784], [120.9151, 44.5811]], 9.5895),
        lead(&[[97.4562, 137.7606], [31.0999, 92.9497]], 12.8306),
        lead(&[[137.8883, 11.0262], [10.7222, 69.479], [64.3859, 66.0689]], 8.7605),
    ];
    let shapes = shapes(&leads, Cap::Butt, Form::Ribbons);
    let found = centre_lines(&shapes, &CentreLineOptions::default()).expect("lines");
    assert_eq!(Some(found.panes.len()), holes(&shapes));
}
