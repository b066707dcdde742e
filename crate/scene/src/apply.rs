//! Applies edits. Every edit has an inverse.

use thiserror::Error;

use crate::document::{Cutline, Line, Piece, Scene, VERSION_WITH_OUTDOORS, Window};
use crate::edit::{Edit, PieceEntry};
use crate::numbered::index_of;
use crate::version::of_edit;

/// Why an edit could not be applied. The scene is unchanged.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum EditError {
    /// No such window.
    #[error("there is no window “{0}” in this scene; its windows are listed under `windows`")]
    NoWindow(String),
    /// No such piece.
    #[error("window “{window}” has no piece {piece}")]
    NoPiece {
        /// Id of the window.
        window: String,
        /// The number asked for.
        piece: u32,
    },
    /// No such line.
    #[error("window “{window}” has no line {line}")]
    NoLine {
        /// Id of the window.
        window: String,
        /// The number asked for.
        line: u32,
    },
}

impl Edit {
    /// Applies the edit and returns its inverse, which undoes it exactly. On an error nothing has changed.
    ///
    /// [`crate::check`] tells whether the result is still valid: the edit may remove a glass that a piece
    /// uses.
    ///
    /// # Errors
    /// The edit names a window, a piece or a line that does not exist.
    pub fn apply(self, scene: &mut Scene) -> Result<Edit, EditError> {
        // Only then may glass and make-ups change the version; looking through all of them takes time.
        let may_settle = scene.clerestory >= VERSION_WITH_OUTDOORS || of_edit(&self) >= VERSION_WITH_OUTDOORS;
        let inverse = self.apply_parts(scene)?;
        if may_settle {
            scene.settle_version();
        }
        Ok(inverse)
    }

    /// As [`Edit::apply`], without looking through the scene for the version it needs.
    fn apply_parts(self, scene: &mut Scene) -> Result<Edit, EditError> {
        use std::mem::replace;
        Ok(match self {
            Edit::SetName { name } => Edit::SetName { name: replace(&mut scene.name, name) },
            Edit::SetNote { note } => Edit::SetNote { note: replace(&mut scene.note, note) },
            Edit::SetSite { site } => Edit::SetSite { site: replace(&mut scene.site, site) },
            Edit::SetAt { at } => Edit::SetAt { at: replace(&mut scene.at, at) },
            Edit::SetSky { sky } => Edit::SetSky { sky: replace(&mut scene.sky, sky) },
            Edit::SetGround { ground } => Edit::SetGround { ground: replace(&mut scene.ground, ground) },
            Edit::SetHorizon { horizon } => {
                Edit::SetHorizon { horizon: replace(&mut scene.horizon, horizon) }
            }
            Edit::SetRoom { room } => Edit::SetRoom { room: replace(&mut scene.room, room) },
            Edit::MoveWindow { window, centre_x_m, sill_height_m } => {
                let found = window_mut(scene, &window)?;
                let inverse = Edit::MoveWindow {
                    window,
                    centre_x_m: found.centre_x_m,
                    sill_height_m: found.sill_height_m,
                };
                (found.centre_x_m, found.sill_height_m) = (centre_x_m, sill_height_m);
                inverse
            }
            Edit::SetProtectiveGlazing { window, protective_glazing } => {
                let found = window_mut(scene, &window)?;
                let before = replace(&mut found.protective_glazing, protective_glazing);
                Edit::SetProtectiveGlazing { window, protective_glazing: before }
            }
            Edit::SetDeposits { window, deposits } => {
                let before = replace(&mut window_mut(scene, &window)?.deposits, deposits);
                Edit::SetDeposits { window, deposits: before }
            }
            Edit::SetWall { window, wall } => {
                let before = replace(&mut window_mut(scene, &window)?.wall, wall.map(|wall| *wall));
                Edit::SetWall { window, wall: before.map(Box::new) }
            }
            Edit::SetLine { window, line, to, at } => set_line(scene, window, line, to, at)?,
            Edit::SetSightSize { window, sight_size } => {
                let found = window_mut(scene, &window)?;
                Edit::SetSightSize { window, sight_size: replace(&mut found.drawing.sight_size, sight_size) }
            }
            Edit::SetBars { window, bars } => {
                let found = window_mut(scene, &window)?;
                Edit::SetBars { window, bars: replace(&mut found.drawing.bars, bars) }
            }
            Edit::SetPiece { window, piece, to, at } => set_piece(scene, window, piece, to, at)?,
            Edit::MovePiece { window, piece, at_mm } => {
                let found = piece_mut(scene, &window, piece)?;
                Edit::MovePiece { window, piece, at_mm: replace(&mut found.at_mm, at_mm) }
            }
            Edit::SetDrawing { window, drawing, pieces } => {
                let found = window_mut(scene, &window)?;
                let drawing = replace(&mut found.drawing, drawing);
                let pieces = replace(&mut found.pieces, pieces);
                Edit::SetDrawing { window, drawing, pieces }
            }
            Edit::SetMakeup { window, piece, makeup } => {
                let found = piece_mut(scene, &window, piece)?;
                Edit::SetMakeup { window, piece, makeup: replace(&mut found.makeup, makeup) }
            }
            Edit::SetGlass { id, glass } => {
                let before = match glass {
                    Some(glass) => scene.glasses.insert(id.clone(), glass),
                    None => scene.glasses.remove(&id),
                };
                Edit::SetGlass { id, glass: before }
            }
            Edit::SetAttachment { hash, attachment } => {
                let before = match attachment {
                    Some(attachment) => scene.attachments.insert(hash, attachment),
                    None => scene.attachments.remove(&hash),
                };
                scene.settle_version();
                Edit::SetAttachment { hash, attachment: before }
            }
            Edit::SetPlaces { places } => {
                let before = replace(&mut scene.places, places);
                scene.settle_version();
                Edit::SetPlaces { places: before }
            }
            Edit::SetViewer { viewer } => Edit::SetViewer { viewer: replace(&mut scene.viewer, viewer) },
            Edit::SetVariants { variants } => {
                let before = replace(&mut scene.variants, variants);
                scene.settle_version();
                Edit::SetVariants { variants: before }
            }
            Edit::Together { edits } => {
                let mut inverses: Vec<Edit> = Vec::with_capacity(edits.len());
                for edit in edits {
                    match edit.apply_parts(scene) {
                        Ok(inverse) => inverses.push(inverse),
                        Err(error) => {
                            for inverse in inverses.into_iter().rev() {
                                // The inverse names only what existed a moment ago, so it cannot fail.
                                let _ = inverse.apply_parts(scene);
                            }
                            return Err(error);
                        }
                    }
                }
                inverses.reverse();
                Edit::Together { edits: inverses }
            }
        })
    }
}

fn set_line(
    scene: &mut Scene,
    window: String,
    line: u32,
    to: Option<Line>,
    at: Option<usize>,
) -> Result<Edit, EditError> {
    let lines = &mut window_mut(scene, &window)?.drawing.cutlines;
    let index = index_of(lines, line);
    let (to, at) = match (index, to) {
        (None, None) => return Err(EditError::NoLine { window, line }),
        (None, Some(Line { path, width_mm })) => {
            let at = at.unwrap_or(lines.len()).min(lines.len());
            lines.insert(at, Cutline { id: line, path, width_mm });
            (None, None)
        }
        (Some(index), None) => {
            let Cutline { path, width_mm, .. } = lines.remove(index);
            (Some(Line { path, width_mm }), Some(index))
        }
        (Some(index), Some(Line { path, width_mm })) => {
            let Cutline { path, width_mm, .. } =
                std::mem::replace(&mut lines[index], Cutline { id: line, path, width_mm });
            (Some(Line { path, width_mm }), None)
        }
    };
    Ok(Edit::SetLine { window, line, to, at })
}

fn set_piece(
    scene: &mut Scene,
    window: String,
    piece: u32,
    to: Option<PieceEntry>,
    at: Option<usize>,
) -> Result<Edit, EditError> {
    let pieces = &mut window_mut(scene, &window)?.pieces;
    let index = index_of(pieces, piece);
    let (to, at) = match (index, to) {
        (None, None) => return Err(EditError::NoPiece { window, piece }),
        (None, Some(PieceEntry { at_mm, makeup })) => {
            let at = at.unwrap_or(pieces.len()).min(pieces.len());
            pieces.insert(at, Piece { id: piece, at_mm, makeup });
            (None, None)
        }
        (Some(index), None) => {
            let Piece { at_mm, makeup, .. } = pieces.remove(index);
            (Some(PieceEntry { at_mm, makeup }), Some(index))
        }
        (Some(index), Some(PieceEntry { at_mm, makeup })) => {
            let Piece { at_mm, makeup, .. } =
                std::mem::replace(&mut pieces[index], Piece { id: piece, at_mm, makeup });
            (Some(PieceEntry { at_mm, makeup }), None)
        }
    };
    Ok(Edit::SetPiece { window, piece, to, at })
}

fn window_mut<'a>(scene: &'a mut Scene, id: &str) -> Result<&'a mut Window, EditError> {
    scene.windows.iter_mut().find(|w| w.id == id).ok_or_else(|| EditError::NoWindow(id.to_owned()))
}

fn piece_mut<'a>(scene: &'a mut Scene, window: &str, piece: u32) -> Result<&'a mut Piece, EditError> {
    let pieces = &mut window_mut(scene, window)?.pieces;
    match index_of(pieces, piece) {
        Some(index) => Ok(&mut pieces[index]),
        None => Err(EditError::NoPiece { window: window.to_owned(), piece }),
    }
}
