//! The window as a picture: glass by its spectra in the light of one instant, lead, bars and the wall around.
//!
//! The way of the data:
//! 1. [`WindowModel`] says which shapes there are; [`WindowMesh`] makes triangles of them, once.
//! 2. [`PieceOptics`] samples what each piece does to light as seen from the [`Eye`], once for a window and a
//!    viewing position.
//! 3. [`Light`] is one instant: a few spectra and a [`DirectionField`] that says how much of each is seen where.
//! 4. [`LightTables`] multiplies 2 by 3: all that a moving sun asks for.
//! 5. A [`Renderer`] (in a page through `CanvasRenderer`, natively through `Headless`) draws a [`View`] of it in
//!    a [`Look`]; [`software_picture`] does the same without a GPU. [`png`] writes files.
//!
//! [`from_scene`] makes 1 to 4 from a resolved scene and the light outside.
//!
//! Pixels are signed linear RGB (sRGB primaries, cd/m²) until the last pass, which makes Display-P3 or sRGB of
//! them. Every shader in `shaders/` has a CPU twin of the same name here, and both read `constants.rs`.
//! [`reference`] is the 81-sample path that pictures are checked against.
//!
//! Out of scope: light figures in the room (`viewing`), which piece lies under the pointer (`panel`), the page's
//! elements and events (`web`).

mod constants;
mod error;
mod exposure;
mod eye;
mod frame;
pub mod from_scene;
mod glass_pass;
mod glazing;
mod gpu;
mod horizon;
mod light;
mod mesh;
mod model;
mod noise;
mod optics;
mod paint_mesh;
mod paint_pass;
mod painted;
mod picture;
mod piece_mesh;
pub mod png;
mod read_back;
pub mod reference;
mod rgb;
mod shaders;
mod sheet;
mod software;
mod solid_pass;
mod solids;
mod spread;
mod spread_gpu;
mod tables;
mod tiles;
mod tone;
mod vector;
mod warm_up;

#[cfg(target_arch = "wasm32")]
mod canvas;
#[cfg(not(target_arch = "wasm32"))]
mod headless;

#[cfg(target_arch = "wasm32")]
pub use canvas::{BrowserBackend, CanvasRenderer};
pub use error::RenderError;
pub use exposure::{Exposure, WindowLevel};
pub use eye::Viewer;
pub use frame::View;
pub use from_scene::SceneWindow;
pub use gpu::Renderer;
#[cfg(not(target_arch = "wasm32"))]
pub use headless::{Headless, NativeBackend};
pub use light::{Bearing, DirectionField, Eye, Light, SKY_COLUMNS, Seen, SeenEdges};
pub use mesh::{GlassVertex, Mesh, SolidVertex, WindowMesh};
pub use model::{
    Bounds, Came, Fade, Joint, Overlay, PieceModel, Region, SheetModel, Strip, SurfaceModel, WindowModel,
    area_and_centroid, contains,
};
pub use optics::{Factors, MIX_NODES, PieceOptics, Shift, THICKNESS_NODES, Transmittance};
pub use picture::Look;
pub use read_back::{PendingPixels, from_half_floats};
pub use rgb::{P3_FROM_RGB, P3_LUMINANCE, RGB_FROM_XYZ, XYZ_FROM_RGB, apply};
pub use software::{SoftwarePicture, picture as software_picture};
pub use tables::LightTables;
pub use tiles::{Tile, TilePlan, TileRows};
pub use tone::{Gamut, Mode, encode};
