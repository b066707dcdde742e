//! Each piece's luminance in the picture beside its figure.

use plane::{PanelPoint, contains};
use render::{Bounds, SceneWindow, View, reference};
use scene::Resolved;
use serde_json::{Value, json};
use viewing::Prepared;

use crate::run::demo;

/// A demo in this wall and without bars, which hide parts of pieces.
pub(crate) fn unbarred(demo_name: &str, wall: &Value) -> Resolved {
    let text = std::fs::read_to_string(demo(demo_name)).unwrap();
    let mut scene: Value = serde_json::from_str(&text).unwrap();
    scene["clerestory"] = json!(5);
    scene["windows"][0]["wall"] = wall.clone();
    scene["windows"][0]["drawing"].as_object_mut().unwrap().remove("bars");
    scene::resolve(&scene::read(&scene.to_string()).unwrap(), None).unwrap()
}

/// Mean luminance of a piece in the picture, each point weighted by its solid angle, cd/m².
fn drawn(window: &SceneWindow, tables: &render::LightTables, piece: usize) -> Option<f64> {
    const ACROSS: u32 = 100;
    let shape = &window.model.pieces[piece].light_shape;
    let bounds = Bounds::of(shape.iter().flatten())?;
    let view = View { centre_mm: bounds.centre(), mm_per_px: 0.2, size_px: [1, 1] };
    let [width, height] = bounds.size();
    let [x, y, z] = window.eye.position_mm.to_array();
    let (mut sum, mut weights) = (0.0, 0.0);
    for k in 0..ACROSS * ACROSS {
        let share = |k: u32| (f64::from(k) + 0.5) / f64::from(ACROSS);
        let at = PanelPoint::new(
            bounds.min[0] + width * share(k % ACROSS),
            bounds.min[1] + height * share(k / ACROSS),
        );
        if contains(shape, at) {
            let away = (at[0] - x).hypot(at[1] - y).hypot(z);
            let rgb = reference::light_at(tables, &view, piece, at);
            let luminance = spectra::rgb::xyz_from_linear_srgb(rgb.into()).y;
            sum += luminance / away.powi(3);
            weights += away.powi(-3);
        }
    }
    (weights > 0.0).then(|| sum / weights)
}

/// Each piece's luminance in picture and figures, cd/m²; `None` for one that is not seen or has strokes, which are drawn
/// over it and are a part of its figure.
pub(crate) fn luminances(scene: &Resolved, place: Option<&str>, at: &str) -> Vec<Option<[f64; 2]>> {
    let outside = scene.outside(scene.instant(at).unwrap().utc).unwrap();
    let light = Prepared::new(scene, place).unwrap().light(&outside);
    let window = SceneWindow::new(scene, 0, scene.eye_m(place).unwrap()).unwrap();
    let tables = window.tables(&outside, None);
    let of = |piece: usize| {
        let stroked = window.model.overlays.iter().any(|overlay| overlay.piece == piece);
        let figure = spectra::luminous(&light.pieces[piece].radiance.filter(|_| !stroked)?);
        Some([drawn(&window, &tables, piece)?, figure])
    };
    (0..window.model.pieces.len()).map(of).collect()
}
