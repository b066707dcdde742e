//! Which part of the panel plane a picture shows.

use plane::PanelPoint;

use crate::window::region::Bounds;

/// Which part of the panel plane a picture shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// The point in the middle of the picture.
    pub centre_mm: PanelPoint,
    /// Panel mm per pixel.
    pub mm_per_px: f64,
    /// Picture size, device pixels.
    pub size_px: [u32; 2],
}

impl View {
    /// The whole of `bounds`, with `margin` of the picture's smaller side left free all round (0–0.4).
    pub fn fit(bounds: Bounds, size_px: [u32; 2], margin: f64) -> Self {
        let [width, height] = bounds.size();
        let size_px = size_px.map(|s| s.max(1));
        let [px, py] = size_px.map(f64::from);
        let free = 2.0 * margin.clamp(0.0, 0.4) * px.min(py);
        let mm_per_px = (width / (px - free)).max(height / (py - free)).max(1e-3);
        Self { centre_mm: bounds.centre(), mm_per_px, size_px }
    }

    /// The panel point under a pixel position (x right, y down, from the upper-left corner of the picture).
    pub fn panel_from_pixel(&self, [x, y]: [f64; 2]) -> PanelPoint {
        let [w, h] = self.size_px.map(f64::from);
        PanelPoint::new(
            self.centre_mm[0] + (x - w / 2.0) * self.mm_per_px,
            self.centre_mm[1] - (y - h / 2.0) * self.mm_per_px,
        )
    }

    /// The pixel position over a panel point.
    pub fn pixel_from_panel(&self, point: PanelPoint) -> [f64; 2] {
        let [w, h] = self.size_px.map(f64::from);
        [
            w / 2.0 + (point[0] - self.centre_mm[0]) / self.mm_per_px,
            h / 2.0 - (point[1] - self.centre_mm[1]) / self.mm_per_px,
        ]
    }

    /// The part of this picture that starts at a pixel and has its own size: for pictures drawn in tiles.
    pub fn tile(&self, at_px: [u32; 2], size_px: [u32; 2]) -> Self {
        let middle = [0, 1].map(|k| f64::from(at_px[k]) + f64::from(size_px[k]) / 2.0);
        Self { centre_mm: self.panel_from_pixel(middle), mm_per_px: self.mm_per_px, size_px }
    }

    /// Moved and scaled about a pixel: that panel point stays where it is.
    pub fn zoomed(&self, factor: f64, about_px: [f64; 2]) -> Self {
        let fixed = self.panel_from_pixel(about_px);
        let factor = if factor.is_finite() && factor > 0.0 { factor } else { 1.0 };
        let centre_mm = PanelPoint::from(fixed.vector() + (self.centre_mm - fixed).vector() / factor);
        Self { centre_mm, mm_per_px: self.mm_per_px / factor, ..*self }
    }

    /// Dragged by pixels (x right, y down).
    pub fn panned(&self, [dx, dy]: [f64; 2]) -> Self {
        let [x, y] = self.centre_mm.to_array();
        Self { centre_mm: PanelPoint::new(x - dx * self.mm_per_px, y + dy * self.mm_per_px), ..*self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_and_panel_points_convert_both_ways() {
        let bounds = Bounds { min: PanelPoint::default(), max: PanelPoint::new(620.0, 1487.0) };
        let view = View::fit(bounds, [1440, 900], 0.03).zoomed(2.5, [700.0, 20.0]).panned([13.0, -4.0]);
        let p = view.panel_from_pixel([17.0, 803.0]);
        let back = view.pixel_from_panel(p);
        assert!((back[0] - 17.0).abs() < 1e-9 && (back[1] - 803.0).abs() < 1e-9);
        let fixed = view.panel_from_pixel([100.0, 200.0]);
        let zoomed = view.zoomed(3.0, [100.0, 200.0]).panel_from_pixel([100.0, 200.0]);
        assert!((fixed[0] - zoomed[0]).abs() < 1e-9 && (fixed[1] - zoomed[1]).abs() < 1e-9);
        let tile = view.tile([128, 256], [64, 32]);
        let (a, b) = (tile.panel_from_pixel([3.0, 5.0]), view.panel_from_pixel([131.0, 261.0]));
        assert!((a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9);
    }
}
