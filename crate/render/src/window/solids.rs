//! Triangles of everything that is not glass: cames and bars along their lines, solder joints, the splay.

use glam::DVec2;
use plane::{PanelPoint, distinct, mitres};

use crate::shared::constants::{MATERIAL_REVEAL, MATERIAL_SOLDER};
use crate::window::model::{Came, Joint, Strip};
use crate::window::outline::{MITRE_LIMIT, single};
use crate::window::vertex::{Mesh, SolidVertex};

/// Width of the splay round the opening, mm.
const REVEAL_MM: f64 = 34.0;
/// Points of a line closer than this count as one, mm.
const SAME_POINT_MM: f64 = 1e-3;
/// Points on the rim of a joint.
const RIM: u32 = 32;
/// How far solder runs along a came and to its side, in face widths. Common practice, no source.
const ALONG: f64 = 0.8;
const ASIDE: f64 = 0.55;
/// How uneven its rim is, as a share of the reach. Assumption.
const UNEVEN: f64 = 0.05;

/// A line with a width: two fringes and a body whose vertices store their position across it.
pub(crate) fn stroke(strip: &Strip, material: u32, mesh: &mut Mesh<SolidVertex>) {
    let points = distinct(&strip.line, strip.closed, SAME_POINT_MM);
    if points.len() < 2 || !(strip.width_mm > 0.0 && strip.width_mm.is_finite()) {
        return;
    }
    let n = points.len() as u32;
    let half = strip.width_mm / 2.0;
    let first = mesh.vertices.len() as u32;
    for (p, m) in points.iter().zip(mitres(&points, strip.closed, MITRE_LIMIT)) {
        let (p, m) = (p.vector(), m.vector());
        let left = single(m / m.length().max(1e-9));
        for (side, outward, coverage) in
            [(-1.0, 0.5, 0.0), (-1.0, -0.5, 1.0), (1.0, -0.5, 1.0), (1.0, 0.5, 0.0)]
        {
            mesh.vertices.push(SolidVertex {
                position: single(p + m * half * side),
                fringe: single(m * side * outward),
                coverage,
                across: side as f32,
                left,
                half_mm: half as f32,
                material,
                depth_mm: 0.0,
                node: 0,
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
pub(crate) fn reveal(points: &[PanelPoint], mesh: &mut Mesh<SolidVertex>) {
    if points.len() < 3 {
        return;
    }
    let n = points.len() as u32;
    let first = mesh.vertices.len() as u32;
    for (p, m) in points.iter().zip(mitres(points, true, MITRE_LIMIT)) {
        let (p, m) = (p.vector(), m.vector());
        let left = single(m / m.length().max(1e-9));
        for (out_mm, outward_px, coverage, across) in [
            (0.0, -0.5, 0.0, 0.0),
            (0.0, 0.5, 1.0, 0.0),
            (REVEAL_MM, -0.5, 1.0, 1.0),
            (REVEAL_MM, 0.5, 0.0, 1.0),
        ] {
            mesh.vertices.push(SolidVertex {
                position: single(p - m * out_mm),
                fringe: single(-m * outward_px),
                coverage,
                across,
                left,
                half_mm: 0.0,
                material: MATERIAL_REVEAL,
                depth_mm: 0.0,
                node: 0,
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
    let at = joint.at.vector();
    if !(widest > 0.0 && widest.is_finite() && at.is_finite()) {
        return;
    }
    // Two waves round the rim, with phases derived from the place.
    let phase = (at.x * 12.989 + at.y * 78.233).rem_euclid(std::f64::consts::TAU);
    let reach = |angle: f64| {
        let out = DVec2::from_angle(angle);
        let lobe = |came: &Came| {
            let toward = came.toward.vector();
            let (ahead, beside) = (out.dot(toward), toward.perp_dot(out));
            if ahead <= 0.0 {
                return 0.0;
            }
            // A rounded box: superellipse of the fourth power.
            let power = (ahead / ALONG).powi(4) + (beside / ASIDE).powi(4);
            came.face_mm / power.sqrt().sqrt()
        };
        // Behind the end of a wide came, solder keeps to the narrow one.
        let reach = joint.cames.iter().map(lobe).fold(ASIDE * narrowest, f64::max);
        reach * (1.0 + UNEVEN * ((2.0 * angle + phase).sin() + (3.0 * angle - 2.0 * phase).sin()) / 2.0)
    };
    let first = mesh.vertices.len() as u32;
    let vertex = |angle: f64, share: f64, outward_px: f64, coverage: f32| {
        let reach = reach(angle);
        let out = DVec2::from_angle(angle);
        SolidVertex {
            position: single(at + out * reach * share),
            fringe: single(out * outward_px),
            coverage,
            across: share as f32,
            left: single(out * share),
            half_mm: reach as f32,
            material: MATERIAL_SOLDER,
            depth_mm: 0.0,
            node: 0,
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
