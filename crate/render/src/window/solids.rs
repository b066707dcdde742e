//! Triangles of what is not glass: cames and bars along their lines, solder joints, the splay.

use crate::shared::constants::{MATERIAL_REVEAL, MATERIAL_SOLDER};
use crate::window::model::{Came, Joint, Strip};
use crate::window::outline::{distance, mitres, to_f32};
use crate::window::vertex::{Mesh, SolidVertex};

/// Width of the splay round the opening, mm.
const REVEAL_MM: f64 = 34.0;
/// Points on the rim of a joint.
const RIM: u32 = 32;
/// How far solder runs along a came and to its side, in face widths. Common practice, no source.
const ALONG: f64 = 0.8;
const ASIDE: f64 = 0.55;
/// How uneven its rim is, as a share of the reach. Assumption.
const UNEVEN: f64 = 0.05;

/// A line with a width: two fringes and a body that knows how far across it one is.
pub(crate) fn stroke(strip: &Strip, material: u32, mesh: &mut Mesh<SolidVertex>) {
    let mut points: Vec<[f64; 2]> = Vec::with_capacity(strip.line.len());
    for &p in &strip.line {
        if p[0].is_finite() && p[1].is_finite() && points.last().is_none_or(|q| distance(*q, p) > 1e-3) {
            points.push(p);
        }
    }
    if strip.closed && points.len() > 1 && distance(points[0], points[points.len() - 1]) <= 1e-3 {
        points.pop();
    }
    if points.len() < 2 || !(strip.width_mm > 0.0 && strip.width_mm.is_finite()) {
        return;
    }
    let n = points.len() as u32;
    let half = strip.width_mm / 2.0;
    let first = mesh.vertices.len() as u32;
    for (p, m) in points.iter().zip(mitres(&points, strip.closed)) {
        let length = m[0].hypot(m[1]).max(1e-9);
        let left = to_f32([m[0] / length, m[1] / length]);
        for (side, outward, coverage) in
            [(-1.0, 0.5, 0.0), (-1.0, -0.5, 1.0), (1.0, -0.5, 1.0), (1.0, 0.5, 0.0)]
        {
            mesh.vertices.push(SolidVertex {
                position: to_f32([p[0] + m[0] * half * side, p[1] + m[1] * half * side]),
                fringe: to_f32([m[0] * side * outward, m[1] * side * outward]),
                coverage,
                across: side as f32,
                left,
                half_mm: half as f32,
                material,
            });
        }
    }
    let segments = if strip.closed { n } else { n - 1 };
    for i in 0..segments {
        let (a, b) = (first + 4 * i, first + 4 * ((i + 1) % n));
        for k in 0..3 {
            mesh.indices.extend([a + k, a + k + 1, b + k, b + k, a + k + 1, b + k + 1]);
        }
    }
}

/// The splay round an opening whose inside is on the left.
pub(crate) fn reveal(points: &[[f64; 2]], mesh: &mut Mesh<SolidVertex>) {
    if points.len() < 3 {
        return;
    }
    let n = points.len() as u32;
    let first = mesh.vertices.len() as u32;
    for (p, m) in points.iter().zip(mitres(points, true)) {
        let length = m[0].hypot(m[1]).max(1e-9);
        let left = to_f32([m[0] / length, m[1] / length]);
        for (out_mm, outward_px, coverage, across) in [
            (0.0, -0.5, 0.0, 0.0),
            (0.0, 0.5, 1.0, 0.0),
            (REVEAL_MM, -0.5, 1.0, 1.0),
            (REVEAL_MM, 0.5, 0.0, 1.0),
        ] {
            mesh.vertices.push(SolidVertex {
                position: to_f32([p[0] - m[0] * out_mm, p[1] - m[1] * out_mm]),
                fringe: to_f32([-m[0] * outward_px, -m[1] * outward_px]),
                coverage,
                across,
                left,
                half_mm: 0.0,
                material: MATERIAL_REVEAL,
            });
        }
    }
    for i in 0..n {
        let (a, b) = (first + 4 * i, first + 4 * ((i + 1) % n));
        for k in 0..3 {
            mesh.indices.extend([a + k, a + k + 1, b + k, b + k, a + k + 1, b + k + 1]);
        }
    }
}

/// A joint: a low mound that runs a little way along each of its cames.
pub(crate) fn solder(joint: &Joint, mesh: &mut Mesh<SolidVertex>) {
    let widest = joint.cames.iter().map(|c| c.face_mm).fold(0.0, f64::max);
    let narrowest = joint.cames.iter().map(|c| c.face_mm).fold(widest, f64::min);
    let [x, y] = joint.at;
    if !(widest > 0.0 && widest.is_finite() && x.is_finite() && y.is_finite()) {
        return;
    }
    // Two waves round the rim, whose phases follow from the place.
    let phase = (x * 12.989 + y * 78.233).rem_euclid(std::f64::consts::TAU);
    let reach = |angle: f64| {
        let (sine, cosine) = angle.sin_cos();
        let lobe = |came: &Came| {
            let [cx, cy] = came.toward;
            let (ahead, beside) = (cosine * cx + sine * cy, sine * cx - cosine * cy);
            if ahead <= 0.0 {
                return 0.0;
            }
            // A rounded box: superellipse of the fourth power.
            let power = (ahead / ALONG).powi(4) + (beside / ASIDE).powi(4);
            came.face_mm / power.sqrt().sqrt()
        };
        // Behind the end of a wide came solder keeps to the narrow one.
        let reach = joint.cames.iter().map(lobe).fold(ASIDE * narrowest, f64::max);
        reach * (1.0 + UNEVEN * ((2.0 * angle + phase).sin() + (3.0 * angle - 2.0 * phase).sin()) / 2.0)
    };
    let first = mesh.vertices.len() as u32;
    let vertex = |angle: f64, share: f64, outward_px: f64, coverage: f32| {
        let reach = reach(angle);
        let out = [angle.cos(), angle.sin()];
        SolidVertex {
            position: to_f32([x + out[0] * reach * share, y + out[1] * reach * share]),
            fringe: to_f32([out[0] * outward_px, out[1] * outward_px]),
            coverage,
            across: share as f32,
            left: to_f32(out.map(|v| v * share)),
            half_mm: reach as f32,
            material: MATERIAL_SOLDER,
        }
    };
    mesh.vertices.push(SolidVertex { half_mm: widest as f32 / 2.0, ..vertex(0.0, 0.0, 0.0, 1.0) });
    for k in 0..RIM {
        let angle = std::f64::consts::TAU * f64::from(k) / f64::from(RIM);
        mesh.vertices.push(vertex(angle, 1.0, -0.5, 1.0));
        mesh.vertices.push(vertex(angle, 1.0, 0.5, 0.0));
        let (a, b) = (first + 1 + 2 * k, first + 1 + 2 * ((k + 1) % RIM));
        mesh.indices.extend([first, a, b, a, a + 1, b, b, a + 1, b + 1]);
    }
}
