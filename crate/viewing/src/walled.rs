//! Windows that stand in a wall with depth: geometry, and what does not depend on glass, place or light.
//!
//! # Frames
//! The room's window wall, z = 0, is the inner face of the wall. The glass of such a window lies behind it, at z = −(depth
//! of its inner reveal). What concerns one window alone is computed in its own frame, in which the glass is z = 0 as for
//! windows without depth: [`Walled::before_glass`] moves a point of the room there.
//!
//! # Light
//! Outside counts as sky, ground or what stands on it; the outer reveal and the overhang are things that stand there, lit
//! by sky, ground and sun. The inner reveal is a part of the room. Bars and mesh before the wall let through a share of the
//! light by its direction, wherever it then goes. Lambertian stone throughout; the wall's outer face and the glass send
//! nothing back to the outer reveal.

use std::sync::OnceLock;

use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{Beam, Face, InnerSides, Layer, Leaving, Opening, OuterResponse, Patches};
use scene::ResolvedWall;
use spectra::Spectrum;

use crate::deeper::Deeper;
use crate::outdoors::outside_cells;
use crate::sums::add_product;

/// A window in its wall.
#[derive(Clone, Debug)]
pub(crate) struct Walled {
    /// Depth of the inner reveal, m.
    pub(crate) inner_m: f64,
    /// In fine patches, of which all numbers of patches are.
    pub(crate) opening: Opening,
    /// In few patches, among which light is exchanged.
    pub(crate) few: Opening,
    pub(crate) few_inner: InnerSides,
    /// What each fine patch of the inner reveal sees of the few, row by row.
    pub(crate) inner_factors: Vec<f64>,
    /// Area of each fine patch of the inner reveal, and what it belongs to.
    pub(crate) inner: Vec<(f64, Face)>,
    pub(crate) leaving: Vec<Vec<Leaving>>,
    pub(crate) wall: ResolvedWall,
    /// Area of the opening in the inner face of the wall, m².
    pub(crate) face_m2: f64,
    /// Share of the light of each of the room's directions that bars and mesh let by.
    pub(crate) openness: Vec<f64>,
    response: OuterResponse,
    few_response: OuterResponse,
    /// What each fine patch outside sees of the few, row by row; what it reflects.
    outer_factors: Vec<f64>,
    outer: Vec<Spectrum>,
    /// Number of patches of the outer reveal and the overhang, and of the reveal alone.
    pub(crate) patches: usize,
    pub(crate) of_reveal: usize,
    /// What each of the few patches outside sends per area for each that another receives, row by row.
    sent: Vec<Spectrum>,
    /// Share of the light that bars and mesh let by between the underside of the overhang and the reveal.
    below: f64,
    pub(crate) overcast_taken: OnceLock<f64>,
    deeper: OnceLock<Option<Box<Deeper>>>,
}

impl Walled {
    pub(crate) fn new(wall: &ResolvedWall) -> Option<Self> {
        let [opening, few] =
            [Patches::Fine, Patches::Few].map(|p| Opening::new(wall.outline.clone(), &wall.depths, p).ok());
        let (opening, few) = (opening?, few?);
        let outer = few.outer_sides();
        let cells = outside_cells(1);
        let directions: Vec<RoomVector> = cells.iter().map(|cell| cell.direction).collect();
        let n = outer.len();
        let mut sent = vec![Spectrum::ZERO; n * n];
        let mut received = vec![Spectrum::ZERO; n];
        for from in 0..n {
            received[from] = Spectrum::ONE;
            for (to, sent_by) in
                outer.exitance(&received, |face| outer_reflectance(wall, face)).into_iter().enumerate()
            {
                sent[to * n + from] = sent_by;
            }
            received[from] = Spectrum::ZERO;
        }
        let surfaces = opening.outer_surfaces();
        Some(Self {
            inner_m: wall.depths.inner.depth_m,
            few_inner: few.inner_sides(),
            inner_factors: few.inner_seen_by(&opening),
            inner: opening.inner_surfaces(),
            leaving: opening.inner_leaving(),
            face_m2: plane::signed_area(&opening.inner_face()).abs(),
            openness: directions.iter().map(|&d| openness(wall, d)).collect(),
            response: opening.outer_response(&directions),
            few_response: outer.response(&directions),
            outer_factors: few.outer_seen_by(&opening),
            patches: surfaces.len(),
            of_reveal: surfaces.iter().filter(|(_, face)| *face != Face::Overhang).count(),
            outer: surfaces.into_iter().map(|(_, face)| outer_reflectance(wall, face)).collect(),
            sent,
            below: below(wall, &opening),
            overcast_taken: OnceLock::new(),
            deeper: OnceLock::new(),
            few,
            wall: wall.clone(),
            opening,
        })
    }

    /// A point of the room in the frame of this window's glass.
    pub(crate) fn before_glass(&self, point: RoomPoint) -> RoomPoint {
        RoomPoint::new(point[0], point[1], point[2] + self.inner_m)
    }

    /// The reverse.
    pub(crate) fn in_room(&self, point: RoomPoint) -> RoomPoint {
        RoomPoint::new(point[0], point[1], point[2] - self.inner_m)
    }

    /// A ring on the glass, moved along parallel light from a direction to the inner face of the wall.
    pub(crate) fn at_face(&self, ring: &[WallPoint], toward: RoomVector) -> Vec<WallPoint> {
        let t = self.inner_m / toward[2];
        ring.iter().map(|p| WallPoint::new(p.x() + t * toward[0], p.y() + t * toward[1])).collect()
    }

    /// The same wall, a little deeper outside; `None` where it has no depth there.
    pub(crate) fn deeper(&self) -> Option<&Deeper> {
        self.deeper.get_or_init(|| Deeper::new(&self.wall).map(Box::new)).as_deref()
    }

    /// Share of the light from a direction that bars and mesh let by.
    pub(crate) fn openness(&self, toward: RoomVector) -> f64 {
        openness(&self.wall, toward)
    }

    /// What each patch outside sends per area, from the radiance of each of the room's directions and the sun's beam on a
    /// plane that faces it, before bars and mesh.
    pub(crate) fn exitance(&self, around: &[Spectrum], sun: Option<(&Beam<'_>, Spectrum)>) -> Vec<Spectrum> {
        self.exitance_behind(around, &self.openness, sun)
    }

    /// The same behind other bars and mesh, whose openness to each direction is given. `sun` is behind them already.
    pub(crate) fn exitance_behind(
        &self,
        around: &[Spectrum],
        openness: &[f64],
        sun: Option<(&Beam<'_>, Spectrum)>,
    ) -> Vec<Spectrum> {
        let (received, on_few) = self.received(around, openness, sun);
        self.reflected(received, &self.sent_by_few(&on_few))
    }

    /// By how much [`Self::exitance`] grows with the logarithm of all reflectances outside. Of the exchange
    /// M = ρ·(E + F·M) it is what the patches would send if they received their whole irradiance M/ρ from elsewhere.
    pub(crate) fn exitance_slope(
        &self,
        around: &[Spectrum],
        sun: Option<(&Beam<'_>, Spectrum)>,
    ) -> Vec<Spectrum> {
        let over = |sent: Spectrum, rho: &Spectrum| {
            sent.zip_map(rho, |sent, rho| if rho > 0.0 { sent / rho } else { 0.0 })
        };
        let (received, on_few) = self.received(around, &self.openness, sun);
        let few = self.sent_by_few(&on_few);
        let faces = self.few.outer_surfaces();
        let on_few: Vec<Spectrum> = few
            .iter()
            .zip(faces)
            .map(|(sent, (_, face))| over(*sent, &outer_reflectance(&self.wall, face)))
            .collect();
        let sent = self.reflected(received, &few);
        let on_fine = sent.iter().zip(&self.outer).map(|(sent, rho)| over(*sent, rho)).collect();
        self.reflected(on_fine, &self.sent_by_few(&on_few))
    }

    /// What comes to the fine and to the few patches from outside.
    fn received(
        &self,
        around: &[Spectrum],
        openness: &[f64],
        sun: Option<(&Beam<'_>, Spectrum)>,
    ) -> (Vec<Spectrum>, Vec<Spectrum>) {
        // Bars and mesh hang before the reveal, but not before the overhang.
        let passed: Vec<Spectrum> = around.iter().zip(openness).map(|(l, share)| *l * *share).collect();
        let mut received = self.response.received(&passed);
        let mut on_few = self.few_response.received(&passed);
        if self.of_reveal < self.patches && !self.wall.guards.is_empty() {
            let few_of_reveal = on_few.len() - (self.patches - self.of_reveal);
            let free = self.few_response.received(around);
            on_few[few_of_reveal..].copy_from_slice(&free[few_of_reveal..]);
        }
        if let Some((beam, normal)) = sun {
            let few = self.few.beam(beam.toward()).map_or(Vec::new(), |beam| beam.on_outer());
            for (sum, share) in received.iter_mut().zip(beam.on_outer()).chain(on_few.iter_mut().zip(few)) {
                if share > 0.0 {
                    sum.add_scaled(share, &normal);
                }
            }
        }
        (received, on_few)
    }

    /// What the few patches send, all exchange among them included, of what comes to them.
    fn sent_by_few(&self, on_few: &[Spectrum]) -> Vec<Spectrum> {
        let n = on_few.len();
        let row = |to: usize| {
            let mut sum = Spectrum::ZERO;
            for (sent, light) in self.sent[to * n..(to + 1) * n].iter().zip(on_few) {
                add_product(&mut sum, sent, light);
            }
            sum
        };
        (0..n).map(row).collect()
    }

    /// What the fine patches send of what comes to them, from outside and from the few.
    fn reflected(&self, mut received: Vec<Spectrum>, few: &[Spectrum]) -> Vec<Spectrum> {
        let n = few.len();
        // The overhang has the same patches in both divisions.
        for (i, (light, rho)) in received.iter_mut().zip(&self.outer).enumerate() {
            if i >= self.of_reveal {
                *light = few[n - (self.patches - i)];
                continue;
            }
            for (j, (sent, factor)) in few.iter().zip(&self.outer_factors[i * n..]).enumerate() {
                if *factor > 0.0 {
                    let below = if j + self.patches >= n + self.of_reveal { self.below } else { 1.0 };
                    light.add_scaled(*factor * below, sent);
                }
            }
            *light *= *rho;
        }
        received
    }

    /// What other bars and mesh let by of the overhang's light, over what these do.
    pub(crate) fn below_over(&self, guards: &[Layer]) -> f64 {
        let toward = toward_overhang(&self.wall, &self.opening);
        toward.map_or(1.0, |toward| if self.below > 0.0 { passing(guards, toward) / self.below } else { 1.0 })
    }

    /// The share of the light of a patch outside that bars and mesh let by in a direction.
    pub(crate) fn openness_to(&self, patch: usize, toward: RoomVector) -> f64 {
        if patch < self.of_reveal { 1.0 } else { self.openness(toward) }
    }

    /// What the sides of the inner reveal reflect.
    pub(crate) fn inner_reflectance(&self, face: Face) -> Spectrum {
        if face == Face::Sill { self.wall.sills[1] } else { self.wall.sides[1] }
    }

    /// Share of the room's light on the opening in the inner face that comes back, from what the glass reflects.
    pub(crate) fn returned(&self, glass: Spectrum) -> Spectrum {
        if self.inner.is_empty() {
            return glass;
        }
        self.few_inner.returned(|face| self.inner_reflectance(face), glass)
    }
}

/// What the sides outside reflect.
pub(crate) fn outer_reflectance(wall: &ResolvedWall, face: Face) -> Spectrum {
    match face {
        Face::Overhang => wall.overhang,
        Face::Sill => wall.sills[0],
        Face::Jamb | Face::Head => wall.sides[0],
    }
}

/// What bars and mesh let by from the middle of the opening toward the middle of the overhang.
fn below(wall: &ResolvedWall, opening: &Opening) -> f64 {
    toward_overhang(wall, opening).map_or(1.0, |toward| openness(wall, toward))
}

/// From the middle of the opening toward that of the overhang.
fn toward_overhang(wall: &ResolvedWall, opening: &Opening) -> Option<RoomVector> {
    let over = wall.depths.overhang.as_ref()?;
    let [low, high] = plane::bounds(&opening.outer_face())?;
    let up = over.above_m + 0.5 * (high[1] - low[1]);
    Some(RoomVector::new(0.0, up, -0.5 * over.depth_m).unit())
}

fn openness(wall: &ResolvedWall, toward: RoomVector) -> f64 {
    passing(&wall.guards, toward)
}

/// Share of the light from a direction that layers of bars and mesh let by.
pub(crate) fn passing(guards: &[Layer], toward: RoomVector) -> f64 {
    guards.iter().map(|layer| layer.openness(toward)).product()
}
