//! Whole nets: every form and cap that a drawing program gives.

use crate::measure::{Allowed, check};
use crate::stroked::{Form, Lead, circle, curve, find, frame, lead, shapes};
use centre_lines::{FillRule, FilledShape};
use kurbo::Cap;
use plane::PanelPoint;

/// Leads both ways between two sides of a frame.
fn grid(columns: usize, rows: usize, pane: f64, width: f64, border: f64) -> Vec<Lead> {
    let (w, h) = (columns as f64 * pane, rows as f64 * pane);
    let mut leads = vec![frame([0.0, 0.0], [w, h], border)];
    leads.extend((1..columns).map(|c| lead(&[[c as f64 * pane, 0.0], [c as f64 * pane, h]], width)));
    leads.extend((1..rows).map(|r| lead(&[[0.0, r as f64 * pane], [w, r as f64 * pane]], width)));
    leads
}

/// Diagonal leads in a frame: quarries.
fn quarries(width: f64, border: f64) -> Vec<Lead> {
    let mut leads = vec![frame([0.0, 0.0], [240.0, 320.0], border)];
    // Lines x/60 ± y/80 = odd, between the sides.
    for k in 0..8 {
        let odd = f64::from(2 * k + 1) - 8.0;
        for sign in [1.0, -1.0] {
            let y = |x: f64| sign * 80.0 * (odd - x / 60.0);
            // Where the line meets the frame.
            let mut ends: Vec<[f64; 2]> = Vec::new();
            for x in [0.0, 240.0] {
                if (0.0..=320.0).contains(&y(x)) {
                    ends.push([x, y(x)]);
                }
            }
            for at in [0.0, 320.0] {
                let x = 60.0 * (odd - sign * at / 80.0);
                if x > 0.0 && x < 240.0 {
                    ends.push([x, at]);
                }
            }
            if let [a, b] = ends[..] {
                leads.push(lead(&[a, b], width));
            }
        }
    }
    leads
}

/// Curved leads that meet, cross and end on one another.
fn curved() -> Vec<Lead> {
    vec![
        frame([0.0, 0.0], [300.0, 400.0], 10.0),
        curve("M0 120 C100 180 200 60 300 120", 6.0),
        curve("M0 260 Q150 330 300 260", 6.0),
        curve("M150 120 C120 200 180 220 150 295", 5.0),
        curve("M150 295 C150 330 150 370 150 400", 5.0),
        curve("M60 0 C40 60 80 100 60 137.28", 5.0),
        circle(225.0, 190.0, 30.0, 5.0),
    ]
}

#[test]
fn a_grid_is_found_at_every_width_cap_and_form() {
    for (width, border) in [(4.0, 4.0), (4.0, 10.0), (6.0, 8.0), (12.0, 12.0)] {
        let leads = grid(4, 5, 70.0, width, border);
        for cap in [Cap::Butt, Cap::Round, Cap::Square] {
            for form in [Form::Ribbons, Form::Compound] {
                let found = find(&shapes(&leads, cap, form));
                let name = format!("{width} mm in {border} mm, {cap:?}, {form:?}");
                check(&name, &found, &leads, &Allowed::default());
                let widest = found.border.as_ref().expect("a border");
                assert_eq!(widest.points.len(), 4 + 2 * (3 + 4), "{name}: corners and joints of the border");
                assert!((widest.width_mm - border).abs() < 0.05, "{name}: {}", widest.width_mm);
                assert_eq!(found.lines.len(), 3 + 4, "{name}: leads run through their crossings");
                for line in &found.lines {
                    assert!((line.width_mm - width).abs() < 0.05, "{name}: {}", line.width_mm);
                }
            }
        }
    }
}

#[test]
fn quarries_are_found() {
    for (width, border) in [(4.0, 4.0), (5.0, 10.0), (8.0, 8.0)] {
        let leads = quarries(width, border);
        for form in [Form::Ribbons, Form::Compound] {
            let found = find(&shapes(&leads, Cap::Butt, form));
            // The leads meet the border at 37°, so that the joints there are long.
            let allowed = Allowed { joint_widths: 2.5, ..Allowed::default() };
            check(&format!("{width} mm, {form:?}"), &found, &leads, &allowed);
            assert_eq!(found.lines.len(), leads.len() - 1);
        }
    }
}

#[test]
fn curved_leads_are_found() {
    let leads = curved();
    for cap in [Cap::Butt, Cap::Round] {
        for form in [Form::Ribbons, Form::Compound] {
            let found = find(&shapes(&leads, cap, form));
            check(&format!("{cap:?}, {form:?}"), &found, &leads, &Allowed::default());
            assert!((found.border.expect("a border").width_mm - 10.0).abs() < 0.05);
        }
    }
}

#[test]
fn a_circle_alone_is_a_border_and_inside_one_a_closed_line() {
    for radius in [8.0, 25.0, 200.0] {
        let alone = [circle(0.0, 0.0, radius, 6.0)];
        let found = find(&shapes(&alone, Cap::Butt, Form::Ribbons));
        check(&format!("radius {radius}"), &found, &alone, &Allowed::default());
        assert!(found.lines.is_empty());
        let inside = [circle(0.0, 0.0, radius, 6.0), frame([-250.0, -250.0], [250.0, 250.0], 8.0)];
        let found = find(&shapes(&inside, Cap::Butt, Form::Ribbons));
        check(&format!("radius {radius} in a frame"), &found, &inside, &Allowed::default());
        assert!(found.lines.len() == 1 && found.lines[0].closed);
        assert!((found.lines[0].width_mm - 6.0).abs() < 0.05, "{}", found.lines[0].width_mm);
    }
}

#[test]
fn a_net_whose_leads_end_outside_has_no_border() {
    let leads: Vec<Lead> = (1..5)
        .flat_map(|i| {
            let at = f64::from(i) * 60.0;
            [lead(&[[0.0, at], [300.0, at]], 5.0), lead(&[[at, 0.0], [at, 300.0]], 5.0)]
        })
        .collect();
    let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
    check("no border", &found, &leads, &Allowed::default());
    assert!(found.border.is_none());
    assert_eq!(found.lines.len(), 8);
}

/// Applies a change to every ring of some shapes.
fn changed(shapes: &[FilledShape], change: impl Fn(&[PanelPoint]) -> Vec<PanelPoint>) -> Vec<FilledShape> {
    let ring = |ring: &Vec<PanelPoint>| change(ring);
    shapes.iter().map(|s| FilledShape { rings: s.rings.iter().map(ring).collect(), fill: s.fill }).collect()
}

#[test]
fn rounded_reversed_and_doubled_shapes_give_the_same_lines() {
    for (name, leads) in
        [("grid", grid(4, 5, 70.0, 4.0, 10.0)), ("curved", curved()), ("quarries", quarries(5.0, 10.0))]
    {
        for form in [Form::Ribbons, Form::Compound] {
            let plain = shapes(&leads, Cap::Butt, form);
            let rounded = changed(&plain, |ring| {
                let to = |v: f64| (v / 0.02).round() * 0.02;
                ring.iter().map(|p| PanelPoint::new(to(p.x()), to(p.y()))).collect()
            });
            check(&format!("{name}, {form:?}, rounded"), &find(&rounded), &leads, &Allowed::default());
            let reversed = changed(&plain, |ring| ring.iter().rev().copied().collect());
            check(&format!("{name}, {form:?}, reversed"), &find(&reversed), &leads, &Allowed::default());
            let mut doubled = plain.clone();
            doubled.extend(rounded.iter().cloned());
            doubled.extend(plain.iter().rev().cloned());
            check(&format!("{name}, {form:?}, doubled"), &find(&doubled), &leads, &Allowed::default());
        }
    }
}

#[test]
fn slivers_and_crumbs_are_no_leads() {
    let leads = grid(3, 3, 60.0, 5.0, 8.0);
    let mut shapes = shapes(&leads, Cap::Butt, Form::Ribbons);
    let rings: [&[[f64; 2]]; 4] = [
        // A crumb in a pane, a sliver along a lead, a hair across one, and a line of no width.
        &[[30.0, 30.0], [30.5, 30.0], [30.2, 30.4]],
        &[[57.45, 70.0], [57.5, 70.0], [57.5, 110.0], [57.48, 110.0]],
        &[[56.0, 90.0], [64.5, 90.0], [64.5, 90.1], [56.0, 90.1]],
        &[[0.0, 0.0], [100.0, 100.0], [0.0, 0.0]],
    ];
    for ring in rings {
        shapes.push(FilledShape { rings: vec![PanelPoint::slice(ring).to_vec()], fill: FillRule::NonZero });
    }
    check("slivers", &find(&shapes), &leads, &Allowed::default());
}

#[test]
fn chinks_between_ribbons_are_no_panes() {
    // Ribbons that butt against a frame with their corners cut, leaving chinks up to 0.3 mm at the joints.
    let leads = [frame([0.0, 0.0], [200.0, 200.0], 8.0), lead(&[[0.0, 100.0], [200.0, 100.0]], 6.0)];
    let mut given = shapes(&leads[..1], Cap::Butt, Form::Ribbons);
    let ribbon = [[3.7, 97.0], [196.3, 97.0], [196.3, 103.0], [3.7, 103.0], [4.3, 100.0]];
    given.push(FilledShape { rings: vec![PanelPoint::slice(&ribbon).to_vec()], fill: FillRule::NonZero });
    check("chinks", &find(&given), &leads, &Allowed::default());
}
