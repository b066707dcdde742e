//! What a report says of the light on one plane.

use schemars::JsonSchema;
use serde::Serialize;
use spectra::{Spectrum, colour_rendering, luminous};

use crate::cast::Cast;
use crate::instant::Irradiance;
use crate::looks::{COLOUR_FROM_LX, Looks};

/// An illuminance by path, lx.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Illuminance {
    /// The total.
    pub total_lx: f64,
    /// Directly through the glass from sky and ground.
    pub sky_ground_lx: f64,
    /// Directly through the glass from the sun.
    pub sun_lx: f64,
    /// Reflected by the room.
    pub room_lx: f64,
    /// Standard deviation of the total if only the glasses were not known exactly: half the width of the range that
    /// holds nine cases of ten, over 1.645. `None` if the ranges were not asked for; they are in
    /// [`Ranges`](crate::Ranges), with everything else that counts.
    pub uncertainty_lx: Option<f64>,
}

impl Illuminance {
    pub(crate) fn of(light: &Irradiance) -> Self {
        let [sky_ground_lx, sun_lx, room_lx] = [&light.sky_ground, &light.sun, &light.room].map(luminous);
        Self {
            total_lx: sky_ground_lx + sun_lx + room_lx,
            sky_ground_lx,
            sun_lx,
            room_lx,
            uncertainty_lx: None,
        }
    }
}

/// The colour of the light on one plane, and its share of that with clear glass.
pub(crate) struct Received {
    pub share_of_clear: Option<f64>,
    pub cast: Cast,
    pub looks: Looks,
    pub ra: Option<f64>,
    /// Whether Ra is given and doubtful.
    pub doubtful: bool,
}

impl Received {
    /// `total` and `clear` are the light and that with clear glass.
    pub(crate) fn of(total: &Spectrum, clear: &Spectrum) -> Self {
        let clear_lx = luminous(clear);
        let rendering = colour_rendering(total).ok().filter(|_| luminous(total) >= COLOUR_FROM_LX);
        Self {
            share_of_clear: (clear_lx > 0.0).then(|| luminous(total) / clear_lx),
            cast: Cast::of(total, clear),
            looks: Looks::of(total),
            ra: rendering.map(|r| r.ra),
            doubtful: rendering.is_some_and(|r| r.is_doubtful()),
        }
    }
}
