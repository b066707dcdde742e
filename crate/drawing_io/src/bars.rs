//! Which lines and shapes are saddle bars.

use plane::PanelVector;

use crate::layer::Layer;
use crate::meeting::{MEETING_MM, ends_of};
use crate::near::Near;
use crate::part::{Part, bounds, path_of};
use crate::role::Role;

/// Lines on which at most this share of bars' worth of ends lie may be bars: ends for each line.
const ENDS_ON_A_BAR: f64 = 0.5;

/// A rectangle is a bar if it is at least so many times as long as it is wide.
const LEAST_LENGTH_WIDTHS: f64 = 5.0;

/// Widest bar drawn as a rectangle, mm. Common practice, no source.
const WIDEST_MM: f64 = 40.0;

/// A shape that fills this share of the rectangle around it is one, perhaps with rounded ends.
const RECTANGLE_SHARE: f64 = 0.93;

/// A bar drawn as a rectangle: its axis, and its width in mm.
pub(crate) struct DrawnBar {
    pub(crate) axis: Part,
    pub(crate) width_mm: f64,
}

/// The bar that a closed part draws; `None` if it is no long rectangle.
pub(crate) fn drawn_bar(part: &Part) -> Option<DrawnBar> {
    let longest = part.edges().max_by(|a, b| (a.1 - a.0).length().total_cmp(&(b.1 - b.0).length()))?;
    let step = longest.1 - longest.0;
    if !part.closed || step.length() <= 0.0 {
        return None;
    }
    let along: PanelVector = step * (1.0 / step.length());
    let across = PanelVector::new(-along[1], along[0]);
    let origin = longest.0;
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for &point in &part.points {
        let from = point - origin;
        for (axis, at) in [from.dot(along), from.dot(across)].into_iter().enumerate() {
            (low[axis], high[axis]) = (low[axis].min(at), high[axis].max(at));
        }
    }
    let (length, width_mm) = (high[0] - low[0], high[1] - low[1]);
    let is_bar = width_mm > 0.0
        && width_mm <= WIDEST_MM
        && length >= LEAST_LENGTH_WIDTHS * width_mm
        && part.area_mm2() >= RECTANGLE_SHARE * length * width_mm;
    if !is_bar {
        return None;
    }
    let middle = f64::midpoint(low[1], high[1]);
    let at = |s: f64| origin + along * s + across * middle;
    let axis = Part::new(path_of(&[at(low[0]), at(high[0])], false), part.shape)?;
    Some(DrawnBar { axis, width_mm })
}

/// Whether all lines of a group run straight, level or upright.
pub(crate) fn could_be_bars(layer: &Layer) -> bool {
    layer.parts.iter().all(|part| {
        let [low, high] = bounds([part]).unwrap_or_default();
        part.is_straight() && (high[1] - low[1]).min(high[0] - low[0]) < 0.02 * (high - low).length()
    })
}

/// Whether lines, or rectangles along them, run across what the leads enclose, from side to side and perhaps beyond.
pub(crate) fn cross_the_leads(parts: &[Part], layers: &[Layer]) -> bool {
    let leads = layers.iter().filter(|other| other.group.role == Role::Cutlines);
    let Some([low, high]) = bounds(leads.flat_map(|other| &other.parts)) else { return false };
    parts.iter().all(|part| {
        let [from, to] = bounds([part]).unwrap_or_default();
        let along = usize::from(to[1] - from[1] > to[0] - from[0]);
        let across = 1 - along;
        from[along] <= low[along] + MEETING_MM
            && to[along] >= high[along] - MEETING_MM
            && from[across] > low[across] + MEETING_MM
            && to[across] < high[across] - MEETING_MM
    })
}

/// Whether straight lines are bars: they look unlike the leads, and no leads end on them.
pub(crate) fn are_bars(layer: &Layer, layers: &[Layer]) -> bool {
    let leads = || layers.iter().filter(|other| other.group.role == Role::Cutlines);
    let near = Near::new(layer.parts.iter());
    let ends = leads()
        .flat_map(|other| ends_of(&other.parts))
        .filter(|&(end, _)| near.within(end, MEETING_MM / 3.0));
    leads().all(|other| other.group.look != layer.group.look)
        && ends.count() as f64 <= ENDS_ON_A_BAR * layer.parts.len() as f64
}

/// The axes of a group all of whose shapes are rectangles across the leads; `None` for any other group.
pub(crate) fn rectangles_across(layer: &Layer, layers: &[Layer]) -> Option<Vec<Part>> {
    let axes: Option<Vec<Part>> =
        layer.parts.iter().map(|part| drawn_bar(part).map(|bar| bar.axis)).collect();
    axes.filter(|axes| !axes.is_empty() && cross_the_leads(axes, layers))
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::PanelPoint;

    fn bar(data: &str) -> Option<(PanelPoint, PanelPoint, f64)> {
        let part = crate::part::parts(&panel::read_path(data).expect("a path"), 0).remove(0);
        drawn_bar(&part).map(|bar| (bar.axis.points[0], bar.axis.points[1], bar.width_mm))
    }

    #[test]
    fn a_long_rectangle_is_a_bar_along_its_middle() {
        let (from, to, width) = bar("M0 294H400V306H0Z").expect("a bar");
        assert!((width - 12.0).abs() < 1e-9);
        assert!((from[1] - 300.0).abs() < 1e-9 && (to[1] - 300.0).abs() < 1e-9);
        assert!(((to[0] - from[0]).abs() - 400.0).abs() < 1e-9);
        assert!(bar("M0 0L300 400L292 406L-8 6Z").is_some_and(|(_, _, width)| (width - 10.0).abs() < 1e-9));
        assert!(bar("M0 0H40V12H0Z").is_none());
        assert!(bar("M0 0H400L200 20Z").is_none());
    }
}
