//! Conversions between frames.

use crate::point2::{PagePoint, PanelPoint, WallPoint};
use crate::point3::{PanelSpacePoint, RoomPoint};

const M_PER_MM: f64 = 1e-3;
const MM_PER_M: f64 = 1e3;

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
        PanelPoint::from((point.vector() - self.lower_left.vector()) * MM_PER_M)
    }

    /// The point of the room where a point of the panel lies.
    pub fn room_from_panel(&self, point: PanelPoint) -> RoomPoint {
        room_from_wall(self.wall_from_panel(point))
    }

    /// Where a point of the room stands before the panel.
    pub fn panel_from_room(&self, point: RoomPoint) -> PanelSpacePoint {
        let [x, y, z] = point.to_array();
        let foot = self.panel_from_wall(WallPoint::new(x, y));
        PanelSpacePoint::new(foot.x(), foot.y(), z * MM_PER_M)
    }
}

/// How a panel lies on a page, where y runs down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PanelOnPage {
    /// Height of the panel's sight size, mm.
    pub height_mm: f64,
}

impl PanelOnPage {
    /// The point of the panel under a point of the page.
    pub const fn panel_from_page(&self, point: PagePoint) -> PanelPoint {
        PanelPoint::new(point.x(), self.height_mm - point.y())
    }

    /// The point of the page over a point of the panel.
    pub const fn page_from_panel(&self, point: PanelPoint) -> PagePoint {
        PagePoint::new(point.x(), self.height_mm - point.y())
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

    #[test]
    fn an_eye_stands_before_its_foot() {
        let panel = PanelOnWall { lower_left: WallPoint::new(1.5, 1.0) };
        let eye = panel.panel_from_room(RoomPoint::new(2.0, 1.75, 4.0));
        assert_eq!(eye, PanelSpacePoint::new(500.0, 750.0, 4000.0));
    }

    #[test]
    fn a_page_runs_down() {
        let panel = PanelOnPage { height_mm: 900.0 };
        let point = PanelPoint::new(30.0, 100.0);
        assert_eq!(panel.page_from_panel(point), PagePoint::new(30.0, 800.0));
        assert_eq!(panel.panel_from_page(panel.page_from_panel(point)), point);
    }
}
