//! Changes to dirt and corrosion: of single pieces, which may differ from their window, and of the whole window.

use crate::document::{Deposit, DepositKind, Face, Makeup, Window};
use crate::edit::Edit;
use crate::glazing::deposits_of;
use crate::scatter_change::Scattering;

/// Dirt that is added without further words.
const USUAL: Deposit = Deposit {
    kind: DepositKind::Dirt,
    loss: glass::Dirt::USUAL.loss,
    scatters: None,
    lobe: None,
    source: String::new(),
};

/// What a change states of a deposit; the rest stays.
pub(crate) struct Stated<'a> {
    pub(crate) kind: Option<DepositKind>,
    pub(crate) loss: Option<f64>,
    pub(crate) scatters: Option<f64>,
    pub(crate) source: Option<&'a String>,
}

/// The make-up with usual dirt on a face; `None` if something lies on it already.
pub(crate) fn with_dirt(window: &Window, makeup: &Makeup, face: Face) -> Option<Makeup> {
    let clean = deposits_of(window, makeup).on(face).is_none();
    clean.then(|| with(makeup, face, Some(USUAL)))
}

/// The make-up with another deposit on a face, its own from then on; `None` if nothing lies there, neither of its own nor
/// of its window.
pub(crate) fn changed(window: &Window, makeup: &Makeup, face: Face, stated: &Stated<'_>) -> Option<Makeup> {
    let before = deposits_of(window, makeup);
    let found = before.on(face)?;
    let deposit = Deposit {
        kind: stated.kind.unwrap_or(found.kind),
        loss: stated.loss.unwrap_or(found.loss),
        scatters: stated.scatters.or(found.scatters),
        lobe: found.lobe.clone(),
        source: stated.source.unwrap_or(&found.source).clone(),
    };
    Some(other(makeup, face, found, deposit))
}

/// The same with another way to scatter.
pub(crate) fn scattering(
    window: &Window,
    makeup: &Makeup,
    face: Face,
    stated: &Scattering,
) -> Option<Makeup> {
    let before = deposits_of(window, makeup);
    let found = before.on(face)?;
    let deposit = Deposit {
        scatters: stated.share(found.scatters),
        lobe: stated.lobe(found.lobe.as_deref()),
        ..found.clone()
    };
    Some(other(makeup, face, found, deposit))
}

/// What says the same as the window goes on following it.
fn other(makeup: &Makeup, face: Face, found: &Deposit, deposit: Deposit) -> Makeup {
    if deposit == *found { makeup.clone() } else { with(makeup, face, Some(deposit)) }
}

/// The make-up without a deposit of its own on a face.
pub(crate) fn as_window(makeup: &Makeup, face: Face) -> Makeup {
    with(makeup, face, None)
}

fn with(makeup: &Makeup, face: Face, deposit: Option<Deposit>) -> Makeup {
    let mut makeup = makeup.clone();
    *makeup.deposits.on_mut(face) = deposit;
    makeup
}

/// The edits that set what lies on a face of a whole window, so that no piece has a deposit of its own there, and how many
/// pieces they change.
pub(crate) fn everywhere(window: &Window, face: Face, deposit: Option<&Deposit>) -> (Vec<Edit>, usize) {
    let mut deposits = window.deposits.clone();
    *deposits.on_mut(face) = deposit.cloned();
    let mut edits = Vec::new();
    let mut pieces = 0;
    if deposits != window.deposits {
        edits.push(Edit::SetDeposits { window: window.id.clone(), deposits });
    }
    for piece in &window.pieces {
        pieces += usize::from(deposits_of(window, &piece.makeup).on(face) != deposit);
        if piece.makeup.deposits.on(face).is_some() {
            let makeup = as_window(&piece.makeup, face);
            edits.push(Edit::SetMakeup { window: window.id.clone(), piece: piece.id, makeup });
        }
    }
    (edits, pieces)
}
