//! The shape of an opening, and the same shape some distance inside it.

use crate::ring::{Edge, Part, Ring};
use plane::PanelPoint;

/// An opening with measurements that are possible: lower left at the origin, symmetrical about x = width / 2, convex.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shape {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) head: Head,
}

/// What closes the opening at the top.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Head {
    /// A straight edge.
    Straight,
    /// Two arcs that meet on the axis. The left one's centre is given; the right one is its mirror image. Where both
    /// are one circle, `centre_x` lies on the axis.
    Arcs { centre_x: f64, centre_y: f64, radius: f64 },
    /// The whole opening is a circle.
    Circle,
}

impl Shape {
    /// Height of the head above the springing line, mm.
    pub(crate) fn rise(&self) -> Option<f64> {
        match self.head {
            Head::Straight | Head::Circle => None,
            Head::Arcs { centre_x, centre_y, radius } => {
                Some(self.height - centre_y - ((radius - centre_x) * (radius + centre_x)).max(0.0).sqrt())
            }
        }
    }

    /// The points at `inset` from the edge: every straight edge moved inwards, every arc about the same centre with
    /// its radius less by `inset`. `inset` is below a third of width and height.
    ///
    /// Where the inset has used up the straight sides, the arcs meet the bottom edge.
    pub(crate) fn ring(&self, inset: f64) -> Ring {
        let (left, right, bottom) = (inset, self.width - inset, inset);
        let line = |part, from: [f64; 2], to: [f64; 2]| Edge::line(part, from.into(), to.into());
        let edges = match self.head {
            Head::Straight => {
                let top = self.height - inset;
                let corners = [[left, bottom], [right, bottom], [right, top], [left, top]];
                let parts = [Part::Bottom, Part::RightSide, Part::Top, Part::LeftSide];
                (0..4).map(|i| line(parts[i], corners[i], corners[(i + 1) % 4])).collect()
            }
            Head::Circle => {
                let (middle, radius) = (self.width / 2.0, self.width / 2.0 - inset);
                let centre = PanelPoint::new(middle, middle);
                let far = middle + radius;
                let near = middle - radius;
                let points = [[middle, near], [far, middle], [middle, far], [near, middle]];
                let quarter = |i: usize| {
                    Edge::arc(Part::Quarter(i), points[i].into(), points[(i + 1) % 4].into(), centre, radius)
                };
                (0..4).map(quarter).collect()
            }
            Head::Arcs { centre_x, centre_y, radius } => {
                let radius = radius - inset;
                let axis = self.width / 2.0;
                // Height above the centres at which the left arc reaches x.
                let above = |x: f64| {
                    let away = centre_x - x;
                    ((radius - away) * (radius + away)).max(0.0).sqrt()
                };
                let apex = [axis, centre_y + above(axis)];
                let springing = centre_y + above(left);
                let has_sides = springing > bottom;
                let foot = if has_sides {
                    [left, springing]
                } else {
                    let below = bottom - centre_y;
                    [centre_x - ((radius - below) * (radius + below)).max(0.0).sqrt(), bottom]
                };
                let mirrored = |[x, y]: [f64; 2]| [self.width - x, y];
                let left_corner = if has_sides { [left, bottom] } else { foot };
                let right_corner = mirrored(left_corner);
                let mut edges = vec![line(Part::Bottom, left_corner, right_corner)];
                if has_sides {
                    edges.push(line(Part::RightSide, right_corner, mirrored(foot)));
                }
                let left_centre = PanelPoint::new(centre_x, centre_y);
                let right_centre = PanelPoint::new(self.width - centre_x, centre_y);
                edges.push(Edge::arc(
                    Part::RightHead,
                    mirrored(foot).into(),
                    apex.into(),
                    right_centre,
                    radius,
                ));
                edges.push(Edge::arc(Part::LeftHead, apex.into(), foot.into(), left_centre, radius));
                if has_sides {
                    edges.push(line(Part::LeftSide, foot, left_corner));
                }
                edges
            }
        };
        Ring { edges }
    }
}
