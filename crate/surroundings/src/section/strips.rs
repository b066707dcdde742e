//! The strips of a section: where they begin and end, and what share of one another's view they fill.

use std::f64::consts::PI;

use glam::{DVec2, dvec2};
use plane::RoomVector;

use super::side::Side;
use crate::site::{Site, Street};

/// Strips on a surface of finite width, shared among its stretches.
const STRIPS: usize = 24;
/// The fewest strips on a stretch between two breaks.
const FEWEST: usize = 8;
/// Strips on ground that goes on endlessly.
const STRIPS_TO_THE_HORIZON: usize = 60;
/// Where endless ground ends, in heights of what stands there: 1e-5 rad below the horizon at most.
const HORIZON: f64 = 1e5;

/// A strip endless along x, seen in section.
#[derive(Clone, Copy, Debug)]
pub(super) struct Strip {
    pub(super) side: Side,
    pub(super) ends: [DVec2; 2],
}

impl Strip {
    pub(super) fn at(&self, share: f64) -> DVec2 {
        self.ends[0].lerp(self.ends[1], share)
    }

    /// Share of this strip's view that another fills. The surfaces of a section see all of one another, and none of
    /// itself.
    ///
    /// # Source
    /// Crossed strings: Hottel & Sarofim, *Radiative Transfer* (1967), in every textbook of radiative transfer.
    pub(super) fn share_filled_by(&self, other: &Self) -> f64 {
        if self.side == other.side {
            return 0.0;
        }
        let string = |i: usize, j: usize| self.ends[i].distance(other.ends[j]);
        let crossed = string(0, 1) + string(1, 0) - string(0, 0) - string(1, 1);
        0.5 * crossed.abs() / self.ends[0].distance(self.ends[1])
    }

    /// Share of the view of a point with the given normal that this strip fills: half the difference of the sines of
    /// the angles from the normal.
    pub(super) fn share_seen_from(&self, at: DVec2, normal: f64) -> f64 {
        let (sin, cos) = normal.sin_cos();
        let along = dvec2(-sin, cos);
        let [a, b] = self.ends.map(|end| (end - at).normalize_or_zero().dot(along));
        0.5 * (a - b).abs()
    }
}

/// The strips of a site. They end where a shadow ends and where another building's roof begins to show.
pub(super) fn of(site: &Site, street: Option<Street>, sun: Option<RoomVector>) -> Vec<Strip> {
    let (own, scale) = (site.own_height_m, site.scale_m());
    let far = HORIZON * scale;
    let (mut on_ground, mut on_own, mut on_facade) = (vec![0.0], Vec::new(), Vec::new());
    if let Some([_, up, into_room]) = sun.map(RoomVector::to_array)
        && up > 0.0
    {
        if into_room > 0.0 && own > 0.0 {
            on_ground.push(own * into_room / up);
            on_facade.extend(street.map(|street| own - street.distance_m * up / into_room));
        }
        if into_room < 0.0
            && let Some(street) = street
        {
            on_ground.push(street.distance_m + street.height_m * into_room / up);
            on_own.push(street.height_m + street.distance_m * up / into_room);
        }
    }
    if let Some(street) = street {
        // Roof levels; and in a deep street, the lowest part, which exchanges most with the ground.
        on_own.extend([street.height_m, street.distance_m]);
        on_facade.extend([own, street.distance_m]);
    }
    let mut strips = Vec::new();
    let ground = (if own > 0.0 { 0.0 } else { -far }, street.map_or(far, |street| street.distance_m));
    add(&mut strips, Side::Ground, ground, on_ground, scale, |s| dvec2(s, 0.0));
    add(&mut strips, Side::Own, (0.0, own), on_own, scale, |y| dvec2(0.0, y));
    if let Some(Street { distance_m, height_m }) = street {
        add(&mut strips, Side::Facade, (0.0, height_m), on_facade, scale, |y| dvec2(distance_m, y));
    }
    strips
}

fn add(
    strips: &mut Vec<Strip>,
    side: Side,
    (from, to): (f64, f64),
    inner: Vec<f64>,
    scale: f64,
    point: impl Fn(f64) -> DVec2,
) {
    let least = 1e-6 * scale;
    let mut breaks = vec![from];
    let mut inner: Vec<f64> = inner.into_iter().filter(|v| from < *v && *v < to).collect();
    inner.sort_by(f64::total_cmp);
    breaks.extend(inner);
    breaks.push(to);
    breaks.dedup_by(|b, a| *b - *a < least);
    let whole = (to - from).min(50.0 * scale);
    for ends in breaks.windows(2) {
        let (a, b) = (ends[0], ends[1]);
        if b - a < least {
            continue;
        }
        let places = if b - a > 50.0 * scale {
            to_the_horizon(a, b, scale / 100.0)
        } else {
            let n = ((STRIPS as f64 * (b - a) / whole) as usize).clamp(FEWEST, STRIPS);
            // Finer toward both ends: corners and the edges of shadows.
            (0..=n).map(|i| a + (b - a) * (1.0 - (PI * i as f64 / n as f64).cos()) / 2.0).collect()
        };
        strips.extend(places.windows(2).map(|e| Strip { side, ends: [point(e[0]), point(e[1])] }));
    }
}

/// Places from the end that lies nearer 0 outward, each step longer than the last by the same factor.
fn to_the_horizon(a: f64, b: f64, first: f64) -> Vec<f64> {
    let n = STRIPS_TO_THE_HORIZON;
    let growth = (b - a) / first + 1.0;
    let places = (0..=n).map(|i| first * (growth.powf(i as f64 / n as f64) - 1.0));
    if a.abs() < b.abs() {
        places.map(|step| a + step).collect()
    } else {
        let mut places: Vec<f64> = places.map(|step| b - step).collect();
        places.reverse();
        places
    }
}
