//! Light in the room through an opening with an outer and an inner reveal.

use std::f64::consts::PI;

use plane::{RoomPoint, RoomVector};

use crate::error::{RevealError, within};
use crate::exchange::Exchange;
use crate::light::{Light, weighted_sum};
use crate::outer::{FLUSH_M, ring_at, sum};
use crate::outline::Outline;
use crate::patches::{Cell, Patch, sides};
use crate::seen::{Directions, Fineness, through_polygon};
use crate::space::{clip, form_factor, seen_from, through};

/// A reveal between the glass and the room, whose sides may lean outward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InnerReveal {
    /// From the glass to the inner wall face, m, 0 to 1000.
    pub depth_m: f64,
    /// Splay of both jambs from the wall's normal, degrees, 0 to 80.
    pub jamb_deg: f64,
    /// Splay of the head, degrees, 0 to 80.
    pub head_deg: f64,
    /// Splay of the sill, degrees, 0 to 80.
    pub sill_deg: f64,
}

/// A rectangular opening with both reveals, before a room that sends no light back.
#[derive(Clone, Debug)]
pub struct DeepOpening {
    outer_face: Vec<RoomPoint>,
    glass: Vec<RoomPoint>,
    inner_face: Vec<RoomPoint>,
    inner_depth_m: f64,
    patches: Vec<Patch>,
    exchange: Exchange,
    /// Outside, as each patch sees it past the reveals.
    seen: Vec<Directions>,
}

/// What a surface element in the room sees of an opening.
#[derive(Clone, Debug)]
pub struct View {
    outside: Directions,
    /// Form factor of the glass.
    glass: f64,
    /// Form factor of each patch.
    patches: Vec<f64>,
}

/// The light at a point of the room, by the surface that the point sees; lx for luminances in cd/m².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomLight<V> {
    /// From outside, or from the glowing pane.
    pub direct: V,
    /// From the outer reveal, seen through the opening.
    pub outer_reveal: V,
    /// From the inner reveal.
    pub inner_reveal: V,
}

impl<V: Light> RoomLight<V> {
    /// All three.
    pub fn total(self) -> V {
        let mut sum = self.direct;
        sum += self.outer_reveal;
        sum += self.inner_reveal;
        sum
    }
}

impl DeepOpening {
    /// Width, height and outer depth in m.
    ///
    /// # Errors
    /// [`RevealError::OutsideRange`], naming the measurement.
    pub fn new(
        width_m: f64,
        height_m: f64,
        outer_depth_m: f64,
        inner: InnerReveal,
    ) -> Result<Self, RevealError> {
        const METRES: &str = "metres from 0 to 1000";
        const DEGREES: &str = "degrees from 0 to 80";
        let outline = Outline::rectangle(width_m, height_m)?;
        within("outer_depth_m", outer_depth_m, 0.0..=1000.0, METRES)?;
        let depth = within("inner.depth_m", inner.depth_m, 0.0..=1000.0, METRES)?;
        let wider = |what, splay_deg: f64| {
            within(what, splay_deg, 0.0..=80.0, DEGREES).map(|splay| depth * splay.to_radians().tan())
        };
        let jamb = wider("inner.splay_deg.jamb", inner.jamb_deg)?;
        let head = wider("inner.splay_deg.head", inner.head_deg)?;
        let sill = wider("inner.splay_deg.sill", inner.sill_deg)?;
        let (outer_face, glass) = (ring_at(&outline, -outer_depth_m), ring_at(&outline, 0.0));
        let (left, right, low, high) = (-jamb, width_m + jamb, -sill, height_m + head);
        let inner_face = [[left, low], [right, low], [right, high], [left, high]]
            .map(|[x, y]| RoomPoint::new(x, y, depth))
            .to_vec();

        let mut patches = Vec::new();
        if outer_depth_m >= FLUSH_M {
            patches.extend(sides(Cell::Outer, &outer_face, &glass, outline.perimeter_m()));
        }
        if depth >= FLUSH_M {
            patches.extend(sides(Cell::Inner, &glass, &inner_face, outline.perimeter_m()));
        }
        let seen = patches
            .iter()
            .map(|p| {
                let mut face = seen_from(p.middle, &outer_face);
                if p.cell == Cell::Inner {
                    face = clip(&through(&face, &seen_from(p.middle, &glass)), p.normal);
                }
                through_polygon(&face, Fineness::Patch, |d| d.dot(p.normal))
            })
            .collect();
        let exchange = Exchange::among(&patches, &glass);
        Ok(Self { outer_face, glass, inner_face, inner_depth_m: depth, patches, exchange, seen })
    }

    /// What each patch sends per area if nothing is in the opening and light passes both ways. `luminance` of the outside
    /// by direction.
    pub fn exitance_of_hole<V: Light>(
        &self,
        luminance: impl Fn(RoomVector) -> V,
        outer_reflectance: V,
        inner_reflectance: V,
    ) -> Vec<V> {
        let received: Vec<V> = self.seen.iter().map(|seen| sum(seen, &luminance)).collect();
        self.exchange.exitance(&received, |i| match self.patches[i].cell {
            Cell::Outer => outer_reflectance,
            Cell::Inner => inner_reflectance,
        })
    }

    /// What each patch sends per area if the pane glows evenly, Lambertian, and reflects nothing.
    pub fn exitance_of_pane<V: Light>(&self, luminance: V, inner_reflectance: V) -> Vec<V> {
        let received: Vec<V> = self
            .patches
            .iter()
            .map(|p| match p.cell {
                Cell::Outer => V::default(),
                Cell::Inner => luminance * (PI * form_factor(p.normal, &seen_from(p.middle, &self.glass))),
            })
            .collect();
        // The pane lies between the cells: the outer one stays dark.
        self.exchange.exitance(&received, |i| match self.patches[i].cell {
            Cell::Outer => V::default(),
            Cell::Inner => inner_reflectance,
        })
    }

    /// What a surface element in the room with the given normal (a unit vector) sees. Serves every sky.
    ///
    /// # Errors
    /// [`RevealError::OutsideRange`], naming `point_m`, for a point that is not at least a millimetre inside of the inner
    /// wall face.
    pub fn view(&self, point: RoomPoint, normal: RoomVector) -> Result<View, RevealError> {
        let [x, y, z] = point.to_array();
        let beyond = "a point at least 0.001 m beyond the inner wall face, within 1000000 m";
        within("point_m", z, self.inner_depth_m + 0.001..=1e6, beyond)?;
        for v in [x, y] {
            within("point_m", v, -1e6..=1e6, beyond)?;
        }
        let inner_gate = seen_from(point, &self.inner_face);
        let glass = seen_from(point, &self.glass);
        let visible = |polygon: &[RoomVector]| clip(&through(polygon, &inner_gate), normal);
        let glass_seen = visible(&glass);
        let outside = visible(&through(&seen_from(point, &self.outer_face), &glass));
        let patches = self
            .patches
            .iter()
            .map(|p| {
                let mut seen = seen_from(point, &p.corners);
                if p.cell == Cell::Outer {
                    seen = through(&seen, &glass);
                }
                form_factor(normal, &visible(&seen))
            })
            .collect();
        Ok(View {
            outside: through_polygon(&outside, Fineness::Receiver, |d| d.dot(normal)),
            glass: form_factor(normal, &glass_seen),
            patches,
        })
    }

    /// The light through the empty opening. `exitance`: as [`DeepOpening::exitance_of_hole`] gives it for the same
    /// luminances.
    pub fn light_of_hole<V: Light>(
        &self,
        view: &View,
        luminance: impl Fn(RoomVector) -> V,
        exitance: &[V],
    ) -> RoomLight<V> {
        self.light(view, sum(&view.outside, luminance), exitance)
    }

    /// The light of the glowing pane. `exitance`: as [`DeepOpening::exitance_of_pane`] gives it for the same luminance.
    pub fn light_of_pane<V: Light>(&self, view: &View, luminance: V, exitance: &[V]) -> RoomLight<V> {
        self.light(view, luminance * (PI * view.glass), exitance)
    }

    fn light<V: Light>(&self, view: &View, direct: V, exitance: &[V]) -> RoomLight<V> {
        let of = |cell| {
            let all = self.patches.iter().zip(exitance).zip(&view.patches);
            weighted_sum(all.filter(|((p, _), _)| p.cell == cell).map(|((_, &m), &factor)| (m, factor)))
        };
        RoomLight { direct, outer_reveal: of(Cell::Outer), inner_reveal: of(Cell::Inner) }
    }
}
