//! What blocks hide from a window, without any light.

use glam::DVec3;
use plane::RoomVector;

use crate::cast::Scene;
use crate::exchange::window;
use crate::site::Site;

/// The blocks of a site as a window sees them.
pub struct Outlines {
    scene: Scene,
    window: DVec3,
}

impl Outlines {
    /// Of these measurements, which are not checked.
    pub fn new(site: &Site) -> Self {
        Self { scene: Scene::of(site), window: window(site) }
    }

    /// Whether a block stands between the window's middle and what lies far away toward a unit vector.
    pub fn hide(&self, toward: RoomVector) -> bool {
        self.scene.blocks_hide(self.window, toward.vector())
    }
}
