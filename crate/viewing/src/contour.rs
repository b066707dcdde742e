//! Light from a uniform polygon to a plane element, by Lambert's sum over its edges.

use plane::{RoomPoint, RoomVector};

/// The part of a polygon on the positive side of the plane through `origin` with normal `normal` (Sutherland &
/// Hodgman 1974). A non-convex polygon may come back with edges that run along the plane there and back; they
/// cancel in every contour sum.
pub(crate) fn clip_to_half_space(
    polygon: &[RoomPoint],
    origin: RoomPoint,
    normal: RoomVector,
) -> Vec<RoomPoint> {
    let mut kept = Vec::with_capacity(polygon.len() + 2);
    for (i, &a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        let (da, db) = ((a - origin).dot(normal), (b - origin).dot(normal));
        if da >= 0.0 {
            kept.push(a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            kept.push(a + (b - a) * (da / (da - db)));
        }
    }
    kept
}

/// Form factor from a plane element to a polygon: the irradiance at the element over the exitance of the polygon,
/// if the polygon is a uniform Lambertian source and nothing stands between.
///
/// `normal` is a unit vector. The polygon may be concave and wound either way; the part behind the element is cut
/// away. 0–1; 0 for fewer than three corners, and for a polygon in the element's own plane.
///
/// # Source
/// Lambert 1760; as in Howell, Mengüç, Daun & Siegel, *Thermal Radiation Heat Transfer*, contour integration, from memory.
pub fn form_factor_to_polygon(point: RoomPoint, normal: RoomVector, polygon: &[RoomPoint]) -> f64 {
    let scale = polygon.iter().map(|&v| (v - point).length()).fold(0.0, f64::max);
    let (mut above, mut below) = (false, false);
    for &v in polygon {
        let height = (v - point).dot(normal);
        above |= height > 1e-12 * scale;
        below |= height < -1e-12 * scale;
    }
    if !above || polygon.len() < 3 {
        return 0.0;
    }
    if below {
        edge_sum(point, normal, &clip_to_half_space(polygon, point, normal))
    } else {
        edge_sum(point, normal, polygon)
    }
}

fn edge_sum(point: RoomPoint, normal: RoomVector, polygon: &[RoomPoint]) -> f64 {
    let Some(&last) = polygon.last() else { return 0.0 };
    let mut sum = 0.0;
    let mut a = (last - point).unit();
    for &corner in polygon {
        let b = (corner - point).unit();
        let c = a.cross(b);
        let sine = c.length();
        if sine > 1e-15 {
            sum += sine.atan2(a.dot(b)) * normal.dot(c) / sine;
        }
        a = b;
    }
    sum.abs() / (2.0 * std::f64::consts::PI)
}

/// Area of a plane polygon in space, m².
pub(crate) fn polygon_area(polygon: &[RoomPoint]) -> f64 {
    let Some(&first) = polygon.first() else { return 0.0 };
    let mut sum = RoomVector::ZERO;
    for pair in polygon.windows(2) {
        sum += (pair[0] - first).cross(pair[1] - first);
    }
    0.5 * sum.length()
}

/// One uniform polygon and what it radiates.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    /// Corners, m.
    pub polygon: &'a [RoomPoint],
    /// Radiance toward the element, the same over the polygon and in all directions; any unit.
    pub radiance: f64,
}

/// Irradiance at a plane element from uniform polygons: Σ π L F, in the sources' unit times steradian.
pub fn irradiance_from_polygons(point: RoomPoint, normal: RoomVector, sources: &[Source<'_>]) -> f64 {
    let sum: f64 =
        sources.iter().map(|s| s.radiance * form_factor_to_polygon(point, normal, s.polygon)).sum();
    std::f64::consts::PI * sum
}
