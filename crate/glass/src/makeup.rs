//! The make-up of one piece, from outside to inside.

use std::sync::Arc;

use spectra::Spectrum;

use crate::{Face, Glass, Lobe, Paint, PaintKind};

/// One plate of glass in a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// The glass.
    pub glass: Arc<Glass>,
    /// Thickness here, mm; the flash lies within it.
    pub thickness_mm: f64,
    /// Share of the flash left after etching or abrading: 0 none, 1 all of it. Above 1 where the flash is thicker
    /// than nominal.
    pub flash_left: f64,
    /// The face that carries the flash.
    pub flash_face: Face,
    /// Streaky glass: mean share of the second colour over the piece, 0–1.
    pub streak_mix: f64,
    /// Streaky glass: standard deviation of that share over the piece; 0 at a single point. What passes is the mean
    /// of the transmittance over the mixtures.
    pub streak_sd: f64,
}

impl Plate {
    /// A plate with its whole flash on the inside, its streaks mixed as usual in its glass.
    pub fn new(glass: Arc<Glass>, thickness_mm: f64) -> Self {
        let (streak_mix, streak_sd) = glass.streak.map_or((0.0, 0.0), |s| (s.mix_mean, s.mix_sd));
        Self { glass, thickness_mm, flash_left: 1.0, flash_face: Face::Inside, streak_mix, streak_sd }
    }
}

/// What lies between two plates of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Gap {
    /// Air, with reflections on both sides.
    Air,
    /// Optical contact: fused, or cemented with a cement of the glass's index.
    Contact,
}

/// Dirt or a crust of corrosion on a face of glass: a thin layer that absorbs the same share at every wavelength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dirt {
    /// Share of light lost, 0–1. For dirt start at 0.08; values of 0–0.30 have been found.
    pub loss: f64,
    /// Share of the passing light scattered, 0–1 (our assumption: 0.1).
    pub diffuse_share: f64,
    /// How it is spread.
    pub lobe: Lobe,
}

impl Dirt {
    /// A clean pane.
    pub const NONE: Self = Self { loss: 0.0, diffuse_share: 0.0, lobe: Lobe::DIRT };
    /// A pane left to the weather: 8 % lost (Machová & Vajkay 2020: 4–8 % in half a year).
    pub const USUAL: Self = Self { loss: 0.08, diffuse_share: 0.1, lobe: Lobe::DIRT };

    /// Dirt that removes a share of the light, 0–1: as much of the usual dirt as removes that share, so that more
    /// loss means more scatter, and a clean pane scatters nothing (our assumption).
    pub fn with_loss(loss: f64) -> Self {
        let loss = if loss > 0.0 { loss.min(1.0) } else { 0.0 };
        let layers = (-loss).ln_1p() / (-Self::USUAL.loss).ln_1p();
        Self {
            loss,
            diffuse_share: -((-Self::USUAL.diffuse_share).ln_1p() * layers).exp_m1(),
            lobe: Lobe::DIRT,
        }
    }
}

/// What lies on the two outermost faces of a piece itself, over all paint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deposits {
    /// On the weather face of the outermost plate.
    pub outside: Dirt,
    /// On the room face of the innermost plate.
    pub inside: Dirt,
}

impl Deposits {
    /// Clean faces.
    pub const NONE: Self = Self { outside: Dirt::NONE, inside: Dirt::NONE };
}

/// Protective glazing in front of a piece, with air between.
#[derive(Clone, Debug, PartialEq)]
pub struct Protective {
    /// Its glass, usually clear float.
    pub glass: Arc<Glass>,
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// Dirt on its weather face.
    pub dirt: Dirt,
}

/// Everything that light meets on its way through a piece: protective glazing, plates, paint, dirt.
///
/// # The model
/// From outside to inside: \[dirt, protective pane, air\], then dirt or corrosion, then each plate: paint on its outside
/// face, flash if it is on that side, glass, flash if on the other side, paint on its inside face; between plates air or
/// contact; and dirt or corrosion on the room side.
/// Paint has the index of its glass, so light is reflected at the paint's outer surface and not between paint and
/// glass. On one face, the first paint in the list lies on the glass and the next one on that paint.
///
/// Two kinds of light are followed through it, with all orders of inter-reflection. **Regular** light keeps its
/// direction: exact Fresnel, polarisations separately, slanting paths. **Diffuse** light is spread evenly over all
/// directions as seen from air; within glass it fills the cone of escape, with the mean path and mean reflectance
/// of that cone. Scatterers (the body of opal glass, a textured or matted surface, paint, dirt) turn regular light
/// into diffuse light, never back, and send part of it backward. How much of the diffuse light that leaves into the room
/// stays in a lobe around its old direction is told by [`Prepared::lobe`](crate::Prepared::lobe). Light scattered beyond the critical angle is not
/// followed separately: it counts as returning into the cone. A glass scatters at the middle of its thickness.
///
/// Transmitted, reflected and absorbed light add up to 1 at every wavelength and angle.
#[derive(Clone, Debug, PartialEq)]
pub struct Makeup {
    /// The plates, outside first. Empty for an opening.
    pub plates: Vec<Plate>,
    /// What lies between them.
    pub gap: Gap,
    /// The paints, in the order of firing. Paint on a missing plate is ignored.
    pub paints: Vec<Paint>,
    /// Dirt and corrosion on the piece itself.
    pub deposits: Deposits,
    /// Protective glazing in front.
    pub protective: Option<Protective>,
}

/// A fault in a make-up.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MakeupFault {
    /// A number outside its range.
    #[error("{path}: expected a number from {least} to {most}, found {found}")]
    Range {
        /// Place, e.g. `plates[1].thickness_mm`.
        path: String,
        /// Smallest allowed.
        least: f64,
        /// Largest allowed.
        most: f64,
        /// The value given.
        found: f64,
    },
    /// Paint on a plate that does not exist.
    #[error("paints[{paint}].plate: expected a plate from 0 to {last}, found {found}", last = .plates.saturating_sub(1))]
    Plate {
        /// Paint, counted from 0.
        paint: usize,
        /// Number of plates.
        plates: usize,
        /// The value given.
        found: usize,
    },
    /// Silver stain on a face other than the outside.
    #[error(
        "paints[{paint}].face: expected silver stain on the outside face; it is fired there, and handling would spoil it inside"
    )]
    StainInside {
        /// Paint, counted from 0.
        paint: usize,
    },
}

impl Makeup {
    /// One plate, no paint.
    pub fn single(glass: Arc<Glass>, thickness_mm: f64) -> Self {
        Self {
            plates: vec![Plate::new(glass, thickness_mm)],
            gap: Gap::Air,
            paints: Vec::new(),
            deposits: Deposits::NONE,
            protective: None,
        }
    }

    /// Every fault in it; empty if there is none.
    ///
    /// The optics never fail: they treat a number out of range as the nearest allowed one, and NaN as the value
    /// that transmits least.
    pub fn faults(&self) -> Vec<MakeupFault> {
        let mut faults = Vec::new();
        let mut check = |path: String, found: f64, least: f64, most: f64| {
            if !(least..=most).contains(&found) {
                faults.push(MakeupFault::Range { path, least, most, found });
            }
        };
        for (i, p) in self.plates.iter().enumerate() {
            check(format!("plates[{i}].thickness_mm"), p.thickness_mm, 0.0, 1000.0);
            check(format!("plates[{i}].flash_left"), p.flash_left, 0.0, 10.0);
            check(format!("plates[{i}].streak_mix"), p.streak_mix, 0.0, 1.0);
            check(format!("plates[{i}].streak_sd"), p.streak_sd, 0.0, 100.0);
            check(format!("plates[{i}].glass.n"), p.glass.n, 1.0, 4.0);
        }
        for (i, p) in self.paints.iter().enumerate() {
            check(format!("paints[{i}].density"), p.density, 0.0, 20.0);
            check(format!("paints[{i}].coverage"), p.coverage, 0.0, 1.0);
            check(format!("paints[{i}].diffuse_share"), p.diffuse_share, 0.0, 1.0);
            check(format!("paints[{i}].reflects"), p.reflects, 0.0, 1.0);
            check(format!("paints[{i}].lobe.share"), p.lobe.share, 0.0, 1.0);
        }
        for (face, dirt) in [("outside", self.deposits.outside), ("inside", self.deposits.inside)] {
            check(format!("deposits.{face}.loss"), dirt.loss, 0.0, 1.0);
            check(format!("deposits.{face}.diffuse_share"), dirt.diffuse_share, 0.0, 1.0);
        }
        if let Some(p) = &self.protective {
            check("protective.thickness_mm".into(), p.thickness_mm, 0.0, 1000.0);
            check("protective.dirt.loss".into(), p.dirt.loss, 0.0, 1.0);
            check("protective.dirt.diffuse_share".into(), p.dirt.diffuse_share, 0.0, 1.0);
        }
        for (paint, p) in self.paints.iter().enumerate() {
            if p.plate >= self.plates.len() {
                faults.push(MakeupFault::Plate { paint, plates: self.plates.len(), found: p.plate });
            }
            if matches!(p.kind, PaintKind::Stain(_)) && p.face == Face::Inside {
                faults.push(MakeupFault::StainInside { paint });
            }
        }
        faults
    }

    /// The same piece with every plate's thickness and flash (not the protective pane's) and every paint's density
    /// multiplied: one node of a picture's table over glass thickness × paint density.
    ///
    /// For many nodes prepare once and use [`Prepared::scaled`](crate::Prepared::scaled).
    pub fn scaled(&self, thickness_factor: f64, paint_factor: f64) -> Self {
        let mut out = self.clone();
        for plate in &mut out.plates {
            plate.thickness_mm *= thickness_factor;
            plate.flash_left *= thickness_factor;
        }
        for paint in &mut out.paints {
            paint.density *= paint_factor;
        }
        out
    }

    /// The same piece seen from the other side: what was outside is inside.
    pub fn reversed(&self) -> Option<Self> {
        if self.protective.is_some() {
            return None;
        }
        let mut out = self.clone();
        out.plates.reverse();
        for plate in &mut out.plates {
            plate.flash_face = plate.flash_face.flipped();
        }
        out.deposits = Deposits { outside: self.deposits.inside, inside: self.deposits.outside };
        for paint in &mut out.paints {
            paint.face = paint.face.flipped();
            paint.plate = (self.plates.len() - 1).checked_sub(paint.plate)?;
        }
        Some(out)
    }

    /// The independent errors in this piece, one per glass. Pieces of one glass share its error, so a sum over
    /// pieces must add them glass by glass.
    pub fn uncertainty_terms(&self) -> Vec<UncertaintyTerm> {
        let mut terms: Vec<UncertaintyTerm> = Vec::new();
        for plate in &self.plates {
            let glass = &plate.glass;
            let mut base = glass.uncertainty.base_per_mm;
            if glass.streak.is_some() {
                // The two colours' errors are independent.
                let second = plate.streak_mix.clamp(0.0, 1.0);
                base =
                    (base * (1.0 - second)).zip_map(&(glass.uncertainty.streak_per_mm * second), f64::hypot);
            }
            let base = base * plate.thickness_mm.max(0.0);
            let flash_mm = glass.flash.map_or(0.0, |f| f.thickness_mm * plate.flash_left.max(0.0));
            let sigma = base.zip_map(&(glass.uncertainty.flash_per_mm * flash_mm), f64::hypot);
            match terms.iter_mut().find(|t| t.glass_id == glass.id) {
                Some(term) => term.sigma += sigma,
                None => terms.push(UncertaintyTerm {
                    glass_id: glass.id.clone(),
                    sigma,
                    correlation_nm: glass.uncertainty.correlation_nm,
                }),
            }
        }
        terms
    }
}

/// The error of one glass within a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct UncertaintyTerm {
    /// The glass with this error.
    pub glass_id: String,
    /// Standard deviation of the piece's absorbance due to it, base 10.
    pub sigma: Spectrum,
    /// Correlation length, nm.
    pub correlation_nm: f64,
}
