//! The sun's beam.

use plane::RoomVector;
use spectra::Spectrum;

/// The sun in the room's frame.
pub(crate) struct Beam {
    /// Unit vector toward it.
    pub(crate) toward: RoomVector,
    /// On a plane facing it.
    pub(crate) normal: Spectrum,
    /// Of its angle of incidence on the glass.
    pub(crate) cosine: f64,
}
