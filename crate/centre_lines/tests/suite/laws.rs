//! What holds for any shapes.

use crate::stroked::{Form, Lead, lead, shapes};
use centre_lines::{CentreLineOptions, CentreLines, FillRule, FilledShape, between_panes, centre_lines};
use kurbo::Cap;
use plane::{PanelPoint, bounds};
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_net_gives_finite_lines_within_its_box(leads in nets(), round in any::<bool>(), compound in any::<bool>()) {
        let form = if compound { Form::Compound } else { Form::Ribbons };
        let shapes = shapes(&leads, if round { Cap::Round } else { Cap::Butt }, form);
        let found = centre_lines(&shapes, &CentreLineOptions::default(), &|| false).expect("lines");
        check_sound(&found, &shapes, 0.05);
    }

    #[test]
    fn any_rings_give_sound_lines_or_a_fault(shapes in rings()) {
        if let Ok(found) = centre_lines(&shapes, &CentreLineOptions::default(), &|| false) {
            check_sound(&found, &shapes, 0.05);
        }
        if let Ok(found) = between_panes(&shapes, None, &CentreLineOptions::default(), &|| false) {
            check_sound(&found, &shapes, 80.0);
        }
    }
}
