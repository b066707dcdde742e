//! What is not known of fired paint: density and coverage, partly common to a firing, and the light it scatters.

use std::collections::BTreeMap;

use glass::PaintKind;
use uncertainty::{CauseError, NumberId, Origin, transmittance};

use super::deviations::{COVERAGE_LN, ENAMEL_LN, MATTING_LN, PAINT_SCATTER_LN, STAIN_LN, TRACE_LN};
use super::listed::Listed;
use super::names;
use super::piece::{CoatModel, PaintScatter};

/// Name of a kind of paint, and the standard deviation of its density in a firing.
fn kind(kind: &PaintKind) -> (&'static str, f64) {
    let sd = match kind {
        PaintKind::Trace => TRACE_LN,
        PaintKind::Matting | PaintKind::Measured(_) => MATTING_LN,
        PaintKind::Enamel(_) => ENAMEL_LN,
        PaintKind::Stain(_) => STAIN_LN,
    };
    (names::paint(kind), sd)
}

/// What coats of one kind have in common.
#[derive(Default)]
pub(super) struct Firings {
    density: BTreeMap<(&'static str, u32), NumberId>,
    coverage: BTreeMap<(&'static str, u32), NumberId>,
    scatter: BTreeMap<&'static str, NumberId>,
    /// All ways to scatter.
    pub ways: Vec<PaintScatter>,
}

impl Firings {
    /// A coat of the firing of that number. `own` are the piece's own factors of density and of coverage.
    pub(super) fn coat(
        &mut self,
        paint: &glass::Paint,
        firing: u32,
        own: [NumberId; 2],
        listed: &mut Listed,
    ) -> Result<CoatModel, CauseError> {
        let (name, sd) = kind(&paint.kind);
        let density = match self.density.get(&(name, firing)) {
            Some(known) => *known,
            None => {
                let id =
                    listed.factor(format!("density of {name}, firing {firing}"), sd, Origin::Assumption)?;
                *self.density.entry((name, firing)).or_insert(id)
            }
        };
        let coverage_factors = if is_partial(paint) {
            let common = match self.coverage.get(&(name, firing)) {
                Some(known) => *known,
                None => {
                    let cause = format!("share covered by {name}, firing {firing}");
                    let id = listed.factor(cause, COVERAGE_LN, Origin::Assumption)?;
                    *self.coverage.entry((name, firing)).or_insert(id)
                }
            };
            Some([common, own[1]])
        } else {
            None
        };
        // Within a band an edge lets more light through where it is clearest.
        let passes = transmittance(paint.shape() * paint.density).map(|t| t + 1e-6);
        let shape = super::bands::mean(&paint.shape(), &passes);
        Ok(CoatModel {
            grey: CoatModel::is_grey(&shape, paint.density, coverage_factors.is_some()),
            shape,
            density: paint.density,
            density_factors: [density, own[0]],
            coverage: paint.coverage,
            coverage_factors,
            scatter: self.scatters(paint, listed)?,
        })
    }

    /// How a coat scatters, among all.
    fn scatters(&mut self, paint: &glass::Paint, listed: &mut Listed) -> Result<usize, CauseError> {
        let scatter = PaintScatter {
            share: paint.diffuse_share,
            usual_density: paint.kind.usual_density(),
            factor: self.scatter(paint, listed)?,
        };
        let known = self.ways.iter().position(|known| *known == scatter);
        Ok(known.unwrap_or_else(|| {
            self.ways.push(scatter);
            self.ways.len() - 1
        }))
    }

    /// Factor of the depth by which paint of this kind scatters light.
    fn scatter(&mut self, paint: &glass::Paint, listed: &mut Listed) -> Result<NumberId, CauseError> {
        let (name, _) = kind(&paint.kind);
        match self.scatter.get(name) {
            Some(known) => Ok(*known),
            None => {
                let id = listed.factor(
                    format!("light scattered by {name}"),
                    PAINT_SCATTER_LN,
                    Origin::Assumption,
                )?;
                Ok(*self.scatter.entry(name).or_insert(id))
            }
        }
    }
}

/// Whether a coat covers a part of the piece only.
pub(super) fn is_partial(paint: &glass::Paint) -> bool {
    paint.coverage < 1.0
}
