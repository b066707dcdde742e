//! What a report says of the depth of leads and bars.

use scene::{Resolved, ResolvedWindow, USUAL_LEAF_MM};
use schemars::JsonSchema;
use serde::Serialize;

use crate::prepared::Prepared;

/// The depth of the leads of one window.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LeadReport {
    /// Id of the window.
    pub window: String,
    /// How far their leaves stand out from the glass, mm.
    pub leaf_mm: f64,
    /// Share of the light of a CIE standard overcast sky, over a ground that reflects 0.2, that the depth of leads and bars
    /// takes of what passes flat ones, 0–1. Mean over the glass.
    pub overcast_taken: f64,
}

impl Prepared {
    /// The leads of all windows whose leads have depth.
    pub(crate) fn lead_reports(&self, resolved: &Resolved) -> Vec<LeadReport> {
        let of = |(window, id): (usize, &str)| {
            let leaf_mm = resolved.scene.windows.get(window)?.wall.as_ref()?.leaf_mm?;
            let (mut taken, mut area) = (0.0, 0.0);
            for (p, shape) in self.wall.pieces.iter().enumerate().filter(|(_, s)| s.window == window) {
                let [passes, _] = self.wall.lead_depth(p).map_or([1.0, 0.0], |depth| depth.overcast());
                taken += shape.area_m2 * (1.0 - passes);
                area += shape.area_m2;
            }
            let overcast_taken = if area > 0.0 { taken / area } else { 0.0 };
            Some(LeadReport { window: id.to_owned(), leaf_mm, overcast_taken })
        };
        resolved.windows.iter().map(|window| window.id.as_str()).enumerate().filter_map(of).collect()
    }
}

/// What flat leads leave out of the figures, by window whose leads count as flat.
pub(crate) fn flat_leads_in_words(resolved: &Resolved) -> Vec<String> {
    let flat = |(k, window): (usize, &ResolvedWindow)| {
        let stated = resolved.scene.windows.get(k).and_then(|window| window.wall.as_ref()?.leaf_mm);
        let taken = usually_taken(window);
        (stated.is_none() && taken >= 0.005).then(|| {
            format!(
                "leads: those of “{}” count as flat; leaves that stand out {USUAL_LEAF_MM} mm would take about {:.0} % of an \
                 overcast sky's light, less straight on and more from the side",
                window.id,
                100.0 * taken
            )
        })
    };
    resolved.windows.iter().enumerate().filter_map(flat).collect()
}

/// Width of the strip that usual leaves and the glass between them take across an edge, mm, mean over that sky.
const STRIP_MM: f64 = 5.0;

/// About what the depth of usual leads would take of an overcast sky's light: strips of [`STRIP_MM`] along every edge, as if
/// edges ran in all directions alike.
fn usually_taken(window: &ResolvedWindow) -> f64 {
    let (mut along_mm, mut area_mm2) = (0.0, 0.0);
    for polygon in window.panel.pieces.iter().flat_map(|piece| &piece.light) {
        let rings = polygon.rings();
        along_mm += rings.flat_map(plane::edges).map(|(a, b)| a.vector().distance(b.vector())).sum::<f64>();
        area_mm2 += polygon.area_mm2();
    }
    // The mean of |cos| over all directions is 2/π, and every strip is counted from two sides.
    if area_mm2 > 0.0 { (STRIP_MM * along_mm / (std::f64::consts::PI * area_mm2)).min(1.0) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lead_depth::{Arriving, LeadDepth};
    use panel::Polygon;
    use plane::{PanelOnWall, PanelPoint, WallPoint};

    #[test]
    fn the_strip_is_that_of_an_overcast_sky() {
        let corner = |k: u32| {
            let angle = f64::from(k) * std::f64::consts::TAU / 64.0;
            PanelPoint::new(200.0 + 200.0 * angle.cos(), 200.0 + 200.0 * angle.sin())
        };
        let disc = Polygon { outer: (0..64).map(corner).collect(), holes: Vec::new() };
        let place = PanelOnWall { lower_left: WallPoint::new(1.0, 1.0) };
        let ring = vec![disc.outer.iter().map(|&p| place.wall_from_panel(p)).collect::<Vec<_>>()];
        let depth =
            LeadDepth::new(USUAL_LEAF_MM, &place, &[disc], [&ring, &ring], &[], &Arriving::everywhere());
        // Perimeter / (π · area) of a disc.
        let strip_mm = (1.0 - depth.overcast()[0]) * 200.0 * std::f64::consts::PI / 2.0;
        assert!((strip_mm - STRIP_MM).abs() < 0.1, "{strip_mm}");
    }
}
