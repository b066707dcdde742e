//! Panes with gaps between them.

use crate::measure::{Allowed, check};
use crate::stroked::{Lead, frame, lead, polylines};
use centre_lines::{CentreLineOptions, CentreLinesFault, FillRule, FilledShape, between_panes};
use kurbo::{Affine, RoundedRect, Shape};
use plane::PanelPoint;

fn filled(shape: impl Shape, place: Affine) -> FilledShape {
    let path = place * shape.to_path(1e-3);
    let rings = polylines(&path, 0.01).iter().map(|ring| PanelPoint::slice(ring).to_vec()).collect();
    FilledShape { rings, fill: FillRule::NonZero }
}

const COLUMNS: usize = 4;
const ROWS: usize = 5;

/// Panes in columns and rows, 60 by 70 mm with the gap, and the centre lines of the gaps within a border line, whose corners
/// may be round.
fn panes(gap: f64, radius: f64, border: [f64; 4], outer_radius: f64) -> (Vec<FilledShape>, Vec<Lead>) {
    let mut panes = Vec::new();
    for c in 0..COLUMNS {
        for r in 0..ROWS {
            let (x, y) = (c as f64 * 60.0, r as f64 * 70.0);
            let rect = RoundedRect::new(
                x + gap / 2.0,
                y + gap / 2.0,
                x + 60.0 - gap / 2.0,
                y + 70.0 - gap / 2.0,
                radius,
            );
            panes.push(filled(rect, Affine::IDENTITY));
        }
    }
    let [left, bottom, right, top] = border;
    let mut leads = vec![frame([left, bottom], [right, top], gap)];
    if outer_radius > 0.0 {
        leads[0].path = RoundedRect::new(left, bottom, right, top, outer_radius).to_path(1e-3);
    }
    leads.extend((1..COLUMNS).map(|c| lead(&[[c as f64 * 60.0, bottom], [c as f64 * 60.0, top]], gap)));
    leads.extend((1..ROWS).map(|r| lead(&[[left, r as f64 * 70.0], [right, r as f64 * 70.0]], gap)));
    (panes, leads)
}

/// The radius of a border line half a lead outside panes: its corners follow theirs, if these are not nearly sharp.
fn rounded(gap: f64, radius: f64) -> f64 {
    if radius > 0.15 * gap { radius + gap / 2.0 } else { 0.0 }
}

fn allowed(gap: f64, radius: f64) -> Allowed {
    // Rounded panes make the joints larger.
    Allowed { beside: 0.05, joint_widths: 1.5 + radius / gap, ..Allowed::default() }
}

#[test]
fn leads_lie_between_panes_without_an_outline() {
    for gap in [4.0, 5.0, 8.0] {
        for radius in [0.0, 1.0, 4.0] {
            let (panes, leads) = panes(gap, radius, [0.0, 0.0, 240.0, 350.0], rounded(gap, radius));
            let found = between_panes(&panes, None, &CentreLineOptions::default()).expect("lines");
            let name = format!("gap {gap}, rounded by {radius}");
            check(&name, &found, &leads, &allowed(gap, radius));
            let border = found.border.as_ref().expect("a border");
            assert!((border.width_mm - gap).abs() < 0.1, "{name}: border of {}", border.width_mm);
            for line in &found.lines {
                assert!((line.width_mm - gap).abs() < 0.05, "{name}: {}", line.width_mm);
            }
        }
    }
}

#[test]
fn an_outline_sets_the_border_lead() {
    for (gap, outside) in [(4.0, 8.0), (6.0, 3.0)] {
        for radius in [0.0, 3.0] {
            // The border lead reaches from the panes' edges at gap/2 to `outside` beyond the grid.
            let (low, middle) = (-outside, (gap / 2.0 - outside) / 2.0);
            let (panes, leads) = panes(gap, radius, [middle, middle, 240.0 - middle, 350.0 - middle], 0.0);
            let rect = kurbo::Rect::new(low, low, 240.0 - low, 350.0 - low);
            let outline = filled(rect, Affine::IDENTITY);
            let options = CentreLineOptions::default();
            let found = between_panes(&panes, Some(&outline), &options).expect("lines");
            let name = format!("gap {gap}, outline {outside} mm outside, rounded by {radius}");
            check(&name, &found, &leads, &allowed(gap, radius));
            let width = outside + gap / 2.0;
            let border = found.border.as_ref().expect("a border");
            assert!((border.width_mm - width).abs() < 0.1, "{name}: border of {}", border.width_mm);
        }
    }
}

#[test]
fn leads_end_at_an_outline_along_the_panes() {
    // No border lead: the outline runs along the outer panes' edges.
    let gap = 5.0;
    let (panes, mut leads) = panes(gap, 0.0, [2.5, 2.5, 237.5, 347.5], 0.0);
    leads.remove(0);
    let outline = filled(kurbo::Rect::new(2.5, 2.5, 237.5, 347.5), Affine::IDENTITY);
    let found = between_panes(&panes, Some(&outline), &CentreLineOptions::default()).expect("lines");
    assert!(found.border.is_none());
    check("no border", &found, &leads, &Allowed::default());
}

#[test]
fn turned_panes_give_turned_leads() {
    let turn = Affine::rotate(0.4);
    let (_, leads) = panes(5.0, 2.0, [0.0, 0.0, 240.0, 350.0], rounded(5.0, 2.0));
    let mut turned = Vec::new();
    for c in 0..COLUMNS {
        for r in 0..ROWS {
            let (x, y) = (c as f64 * 60.0, r as f64 * 70.0);
            turned.push(filled(RoundedRect::new(x + 2.5, y + 2.5, x + 57.5, y + 67.5, 2.0), turn));
        }
    }
    let leads: Vec<Lead> = leads.into_iter().map(|l| Lead { path: turn * l.path, width: l.width }).collect();
    let found = between_panes(&turned, None, &CentreLineOptions::default()).expect("lines");
    check("turned", &found, &leads, &allowed(5.0, 2.0));
}

#[test]
fn one_pane_alone_has_no_leads() {
    let pane = filled(kurbo::Rect::new(0.0, 0.0, 100.0, 100.0), Affine::IDENTITY);
    let found = between_panes(&[pane], None, &CentreLineOptions::default());
    assert_eq!(found, Err(CentreLinesFault::NoLead));
}
