//! The causes in a window, piece by piece.

use glass::{Makeup, ScatterSite};
use scene::{DepositKind, Deposits, Resolved, ResolvedPiece, ResolvedWindow};
use spectra::{Observer, Spectrum, TristimulusWeights};
use uncertainty::{CauseError, Draw, NumberId, Origin};

use super::bands::{self, LANES};
use super::deviations::{COVERAGE_OWN_LN, ETCHED, PAINT_OWN_LN, STREAK_MIX};
use super::faces::{Faces, FacesOf};
use super::fired::{Firings, is_partial};
use super::forward::{Forward, Lit};
use super::glass_causes::Glasses;
use super::levels::FIGURES;
use super::levels::in_front;
use super::listed::Listed;
use super::names::{plus_minus, plus_minus_between};
use super::piece::{GlassScatter, PaintScatter, Part, PieceModel, Shared};
use super::plates::PlateModel;
use super::sheets::{PlateOf, Sheets, is_etched, least_and_most};
use super::sun_apart::SunApart;
use crate::beam::Beam;
use crate::instant::{InstantLight, PieceLight};
use crate::prepared::Prepared;

/// Everything in the windows that is not known exactly.
pub(super) struct WindowModel {
    pub glasses: Glasses,
    /// In the order of `WindowWall::pieces`.
    pub pieces: Vec<PieceModel>,
    /// The ways in which paint scatters.
    pub paint_scatter: Vec<PaintScatter>,
    /// How what scatters does so forwards.
    #[cfg(test)]
    pub forward: Forward,
    /// Place of each cause that has a number for each sheet, and which of them a piece reads.
    of_sheets: Vec<(usize, OfSheet)>,
}

/// The number of its sheet that a piece reads.
type OfSheet = fn(&PieceModel) -> Option<NumberId>;

/// Numbers that each piece has for itself, handed out one by one.
struct Own {
    thickness: std::vec::IntoIter<NumberId>,
    mix: std::vec::IntoIter<NumberId>,
    etched: std::vec::IntoIter<NumberId>,
    density: std::vec::IntoIter<NumberId>,
    coverage: std::vec::IntoIter<NumberId>,
}

impl Own {
    fn new(all: &[Placed<'_>], listed: &mut Listed) -> Result<Self, CauseError> {
        let plates = || all.iter().flat_map(|placed| placed.piece.makeup.plates.iter());
        let paints = || all.iter().flat_map(|placed| placed.piece.makeup.paints.iter());
        let (least, most) =
            least_and_most(all.iter().flat_map(Placed::plates).map(|plate| plate.parts_mm()[1]));
        let mut of = |name: &str, count: usize, spread: String| {
            listed.deviations(name, count, spread, Origin::Assumption).map(IntoIterator::into_iter)
        };
        let thickness = of(
            "thickness of each piece within its sheet",
            plates().count(),
            plus_minus_between(least, most, " mm"),
        )?;
        let streaky = plates().filter(|p| p.glass.streak.is_some()).count();
        let mix =
            of("streaks of each piece, share of the second colour", streaky, plus_minus(STREAK_MIX, ""))?;
        let etched = of(
            "flash left where it was etched",
            plates().filter(|p| is_etched(p)).count(),
            plus_minus(ETCHED, ""),
        )?;
        let density = listed.factors(
            "density of paint on each piece",
            paints().count(),
            PAINT_OWN_LN,
            Origin::Assumption,
        )?;
        let partial = paints().filter(|p| is_partial(p)).count();
        let coverage = listed.factors(
            "share of each piece that paint covers",
            partial,
            COVERAGE_OWN_LN,
            Origin::Assumption,
        )?;
        Ok(Self { thickness, mix, etched, density: density.into_iter(), coverage: coverage.into_iter() })
    }
}

impl WindowModel {
    /// The causes of `resolved`, added to `listed`. `light` is that of an instant, of which the sun may be followed `apart`.
    pub(super) fn new(
        prepared: &Prepared,
        resolved: &Resolved,
        light: &InstantLight,
        beam: Option<Beam>,
        apart: Option<&SunApart>,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let all: Vec<Placed<'_>> = Placed::all(resolved);
        let used = all.iter().flat_map(|placed| placed.piece.makeup.plates.iter().map(|plate| &plate.glass));
        let glasses = Glasses::new(&resolved.scene, used, listed)?;
        let mut own = Own::new(&all, listed)?;
        let before = listed.causes.list().len();
        let sheets = Sheets::new(all.iter().flat_map(Placed::plates), listed)?;
        let thickness: OfSheet = |piece| piece.plates.first().map(|plate| plate.thickness.sheet.0);
        let flash: OfSheet = |piece| piece.plates.iter().find_map(|plate| Some(plate.flash?.sheet));
        let of_sheets = (before..listed.causes.list().len())
            .map(|cause| (cause, if Some(cause) == sheets.flash_cause { flash } else { thickness }))
            .collect();
        let (mut firings, mut faces) = (Firings::default(), Faces::default());
        let (front, receiver) = in_front(prepared, light);
        let weights = TristimulusWeights::absolute(Observer::Cie1931);
        let mut pieces = Vec::with_capacity(all.len());
        let (mut lit, mut forward) =
            (Lit::new(prepared, light, beam), Forward::new(all.iter().flat_map(Placed::deposit_kinds)));
        let lights = light.pieces.iter().zip(&front.pieces);
        for (p, ((placed, view), (eye, front))) in all.iter().zip(&prepared.pieces).zip(lights).enumerate() {
            let makeup = &placed.piece.makeup;
            let lanes = Lanes::of(eye, front, receiver, weights.spectra());
            let FacesOf { dirt, front } =
                faces.of((placed.number, &placed.window.id), makeup, &placed.deposits(), listed)?;
            let mut model = PieceModel {
                plates: Vec::new(),
                coats: Vec::new(),
                scatter: scatter(makeup, &glasses),
                dirt,
                front,
                path: view.path,
                weights: bands::weights(&lanes.light),
                scattered: lanes.scattered(),
                parts: None,
                turned: lit.turned(p, &lanes.sums(), &mut forward, listed)?,
            };
            for plate in placed.plates() {
                let Some(glass) = glasses.number(&plate.plate.glass.id) else { continue };
                let Some(thickness) = own.thickness.next().and_then(|id| sheets.thickness(plate, id)) else {
                    continue;
                };
                let flash = sheets.flash(plate, || own.etched.next());
                let mix =
                    plate.plate.glass.streak.and_then(|_| Some((plate.plate.streak_mix, own.mix.next()?)));
                model.plates.push(PlateModel { glass, thickness, flash, mix });
            }
            for (paint, firing) in makeup.paints.iter().zip(placed.firings()) {
                let Some(density) = own.density.next() else { continue };
                let coverage = if is_partial(paint) { own.coverage.next() } else { None };
                let own = [density, coverage.unwrap_or(density)];
                model.coats.push(firings.coat(paint, firing, own, listed)?);
            }
            pieces.push(model);
        }
        if let Some(apart) = apart {
            let mut parts = parts(prepared, light, apart).into_iter();
            pieces.iter_mut().for_each(|piece| piece.parts = parts.next());
        }
        Ok(Self {
            glasses,
            pieces,
            paint_scatter: firings.ways,
            #[cfg(test)]
            forward,
            of_sheets,
        })
    }

    /// Sum of squares of what the numbers of a cause do, when each piece's part is known: pieces of one sheet move together,
    /// others each by itself.
    pub(super) fn sum_of_squares(&self, cause: usize, moved: impl Iterator<Item = f64>) -> f64 {
        let Some((_, number)) = self.of_sheets.iter().find(|(place, _)| *place == cause) else {
            return moved.map(|one| one * one).sum();
        };
        let mut together: Vec<(Option<NumberId>, f64)> = Vec::new();
        for (piece, one) in self.pieces.iter().zip(moved) {
            let number = number(piece);
            match together.iter_mut().find(|(known, _)| *known == number) {
                Some((_, sum)) => *sum += one,
                None => together.push((number, one)),
            }
        }
        together.into_iter().map(|(_, sum)| sum * sum).sum()
    }

    /// What the pieces have in common in a draw.
    pub(super) fn shared_at(&self, draw: &Draw) -> Shared {
        Shared::at(&self.glasses.models, &self.paint_scatter, draw)
    }
}

/// A piece, and what the document says of it that the optics do not.
struct Placed<'a> {
    /// Number of its window.
    number: usize,
    window: &'a ResolvedWindow,
    piece: &'a ResolvedPiece,
    /// Its window and its make-up in the document.
    written: Option<(&'a scene::Window, &'a scene::Makeup)>,
}

impl<'a> Placed<'a> {
    /// In the order of `WindowWall::pieces`.
    fn all(resolved: &'a Resolved) -> Vec<Self> {
        let mut all = Vec::new();
        for (number, window) in resolved.windows.iter().enumerate() {
            let written = resolved.scene.windows.iter().find(|w| w.id == window.id);
            all.extend(window.pieces.iter().map(|piece| {
                let makeup = written.and_then(|w| Some((w, &w.pieces.get(piece.entry)?.makeup)));
                Self { number, window, piece, written: makeup }
            }));
        }
        all
    }

    fn plates(&self) -> impl Iterator<Item = PlateOf<'a>> + use<'a> {
        let written = self.written.map(|(_, makeup)| &makeup.plates[..]).unwrap_or_default();
        self.piece.makeup.plates.iter().enumerate().map(move |(place, plate)| {
            let written = written.get(place);
            PlateOf {
                plate,
                sheet: written.map_or(0, |written| written.sheet),
                stated_mm: written.and_then(|written| written.thickness_sd_mm),
            }
        })
    }

    /// The firing of each paint, in the order of the optics' paints; 1 where the document says nothing.
    fn firings(&self) -> impl Iterator<Item = u32> + use<> {
        let mut firings: Vec<u32> =
            self.written.iter().flat_map(|(_, makeup)| &makeup.paint).map(|paint| paint.firing).collect();
        sorting::values(&mut firings);
        firings.into_iter().chain(std::iter::repeat(1))
    }

    /// What dims it: on either face, and dirt on the pane before it.
    fn deposit_kinds(&self) -> impl Iterator<Item = DepositKind> {
        let Deposits { outside, inside } = self.deposits();
        let pane = self.piece.makeup.protective.as_ref().filter(|pane| pane.dirt.loss > 0.0);
        let faces = [outside, inside].into_iter().flatten().filter(|deposit| deposit.loss > 0.0);
        faces.map(|deposit| deposit.kind).chain(pane.map(|_| DepositKind::Dirt))
    }

    fn deposits(&self) -> Deposits {
        self.written.map(|(window, makeup)| scene::deposits_of(window, makeup)).unwrap_or_default()
    }
}

/// The figures at the place, and the piece's luminance.
const LANES_USED: usize = FIGURES + 1;

/// A piece's light as all figures have it: spectra weighted for X, Y and Z in front, both illuminances at the eye, and its
/// luminance; whole, and of this what was scattered.
struct Lanes {
    light: [Spectrum; LANES_USED],
    scattered: [Spectrum; LANES_USED],
}

impl Lanes {
    fn of(eye: &PieceLight, front: &PieceLight, receiver: usize, weights: &[Spectrum; 3]) -> Self {
        let [x, y, z] = *weights;
        let each = |front: Spectrum, [vertical, horizontal]: [Spectrum; 2], seen: Spectrum| {
            [front * x, front * y, front * z, vertical * y, horizontal * y, seen * y]
        };
        let glows = (eye.ways.scattered[0] + eye.ways.scattered[1]) * std::f64::consts::FRAC_1_PI;
        let scattered = (front.ways.received_scattered[receiver], eye.ways.received_scattered);
        Self {
            light: each(front.received[receiver], eye.received, eye.radiance.unwrap_or_default()),
            scattered: each(scattered.0, scattered.1, glows),
        }
    }

    /// What is left of it without another's.
    fn without(&self, other: &Self) -> Self {
        let less = |one: &[Spectrum; LANES_USED], other: &[Spectrum; LANES_USED]| {
            std::array::from_fn(|k| one[k] - other[k])
        };
        Self { light: less(&self.light, &other.light), scattered: less(&self.scattered, &other.scattered) }
    }

    /// Each figure.
    fn sums(&self) -> [f64; LANES_USED] {
        self.light.each_ref().map(|light| light.samples().iter().sum())
    }

    /// Share of each figure that was scattered.
    fn scattered(&self) -> [f32; LANES] {
        let mut shares = [0.0; LANES];
        for ((share, light), scattered) in shares.iter_mut().zip(&self.light).zip(&self.scattered) {
            let [all, scattered] = [light, scattered].map(|of| of.samples().iter().sum::<f64>());
            if all > 0.0 {
                *share = (scattered / all).clamp(0.0, 1.0) as f32;
            }
        }
        shares
    }
}

/// Each piece's light as the sun is followed apart: what comes without its beam and what the whole beam adds, relative to
/// its figures of `light`.
fn parts(prepared: &Prepared, light: &InstantLight, apart: &SunApart) -> Vec<[Part; 2]> {
    let weights = TristimulusWeights::absolute(Observer::Cie1931);
    let lanes = |light: &InstantLight| -> Vec<Lanes> {
        let (front, receiver) = in_front(prepared, light);
        let pieces = light.pieces.iter().zip(&front.pieces);
        pieces.map(|(eye, front)| Lanes::of(eye, front, receiver, weights.spectra())).collect()
    };
    let [now, rest, all] = [light, &apart.rest, &apart.all].map(lanes);
    let part = |lanes: &Lanes, now: &[f64; LANES_USED]| {
        let (sums, scattered) = (lanes.sums(), lanes.scattered());
        let mut part = Part { share: [0.0; LANES], scattered };
        for k in 0..LANES_USED {
            part.share[k] = if now[k] > 0.0 { (sums[k] / now[k]) as f32 } else { 0.0 };
        }
        part
    };
    let pieces = now.iter().zip(rest.iter().zip(&all));
    pieces
        .map(|(now, (rest, all))| {
            let now = now.sums();
            [part(rest, &now), part(&all.without(rest), &now)]
        })
        .collect()
}

/// The glasses of a piece that scatter.
fn scatter(makeup: &Makeup, glasses: &Glasses) -> Vec<GlassScatter> {
    let of = |plate: &glass::Plate| {
        let factor = *glasses.scatter.get(glasses.number(&plate.glass.id)?)?;
        let scattered = plate.glass.diffuse;
        let times = match scattered.site {
            ScatterSite::Body { reference_mm } => plate.thickness_mm / reference_mm.max(0.1),
            ScatterSite::Surface => 1.0,
        };
        Some(GlassScatter { share: scattered.share, factor: factor?, times, back: scattered.back })
    };
    makeup.plates.iter().filter_map(of).collect()
}
