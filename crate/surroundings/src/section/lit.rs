//! A section in a light.

use std::f64::consts::PI;

use glam::{DVec2, dvec2};
use plane::{RoomPoint, RoomVector};

use super::Section;
use super::side::Side;
use super::sky::AcrossSky;
use crate::light::{Light, Met, Surface, Vertical};
use crate::quadrature::gauss;
use crate::site::Reflectances;
use crate::solve::exitances;

/// A section whose strips send out what they settled on.
pub(crate) struct LitSection<'a> {
    section: &'a Section,
    light: Light<'a>,
    reflectances: Reflectances,
    sky: AcrossSky,
    exitances: Vec<f64>,
}

/// Illuminance of a point, by source.
#[derive(Clone, Copy, Debug, Default)]
struct Gathered {
    sky: f64,
    sun: f64,
    ground: f64,
    own: f64,
    facade: f64,
}

impl Gathered {
    fn total(&self) -> f64 {
        self.sky + self.sun + self.ground + self.own + self.facade
    }
}

impl Section {
    pub(crate) fn lit<'a>(&'a self, light: Light<'a>, reflectances: &Reflectances) -> LitSection<'a> {
        let sky = AcrossSky::new(light.sky);
        let rule = gauss(3);
        let mut direct = Vec::with_capacity(self.strips.len());
        for strip in &self.strips {
            direct
                .push(rule.iter().map(|(x, w)| w * self.direct(&sky, light, strip.side, strip.at(*x))).sum());
        }
        let n = self.strips.len();
        let exitances = exitances(
            &direct,
            |i| of(reflectances, self.strips[i].side),
            |i, exitance| self.factors[i * n..(i + 1) * n].iter().zip(exitance).map(|(f, m)| f * m).sum(),
        );
        LitSection { section: self, light, reflectances: *reflectances, sky, exitances }
    }

    fn direct(&self, sky: &AcrossSky, light: Light<'_>, side: Side, at: DVec2) -> f64 {
        let (from, to) = self.open_sky(side, at);
        sky.between(side.normal_angle(), from, to) + light.beam_normal * self.sunlit(side, at)
    }
}

fn of(reflectances: &Reflectances, side: Side) -> f64 {
    match side {
        Side::Ground => reflectances.ground,
        Side::Own => reflectances.own_building,
        Side::Facade => reflectances.opposite,
    }
}

impl LitSection<'_> {
    pub(crate) fn vertical(&self) -> Vertical {
        let gathered = self.gathered(Side::Own, dvec2(0.0, self.section.window_height));
        Vertical { sky: gathered.sky, ground: gathered.ground, facade: gathered.facade, sun: gathered.sun }
    }

    pub(crate) fn met(&self, toward: RoomVector) -> Met {
        let section = self.section;
        let [right, up, into_room] = toward.to_array();
        let (away, height) = (-into_room, section.window_height);
        let point = |t: f64| RoomPoint::new(right * t, height + up * t, into_room * t);
        if away > 0.0
            && let Some(street) = section.street
        {
            let t = street.distance_m / away;
            let y = height + up * t;
            if (0.0..=street.height_m).contains(&y) {
                let luminance = self.luminance(Side::Facade, dvec2(street.distance_m, y));
                return Met { surface: Surface::Facade, at: Some(point(t)), luminance };
            }
            if y > street.height_m && up < 0.0 {
                let t = (street.height_m - height) / up;
                return Met { surface: Surface::Roof, at: Some(point(t)), luminance: 0.0 };
            }
        }
        if up < 0.0 {
            let t = -height / up;
            let luminance = self.luminance(Side::Ground, dvec2(away * t, 0.0));
            return Met { surface: Surface::Ground, at: Some(point(t)), luminance };
        }
        Met { surface: Surface::Sky, at: None, luminance: (self.light.sky)(toward) }
    }

    fn luminance(&self, side: Side, at: DVec2) -> f64 {
        of(&self.reflectances, side) * self.gathered(side, at).total() / PI
    }

    fn gathered(&self, side: Side, at: DVec2) -> Gathered {
        let normal = side.normal_angle();
        let (from, to) = self.section.open_sky(side, at);
        let mut gathered = Gathered {
            sky: self.sky.between(normal, from, to),
            sun: self.light.beam_normal * self.section.sunlit(side, at),
            ..Gathered::default()
        };
        for (strip, exitance) in self.section.strips.iter().zip(&self.exitances) {
            // Behind the plane of the own wall lies ground only where there is no building.
            if strip.side == side || (side == Side::Own && strip.at(0.5).x < 0.0) {
                continue;
            }
            let part = exitance * strip.share_seen_from(at, normal);
            match strip.side {
                Side::Ground => gathered.ground += part,
                Side::Own => gathered.own += part,
                Side::Facade => gathered.facade += part,
            }
        }
        gathered
    }
}
