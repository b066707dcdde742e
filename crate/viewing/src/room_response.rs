//! The response of a receiver to light landing anywhere on the room's surfaces, with all reflections.
//!
//! The room is solved by the adjoint method: not "one light source, all points" but "one point, all light sources".
//! By reciprocity the receiver's response h(x, λ), the irradiance it gets per unit of flux landing at x, obeys the
//! radiosity equation itself, h = ρ·(k + K h), where k is the point exchange between x and the receiver. One
//! solution serves every sky, sun and glass.
//!
//! The panes reflect the room's light. They are one more surface, solved separately, so that a change of glass
//! needs no new solution: the response is h₀ + b·h_w, where h_w is the response of the opening itself and b follows
//! from the panes' reflectance in closed form.

use plane::{RoomPoint, RoomVector};
use spectra::{SAMPLES, Spectrum};

use crate::box_room::Surface;
use crate::contour::form_factor_to_polygon;
use crate::mesh::RoomMesh;
/// A plane element whose irradiance is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    /// Position, m, in the room frame; in or on the box.
    pub point_m: RoomPoint,
    /// Unit normal of its lit side.
    pub normal: RoomVector,
}

impl Receiver {
    /// A vertical element facing the window wall.
    pub fn vertical(point_m: RoomPoint) -> Self {
        Self { point_m, normal: RoomVector::new(0.0, 0.0, -1.0) }
    }

    /// A horizontal element facing up.
    pub fn horizontal(point_m: RoomPoint) -> Self {
        Self { point_m, normal: RoomVector::new(0.0, 1.0, 0.0) }
    }
}

/// Receivers at a place: the vertical one, then the horizontal one.
pub(crate) const RECEIVERS: usize = 2;
/// Columns of the room's response: the receivers and the opening.
pub(crate) const COLUMNS: usize = RECEIVERS + 1;

/// Reflectances of the six surfaces, in the order of [`Surface::ALL`].
pub type Reflectances = [Spectrum; 6];

/// The responses of one or more receivers in one room.
///
/// Fields by patch hold one spectrum per receiver and, last, one for the window opening; in 1/m².
#[derive(Clone, Debug)]
pub struct RoomResponse {
    pub(crate) mesh: RoomMesh,
    receivers: Vec<Receiver>,
    /// Fine patch × (receivers + 1): all reflections, first and later.
    all: Vec<Spectrum>,
    /// The same without the first reflection.
    later: Vec<Spectrum>,
    /// By receiver: response to a unit of flux spread over the opening from inside, per unit of its reflectance.
    opening: Vec<Spectrum>,
    /// The share of the opening's own light that returns to it through the room.
    returned: Spectrum,
    opening_area: f64,
}

/// The iteration stops when the largest relative change of a sweep is below this.
const CONVERGED: f64 = 1e-6;
/// Number of sweeps between balances of the whole room.
const SWEEPS_TO_A_BALANCE: usize = 4;

impl RoomResponse {
    /// Solves for the receivers. Work: about 2·(coarse patches)² × 81 × (receivers + 1) operations a sweep, ten sweeps.
    pub fn new(mesh: RoomMesh, reflectances: &Reflectances, receivers: &[Receiver]) -> Self {
        let columns = receivers.len() + 1;
        let (fine, coarse) = (mesh.fine.len(), mesh.coarse.len());
        let gathered = gather_factors(&mesh, receivers);

        // Wall and opening shares of each coarse patch, and the exchange of walls and opening with each.
        let mut wall_area = vec![0.0; coarse];
        let mut fine_to_coarse = vec![0.0; fine * coarse];
        let mut fine_to_opening = vec![0.0; fine];
        let mut between = vec![0.0; coarse * coarse];
        let mut to_opening = vec![0.0; coarse];
        let mut source = vec![0.0; coarse * receivers.len()];
        let mut from_opening = vec![0.0; receivers.len()];
        let mut opening_area = 0.0;
        for (f, patch) in mesh.fine.iter().enumerate() {
            let (p, wall) = (mesh.parent[f], 1.0 - patch.open);
            wall_area[p] += wall * patch.area;
            opening_area += patch.open * patch.area;
            for (r, g) in gathered[f * receivers.len()..(f + 1) * receivers.len()].iter().enumerate() {
                source[p * receivers.len() + r] += wall * g;
                from_opening[r] += patch.open * g;
            }
            let row = &mut fine_to_coarse[f * coarse..(f + 1) * coarse];
            for (other, &x) in mesh.exchange_row(f).iter().enumerate() {
                let open = x * mesh.fine[other].open;
                row[mesh.parent[other]] += x - open;
                fine_to_opening[f] += open;
            }
            to_opening[p] += wall * fine_to_opening[f];
            for (sum, x) in between[p * coarse..(p + 1) * coarse].iter_mut().zip(row) {
                *sum += wall * *x;
            }
        }

        // Coarse solution by Gauss–Seidel sweeps, for every receiver and wavelength at once. In a room that keeps
        // nearly all its light, the overall level would take thousands of sweeps to build up. Now and then it is
        // set from the balance of the whole room instead: a multiple of ρ is added everywhere so that received and
        // reflected light add up.
        let width = columns * SAMPLES;
        let mut rho = vec![0.0; 6 * width];
        for (s, r) in reflectances.iter().enumerate() {
            for c in 0..columns {
                rho[s * width + c * SAMPLES..][..SAMPLES].copy_from_slice(r.samples());
            }
        }
        let walls: Vec<usize> = (0..coarse).filter(|&p| wall_area[p] > 1e-12).collect();
        let rho_of = |p: usize| &rho[mesh.coarse[p].surface.index() * width..][..width];
        // What a patch receives: first light and all reflections in the field.
        let receive = |p: usize, field: &[f64], row: &mut [f64]| {
            for c in 0..columns {
                let start = if c < receivers.len() { source[p * receivers.len() + c] } else { to_opening[p] };
                row[c * SAMPLES..][..SAMPLES].fill(start);
            }
            for (c, &x) in between[p * coarse..(p + 1) * coarse].iter().enumerate() {
                if x > 0.0 {
                    add_scaled(row, x, &field[c * width..(c + 1) * width]);
                }
            }
        };
        // Lost from a field of ρ: absorbed, or gone through the opening.
        let mut lost = vec![0.0; width];
        for &p in &walls {
            let mut back = vec![0.0; width];
            for &q in &walls {
                add_scaled(&mut back, between[p * coarse + q], rho_of(q));
            }
            for ((sum, rho), back) in lost.iter_mut().zip(rho_of(p)).zip(back) {
                *sum += rho * (wall_area[p] - back);
            }
        }
        let mut field = vec![0.0; coarse * width];
        let mut row = vec![0.0; width];
        for sweep in 0..200 {
            if sweep % SWEEPS_TO_A_BALANCE == 0 {
                let mut missing = vec![0.0; width];
                for &p in &walls {
                    receive(p, &field, &mut row);
                    let h = &field[p * width..(p + 1) * width];
                    for (((sum, r), rho), h) in missing.iter_mut().zip(&row).zip(rho_of(p)).zip(h) {
                        *sum += rho * r - wall_area[p] * h;
                    }
                }
                for (missing, lost) in missing.iter_mut().zip(&lost) {
                    *missing = if *lost > 1e-12 { *missing / lost } else { 0.0 };
                }
                for &p in &walls {
                    let h = &mut field[p * width..(p + 1) * width];
                    for ((h, rho), level) in h.iter_mut().zip(rho_of(p)).zip(&missing) {
                        *h += rho * level;
                    }
                }
            }
            let (mut change, mut largest) = (0.0f64, 0.0f64);
            for &p in &walls {
                receive(p, &field, &mut row);
                let inverse = 1.0 / wall_area[p];
                for ((h, r), rho) in field[p * width..(p + 1) * width].iter_mut().zip(&row).zip(rho_of(p)) {
                    let new = rho * r * inverse;
                    change = change.max((new - *h).abs());
                    largest = largest.max(new);
                    *h = new;
                }
            }
            if change <= CONVERGED * largest {
                break;
            }
        }

        // The coarse field beyond its own first two reflections.
        let coarse_first = |p: usize, c: usize| {
            if c < receivers.len() { source[p * receivers.len() + c] } else { to_opening[p] }
        };
        let mut once = vec![0.0; coarse * width];
        for p in 0..coarse {
            if wall_area[p] > 1e-12 {
                let rho = &rho[mesh.coarse[p].surface.index() * width..][..width];
                for (k, (h, rho)) in once[p * width..(p + 1) * width].iter_mut().zip(rho).enumerate() {
                    *h = rho * coarse_first(p, k / SAMPLES) / wall_area[p];
                }
            }
        }
        let mut beyond = field.clone();
        for p in 0..coarse {
            if wall_area[p] > 1e-12 {
                row.fill(0.0);
                for (c, &x) in between[p * coarse..(p + 1) * coarse].iter().enumerate() {
                    add_scaled(&mut row, x, &once[c * width..(c + 1) * width]);
                }
                let rho = &rho[mesh.coarse[p].surface.index() * width..][..width];
                for (k, h) in beyond[p * width..(p + 1) * width].iter_mut().enumerate() {
                    *h -= once[p * width + k] + rho[k] * row[k] / wall_area[p];
                }
            }
        }

        // Three reflections are followed on the fine patches, the rest come from the coarse solution. Few
        // reflections depend on wavelength only through products of the surfaces' reflectances, so plain numbers
        // per surface are enough for them: `second` by the last surface met, `third` by the pair of surfaces.
        let first = |f: usize, c: usize| {
            if c < receivers.len() { gathered[f * receivers.len() + c] } else { fine_to_opening[f] }
        };
        let on_wall: Vec<f64> = mesh.fine.iter().map(|p| (1.0 - p.open) / p.area).collect();
        let mut second = vec![0.0; fine * 6 * columns];
        for (f, sums) in second.chunks_exact_mut(6 * columns).enumerate() {
            for (other, &x) in mesh.exchange_row(f).iter().enumerate() {
                if x > 0.0 {
                    let s = mesh.fine[other].surface.index() * columns;
                    for c in 0..columns {
                        sums[s + c] += x * on_wall[other] * first(other, c);
                    }
                }
            }
        }
        let mut all = vec![Spectrum::ZERO; fine * columns];
        let mut later = all.clone();
        let mut third = vec![0.0; 36 * columns];
        for (f, patch) in mesh.fine.iter().enumerate() {
            if patch.open >= 1.0 {
                continue;
            }
            third.fill(0.0);
            for (other, &x) in mesh.exchange_row(f).iter().enumerate() {
                if x > 0.0 {
                    let s = mesh.fine[other].surface.index() * 6 * columns;
                    let beyond = &second[other * 6 * columns..(other + 1) * 6 * columns];
                    add_scaled(&mut third[s..s + 6 * columns], x * on_wall[other], beyond);
                }
            }
            row.fill(0.0);
            for (c, &x) in fine_to_coarse[f * coarse..(f + 1) * coarse].iter().enumerate() {
                if x > 0.0 {
                    add_scaled(&mut row, x, &beyond[c * width..(c + 1) * width]);
                }
            }
            let rho = reflectances[patch.surface.index()] * (1.0 / patch.area);
            for c in 0..columns {
                let mut rest = Spectrum::from_slice(&row[c * SAMPLES..(c + 1) * SAMPLES]).unwrap_or_default();
                for (s, reflectance) in reflectances.iter().enumerate() {
                    let mut beyond = Spectrum::splat(second[(f * 6 + s) * columns + c]);
                    for (t, next) in reflectances.iter().enumerate() {
                        beyond.add_scaled(third[(s * 6 + t) * columns + c], next);
                    }
                    rest += beyond * *reflectance;
                }
                later[f * columns + c] = rest * rho;
                all[f * columns + c] = (rest + Spectrum::splat(first(f, c))) * rho;
            }
        }

        // The opening as a receiver of the room's light.
        let mut seen = vec![0.0; width];
        for (c, &x) in to_opening.iter().enumerate() {
            if x > 0.0 {
                add_scaled(&mut seen, x, &field[c * width..(c + 1) * width]);
            }
        }
        let per_area = if opening_area > 0.0 { 1.0 / opening_area } else { 0.0 };
        let part = |c: usize| Spectrum::from_slice(&seen[c * SAMPLES..(c + 1) * SAMPLES]).unwrap_or_default();
        let opening =
            (0..receivers.len()).map(|c| (part(c) + Spectrum::splat(from_opening[c])) * per_area).collect();
        let returned = part(receivers.len()) * per_area;
        Self { mesh, receivers: receivers.to_vec(), all, later, opening, returned, opening_area }
    }

    /// The receivers solved for.
    pub fn receivers(&self) -> &[Receiver] {
        &self.receivers
    }

    /// Area of the window opening, m².
    pub fn opening_area_m2(&self) -> f64 {
        self.opening_area
    }

    /// The fine patch on which light from `from` along `direction` lands; `None` if it goes back to the window
    /// wall.
    pub(crate) fn landing(&self, from: RoomPoint, direction: RoomVector) -> Option<usize> {
        let (surface, point) = self.mesh.room.hit(from, direction)?;
        (surface != Surface::WindowWall).then(|| self.mesh.fine_at(surface, point))
    }

    /// Responses of a fine patch, one per receiver and the opening's last: irradiance per unit of flux landing
    /// there.
    pub(crate) fn response(&self, fine: usize) -> &[Spectrum] {
        let n = self.receivers.len() + 1;
        &self.all[fine * n..(fine + 1) * n]
    }

    /// [`Self::response`] without the first reflection.
    pub(crate) fn later_response(&self, fine: usize) -> &[Spectrum] {
        let n = self.receivers.len() + 1;
        &self.later[fine * n..(fine + 1) * n]
    }

    /// How much of the opening's response each receiver gets if the opening reflects `reflectance` of the room's
    /// light: b in h₀ + b·h_w, one per receiver, 1/m².
    pub fn opening_factors(&self, reflectance: &Spectrum) -> Vec<Spectrum> {
        let back = reflectance.zip_map(&self.returned, |r, s| r / (1.0 - r * s));
        self.opening.iter().map(|q| *q * back).collect()
    }

    /// Reflected irradiance at a receiver when unit irradiance falls evenly on every surface. In a room whose
    /// surfaces all reflect ρ and that has no opening, it is ρ/(1 − ρ), whatever the shape.
    pub fn sum_over_surfaces(&self, receiver: usize) -> Spectrum {
        (0..self.mesh.fine.len())
            .map(|f| self.response(f)[receiver] * (self.mesh.fine[f].area * (1.0 - self.mesh.fine[f].open)))
            .sum()
    }
}

/// Form factors from each receiver to each fine patch: fine × receivers.
fn gather_factors(mesh: &RoomMesh, receivers: &[Receiver]) -> Vec<f64> {
    let mut factors = Vec::with_capacity(mesh.fine.len() * receivers.len());
    for (f, patch) in mesh.fine.iter().enumerate() {
        let corners = mesh.corners(f);
        for r in receivers {
            factors.push(if mesh.room.lies_in(patch.surface, r.point_m) {
                0.0
            } else {
                form_factor_to_polygon(r.point_m, r.normal, &corners)
            });
        }
    }
    factors
}

#[inline]
fn add_scaled(to: &mut [f64], factor: f64, from: &[f64]) {
    for (a, b) in to.iter_mut().zip(from) {
        *a += factor * b;
    }
}
