//! One instant's light as the renderer takes it.

use plane::PanelSpaceVector;
use spectra::Spectrum;

use crate::eye::shares::Viewer;
use crate::light::field::{DirectionField, Eye};
use crate::light::inner::InnerLight;
use crate::light::lobes::LobeLight;
use crate::light::wall::WallLight;

/// One instant's light.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Up to [`SKY_COLUMNS`] spectra, of which everything above the horizontal is a mixture, W·m⁻²·sr⁻¹·nm⁻¹.
    pub sky: Vec<Spectrum>,
    /// Radiance of the ground.
    pub ground: Spectrum,
    /// Radiance of the sun's disc; zero if it is down or hidden.
    pub disc: Spectrum,
    /// Irradiance on the outer face over π: the radiance that a perfectly scattering piece would show.
    pub glow: Spectrum,
    /// Unit vector toward the sun in the panel's frame; `None` if it is down.
    pub toward_sun: Option<PanelSpaceVector>,
    /// What is seen in each direction.
    pub field: DirectionField,
    /// The wall before the glass outside; `None` for a wall without depth.
    pub wall: Option<WallLight>,
    /// The sides of the inner reveal; `None` for a wall without depth inside.
    pub inner: Option<InnerLight>,
    /// What pieces with lobes scatter; `None` lets them spread it evenly.
    pub lobes: Option<LobeLight>,
    /// The eye's position.
    pub eye: Eye,
    /// Luminance of a white surface that faces the window from inside, lit by the room, cd/m². `None` lets the
    /// renderer assume a dim room.
    pub room_white_cd_m2: Option<f64>,
    /// The viewer.
    pub viewer: Viewer,
}
