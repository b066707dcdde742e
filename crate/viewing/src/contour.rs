//! Light from a uniform polygon to a plane element, by Lambert's sum over its edges.

use crate::vector::{V3, add_scaled, cross, dot, length, sub, unit};

/// The part of a polygon on the positive side of the plane through `origin` with normal `normal`
/// (Sutherland & Hodgman 1974). A polygon that is not convex may come back with edges that run along the plane there
/// and back; they cancel in every contour sum.
pub fn clip_to_half_space(polygon: &[V3], origin: V3, normal: V3) -> Vec<V3> {
    let mut kept = Vec::with_capacity(polygon.len() + 2);
    for (i, &a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        let (da, db) = (dot(sub(a, origin), normal), dot(sub(b, origin), normal));
        if da >= 0.0 {
            kept.push(a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            kept.push(add_scaled(a, da / (da - db), sub(b, a)));
        }
    }
    kept
}

/// Form factor from a plane element to a polygon: the irradiance at the element over the exitance of the polygon, when
/// the polygon is a uniform Lambertian source and nothing stands between.
///
/// `point` and `polygon` in one length unit, `normal` a unit vector. The polygon may be concave, wound either way; the
/// part behind the element is cut away. 0–1; 0 for fewer than three corners, and for a polygon in the element's own
/// plane.
///
/// # Source
/// Lambert 1760; as in Howell, Mengüç, Daun & Siegel, *Thermal Radiation Heat Transfer*, contour integration, from memory.
pub fn form_factor_to_polygon(point: V3, normal: V3, polygon: &[V3]) -> f64 {
    let scale = polygon.iter().map(|&v| length(sub(v, point))).fold(0.0, f64::max);
    let (mut above, mut below) = (false, false);
    for &v in polygon {
        let height = dot(sub(v, point), normal);
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

fn edge_sum(point: V3, normal: V3, polygon: &[V3]) -> f64 {
    let Some(&last) = polygon.last() else { return 0.0 };
    let mut sum = 0.0;
    let mut a = unit(sub(last, point));
    for &corner in polygon {
        let b = unit(sub(corner, point));
        let c = cross(a, b);
        let sine = length(c);
        if sine > 1e-15 {
            sum += sine.atan2(dot(a, b)) * dot(normal, c) / sine;
        }
        a = b;
    }
    sum.abs() / (2.0 * std::f64::consts::PI)
}

/// Area of a plane polygon in space.
pub fn polygon_area(polygon: &[V3]) -> f64 {
    let Some(&first) = polygon.first() else { return 0.0 };
    let mut sum = [0.0; 3];
    for pair in polygon.windows(2) {
        sum = add_scaled(sum, 1.0, cross(sub(pair[0], first), sub(pair[1], first)));
    }
    0.5 * length(sum)
}

/// One uniform polygon and what it radiates.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    /// Corners, m.
    pub polygon: &'a [V3],
    /// Radiance toward the element, the same over the polygon and in all directions; any unit.
    pub radiance: f64,
}

/// Irradiance at a plane element from uniform polygons: Σ π L F, in the sources' unit times steradian.
pub fn irradiance_from_polygons(point: V3, normal: V3, sources: &[Source<'_>]) -> f64 {
    let sum: f64 =
        sources.iter().map(|s| s.radiance * form_factor_to_polygon(point, normal, s.polygon)).sum();
    std::f64::consts::PI * sum
}
