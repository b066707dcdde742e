//! A window of a scene: its shapes, and their triangles.

pub(crate) mod fill;
pub(crate) mod follow;
pub(crate) mod inner_glass;
pub(crate) mod inner_lobes;
pub(crate) mod inner_net;
pub(crate) mod inner_view;
pub(crate) mod inner_wall;
pub(crate) mod mesh;
pub(crate) mod model;
pub(crate) mod outer_wall;
pub(crate) mod outline;
pub(crate) mod parts;
pub(crate) mod piece_mesh;
pub(crate) mod piece_raster;
pub(crate) mod region;
pub(crate) mod scene_model;
pub(crate) mod scene_window;
pub(crate) mod solids;
pub(crate) mod vertex;
