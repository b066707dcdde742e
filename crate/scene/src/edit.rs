//! Edits: every user action is one, and every edit has an inverse.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::document::{
    Bar, Cutline, Drawing, Horizon, Line, Makeup, OwnGlass, Piece, ProtectiveGlazing, Reflectance, Room,
    Scene, Site, Sky, Variant, Viewer, ViewingPlace, Window,
};

/// One user action. Each sets one part of the scene to a new value, so that its inverse sets the old one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "edit", rename_all = "snake_case", deny_unknown_fields)]
pub enum Edit {
    /// The scene's name.
    SetName {
        /// The new name.
        #[schemars(length(min = 1, max = 200))]
        name: String,
    },
    /// The scene's note.
    SetNote {
        /// The new text.
        note: String,
    },
    /// Where the building stands.
    SetSite {
        /// The new site.
        site: Site,
    },
    /// The scene's own hour.
    SetAt {
        /// Civil time at the site, `YYYY-MM-DDTHH:MM`.
        at: String,
    },
    /// The sky.
    SetSky {
        /// The new sky.
        sky: Sky,
    },
    /// The ground.
    SetGround {
        /// What it reflects.
        ground: Reflectance,
    },
    /// The horizon.
    SetHorizon {
        /// The new horizon.
        horizon: Horizon,
    },
    /// The room.
    SetRoom {
        /// The new room.
        room: Room,
    },
    /// Where a window sits in its wall.
    MoveWindow {
        /// Id of the window.
        window: String,
        /// From the wall's left inside corner to the middle of the sight size.
        centre_x_m: f64,
        /// From the floor to the lower edge of the sight size.
        sill_height_m: f64,
    },
    /// The pane in front of a window.
    SetProtectiveGlazing {
        /// Id of the window.
        window: String,
        /// The new pane, or none.
        protective_glazing: Option<ProtectiveGlazing>,
    },
    /// One line of a drawing: added, changed, or with `null` removed.
    ///
    /// [`crate::Resolved::apply`] adds what the pieces beside the line need: see there.
    SetLine {
        /// Id of the window.
        window: String,
        /// Number of the line.
        line: u32,
        /// Its path and width now; `null` removes it.
        to: Option<Line>,
        /// Where in the list of cutlines an added line stands; at its end where not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<usize>,
    },
    /// The sight size of a window and the lead round it; its pieces follow as for [`Edit::SetLine`].
    SetSightSize {
        /// Id of the window.
        window: String,
        /// The closed path and the face width of the lead.
        sight_size: Line,
    },
    /// The saddle bars of a window.
    SetBars {
        /// Id of the window.
        window: String,
        /// All of them.
        bars: Vec<Bar>,
    },
    /// The entry of one piece: added, or with `null` removed.
    SetPiece {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// Where it lies and what it is made of; `null` removes it.
        to: Option<PieceEntry>,
        /// Where in the list of pieces an added entry stands; at its end where not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<usize>,
    },
    /// The point that ties a piece's entry to the drawing.
    MovePiece {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// A point well inside it, panel mm.
        at_mm: [f64; 2],
    },
    /// A whole drawing and what is glazed in it: they change together, so that no piece is ever without glass.
    SetDrawing {
        /// Id of the window.
        window: String,
        /// The new drawing.
        drawing: Drawing,
        /// One entry for every piece of it.
        pieces: Vec<Piece>,
    },
    /// Glass and paint of one piece.
    SetMakeup {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// What it is made of now.
        makeup: Makeup,
    },
    /// A glass of the scene's own: added, changed, or with `null` taken out.
    SetGlass {
        /// Its id.
        id: String,
        /// The glass.
        glass: Option<OwnGlass>,
    },
    /// The named places.
    SetPlaces {
        /// All of them.
        places: Vec<ViewingPlace>,
    },
    /// Who looks.
    SetViewer {
        /// The new viewer.
        viewer: Viewer,
    },
    /// The variants.
    SetVariants {
        /// All of them.
        variants: Vec<Variant>,
    },
    /// Several edits that are one action: all of them happen, or none.
    Together {
        /// In order.
        edits: Vec<Edit>,
    },
}

/// Where a piece lies and what it is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PieceEntry {
    /// A point well inside it, panel mm.
    pub at_mm: [f64; 2],
    /// Glass and paint.
    pub makeup: Makeup,
}

/// Why an edit could not be made. The scene is as it was.
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
    /// Makes the edit and returns its inverse, which undoes it exactly. On an error nothing has changed.
    ///
    /// Whether the result still makes sense as a whole (a glass taken out that a piece uses) is for
    /// [`crate::check`] to say.
    ///
    /// # Errors
    /// The edit names a window or a piece that is not there.
    pub fn apply(self, scene: &mut Scene) -> Result<Edit, EditError> {
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
            Edit::SetPlaces { places } => Edit::SetPlaces { places: replace(&mut scene.places, places) },
            Edit::SetViewer { viewer } => Edit::SetViewer { viewer: replace(&mut scene.viewer, viewer) },
            Edit::SetVariants { variants } => {
                Edit::SetVariants { variants: replace(&mut scene.variants, variants) }
            }
            Edit::Together { edits } => {
                let mut inverses: Vec<Edit> = Vec::with_capacity(edits.len());
                for edit in edits {
                    match edit.apply(scene) {
                        Ok(inverse) => inverses.push(inverse),
                        Err(error) => {
                            for inverse in inverses.into_iter().rev() {
                                // An inverse names what was just there, so it cannot fail.
                                let _ = inverse.apply(scene);
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
    let index = lines.iter().position(|l| l.id == line);
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
    let index = pieces.iter().position(|p| p.id == piece);
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
    let found = window_mut(scene, window)?.pieces.iter_mut().find(|p| p.id == piece);
    found.ok_or_else(|| EditError::NoPiece { window: window.to_owned(), piece })
}
