//! What is not known of the faces of the glass and of the panes before it: dirt and corrosion, protective glazing. Each
//! window has its own.

use std::collections::BTreeMap;

use glass::{Makeup, Protective};
use scene::{Deposit, Deposits, Face};
use uncertainty::{CauseError, NumberId, Origin};

use super::deviations::{DIRT, DIRT_OF_STATED, PROTECTIVE_MM};
use super::listed::Listed;
use super::names::plus_minus;
use super::piece::DirtModel;

/// Sample at 560 nm.
const GREEN: usize = 36;

/// A deposit that pieces have in common: window, face, share of light lost and scattered as bits.
type DepositOf = (usize, usize, u64, u64);

/// What faces and panes have in common.
#[derive(Default)]
pub(super) struct Faces {
    deposits: BTreeMap<DepositOf, NumberId>,
    panes: BTreeMap<usize, (NumberId, NumberId)>,
}

/// What lies before and on a piece.
#[derive(Default)]
pub(super) struct FacesOf {
    /// On the protective pane, on the weather face, on the room face.
    pub dirt: [Option<DirtModel>; 3],
    /// The protective pane: absorbance per mm, and what is added to its thickness, mm.
    pub front: Option<(f64, NumberId)>,
}

impl Faces {
    /// Of a piece in window number `window`, which has this name; `written` is what the document says of its faces.
    pub(super) fn of(
        &mut self,
        (window, name): (usize, &str),
        makeup: &Makeup,
        written: &Deposits,
        listed: &mut Listed,
    ) -> Result<FacesOf, CauseError> {
        let mut of = FacesOf::default();
        if let Some(pane) = &makeup.protective {
            let (dirt, thickness) = self.pane(window, name, pane, listed)?;
            let Protective { dirt: glass::Dirt { loss, diffuse_share, .. }, glass, .. } = pane;
            of.dirt[0] = Some(DirtModel { loss: *loss, added: dirt, scattered: *diffuse_share });
            of.front = Some((glass.base.spectrum()[GREEN], thickness));
        }
        for (place, (face, dirt, words)) in [
            (Face::Outside, makeup.deposits.outside, "weather"),
            (Face::Inside, makeup.deposits.inside, "room"),
        ]
        .into_iter()
        .enumerate()
        {
            let Some(Deposit { kind, .. }) = written.on(face).filter(|deposit| deposit.loss > 0.0) else {
                continue;
            };
            let key = (window, place, dirt.loss.to_bits(), dirt.diffuse_share.to_bits());
            let added = match self.deposits.get(&key) {
                Some(known) => *known,
                None => {
                    let what = kind.name();
                    let lost = 100.0 * dirt.loss;
                    let name =
                        format!("{what} on the {words} face of {name} that takes {lost:.0} % of the light");
                    let id = lost_light(name, dirt.loss, listed)?;
                    *self.deposits.entry(key).or_insert(id)
                }
            };
            of.dirt[1 + place] = Some(DirtModel { loss: dirt.loss, added, scattered: dirt.diffuse_share });
        }
        Ok(of)
    }

    fn pane(
        &mut self,
        window: usize,
        name: &str,
        pane: &Protective,
        listed: &mut Listed,
    ) -> Result<(NumberId, NumberId), CauseError> {
        if let Some(known) = self.panes.get(&window) {
            return Ok(*known);
        }
        let dirt = lost_light(format!("dirt on the protective glazing of {name}"), pane.dirt.loss, listed)?;
        let words = format!("thickness of the protective glazing of {name}");
        let spread = plus_minus(PROTECTIVE_MM, " mm");
        let thickness = listed.added(words, PROTECTIVE_MM, spread, Origin::CommonPractice)?;
        Ok(*self.panes.entry(window).or_insert((dirt, thickness)))
    }
}

fn lost_light(name: String, loss: f64, listed: &mut Listed) -> Result<NumberId, CauseError> {
    let sd = DIRT + DIRT_OF_STATED * loss;
    listed.added(name, sd, plus_minus(sd, " of the light"), Origin::Assumption)
}
