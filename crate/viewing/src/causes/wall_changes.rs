//! Walls that differ a little from those of a scene: other stone, other bars and mesh, more depth outside.

use std::f64::consts::PI;

use reveal::Layer;
use spectra::Spectrum;

use super::other_wall::{Change, Walls};
use crate::walled::passing;

impl<'a> Change<'a> {
    /// With stone outside that is lighter by e.
    pub(super) fn lighter(walls: &'a Walls<'_>, window: usize) -> Option<Self> {
        let lit = walls.lit[window].as_ref()?;
        let sun = lit.on_opening.as_ref().zip(lit.beam.as_ref().map(|beam| beam.normal));
        let patches = lit.rows.walled.exitance_slope(&walls.around, sun);
        Some(Self { patches, ..Self::default() })
    }

    /// With bars and wires of other diameters: so many times as thick.
    pub(super) fn guards(walls: &'a Walls<'_>, window: usize, factor: f64) -> Option<Self> {
        let lit = walls.lit[window].as_ref()?;
        let walled = &lit.rows.walled;
        if walled.wall.guards.is_empty() {
            return None;
        }
        let thicker = |layer: &Layer| match *layer {
            Layer::UprightBars { diameter_m, pitch_m } => {
                Layer::UprightBars { diameter_m: factor * diameter_m, pitch_m }
            }
            Layer::LevelBars { diameter_m, pitch_m } => {
                Layer::LevelBars { diameter_m: factor * diameter_m, pitch_m }
            }
            Layer::Mesh { wire_m, pitch_m } => Layer::Mesh { wire_m: factor * wire_m, pitch_m },
        };
        let guards: Vec<Layer> = walled.wall.guards.iter().map(thicker).collect();
        let cells = walls.prepared.room.iter();
        let openness: Vec<f64> = cells.map(|row| passing(&guards, row.cell.direction)).collect();
        let relative = |(then, now): (&f64, &f64)| if *now > 0.0 { then / now - 1.0 } else { 0.0 };
        let relative = openness.iter().zip(&walled.openness).map(relative);
        let open = walls.around.iter().zip(relative).map(|(light, relative)| *light * relative).collect();
        let beam = walls.beam.as_ref();
        let sun = beam.map(|beam| beam.normal * passing(&guards, beam.toward));
        let mut patches = walled.exitance_behind(&walls.around, &openness, lit.on_opening.as_ref().zip(sun));
        let below = walled.below_over(&guards);
        for (i, (then, now)) in patches.iter_mut().zip(&lit.exitance).enumerate() {
            let passed = if i < walled.of_reveal { 1.0 } else { below };
            *then = *then * passed - *now;
        }
        Some(Self { open, patches, guards: Some(guards), deeper: None })
    }

    /// A little deeper: by [`crate::deeper::STEP_M`].
    pub(super) fn deeper(walls: &'a Walls<'_>, window: usize) -> Option<Self> {
        let lit = walls.lit[window].as_ref()?;
        let walled = &lit.rows.walled;
        let deeper = walled.deeper()?;
        let (mut edge, mut area) = (Spectrum::ZERO, 0.0);
        for (i, ((area_m2, _), light)) in
            walled.opening.outer_surfaces().iter().zip(&lit.exitance).enumerate()
        {
            if walled.of_reveal == 0 || i < walled.of_reveal {
                edge.add_scaled(*area_m2 / PI, light);
                area += area_m2;
            }
        }
        edge *= 1.0 / area.max(1e-300);
        let open = |((light, still), openness): ((&Spectrum, &f64), &f64)| {
            let stone = if *openness > 0.0 { 1.0 / openness } else { 0.0 };
            (edge * stone - *light) * (1.0 - still)
        };
        let open = walls.around.iter().zip(&deeper.open).zip(&walled.openness).map(open).collect();
        let patches = vec![Spectrum::ZERO; lit.exitance.len()];
        Some(Self { open, patches, guards: None, deeper: Some((deeper, edge)) })
    }
}
