//! The light that reaches a point in the room: how much of it and by which path, its colour, and how things look in
//! it.
//!
//! - [`report`] and [`day`] do the whole job: from a resolved scene to the figures of an instant or a day. For many
//!   instants or edits, keep a [`Prepared`] place: [`Prepared::light`], [`Prepared::report`], [`Prepared::day`],
//!   [`Prepared::year_part`], [`Prepared::set_makeup`]. [`Direct`] is the slow method, point by point, against
//!   which the prepared method is tested.
//! - [`Report`], [`Day`], [`Year`]: plain figures, named as they are printed. [`Cast`], [`Looks`]: the colour of
//!   the light, and its effect on cloth, stone and skin. [`Prepared::ranges`]: how well
//!   the figures are known, and what they depend on ([`Ranges`]).
//! - [`similar_pieces`], [`pieces_inside`], [`piece_seen_at`]: pieces that belong together, or lie at a point. [`SwatchLight`]: the light in which
//!   swatches of glass are shown. [`TransmittedColour`]: the colour of a piece by standard daylight.
//! - The underlying geometry takes points of `plane`: [`form_factor_to_polygon`], [`parallel_exchange`] and related
//!   functions; [`irradiance_through_pane`]; [`room_light`] for a window of simple pieces in a box of six coloured
//!   surfaces, and [`RoomMesh`] and [`RoomResponse`] beneath it; [`sun_patches`], [`share_of_disc`], [`penumbra`];
//!   [`daylight_glare_probability`].
//!
//! Points of a panel and of the room have different types, and the compiler refuses one in place of the other; converted,
//! as below it, each of these compiles:
//!
//! ```compile_fail,E0308
//! use panel::Piece;
//! use viewing::WindowWall;
//!
//! fn holds(wall: &WindowWall, piece: &Piece) -> bool {
//!     wall.holds(piece.interior_point) // millimetres of the panel
//! }
//! ```
//!
//! ```
//! use panel::Piece;
//! use plane::PanelOnWall;
//! use viewing::WindowWall;
//!
//! fn holds(wall: &WindowWall, placement: PanelOnWall, piece: &Piece) -> bool {
//!     wall.holds(placement.room_from_panel(piece.interior_point))
//! }
//! ```
//!
//! ```compile_fail,E0308
//! use scene::Resolved;
//!
//! fn piece_at_the_eye(scene: &Resolved) -> Option<usize> {
//!     let eye = scene.eye_m(None)?;
//!     scene.windows[0].panel.piece_at(eye) // metres of the room
//! }
//! ```
//!
//! ```
//! use plane::PanelPoint;
//! use scene::Resolved;
//!
//! fn piece_at_the_eye(scene: &Resolved) -> Option<usize> {
//!     let eye = scene.eye_m(None)?;
//!     let [x, y, _] = scene.windows[0].placement.panel_from_room(eye).to_array();
//!     scene.windows[0].panel.piece_at(PanelPoint::new(x, y))
//! }
//! ```
//!
//! Room frame: metres, the window wall is z = 0 and its lower-left inside corner the origin, x right as seen from
//! inside facing the window, y up, z into the room. Windows are upright. Walls reflect evenly in all directions.
//! Panes also reflect the room's light evenly, all of them as one surface. Glass, leads and saddle bars have no depth
//! unless it is stated: a bar is an opaque strip in the plane of the glass. In a wall with depth the window wall is the inner face of the wall,
//! and the glass lies behind it by the depth of the inner reveal; places state their distance from the first window's
//! glass.
//! The ground in front of the window is lit as on an open plain unless the own building or blocks are stated. The
//! clear room with which figures are compared has one clean, bare pane of clear float in the same leads, and no
//! protective glazing.
//!
//! Out of scope: the properties of glass and sky (`glass`, `daylight`), the document (`scene`), pictures
//! (`render`), which glass would be better (`matching`).

mod angular_optics;
mod beam;
mod bell;
mod box_room;
mod buildings_report;
mod cast;
mod causes;
mod cell_directions;
mod contour;
mod day;
mod deeper;
mod direct;
mod direct_lobe;
mod direct_room;
mod direct_scatter;
mod direct_seen;
mod direct_walls;
mod direction;
mod error;
mod figure_range;
mod follow;
mod form_factor;
mod geometry;
mod glare;
mod glare_seen;
mod glazing;
mod hues;
mod instant;
mod landing;
mod lead_depth;
mod lead_report;
mod lobe_blurs;
mod lobe_flux;
mod lobes;
mod lobes_seen;
mod looks;
mod mesh;
mod outdoors;
mod prepared;
mod prepared_room;
mod prepared_view;
mod received;
mod region;
mod report;
mod room_light;
mod room_response;
mod similar;
mod sums;
mod sun_disc;
mod sun_patch;
mod swatch_light;
mod transmitted_colour;
mod view_edges;
mod view_regions;
mod wall_report;
mod walled;
mod walled_light;
mod walled_lobes;
mod walled_room;
mod walled_rows;
mod window_view;
mod working_plane;
mod year;

pub use angular_optics::AngularOptics;
pub use box_room::{BoxRoom, Surface, bearing_and_altitude_deg};
pub use buildings_report::{BlockReport, BuildingsReport, OwnBuildingReport};
pub use cast::Cast;
pub use causes::{Dependence, LightRanges, PieceRange, Ranges, RangesError};
pub use contour::{Source, form_factor_to_polygon, irradiance_from_polygons};
pub use day::{DAY_STEPS, Day, DayInstant, day};
pub use direct::Direct;
pub use direction::direction_in_words;
pub use error::ViewingError;
pub use figure_range::FigureRange;
pub use form_factor::{
    Rectangle, element_to_parallel_rectangle, element_to_perpendicular_rectangle, parallel_exchange,
    perpendicular_exchange,
};
pub use geometry::{PieceShape, WindowWall};
pub use glare::{GlareSource, daylight_glare_probability, position_index};
pub use glare_seen::Glare;
pub use glazing::{Glazing, Pane};
pub use instant::{InstantLight, Irradiance, PieceLight};
pub use landing::{PieceSample, piece_samples};
pub use lead_report::LeadReport;
pub use looks::{Look, Looks};
pub use mesh::RoomMesh;
pub use prepared::Prepared;
pub use received::Illuminance;
pub use region::{piece_seen_at, pieces_inside};
pub use report::{DESIGN_AID, Front, OutsideReport, PieceReport, Report, SunReport, ViewingReport, report};
pub use room_light::{PieceSource, RoomReading, room_light};
pub use room_response::{Receiver, Reflectances, RoomResponse};
pub use similar::{SIMILAR_DELTA_E, Similarity, similar_pieces};
pub use sun_disc::{Penumbra, penumbra, share_of_disc};
pub use sun_patch::{SunPatch, sun_patches};
pub use swatch_light::SwatchLight;
pub use transmitted_colour::TransmittedColour;
pub use wall_report::{RevealReport, WallReport};
pub use window_view::irradiance_through_pane;
pub use working_plane::WorkingPlaneReport;
pub use year::{SunOfDay, Year, YearHour};
