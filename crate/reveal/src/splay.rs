//! How the sides of a reveal lean, and the ring in which they end.

use plane::{RoomPoint, WallPoint};

use crate::error::{RevealError, within};
use crate::outline::Outline;

/// The depth of a reveal and the lean of its sides: how far each opens away from the wall's normal with the distance
/// from the glass. All zero: no reveal.
///
/// A side that is neither upright nor level leans by both of its kinds: with the outward normal (n_x, n_y) of its edge,
/// tan² = n_x²·tan²(jamb) + n_y²·tan²(head or sill). With one splay all around, an arch or a circle has that splay
/// everywhere, and a convex outline stays convex. *Assumption*: masons' practice differs from arch to arch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reveal {
    /// From the glass to the wall face, m, 0 to 1000.
    pub depth_m: f64,
    /// Splay of both jambs, degrees, 0 to 80.
    pub jamb_deg: f64,
    /// Splay of the head, degrees, 0 to 80.
    pub head_deg: f64,
    /// Splay of the sill, degrees, 0 to 80: downward with the distance from the glass.
    pub sill_deg: f64,
}

impl Reveal {
    /// A reveal square to the wall.
    pub fn straight(depth_m: f64) -> Self {
        Self { depth_m, ..Self::default() }
    }
}

/// Names of a reveal's measurements in errors.
pub(crate) struct Names {
    pub(crate) depth: &'static str,
    pub(crate) jamb: &'static str,
    pub(crate) head: &'static str,
    pub(crate) sill: &'static str,
}

pub(crate) const OUTER: Names = Names {
    depth: "outer_depth_m",
    jamb: "outer.splay_deg.jamb",
    head: "outer.splay_deg.head",
    sill: "outer.splay_deg.sill",
};
pub(crate) const INNER: Names = Names {
    depth: "inner.depth_m",
    jamb: "inner.splay_deg.jamb",
    head: "inner.splay_deg.head",
    sill: "inner.splay_deg.sill",
};

/// The ring in the wall face in which the sides end, `z` from the glass. Every edge is moved outward by its splay; a
/// corner lies where its moved edges meet.
pub(crate) fn face(
    outline: &Outline,
    reveal: &Reveal,
    z: f64,
    names: &Names,
) -> Result<Vec<RoomPoint>, RevealError> {
    const DEGREES: &str = "degrees from 0 to 80";
    let depth = within(names.depth, reveal.depth_m, 0.0..=1000.0, "metres from 0 to 1000")?;
    let lean = |what, deg: f64| within(what, deg, 0.0..=80.0, DEGREES).map(|d| d.to_radians().tan());
    let jamb = lean(names.jamb, reveal.jamb_deg)?;
    let head = lean(names.head, reveal.head_deg)?;
    let sill = lean(names.sill, reveal.sill_deg)?;

    let corners = outline.corners();
    let n = corners.len();
    let edge = |i: usize| corners[(i + 1) % n] - corners[i % n];
    let normal = |i: usize| {
        let [x, y] = edge(i).to_array();
        let length = x.hypot(y);
        [y / length, -x / length]
    };
    let step = |[x, y]: [f64; 2]| depth * (x * jamb).hypot(y * if y > 0.0 { head } else { sill });
    let moved: Vec<WallPoint> = (0..n)
        .map(|i| {
            let (a, b) = (normal((i + n - 1) % n), normal(i));
            let (da, db) = (step(a), step(b));
            let sine = a[0] * b[1] - a[1] * b[0];
            let [x, y] = if sine.abs() > 1e-6 {
                [(da * b[1] - db * a[1]) / sine, (db * a[0] - da * b[0]) / sine]
            } else {
                [0.5 * (da + db) * b[0], 0.5 * (da + db) * b[1]]
            };
            WallPoint::new(corners[i].x() + x, corners[i].y() + y)
        })
        .collect();
    for i in 0..n {
        if edge(i).dot(moved[(i + 1) % n] - moved[i]) <= 0.0 {
            return Err(RevealError::Splay { corner: i });
        }
    }
    let crossing = if outline.is_convex() { None } else { crate::outline::crosses_itself(&moved) };
    if let Some(corner) = crossing {
        return Err(RevealError::Splay { corner });
    }
    Ok(moved.into_iter().map(|p| RoomPoint::new(p.x(), p.y(), z)).collect())
}
