//! What a picture shows: one window of a scene, seen from one place, kept from one picture to the next.

use render::{LightTables, Making, SceneWindow};
use scene::{Resolved, Scene};
use wasm_bindgen::JsError;

use crate::error;

/// A window made ready to be drawn.
#[derive(Clone)]
pub(crate) struct Shown {
    pub(crate) window: SceneWindow,
    resolved: Resolved,
    index: usize,
    place: String,
}

/// A window that is being made ready, some of its pieces at a time.
pub(crate) struct BeingMade {
    making: Making,
    resolved: Resolved,
    index: usize,
    place: String,
}

impl BeingMade {
    /// Begins a window of a scene from a named place (empty for the first).
    ///
    /// # Errors
    /// There is no such window or place.
    pub(crate) fn new(resolved: &Resolved, window: &str, place: &str) -> Result<Self, JsError> {
        let index =
            index_of(resolved, window).ok_or_else(|| error::from_text("a window of the scene", window))?;
        let eye_m = resolved.eye_m((!place.is_empty()).then_some(place));
        let eye_m = eye_m.ok_or_else(|| error::from_text("a place of the scene", place))?;
        let making = Making::new(resolved, index, eye_m)
            .ok_or_else(|| error::from_text("a window of the scene", window))?;
        Ok(Self { making, resolved: resolved.clone(), index, place: place.to_owned() })
    }

    /// Makes the next piece ready; false when there is none.
    pub(crate) fn next_piece(&mut self) -> bool {
        self.making.next_piece(&self.resolved)
    }

    /// The window, with the pieces made that were not.
    ///
    /// # Errors
    /// None that [`new`](Self::new) would not have had.
    pub(crate) fn finish(mut self) -> Result<Shown, JsError> {
        while self.next_piece() {}
        let Self { making, resolved, index, place } = self;
        let window =
            making.finish(&resolved).ok_or_else(|| error::from_text("a window of the scene", index))?;
        Ok(Shown { window, resolved, index, place })
    }
}

fn index_of(resolved: &Resolved, window: &str) -> Option<usize> {
    resolved.windows.iter().position(|w| w.id == window)
}

impl Shown {
    /// The same window of a scene that differs at most in its pieces, and whether its shapes are new ones; `None`
    /// where it must be made anew.
    pub(crate) fn edited(mut self, resolved: &Resolved, window: &str, place: &str) -> Option<(Self, bool)> {
        let index = index_of(resolved, window)?;
        if index != self.index
            || place != self.place
            || !same_but_for_pieces(&self.resolved.scene, &resolved.scene, index)
        {
            return None;
        }
        let pieces = self.resolved.windows[index].pieces.iter().zip(&resolved.windows[index].pieces);
        let mut new_shapes = false;
        for (i, (before, now)) in pieces.enumerate() {
            if before.makeup != now.makeup || before.sheet != now.sheet || before.brushwork != now.brushwork {
                new_shapes |= self.window.set_piece(&resolved.windows[index], i);
            }
        }
        self.window.viewer = render::from_scene::viewer(resolved);
        self.resolved = resolved.clone();
        Some((self, new_shapes))
    }

    /// Tables of the light at a civil time of the site.
    ///
    /// # Errors
    /// The text is no civil time, or lies outside the years that the sun's position is known for.
    pub(crate) fn tables(&self, at: &str) -> Result<LightTables, JsError> {
        let time = self.resolved.instant(at).map_err(|found| error::from_text("a time", found))?;
        let outside = self.resolved.outside(time.utc).map_err(|found| error::from_text("a time", found))?;
        Ok(self.window.tables(&outside, None))
    }

    /// The scene that is shown.
    pub(crate) fn scene(&self) -> &Scene {
        &self.resolved.scene
    }

    /// Height of the window's sight size.
    pub(crate) fn height_mm(&self) -> f64 {
        self.resolved.windows[self.index].panel.height_mm
    }
}

/// Whether two scenes differ at most in what their pieces are made of, as far as a picture of one window can tell.
fn same_but_for_pieces(a: &Scene, b: &Scene, index: usize) -> bool {
    let (wa, wb) = (&a.windows[index], &b.windows[index]);
    let anchors = |w: &scene::Window| w.pieces.iter().map(|p| (p.id, p.at_mm)).collect::<Vec<_>>();
    a.room == b.room
        && a.site == b.site
        && a.horizon == b.horizon
        && a.places == b.places
        && (wa.id == wb.id && wa.drawing == wb.drawing)
        && (wa.centre_x_m, wa.sill_height_m) == (wb.centre_x_m, wb.sill_height_m)
        && anchors(wa) == anchors(wb)
}
