//! The light that reaches a point in the room, compared with the check data, closed forms and the direct method.

mod bars;
mod box_rooms;
mod common;
mod form_factors;
mod glare;
mod glare_seen;
mod laws;
mod lead_depth;
mod near_buildings;
mod outdoors;
mod path_tracer;
mod prepared;
mod ranges;
mod scenes;
mod similar;
mod stone;
mod sun;
mod traced;
#[path = "../../../surroundings/tests/suite/walk.rs"]
mod walk;
mod walls;
mod window_light;
mod working_plane;
