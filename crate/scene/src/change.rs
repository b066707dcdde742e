//! Changes to what pieces are made of, expressed so that one change means the same for every selected piece.
//!
//! Plates are counted **from the inside**: 0 is the plate toward the room, whose glass names the piece. That
//! plate thus has the same number in single and in plated pieces.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::apply::EditError;
use crate::copied::{self, USUAL_TRACE_SHARE};
use crate::deposited::{self, Stated};
use crate::document::{
    Deposit, DepositKind, Face, Gap, Makeup, Paint, PaintKind, Pigment, Plate, Scene, StainTone,
    USUAL_STIPPLE, Window,
};
use crate::edit::Edit;
use crate::glazing::find_glass;
use crate::layers::{Layer, layers};
use crate::moves::{moved, name_of};
use crate::numbered::find;
use crate::scatter_change::{self, Scattering};

/// One change to what pieces are made of.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(tag = "change", rename_all = "snake_case", deny_unknown_fields)]
#[expect(missing_docs, reason = "the fields are the document's own")]
pub enum Change {
    /// Replaces the glass of a plate. Etching is kept only if the new glass is flashed too.
    Glass { plate: usize, glass: String },
    /// Sets the thickness of a plate.
    Thickness { plate: usize, thickness_mm: f64 },
    /// Sets the sheet that a plate is cut from.
    Sheet { plate: usize, sheet: u32 },
    /// Etches or abrades the flash to this share of it.
    FlashLeft { plate: usize, flash_left: f64 },
    /// Sets the side that the flash is on.
    FlashFace { plate: usize, face: Face },
    /// Adds a plate, in front (outside) or behind (inside); three at most.
    AddPlate { side: Face, glass: String, thickness_mm: f64 },
    /// Removes a plate with its paint. The last plate cannot be removed.
    RemovePlate { plate: usize },
    /// Sets what lies between plates.
    Gap { gap: Gap },
    /// Adds a layer of paint with the usual settings, in a firing after all the others.
    AddPaint { kind: PaintKind },
    /// Removes a layer of paint.
    RemovePaint { paint: Layer },
    /// Changes a layer of paint. What is not given stays the same.
    Paint {
        paint: Layer,
        kind: Option<PaintKind>,
        density: Option<f64>,
        coverage: Option<f64>,
        pigment: Option<Pigment>,
        firing: Option<u32>,
        face: Option<Face>,
        plate: Option<usize>,
    },
    /// Changes how a layer of paint, dirt or corrosion, or glass of the scene's own scatters; the glass changes wherever it is
    /// used. What is not given stays the same, or with `usual` is as usual again.
    Scattering {
        layer: Layer,
        /// Share of the passing light that it scatters, 0–1.
        scatters: Option<f64>,
        /// Share of the scattered light that stays near its old direction, 0–1.
        forwards: Option<f64>,
        /// Angle from there at which that light has half its radiance.
        half_width_deg: Option<f64>,
        #[serde(default)]
        usual: bool,
    },
    /// Adds usual dirt to a face on which nothing lies.
    AddDeposit { face: Face },
    /// Changes dirt or corrosion on a face of the piece, which then differs from its window there. What is not given stays
    /// the same.
    Deposit {
        face: Face,
        kind: Option<DepositKind>,
        loss: Option<f64>,
        scatters: Option<f64>,
        source: Option<String>,
    },
    /// Makes dirt or corrosion on a face that of the window again.
    DepositAsWindow { face: Face },
    /// Sets dirt or corrosion on a face of the whole window; `null`: clean. No piece of the window, selected or not, then has
    /// any of its own there.
    DepositEverywhere { face: Face, deposit: Option<Deposit> },
    /// Moves a plate or a layer of paint one place outward or inward; with `past`, until it lies beyond that
    /// layer.
    Move { layer: Layer, toward: Face, past: Option<Layer> },
    /// Replaces the make-up by one copied from another piece. Strokes belong to their piece: those copied are left out, and
    /// what is drawn on the piece stays. A layer of copied strokes covers its `drawn_share` evenly if nothing of its kind
    /// is drawn on the piece: for each layer of paint, the share of its own piece that its strokes cover, 0–1.
    Makeup {
        makeup: Makeup,
        #[serde(default)]
        drawn_share: Vec<Option<f64>>,
    },
}

/// The result of a change.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Changed {
    /// The edit that makes the change, one for all the pieces.
    pub edit: Edit,
    /// The key of the changed layer after the edit; `None` if it was removed.
    pub layer: Option<Layer>,
    /// How many pieces changed: of all windows, if a glass of the scene's own did.
    pub pieces: usize,
    /// After [`Change::Makeup`], how many of these pieces keep what is drawn on them; otherwise 0.
    pub strokes_kept: usize,
    /// After [`Change::Makeup`], how many of these pieces have an even layer in place of copied strokes; otherwise 0.
    pub strokes_left_out: usize,
}

impl Changed {
    fn new(edit: Edit, layer: Option<Layer>, pieces: usize) -> Self {
        Self { edit, layer, pieces, strokes_kept: 0, strokes_left_out: 0 }
    }
}

/// Most plates of a make-up.
const MOST_PLATES: usize = 3;
/// Highest number of a firing, as in the schema.
const LAST_FIRING: u32 = 20;

/// The edit that makes a change in each of these pieces of a window; `None` if it changes nothing in any of
/// them. Pieces without the layer are left unchanged.
///
/// # Errors
/// The window or a piece does not exist.
pub fn change_pieces(
    scene: &Scene,
    window: &str,
    pieces: &[u32],
    change: &Change,
) -> Result<Option<Changed>, EditError> {
    let found = window_of(scene, window)?;
    let unknown = pieces.iter().find(|id| find(&found.pieces, **id).is_none());
    if let Some(&piece) = unknown {
        return Err(EditError::NoPiece { window: window.to_owned(), piece });
    }
    if let Change::DepositEverywhere { face, deposit } = change {
        let (edits, pieces) = deposited::everywhere(found, *face, deposit.as_ref());
        let layer = deposit.is_some().then_some(Layer::Deposit { face: *face });
        return Ok(one_edit(edits).map(|edit| Changed::new(edit, layer, pieces)));
    }
    if let Change::Scattering {
        layer: layer @ Layer::Plate { plate },
        scatters,
        forwards,
        half_width_deg,
        usual,
    } = *change
    {
        let stated = Scattering { scatters, forwards, half_width_deg, usual };
        let glass_of = |id: &u32| {
            let plates = &find(&found.pieces, *id)?.makeup.plates;
            plates.get(plates.len().checked_sub(plate + 1)?).map(|plate| plate.glass.as_str())
        };
        let edits = scatter_change::of_glasses(scene, pieces.iter().filter_map(glass_of), &stated);
        let pieces = scatter_change::pieces_of(scene, &edits);
        return Ok(one_edit(edits).map(|edit| Changed::new(edit, Some(layer), pieces)));
    }
    let mut edits = Vec::new();
    let mut layer = None;
    let (mut strokes_kept, mut strokes_left_out) = (0, 0);
    for &id in pieces {
        let Some(piece) = find(&found.pieces, id) else { continue };
        let Some((makeup, now)) = changed(scene, found, &piece.makeup, change) else { continue };
        if makeup != piece.makeup {
            layer = layer.or(now);
            if let Change::Makeup { makeup: copied, .. } = change {
                let (kept, left_out) = copied::strokes_of(copied, &makeup);
                strokes_kept += usize::from(kept);
                strokes_left_out += usize::from(left_out);
            }
            edits.push(Edit::SetMakeup { window: window.to_owned(), piece: id, makeup });
        }
    }
    let pieces = edits.len();
    let changed = |edit| Changed { strokes_kept, strokes_left_out, ..Changed::new(edit, layer, pieces) };
    Ok(one_edit(edits).map(changed))
}

/// How many pieces have a glass in one of their plates, in one window or in all.
///
/// # Errors
/// The window does not exist.
pub fn pieces_with_glass(scene: &Scene, glass: &str, window: Option<&str>) -> Result<usize, EditError> {
    let windows = windows_of(scene, window)?;
    let has = |makeup: &Makeup| makeup.plates.iter().any(|plate| plate.glass == glass);
    Ok(windows.iter().flat_map(|w| &w.pieces).filter(|piece| has(&piece.makeup)).count())
}

/// The edit that replaces a glass wherever it is used, in one window or in all. Thickness and sheet stay.
/// `None` if it is not used.
///
/// # Errors
/// The window does not exist.
pub fn replace_glass(
    scene: &Scene,
    from: &str,
    to: &str,
    window: Option<&str>,
) -> Result<Option<Changed>, EditError> {
    let mut edits = Vec::new();
    for window in windows_of(scene, window)? {
        for piece in &window.pieces {
            let mut makeup = piece.makeup.clone();
            for plate in makeup.plates.iter_mut().filter(|plate| plate.glass == from) {
                set_glass(scene, plate, to);
            }
            if makeup != piece.makeup {
                edits.push(Edit::SetMakeup { window: window.id.clone(), piece: piece.id, makeup });
            }
        }
    }
    let pieces = edits.len();
    Ok(one_edit(edits).map(|edit| Changed::new(edit, None, pieces)))
}

fn one_edit(mut edits: Vec<Edit>) -> Option<Edit> {
    if edits.len() > 1 { Some(Edit::Together { edits }) } else { edits.pop() }
}

fn window_of<'a>(scene: &'a Scene, id: &str) -> Result<&'a Window, EditError> {
    scene.windows.iter().find(|w| w.id == id).ok_or_else(|| EditError::NoWindow(id.to_owned()))
}

fn windows_of<'a>(scene: &'a Scene, window: Option<&str>) -> Result<Vec<&'a Window>, EditError> {
    match window {
        Some(id) => Ok(vec![window_of(scene, id)?]),
        None => Ok(scene.windows.iter().collect()),
    }
}

fn set_glass(scene: &Scene, plate: &mut Plate, glass: &str) {
    glass.clone_into(&mut plate.glass);
    if find_glass(scene, glass).is_none_or(|glass| glass.flash.is_none()) {
        (plate.flash_left, plate.flash_face) = (1.0, Face::Inside);
    }
}

/// The make-up after a change and the changed layer's key in it; `None` if the change does not apply.
fn changed(
    scene: &Scene,
    window: &Window,
    before: &Makeup,
    change: &Change,
) -> Option<(Makeup, Option<Layer>)> {
    let mut makeup = before.clone();
    let index = |from_inside: usize| before.plates.len().checked_sub(from_inside + 1);
    let find = |layer: &Layer| layers(scene, before).into_iter().find(|at| at.layer == *layer);
    let paint_index = |layer: &Layer| find(layer).and_then(|at| at.paint);
    let layer = match change {
        Change::Glass { plate, glass } => {
            set_glass(scene, makeup.plates.get_mut(index(*plate)?)?, glass);
            Some(Layer::Plate { plate: *plate })
        }
        Change::Thickness { plate, thickness_mm } => {
            makeup.plates.get_mut(index(*plate)?)?.thickness_mm = *thickness_mm;
            Some(Layer::Plate { plate: *plate })
        }
        Change::Sheet { plate, sheet } => {
            makeup.plates.get_mut(index(*plate)?)?.sheet = *sheet;
            Some(Layer::Plate { plate: *plate })
        }
        Change::FlashLeft { plate, flash_left } => {
            find(&Layer::Flash { plate: *plate })?;
            makeup.plates.get_mut(index(*plate)?)?.flash_left = *flash_left;
            Some(Layer::Flash { plate: *plate })
        }
        Change::FlashFace { plate, face } => {
            find(&Layer::Flash { plate: *plate })?;
            makeup.plates.get_mut(index(*plate)?)?.flash_face = *face;
            Some(Layer::Flash { plate: *plate })
        }
        Change::AddPlate { side, glass, thickness_mm } => {
            if makeup.plates.len() >= MOST_PLATES {
                return None;
            }
            let added = Plate {
                glass: glass.clone(),
                thickness_mm: *thickness_mm,
                thickness_sd_mm: None,
                sheet: 0,
                flash_left: 1.0,
                flash_face: Face::Inside,
            };
            if *side == Face::Outside {
                makeup.plates.insert(0, added);
                makeup.paint.iter_mut().for_each(|paint| paint.plate += 1);
                Some(Layer::Plate { plate: makeup.plates.len() - 1 })
            } else {
                makeup.plates.push(added);
                Some(Layer::Plate { plate: 0 })
            }
        }
        Change::RemovePlate { plate } => {
            let gone = index(*plate)?;
            if makeup.plates.len() < 2 {
                return None;
            }
            makeup.plates.remove(gone);
            makeup.paint.retain(|paint| paint.plate != gone);
            makeup.paint.iter_mut().filter(|paint| paint.plate > gone).for_each(|paint| paint.plate -= 1);
            None
        }
        Change::Gap { gap } => {
            if makeup.plates.len() < 2 {
                return None;
            }
            makeup.gap = *gap;
            Some(Layer::Gap { plate: 0 })
        }
        Change::AddPaint { kind } => {
            makeup.paint.push(usual_paint(*kind, &makeup));
            name_of(scene, &makeup, makeup.paint.len() - 1)
        }
        Change::RemovePaint { paint } => {
            makeup.paint.remove(paint_index(paint)?);
            None
        }
        Change::Paint { paint, kind, density, coverage, pigment, firing, face, plate } => {
            let at = paint_index(paint)?;
            let plate = match plate {
                Some(from_inside) => Some(index(*from_inside)?),
                None => None,
            };
            let changed = &mut makeup.paint[at];
            changed.kind = kind.unwrap_or(changed.kind);
            // Strokes belong to trace only, fade and stipple to matting only.
            if changed.kind != PaintKind::Trace {
                changed.strokes.clear();
            }
            if changed.kind != PaintKind::Matting {
                (changed.fade_mm, changed.stipple) = (0.0, USUAL_STIPPLE);
            }
            changed.density = density.unwrap_or(changed.density);
            // With strokes, coverage is computed from them.
            if coverage.is_some() && changed.strokes.is_empty() {
                changed.coverage = *coverage;
            }
            changed.pigment = pigment.unwrap_or(changed.pigment);
            changed.firing = firing.unwrap_or(changed.firing);
            changed.face = face.unwrap_or(changed.face);
            changed.plate = plate.unwrap_or(changed.plate);
            name_of(scene, &makeup, at)
        }
        Change::AddDeposit { face } => {
            makeup = deposited::with_dirt(window, before, *face)?;
            Some(Layer::Deposit { face: *face })
        }
        Change::Scattering { layer, scatters, forwards, half_width_deg, usual } => {
            let stated = Scattering {
                scatters: *scatters,
                forwards: *forwards,
                half_width_deg: *half_width_deg,
                usual: *usual,
            };
            if let Layer::Deposit { face } = layer {
                makeup = deposited::scattering(window, before, *face, &stated)?;
            } else {
                let paint = makeup.paint.get_mut(paint_index(layer)?)?;
                paint.scatters = stated.share(paint.scatters);
                paint.lobe = stated.lobe(paint.lobe.as_deref());
            }
            Some(*layer)
        }
        Change::Deposit { face, kind, loss, scatters, source } => {
            let stated = Stated { kind: *kind, loss: *loss, scatters: *scatters, source: source.as_ref() };
            makeup = deposited::changed(window, before, *face, &stated)?;
            Some(Layer::Deposit { face: *face })
        }
        Change::DepositAsWindow { face } => {
            makeup = deposited::as_window(before, *face);
            Some(Layer::Deposit { face: *face })
        }
        // It is of the window and not of a piece.
        Change::DepositEverywhere { .. } => return None,
        Change::Move { layer, toward, past } => moved(scene, &mut makeup, *layer, *toward, *past),
        Change::Makeup { makeup: copied, drawn_share } => {
            makeup = copied::for_piece(before, copied, drawn_share);
            None
        }
    };
    Some((makeup, layer))
}

/// A layer with the usual settings. Stain is fired last, on the outside face (common practice, no source).
fn usual_paint(kind: PaintKind, makeup: &Makeup) -> Paint {
    let last = makeup.paint.iter().map(|paint| paint.firing).max().unwrap_or(0);
    let (face, density, coverage) = match kind {
        PaintKind::Trace => (Face::Inside, 2.5, Some(USUAL_TRACE_SHARE)),
        PaintKind::Matting => (Face::Inside, 0.35, None),
        PaintKind::Enamel(_) => (Face::Inside, 0.5, None),
        PaintKind::Stain(tone) => (Face::Outside, usual_stain(tone), None),
    };
    Paint {
        kind,
        face,
        plate: makeup.plates.len().saturating_sub(1),
        pigment: Pigment::default(),
        density,
        coverage,
        strokes: Vec::new(),
        fade_mm: 0.0,
        stipple: USUAL_STIPPLE,
        scatters: None,
        lobe: None,
        firing: (last + 1).min(LAST_FIRING),
    }
}

/// The stain's usual density to two decimals.
fn usual_stain(tone: StainTone) -> f64 {
    let density = match tone {
        StainTone::Lemon => glass::StainTone::Lemon,
        StainTone::Gold => glass::StainTone::Gold,
        StainTone::Amber => glass::StainTone::Amber,
    }
    .usual_density();
    (density * 100.0).round() / 100.0
}
