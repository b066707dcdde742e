//! What can go wrong between a window and its picture.

/// A picture could not be drawn.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// No device of the requested kind.
    #[error(
        "no graphics device supports {wanted} ({reason}); the picture can be drawn without one, more slowly"
    )]
    NoDevice {
        /// What was requested.
        wanted: String,
        /// What the system reported.
        reason: String,
    },
    /// The canvas offers no surface to draw on.
    #[error(
        "the canvas offers no surface to draw on ({0}); replace the canvas element with a new one and try again"
    )]
    Surface(String),
    /// The device is gone.
    #[error("the graphics device was lost; make a new canvas and a new renderer from the document")]
    Lost,
    /// The tables do not fit the device.
    #[error(
        "tables of {pieces} pieces need a texture {rows} high, but the device allows only {most}; draw the window in software"
    )]
    TooManyPieces {
        /// Pieces in the window.
        pieces: usize,
        /// Rows or columns needed.
        rows: u32,
        /// The device's limit.
        most: u32,
    },
    /// The pixels could not be read back.
    #[error("the picture could not be read back: {0}")]
    ReadBack(String),
}
