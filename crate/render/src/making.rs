//! Making a window ready to be drawn, a piece at a time: a page can do something else in between.

use scene::{Resolved, ResolvedRoom};

use crate::{
    from_scene::{SceneWindow, eye_before, frame_model, piece_model, viewer},
    glazing::Glazing,
    light::Eye,
    mesh::WindowMesh,
    model::WindowModel,
    optics::PieceOptics,
    paint_mesh::fade_scale,
    painted::overlays,
    piece_mesh::PieceMesh,
};

/// A [`SceneWindow`] that is not whole yet. Each call takes the scene that it was begun with.
#[derive(Clone, Debug)]
pub struct Making {
    index: usize,
    eye: Eye,
    model: WindowModel,
    glazing: Glazing,
    pieces: Vec<PieceMesh>,
    optics: Vec<PieceOptics>,
    over: Vec<PieceOptics>,
}

impl Making {
    /// Begins window `index` of a scene, seen from `eye_m` (metres in the room's frame); `None` without such a window.
    pub fn new(scene: &Resolved, index: usize, eye_m: [f64; 3]) -> Option<Self> {
        let window = scene.windows.get(index)?;
        Some(Self {
            index,
            eye: eye_before(window, eye_m),
            model: frame_model(window),
            glazing: Glazing::default(),
            pieces: Vec::new(),
            optics: Vec::new(),
            over: Vec::new(),
        })
    }

    /// Makes the next piece ready; false when there is none.
    pub fn next_piece(&mut self, scene: &Resolved) -> bool {
        let index = self.pieces.len();
        let Some(window) = scene.windows.get(self.index).filter(|w| index < w.pieces.len()) else {
            return false;
        };
        let mut model = piece_model(window, index);
        let mut mesh = PieceMesh::new(&model);
        model.fade.scale = fade_scale(&mesh.glass, &model);
        let over = overlays(window, index);
        mesh.lay_over(&model, &over);
        self.glazing.push(&window.pieces[index]);
        let transmittance = |m, f, a| self.glazing.transmittance(m, f, a);
        self.optics.push(PieceOptics::new(&model, self.eye, transmittance));
        self.over.extend(over.iter().map(|o| PieceOptics::of_overlay(&model, o, self.eye, transmittance)));
        self.model.overlays.extend(over);
        self.model.pieces.push(model);
        self.pieces.push(mesh);
        true
    }

    /// The window, when every piece is ready; `None` before.
    pub fn finish(mut self, scene: &Resolved) -> Option<SceneWindow> {
        let window = scene.windows.get(self.index)?;
        if self.pieces.len() < window.pieces.len() {
            return None;
        }
        self.optics.append(&mut self.over);
        let ResolvedRoom { facing_deg, .. } = scene.room;
        Some(SceneWindow {
            mesh: WindowMesh::with_glass(&self.model, PieceMesh::join(&self.pieces)),
            model: self.model,
            optics: self.optics,
            eye: self.eye,
            viewer: viewer(scene),
            pieces: self.pieces,
            glazing: self.glazing,
            facing_deg,
            latitude_deg: scene.place.latitude_deg,
            horizon: scene.horizon.clone(),
        })
    }
}
