//! From a resolved scene and the light outside to what the renderer takes.

use daylight::{Direction, Horizon, Outside, SkyBasis};
use scene::{Resolved, ResolvedPiece, ResolvedRoom, ResolvedWindow};
use spectra::Spectrum;

use crate::{
    light::{DirectionField, Eye, Light, SKY_COLUMNS, Seen},
    mesh::WindowMesh,
    model::{PieceModel, Region, SheetModel, Strip, WindowModel},
    optics::{PieceOptics, Transmittance},
    reference::Surroundings,
    tables::LightTables,
};

/// Share of a glass's usual thickness range (2–4 mm for blown glass) that one sheet spans: ±0.5–1 mm, common
/// practice, no source.
const WITHIN_ONE_SHEET: f64 = 0.75;
/// Unevenness of brushed and stippled paint, as a share of its density. Assumption.
const PAINT_UNEVENNESS: f64 = 0.12;
/// Size of a blown sheet, mm: where a piece may have been cut from. Common practice, no source.
const SHEET_MM: [u32; 2] = [900, 600];
/// How far the blowing axis of a cut piece strays from upright, degrees either way. Assumption.
const AXIS_STRAYS_DEG: u32 = 14;
/// Solid angle of the sun's disc, 0.53° across, sr.
const SUN_SR: f64 = 6.735e-5;
/// Edges closer than this count as one, degrees.
const EDGE_DEG: f64 = 0.01;
/// How far aside a layer is looked for that a bearing does not show, degrees, nearest first.
const ASIDE_DEG: [f64; 9] = [0.0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2, 1.6, -1.6];

/// Shapes and sheets of a window. Pieces keep their order, and each is its own makeup.
pub fn window_model(window: &ResolvedWindow) -> WindowModel {
    let panel = &window.panel;
    let region = |polygon: &panel::Polygon| -> Region { polygon.rings().map(<[_]>::to_vec).collect() };
    let mut leads: Vec<&panel::LeadLine> = panel.leads.iter().collect();
    // Wider leads stand in front.
    leads.sort_by(|a, b| a.face_mm.total_cmp(&b.face_mm));
    WindowModel {
        opening: region(&panel.opening),
        pieces: panel
            .pieces
            .iter()
            .zip(&window.pieces)
            .enumerate()
            .map(|(index, (shape, piece))| PieceModel {
                light_shape: shape.light.iter().flat_map(region).collect(),
                makeup: index,
                thickness_factor: 1.0,
                paint_factor: 1.0,
                sheet: sheet_model(piece),
            })
            .collect(),
        leads: leads
            .into_iter()
            .map(|lead| Strip {
                line: lead.points.clone(),
                closed: lead.from_joint == lead.to_joint && lead.points.len() > 3,
                width_mm: lead.face_mm,
            })
            .collect(),
        bars: panel
            .bars
            .iter()
            .flat_map(|bar| {
                bar.axis.iter().map(|line| Strip {
                    line: line.clone(),
                    closed: false,
                    width_mm: bar.diameter_mm,
                })
            })
            .collect(),
    }
}

/// The sheet of a piece's innermost plate, and a place on it that follows from the piece's number.
fn sheet_model(piece: &ResolvedPiece) -> SheetModel {
    let Some(plate) = piece.makeup.plates.last() else { return SheetModel::default() };
    let range = plate.glass.thickness;
    let half = (range.max_mm - range.min_mm) / 2.0;
    let amplitude = WITHIN_ONE_SHEET * half / range.nominal_mm.max(0.1);
    let seed = hash(plate.glass.id.bytes().map(u32::from).chain([piece.sheet]));
    let cut = |what: u32| hash([seed, piece.id, what]);
    SheetModel {
        seed,
        thickness_amplitude: if amplitude.is_finite() { amplitude.clamp(0.0, 0.5) } else { 0.0 },
        paint_amplitude: if piece.makeup.paints.is_empty() { 0.0 } else { PAINT_UNEVENNESS },
        axis_deg: 90.0 + f64::from(cut(0) % (2 * AXIS_STRAYS_DEG + 1)) - f64::from(AXIS_STRAYS_DEG),
        origin_mm: [f64::from(cut(1) % SHEET_MM[0]), f64::from(cut(2) % SHEET_MM[1])],
        thickness_mm: plate.thickness_mm,
        n: plate.glass.n,
    }
}

/// FNV-1a over words, 24 bits kept: what a single-precision texel holds exactly.
fn hash(words: impl IntoIterator<Item = u32>) -> u32 {
    let mixed =
        words.into_iter().fold(0x811c_9dc5_u32, |h, w| (h ^ w).wrapping_mul(0x0100_0193).rotate_left(5));
    (mixed ^ (mixed >> 15)) & 0xff_ffff
}

/// Where an eye of the room (metres) is in a window's panel plane (mm).
pub fn eye_before(window: &ResolvedWindow, eye_m: [f64; 3]) -> Eye {
    let [x, y] = window.lower_left_m;
    Eye { position_mm: [(eye_m[0] - x) * 1000.0, (eye_m[1] - y) * 1000.0, eye_m[2] * 1000.0] }
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
        Self { outside, facing_deg, glow: (beam + diffuse) * std::f64::consts::FRAC_1_PI }
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

/// One instant's light on a window seen from an eye.
pub fn light(
    outside: &Outside,
    horizon: &Horizon,
    facing_deg: f64,
    model: &WindowModel,
    eye: Eye,
    room_white_cd_m2: Option<f64>,
) -> Light {
    let basis = outside.basis(SKY_COLUMNS);
    let edges = Edges::new(horizon);
    let sun = outside.sun();
    let beam = outside.beam_normal();
    let shines = beam.max() > 0.0;
    Light {
        sky: basis.spectra.iter().skip(2).copied().collect(),
        ground: outside.ground_radiance(),
        disc: beam * (1.0 / SUN_SR),
        glow: OutsideOfWall::new(outside, facing_deg).glow,
        toward_sun: shines.then(|| toward(facing_deg, sun.direction())),
        field: DirectionField::new(
            model.bounds(),
            eye,
            &edges.breaks_deg(facing_deg),
            |d| seen(&basis, &edges, compass(facing_deg, d)),
            |level| {
                let [lower, upper] = edges.at(compass(facing_deg, level).azimuth_deg);
                [upper, lower]
            },
        ),
        eye,
        room_white_cd_m2,
    }
}

/// Weights of every layer in one direction.
fn seen(basis: &SkyBasis, edges: &Edges, d: Direction) -> Seen {
    let mut found = [0.0; SKY_COLUMNS + 2];
    let mut weights_at = |altitude_deg: f64, aside_deg: f64| -> [f32; SKY_COLUMNS] {
        let altitude_deg = altitude_deg.clamp(0.0, 90.0);
        let azimuth_deg = d.azimuth_deg + aside_deg;
        basis.weights_into(Direction { altitude_deg, azimuth_deg }, &mut found);
        std::array::from_fn(|k| found[k + 2] as f32)
    };
    // What is hidden or absent here goes on as it is seen a little aside; sky under a level edge as its mirror image
    // in the edge, so that the mean of the two nodes that an edge runs between is right to second order.
    let upper = edges.at(d.azimuth_deg)[1];
    let first = upper + EDGE_DEG;
    let seen_aside =
        ASIDE_DEG.into_iter().find(|aside| edges.at(d.azimuth_deg + aside)[1] + EDGE_DEG <= d.altitude_deg);
    let sky = if let Some(aside) = seen_aside {
        weights_at(d.altitude_deg, aside)
    } else {
        let edge = weights_at(first, 0.0);
        let mirrored = weights_at(first + (first - d.altitude_deg).min(2.0), 0.0);
        std::array::from_fn(|k| 2.0 * edge[k] - mirrored[k])
    };
    let mut inside = |layer: fn([f64; 2]) -> (f64, f64)| {
        ASIDE_DEG.into_iter().find_map(|aside| {
            let (low, high) = layer(edges.at(d.azimuth_deg + aside));
            (high - low > 2.0 * EDGE_DEG)
                .then(|| weights_at(d.altitude_deg.clamp(low + EDGE_DEG, high - EDGE_DEG), aside))
        })
    };
    let between = inside(|[lower, upper]| (lower, upper)).unwrap_or(sky);
    let below = inside(|[lower, _]| (0.0, lower)).unwrap_or(between);
    Seen { weights: [sky, between, below] }
}

/// Where the view changes its kind: skyline and tree tops by bearing.
struct Edges {
    skyline: Vec<(f64, f64)>,
    /// Beginning, span and top.
    trees: Vec<[f64; 3]>,
}

impl Edges {
    fn new(horizon: &Horizon) -> Self {
        let mut skyline: Vec<(f64, f64)> =
            horizon.points.iter().map(|p| (p.bearing_deg.rem_euclid(360.0), p.altitude_deg)).collect();
        skyline.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let (Some(&first), Some(&last)) = (skyline.first(), skyline.last()) {
            skyline.insert(0, (last.0 - 360.0, last.1));
            skyline.push((first.0 + 360.0, first.1));
        }
        let span = |from: f64, to: f64| {
            if (to - from).abs() >= 360.0 { 360.0 } else { (to - from).rem_euclid(360.0) }
        };
        let trees = horizon
            .trees
            .iter()
            .map(|t| [t.from_bearing_deg, span(t.from_bearing_deg, t.to_bearing_deg), t.top_altitude_deg])
            .collect();
        Self { skyline, trees }
    }

    /// Bearings at which trees begin or end, degrees to the right of a wall's outward normal, −180 to 180.
    fn breaks_deg(&self, facing_deg: f64) -> Vec<f64> {
        let ends = self.trees.iter().flat_map(|[from, span, _]| [*from, from + span]);
        ends.map(|bearing| (bearing - facing_deg + 180.0).rem_euclid(360.0) - 180.0).collect()
    }

    /// The two highest edges at a bearing, the lower one first, 0 where there are fewer.
    fn at(&self, azimuth_deg: f64) -> [f64; 2] {
        let bearing = azimuth_deg.rem_euclid(360.0);
        let skyline =
            self.skyline.windows(2).find(|w| w[0].0 <= bearing && bearing <= w[1].0).map_or(0.0, |w| {
                let ((x0, y0), (x1, y1)) = (w[0], w[1]);
                if x1 > x0 { y0 + (y1 - y0) * (bearing - x0) / (x1 - x0) } else { y1 }
            });
        let trees = self
            .trees
            .iter()
            .filter(|[from, span, _]| (azimuth_deg - from).rem_euclid(360.0) <= *span)
            .map(|t| t[2]);
        trees.chain([skyline]).fold([0.0, 0.0], |[lower, upper], edge| {
            if edge > upper { [upper, edge] } else { [lower.max(edge), upper] }
        })
    }
}

/// A window of a scene made ready to be drawn from one eye: everything that stays while the sun moves.
#[derive(Clone, Debug)]
pub struct SceneWindow {
    /// Shapes and sheets.
    pub model: WindowModel,
    /// Triangles.
    pub mesh: WindowMesh,
    /// Sampled pieces.
    pub optics: Vec<PieceOptics>,
    /// Where it is seen from.
    pub eye: Eye,
    prepared: Vec<glass::Prepared>,
    facing_deg: f64,
    horizon: Horizon,
}

impl SceneWindow {
    /// Window `index` of a scene, seen from `eye_m` (metres in the room's frame); `None` without such a window.
    pub fn new(scene: &Resolved, index: usize, eye_m: [f64; 3]) -> Option<Self> {
        let window = scene.windows.get(index)?;
        let model = window_model(window);
        let mesh = WindowMesh::new(&model);
        let eye = eye_before(window, eye_m);
        let prepared: Vec<_> = window.pieces.iter().map(|p| p.makeup.prepare()).collect();
        let optics = PieceOptics::of_window(&model, eye, transmittances(&prepared));
        let ResolvedRoom { facing_deg, .. } = scene.room;
        Some(Self { model, mesh, optics, eye, prepared, facing_deg, horizon: scene.horizon.clone() })
    }

    /// Takes one piece's new glass or paint; the others stay as they are. Nothing happens beyond the last piece.
    pub fn set_piece(&mut self, index: usize, piece: &ResolvedPiece) {
        let (Some(model), Some(prepared)) = (self.model.pieces.get_mut(index), self.prepared.get_mut(index))
        else {
            return;
        };
        model.sheet = sheet_model(piece);
        *prepared = piece.makeup.prepare();
        self.optics[index] = PieceOptics::new(model, self.eye, transmittances(&self.prepared));
    }

    /// Moves the eye to a place in the panel's frame.
    pub fn set_eye(&mut self, eye: Eye) {
        self.eye = eye;
        self.optics = PieceOptics::of_window(&self.model, eye, transmittances(&self.prepared));
    }

    /// Tables of an instant.
    pub fn tables(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> LightTables {
        LightTables::new(&self.model, &self.optics, &self.light(outside, room_white_cd_m2))
    }

    /// The light of an instant as the tables take it.
    pub fn light(&self, outside: &Outside, room_white_cd_m2: Option<f64>) -> Light {
        light(outside, &self.horizon, self.facing_deg, &self.model, self.eye, room_white_cd_m2)
    }

    /// The light of an instant as the 81-sample path takes it.
    pub fn surroundings<'a>(&self, outside: &'a Outside) -> OutsideOfWall<'a> {
        OutsideOfWall::new(outside, self.facing_deg)
    }

    /// Transmittance of a piece, by thickness factor, paint factor and angle in degrees.
    pub fn transmittance(&self) -> impl Fn(usize, f64, f64, f64) -> Transmittance {
        transmittances(&self.prepared)
    }
}

fn transmittances(prepared: &[glass::Prepared]) -> impl Fn(usize, f64, f64, f64) -> Transmittance {
    |makeup, thickness_factor, paint_factor, angle_deg| match prepared.get(makeup) {
        Some(prepared) => {
            let optics = prepared.scaled(angle_deg, thickness_factor, paint_factor);
            Transmittance { regular: optics.regular_transmittance, diffuse: optics.diffuse_transmittance }
        }
        None => Transmittance { regular: Spectrum::ZERO, diffuse: Spectrum::ZERO },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use daylight::{HorizonPoint, Trees};

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

    #[test]
    fn edges_follow_skyline_and_trees() {
        let horizon = Horizon {
            points: vec![
                HorizonPoint { bearing_deg: 350.0, altitude_deg: 10.0 },
                HorizonPoint { bearing_deg: 10.0, altitude_deg: 20.0 },
            ],
            trees: vec![Trees {
                from_bearing_deg: 5.0,
                to_bearing_deg: 40.0,
                top_altitude_deg: 16.0,
                transmittance_bare: 0.5,
                transmittance_in_leaf: 0.2,
                reflectance: Spectrum::splat(0.1),
            }],
            ..Horizon::default()
        };
        let edges = Edges::new(&horizon);
        for (azimuth, expected) in [
            (0.0, [0.0, 15.0]),
            (360.0, [0.0, 15.0]),
            (8.0, [16.0, 19.0]),
            (180.0, [0.0, 15.0]),
            (6.0, [16.0, 18.0]),
        ] {
            let found = edges.at(azimuth);
            assert!(
                (found[0] - expected[0]).abs() < 1e-9 && (found[1] - expected[1]).abs() < 1e-9,
                "{azimuth}: {found:?}"
            );
        }
        assert!(Edges::new(&Horizon::default()).at(77.0).iter().all(|e| *e <= 0.0));
    }
}
