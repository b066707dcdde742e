//! The world outside as seen from a wall: compass and panel directions, the sky by its spectra.

use daylight::{Direction, Horizon, Outside};
use plane::PanelSpaceVector;
use spectra::Spectrum;
use std::f64::consts::FRAC_1_PI;
use std::sync::OnceLock;

use crate::light::field::SKY_COLUMNS;
use crate::light::horizon::{Edges, Layers, seen};
use crate::reference::Surroundings;

/// The compass direction of a unit vector of the panel's frame.
pub(crate) fn compass(facing_deg: f64, direction: PanelSpaceVector) -> Direction {
    let [x, y, z] = direction.to_array();
    Direction {
        altitude_deg: y.clamp(-1.0, 1.0).asin().to_degrees(),
        azimuth_deg: facing_deg + x.atan2(-z).to_degrees(),
    }
}

/// The unit vector of the panel's frame toward a compass direction.
pub(crate) fn toward(facing_deg: f64, direction: Direction) -> PanelSpaceVector {
    PanelSpaceVector::toward_sky(direction.azimuth_deg - facing_deg, direction.altitude_deg)
}

/// The world as seen from a window, for the 81-sample path.
#[derive(Clone, Debug)]
pub struct OutsideOfWall<'a> {
    /// The light.
    pub outside: &'a Outside,
    /// Bearing that the wall faces.
    pub facing_deg: f64,
    pub(crate) glow: Spectrum,
    arriving: OnceLock<Vec<(PanelSpaceVector, Spectrum)>>,
}

impl<'a> OutsideOfWall<'a> {
    /// The light on an upright wall.
    pub fn new(outside: &'a Outside, facing_deg: f64) -> Self {
        let (beam, diffuse) = outside.irradiance_on(facing_deg, 90.0);
        Self { outside, facing_deg, glow: (beam + diffuse) * FRAC_1_PI, arriving: OnceLock::new() }
    }

    /// Each of the layers that may lie in a direction, even where another hides it: above the upper edge, between
    /// the edges and below the lower one. For pictures whose outlines deviate from the even edges.
    pub fn layers(&self, horizon: &Horizon, direction: PanelSpaceVector) -> [Spectrum; 3] {
        seen(&mut self.clone(), &Edges::new(horizon, 0.0), compass(self.facing_deg, direction))
    }
}

impl Layers for OutsideOfWall<'_> {
    type Value = Spectrum;

    fn at(&mut self, d: Direction) -> Spectrum {
        self.outside.radiance(d)
    }

    fn beyond(edge: Spectrum, mirrored: Spectrum) -> Spectrum {
        edge * 2.0 - mirrored
    }
}

impl Surroundings for OutsideOfWall<'_> {
    fn radiance(&self, direction: PanelSpaceVector) -> Spectrum {
        self.outside.radiance(compass(self.facing_deg, direction))
    }

    fn glow(&self) -> Spectrum {
        self.glow
    }

    fn arriving(&self) -> &[(PanelSpaceVector, Spectrum)] {
        self.arriving.get_or_init(|| {
            // Equal parts of the disc of direction cosines: of the light on the pane.
            const PARTS: [usize; 2] = [40, 100];
            let [width, height] = PARTS.map(|n| 2.0 / n as f64);
            let middles = (0..PARTS[0] * PARTS[1]).map(|k| {
                let [x, y] = [k % PARTS[0], k / PARTS[0]].map(|k| k as f64 + 0.5);
                [x * width - 1.0, y * height - 1.0]
            });
            let inside = middles.filter(|[x, y]| x.hypot(*y) < 1.0);
            let mut all: Vec<_> = inside
                .map(|[x, y]| {
                    let d = PanelSpaceVector::new(x, y, -(1.0 - x * x - y * y).sqrt());
                    (d, self.radiance(d) * (width * height))
                })
                .collect();
            let sun = toward(self.facing_deg, self.outside.sun().direction());
            if sun[2] < 0.0 {
                all.push((sun, self.outside.beam_normal() * -sun[2]));
            }
            all
        })
    }
}

/// Weights of the sky's spectra by direction.
pub(crate) struct Weights<'a> {
    pub(crate) basis: &'a daylight::SkyBasis,
    /// How many of them there are for the sky.
    pub(crate) columns: usize,
    pub(crate) found: [f64; SKY_COLUMNS + 2],
}

impl Layers for Weights<'_> {
    type Value = [f32; SKY_COLUMNS];

    fn at(&mut self, d: Direction) -> Self::Value {
        self.basis.weights_into(d, &mut self.found);
        std::array::from_fn(|k| if k < self.columns { self.found[k + 2] as f32 } else { 0.0 })
    }

    fn beyond(edge: Self::Value, mirrored: Self::Value) -> Self::Value {
        std::array::from_fn(|k| 2.0 * edge[k] - mirrored[k])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panel_and_compass_directions_agree() {
        for (altitude_deg, azimuth_deg) in [(0.0, 250.0), (35.0, 300.0), (-12.0, 200.0)] {
            let d = Direction { altitude_deg, azimuth_deg };
            let back = compass(255.0, toward(255.0, d));
            assert!((back.altitude_deg - altitude_deg).abs() < 1e-9);
            assert!((back.azimuth_deg - azimuth_deg).abs() < 1e-9);
        }
        // To the right, seen from inside a wall that faces south, is west.
        let right = compass(180.0, PanelSpaceVector::new(0.5, 0.0, -0.866));
        assert!(right.azimuth_deg > 180.0);
    }
}
