//! A scene being drawn: one of its windows, seen from one place, updated by edits.

use std::rc::Rc;

use plane::PanelOnPage;
use render::{LightTables, SameParts, SceneWindow, eye_before};
use scene::{Applied, Edit, Faults, Resolved, WindowChange, difference, read, resolve};
use wasm_bindgen::JsError;

use crate::error;

/// A scene, and its window that was drawn last.
pub(crate) struct DrawnScene {
    resolved: Resolved,
    prepared: Option<Rc<PreparedWindow>>,
    /// Whether the window's triangles have changed since they were last handed out.
    new_shapes: bool,
}

/// A window ready to be drawn.
#[derive(Clone)]
pub(crate) struct PreparedWindow {
    pub(crate) window: SceneWindow,
    index: usize,
    place: String,
    /// How its panel lies on the page.
    pub(crate) page: PanelOnPage,
}

impl DrawnScene {
    /// Opens the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the text.
    pub(crate) fn open(text: &str) -> Result<Self, Faults> {
        let resolved = resolve(&read(text)?, None)?;
        Ok(Self { resolved, prepared: None, new_shapes: true })
    }

    /// Takes the current scene; what has not changed is kept.
    ///
    /// # Errors
    /// Every fault of the text; nothing has changed then.
    pub(crate) fn replace(&mut self, text: &str) -> Result<(), Faults> {
        let scene = read(text)?;
        let ids = |scene: &scene::Scene| scene.windows.iter().map(|w| w.id.clone()).collect::<Vec<_>>();
        if ids(&scene) == ids(&self.resolved.scene) {
            let edits = difference(&self.resolved.scene, &scene);
            self.apply(Edit::Together { edits }).map(|_| ())
        } else {
            *self = Self { resolved: resolve(&scene, None)?, prepared: None, new_shapes: true };
            Ok(())
        }
    }

    /// Applies an edit of the document. Returns whether the picture may have changed.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; nothing has changed then.
    pub(crate) fn apply(&mut self, edit: Edit) -> Result<bool, Faults> {
        let applied = self.resolved.apply(edit)?;
        if let Some(prepared) = self.prepared.take() {
            let mut prepared = Rc::unwrap_or_clone(prepared);
            self.new_shapes |= prepared.follow(&self.resolved, &applied);
            self.prepared = Some(Rc::new(prepared));
        }
        let changes = &applied.changes;
        Ok(changes.light() || changes.places || changes.viewer)
    }

    /// The first window's id.
    pub(crate) fn first_window(&self) -> String {
        self.resolved.windows.first().map(|window| window.id.clone()).unwrap_or_default()
    }

    /// A window from a named place (empty for the first), ready to be drawn.
    ///
    /// # Errors
    /// There is no such window or place.
    pub(crate) fn show(&mut self, window: &str, place: &str) -> Result<Rc<PreparedWindow>, JsError> {
        let index = self.resolved.windows.iter().position(|w| w.id == window);
        let index = index.ok_or_else(|| error::from_text("a window of the scene", window))?;
        let eye_m = self.resolved.eye_m((!place.is_empty()).then_some(place));
        let eye_m = eye_m.ok_or_else(|| error::from_text("a place of the scene", place))?;
        let mut prepared = match self.prepared.take().filter(|prepared| prepared.index == index) {
            Some(kept) => Rc::unwrap_or_clone(kept),
            None => {
                self.new_shapes = true;
                let window = SceneWindow::new(&self.resolved, index, eye_m)
                    .ok_or_else(|| error::from_text("a window of the scene", window))?;
                let page = self.resolved.windows[index].panel.on_page();
                PreparedWindow { window, index, place: place.to_owned(), page }
            }
        };
        place.clone_into(&mut prepared.place);
        prepared.look_from(&self.resolved);
        Ok(self.prepared.insert(Rc::new(prepared)).clone())
    }

    /// Whether the triangles of the window shown last have changed since this was asked.
    pub(crate) fn take_new_shapes(&mut self) -> bool {
        std::mem::take(&mut self.new_shapes)
    }

    /// Tables of the light at a civil time of the site.
    ///
    /// # Errors
    /// The text is not a civil time, or lies outside the years for which the sun's position is known.
    pub(crate) fn tables(&self, prepared: &PreparedWindow, at: &str) -> Result<LightTables, JsError> {
        let time = self.resolved.instant(at).map_err(|found| error::from_text("a time", found))?;
        let outside = self.resolved.outside(time.utc).map_err(|found| error::from_text("a time", found))?;
        Ok(prepared.window.tables(&outside, None))
    }
}

impl PreparedWindow {
    /// Updates the window after an edit of the scene. Returns whether the triangles have changed.
    fn follow(&mut self, resolved: &Resolved, applied: &Applied) -> bool {
        let changes = &applied.changes;
        let built = &resolved.windows[self.index];
        let change = changes.windows.get(&built.id);
        self.page = built.panel.on_page();
        self.window.set_outdoors(resolved);
        let reglazed = |index: usize| {
            let piece = &built.pieces[index];
            let own = |change: &WindowChange| {
                let id = &piece.id;
                change.protective_glazing
                    || change.deposits
                    || change.drawing
                    || change.makeups.contains_key(id)
                    || change.entries.contains(id)
            };
            change.is_some_and(own)
                || piece.makeup.plates.iter().any(|plate| changes.glasses.contains_key(&plate.glass.id))
        };
        let new_shapes =
            if let Some((_, panel)) = applied.redrawn.iter().find(|(index, _)| *index == self.index) {
                let same = panel.pieces.iter().enumerate();
                let pieces: Vec<_> = same.map(|(now, old)| old.filter(|_| !reglazed(now))).collect();
                self.window.follow(built, &SameParts { pieces: &pieces, leads: &panel.leads });
                true
            } else {
                let new_wall = self.window.set_wall(built);
                let glass = change.is_some() || !changes.glasses.is_empty();
                let touched = (0..built.pieces.len()).filter(|index| glass && reglazed(*index));
                touched.fold(new_wall, |new_shapes, index| self.window.set_piece(built, index) | new_shapes)
            };
        self.look_from(resolved);
        new_shapes
    }

    /// Views from the place, if the scene still has it.
    fn look_from(&mut self, resolved: &Resolved) {
        let place = (!self.place.is_empty()).then_some(self.place.as_str());
        if let Some(eye_m) = resolved.eye_m(place) {
            let eye = eye_before(resolved, &resolved.windows[self.index], eye_m);
            if self.window.eye != eye {
                self.window.set_eye(eye);
            }
        }
    }
}
