//! What the depth of leads and bars takes from light that comes from the side.
//!
//! The glass lies between the leaves of its cames. Light that crosses it at an angle θ, θ′ within the glass, meets the
//! outer leaf on one side of a piece and the inner leaf on the other: together they take a strip as wide as
//! s = 2·leaf·tan θ + glass·tan θ′, in the direction from which the light comes, from both ends of the piece. Of a piece of
//! area A, whose edges have lengths Lᵢ and normals nᵢ, passes the share 1 − ½ Σ Lᵢ |s·nᵢ| / A: the derivative of the
//! covariogram of a set (G. Matheron, *Random Sets and Integral Geometry*, 1975; from memory), exact for light along an edge of
//! a rectangle and too little by (s/2)²/A at most across its corner. Edges count as those of cames, whatever they adjoin.
//!
//! A saddle bar is round: across its axis, it shades its diameter / cos φ, φ being the angle across the axis.
//!
//! Light scattered by a piece passes one leaf on the way in and the other on the way out, and loses half of it on each.

use glam::DVec2;
use panel::Polygon;
use plane::{
    PanelOnWall, RoomPoint, RoomVector, WallPoint, clip_to_convex, edges, room_ring_from_wall, signed_area,
};

use crate::outdoors::{OutsideCell, outside_cells};
use crate::sun_disc::share_of_disc;

/// Thickness of the glass between the leaves, m: that of usual sheets, whatever is set there. Assumption.
const GLASS_M: f64 = 0.003;
/// Its refractive index.
const INDEX: f64 = 1.52;
/// Steps of direction over half a turn.
const STEPS: usize = 64;

/// A straight stretch of a saddle bar on the wall, m.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BarStretch {
    pub(crate) ends: [WallPoint; 2],
    /// Half the diameter.
    pub(crate) half_m: f64,
}

/// A piece between leads with depth.
#[derive(Clone, Debug)]
pub(crate) struct LeadDepth {
    leaf_m: f64,
    /// ½ Σ Lᵢ |u·nᵢ| / A, 1/m, by the direction of u over half a turn.
    per_m: [f64; STEPS],
    /// Its edges, the glass to their left.
    edges: Vec<[WallPoint; 2]>,
    /// Its glass, in front of bars or not, holes joined in.
    glass: Vec<Vec<WallPoint>>,
    /// The bars that cross it, and the area that each covers relative to what no bar covers.
    bars: Vec<(BarStretch, f64)>,
    /// Share of evenly spread light that passes the leaves on one side, and on both.
    evenly: [f64; 2],
    /// Share of the light on the glass that passes both under a standard overcast sky, and by how much it falls for each mm
    /// that the leaves stand out.
    overcast: [f64; 2],
}

/// Light on the glass from one of the room's directions.
pub(crate) struct Arriving {
    direction: RoomVector,
    /// Of a sky that is the same all over.
    evenly: f64,
    /// Of a CIE standard overcast sky over a ground that reflects 0.2.
    overcast: f64,
}

impl Arriving {
    /// From everywhere outside.
    pub(crate) fn everywhere() -> Vec<Self> {
        let sky = reveal::SkyAndGround::new(1, 90.0, 0.0, 10_000.0, 0.2).ok();
        let of = |cell: OutsideCell| Self {
            direction: cell.direction,
            evenly: cell.projected_sr,
            overcast: cell.projected_sr * sky.as_ref().map_or(1.0, |sky| sky.luminance(cell.direction)),
        };
        outside_cells(1).into_iter().map(of).collect()
    }
}

/// How light crosses the glass.
struct Slant {
    /// Direction along the glass from which it comes; any for light straight on.
    along: DVec2,
    /// tan θ.
    tangent: f64,
    /// Half of s, m.
    half_m: f64,
}

impl LeadDepth {
    /// `polygons`: the glass of a piece within its leads. `whole` and `light`: the same on the wall, with its holes joined in,
    /// before and after the bars are taken out.
    pub(crate) fn new(
        leaf_mm: f64,
        place: &PanelOnWall,
        polygons: &[Polygon],
        [whole, light]: [&[Vec<WallPoint>]; 2],
        bars: &[BarStretch],
        arriving: &[Arriving],
    ) -> Self {
        let area = |rings: &[Vec<WallPoint>]| rings.iter().map(|ring| signed_area(ring).abs()).sum::<f64>();
        let bounded: Vec<[WallPoint; 2]> = polygons
            .iter()
            .flat_map(|polygon| polygon.rings().enumerate())
            .flat_map(|(k, ring)| {
                let ring: Vec<WallPoint> = ring.iter().map(|&p| place.wall_from_panel(p)).collect();
                let left = (signed_area(&ring) > 0.0) == (k == 0);
                let sides: Vec<_> = edges(&ring).map(|(a, b)| if left { [a, b] } else { [b, a] }).collect();
                sides
            })
            .collect();
        let (all, open) = (area(whole).max(1e-12), area(light).max(1e-12));
        let per_m = std::array::from_fn(|step| {
            let angle = step as f64 * std::f64::consts::PI / STEPS as f64;
            let across = DVec2::from_angle(angle);
            let sum: f64 = bounded.iter().map(|[a, b]| across.perp_dot(b.vector() - a.vector()).abs()).sum();
            0.5 * sum / all
        });
        let crossing = |bar: &BarStretch| {
            let strip = bar.strip([-bar.half_m, bar.half_m])?;
            let covered: f64 =
                whole.iter().map(|ring| signed_area(&clip_to_convex(ring, &strip)).abs()).sum();
            (covered > 1e-12).then_some((*bar, covered / open))
        };
        let mut depth = Self {
            leaf_m: 1e-3 * leaf_mm,
            per_m,
            edges: bounded,
            glass: whole.to_vec(),
            bars: bars.iter().filter_map(crossing).collect(),
            evenly: [1.0; 2],
            overcast: [1.0, 0.0],
        };
        let mean = |depth: &Self, weight: fn(&Arriving) -> f64, of: fn(&Self, RoomVector) -> f64| {
            let sum: f64 = arriving.iter().map(|from| weight(from) * of(depth, from.direction)).sum();
            sum / arriving.iter().map(weight).sum::<f64>()
        };
        depth.evenly = [Self::one_side, Self::through].map(|of| mean(&depth, |from| from.evenly, of));
        let passes = mean(&depth, |from| from.overcast, Self::through);
        depth.leaf_m += 1e-3;
        let higher = mean(&depth, |from| from.overcast, Self::through);
        depth.leaf_m -= 1e-3;
        depth.overcast = [passes, passes - higher];
        depth
    }

    fn slant(&self, direction: RoomVector) -> Slant {
        let (across, cosine) = (DVec2::new(direction[0], direction[1]), direction[2].abs().max(1e-6));
        let sine = across.length().min(1.0);
        let inner = sine / INDEX;
        let tangent = sine / cosine;
        let half_m = self.leaf_m * tangent + 0.5 * GLASS_M * inner / (1.0 - inner * inner).sqrt();
        Slant { along: across.normalize_or(DVec2::X), tangent, half_m }
    }

    /// Share of parallel light from a direction, of what no flat lead or bar would take, that passes.
    pub(crate) fn through(&self, direction: RoomVector) -> f64 {
        self.passing(direction, 1.0)
    }

    /// The same with the leaves on one side only, for light that is scattered in the piece.
    pub(crate) fn one_side(&self, direction: RoomVector) -> f64 {
        self.passing(direction, 0.5)
    }

    /// [`Self::one_side`] and [`Self::through`], mean over light spread evenly.
    pub(crate) fn evenly(&self) -> [f64; 2] {
        self.evenly
    }

    /// Share of the light on the glass under a standard overcast sky that passes, and by how much it falls for each mm that
    /// the leaves stand out.
    ///
    /// Leaves that lie flat do not stand out by a little more or less.
    pub(crate) fn overcast(&self) -> [f64; 2] {
        let [passes, falls] = self.overcast;
        [passes, if self.leaf_m > 0.0 { falls } else { 0.0 }]
    }

    fn passing(&self, direction: RoomVector, sides: f64) -> f64 {
        let slant = self.slant(direction);
        let turn = (slant.along.to_angle() / std::f64::consts::PI).rem_euclid(1.0) * STEPS as f64;
        let step = (turn as usize).min(STEPS - 1);
        let per_m = [step, (step + 1) % STEPS].map(|k| self.per_m[k]);
        let per_m = per_m[0] + (turn - step as f64) * (per_m[1] - per_m[0]);
        let leads = 1.0 - sides * 2.0 * slant.half_m * per_m;
        let bars = self
            .bars
            .iter()
            .fold(1.0, |open, (bar, covered)| open - sides * covered * (bar.widened(&slant) - 1.0));
        leads.max(0.0) * bars.max(0.0)
    }

    /// Share of the sun's disc seen from a point through the piece that the depth of its leads and bars takes.
    pub(crate) fn disc_taken(&self, point: RoomPoint, toward_sun: RoomVector) -> f64 {
        let slant = self.slant(toward_sun);
        let shift = slant.along * slant.half_m;
        let seen = |ring: &[WallPoint]| share_of_disc(point, toward_sun, &room_ring_from_wall(ring));
        let moved = |p: WallPoint, by: DVec2| WallPoint::from(p.vector() + by);
        let leads: f64 = self
            .edges
            .iter()
            .map(|&[a, b]| {
                let inward = (b.vector() - a.vector()).perp_dot(shift) > 0.0;
                let by = if inward { shift } else { -shift };
                seen(&[a, b, moved(b, by), moved(a, by)])
            })
            .sum();
        let bars: f64 = self
            .bars
            .iter()
            .flat_map(|(bar, _)| {
                let wide = bar.half_m * bar.widened(&slant);
                [[bar.half_m, wide], [-wide, -bar.half_m]].into_iter().filter_map(|sides| bar.strip(sides))
            })
            .flat_map(|strip| self.glass.iter().map(move |ring| clip_to_convex(ring, &strip)))
            .filter(|part| part.len() >= 3)
            .map(|part| seen(&part))
            .sum();
        leads + bars
    }
}

impl BarStretch {
    /// The anticlockwise rectangle between two distances from the axis, m; `None` for a stretch of no length.
    pub(crate) fn strip(&self, [right, left]: [f64; 2]) -> Option<[WallPoint; 4]> {
        let [a, b] = self.ends.map(WallPoint::vector);
        let length = a.distance(b);
        if length <= 1e-9 {
            return None;
        }
        let normal = (b - a).perp() / length;
        Some(
            [a + normal * right, b + normal * right, b + normal * left, a + normal * left]
                .map(WallPoint::from),
        )
    }

    /// How much wider its shadow is than itself: 1 / cos φ.
    fn widened(&self, slant: &Slant) -> f64 {
        let axis = (self.ends[1].vector() - self.ends[0].vector()).normalize_or(DVec2::X);
        (slant.tangent * axis.perp_dot(slant.along)).hypot(1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::PanelPoint;

    const AT: PanelOnWall = PanelOnWall { lower_left: WallPoint::new(1.0, 1.0) };

    fn depth(leaf_mm: f64, ring: &[[f64; 2]], bars: &[BarStretch]) -> (LeadDepth, Vec<WallPoint>) {
        let polygon = Polygon { outer: PanelPoint::slice(ring).to_vec(), holes: Vec::new() };
        let light: Vec<WallPoint> = polygon.outer.iter().map(|&p| AT.wall_from_panel(p)).collect();
        let whole = [light.clone()];
        (LeadDepth::new(leaf_mm, &AT, &[polygon], [&whole, &whole], bars, &Arriving::everywhere()), light)
    }

    const RECTANGLE: [[f64; 2]; 4] = [[0.0, 0.0], [80.0, 0.0], [80.0, 200.0], [0.0, 200.0]];

    /// Width of the strips that the leaves take, mm.
    fn strips(leaf_mm: f64, angle_deg: f64) -> f64 {
        let (sine, cosine) = angle_deg.to_radians().sin_cos();
        2.0 * leaf_mm * sine / cosine + 3.0 * (sine / 1.52).asin().tan()
    }

    #[test]
    fn light_along_the_edges_of_a_rectangle_loses_one_strip() {
        let (depth, _) = depth(1.0, &RECTANGLE, &[]);
        for angle_deg in [0.0, 20.0, 45.0, 60.0, 75.0] {
            let (sine, cosine) = f64::to_radians(angle_deg).sin_cos();
            for (along, width) in [([1.0, 0.0], 80.0), ([0.0, 1.0], 200.0)] {
                let direction = RoomVector::new(sine * along[0], sine * along[1], -cosine);
                let taken = strips(1.0, angle_deg) / width;
                assert!((depth.through(direction) - (1.0 - taken)).abs() < 1e-9);
                assert!((depth.one_side(direction) - (1.0 - 0.5 * taken)).abs() < 1e-9);
            }
        }
        // Grazing light passes nothing; it never becomes less than that.
        assert!(depth.through(RoomVector::new(1.0, 0.0, -1e-4)) == 0.0);
        let [one_side, both] = depth.evenly();
        assert!(both < one_side && one_side < 1.0 && both > 0.85, "{one_side} {both}");
        // Each mm of both leaves takes more than half of what 1 mm of them and 3 mm of glass take.
        let [passes, falls] = depth.overcast();
        assert!(falls < 1.0 - passes && falls > 0.5 * (1.0 - passes), "{passes} {falls}");
    }

    #[test]
    fn a_round_bar_has_a_wider_shadow_across_its_axis_only() {
        let ends = WallPoint::slice(&[[0.9, 1.1], [1.2, 1.1]]);
        let bar = BarStretch { ends: [ends[0], ends[1]], half_m: 0.005 };
        let (with, _) = depth(0.0, &RECTANGLE, &[bar]);
        let (without, _) = depth(0.0, &RECTANGLE, &[]);
        let angle = 50f64.to_radians();
        let [along, across] = [[1.0, 0.0], [0.0, 1.0]]
            .map(|u| RoomVector::new(angle.sin() * u[0], angle.sin() * u[1], -angle.cos()))
            .map(|direction| with.through(direction) / without.through(direction));
        assert!((along - 1.0).abs() < 1e-9);
        // 10 mm of 200 mm, as `whole` counts here as the light too.
        assert!((across - (1.0 - 0.05 * (1.0 / angle.cos() - 1.0))).abs() < 1e-9, "{across}");
    }

    // A point that sees the disc through a strip beside an edge sees none of it; in the middle, all.
    #[test]
    fn the_disc_is_hidden_behind_a_leaf() {
        let (depth, light) = depth(3.0, &RECTANGLE, &[]);
        let angle = 60f64.to_radians();
        let toward = RoomVector::new(angle.sin(), 0.0, -angle.cos());
        let eye = |x_mm: f64| {
            let t = 0.3;
            RoomPoint::new(1.0 + 0.001 * x_mm - t * toward[0], 1.1, -t * toward[2])
        };
        let seen = |x_mm: f64| {
            let eye = eye(x_mm);
            share_of_disc(eye, toward, &room_ring_from_wall(&light)) - depth.disc_taken(eye, toward)
        };
        let reach = 0.5 * strips(3.0, 60.0);
        // The disc is 2.8 mm wide there, 5.6 mm along the slanted wall.
        for (x_mm, share) in [(40.0, 1.0), (reach + 3.0, 1.0), (80.0 - reach - 3.0, 1.0), (reach - 3.0, 0.0)]
        {
            assert!((seen(x_mm) - share).abs() < 1e-6, "{x_mm}: {}", seen(x_mm));
        }
        assert!((seen(reach) - 0.5).abs() < 0.01 && (seen(80.0 - reach) - 0.5).abs() < 0.01);
    }
}
