//! What is not known of room, ground and sky, and what each of it changes in every figure.
//!
//! Ground, air and cloud: the light is computed again with the cause one standard deviation away. Level and colour of
//! the sky follow from the shares of the light; the room from the exchange of its six surfaces. Effects multiply, which
//! keeps light positive and is exact to first order.

use daylight::{Outside, Sky};
use scene::{Reflectance, Resolved, Surfaces};
use spectra::{Observer, Spectrum, TristimulusWeights, luminous};
use uncertainty::{CauseError, NumberId, Origin};

use super::deviations::{
    AEROSOL_LN, AEROSOL_STATED_LN, CLOUD, GROUND_LN, GROUND_MEASURED_LN, SKY_COLOUR_LN, SKYLINE_LN,
    SURFACE_LN, SURFACE_MEASURED_LN,
};
use super::exchange::elasticities;
use super::listed::Listed;
use super::names::{per_cent, plus_minus};
use crate::box_room::Surface;
use crate::instant::{InstantLight, Irradiance, PieceLight};
use crate::prepared::Prepared;
use crate::room_response::Receiver;

/// X, Y and Z of the figure in front, and the illuminances at the eye, vertical and horizontal.
pub(super) const FIGURES: usize = 5;

/// The figures of an instant, and what clear glass lets in.
pub(super) struct Levels {
    pub figures: [f64; FIGURES],
    /// At the figure in front, lx.
    pub clear: f64,
    /// Luminance of each piece, 0 for one that cannot be seen.
    pub pieces: Vec<f64>,
}

impl Levels {
    pub(super) fn of(prepared: &Prepared, light: &InstantLight) -> Self {
        let (at_front, receiver) = in_front(prepared, light);
        let xyz = TristimulusWeights::absolute(Observer::Cie1931).xyz(&at_front.on(receiver).total());
        let [vertical, horizontal] = [&light.vertical, &light.horizontal].map(|on| luminous(&on.total()));
        Self {
            figures: [xyz.x, xyz.y, xyz.z, vertical, horizontal],
            clear: luminous(&at_front.clear[receiver]),
            pieces: light.pieces.iter().map(|p| p.radiance.map_or(0.0, |r| luminous(&r))).collect(),
        }
    }
}

/// The light at the figure in front and its receiver there.
pub(super) fn in_front<'a>(prepared: &Prepared, light: &'a InstantLight) -> (&'a InstantLight, usize) {
    match light.working_plane.as_deref() {
        Some(plane) => (plane, prepared.front().1),
        None => (light, 0),
    }
}

/// A number for each figure.
pub(super) struct Logs {
    pub figures: [f64; FIGURES],
    pub clear: f64,
    pub pieces: Vec<f64>,
}

impl Logs {
    /// Logarithms of what the figures are over what they were; 0 for what is dark before or after.
    fn of(now: &Levels, then: &Levels) -> Self {
        let log = |now: f64, then: f64| if now > 0.0 && then > 0.0 { (then / now).ln() } else { 0.0 };
        Self {
            figures: std::array::from_fn(|k| log(now.figures[k], then.figures[k])),
            clear: log(now.clear, then.clear),
            pieces: now.pieces.iter().zip(&then.pieces).map(|(now, then)| log(*now, *then)).collect(),
        }
    }

    fn combined(&self, other: &Self, with: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            figures: std::array::from_fn(|k| with(self.figures[k], other.figures[k])),
            clear: with(self.clear, other.clear),
            pieces: self.pieces.iter().zip(&other.pieces).map(|(a, b)| with(*a, *b)).collect(),
        }
    }
}

/// What a cause does to the logarithm of each figure: so much for each standard deviation, and so much for its square.
pub(super) struct Effect {
    #[cfg(test)]
    pub name: String,
    /// A number of standard deviations.
    pub cause: NumberId,
    pub straight: Logs,
    pub bend: Option<Logs>,
}

/// Everything around the window.
pub(super) struct Around<'a> {
    prepared: &'a Prepared,
    resolved: &'a Resolved,
    outside: &'a Outside,
    light: &'a InstantLight,
    levels: &'a Levels,
    pub effects: Vec<Effect>,
}

impl<'a> Around<'a> {
    pub(super) fn new(
        prepared: &'a Prepared,
        resolved: &'a Resolved,
        outside: &'a Outside,
        light: &'a InstantLight,
        levels: &'a Levels,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let mut around = Self { prepared, resolved, outside, light, levels, effects: Vec::new() };
        let ground = around.ground(listed)?;
        around.air(listed)?;
        around.level(ground, listed)?;
        around.colour(listed)?;
        around.room(listed)?;
        Ok(around)
    }

    fn add(
        &mut self,
        name: &str,
        spread: String,
        straight: Logs,
        bend: Option<Logs>,
        listed: &mut Listed,
    ) -> Result<(), CauseError> {
        let cause = listed.added(name.to_owned(), 1.0, spread, Origin::Assumption)?;
        self.effects.push(Effect {
            #[cfg(test)]
            name: name.to_owned(),
            cause,
            straight,
            bend,
        });
        Ok(())
    }

    /// The effect of the scene with a cause at one standard deviation below and above, `changed` by −1 and 1, at the
    /// same instant. Returns what it does to each figure; nothing if the light cannot be computed.
    fn with(
        &mut self,
        name: &str,
        spread: String,
        changed: impl Fn(&mut Resolved, f64),
        listed: &mut Listed,
    ) -> Result<[f64; FIGURES], CauseError> {
        let mut scene = self.resolved.clone();
        let mut logs = |z: f64| {
            scene.ground.clone_from(&self.resolved.ground);
            scene.horizon.clone_from(&self.resolved.horizon);
            scene.sky.clone_from(&self.resolved.sky);
            changed(&mut scene, z);
            let outside = scene.outside(self.outside.instant()).ok()?;
            Some(Logs::of(self.levels, &Levels::of(self.prepared, &self.prepared.light(&outside))))
        };
        let (Some(less), Some(more)) = (logs(-1.0), logs(1.0)) else { return Ok([0.0; FIGURES]) };
        let straight = more.combined(&less, |more, less| 0.5 * (more - less));
        let bend = more.combined(&less, |more, less| 0.5 * (more + less));
        let figures = straight.figures;
        self.add(name, spread, straight, Some(bend), listed)?;
        Ok(figures)
    }

    /// Reflectance of ground and skyline. Returns the share of each figure that comes from the ground.
    fn ground(&mut self, listed: &mut Listed) -> Result<[f64; FIGURES], CauseError> {
        let sd = match self.resolved.scene.ground {
            Reflectance::Samples(_) => GROUND_MEASURED_LN,
            _ => GROUND_LN,
        };
        let lighter = |rho: Spectrum, sd: f64| rho.map(|rho| (rho * sd.exp()).min(1.0));
        let changed =
            |scene: &mut Resolved, z: f64| scene.ground.albedo = lighter(scene.ground.albedo, z * sd);
        let found = self.with("reflectance of the ground", per_cent(sd), changed, listed)?;
        if !self.resolved.horizon.points.is_empty() {
            let changed = |scene: &mut Resolved, z: f64| {
                scene.horizon.reflectance = lighter(scene.horizon.reflectance, z * SKYLINE_LN);
            };
            self.with("reflectance of the skyline", per_cent(SKYLINE_LN), changed, listed)?;
        }
        Ok(found.map(|log| (log / sd).clamp(0.0, 1.0)))
    }

    /// Haze and cloud.
    fn air(&mut self, listed: &mut Listed) -> Result<(), CauseError> {
        let stated = match &self.resolved.scene.sky {
            scene::Sky::Clear { air } | scene::Sky::Overcast { air, .. } => air.aerosol_depth_500nm.is_some(),
            scene::Sky::Standard { .. } => false,
        };
        let sd = if stated { AEROSOL_STATED_LN } else { AEROSOL_LN };
        let (hazy, partly) = match self.resolved.sky {
            Sky::Clear { .. } => (true, false),
            Sky::Overcast { cloud, .. } => (cloud < 1.0, cloud > 0.0 && cloud < 1.0),
            Sky::Standard { .. } => (false, false),
        };
        if hazy {
            let changed = |scene: &mut Resolved, z: f64| {
                if let Sky::Clear { atmosphere } | Sky::Overcast { atmosphere, .. } = &mut scene.sky {
                    atmosphere.aod_500nm *= (z * sd).exp();
                }
            };
            self.with("haze, aerosol depth of the air", per_cent(sd), changed, listed)?;
        }
        if partly {
            let changed = |scene: &mut Resolved, z: f64| {
                if let Sky::Overcast { cloud, .. } = &mut scene.sky {
                    *cloud = (*cloud + z * CLOUD).clamp(0.0, 1.0);
                }
            };
            self.with("share of the sky that is clouded", plus_minus(CLOUD, ""), changed, listed)?;
        }
        Ok(())
    }

    /// Level of the diffuse light. `ground` is the share of each figure that comes from the ground.
    fn level(&mut self, ground: [f64; FIGURES], listed: &mut Listed) -> Result<(), CauseError> {
        let sd = self.outside.diffuse_relative_sd();
        if sd <= 0.0 {
            return Ok(());
        }
        let by_sun = |part: f64, all: f64| if all > 0.0 { (part / all).clamp(0.0, 1.0) } else { 0.0 };
        let diffuse = luminous(&self.outside.diffuse_horizontal());
        let global = luminous(&self.outside.global_horizontal());
        let sunny_ground = by_sun(global - diffuse, global);
        let (beam, sky) = self.outside.irradiance_on(self.prepared.wall.facing_deg, 90.0);
        let (beam, sky) = (luminous(&beam), luminous(&sky));
        let sunny_window = by_sun(beam, beam + sky);
        let (front, receiver) = in_front(self.prepared, self.light);
        let of = |light: &Irradiance, ground: f64| {
            let [total, sky_ground, room] = [&light.total(), &light.sky_ground, &light.room].map(luminous);
            if total <= 0.0 {
                return 0.0;
            }
            let diffuse = (sky_ground + room * (1.0 - sunny_window)) / total;
            sd * (diffuse - ground * sunny_ground).clamp(0.0, 1.0)
        };
        let at_front = of(front.on(receiver), ground[1]);
        let figures = [
            at_front,
            at_front,
            at_front,
            of(&self.light.vertical, ground[3]),
            of(&self.light.horizontal, ground[4]),
        ];
        let pieces = vec![sd; self.levels.pieces.len()];
        // The same room in the same light: clear glass has about the same share of it.
        let straight = Logs { figures, clear: at_front, pieces };
        self.add("level of the sky", per_cent(sd), straight, None, listed)
    }

    /// Colour of sun and sky.
    fn colour(&mut self, listed: &mut Listed) -> Result<(), CauseError> {
        let blue = 1.0 / 450.0 - 1.0 / 560.0;
        let tilt = Spectrum::from_fn(|nm| (SKY_COLOUR_LN * (1.0 / nm - 1.0 / 560.0) / blue).exp());
        let (front, receiver) = in_front(self.prepared, self.light);
        let weights = TristimulusWeights::absolute(Observer::Cie1931);
        let xyz = weights.xyz(&(front.on(receiver).total() * tilt));
        let [vertical, horizontal] =
            [&self.light.vertical, &self.light.horizontal].map(|on| luminous(&(on.total() * tilt)));
        let seen = |piece: &PieceLight| piece.radiance.map_or(0.0, |radiance| luminous(&(radiance * tilt)));
        let then = Levels {
            figures: [xyz.x, xyz.y, xyz.z, vertical, horizontal],
            clear: luminous(&(front.clear[receiver] * tilt)),
            pieces: self.light.pieces.iter().map(seen).collect(),
        };
        let spread = format!("{} blue against green", per_cent(SKY_COLOUR_LN));
        self.add("colour of sun and sky", spread, Logs::of(self.levels, &then), None, listed)
    }

    /// Reflectances of the room's surfaces.
    fn room(&mut self, listed: &mut Listed) -> Result<(), CauseError> {
        let Surfaces { window_wall, back_wall, left_wall, right_wall, floor, ceiling } =
            &self.resolved.scene.room.surfaces;
        let stated = [window_wall, back_wall, left_wall, right_wall, floor, ceiling];
        let (front, receiver) = in_front(self.prepared, self.light);
        let of = |light: &Irradiance, receiver: &Receiver| {
            let [total, room] = [&light.total(), &light.room].map(luminous);
            let share = if total > 0.0 { room / total } else { 0.0 };
            elasticities(&self.prepared.wall.room, &self.prepared.surfaces, receiver).map(|e| e * share)
        };
        let on = front.on(receiver);
        let at_front = of(on, &self.prepared.front().0.receivers[receiver]);
        // The room's light has a colour of its own.
        let weights = TristimulusWeights::absolute(Observer::Cie1931);
        let [room, total] = [weights.xyz(&on.room), weights.xyz(&on.total())];
        let share = |room: f64, total: f64| if total > 0.0 { room / total } else { 0.0 };
        let green = share(room.y, total.y);
        let tint = [(room.x, total.x), (room.y, total.y), (room.z, total.z)]
            .map(|(room, total)| if green > 0.0 { share(room, total) / green } else { 0.0 });
        let vertical = of(&self.light.vertical, &self.prepared.receivers[0]);
        let horizontal = of(&self.light.horizontal, &self.prepared.receivers[1]);
        for (s, stated) in stated.into_iter().enumerate() {
            let sd = match stated {
                Reflectance::Samples(_) => SURFACE_MEASURED_LN,
                _ => SURFACE_LN,
            };
            let front = sd * at_front[s];
            let [x, y, z] = tint.map(|tint| front * tint);
            let figures = [x, y, z, sd * vertical[s], sd * horizontal[s]];
            let name = format!("reflectance of the {}", Surface::ALL[s].name().replace('_', " "));
            let pieces = vec![0.0; self.levels.pieces.len()];
            self.add(&name, per_cent(sd), Logs { figures, clear: front, pieces }, None, listed)?;
        }
        Ok(())
    }
}
