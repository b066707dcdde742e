//! Points, vectors and polygons that carry their frame and unit in the type.
//!
//! Three frames meet in a window, in two units: the plane of a panel (mm), the window wall (m) and the room (m). A
//! point of one frame is not a point of another, and the compiler enforces that:
//!
//! ```compile_fail
//! use plane::{PanelPoint, WallPoint};
//!
//! let corner = PanelPoint::new(300.0, 500.0);
//! let on_the_wall: WallPoint = corner; // millimetres are not metres
//! ```
//!
//! A conversion names its destination first and takes what it needs as arguments:
//!
//! ```
//! use plane::{PanelOnWall, PanelPoint, WallPoint, room_from_wall};
//!
//! let panel = PanelOnWall { lower_left: WallPoint::new(1.2, 0.9) };
//! let corner = panel.wall_from_panel(PanelPoint::new(300.0, 500.0));
//! assert_eq!(corner.to_array(), [1.5, 1.4]);
//! assert_eq!(room_from_wall(corner).to_array(), [1.5, 1.4, 0.0]);
//! ```
//!
//! - [`PanelPoint`], [`WallPoint`], [`RoomPoint`], [`RoomVector`]; [`PanelOnWall`] and [`room_from_wall`] between them.
//!   Slices of plain arrays are read as points without a copy, and back ([`Point2::slice`], [`Point2::arrays`]).
//! - Rings, closed by an edge from the last point to the first: [`signed_area`], [`area_and_centroid`], [`bounds`],
//!   [`edges`], [`clip_to_band`], [`clip_to_rectangle`], [`clip_to_convex`], [`join_holes`].
//! - Regions, which are an outer ring and its holes: [`contains`], [`area`], [`perimeter`], [`distance_to_edge`].
//!
//! The underlying numbers and operations are those of glam.
//!
//! Out of scope: offsets and set operations on polygons (`panel`), what light does between points (`viewing`), curves.

mod clip;
mod frame;
mod placement;
mod point2;
mod point3;
mod region;
mod ring;

pub use clip::{clip_to_band, clip_to_convex, clip_to_rectangle};
pub use frame::{PanelMm, RoomM, WallM};
pub use placement::{PanelOnWall, room_from_wall, room_ring_from_wall};
pub use point2::{PanelPoint, Point2, WallPoint};
pub use point3::{Point3, RoomPoint, RoomVector, Vector3};
pub use region::{area, contains, distance_squared_to_segment, distance_to_edge, perimeter};
pub use ring::{area_and_centroid, bounds, edges, join_holes, signed_area};
