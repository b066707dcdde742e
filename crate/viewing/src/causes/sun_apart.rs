//! The light of an instant in two parts, where a cause may switch the sun on or off: all but the sun's beam on the window,
//! and what the whole beam adds.
//!
//! Each part is followed for itself: as factors of their sum, causes that hide and uncover the sun would multiply.

use daylight::{Outside, Sky};
use scene::Resolved;
use spectra::{Spectrum, luminous};
use uncertainty::{Draw, NumberId};

use super::levels::{Levels, in_front};
use super::sun_edges::{CAUSES, SunEdges};
use crate::instant::{InstantLight, Irradiance};
use crate::prepared::{Prepared, RECEIVERS};

/// Share of the sky that is clouded from which the sun may be nearly gone. Below, its light is a smooth curve.
const CLOUDED: f64 = 0.5;

/// The two parts.
pub(super) struct SunApart {
    /// Without the beam on the window.
    pub shut: Outside,
    pub rest: InstantLight,
    pub rest_levels: Levels,
    /// With the whole beam.
    pub open: Outside,
    pub all: InstantLight,
    /// What the whole beam adds to the figures.
    pub sun_levels: Levels,
    /// Share of the whole beam that the window gets with every cause at its centre.
    share: f64,
    edges: Option<SunEdges>,
    beam: Spectrum,
    front: Spectrum,
    eye: [Spectrum; RECEIVERS],
    clear: Spectrum,
    pieces: Vec<Spectrum>,
}

impl SunApart {
    /// `None` if the sun does not reach the window, or no cause may switch it on or off.
    pub(super) fn new(prepared: &Prepared, resolved: &Resolved, outside: &Outside) -> Option<Self> {
        let beam = outside.whole_beam();
        if beam.max() <= 0.0 || outside.sun_cosine(prepared.wall.facing_deg, 90.0) <= 0.0 {
            return None;
        }
        let share = outside.beam_normal().max() / beam.max();
        let clouded = matches!(resolved.sky, Sky::Overcast { cloud, .. } if cloud > CLOUDED && cloud < 1.0);
        let edges = SunEdges::new(resolved, outside);
        if edges.is_none() && (share <= 0.0 || !clouded) {
            return None;
        }
        let [shut, open] = [0.0, 1.0].map(|share| outside.clone().with_sun_share(share));
        let [rest, all] = [&shut, &open].map(|outside| prepared.light(outside));
        let more = |all: Spectrum, rest: Spectrum| (all - rest).map(|light| light.max(0.0));
        let [(at_rest, receiver), (at_all, _)] = [&rest, &all].map(|light| in_front(prepared, light));
        let piece = |(all, rest): (Option<Spectrum>, Option<Spectrum>)| {
            more(all.unwrap_or_default(), rest.unwrap_or_default())
        };
        let mut apart = Self {
            rest_levels: Levels::of(prepared, &rest),
            sun_levels: Levels::all(0.0, 0),
            share,
            edges,
            beam,
            front: more(at_all.on(receiver).total(), at_rest.on(receiver).total()),
            eye: std::array::from_fn(|r| more(all.on(r).total(), rest.on(r).total())),
            clear: more(at_all.clear[receiver], at_rest.clear[receiver]),
            pieces: all
                .pieces
                .iter()
                .zip(&rest.pieces)
                .map(|(a, r)| piece((a.radiance, r.radiance)))
                .collect(),
            shut,
            rest,
            open,
            all,
        };
        apart.sun_levels = apart.sun_in(&beam);
        Some(apart)
    }

    /// The numbers of the causes that can move an edge, as [`SunEdges`] has them.
    pub(super) fn moved_by(&mut self, causes: [Option<NumberId>; CAUSES]) {
        self.edges.iter_mut().for_each(|edges| edges.moved_by(causes));
    }

    /// Whether a cause may move an edge before the sun.
    pub(super) fn has_edges(&self) -> bool {
        self.edges.is_some()
    }

    /// Share of the whole beam that the window gets in a draw.
    pub(super) fn share_at(&self, draw: &Draw) -> f64 {
        self.edges.as_ref().map_or(self.share, |edges| edges.at(draw))
    }

    /// What a whole beam of another strength or colour adds.
    pub(super) fn sun_in(&self, beam: &Spectrum) -> Levels {
        let over = beam.zip_map(&self.beam, |then, now| if now > 0.0 { then / now } else { 0.0 });
        Levels::from_totals(
            &(self.front * over),
            self.eye.map(|light| light * over),
            &(self.clear * over),
            self.pieces.iter().map(|light| luminous(&(*light * over))).collect(),
        )
    }

    /// What the whole beam adds at a receiver, by path: of `all` and `rest`, which are the light of this instant at one place.
    pub(super) fn irradiance([all, rest]: [&Irradiance; 2]) -> Irradiance {
        Irradiance {
            sky_ground: all.sky_ground - rest.sky_ground,
            sun: all.sun - rest.sun,
            room: all.room - rest.room,
        }
    }
}
