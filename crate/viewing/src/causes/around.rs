//! What is not known of room, ground, buildings and sky, and what each of it changes in every figure.
//!
//! Whatever lies outside is computed again with the cause moved; the room follows from the exchange of its six surfaces.
//! Effects multiply, which keeps light positive and is exact to first order.

use daylight::{CLEAR_MODEL_FROM_DEG, DaylightError, Ground, Horizon, Level, Outside, Sky, SkySpectrum};
use scene::{Reflectance, Resolved, Surfaces};
use spectra::{Observer, Spectrum, TristimulusWeights, luminous};
use uncertainty::{NumberId, Origin};

use super::deviations::{
    AEROSOL_LN, AEROSOL_STATED_LN, CLOUD, GROUND_LN, GROUND_MEASURED_LN, LEAF_MM, SKY_COLOUR_LN, SKYLINE_LN,
    STANDARD_BEAM_LN, SURFACE_LN, SURFACE_MEASURED_LN, TWILIGHT_COLOUR_LN, TWILIGHT_DEG,
};
use super::effect::{Effect, Moved, NODE, Shape};
use super::error::RangesError;
use super::levels::{Levels, in_front};
use super::listed::Listed;
use super::names::{per_cent, plus_minus};
use super::nodes::{NODES, Nodes};
use super::room;
use super::skies::{Edges, Skies};
use super::sun_apart::SunApart;
use crate::box_room::Surface;
use crate::instant::{InstantLight, PieceLight};
use crate::prepared::Prepared;

/// Names of causes that tests set in a scene, too.
pub(super) mod names {
    pub(in crate::causes) const GROUND: &str = "reflectance of the ground";
    pub(in crate::causes) const SKYLINE: &str = "reflectance of the skyline";
    pub(in crate::causes) const SKYLINE_HEIGHT: &str = "altitude of the skyline";
    pub(in crate::causes) const TREES: &str = "density of the crowns of trees";
    pub(in crate::causes) const LEAVES: &str = "when leaves come and fall";
    pub(in crate::causes) const HAZE: &str = "haze, aerosol depth of the air";
    pub(in crate::causes) const CLOUD: &str = "share of the sky that is clouded";
    pub(in crate::causes) const LEVEL: &str = "level of the sky";
    pub(in crate::causes) const BEAM: &str = "turbidity of the air, beam of the sun";
    pub(in crate::causes) const LEADS: &str = "how far the leads stand out";
    pub(in crate::causes) const COLOUR: &str = "colour of sun and sky";
    pub(in crate::causes) const OWN_HEIGHT: &str = "height of the own building";
    pub(in crate::causes) const OWN_WALL: &str = "reflectance of the own building";
    pub(in crate::causes) const BLOCK_HEIGHT: &str = "height of the buildings opposite";
    pub(in crate::causes) const BLOCK_DISTANCE: &str = "distance of the buildings opposite";
    pub(in crate::causes) const BLOCK_WALL: &str = "reflectance of the buildings opposite";

    /// What moves an edge before the sun, in the order of `SunEdges`.
    pub(in crate::causes) const SUN_EDGES: [&str; 5] =
        [BLOCK_HEIGHT, BLOCK_DISTANCE, SKYLINE_HEIGHT, TREES, LEAVES];

    pub(in crate::causes) fn surface(surface: crate::box_room::Surface) -> String {
        format!("reflectance of the {}", surface.name().replace('_', " "))
    }
}

/// A factor e^(sd·z), less 1.
pub(super) fn by_factor(sd: f64) -> Moved {
    Box::new(move |z| (sd * z).exp() - 1.0)
}

/// A reflectance times e^(sd·z), up to 1.
pub(super) fn lighter(rho: &Spectrum, sd: f64, z: f64) -> Spectrum {
    let factor = (sd * z).exp();
    rho.map(|rho| (rho * factor).min(1.0))
}

/// How far a reflectance is from the one believed in, relative.
pub(super) fn by_reflectance(rho: Spectrum, sd: f64) -> Moved {
    let mean = luminous(&rho);
    Box::new(move |z| if mean > 0.0 { luminous(&lighter(&rho, sd, z)) / mean - 1.0 } else { 0.0 })
}

/// How far a reflectance may be off: one that is stated by wavelength counts as measured.
pub(super) fn sd_of(stated: &Reflectance, [listed, measured]: [f64; 2]) -> f64 {
    if matches!(stated, Reflectance::Samples(_)) { measured } else { listed }
}

/// What is stated of the room's surfaces, in the order of [`Surface::ALL`].
pub(super) fn stated_surfaces(surfaces: &Surfaces) -> [&Reflectance; 6] {
    let Surfaces { window_wall, back_wall, left_wall, right_wall, floor, ceiling } = surfaces;
    [window_wall, back_wall, left_wall, right_wall, floor, ceiling]
}

/// What lies outside.
pub(super) struct There {
    pub sky: Sky,
    pub ground: Ground,
    pub horizon: Horizon,
}

/// Changes it by so many standard deviations.
pub(super) type Changed<'a> = &'a dyn Fn(&mut There, f64);

/// Everything around the window.
pub(super) struct Around<'a> {
    pub prepared: &'a Prepared,
    pub resolved: &'a Resolved,
    pub outside: &'a Outside,
    pub light: &'a InstantLight,
    levels: &'a Levels,
    /// What the sun's beam adds to all this, where it is followed apart.
    pub apart: Option<&'a SunApart>,
    listed: &'a mut Listed,
    pub effects: Vec<Effect>,
}

/// The effects of all causes around the window. With the sun `apart`, on the light without its beam and on that of its beam.
///
/// # Errors
/// Whatever the light outside cannot be computed with, and deviations that are not finite.
pub(super) fn effects(
    prepared: &Prepared,
    resolved: &Resolved,
    outside: &Outside,
    light: &InstantLight,
    levels: &Levels,
    apart: Option<&SunApart>,
    listed: &mut Listed,
) -> Result<Vec<Effect>, RangesError> {
    let (outside, light, levels) =
        apart.map_or((outside, light, levels), |apart| (&apart.shut, &apart.rest, &apart.rest_levels));
    let skies = Skies::new(prepared, outside, light, Edges::Stay);
    let mut around =
        Around { prepared, resolved, outside, light, levels, apart, listed, effects: Vec::new() };
    around.ground(&skies)?;
    around.skyline()?;
    around.trees(&skies)?;
    around.air(&skies)?;
    around.level(&skies)?;
    around.colour()?;
    around.room(&skies)?;
    around.buildings()?;
    around.leads()?;
    Ok(around.effects)
}

impl Around<'_> {
    pub(super) fn cause(
        &mut self,
        name: &str,
        spread: String,
        origin: Origin,
    ) -> Result<NumberId, RangesError> {
        Ok(self.listed.added(name.to_owned(), 1.0, spread, origin)?)
    }

    /// The light outside with something changed by `z` standard deviations.
    pub(super) fn changed(
        &self,
        changed: Changed<'_>,
        z: f64,
        level: Level,
    ) -> Result<Outside, DaylightError> {
        let Resolved { place, sky, ground, horizon, .. } = self.resolved;
        let mut there = There { sky: sky.clone(), ground: *ground, horizon: horizon.clone() };
        changed(&mut there, z);
        let There { sky, ground, horizon } = &there;
        let there = Outside::at_level(place, self.outside.instant(), sky, ground, horizon, level)?;
        Ok(if self.apart.is_some() { there.with_sun_share(0.0) } else { there })
    }

    /// What the sun's beam adds under another sky, where it is followed apart.
    fn sun(&self, there: &Outside) -> Option<(&Levels, Levels)> {
        self.apart.map(|apart| (&apart.sun_levels, apart.sun_in(&there.whole_beam())))
    }

    /// Adds a cause in which light is linear; `there` is the light with it moved by `z` standard deviations.
    pub(super) fn add_straight(
        &mut self,
        cause: NumberId,
        moved: Moved,
        skies: &Skies<'_>,
        (z, there): (f64, &Outside),
    ) {
        let of_sun = self.sun(there).map(|(now, then)| Shape::straight(now, (moved(z), then)));
        let effect = Effect::straight(cause, moved, self.levels, (z, skies.at(there)));
        self.effects.push(effect.with_sun(of_sun));
    }

    /// Adds a cause in which light is linear.
    fn straight(
        &mut self,
        (name, sd): (&str, f64),
        moved: Moved,
        skies: &Skies<'_>,
        changed: Changed<'_>,
    ) -> Result<(), RangesError> {
        let cause = self.cause(name, per_cent(sd), Origin::Assumption)?;
        // Downward, where no reflectance meets its limit of 1.
        let there = self.changed(changed, -1.0, Level::default())?;
        self.add_straight(cause, moved, skies, (-1.0, &there));
        Ok(())
    }

    /// Adds any other cause.
    pub(super) fn curved(
        &mut self,
        (name, spread): (&str, String),
        moved: Moved,
        now: &Levels,
        skies: &Skies<'_>,
        changed: Changed<'_>,
    ) -> Result<(), RangesError> {
        let cause = self.cause(name, spread, Origin::Assumption)?;
        let [less, more] = [-NODE, NODE].map(|z| self.changed(changed, z, Level::default()));
        let (less, more) = (less?, more?);
        let of_sun = self
            .sun(&less)
            .zip(self.sun(&more))
            .map(|((now, less), (_, more))| Shape::curved(now, [-NODE, NODE].map(&moved), [less, more]));
        let effect = Effect::curved(cause, moved, now, [skies.at(&less), skies.at(&more)]);
        self.effects.push(effect.with_sun(of_sun));
        Ok(())
    }

    /// Adds a cause that is no smooth curve.
    pub(super) fn noded(
        &mut self,
        (name, spread): (&str, String),
        moved: Moved,
        now: &Levels,
        skies: &Skies<'_>,
        changed: Changed<'_>,
    ) -> Result<(), RangesError> {
        let cause = self.cause(name, spread, Origin::Assumption)?;
        let (mut then, mut then_sun) = (Vec::new(), Vec::new());
        for z in NODES {
            if z.abs() < f64::EPSILON {
                then.push(now.clone());
                then_sun.extend(self.apart.map(|apart| apart.sun_levels.clone()));
            } else {
                let there = self.changed(changed, z, Level::default())?;
                then.push(skies.at(&there));
                then_sun.extend(self.sun(&there).map(|(_, then)| then));
            }
        }
        let at = NODES.map(&moved);
        let of_sun = self.apart.map(|apart| Shape::Noded(Nodes::new(at, &apart.sun_levels, then_sun)));
        let effect = Effect::new(cause, moved, Shape::Noded(Nodes::new(at, now, then)));
        self.effects.push(effect.with_sun(of_sun));
        Ok(())
    }

    /// Adds a cause that moves edges outside: one of the sun's, if there are any.
    pub(super) fn edged(
        &mut self,
        name: (&str, String),
        moved: Moved,
        now: &Levels,
        skies: &Skies<'_>,
        changed: Changed<'_>,
    ) -> Result<(), RangesError> {
        if self.apart.is_some_and(SunApart::has_edges) {
            self.noded(name, moved, now, skies, changed)
        } else {
            self.curved(name, moved, now, skies, changed)
        }
    }

    /// Reflectance of ground and skyline.
    fn ground(&mut self, skies: &Skies<'_>) -> Result<(), RangesError> {
        let sd = sd_of(&self.resolved.scene.ground, [GROUND_LN, GROUND_MEASURED_LN]);
        let albedo = self.resolved.ground.albedo;
        let changed = |there: &mut There, z: f64| there.ground.albedo = lighter(&albedo, sd, z);
        let moved = by_reflectance(albedo, sd);
        if matches!(self.resolved.sky, Sky::Clear { .. }) {
            self.straight((names::GROUND, sd), moved, skies, &changed)?;
        } else {
            // Light goes back and forth between ground and cloud.
            self.curved((names::GROUND, per_cent(sd)), moved, self.levels, skies, &changed)?;
        }
        if !self.resolved.horizon.points.is_empty() {
            let rho = self.resolved.horizon.reflectance;
            let changed =
                |there: &mut There, z: f64| there.horizon.reflectance = lighter(&rho, SKYLINE_LN, z);
            self.straight((names::SKYLINE, SKYLINE_LN), by_reflectance(rho, SKYLINE_LN), skies, &changed)?;
        }
        Ok(())
    }

    /// Haze and cloud.
    fn air(&mut self, skies: &Skies<'_>) -> Result<(), RangesError> {
        let stated = match &self.resolved.scene.sky {
            scene::Sky::Clear { air } | scene::Sky::Overcast { air, .. } => air.aerosol_depth_500nm.is_some(),
            scene::Sky::Standard { .. } => false,
        };
        let sd = if stated { AEROSOL_STATED_LN } else { AEROSOL_LN };
        let cover = match self.resolved.sky {
            Sky::Clear { .. } => Some(0.0),
            Sky::Overcast { cloud, .. } => Some(cloud),
            Sky::Standard { .. } => None,
        };
        if cover.is_some_and(|cloud| cloud < 1.0) {
            let changed = |there: &mut There, z: f64| {
                if let Sky::Clear { atmosphere } | Sky::Overcast { atmosphere, .. } = &mut there.sky {
                    atmosphere.aod_500nm *= (z * sd).exp();
                }
            };
            self.curved((names::HAZE, per_cent(sd)), Box::new(|z| z), self.levels, skies, &changed)?;
        }
        if let Some(cloud) = cover.filter(|cloud| *cloud > 0.0 && *cloud < 1.0) {
            let at = move |z: f64| (cloud + z * CLOUD).clamp(0.0, 1.0);
            let changed = |there: &mut There, z: f64| {
                if let Sky::Overcast { cloud, .. } = &mut there.sky {
                    *cloud = at(z);
                }
            };
            let (name, moved) = ((names::CLOUD, plus_minus(CLOUD, "")), Box::new(move |z| at(z) - cloud));
            if self.apart.is_some() {
                self.noded(name, moved, self.levels, skies, &changed)?;
            } else {
                self.curved(name, moved, self.levels, skies, &changed)?;
            }
        }
        Ok(())
    }

    /// Level of the light of the sky; and of the sun's beam, where no haze tells it.
    fn level(&mut self, skies: &Skies<'_>) -> Result<(), RangesError> {
        let beam = if self.apart.is_some() { self.outside.whole_beam() } else { self.outside.beam_normal() };
        let beam = matches!(self.resolved.sky, Sky::Standard { .. }) && beam.max() > 0.0;
        let sky_sd = self.outside.diffuse_relative_sd();
        for (name, sd, of_sky) in
            [(names::LEVEL, sky_sd, true), (names::BEAM, if beam { STANDARD_BEAM_LN } else { 0.0 }, false)]
        {
            if sd <= 0.0 {
                continue;
            }
            let cause = self.cause(name, per_cent(sd), Origin::Assumption)?;
            let factor = (-sd).exp();
            let level =
                if of_sky { Level { sky: factor, beam: 1.0 } } else { Level { sky: 1.0, beam: factor } };
            let there = self.changed(&|_, _| (), 0.0, level)?;
            self.add_straight(cause, by_factor(sd), skies, (-1.0, &there));
        }
        Ok(())
    }

    /// Colour of sun and sky.
    fn colour(&mut self) -> Result<(), RangesError> {
        let sd = self.colour_sd();
        let blue = 1.0 / 450.0 - 1.0 / 560.0;
        let tilt = |z: f64| Spectrum::from_fn(|nm| (sd * z * (1.0 / nm - 1.0 / 560.0) / blue).exp());
        let (front, receiver) = in_front(self.prepared, self.light);
        let tilted = |tilt: Spectrum| {
            let seen =
                |piece: &PieceLight| piece.radiance.map_or(0.0, |radiance| luminous(&(radiance * tilt)));
            Levels::from_totals(
                &(front.on(receiver).total() * tilt),
                [&self.light.vertical, &self.light.horizontal].map(|on| on.total() * tilt),
                &(front.clear[receiver] * tilt),
                self.light.pieces.iter().map(seen).collect(),
            )
        };
        let spread = format!("{} blue against green", per_cent(sd));
        let cause = self.cause(names::COLOUR, spread, Origin::Assumption)?;
        if sd > SKY_COLOUR_LN {
            let then = [-NODE, NODE].map(|z| tilted(tilt(z)));
            self.effects.push(Effect::curved(cause, Box::new(|z| z), self.levels, then));
            return Ok(());
        }
        let tilt = tilt(1.0);
        let then = tilted(tilt);
        let of_sun = self.apart.map(|apart| {
            Shape::straight(&apart.sun_levels, (1.0, apart.sun_in(&(self.outside.whole_beam() * tilt))))
        });
        let effect = Effect::straight(cause, Box::new(|z| z), self.levels, (1.0, then));
        self.effects.push(effect.with_sun(of_sun));
        Ok(())
    }

    /// Standard deviation of the colour of sun and sky, where the scene does not state it: larger below a low sun.
    fn colour_sd(&self) -> f64 {
        if let Sky::Standard { spectrum: SkySpectrum::Daylight { .. }, .. } = self.resolved.sky {
            return SKY_COLOUR_LN;
        }
        let altitude_deg = self.outside.sun().altitude_deg();
        let low = (CLEAR_MODEL_FROM_DEG - altitude_deg) / (CLEAR_MODEL_FROM_DEG - TWILIGHT_DEG);
        SKY_COLOUR_LN + low.clamp(0.0, 1.0) * (TWILIGHT_COLOUR_LN - SKY_COLOUR_LN)
    }

    /// How far the leads stand out, where they have depth: to first order as under an overcast sky. What is seen of a piece
    /// is as bright between high leads as between low ones.
    fn leads(&mut self) -> Result<(), RangesError> {
        // By how much the light through each piece falls for each mm.
        let falls = |p: usize| {
            self.prepared.wall.lead_depth(p).map_or(0.0, |depth| {
                let [passes, falls] = depth.overcast();
                falls / passes.max(1e-3)
            })
        };
        let falls: Vec<f64> = (0..self.light.pieces.len()).map(falls).collect();
        if falls.iter().all(|falls| *falls <= 0.0) {
            return Ok(());
        }
        let slope = |light: &InstantLight, receiver: usize, weight: &Spectrum| {
            let received = light.pieces.iter().map(|piece| piece.received[receiver].dot(weight));
            let (fall, all) = received
                .zip(&falls)
                .fold((0.0, 0.0), |(fall, all), (received, falls)| (fall + received * falls, all + received));
            if all > 0.0 { -LEAF_MM * fall / all } else { 0.0 }
        };
        let (front, receiver) = in_front(self.prepared, self.light);
        let weights = TristimulusWeights::absolute(Observer::Cie1931);
        let [x, y, z] = weights.spectra();
        let [of_x, of_y, of_z] = [x, y, z].map(|weight| slope(front, receiver, weight));
        let eye = [0, 1].map(|receiver| slope(self.light, receiver, y));
        let mut slope = Levels::all(of_y, self.light.pieces.len());
        slope.figures = [of_x, of_y, of_z, eye[0], eye[1]];
        let cause = self.cause(names::LEADS, plus_minus(LEAF_MM, " mm"), Origin::Assumption)?;
        slope.pieces.fill(0.0);
        self.effects.push(Effect::sloping(cause, Box::new(|z| z), slope));
        Ok(())
    }

    /// Reflectances of the room's surfaces.
    fn room(&mut self, skies: &Skies<'_>) -> Result<(), RangesError> {
        let stated = stated_surfaces(&self.resolved.scene.room.surfaces);
        let slopes = room::slopes(self.prepared, self.light, None, skies.around(), self.outside);
        let of_sun = self.apart.map(|apart| {
            let dark = vec![0.0; skies.around().len()];
            room::slopes(self.prepared, &apart.all, Some(&apart.rest), &dark, &apart.open)
        });
        let mut of_sun = of_sun.map(IntoIterator::into_iter);
        for ((s, stated), slope) in stated.into_iter().enumerate().zip(slopes) {
            let sd = sd_of(stated, [SURFACE_LN, SURFACE_MEASURED_LN]);
            let name = names::surface(Surface::ALL[s]);
            let cause = self.cause(&name, per_cent(sd), Origin::Assumption)?;
            let of_sun = of_sun.as_mut().and_then(Iterator::next).map(Shape::Straight);
            self.effects.push(Effect::sloping(cause, by_factor(sd), slope).with_sun(of_sun));
        }
        Ok(())
    }
}
