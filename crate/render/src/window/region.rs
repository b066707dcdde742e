//! Outlines in the panel plane: bounds, areas, containment.

use glam::DVec2;
use plane::{PanelPoint, bounds, contains, edges};

/// Closed outlines; points inside an odd number of them are filled. A single outline, or an outer one with
/// its holes, in any direction, without repeating the last point.
pub type Region = Vec<Vec<PanelPoint>>;

/// Axis-aligned bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left and lower.
    pub min: PanelPoint,
    /// Right and upper.
    pub max: PanelPoint,
}

impl Bounds {
    /// Bounds of some points; `None` if none is finite.
    pub fn of<'a>(points: impl IntoIterator<Item = &'a PanelPoint>) -> Option<Self> {
        let [min, max] = bounds(points.into_iter().filter(|p| p.vector().is_finite()))?;
        Some(Self { min, max })
    }

    /// Its middle.
    pub fn centre(&self) -> PanelPoint {
        PanelPoint::from((self.min.vector() + self.max.vector()) / 2.0)
    }

    /// Width and height, mm.
    pub fn size(&self) -> [f64; 2] {
        [self.max[0] - self.min[0], self.max[1] - self.min[1]]
    }

    /// Grown by `margin` (mm) on every side.
    pub fn grown(&self, margin: f64) -> Self {
        Self {
            min: PanelPoint::from(self.min.vector() - margin),
            max: PanelPoint::from(self.max.vector() + margin),
        }
    }
}

/// Area and centroid of a region by the shoelace formula, minus its holes (outlines inside another one). mm² and
/// mm; `None` for a region without area.
pub(crate) fn area_and_centroid(region: &Region) -> Option<(f64, PanelPoint)> {
    let (mut area, mut moment) = (0.0, DVec2::ZERO);
    for (k, outline) in region.iter().enumerate() {
        let Some(origin) = outline.first().map(|p| p.vector()) else { continue };
        let (mut a, mut m) = (0.0, DVec2::ZERO);
        for (p, q) in edges(outline) {
            let (p, q) = (p.vector() - origin, q.vector() - origin);
            let cross = p.perp_dot(q);
            a += cross / 2.0;
            m += (p + q) * cross / 6.0;
        }
        let sign = a.signum() * if depth(region, k).is_multiple_of(2) { 1.0 } else { -1.0 };
        area += sign * a;
        moment += sign * (m + a * origin);
    }
    (area > 0.0).then(|| (area, PanelPoint::from(moment / area)))
}

/// How many other outlines of the region contain outline `k`.
pub(crate) fn depth(region: &Region, k: usize) -> usize {
    let Some(&point) = region[k].first() else { return 0 };
    region.iter().enumerate().filter(|(other, outline)| *other != k && contains([outline], point)).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_reduces_the_area_and_shifts_the_centroid_away() {
        let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]].map(PanelPoint::from).to_vec();
        let hole = [[1.0, 1.0], [2.0, 1.0], [2.0, 2.0], [1.0, 2.0]].map(PanelPoint::from).to_vec();
        for hole in [hole.clone(), hole.into_iter().rev().collect()] {
            let region = vec![square.clone(), hole];
            let (area, centroid) = area_and_centroid(&region).unwrap();
            assert!((area - 15.0).abs() < 1e-12);
            assert!((centroid[0] - (32.0 - 1.5) / 15.0).abs() < 1e-12, "{centroid:?}");
            assert!(
                contains(&region, PanelPoint::new(3.0, 3.0)) && !contains(&region, PanelPoint::new(1.5, 1.5))
            );
        }
        assert_eq!(area_and_centroid(&vec![vec![PanelPoint::new(1.0, 1.0)]]), None);
    }
}
