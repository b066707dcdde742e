//! Points, vectors and polygons that carry their frame and unit in the type.
//!
//! Three frames meet in a window, in two units: the plane of a panel (mm), the window wall (m) and the room (m). A page
//! has the panel upside down, and a sheet of glass is a plane of its own. A point of one frame is not a point of another,
//! and the compiler enforces that. Each of these is refused; converted, as below it, it compiles:
//!
//! ```compile_fail,E0308
//! use plane::{PanelPoint, WallPoint};
//!
//! let corner = PanelPoint::new(300.0, 500.0);
//! let on_the_wall: WallPoint = corner; // millimetres are not metres
//! ```
//!
//! ```
//! use plane::{PanelOnWall, PanelPoint, WallPoint};
//!
//! let panel = PanelOnWall { lower_left: WallPoint::new(1.2, 0.9) };
//! let corner = PanelPoint::new(300.0, 500.0);
//! let on_the_wall: WallPoint = panel.wall_from_panel(corner);
//! ```
//!
//! ```compile_fail,E0308
//! use plane::{PanelOnWall, RoomPoint, WallPoint};
//!
//! let panel = PanelOnWall { lower_left: WallPoint::new(1.2, 0.9) };
//! let eye = panel.panel_from_room(RoomPoint::new(1.5, 1.6, 3.0));
//! let back: RoomPoint = eye; // nor are millimetres metres
//! ```
//!
//! ```
//! use plane::{PanelOnWall, PanelSpacePoint, RoomPoint, WallPoint};
//!
//! let panel = PanelOnWall { lower_left: WallPoint::new(1.2, 0.9) };
//! let eye: PanelSpacePoint = panel.panel_from_room(RoomPoint::new(1.5, 1.6, 3.0));
//! ```
//!
//! ```compile_fail,E0308
//! use plane::{PanelOnPage, PanelPoint};
//!
//! let pointer = PanelOnPage { height_mm: 900.0 }.page_from_panel(PanelPoint::new(20.0, 30.0));
//! let point: PanelPoint = pointer; // a page counts from the top
//! ```
//!
//! ```
//! use plane::{PanelOnPage, PanelPoint};
//!
//! let page = PanelOnPage { height_mm: 900.0 };
//! let pointer = page.page_from_panel(PanelPoint::new(20.0, 30.0));
//! let point: PanelPoint = page.panel_from_page(pointer);
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
//!   Before a panel, [`PanelSpacePoint`] and [`PanelSpaceVector`]; on a page, [`PagePoint`] and [`PanelOnPage`].
//!   Slices of plain arrays are read as points without a copy, and back ([`Point2::slice`], [`Point2::arrays`]).
//! - Rings, closed by an edge from the last point to the first: [`signed_area`], [`area_and_centroid`], [`bounds`],
//!   [`edges`], [`clip_to_band`], [`clip_to_rectangle`], [`clip_to_convex`], [`clip_to_left_of`], [`join_holes`].
//! - Regions, which are an outer ring and its holes: [`contains`], [`area`], [`perimeter`], [`distance_to_edge`],
//!   [`signed_distance`].
//! - Lines: [`distinct`] points, [`mitres`].
//!
//! The underlying numbers and operations are those of glam.
//!
//! Out of scope: offsets and set operations on polygons (`panel`), what light does between points (`viewing`), curves.

mod clip;
mod frame;
mod line;
mod placement;
mod point2;
mod point3;
mod region;
mod ring;

pub use clip::{clip_to_band, clip_to_convex, clip_to_left_of, clip_to_rectangle};
pub use frame::{PageMm, PanelMm, RoomM, SheetMm, WallM};
pub use line::{distinct, mitres};
pub use placement::{PanelOnPage, PanelOnWall, room_from_wall, room_ring_from_wall};
pub use point2::{PagePoint, PanelPoint, PanelVector, Point2, SheetPoint, Vector2, WallPoint};
pub use point3::{PanelSpacePoint, PanelSpaceVector, Point3, RoomPoint, RoomVector, Vector3};
pub use region::{area, contains, distance_squared_to_segment, distance_to_edge, perimeter, signed_distance};
pub use ring::{area_and_centroid, bounds, edges, join_holes, signed_area};
