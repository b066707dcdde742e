//! Brush strokes as triangles, clipped to their piece.

use glam::{DVec2, Vec2};
use plane::{PanelPoint, bounds, contains, edges};

use crate::paint::fade::NEAREST_MM;
use crate::window::fill::fill;
use crate::window::model::Overlay;
use crate::window::outline::single;
use crate::window::region::Region;
use crate::window::vertex::{GlassVertex, Mesh};

/// Strokes as quadrilaterals whose corners store the distance from the middle of the line, clipped to the piece.
pub(crate) fn overlay_strokes(overlay: &Overlay, light_shape: &Region, mesh: &mut Mesh<GlassVertex>) {
    let margin = overlay.softness_mm / 2.0 + overlay.ragged_mm;
    for line in &overlay.lines {
        for (i, j) in line.stretches() {
            let quad = line.quad((i, j), margin);
            if quad.iter().any(|p| !p.vector().is_finite()) {
                continue;
            }
            let corner = |k: usize, side: f64| {
                let half = line.half_mm[k];
                let fringe = side * line.left[k].vector() * 0.5;
                (fringe, [(side * (half + margin)) as f32, half as f32])
            };
            let corners = [corner(i, -1.0), corner(j, -1.0), corner(j, 1.0), corner(i, 1.0)];
            if lies_within(&quad, light_shape) {
                let first = mesh.vertices.len() as u32;
                for (p, (fringe, brush)) in quad.iter().zip(corners) {
                    mesh.vertices.push(GlassVertex {
                        position: single(p.vector()),
                        fringe: single(fringe),
                        coverage: 1.0,
                        brush,
                        piece: 0,
                    });
                }
                mesh.indices.extend([0, 1, 2, 0, 2, 3].map(|k| first + k));
                continue;
            }
            for part in panel::within(&quad, light_shape.iter().map(Vec::as_slice)) {
                let region: Region = part.rings().map(<[_]>::to_vec).collect();
                let first = mesh.indices.len();
                // Along the lead, the piece's own soft edge is enough.
                let make = |position: [f32; 2], _, coverage| {
                    let at = Vec2::from_array(position).as_dvec2();
                    let (from, to) = (line.points[i].vector(), line.points[j].vector());
                    let along = share_along(at, from, to);
                    let half = line.half_mm[i] + (line.half_mm[j] - line.half_mm[i]) * along;
                    let aside = aside(at, from, to);
                    let near = |k: usize| at.distance(quad[k].vector()) < 1e-4;
                    let (fringe, brush) = (0..4)
                        .find(|k| near(*k))
                        .map_or((DVec2::ZERO, [aside as f32, half as f32]), |k| corners[k]);
                    GlassVertex { position, fringe: single(fringe), coverage, brush, piece: 0 }
                };
                fill(&region, mesh, make);
                drop_fringe(mesh, first);
            }
        }
    }
}

/// Removes the triangles of a fringe.
fn drop_fringe(mesh: &mut Mesh<GlassVertex>, first: usize) {
    let kept: Vec<u32> = mesh.indices[first..]
        .as_chunks::<3>()
        .0
        .iter()
        .filter(|t| t.iter().all(|&i| mesh.vertices[i as usize].coverage > 0.5))
        .flatten()
        .copied()
        .collect();
    mesh.indices.truncate(first);
    mesh.indices.extend(kept);
}

fn share_along(p: DVec2, a: DVec2, b: DVec2) -> f64 {
    let d = b - a;
    let square = d.length_squared();
    if square > 0.0 { ((p - a).dot(d) / square).clamp(0.0, 1.0) } else { 0.0 }
}

/// Distance to the left of the line through a and b.
fn aside(p: DVec2, a: DVec2, b: DVec2) -> f64 {
    (b - a).perp_dot(p - a) / a.distance(b).max(NEAREST_MM)
}

/// Whether a quadrilateral lies in a region: one corner does and no edges cross.
fn lies_within(quad: &[PanelPoint; 4], region: &Region) -> bool {
    let Some([low, high]) = bounds(quad).map(|corners| corners.map(PanelPoint::vector)) else { return false };
    contains(region, quad[0])
        && region.iter().all(|outline| {
            edges(outline).all(|(a, b)| {
                // An edge whose bounding box misses the quadrilateral's does not cross it.
                let (a, b) = (a.vector(), b.vector());
                a.max(b).cmplt(low).any() || a.min(b).cmpgt(high).any()
            })
        })
}
