//! What is not known of how paint, glass and dirt scatter forwards: the share of the scattered light that stays in the lobe,
//! and the lobe's width. Each kind of paint, each glass and all dirt have their own, common to everything that has it.
//!
//! A change moves light between the lobe and what is spread evenly, and blurs sky, ground and sun by another bell. Of this
//! only what comes straight from a piece is followed: the same light scattered another way crosses the room alike.

use std::collections::BTreeMap;

use glass::{Lobe, Makeup, Scatterer, Scattering};
use scene::DepositKind;
use uncertainty::{CauseError, Draw, NumberId, Origin};

use super::bands::LANES;
use super::deviations::{LOBE_SHARE, LOBE_WIDTH_LN};
use super::effect::NODE;
use super::listed::Listed;
use super::names::{paint, per_cent, plus_minus};
use crate::beam::Beam;
use crate::bell::Bell;
use crate::glazing::Pane;
use crate::instant::{InstantLight, LobeLight};
use crate::lobe_blurs::Blurs;
use crate::prepared::{Prepared, RECEIVERS};

/// The standard deviations by which share and width of a lobe are away: numbers with centre 0.
#[derive(Clone, Copy)]
pub(super) struct Away {
    share: NumberId,
    width: NumberId,
}

/// What scatters with a lobe, and its causes.
pub(super) struct Forward {
    known: BTreeMap<String, Away>,
    /// What dirt and corrosion are called together.
    deposits: &'static str,
}

/// What a cause does to the light of a piece: a factor 1 + a·z + b·z² for each figure.
pub(super) struct Turned {
    cause: NumberId,
    straight: [f32; LANES],
    bent: [f32; LANES],
}

impl Turned {
    /// Multiplies the figures of a piece by it.
    pub(super) fn apply(&self, draw: &Draw, figures: &mut [f32; LANES]) {
        let z = draw.number(self.cause) as f32;
        for ((figure, straight), bent) in figures.iter_mut().zip(&self.straight).zip(&self.bent) {
            *figure *= (1.0 + z * (straight + z * bent)).max(0.0);
        }
    }
}

/// A lobe of which share or width are as many standard deviations away.
fn moved(lobe: Lobe, [share, width]: [f64; 2]) -> Lobe {
    let [least, most] = Lobe::HALF_WIDTHS_DEG;
    Lobe {
        share: (lobe.share + LOBE_SHARE * share).clamp(0.0, 1.0),
        half_width_deg: (lobe.half_width_deg * (LOBE_WIDTH_LN * width).exp()).clamp(least, most),
    }
}

/// The name of what scatters with a lobe, which all that have a cause in common share; `None` if it has none.
fn name(makeup: &Makeup, of: Scatterer, lobe: Lobe) -> Option<String> {
    if lobe.share <= 0.0 {
        return None;
    }
    match of {
        Scatterer::Plate(place) => makeup.plates.get(place).map(|plate| plate.glass.name.clone()),
        Scatterer::Paint(place) => makeup.paints.get(place).map(|of| paint(&of.kind).to_owned()),
        Scatterer::Dirt(_) => Some(DIRT.to_owned()),
        Scatterer::Protective => None,
    }
}

/// Dirt and corrosion, which are told apart by little: both have the same causes.
const DIRT: &str = "dirt";

impl Forward {
    /// Of a scene with these kinds of deposit.
    pub(super) fn new(kinds: impl Iterator<Item = DepositKind>) -> Self {
        let [mut dirt, mut corrosion] = [false; 2];
        for kind in kinds {
            dirt |= kind == DepositKind::Dirt;
            corrosion |= kind == DepositKind::Corrosion;
        }
        let deposits = match (dirt, corrosion) {
            (true, true) => "dirt and corrosion",
            (false, true) => DepositKind::Corrosion.name(),
            (_, false) => DepositKind::Dirt.name(),
        };
        Self { known: BTreeMap::new(), deposits }
    }

    fn of(&mut self, name: &str, listed: &mut Listed) -> Result<Away, CauseError> {
        if let Some(known) = self.known.get(name) {
            return Ok(*known);
        }
        let mut cause = |words: String, spread| listed.added(words, 1.0, spread, Origin::Assumption);
        let words = if name == DIRT { self.deposits } else { name };
        let share = format!("share of what {words} scatters that goes forwards");
        let share = cause(share, plus_minus(LOBE_SHARE, ""))?;
        let width = cause(format!("width of what {words} scatters forwards"), per_cent(LOBE_WIDTH_LN))?;
        Ok(*self.known.entry(name.to_owned()).or_insert(Away { share, width }))
    }

    /// The lobe of what has this name, in a draw.
    #[cfg(test)]
    pub(super) fn drawn(&self, name: &str, lobe: Lobe, draw: &Draw) -> Lobe {
        let Some(away) = self.known.get(name).filter(|_| lobe.share > 0.0) else { return lobe };
        moved(lobe, [draw.number(away.share), draw.number(away.width)])
    }

    /// The same for a make-up.
    #[cfg(test)]
    pub(super) fn draw(&self, makeup: &mut Makeup, draw: &Draw) {
        for plate in &mut makeup.plates {
            let mut glass = (*plate.glass).clone();
            glass.diffuse.lobe = self.drawn(&glass.name, glass.diffuse.lobe, draw);
            plate.glass = std::sync::Arc::new(glass);
        }
        for of in &mut makeup.paints {
            of.lobe = self.drawn(paint(&of.kind), of.lobe, draw);
        }
        let pane = makeup.protective.as_mut().map(|pane| &mut pane.dirt);
        for dirt in [&mut makeup.deposits.outside, &mut makeup.deposits.inside].into_iter().chain(pane) {
            dirt.lobe = self.drawn(DIRT, dirt.lobe, draw);
        }
    }
}

/// A place from which pieces are seen.
struct Seen<'a> {
    prepared: &'a Prepared,
    light: &'a InstantLight,
}

/// The light of an instant as lobes of other widths would blur it.
pub(super) struct Lit<'a> {
    eye: Seen<'a>,
    /// The working plane, if the figure in front is there.
    front: Option<Seen<'a>>,
    receiver: usize,
    beam: Option<Beam>,
    blurs: Blurs,
}

impl<'a> Lit<'a> {
    pub(super) fn new(prepared: &'a Prepared, light: &'a InstantLight, beam: Option<Beam>) -> Self {
        let plane = light.working_plane.as_deref();
        let (at_front, receiver) = prepared.front();
        Self {
            eye: Seen { prepared, light },
            front: plane.map(|light| Seen { prepared: at_front, light }),
            receiver: if plane.is_some() { receiver } else { 0 },
            beam,
            blurs: Blurs::new(&prepared.lobes, &light.around_cd_m2),
        }
    }

    /// What is not known of a piece's lobe. `lanes`: its light, figure by figure.
    pub(super) fn turned(
        &mut self,
        piece: usize,
        lanes: &[f64; 6],
        forward: &mut Forward,
        listed: &mut Listed,
    ) -> Result<Vec<Turned>, CauseError> {
        let glazing = &self.eye.prepared.glazing;
        let pane = &glazing.panes[glazing.of_piece[piece]];
        let mut found = Vec::new();
        if pane.forward().is_none() {
            return Ok(found);
        }
        let mut names: Vec<String> = Vec::new();
        for Scattering { of, lobe, .. } in &pane.scatterers {
            let Some(name) = name(&pane.makeup, *of, *lobe).filter(|name| !names.contains(name)) else {
                continue;
            };
            let away = forward.of(&name, listed)?;
            for (cause, toward) in [(away.share, [1.0, 0.0]), (away.width, [0.0, 1.0])] {
                let [less, more] = [-NODE, NODE]
                    .map(|z| self.change(piece, [pane.lobe, pane_lobe(pane, &name, toward.map(|t| z * t))]));
                let mut turned = Turned { cause, straight: [0.0; LANES], bent: [0.0; LANES] };
                for (k, light) in lanes.iter().enumerate().filter(|(_, light)| **light > 0.0) {
                    let [less, more] = [&less, &more].map(|gain| gain[k] / light);
                    turned.straight[k] = ((more - less) / (2.0 * NODE)) as f32;
                    turned.bent[k] = ((more + less) / (2.0 * NODE * NODE)) as f32;
                }
                found.push(turned);
            }
            names.push(name);
        }
        Ok(found)
    }

    /// What the light of a piece gains when its lobe is another: X, Y and Z in front, on both receivers at the eye, its
    /// luminance.
    fn change(&mut self, piece: usize, lobes: [Lobe; 2]) -> [f64; 6] {
        let Self { eye, front, receiver, beam, blurs } = self;
        let eye_light = eye.light.pieces[piece].ways.lobe;
        let eye = eye.gain(piece, lobes, beam.as_ref(), blurs);
        let front = match front {
            Some(front) => front.gain(piece, lobes, beam.as_ref(), blurs)[*receiver],
            None => eye[*receiver],
        };
        // Light of the sky and of the sun differ in colour.
        let colours =
            eye_light.exitance.map(|of| of.to_array().map(|c| if of.y > 0.0 { c / of.y } else { 1.0 }));
        let [x, y, z] = [0, 1, 2].map(|c| front[0] * colours[0][c] + front[1] * colours[1][c]);
        let all = |of: [f64; 2]| of[0] + of[1];
        [x, y, z, all(eye[0]), all(eye[1]), all(eye[RECEIVERS])]
    }
}

/// The lobe of a pane when that of all its scatterers of this name is as many standard deviations away.
fn pane_lobe(pane: &Pane, of: &str, away: [f64; 2]) -> Lobe {
    let scatterers: Vec<Scattering> = pane
        .scatterers
        .iter()
        .map(|one| {
            let is_of = name(&pane.makeup, one.of, one.lobe).is_some_and(|name| name == of);
            Scattering { lobe: if is_of { moved(one.lobe, away) } else { one.lobe }, ..*one }
        })
        .collect();
    Lobe::of_several(&scatterers)
}

impl Seen<'_> {
    /// What the light of a piece gains at both receivers, and its luminance, when its lobe is another: by sky and ground, by
    /// the sun.
    fn gain(
        &self,
        piece: usize,
        [from, to]: [Lobe; 2],
        beam: Option<&Beam>,
        blurs: &mut Blurs,
    ) -> [[f64; 2]; RECEIVERS + 1] {
        let (of, seen) = (&self.prepared.pieces[piece], &self.light.pieces[piece]);
        let LobeLight { straight, exitance } = seen.ways.lobe;
        let share = to.share / from.share;
        // What the piece sends toward the place by either lobe, in proportion: of the sky, of the sun.
        let bells = beam.map(|beam| [from, to].map(|lobe| Bell::new(lobe, beam)));
        let mut sums = [[[0.0; 2]; 2]; RECEIVERS + 1];
        for entry in &of.entries {
            let direction = self.prepared.view[entry.cell].direction;
            let sky = blurs.at([from, to], direction);
            let sun = bells.map_or([0.0; 2], |bells| bells.map(|bell| bell.toward(direction)));
            let weights = [entry.form[0], entry.form[1], entry.solid_angle];
            for (sums, weight) in sums.iter_mut().zip(weights) {
                for k in 0..2 {
                    sums[0][k] += weight * sky[k];
                    sums[1][k] += weight * sun[k];
                }
            }
        }
        let kept = bells.map_or(1.0, |bells| {
            let [from, to] = bells.map(|bell| bell.kept());
            if from > 0.0 { to / from } else { 1.0 }
        });
        // What leaves the lobe is spread evenly.
        let evenly = [exitance[0].y * (1.0 - share), exitance[1].y * (1.0 - share * kept)];
        let over = |[from, to]: [f64; 2]| if from > 0.0 { to / from } else { 1.0 };
        let forms = [of.form[0], of.form[1], std::f64::consts::FRAC_1_PI];
        std::array::from_fn(|r| {
            let by_lobe = |k: usize| straight[r][k] * (share * over(sums[r][k]) - 1.0);
            [0, 1].map(|k| by_lobe(k) + forms[r] * evenly[k])
        })
    }
}
