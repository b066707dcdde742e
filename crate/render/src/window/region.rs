//! Outlines in the panel plane: bounds, areas, containment.

use glam::DVec2;

/// Closed outlines in panel mm; points inside an odd number of them are filled. A single outline, or an outer one
/// with its holes, in any direction, without repeating the last point.
pub type Region = Vec<Vec<[f64; 2]>>;

/// Axis-aligned bounds, panel mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left and lower.
    pub min: [f64; 2],
    /// Right and upper.
    pub max: [f64; 2],
}

impl Bounds {
    /// Bounds of some points; `None` if none is finite.
    pub fn of<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> Option<Self> {
        points.into_iter().filter(|p| p[0].is_finite() && p[1].is_finite()).fold(None, |bounds, p| {
            let Bounds { min, max } = bounds.unwrap_or(Self { min: *p, max: *p });
            Some(Self {
                min: [min[0].min(p[0]), min[1].min(p[1])],
                max: [max[0].max(p[0]), max[1].max(p[1])],
            })
        })
    }

    /// Its middle.
    pub fn centre(&self) -> [f64; 2] {
        [(self.min[0] + self.max[0]) / 2.0, (self.min[1] + self.max[1]) / 2.0]
    }

    /// Width and height.
    pub fn size(&self) -> [f64; 2] {
        [self.max[0] - self.min[0], self.max[1] - self.min[1]]
    }

    /// Grown by `margin` on every side.
    pub fn grown(&self, margin: f64) -> Self {
        Self {
            min: [self.min[0] - margin, self.min[1] - margin],
            max: [self.max[0] + margin, self.max[1] + margin],
        }
    }
}

/// Area and centroid of a region by the shoelace formula, minus its holes (outlines inside another one). mm² and
/// mm; `None` for a region without area.
pub(crate) fn area_and_centroid(region: &Region) -> Option<(f64, [f64; 2])> {
    let (mut area, mut moment) = (0.0, DVec2::ZERO);
    for (k, outline) in region.iter().enumerate() {
        let Some(origin) = outline.first().copied().map(DVec2::from_array) else { continue };
        let (mut a, mut m) = (0.0, DVec2::ZERO);
        for (i, p) in outline.iter().enumerate() {
            let q = outline[(i + 1) % outline.len()];
            let (p, q) = (DVec2::from_array(*p) - origin, DVec2::from_array(q) - origin);
            let cross = p.perp_dot(q);
            a += cross / 2.0;
            m += (p + q) * cross / 6.0;
        }
        let sign = a.signum() * if depth(region, k).is_multiple_of(2) { 1.0 } else { -1.0 };
        area += sign * a;
        moment += sign * (m + a * origin);
    }
    (area > 0.0).then(|| (area, (moment / area).to_array()))
}

/// How many other outlines of the region contain outline `k`.
pub(crate) fn depth(region: &Region, k: usize) -> usize {
    let Some(&point) = region[k].first() else { return 0 };
    region
        .iter()
        .enumerate()
        .filter(|(other, outline)| *other != k && outline_contains(outline, point))
        .count()
}

/// Whether a point lies inside a region, odd crossings counting as inside.
pub fn contains(region: &Region, point: [f64; 2]) -> bool {
    region.iter().filter(|outline| outline_contains(outline, point)).count() % 2 == 1
}

fn outline_contains(outline: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut inside = false;
    let Some(mut p) = outline.last() else { return false };
    for q in outline {
        if (q[1] > y) != (p[1] > y) && x < (p[0] - q[0]) * (y - q[1]) / (p[1] - q[1]) + q[0] {
            inside = !inside;
        }
        p = q;
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_reduces_the_area_and_shifts_the_centroid_away() {
        let square = vec![[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
        let hole = vec![[1.0, 1.0], [2.0, 1.0], [2.0, 2.0], [1.0, 2.0]];
        for hole in [hole.clone(), hole.into_iter().rev().collect()] {
            let region = vec![square.clone(), hole];
            let (area, centroid) = area_and_centroid(&region).unwrap();
            assert!((area - 15.0).abs() < 1e-12);
            assert!((centroid[0] - (32.0 - 1.5) / 15.0).abs() < 1e-12, "{centroid:?}");
            assert!(contains(&region, [3.0, 3.0]) && !contains(&region, [1.5, 1.5]));
        }
        assert_eq!(area_and_centroid(&vec![vec![[1.0, 1.0]]]), None);
    }
}
