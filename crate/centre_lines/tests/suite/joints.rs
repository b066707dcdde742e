//! Single joints and ends.

use crate::measure::{Allowed, Arrangement, check, distance, found_lines};
use crate::stroked::{Form, Lead, curve, find, frame, lead, shapes};
use kurbo::Cap;

/// A bar and a lead that ends on its centre line at an angle (degrees).
fn tee(angle: f64, bar: f64, stem: f64) -> Vec<Lead> {
    let (sin, cos) = angle.to_radians().sin_cos();
    let far = [100.0 + 120.0 * cos, 120.0 * sin];
    vec![lead(&[[-60.0, 0.0], [260.0, 0.0]], bar), lead(&[[100.0, 0.0], far], stem)]
}

#[test]
fn leads_end_on_others_at_any_angle() {
    for angle in [90.0, 60.0, 45.0, 30.0] {
        for (bar, stem) in [(4.0, 4.0), (6.0, 6.0), (12.0, 12.0), (10.0, 4.0), (4.0, 8.0)] {
            for form in [Form::Ribbons, Form::Compound] {
                let leads = tee(angle, bar, stem);
                let found = find(&shapes(&leads, Cap::Butt, form));
                // The sharper the angle, the longer the joint.
                let reach = 1.5f64.max(0.75 / f64::to_radians(angle / 2.0).sin());
                let allowed = Allowed { joint_widths: reach, ..Allowed::default() };
                check(&format!("{angle}° {bar} {stem} {form:?}"), &found, &leads, &allowed);
                assert_eq!(found.lines.len(), 2);
            }
        }
    }
}

#[test]
fn leads_cross_at_any_angle() {
    for angle in [90.0f64, 60.0, 40.0] {
        for (one, other) in [(5.0, 5.0), (10.0, 4.0)] {
            let (sin, cos) = angle.to_radians().sin_cos();
            let leads = [
                lead(&[[-90.0, 0.0], [90.0, 0.0]], one),
                lead(&[[-90.0 * cos, -90.0 * sin], [90.0 * cos, 90.0 * sin]], other),
            ];
            let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
            let allowed = Allowed { joint_widths: 2.0, ..Allowed::default() };
            check(&format!("{angle}° {one} {other}"), &found, &leads, &allowed);
            assert_eq!(found.lines.len(), 2);
        }
    }
}

#[test]
fn three_leads_meet_in_a_point() {
    let leads: Vec<Lead> = [90.0, 210.0, 330.0f64]
        .map(|a| lead(&[[0.0, 0.0], [80.0 * a.to_radians().cos(), 80.0 * a.to_radians().sin()]], 6.0))
        .to_vec();
    for cap in [Cap::Round, Cap::Square] {
        let found = find(&shapes(&leads, cap, Form::Ribbons));
        // Square and round caps lengthen the free ends or not: only the joint is compared here.
        let shared = found_lines(&found).iter().flat_map(|l| [l[0], l[l.len() - 1]]).collect::<Vec<_>>();
        let at_joint: Vec<_> = shared.iter().filter(|p| distance(**p, [0.0, 0.0]) < 0.3).collect();
        assert_eq!(at_joint.len(), 3, "{cap:?}: {shared:?}");
        assert!(at_joint.iter().all(|p| *p == at_joint[0]), "{cap:?}: {shared:?}");
    }
}

#[test]
fn three_leads_cross_in_a_point() {
    let leads: Vec<Lead> = [10.0, 70.0, 130.0f64]
        .map(|a| {
            let (sin, cos) = a.to_radians().sin_cos();
            lead(&[[-80.0 * cos, -80.0 * sin], [80.0 * cos, 80.0 * sin]], 5.0)
        })
        .to_vec();
    let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
    check("star", &found, &leads, &Allowed::default());
    assert_eq!(found.lines.len(), 3);
}

#[test]
fn staggered_leads_stay_staggered() {
    let leads = [
        frame([-60.0, -60.0], [160.0, 60.0], 6.0),
        lead(&[[-60.0, 0.0], [160.0, 0.0]], 6.0),
        lead(&[[40.0, 0.0], [40.0, 60.0]], 5.0),
        lead(&[[44.0, 0.0], [44.0, -60.0]], 5.0),
    ];
    for form in [Form::Ribbons, Form::Compound] {
        check("staggered", &find(&shapes(&leads, Cap::Butt, form)), &leads, &Allowed::default());
    }
}

#[test]
fn bends_are_found() {
    for turn in [20.0f64, 45.0, 90.0, 120.0] {
        let (sin, cos) = turn.to_radians().sin_cos();
        let leads = [lead(&[[-70.0, 0.0], [0.0, 0.0], [70.0 * cos, 70.0 * sin]], 6.0)];
        let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
        check(&format!("{turn}°"), &found, &leads, &Allowed::default());
        assert_eq!(found.lines.len(), 1);
    }
}

#[test]
fn a_lead_of_two_widths_is_two_lines() {
    let leads = [lead(&[[0.0, 0.0], [80.0, 0.0]], 4.0), lead(&[[80.0, 0.0], [160.0, 0.0]], 8.0)];
    let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
    check("two widths", &found, &leads, &Allowed::default());
    let mut widths: Vec<f64> = found.lines.iter().map(|line| line.width_mm).collect();
    widths.sort_by(f64::total_cmp);
    assert!(
        widths.len() == 2 && (widths[0] - 4.0).abs() < 0.05 && (widths[1] - 8.0).abs() < 0.05,
        "{widths:?}"
    );
}

#[test]
fn a_free_end_stays_free_a_millimetre_short() {
    for (cap, end) in [(Cap::Butt, 96.0), (Cap::Square, 93.0), (Cap::Round, 93.0)] {
        // The shape of the cap ends 1 mm below the edge of the bar at 97.
        let leads = [lead(&[[-60.0, 100.0], [60.0, 100.0]], 6.0), lead(&[[0.0, 0.0], [0.0, end]], 6.0)];
        let found = find(&shapes(&leads, cap, Form::Ribbons));
        let ends = Arrangement::of(&found_lines(&found), 1e-6).free_ends();
        assert_eq!(ends.len(), 4, "{cap:?}: {ends:?}");
        let wanted = [0.0, if cap == Cap::Round { 93.0 } else { 96.0 }];
        assert!(ends.iter().any(|&p| distance(p, wanted) < 0.2), "{cap:?}: {ends:?}");
    }
}

#[test]
fn a_curved_lead_ends_at_its_cap() {
    for cap in [Cap::Butt, Cap::Round] {
        let leads = [curve("M0 0 C0 40 40 60 80 60", 5.0)];
        let found = find(&shapes(&leads, cap, Form::Ribbons));
        check(&format!("{cap:?}"), &found, &leads, &Allowed::default());
        let ends = Arrangement::of(&found_lines(&found), 1e-6).free_ends();
        for wanted in [[0.0, 0.0], [80.0, 60.0]] {
            assert!(ends.iter().any(|&p| distance(p, wanted) < 0.2), "{cap:?}: {ends:?}");
        }
    }
}

#[test]
fn small_panes_stay_panes() {
    // Panes hardly wider than the leads around them.
    let mut leads = vec![frame([0.0, 0.0], [60.0, 60.0], 6.0)];
    for at in [12.0, 24.0, 36.0, 48.0] {
        leads.push(lead(&[[at, 0.0], [at, 60.0]], 6.0));
        leads.push(lead(&[[0.0, at], [60.0, at]], 6.0));
    }
    for form in [Form::Ribbons, Form::Compound] {
        check(&format!("{form:?}"), &find(&shapes(&leads, Cap::Butt, form)), &leads, &Allowed::default());
    }
    let found = find(&shapes(&leads, Cap::Butt, Form::Ribbons));
    assert_eq!(Arrangement::of(&found_lines(&found), 1e-6).areas().len(), 25);
}
