//! Light of a window of simple pieces in a box room, from plain numbers: for checks and scripts.

use std::f64::consts::PI;

use spectra::Spectrum;

use crate::angular_optics::AngularOptics;
use crate::box_room::BoxRoom;
use crate::contour::form_factor_to_polygon;
use crate::landing::piece_samples;
use crate::mesh::RoomMesh;
use crate::outdoors::outside_cells;
use crate::plane::{P2, in_room, signed_area};
use crate::room_response::{Receiver, Reflectances, RoomResponse};
use crate::vector::V3;
use crate::window_view::irradiance_through_pane;

/// What a piece sends into the room.
#[derive(Clone, Debug)]
pub enum PieceSource {
    /// The same radiance in every direction.
    Even(Box<Spectrum>),
    /// What is outside, seen through a pane.
    Pane(AngularOptics),
}

/// Irradiance at a receiver, in the unit of the radiances times sr.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RoomReading {
    /// Straight from the pieces.
    pub direct: Spectrum,
    /// By way of the room.
    pub indirect: Spectrum,
}

/// Step of the cells a piece is cut into as seen from a receiver, degrees.
const STEP_DEG: f64 = 1.5;

/// Irradiance at each receiver from the pieces (polygons on the window wall, m) of a window in a box room, all
/// reflections between its surfaces included. The panes send nothing of the room's light back. `outside` answers the
/// radiance of what is seen in a direction (room frame, unit vector); only panes ask it.
pub fn room_light(
    room: BoxRoom,
    surfaces: &Reflectances,
    pieces: &[(Vec<P2>, PieceSource)],
    outside: impl Fn(V3) -> Spectrum,
    receivers: &[Receiver],
) -> Vec<RoomReading> {
    let openings: Vec<Vec<P2>> = pieces.iter().map(|p| p.0.clone()).collect();
    let mesh = RoomMesh::new(room, &openings, RoomMesh::COARSE_PATCHES);
    let response = RoomResponse::new(mesh, surfaces, receivers);
    let area: f64 = openings.iter().map(|o| signed_area(o).abs()).sum();
    let step = (area / 300.0).sqrt().max(0.02);
    let cells = outside_cells(1);
    let beyond: Vec<Spectrum> = if pieces.iter().any(|p| matches!(p.1, PieceSource::Pane(_))) {
        cells.iter().map(|c| outside(c.direction)).collect()
    } else {
        Vec::new()
    };

    let mut readings = vec![RoomReading::default(); receivers.len()];
    let mut before = 0;
    for (polygon, source) in pieces {
        let samples = piece_samples(polygon, step);
        let mut spread = vec![Spectrum::ZERO; receivers.len() + 1];
        for (k, cell) in cells.iter().enumerate() {
            let mut landed = vec![Spectrum::ZERO; receivers.len() + 1];
            response.add_landed_cell(&samples, before, cell, &mut landed);
            let weight = match source {
                PieceSource::Even(radiance) => **radiance,
                PieceSource::Pane(optics) => optics.regular(-cell.direction[2]) * beyond[k],
            } * cell.projected_sr;
            for (sum, h) in spread.iter_mut().zip(&landed) {
                *sum += *h * weight;
            }
        }
        before += samples.len();
        for ((reading, receiver), spread) in readings.iter_mut().zip(receivers).zip(spread) {
            reading.indirect += spread;
            match source {
                PieceSource::Even(radiance) => {
                    let f = form_factor_to_polygon(receiver.point_m, receiver.normal, &in_room(polygon));
                    reading.direct.add_scaled(PI * f, radiance);
                }
                PieceSource::Pane(optics) => irradiance_through_pane(
                    &[*receiver],
                    polygon,
                    STEP_DEG,
                    |d| optics.regular(-d[2]) * outside(d),
                    |_, weight, light| reading.direct.add_scaled(weight, light),
                ),
            }
        }
    }
    readings
}
