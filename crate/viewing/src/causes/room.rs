//! How the figures depend on what each surface of the room reflects, to first order.

use daylight::Outside;
use spectra::{Observer, Spectrum, TristimulusWeights};

use super::exchange::Exchange;
use super::levels::{Levels, in_front};
use super::sun_apart::SunApart;
use crate::instant::{InstantLight, Irradiance};
use crate::prepared::Prepared;
use crate::room_response::Receiver;

/// How all figures grow with the reflectance of each surface, relative; of `light` less `without`.
pub(super) fn slopes(
    prepared: &Prepared,
    light: &InstantLight,
    without: Option<&InstantLight>,
    around: &[f64],
    outside: &Outside,
) -> [Levels; 6] {
    let beam = prepared.beam(outside);
    let exchange = Exchange::new(prepared, light, around, beam.as_ref());
    let weights = TristimulusWeights::absolute(Observer::Cie1931);
    // Each part of the spectrum meets the reflectances that it has there.
    let slopes = |on: &Irradiance, receiver: &Receiver, weight: &Spectrum| {
        let [room, total] = [on.room.dot(weight), on.total().dot(weight)];
        let colour = on.room * *weight;
        let rho = prepared.surfaces.map(|rho| if room > 0.0 { colour.dot(&rho) / room } else { 0.0 });
        let share = if total > 0.0 { (room / total).clamp(0.0, 1.0) } else { 0.0 };
        exchange.elasticities(&rho.map(|rho| rho.clamp(0.0, 0.98)), receiver).map(|e| e * share)
    };
    let (front, receiver) = in_front(prepared, light);
    let of_front = |light| in_front(prepared, light).0.on(receiver);
    let less = |on: &Irradiance, without: Option<&Irradiance>| {
        without.map_or(*on, |without| SunApart::irradiance([on, without]))
    };
    let front = less(front.on(receiver), without.map(of_front));
    let [vertical, horizontal] = [0, 1].map(|r| less(light.on(r), without.map(|light| light.on(r))));
    let at_front = &prepared.front().0.receivers[receiver];
    let [x, y, z] = weights.spectra();
    let of_front = [x, y, z].map(|weight| slopes(&front, at_front, weight));
    let vertical = slopes(&vertical, &prepared.receivers[0], y);
    let horizontal = slopes(&horizontal, &prepared.receivers[1], y);
    std::array::from_fn(|s| {
        let mut slope = Levels::all(0.0, light.pieces.len());
        slope.figures = [of_front[0][s], of_front[1][s], of_front[2][s], vertical[s], horizontal[s]];
        // The same room in the same light: clear glass has about the same share of it.
        slope.clear = of_front[1][s];
        slope
    })
}
