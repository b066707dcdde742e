//! A make-up turned into elements, and their adding at any angle.

use spectra::{SAMPLES, Spectrum};

use crate::adding::{Built, Elements, Passing};
use crate::fresnel::diffuse_reflectance;
use crate::lobe::Lobe;
use crate::makeup::{Dirt, Gap, Makeup, Plate};
use crate::parts::{DEEPEST, Part, Streaks, add};
use crate::quadrature::GAUSS_16;
use crate::several_lobes::{Scatterer, Scattering};
use crate::streak::Mixes;
use crate::{Face, Paint, ScatterSite};

/// Steepest angle used: at 90° a boundary reflects everything and the series has no sum.
const STEEPEST_DEG: f64 = 89.999_9;

/// The effect of a piece on a beam at one angle: shares of the unpolarised light that arrives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Optics {
    /// Transmitted in its own direction, from outside to inside (the same from inside to outside).
    pub regular_transmittance: Spectrum,
    /// Transmitted from outside and scattered: a share in a [lobe](Prepared::lobe), the rest evenly, which has the
    /// radiance of its exitance / π.
    pub diffuse_transmittance: Spectrum,
    /// Reflected to the outside, regular and diffuse together, for light from outside.
    pub reflectance_outside: Spectrum,
    /// Reflected into the room, regular and diffuse together, for light from inside at this angle.
    pub reflectance_inside: Spectrum,
    /// Absorbed, for light from outside, counted layer by layer.
    pub absorptance: Spectrum,
}

/// The part of [`Optics`] that a room gets, in less than half the time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Inward {
    /// As [`Optics::regular_transmittance`].
    pub regular_transmittance: Spectrum,
    /// As [`Optics::diffuse_transmittance`].
    pub diffuse_transmittance: Spectrum,
    /// As [`Optics::reflectance_inside`].
    pub reflectance_inside: Spectrum,
}

/// Cosine-weighted averages of [`Optics`] over the hemisphere, for diffuse light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hemispherical {
    /// Transmitted without change of direction, for diffuse light from outside.
    pub regular_transmittance: Spectrum,
    /// Transmitted and spread, for diffuse light from outside.
    pub diffuse_transmittance: Spectrum,
    /// Reflected to the outside, for diffuse light from outside.
    pub reflectance_outside: Spectrum,
    /// Reflected into the room, for diffuse light from the room.
    pub reflectance_inside: Spectrum,
    /// Absorbed, for diffuse light from outside.
    pub absorptance: Spectrum,
}

impl Hemispherical {
    /// The total transmittance.
    pub fn transmittance(&self) -> Spectrum {
        self.regular_transmittance + self.diffuse_transmittance
    }
}

/// A make-up with everything precomputed that does not depend on angle.
#[derive(Clone, Debug)]
pub struct Prepared {
    parts: Vec<Part>,
}

impl Makeup {
    /// Computes everything that does not depend on angle once, for many evaluations.
    pub fn prepare(&self) -> Prepared {
        Prepared::new(self)
    }

    /// Transmittance and reflectance for a beam at `angle_deg` to the normal in air.
    ///
    /// The angle counts as the nearest one in 0–90; NaN counts as 90.
    pub fn optics(&self, angle_deg: f64) -> Optics {
        self.prepare().optics(angle_deg)
    }

    /// Cosine-weighted averages over all directions: for diffuse light from outside or inside.
    pub fn hemispherical(&self) -> Hemispherical {
        self.prepare().hemispherical()
    }
}

impl Prepared {
    pub(crate) fn new(makeup: &Makeup) -> Self {
        let mut out = Self { parts: Vec::new() };
        let mut n = 1.0;
        if let Some(protective) = &makeup.protective {
            let plate = Plate::new(protective.glass.clone(), protective.thickness_mm);
            let inside = index(plate.glass.n);
            out.boundary(n, inside);
            out.dirt(&protective.dirt, inside, 0);
            out.plate(&plate, Scatterer::Protective);
            out.boundary(inside, 1.0);
            n = 1.0;
        }
        for (i, plate) in makeup.plates.iter().enumerate() {
            let inside = index(plate.glass.n);
            if i > 0 && makeup.gap == Gap::Air {
                out.boundary(n, 1.0);
                n = 1.0;
            }
            out.boundary(n, inside);
            n = inside;
            let on = |face: Face| {
                makeup.paints.iter().enumerate().filter(move |(_, p)| p.plate == i && p.face == face)
            };
            // Over glass that scatters, light spreads sideways under the paint: this approaches Yule–Nielsen's n =
            // 2.
            let spread = 1.0 + share(plate.glass.diffuse.share);
            if i == 0 {
                out.dirt(&makeup.deposits.outside, inside, 1);
            }
            for (index, paint) in on(Face::Outside).collect::<Vec<_>>().into_iter().rev() {
                out.film(paint, index, inside, spread);
            }
            out.plate(plate, Scatterer::Plate(i));
            for (index, paint) in on(Face::Inside) {
                out.film(paint, index, inside, spread);
            }
            if i + 1 == makeup.plates.len() {
                out.dirt(&makeup.deposits.inside, inside, 2);
            }
        }
        out.boundary(n, 1.0);
        out
    }

    fn boundary(&mut self, n1: f64, n2: f64) {
        if (n1 - n2).abs() > 0.0 {
            self.parts.push(Part::Boundary { n1, n2, diffuse: diffuse_reflectance(n1, n2) });
        }
    }

    fn absorber(&mut self, n: f64, absorbance: Spectrum, scales: bool) {
        if absorbance.max() <= 0.0 {
            return;
        }
        let more = absorbance * std::f64::consts::LN_10;
        match self.parts.last_mut() {
            // Base and flash, or plates in contact: absorbances add.
            Some(Part::Absorber { n: before, depth, scales: scaled })
                if *scaled == scales && (*before - n).abs() <= 0.0 =>
            {
                *depth += more;
            }
            _ => self.parts.push(Part::Absorber { n, depth: more, scales }),
        }
    }

    fn plate(&mut self, plate: &Plate, place: Scatterer) {
        let scales = place != Scatterer::Protective;
        let (glass, n) = (&plate.glass, index(plate.glass.n));
        let thickness = least(plate.thickness_mm);
        let flash =
            glass.flash.map(|f| *f.absorbance.spectrum() * (least(f.thickness_mm) * least(plate.flash_left)));
        let flash_on = |face: Face| flash.filter(|_| plate.flash_face == face);
        if let Some(flash) = flash_on(Face::Outside) {
            self.absorber(n, flash, scales);
        }
        match scatterer(plate, thickness, place) {
            None => self.base(plate, n, thickness, false, scales),
            Some(scatterer) => {
                self.base(plate, n, thickness, true, scales);
                self.parts.push(scatterer);
                self.base(plate, n, thickness, true, scales);
            }
        }
        if let Some(flash) = flash_on(Face::Inside) {
            self.absorber(n, flash, scales);
        }
    }

    /// The glass itself without its flash, or half of its thickness.
    fn base(&mut self, plate: &Plate, n: f64, thickness: f64, halves: bool, scales: bool) {
        let glass = &plate.glass;
        let part = if halves { 0.5 * thickness } else { thickness };
        let mix = share(plate.streak_mix);
        match &glass.streak {
            None => self.absorber(n, *glass.base.spectrum() * part, scales),
            Some(streak) if least(plate.streak_sd) <= 0.0 => {
                self.absorber(n, *glass.base.mixed(&streak.absorbance, mix).spectrum() * part, scales);
            }
            Some(streak) => {
                let whole = std::f64::consts::LN_10 * thickness;
                let streaks = Streaks {
                    first: *glass.base.spectrum() * whole,
                    second: *streak.absorbance.spectrum() * whole,
                    mixes: Mixes::new(mix, plate.streak_sd),
                    halves,
                };
                self.parts.push(Part::Streaks { n, streaks: Box::new(streaks), scales });
            }
        }
    }

    fn film(&mut self, paint: &Paint, index: usize, n: f64, spread: f64) {
        let (density, coverage) = (least(paint.density), share(paint.coverage));
        let usual = paint.kind.usual_density();
        let scattered = share(paint.diffuse_share).min(0.999_999);
        self.parts.push(Part::Film {
            n,
            depth: paint.shape() * (density * std::f64::consts::LN_10),
            // (1 − share) to the power density/usual: two layers of a paint scatter like one layer of the total
            // density.
            scatter: if usual > 0.0 { -(-scattered).ln_1p() * density / usual } else { 0.0 },
            coverage,
            spread,
            reflects: share(paint.reflects),
            paint: Some(index),
            of: Scatterer::Paint(index),
            lobe: paint.lobe,
        });
    }

    fn dirt(&mut self, dirt: &Dirt, n: f64, place: usize) {
        let loss = share(dirt.loss);
        if loss > 0.0 || share(dirt.diffuse_share) > 0.0 {
            self.parts.push(Part::Film {
                n,
                depth: Spectrum::splat((-(-loss).ln_1p()).min(DEEPEST)),
                scatter: -(-share(dirt.diffuse_share).min(0.999_999)).ln_1p(),
                coverage: 1.0,
                spread: 1.0,
                reflects: 0.0,
                paint: None,
                of: Scatterer::Dirt(place),
                lobe: dirt.lobe,
            });
        }
    }

    /// How the light that it scatters into the room is spread: what [`Optics::diffuse_transmittance`] counts.
    pub fn lobe(&self) -> Lobe {
        Lobe::of_several(&self.scatterers())
    }

    /// Everything that scatters, outside first.
    pub fn scatterers(&self) -> Vec<Scattering> {
        self.parts.iter().filter_map(|part| part.scattering(AT_560_NM)).collect()
    }

    /// As [`Makeup::optics`].
    pub fn optics(&self, angle_deg: f64) -> Optics {
        self.evaluate(angle_deg, 1.0, |_| 1.0)
    }

    /// Like [`Makeup::scaled`] followed by [`Makeup::optics`], without preparing again: every plate's glass is
    /// thicker by `thickness_factor` and every paint denser by `paint_factor`. The protective pane and its dirt
    /// stay the same.
    pub fn scaled(&self, angle_deg: f64, thickness_factor: f64, paint_factor: f64) -> Optics {
        self.evaluate(angle_deg, least(thickness_factor), |_| least(paint_factor))
    }

    /// [`scaled`](Self::scaled) with a separate factor for each paint, in the order of [`Makeup::paints`]; paints
    /// beyond the slice keep their density.
    pub fn scaled_by_paint(&self, angle_deg: f64, thickness_factor: f64, paint_factors: &[f64]) -> Optics {
        let factor = |paint: usize| paint_factors.get(paint).copied().map_or(1.0, least);
        self.evaluate(angle_deg, least(thickness_factor), factor)
    }

    /// What a room gets of [`optics`](Self::optics).
    pub fn inward(&self, angle_deg: f64) -> Inward {
        self.evaluate_inward(angle_deg, 1.0, |_| 1.0)
    }

    /// What a room gets of [`scaled_by_paint`](Self::scaled_by_paint).
    pub fn inward_by_paint(&self, angle_deg: f64, thickness_factor: f64, paint_factors: &[f64]) -> Inward {
        let factor = |paint: usize| paint_factors.get(paint).copied().map_or(1.0, least);
        self.evaluate_inward(angle_deg, least(thickness_factor), factor)
    }

    /// As [`Makeup::hemispherical`]: 16-point Gauss in the cosine, within 1e-7 of the exact integral for glass.
    pub fn hemispherical(&self) -> Hemispherical {
        let mut h = Hemispherical {
            regular_transmittance: Spectrum::ZERO,
            diffuse_transmittance: Spectrum::ZERO,
            reflectance_outside: Spectrum::ZERO,
            reflectance_inside: Spectrum::ZERO,
            absorptance: Spectrum::ZERO,
        };
        for (cosine, weight) in GAUSS_16 {
            let o = self.optics(cosine.acos().to_degrees());
            let w = 2.0 * cosine * weight;
            h.regular_transmittance.add_scaled(w, &o.regular_transmittance);
            h.diffuse_transmittance.add_scaled(w, &o.diffuse_transmittance);
            h.reflectance_outside.add_scaled(w, &o.reflectance_outside);
            h.reflectance_inside.add_scaled(w, &o.reflectance_inside);
            h.absorptance.add_scaled(w, &o.absorptance);
        }
        h
    }

    fn evaluate(&self, angle_deg: f64, thickness: f64, paint: impl Fn(usize) -> f64) -> Optics {
        let built = self.built::<Built>(angle_deg, thickness, paint);
        Optics {
            regular_transmittance: mean(&built, |b| b.inward.rr),
            diffuse_transmittance: mean(&built, |b| b.inward.rd),
            reflectance_outside: mean(&built, |b| b.returns_outside.of_regular()),
            reflectance_inside: mean(&built, |b| b.returns_inside.of_regular()),
            absorptance: mean(&built, |b| b.absorbs_outside.regular),
        }
    }

    fn evaluate_inward(&self, angle_deg: f64, thickness: f64, paint: impl Fn(usize) -> f64) -> Inward {
        let built = self.built::<Passing>(angle_deg, thickness, paint);
        Inward {
            regular_transmittance: mean(&built, |b| b.inward.rr),
            diffuse_transmittance: mean(&built, |b| b.inward.rd),
            reflectance_inside: mean(&built, |b| b.returns_inside.of_regular()),
        }
    }

    /// All parts one behind the other, for each polarisation.
    fn built<B: Elements>(
        &self,
        angle_deg: f64,
        thickness: f64,
        paint: impl Fn(usize) -> f64,
    ) -> [[B; SAMPLES]; 2] {
        let angle = if angle_deg.is_nan() { STEEPEST_DEG } else { angle_deg.clamp(0.0, STEEPEST_DEG) };
        let sine = angle.to_radians().sin();
        let mut both = [[B::OPEN; SAMPLES]; 2];
        // Along the normal the two polarisations are identical.
        let built = if sine > 0.0 { &mut both[..] } else { &mut both[..1] };
        for part in &self.parts {
            add(part, sine, thickness, &paint, built);
        }
        if sine <= 0.0 {
            both[1] = both[0];
        }
        both
    }
}

/// Mean of a quantity over the two polarisations.
fn mean<B>([s, p]: &[[B; SAMPLES]; 2], of: impl Fn(&B) -> f64) -> Spectrum {
    let mut out = Spectrum::ZERO;
    for (slot, (s, p)) in out.samples_mut().iter_mut().zip(s.iter().zip(p)) {
        *slot = 0.5 * (of(s) + of(p));
    }
    out
}

fn scatterer(plate: &Plate, thickness_mm: f64, of: Scatterer) -> Option<Part> {
    let diffuse = plate.glass.diffuse;
    let scattered = share(diffuse.share).min(0.999_999);
    if scattered <= 0.0 {
        return None;
    }
    let back = share(diffuse.back).min(0.999_999);
    let (times, body) = match diffuse.site {
        ScatterSite::Body { reference_mm } if reference_mm > 0.0 => (thickness_mm / reference_mm, true),
        _ => (1.0, false),
    };
    let depth = -(-scattered).ln_1p() * times;
    Some(Part::Scatterer {
        n: index(plate.glass.n),
        depth: Spectrum::from_fn(|nm| {
            (depth * (crate::paint::DENSITY_NM / nm).powf(diffuse.exponent)).min(DEEPEST)
        }),
        back_to_forth: back / (1.0 - back) * times,
        body,
        scales: of != Scatterer::Protective,
        of,
        lobe: diffuse.lobe,
    })
}

/// Sample at 560 nm.
const AT_560_NM: usize = 36;

/// A share, 0–1; NaN becomes 0.
fn share(value: f64) -> f64 {
    if value > 0.0 { value.min(1.0) } else { 0.0 }
}

/// A finite number of at least 0; NaN becomes 0.
fn least(value: f64) -> f64 {
    if value > 0.0 { value.min(1e9) } else { 0.0 }
}

/// A refractive index, 1–4; NaN becomes 1.52.
fn index(n: f64) -> f64 {
    if n.is_nan() { 1.52 } else { n.clamp(1.0, 4.0) }
}
