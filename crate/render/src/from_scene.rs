//! From a resolved scene and the light outside to what the renderer takes.

use std::f64::consts::{FRAC_1_PI, PI};

use daylight::{Direction, Horizon, Outside};
use scene::{Face, Resolved, ResolvedRoom, ResolvedWindow};
use spectra::Spectrum;

use crate::{
    eye::Viewer,
    glazing::Glazing,
    horizon::{Edges, Layers, seen},
    light::{DirectionField, Eye, Light, SKY_COLUMNS, Seen},
    mesh::WindowMesh,
    model::{Fade, Overlay, PieceModel, Region, Strip, WindowModel},
    optics::{Factors, PieceOptics, Transmittance},
    paint_mesh::fade_scale,
    painted::{fading, joint_model, overlays},
    piece_mesh::PieceMesh,
    reference::Surroundings,
    sheet::sheet_model,
    tables::LightTables,
};

/// Solid angle of the sun's disc, sr.
const SUN_SR: f64 = {
    let radius = (daylight::SUN_DIAMETER_DEG / 2.0).to_radians();
    PI * radius * radius
};

/// Shapes of a window without its pieces and what lies over them.
fn frame_model(window: &ResolvedWindow) -> WindowModel {
    let panel = &window.panel;
    let mut leads: Vec<&panel::LeadLine> = panel.leads.iter().collect();
    // Wider leads stand in front.
    leads.sort_by(|a, b| a.face_mm.total_cmp(&b.face_mm));
    WindowModel {
        opening: region(&panel.opening),
        pieces: Vec::new(),
        overlays: Vec::new(),
        leads: leads
            .into_iter()
            .map(|lead| Strip {
                line: lead.points.clone(),
                closed: lead.from_joint == lead.to_joint && lead.points.len() > 3,
                width_mm: lead.face_mm,
            })
            .collect(),
        joints: panel.solder_joints().map(|joint| joint_model(panel, joint)).collect(),
        bars: panel
            .bars
            .iter()
            .zip(&window.bar_sides)
            .filter(|(_, side)| **side == Face::Inside)
            .flat_map(|(bar, _)| {
                bar.axis.iter().map(|line| Strip {
                    line: line.clone(),
                    closed: false,
                    width_mm: bar.diameter_mm,
                })
            })
            .collect(),
    }
}

fn region(polygon: &panel::Polygon) -> Region {
    polygon.rings().map(<[_]>::to_vec).collect()
}

/// Shape and sheet of a piece, which is its own makeup, but for the scale of its fade: that is known when the glass is
/// cut into triangles.
fn piece_model(window: &ResolvedWindow, index: usize) -> PieceModel {
    let piece = &window.pieces[index];
    let (length_mm, paint_density) = fading(piece);
    PieceModel {
        light_shape: window.panel.pieces[index].light.iter().flat_map(region).collect(),
        makeup: index,
        thickness_factor: 1.0,
        paint_factor: 1.0,
        paint_density,
        sheet: sheet_model(piece),
        fade: Fade { length_mm, ..Fade::default() },
    }
}

/// Where an eye of the room (metres) is in a window's panel plane (mm).
pub fn eye_before(window: &ResolvedWindow, eye_m: [f64; 3]) -> Eye {
    let [x, y] = window.lower_left_m;
    Eye { position_mm: [(eye_m[0] - x) * 1000.0, (eye_m[1] - y) * 1000.0, eye_m[2] * 1000.0] }
}

/// Who looks at a scene.
pub fn viewer(scene: &Resolved) -> Viewer {
    let scene::Viewer { age_years, pigmentation } = scene.scene.viewer;
    Viewer { age_years, pigmentation }
}

/// The compass direction of a unit vector of the panel's frame.
fn compass(facing_deg: f64, [x, y, z]: [f64; 3]) -> Direction {
    Direction {
        altitude_deg: y.clamp(-1.0, 1.0).asin().to_degrees(),
        azimuth_deg: facing_deg + x.atan2(-z).to_degrees(),
    }
}

/// The unit vector of the panel's frame toward a compass direction.
fn toward(facing_deg: f64, direction: Direction) -> [f64; 3] {
    let h = direction.altitude_deg.to_radians();
    let d = (direction.azimuth_deg - facing_deg).to_radians();
    [h.cos() * d.sin(), h.sin(), -h.cos() * d.cos()]
}

/// The world as a window sees it, for the 81-sample path.
#[derive(Clone, Debug)]
pub struct OutsideOfWall<'a> {
    /// The light.
    pub outside: &'a Outside,
    /// Bearing that the wall looks toward.
    pub facing_deg: f64,
    glow: Spectrum,
}

impl<'a> OutsideOfWall<'a> {
    /// The light on an upright wall.
    pub fn new(outside: &'a Outside, facing_deg: f64) -> Self {
        let (beam, diffuse) = outside.irradiance_on(facing_deg, 90.0);
        Self { outside, facing_deg, glow: (beam + diffuse) * FRAC_1_PI }
    }

    /// What the layers that may lie in a direction are each, also where another one hides it: above the upper edge,
    /// between the edges and below the lower one. For pictures whose outlines stray from the even edges.
    pub fn layers(&self, horizon: &Horizon, direction: [f64; 3]) -> [Spectrum; 3] {
        seen(&mut self.clone(), &Edges::new(horizon, 0.0), compass(self.facing_deg, direction))
    }
}

impl Layers for OutsideOfWall<'_> {
    type Value = Spectrum;

    fn at(&mut self, d: Direction) -> Spectrum {
        self.outside.radiance(d)
    }

    fn beyond(edge: Spectrum, mirrored: Spectrum) -> Spectrum {
        edge * 2.0 - mirrored
    }
}

impl Surroundings for OutsideOfWall<'_> {
    fn radiance(&self, direction: [f64; 3]) -> Spectrum {
        self.outside.radiance(compass(self.facing_deg, direction))
    }

    fn glow(&self) -> Spectrum {
        self.glow
    }
}

/// Weights of the sky's spectra by direction.
struct Weights<'a> {
    basis: &'a daylight::SkyBasis,
    found: [f64; SKY_COLUMNS + 2],
}

impl Layers for Weights<'_> {
    type Value = [f32; SKY_COLUMNS];

    fn at(&mut self, d: Direction) -> Self::Value {
        self.basis.weights_into(d, &mut self.found);
        std::array::from_fn(|k| self.found[k + 2] as f32)
    }

    fn beyond(edge: Self::Value, mirrored: Self::Value) -> Self::Value {
        std::array::from_fn(|k| 2.0 * edge[k] - mirrored[k])
    }
}

/// A window of a scene made ready to be drawn from one eye: everything that stays while the sun moves.
#[derive(Clone, Debug)]
pub struct SceneWindow {
    /// Shapes and sheets.
    pub model: WindowModel,
    /// Triangles.
    pub mesh: WindowMesh,
    /// Sampled pieces, then overlays.
    pub optics: Vec<PieceOptics>,
    /// Where it is seen from.
    pub eye: Eye,
    /// Who looks.
    pub viewer: Viewer,
    pieces: Vec<PieceMesh>,
    glazing: Glazing,
    facing_deg: f64,
    latitude_deg: f64,
    horizon: Horizon,
}

impl SceneWindow {
    /// Window `index` of a scene, seen from `eye_m` (metres in the room's frame); `None` without such a window.
    pub fn new(scene: &Resolved, index: usize, eye_m: [f64; 3]) -> Option<Self> {
        let window = scene.windows.get(index)?;
        let glazing = Glazing::new(&window.pieces);
        let mut model = frame_model(window);
        let mut pieces = Vec::with_capacity(window.pieces.len());
        for index in 0..window.pieces.len() {
            let mut piece = piece_model(window, index);
            let mut mesh = PieceMesh::new(&piece);
            piece.fade.scale = fade_scale(&mesh.glass, &piece);
            let over = overlays(window, index);
            mesh.lay_over(&piece, &over);
            pieces.push(mesh);
            model.pieces.push(piece);
            model.overlays.extend(over);
        }
        let eye = eye_before(window, eye_m);
        let optics = PieceOptics::of_window(&model, eye, |m, f, a| glazing.transmittance(m, f, a));
        let ResolvedRoom { facing_deg, .. } = scene.room;
        Some(Self {
            mesh: WindowMesh::with_glass(&model, PieceMesh::join(&pieces)),
            model,
            optics,
            eye,
            viewer: viewer(scene),
            pieces,
            glazing,
            facing_deg,
            latitude_deg: scene.place.latitude_deg,
            horizon: scene.horizon.clone(),
        })
    }

    /// Takes one piece's new glass or paint from the window it belongs to; the others stay as they are. Returns
    /// whether the mesh has changed, which it does where strokes or a fade have. Nothing happens beyond the last
    /// piece.
    pub fn set_piece(&mut self, window: &ResolvedWindow, index: usize) -> bool {
        if index >= window.pieces.len().min(self.model.pieces.len()) {
            return false;
        }
        self.glazing.set(index, &window.pieces[index]);
        let mut model = piece_model(window, index);
        let mesh = &mut self.pieces[index];
        let before = &self.model.pieces[index];
        let same = (model.fade.length_mm - before.fade.length_mm).abs() <= 0.0;
        if !same {
            *mesh = PieceMesh::new(&model);
        }
        model.fade.scale = fade_scale(&mesh.glass, &model);

        let now = overlays(window, index);
        let transmittance = |m, f, a| self.glazing.transmittance(m, f, a);
        let over: Vec<_> =
            now.iter().map(|o| PieceOptics::of_overlay(&model, o, self.eye, transmittance)).collect();
        self.optics[index] = PieceOptics::new(&model, self.eye, transmittance);
        let first = self.model.overlays.partition_point(|o| o.piece < index);
        let last = self.model.overlays.partition_point(|o| o.piece <= index);
        let lines = |o: &[Overlay]| o.iter().map(|o| o.lines.clone()).collect::<Vec<_>>();
        let changed = !same || lines(&now) != lines(&self.model.overlays[first..last]);
        if changed {
            mesh.lay_over(&model, &now);
        }
        self.model.overlays.splice(first..last, now);
        self.model.pieces[index] = model;
        let count = self.model.pieces.len();
        self.optics.splice(count + first..count + last, over);
        if changed {
            self.mesh.glass = PieceMesh::join(&self.pieces);
        }
        changed
    }

    /// Moves the eye to a place in the panel's frame.
    pub fn set_eye(&mut self, eye: Eye) {
        self.eye = eye;
        let glazing = &self.glazing;
        self.optics = PieceOptics::of_window(&self.model, eye, |m, f, a| glazing.transmittance(m, f, a));
    }

    /// Takes what stands around, where the wall looks and who looks from a scene with the same window.
    pub fn set_outdoors(&mut self, scene: &Resolved) {
        self.viewer = viewer(scene);
        self.facing_deg = scene.room.facing_deg;
        self.latitude_deg = scene.place.latitude_deg;
        self.horizon = scene.horizon.clone();
    }

    /// Tables of an instant.
    pub fn tables(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> LightTables {
        LightTables::new(&self.model, &self.optics, &self.light(outside, room_white_cd_m2))
    }

    /// The light of an instant as the tables take it; the place's latitude says what the season does to leaves.
    pub fn light(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> Light {
        let basis = outside.basis(SKY_COLUMNS);
        let edges = Edges::new(
            &self.horizon,
            daylight::leaf_share(self.latitude_deg, outside.instant().day_of_year()),
        );
        let sun = outside.sun();
        let beam = outside.beam_normal();
        let shines = beam.max() > 0.0;
        let mut weights = Weights { basis: &basis, found: [0.0; SKY_COLUMNS + 2] };
        Light {
            sky: basis.spectra.iter().skip(2).copied().collect(),
            ground: outside.ground_radiance(),
            disc: beam * (1.0 / SUN_SR),
            glow: OutsideOfWall::new(outside, self.facing_deg).glow,
            toward_sun: shines.then(|| toward(self.facing_deg, sun.direction())),
            field: DirectionField::new(
                self.model.bounds(),
                self.eye,
                &edges.breaks_deg(self.facing_deg),
                |d| Seen { weights: seen(&mut weights, &edges, compass(self.facing_deg, d)) },
                |level| edges.seen(compass(self.facing_deg, level).azimuth_deg),
            ),
            eye: self.eye,
            room_white_cd_m2,
            viewer: self.viewer,
        }
    }

    /// The light of an instant as the 81-sample path takes it.
    pub fn surroundings<'a>(&self, outside: &'a Outside) -> OutsideOfWall<'a> {
        OutsideOfWall::new(outside, self.facing_deg)
    }

    /// What stands around.
    pub fn horizon(&self) -> &Horizon {
        &self.horizon
    }

    /// Transmittance of a piece or an overlay by the number of its makeup, factors and angle in degrees: of a piece
    /// beside its strokes, of an overlay within them.
    pub fn transmittance(&self) -> impl Fn(usize, Factors, f64) -> Transmittance {
        |makeup, factors, angle_deg| self.glazing.transmittance(makeup, factors, angle_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panel_and_compass_directions_agree() {
        for (altitude_deg, azimuth_deg) in [(0.0, 250.0), (35.0, 300.0), (-12.0, 200.0)] {
            let d = Direction { altitude_deg, azimuth_deg };
            let back = compass(255.0, toward(255.0, d));
            assert!((back.altitude_deg - altitude_deg).abs() < 1e-9);
            assert!((back.azimuth_deg - azimuth_deg).abs() < 1e-9);
        }
        // To the right, seen from inside a wall that faces south, is west.
        let right = compass(180.0, [0.5, 0.0, -0.866]);
        assert!(right.azimuth_deg > 180.0);
    }
}
