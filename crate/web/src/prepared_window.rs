//! One window of a scene, seen from one place, ready to be drawn and kept from one picture to the next.

use render::{LightTables, SceneWindow, eye_before};
use scene::{Resolved, Scene, read, resolve};
use wasm_bindgen::JsError;

use crate::error;

/// A window ready to be drawn.
#[derive(Clone)]
pub(crate) struct PreparedWindow {
    pub(crate) window: SceneWindow,
    resolved: Resolved,
    index: usize,
}

impl PreparedWindow {
    /// A window of a scene from a named place (empty for the first). What has not changed since `before` is kept; also
    /// says whether the shapes are new.
    ///
    /// # Errors
    /// There is no such window or place.
    pub(crate) fn after(
        before: Option<Self>,
        resolved: &Resolved,
        window: &str,
        place: &str,
    ) -> Result<(Self, bool), JsError> {
        let index = resolved.windows.iter().position(|w| w.id == window);
        let index = index.ok_or_else(|| error::from_text("a window of the scene", window))?;
        let eye_m = resolved.eye_m((!place.is_empty()).then_some(place));
        let eye_m = eye_m.ok_or_else(|| error::from_text("a place of the scene", place))?;
        let kept = before.filter(|prepared| {
            prepared.index == index && same_shapes(&prepared.resolved.scene, &resolved.scene, index)
        });
        if let Some(mut prepared) = kept {
            let eye = eye_before(&resolved.windows[index], eye_m);
            if prepared.window.eye != eye {
                prepared.window.set_eye(eye);
            }
            prepared.window.set_outdoors(resolved);
            let pieces = prepared.resolved.windows[index].pieces.iter().zip(&resolved.windows[index].pieces);
            let mut new_shapes = false;
            for (i, (before, now)) in pieces.enumerate() {
                if before.makeup != now.makeup
                    || before.sheet != now.sheet
                    || before.brushwork != now.brushwork
                {
                    new_shapes |= prepared.window.set_piece(&resolved.windows[index], i);
                }
            }
            prepared.resolved = resolved.clone();
            return Ok((prepared, new_shapes));
        }
        let window = SceneWindow::new(resolved, index, eye_m)
            .ok_or_else(|| error::from_text("a window of the scene", window))?;
        Ok((Self { window, resolved: resolved.clone(), index }, true))
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

    /// Height of the window's sight size.
    pub(crate) fn height_mm(&self) -> f64 {
        self.resolved.windows[self.index].panel.height_mm
    }
}

/// The scene of a file's text, as drawn.
///
/// # Errors
/// Every fault of the text.
pub(crate) fn resolved(text: &str) -> Result<Resolved, JsError> {
    read(text).and_then(|scene| resolve(&scene, None)).map_err(|faults| error::from_faults(&faults))
}

/// Whether a window has the same shapes in two scenes, so that everything else can be updated in place.
fn same_shapes(a: &Scene, b: &Scene, index: usize) -> bool {
    let (wa, wb) = (&a.windows[index], &b.windows[index]);
    let anchors = |w: &scene::Window| w.pieces.iter().map(|p| (p.id, p.at_mm)).collect::<Vec<_>>();
    (wa.id == wb.id && wa.drawing == wb.drawing) && anchors(wa) == anchors(wb)
}
