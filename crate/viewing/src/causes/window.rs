//! The causes in a window, piece by piece.

use glass::{Makeup, ScatterSite};
use scene::{Resolved, ResolvedPiece, ResolvedWindow};
use uncertainty::{CauseError, Draw, NumberId, Origin};

use super::deviations::{
    COVERAGE_OWN_LN, DIRT, DIRT_OF_STATED, ETCHED, PAINT_OWN_LN, PROTECTIVE_MM, SHEET_SHARE, STREAK_MIX,
};
use super::fired::{Firings, is_partial};
use super::glass_causes::Glasses;
use super::listed::Listed;
use super::names::{plus_minus, plus_minus_between};
use super::piece::{GlassDrawn, PieceModel, PlateModel, ScatterModel};
use super::sheets::{Sheets, is_etched, thickness_deviation};
use crate::glazing::Pane;

/// Sample at 560 nm.
const GREEN: usize = 36;

/// Everything in the windows that is not known exactly.
pub(super) struct WindowModel {
    pub glasses: Glasses,
    /// In the order of `WindowWall::pieces`.
    pub pieces: Vec<PieceModel>,
    pub front: Option<FrontPane>,
    #[cfg(test)]
    firings: Firings,
}

/// The protective pane, the same before all pieces.
pub(super) struct FrontPane {
    pub loss: f64,
    /// What is added to the loss.
    pub dirt: NumberId,
    /// Absorbance at 560 nm, where the eye sees best.
    pub per_mm: f64,
    /// Deviation of its thickness, mm.
    pub thickness: NumberId,
}

impl FrontPane {
    /// Share of the light that dirt takes, in a draw.
    pub(super) fn loss_at(&self, draw: &Draw) -> f64 {
        (self.loss + draw.number(self.dirt)).clamp(0.0, 0.95)
    }

    /// What it passes in a draw over what it passes at the centre. It is clear, so that one number stands for all
    /// wavelengths.
    pub(super) fn passed(&self, draw: &Draw) -> f64 {
        let dirt = (1.0 - self.loss_at(draw)) / (1.0 - self.loss).max(0.05);
        dirt * 10f64.powf(-self.per_mm * draw.number(self.thickness))
    }
}

/// Numbers that each piece has for itself, handed out one by one.
struct Own {
    thickness: std::vec::IntoIter<NumberId>,
    mix: std::vec::IntoIter<NumberId>,
    etched: std::vec::IntoIter<NumberId>,
    density: std::vec::IntoIter<NumberId>,
    coverage: std::vec::IntoIter<NumberId>,
}

impl Own {
    fn new(makeups: &[&Makeup], listed: &mut Listed) -> Result<Self, CauseError> {
        let plates = || makeups.iter().flat_map(|m| &m.plates);
        let paints = || makeups.iter().flat_map(|m| &m.paints);
        let deviations = plates().map(|p| thickness_deviation(p.thickness_mm, p.glass.thickness).0);
        let (least, most) = deviations.fold((f64::INFINITY, 0.0), |(least, most): (f64, f64), sd| {
            let own = sd * (1.0 - SHEET_SHARE).sqrt();
            (least.min(own), most.max(own))
        });
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
    /// The causes of `resolved`, added to `listed`. `panes` and `paths` are those of the pieces in their order.
    pub(super) fn new<'a>(
        resolved: &Resolved,
        panes: impl Iterator<Item = (&'a Pane, f64)>,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let all: Vec<(&ResolvedWindow, &ResolvedPiece)> =
            resolved.windows.iter().flat_map(|w| w.pieces.iter().map(move |p| (w, p))).collect();
        let makeups: Vec<&Makeup> = all.iter().map(|(_, piece)| &piece.makeup).collect();
        let used = makeups.iter().flat_map(|m| m.plates.iter().map(|plate| &plate.glass));
        let glasses = Glasses::new(&resolved.scene, used, listed)?;
        let mut own = Own::new(&makeups, listed)?;
        let (mut sheets, mut firings) = (Sheets::default(), Firings::default());
        let mut pieces = Vec::with_capacity(all.len());
        for ((window, piece), (pane, path)) in all.into_iter().zip(panes) {
            let written = Written::of(resolved, window, piece);
            let mut model = PieceModel { plates: Vec::new(), coats: Vec::new(), scatter: None, path };
            for (place, plate) in piece.makeup.plates.iter().enumerate() {
                let Some(glass) = glasses.number(&plate.glass.id) else { continue };
                let Some(id) = own.thickness.next() else { continue };
                let sheet = written.sheets.get(place).copied().unwrap_or_default();
                let thickness = sheets.thickness(plate, sheet, id, listed)?;
                let flash = sheets.flash(plate, sheet, || own.etched.next(), listed)?;
                let mix = plate.glass.streak.and_then(|_| Some((plate.streak_mix, own.mix.next()?)));
                model.plates.push(PlateModel { glass, thickness, flash, mix });
            }
            for (place, paint) in piece.makeup.paints.iter().enumerate() {
                let Some(density) = own.density.next() else { continue };
                let coverage = if is_partial(paint) { own.coverage.next() } else { None };
                let firing = written.firings.get(place).copied().unwrap_or(1);
                model.coats.push(firings.coat(
                    paint,
                    firing,
                    [density, coverage.unwrap_or(density)],
                    listed,
                )?);
            }
            model.scatter = scatter(&piece.makeup, pane, &glasses, &mut firings, listed)?;
            pieces.push(model);
        }
        let front = match makeups.iter().find_map(|m| m.protective.as_ref()) {
            Some(pane) => {
                let sd = DIRT + DIRT_OF_STATED * pane.dirt.loss;
                let name = "dirt on the protective glazing, share of light lost".to_owned();
                let dirt = listed.added(name, sd, plus_minus(sd, ""), Origin::Assumption)?;
                let name = "thickness of the protective glazing".to_owned();
                let spread = plus_minus(PROTECTIVE_MM, " mm");
                let thickness = listed.added(name, PROTECTIVE_MM, spread, Origin::CommonPractice)?;
                Some(FrontPane {
                    loss: pane.dirt.loss,
                    dirt,
                    per_mm: pane.glass.base.spectrum()[GREEN],
                    thickness,
                })
            }
            None => None,
        };
        Ok(Self {
            glasses,
            pieces,
            front,
            #[cfg(test)]
            firings,
        })
    }

    /// Factor of the share of light that a kind of paint scatters.
    #[cfg(test)]
    pub(super) fn paint_scatter(&self, kind: &glass::PaintKind) -> Option<NumberId> {
        self.firings.scatter_of(kind)
    }

    /// All glasses in a draw.
    pub(super) fn glasses_at(&self, draw: &Draw) -> Vec<GlassDrawn> {
        self.glasses.models.iter().map(|glass| glass.at(draw)).collect()
    }
}

/// What the document says of a piece and the optics do not.
#[derive(Default)]
struct Written {
    /// The sheet of each plate.
    sheets: Vec<u32>,
    /// The firing of each paint, in the order of the optics' paints.
    firings: Vec<u32>,
}

impl Written {
    fn of(resolved: &Resolved, window: &ResolvedWindow, piece: &ResolvedPiece) -> Self {
        let windows = &resolved.scene.windows;
        let Some(entry) = windows.iter().find(|w| w.id == window.id).and_then(|w| w.pieces.get(piece.entry))
        else {
            return Self::default();
        };
        let mut firings: Vec<u32> = entry.makeup.paint.iter().map(|paint| paint.firing).collect();
        firings.sort_unstable();
        Self { sheets: entry.makeup.plates.iter().map(|plate| plate.sheet).collect(), firings }
    }
}

/// The causes of what a piece scatters, weighted by how much each of them does.
fn scatter(
    makeup: &Makeup,
    pane: &Pane,
    glasses: &Glasses,
    firings: &mut Firings,
    listed: &mut Listed,
) -> Result<Option<ScatterModel>, CauseError> {
    let [regular, diffuse] =
        [pane.optics.regular(1.0), pane.optics.diffuse(1.0)].map(|t| spectra::luminous(&t));
    if diffuse <= 0.0 {
        return Ok(None);
    }
    let (mut causes, mut back) = (Vec::new(), 0.0);
    for plate in &makeup.plates {
        let scattered = plate.glass.diffuse;
        let of =
            glasses.number(&plate.glass.id).and_then(|glass| glasses.scatter.get(glass).copied().flatten());
        if let Some(id) = of {
            let depth = match scattered.site {
                ScatterSite::Body { reference_mm } => plate.thickness_mm / reference_mm.max(0.1),
                ScatterSite::Surface => 1.0,
            };
            let share = (scattered.share * depth).min(1.0);
            causes.push((id, share));
            back += share * scattered.back;
        }
    }
    for paint in &makeup.paints {
        // What is stopped is not scattered: an opaque line counts for next to nothing.
        let depth = paint.density / paint.kind.usual_density().max(0.01);
        let weight = paint.diffuse_share * paint.coverage * depth * 10f64.powf(-paint.density);
        if weight > 0.0 {
            causes.push((firings.scatter(paint, listed)?, weight.min(1.0)));
        }
    }
    let total: f64 = causes.iter().map(|(_, weight)| weight).sum();
    if total <= 0.0 {
        return Ok(None);
    }
    causes.iter_mut().for_each(|(_, weight)| *weight /= total);
    Ok(Some(ScatterModel { share: diffuse / (regular + diffuse), back: back.min(0.9), causes }))
}
