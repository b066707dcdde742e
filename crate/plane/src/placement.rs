//! Conversions between frames.

use crate::point2::{PanelPoint, WallPoint};
use crate::point3::RoomPoint;

const M_PER_MM: f64 = 1e-3;

/// Position of a panel on the window wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelOnWall {
    /// The wall's point at the panel's origin.
    pub lower_left: WallPoint,
}

impl PanelOnWall {
    /// The point of the wall where a point of the panel lies.
    pub fn wall_from_panel(&self, point: PanelPoint) -> WallPoint {
        WallPoint::from(self.lower_left.vector() + point.vector() * M_PER_MM)
    }

    /// The point of the panel that lies at a point of the wall.
    pub fn panel_from_wall(&self, point: WallPoint) -> PanelPoint {
        PanelPoint::from((point.vector() - self.lower_left.vector()) / M_PER_MM)
    }

    /// The point of the room where a point of the panel lies.
    pub fn room_from_panel(&self, point: PanelPoint) -> RoomPoint {
        room_from_wall(self.wall_from_panel(point))
    }
}

/// The point of the room where a point of the window wall lies.
pub fn room_from_wall(point: WallPoint) -> RoomPoint {
    RoomPoint::new(point.x(), point.y(), 0.0)
}

/// [`room_from_wall`] of every corner.
pub fn room_ring_from_wall(ring: &[WallPoint]) -> Vec<RoomPoint> {
    ring.iter().copied().map(room_from_wall).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let panel = PanelOnWall { lower_left: WallPoint::new(1.25, 0.9) };
        let point = PanelPoint::new(412.5, 1730.0);
        let back = panel.panel_from_wall(panel.wall_from_panel(point));
        assert!((back.vector() - point.vector()).length() < 1e-9);
        assert_eq!(panel.room_from_panel(point)[2].to_bits(), 0.0f64.to_bits());
    }
}
