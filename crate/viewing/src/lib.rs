//! What reaches a point in the room.

mod angular_optics;
mod box_room;
mod cast;
mod contour;
mod day;
mod error;
mod form_factor;
mod geometry;
mod glare;
mod glazing;
mod instant;
mod landing;
mod looks;
mod mesh;
mod outdoors;
mod plane;
mod prepared;
mod report;
mod room_response;
mod sun_disc;
mod sun_patch;
mod uncertainty;
mod vector;
mod window_view;

pub use angular_optics::AngularOptics;
pub use box_room::{BoxRoom, Surface, bearing_and_altitude_deg, toward_sky};
pub use cast::{COLOUR_FROM_LX, Cast, cast_in_words};
pub use contour::{
    Source, clip_to_half_space, form_factor_to_polygon, irradiance_from_polygons, polygon_area,
};
pub use day::{DAY_STEPS, Day, DayInstant, day};
pub use error::ViewingError;
pub use form_factor::{
    Rectangle, element_to_parallel_rectangle, element_to_perpendicular_rectangle, parallel_exchange,
    perpendicular_exchange,
};
pub use geometry::{PieceShape, WindowWall};
pub use glare::{GlareSource, daylight_glare_probability, position_index, simplified_glare_probability};
pub use glazing::{CLEAR_GLASS, CLEAR_GLASS_MM, Glazing, LEAD_REFLECTANCE, Pane};
pub use instant::{InstantLight, Irradiance, PieceLight};
pub use landing::{PieceSample, piece_samples};
pub use looks::{Look, Looks, degree_of_adaptation, look};
pub use mesh::RoomMesh;
pub use outdoors::{OutsideCell, outside_cells};
pub use plane::{P2, area_and_centroid, bounds, clip_to_rectangle, contains, in_room, signed_area};
pub use prepared::Prepared;
pub use report::{Illuminance, OutsideReport, PieceReport, Report, SunReport, ViewingReport, report};
pub use room_response::{Receiver, Reflectances, RoomResponse};
pub use sun_disc::{Penumbra, SUN_DIAMETER_DEG, penumbra, share_of_disc};
pub use sun_patch::{SunPatch, sun_patches};
pub use uncertainty::Spread;
pub use window_view::{ViewGrid, ViewPart, irradiance_through_pane};
