//! What every part of every piece transmits: beside its strokes, under them, and in front of a bar.

use glass::{Lobe, Makeup, PaintKind, Prepared};
use scene::ResolvedPiece;
use spectra::Spectrum;

use crate::glazing::optics::{Factors, Transmittance};
use crate::glazing::sheet::makeup_at;

/// The first number of a part that is not a whole piece; greater than the number of pieces a window may have.
const FIRST_PART: usize = 1 << 20;
/// Numbers reserved for each piece: one in front of a bar, and one under each of at most 32 paints.
const PARTS: usize = 33;

/// A part of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// Away from all strokes.
    Bare,
    /// In front of a bar. The bar stops the regular light; the diffuse glow stays.
    BeforeBar,
    /// Under the strokes of a paint.
    UnderStrokes(usize),
}

impl Part {
    /// The number of this part of a piece in a model; for a whole piece, its index.
    pub(crate) fn number(self, piece: usize) -> usize {
        match self {
            Self::Bare => piece,
            Self::BeforeBar => FIRST_PART + piece * PARTS,
            Self::UnderStrokes(paint) => FIRST_PART + piece * PARTS + 1 + paint,
        }
    }

    /// The number of the same part of another piece.
    pub(crate) fn renumbered(number: usize, piece: usize) -> usize {
        Self::from_number(number).1.number(piece)
    }

    fn from_number(number: usize) -> (usize, Self) {
        match number.checked_sub(FIRST_PART) {
            None => (number, Self::Bare),
            Some(part) => match part % PARTS {
                0 => (part / PARTS, Self::BeforeBar),
                paint => (part / PARTS, Self::UnderStrokes(paint - 1)),
            },
        }
    }
}

/// The pieces of a window, prepared for any angle, thickness and density.
#[derive(Clone, Debug)]
pub(crate) struct Glazing {
    pieces: Vec<Glazed>,
}

#[derive(Clone, Debug)]
struct Glazed {
    /// With every paint spread evenly over its coverage, as in the computed figures.
    whole: Layers,
    /// Without the paints that are drawn as strokes.
    bare: Layers,
    strokes: Vec<Stroked>,
    /// Whether each paint follows the picture's paint factor. Matting does; if some matting fades, only that
    /// matting does.
    varies: Vec<bool>,
}

#[derive(Clone, Debug)]
struct Stroked {
    paint: usize,
    coverage: f64,
    /// The layers under the strokes.
    under: Layers,
}

/// A make-up, and the same prepared for many angles.
#[derive(Clone, Debug)]
struct Layers {
    makeup: Makeup,
    plain: Prepared,
    lobe: Lobe,
}

impl Layers {
    fn new(makeup: Makeup) -> Self {
        let plain = makeup.prepare();
        Self { lobe: plain.lobe(), plain, makeup }
    }
}

impl Glazed {
    fn new(piece: &ResolvedPiece) -> Self {
        let drawn: Vec<bool> = piece.brushwork.iter().map(|work| !work.lines.is_empty()).collect();
        let is_drawn = |k: usize| drawn.get(k).copied().unwrap_or(false);
        let with = |only: Option<usize>| {
            let mut makeup: Makeup = piece.makeup.clone();
            for (k, paint) in makeup.paints.iter_mut().enumerate().filter(|(k, _)| is_drawn(*k)) {
                paint.coverage = if only == Some(k) { 1.0 } else { 0.0 };
            }
            Layers::new(makeup)
        };
        let paints = || piece.makeup.paints.iter().enumerate();
        let matting = |k: usize| piece.makeup.paints[k].kind == PaintKind::Matting;
        let fades = |k: usize| piece.brushwork.get(k).is_some_and(|work| work.fade_mm > 0.0);
        let any_fades = paints().any(|(k, _)| matting(k) && fades(k));
        let strokes = paints().filter(|(k, _)| is_drawn(*k)).map(|(k, paint)| Stroked {
            paint: k,
            coverage: paint.coverage,
            under: with(Some(k)),
        });
        Self {
            whole: Layers::new(piece.makeup.clone()),
            bare: with(None),
            strokes: strokes.collect(),
            varies: paints().map(|(k, _)| matting(k) && (fades(k) || !any_fades)).collect(),
        }
    }

    fn transmittance(&self, part: Part, at: Factors, angle_deg: f64) -> Transmittance {
        let factors: Vec<f64> =
            self.varies.iter().map(|varies| if *varies { at.paint } else { 1.0 }).collect();
        let of = |layers: &Layers| {
            let scaled = |p: &Prepared| p.inward_by_paint(angle_deg, at.thickness, &factors);
            let inward = if at.mix.abs() > 0.0 {
                scaled(&makeup_at(&layers.makeup, at.mix).prepare())
            } else {
                scaled(&layers.plain)
            };
            Transmittance {
                regular: inward.regular_transmittance,
                diffuse: inward.diffuse_transmittance,
                lobe: layers.lobe,
            }
        };
        let bare = of(&self.bare);
        let mut found = match part {
            Part::Bare => bare,
            Part::BeforeBar => Transmittance { regular: Spectrum::ZERO, ..bare },
            // Found below.
            Part::UnderStrokes(_) => NOTHING,
        };
        if self.strokes.is_empty() {
            return found;
        }
        // Over glass that scatters, strokes also darken their surroundings. Scaling makes the piece's mean equal to
        // that of the whole make-up.
        let whole = of(&self.whole);
        let mut mean = bare;
        for stroked in &self.strokes {
            let under = of(&stroked.under);
            if part == Part::UnderStrokes(stroked.paint) {
                found = under;
            }
            let mixed = |a: Spectrum, b: Spectrum| a * (1.0 - stroked.coverage) + b * stroked.coverage;
            mean = Transmittance {
                regular: mixed(mean.regular, under.regular),
                diffuse: mixed(mean.diffuse, under.diffuse),
                lobe: mean.lobe,
            };
        }
        Transmittance {
            regular: balanced(found.regular, whole.regular, mean.regular),
            diffuse: balanced(found.diffuse, whole.diffuse, mean.diffuse),
            lobe: found.lobe,
        }
    }
}

/// `part` scaled by the factor that turns `mean` into `whole`.
fn balanced(part: Spectrum, whole: Spectrum, mean: Spectrum) -> Spectrum {
    let mut out = part;
    for (k, slot) in out.samples_mut().iter_mut().enumerate() {
        if mean[k] > 0.0 {
            *slot *= whole[k] / mean[k];
        }
    }
    out
}

const NOTHING: Transmittance =
    Transmittance { regular: Spectrum::ZERO, diffuse: Spectrum::ZERO, lobe: Lobe::NONE };

impl Glazing {
    pub(crate) fn new(pieces: &[ResolvedPiece]) -> Self {
        Self { pieces: pieces.iter().map(Glazed::new).collect() }
    }

    /// Updates the pieces of a window after an edit. `kept`: for each piece, the index of the equal piece before.
    pub(crate) fn follow(&mut self, pieces: &[ResolvedPiece], kept: &[Option<usize>]) {
        let mut before: Vec<Option<Glazed>> =
            std::mem::take(&mut self.pieces).into_iter().map(Some).collect();
        let glazed = |(piece, kept): (&ResolvedPiece, &Option<usize>)| {
            let same = kept.and_then(|k| before.get_mut(k)?.take());
            same.unwrap_or_else(|| Glazed::new(piece))
        };
        self.pieces = pieces.iter().zip(kept).map(glazed).collect();
    }

    /// Sets a piece's new make-up.
    pub(crate) fn set(&mut self, index: usize, piece: &ResolvedPiece) {
        if let Some(slot) = self.pieces.get_mut(index) {
            *slot = Glazed::new(piece);
        }
    }

    /// Transmittance of the part with this number, by factors and angle in degrees.
    pub(crate) fn transmittance(&self, number: usize, factors: Factors, angle_deg: f64) -> Transmittance {
        let (piece, part) = Part::from_number(number);
        self.pieces.get(piece).map_or(NOTHING, |p| p.transmittance(part, factors, angle_deg))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_has_a_number_of_its_own() {
        let parts = [Part::Bare, Part::BeforeBar, Part::UnderStrokes(0), Part::UnderStrokes(31)];
        let mut numbers: Vec<usize> = [0, 1, 19_999]
            .iter()
            .flat_map(|piece| {
                parts.map(|part| {
                    let number = part.number(*piece);
                    assert_eq!(Part::from_number(number), (*piece, part));
                    number
                })
            })
            .collect();
        sorting::values(&mut numbers);
        numbers.dedup();
        assert_eq!(numbers.len(), 12);
    }
}
