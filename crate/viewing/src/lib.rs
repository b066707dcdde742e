//! What reaches a point in the room.

mod angular_optics;
mod box_room;
mod contour;
mod form_factor;
mod glare;
mod landing;
mod mesh;
mod outdoors;
mod plane;
mod room_response;
mod sun_disc;
mod sun_patch;
mod vector;
mod window_view;

pub use angular_optics::AngularOptics;
pub use box_room::{BoxRoom, Surface, bearing_and_altitude_deg, toward_sky};
pub use contour::{
    Source, clip_to_half_space, form_factor_to_polygon, irradiance_from_polygons, polygon_area,
};
pub use form_factor::{
    Rectangle, element_to_parallel_rectangle, element_to_perpendicular_rectangle, parallel_exchange,
    perpendicular_exchange,
};
pub use glare::{GlareSource, daylight_glare_probability, position_index, simplified_glare_probability};
pub use landing::{PieceSample, piece_samples};
pub use mesh::RoomMesh;
pub use outdoors::{OutsideCell, outside_cells};
pub use plane::{P2, area_and_centroid, bounds, clip_to_rectangle, contains, in_room, signed_area};
pub use room_response::{Receiver, Reflectances, RoomResponse};
pub use sun_disc::{Penumbra, SUN_DIAMETER_DEG, penumbra, share_of_disc};
pub use sun_patch::{SunPatch, sun_patches};
pub use window_view::{ViewGrid, ViewPart, irradiance_through_pane};
