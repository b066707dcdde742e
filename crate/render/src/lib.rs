//! Pictures of the window: glass by its spectra in the light of one instant, lead, bars and the wall around.
//!
//! From scene to picture:
//! 1. [`WindowModel`] holds the shapes; [`WindowMesh`] turns them into triangles, once.
//! 2. [`PieceOptics`] samples the effect of each piece on light as seen from the [`Eye`], once for a window and a
//!    viewing position.
//! 3. [`Light`] is one instant: a few spectra, and a [`DirectionField`] with the share of each in every direction.
//! 4. [`LightTables`] multiplies 2 by 3; nothing else changes when the sun moves.
//! 5. A [`Renderer`] (in a page through `CanvasRenderer`, natively through `Headless`) draws a [`View`] of it in
//!    a [`Look`]; [`software_picture`] does the same without a GPU. [`png`] writes files.
//!
//! [`SceneWindow`] makes 1 to 4 from a resolved scene and the light outside, and follows edits of the window.
//!
//! Pixels are signed linear RGB (sRGB primaries, cd/m²) until the last pass, which converts them to Display P3 or
//! sRGB. Every shader in `shaders/` has a CPU twin of the same name in `software`. Both read `shared`: constants,
//! and the layout of every structure, from which the start of each shader is generated. [`reference`] is the
//! 81-sample path against which pictures are checked.
//!
//! # Out of scope
//! Light figures in the room (`viewing`); which piece lies under the pointer (`panel`); the page's elements and events
//! (`web`).

mod error;
mod eye;
mod glazing;
mod gpu;
mod light;
mod output;
mod paint;
pub mod reference;
mod rgb;
mod shared;
mod software;
mod window;

// A window of a scene, and its shapes.
pub use window::follow::SameParts;
pub use window::inner_net::InnerNet;
pub use window::mesh::WindowMesh;
pub use window::model::{
    Came, Fade, Joint, Overlay, PieceModel, SheetModel, Strip, SurfaceModel, WindowModel,
};
pub use window::region::{Bounds, Region};
pub use window::scene_model::eye_before;
pub use window::scene_window::SceneWindow;
pub use window::vertex::{GlassVertex, Mesh, SolidVertex};

// The effect of its pieces on light, and the light of an instant.
pub use glazing::optics::{Factors, MIX_NODES, PieceOptics, Shift, THICKNESS_NODES, Transmittance};
pub use light::field::{Bearing, DirectionField, Eye, SKY_COLUMNS, Seen, SeenEdges};
pub use light::inner::InnerLight;
pub use light::instant::Light;
pub use light::lobes::LobeLight;
pub use light::outside::OutsideOfWall;
pub use light::tables::LightTables;
pub use light::wall::WallLight;

// The look of a picture, and the viewer.
pub use eye::exposure::WindowLevel;
pub use eye::look::{Exposure, Look, Mode};
pub use eye::shares::Viewer;
pub use output::view::View;
pub use rgb::Gamut;

// Drawing: on a graphics device or on the CPU, at once or in tiles.
pub use error::RenderError;
#[cfg(target_arch = "wasm32")]
pub use gpu::canvas::{BrowserBackend, CanvasRenderer};
#[cfg(not(target_arch = "wasm32"))]
pub use gpu::headless::{Headless, NativeBackend};
pub use gpu::read_back::PendingPixels;
pub use gpu::renderer::Renderer;
pub use output::tiles::{Tile, TilePlan, TileRows};
pub use software::picture::{SoftwarePicture, picture as software_picture};

// Files.
pub use output::png;
