//! The light of an instant on the stone before the glass, and behind it.

use std::f64::consts::FRAC_1_PI;

use daylight::{Outside, SkyBasis};
use glam::{Vec3, Vec4};
use plane::{RoomVector, WallPoint, signed_area};
use reveal::Beam;
use spectra::{Spectrum, luminous};

use crate::glazing::optics::PieceOptics;
use crate::light::field::SKY_COLUMNS;
use crate::light::outside::compass;
use crate::rgb::observer_response;
use crate::shared::records::FieldStone;
use crate::window::model::{PieceModel, WindowModel};
use crate::window::outer_wall::{OuterWall, StoneSeen};
use crate::window::region::depth;

/// Spectra of which the light of the stone is made: four of the sky, the ground, the sun's disc, the stone's own.
pub(crate) const STONE_SPECTRA: usize = 7;
const COLUMNS: usize = STONE_SPECTRA;
/// The stone has a spectrum of its own if the others miss more than this share of its light.
const MISSED: f64 = 2e-3;
/// Share of their own product that is added to those of nearly equal spectra, so that no weight is huge.
const RIDGE: f64 = 1e-7;

/// The wall before the glass outside, in one instant's light, as the renderer takes it.
#[derive(Clone, Debug, PartialEq)]
pub struct WallLight {
    /// What the wall hides, on a grid over the bounds of the direction field.
    pub(crate) stone: Vec<FieldStone>,
    /// How far behind the glass the edge of the stone lies, mm.
    pub(crate) depth_mm: f32,
    /// What the other spectra miss of the light of coloured stone: takes the place of the fifth sky spectrum.
    pub(crate) own: Option<Spectrum>,
    /// Radiance of the sun's disc.
    pub(crate) disc: Spectrum,
    /// The light on each piece.
    pub(crate) on_pieces: Vec<OnPiece>,
    /// Radiance of each fine patch: weights of the stone's spectra.
    pub(crate) patches: Vec<[f32; STONE_SPECTRA]>,
    /// Luminance of each cell of the outside, as if nothing stood before it.
    pub(crate) cell_level: Vec<f64>,
    /// Luminous light on the glass from each of them, or from the stone there, in any unit.
    pub(crate) arriving: Vec<f64>,
    /// The parts of the glass and a little around it that the sun reaches.
    pub(crate) lit: Vec<Vec<WallPoint>>,
    /// Share of the sun's light that bars and mesh let by.
    pub(crate) openness_to_sun: f64,
    /// What each fine patch sends per area.
    pub(crate) sent: Vec<Spectrum>,
}

/// The light on the outer face of a piece that scatters, its mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OnPiece {
    /// Irradiance over π; replaces the glow of all.
    pub(crate) glow: Spectrum,
    pub(crate) shaded: Shaded,
}

/// The light on a piece in a wall with depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shaded {
    /// Irradiance by the sky, the ground and the stone over π.
    pub(crate) sky: Spectrum,
    /// Share of the piece that the sun reaches.
    pub(crate) sun: f64,
}

/// The world outside at an instant.
pub(crate) struct Around<'a> {
    pub(crate) outside: &'a Outside,
    pub(crate) basis: &'a SkyBasis,
    /// Bearing that the wall faces.
    pub(crate) facing_deg: f64,
    /// Radiance of the sun's disc.
    pub(crate) disc: Spectrum,
}

impl Around<'_> {
    /// The spectra of the stone's light but its own.
    fn spectra(&self) -> [Spectrum; COLUMNS - 1] {
        let sky = |k: usize| self.basis.spectra.get(k + 2).copied().unwrap_or(Spectrum::ZERO);
        [sky(0), sky(1), sky(2), sky(3), self.outside.ground_radiance(), self.disc]
    }

    /// What they miss of a spectrum.
    fn missed(&self, of: &Spectrum, duals: &[Spectrum; COLUMNS]) -> Spectrum {
        let mut rest = *of;
        for (spectrum, dual) in self.spectra().iter().zip(duals) {
            rest.add_scaled(-of.dot(dual), spectrum);
        }
        rest
    }
}

impl WallLight {
    pub(crate) fn new(
        wall: &OuterWall,
        seen: &StoneSeen,
        around: &Around<'_>,
        model: &WindowModel,
        optics: &[PieceOptics],
    ) -> Self {
        let sun = around.outside.sun().direction();
        let toward = RoomVector::toward_sky(sun.azimuth_deg - around.facing_deg, sun.altitude_deg);
        let normal = around.outside.beam_normal() * wall.openness(toward);
        let beam = wall.opening.beam(toward).filter(|_| normal.max() > 0.0);
        let cells = Cells::new(wall, around);
        let sent = sent(wall, &cells, beam.as_ref(), &normal);

        // Of the mean stone, what the smooth spectra of daylight do not make up.
        let own = {
            let mean: Spectrum = sent.iter().copied().sum::<Spectrum>() * FRAC_1_PI;
            let missed = around.missed(&mean, &duals(around, None));
            let share = |of: &Spectrum| of.map(f64::abs);
            (luminous(&share(&missed)) > MISSED * luminous(&mean)).then_some(missed)
        };
        let duals = duals(around, own);
        let weights: Vec<[f32; COLUMNS]> = sent
            .iter()
            .map(|sent| std::array::from_fn(|k| (sent.dot(&duals[k]) * FRAC_1_PI) as f32))
            .collect();
        let node = |node: &crate::window::outer_wall::SeenNode| {
            let passed = match node.patch {
                Some(patch) if patch >= wall.of_reveal => node.openness,
                _ => 1.0,
            };
            let [a, b, c, d, ground, disc, fifth] =
                node.patch.map_or([0.0; COLUMNS], |patch| weights[patch]).map(|w| w * passed);
            FieldStone {
                sky: Vec4::new(a, b, c, d),
                fifth,
                ground,
                disc,
                distance: node.distance_mm,
                unused: Vec3::ZERO,
                openness: node.openness,
            }
        };
        let (on_pieces, arriving) = on_pieces(wall, &cells, &sent, beam.as_ref(), &normal, model, optics);
        Self {
            stone: seen.nodes.iter().map(node).collect(),
            depth_mm: wall.depth_mm() as f32,
            own,
            disc: around.disc,
            on_pieces,
            patches: weights,
            cell_level: cells.levels(),
            arriving,
            lit: beam.as_ref().map_or(Vec::new(), |beam| beam.lit(&wall.around_glass())),
            openness_to_sun: wall.openness(toward),
            sent,
        }
    }
}

/// The radiance of every cell of the outside as weights of the ground's and the sky's spectra.
struct Cells {
    spectra: Vec<Spectrum>,
    /// By spectrum, then by cell.
    weights: Vec<Vec<f64>>,
}

impl Cells {
    fn new(wall: &OuterWall, around: &Around<'_>) -> Self {
        let spectra: Vec<Spectrum> =
            around.basis.spectra.iter().skip(1).take(SKY_COLUMNS + 1).copied().collect();
        let mut weights = vec![Vec::with_capacity(wall.cells.len()); spectra.len()];
        let mut found = [0.0; SKY_COLUMNS + 2];
        for cell in &wall.cells {
            let direction = compass(around.facing_deg, cell.toward.to_array().into());
            around.basis.weights_into(direction, &mut found);
            for (column, weight) in weights.iter_mut().zip(&found[1..]) {
                column.push(*weight);
            }
        }
        Self { spectra, weights }
    }

    /// Luminance of every cell.
    fn levels(&self) -> Vec<f64> {
        let of: Vec<f64> = self.spectra.iter().map(luminous).collect();
        let cells = self.weights.first().map_or(0, Vec::len);
        (0..cells).map(|k| of.iter().zip(&self.weights).map(|(l, w)| l * w[k]).sum()).collect()
    }

    /// A sum of spectra with the weights that `of` finds from those of the cells.
    fn sums(&self, count: usize, of: impl Fn(&[f64]) -> Vec<f64>) -> Vec<Spectrum> {
        let mut sums = vec![Spectrum::ZERO; count];
        for (spectrum, weights) in self.spectra.iter().zip(&self.weights) {
            for (sum, weight) in sums.iter_mut().zip(of(weights)) {
                sum.add_scaled(weight, spectrum);
            }
        }
        sums
    }
}

/// What each fine patch sends per area.
fn sent(wall: &OuterWall, cells: &Cells, beam: Option<&Beam<'_>>, normal: &Spectrum) -> Vec<Spectrum> {
    let patches = wall.faces.len();
    let canopy = patches - wall.of_reveal;
    let n = wall.sides.len();
    // Bars and mesh hang before the reveal, but not before the overhang.
    let received = |response: &reveal::OuterResponse, count: usize| {
        cells.sums(count, |weights| {
            let passed: Vec<f64> =
                weights.iter().zip(&wall.cells).map(|(w, cell)| w * cell.openness).collect();
            let mut light = response.received(&passed);
            if canopy > 0 && !wall.wall.guards.is_empty() {
                let free = response.received(weights);
                light[count - canopy..].copy_from_slice(&free[count - canopy..]);
            }
            light
        })
    };
    let [mut fine, mut few] = [received(&wall.responses[0], patches), received(&wall.responses[1], n)];
    if let Some(beam) = beam {
        let on_few = wall.few.beam(beam.toward()).map_or(Vec::new(), |beam| beam.on_outer());
        for (sum, share) in fine.iter_mut().zip(beam.on_outer()).chain(few.iter_mut().zip(on_few)) {
            sum.add_scaled(share, normal);
        }
    }
    let few = wall.sides.exitance(&few, |face| wall.reflectance(face));
    // The overhang is divided alike.
    for (i, light) in fine.iter_mut().enumerate() {
        if i >= wall.of_reveal {
            *light = few[n - (patches - i)];
            continue;
        }
        for (j, (sent, factor)) in few.iter().zip(&wall.factors[i * n..]).enumerate() {
            light.add_scaled(factor * if j + canopy >= n { wall.below } else { 1.0 }, sent);
        }
        *light *= wall.reflectance(wall.faces[i]);
    }
    fine
}

/// The light on each piece as for the figures, and how much light each cell of the outside gives to the whole glass.
///
/// By sky, ground and stone, a piece gets light of the window's mean colour, as much of it as the place around its
/// middle does; the sun falls on the share of the piece that it reaches.
fn on_pieces(
    wall: &OuterWall,
    cells: &Cells,
    sent: &[Spectrum],
    beam: Option<&Beam<'_>>,
    normal: &Spectrum,
    model: &WindowModel,
    optics: &[PieceOptics],
) -> (Vec<OnPiece>, Vec<f64>) {
    // For each place and cell, the weight of the cell if it is seen, or that of the patch before it.
    let outside: Vec<f64> = wall.cells.iter().map(|cell| cell.projected_sr * cell.openness).collect();
    let stone = |patch: usize, k: usize| {
        let cell = &wall.cells[k];
        cell.projected_sr * FRAC_1_PI * wall.openness_to(patch, cell.toward)
    };
    let cell_level = cells.levels();
    let patch_level: Vec<f64> = sent.iter().map(luminous).collect();
    let (mut open, mut met) = (vec![0.0; outside.len()], vec![0.0; sent.len()]);
    let mut levels = Vec::with_capacity(wall.ways.len());
    let mut arriving = vec![0.0; outside.len()];
    for ways in &wall.ways {
        let mut level = 0.0;
        for (k, way) in ways.iter().enumerate() {
            if let Some(patch) = (*way as usize).checked_sub(1) {
                let light = patch_level[patch] * stone(patch, k);
                arriving[k] += light;
                level += light;
                met[patch] += stone(patch, k);
            } else {
                let light = cell_level[k] * outside[k];
                arriving[k] += light;
                level += light;
                open[k] += outside[k];
            }
        }
        levels.push(level);
    }
    let mut sum: Spectrum = Spectrum::ZERO;
    for (spectrum, weights) in cells.spectra.iter().zip(&cells.weights) {
        sum.add_scaled(weights.iter().zip(&open).map(|(w, share)| w * share).sum(), spectrum);
    }
    for (sent, share) in sent.iter().zip(&met) {
        sum.add_scaled(*share, sent);
    }
    let whole: f64 = levels.iter().sum::<f64>().max(1e-300);
    let on_piece = |(p, piece): (usize, &PieceModel)| {
        let overlays = model.overlay_range(p);
        let scatters = |k: usize| optics.get(k).is_some_and(|of| !of.diffuse.is_empty());
        let first = model.pieces.len();
        if !scatters(p) && !overlays.into_iter().any(|k| scatters(first + k)) {
            let shaded = Shaded { sky: Spectrum::ZERO, sun: 0.0 };
            return OnPiece { glow: Spectrum::ZERO, shaded };
        }
        let level: f64 =
            wall.around(optics[p].middle_mm).into_iter().map(|(place, weight)| weight * levels[place]).sum();
        let mut light = sum * (level.max(0.0) / whole);
        let mut shaded = Shaded { sky: light * FRAC_1_PI, sun: 0.0 };
        if let Some(beam) = beam {
            let share = in_sun(wall, beam, &piece.light_shape);
            light.add_scaled(share * -beam.toward()[2], normal);
            shaded.sun = share;
        }
        OnPiece { glow: light * FRAC_1_PI, shaded }
    };
    (model.pieces.iter().enumerate().map(on_piece).collect(), arriving)
}

/// Share of a piece that the sun reaches.
fn in_sun(wall: &OuterWall, beam: &Beam<'_>, shape: &crate::window::region::Region) -> f64 {
    let (mut lit, mut whole) = (0.0, 0.0);
    for (k, outline) in shape.iter().enumerate() {
        let sign = if depth(shape, k).is_multiple_of(2) { 1.0 } else { -1.0 };
        let ring: Vec<WallPoint> = outline.iter().map(|p| wall.on_glass(*p)).collect();
        whole += sign * signed_area(&ring).abs();
        lit += sign * beam.lit(&ring).iter().map(|part| signed_area(part).abs()).sum::<f64>();
    }
    if whole > 0.0 { (lit / whole).clamp(0.0, 1.0) } else { 0.0 }
}

/// The spectra whose products with a spectrum are its weights: the nearest mixture as the observer sees it.
fn duals(around: &Around<'_>, own: Option<Spectrum>) -> [Spectrum; COLUMNS] {
    let response = observer_response();
    let [a, b, c, d, ground, disc] = around.spectra();
    let spectra = [a, b, c, d, ground, disc, own.unwrap_or(Spectrum::ZERO)];
    let mut squared = Spectrum::ZERO;
    squared.samples_mut().iter_mut().zip(response).for_each(|(s, r)| *s = r * r);
    // Normal equations of spectra of length one, solved by elimination; an absent one has the weight 0.
    let length = spectra.map(|s| (s * squared).dot(&s).sqrt());
    let unit: [Spectrum; COLUMNS] =
        std::array::from_fn(
            |k| if length[k] > 0.0 { spectra[k] * (1.0 / length[k]) } else { Spectrum::ZERO },
        );
    let mut rows: [[f64; COLUMNS]; COLUMNS] =
        std::array::from_fn(|i| std::array::from_fn(|j| (unit[i] * squared).dot(&unit[j])));
    let mut duals = unit.map(|u| u * squared);
    for (i, row) in rows.iter_mut().enumerate() {
        row[i] += if length[i] > 0.0 { RIDGE } else { 1.0 };
    }
    for i in 0..COLUMNS {
        let scale = 1.0 / rows[i][i];
        rows[i] = rows[i].map(|v| v * scale);
        duals[i] *= scale;
        for j in (0..COLUMNS).filter(|j| *j != i) {
            let (factor, from) = (rows[j][i], rows[i]);
            for (own, from) in rows[j].iter_mut().zip(from) {
                *own -= factor * from;
            }
            let own = duals[i];
            duals[j].add_scaled(-factor, &own);
        }
    }
    std::array::from_fn(|k| if length[k] > 0.0 { duals[k] * (1.0 / length[k]) } else { Spectrum::ZERO })
}
