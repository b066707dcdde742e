//! The figures whose ranges are asked for, as plain numbers.

use spectra::{Observer, Spectrum, TristimulusWeights, luminous};

use crate::instant::InstantLight;
use crate::prepared::{Prepared, RECEIVERS};

/// X, Y and Z of the figure in front, and the illuminances at the eye, vertical and horizontal.
pub(super) const FIGURES: usize = 5;

/// A number for each figure: what it is, or by how much it changes.
#[derive(Clone)]
pub(super) struct Levels {
    pub figures: [f64; FIGURES],
    /// At the figure in front with clear glass, lx.
    pub clear: f64,
    /// Luminance of each piece, 0 for one that cannot be seen.
    pub pieces: Vec<f64>,
}

impl Levels {
    /// The figures of an instant.
    pub(super) fn of(prepared: &Prepared, light: &InstantLight) -> Self {
        let (at_front, receiver) = in_front(prepared, light);
        Self::from_totals(
            &at_front.on(receiver).total(),
            [&light.vertical, &light.horizontal].map(|on| on.total()),
            &at_front.clear[receiver],
            light.pieces.iter().map(|p| p.radiance.map_or(0.0, |r| luminous(&r))).collect(),
        )
    }

    pub(super) fn from_totals(
        front: &Spectrum,
        eye: [Spectrum; RECEIVERS],
        clear: &Spectrum,
        pieces: Vec<f64>,
    ) -> Self {
        let xyz = TristimulusWeights::absolute(Observer::Cie1931).xyz(front);
        let [vertical, horizontal] = eye.map(|total| luminous(&total));
        Self { figures: [xyz.x, xyz.y, xyz.z, vertical, horizontal], clear: luminous(clear), pieces }
    }

    /// The same number for each.
    pub(super) fn all(number: f64, pieces: usize) -> Self {
        Self { figures: [number; FIGURES], clear: number, pieces: vec![number; pieces] }
    }

    /// All of them in one row.
    pub(super) fn iter(&self) -> impl Iterator<Item = f64> + '_ {
        self.figures.iter().chain(std::iter::once(&self.clear)).chain(&self.pieces).copied()
    }

    pub(super) fn iter_mut(&mut self) -> impl Iterator<Item = &mut f64> {
        self.figures.iter_mut().chain(std::iter::once(&mut self.clear)).chain(&mut self.pieces)
    }

    /// Each of these with its counterpart.
    pub(super) fn with(mut self, other: &Self, of: impl Fn(f64, f64) -> f64) -> Self {
        for (one, other) in self.iter_mut().zip(other.iter()) {
            *one = of(*one, other);
        }
        self
    }
}

/// The light at the figure in front and its receiver there.
pub(super) fn in_front<'a>(prepared: &Prepared, light: &'a InstantLight) -> (&'a InstantLight, usize) {
    match light.working_plane.as_deref() {
        Some(plane) => (plane, prepared.front().1),
        None => (light, 0),
    }
}
