//! Requests for pictures.

use schemars::JsonSchema;
use serde::Deserialize;

/// A picture of a window, or of a part of it.
#[derive(Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PictureRequest {
    /// Id of the window.
    pub(crate) window: String,
    /// The place it is seen from; empty for the first.
    pub(crate) place: String,
    /// Civil time at the site.
    pub(crate) at: String,
    /// What the picture is for.
    pub(crate) mode: PictureMode,
    /// Whether stripes mark what the screen cannot show.
    pub(crate) mark_unshowable: bool,
    /// The gamut of the screen; only if no canvas determines it.
    pub(crate) gamut: Option<Gamut>,
    /// Width of the picture.
    #[schemars(range(min = 1, max = 16_384))]
    pub(crate) width_px: u32,
    /// Height of the picture.
    #[schemars(range(min = 1, max = 16_384))]
    pub(crate) height_px: u32,
    /// The point in the middle of the picture: distance from the left of the sight size.
    pub(crate) centre_x_mm: f64,
    /// The same point: distance from the **top** of the sight size.
    pub(crate) centre_y_mm: f64,
    /// The length of the window that a pixel shows.
    #[schemars(range(min = 0.000_001))]
    pub(crate) mm_per_px: f64,
}

/// A whole window as a picture file.
#[derive(Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct FileRequest {
    /// Id of the window.
    pub(crate) window: String,
    /// The place it is seen from; empty for the first.
    pub(crate) place: String,
    /// Civil time at the site.
    pub(crate) at: String,
    /// What the picture is for.
    pub(crate) mode: PictureMode,
    /// Whether stripes mark what the file cannot show.
    pub(crate) mark_unshowable: bool,
    /// The gamut of the file.
    pub(crate) gamut: Gamut,
    /// Width of the picture; its height follows.
    #[schemars(range(min = 1, max = 16_384))]
    pub(crate) width_px: u32,
}

/// What a picture is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum PictureMode {
    /// How the window looks to the eye from the dim room.
    Appearance,
    /// For comparing colours.
    ColourTrue,
}

/// The gamut of a screen or a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Gamut {
    /// The gamut of most screens.
    Srgb,
    /// Display P3.
    DisplayP3,
}
