//! Response tables: the light of every spectrum of the instant through every piece, in signed linear RGB.
//!
//! This is the work that a moving sun causes. The sums run over 81 wavelengths with 12 columns innermost and the
//! four thickness nodes side by side as accumulators, an order that compilers turn into vector code;
//! `benches/frame.rs` measures the gain over the naive way.

use glam::{DVec3, Vec2, Vec3, Vec4};
use plane::PanelPoint;
use spectra::{SAMPLES, Spectrum};

use crate::glazing::optics::{FourNodes, PieceOptics};
use crate::light::field::{Bearing, SKY_COLUMNS, Seen};
use crate::light::instant::Light;
use crate::light::lobes::{LobeLight, SPECTRA, Scattered};
use crate::light::piece_record::piece_record;
use crate::light::tables::{LightTables, before_forwards};
use crate::rgb::rgb_weights;
use crate::shared::constants::{FORWARD_COLUMNS, FORWARD_ROWS};
use crate::shared::records::{FieldBearing, FieldForward, FieldNode, Forward, Piece, Response};
use crate::window::model::WindowModel;

/// Twelve columns of weights for each wavelength.
type Columns = [[f32; 12]; SAMPLES];
/// RGB of the light that pieces scatter.
type GlowColumns = [[f32; 3]; SAMPLES];

impl LightTables {
    /// Tables of a window (its sampled optics, in the order of its pieces) in one light.
    pub fn new(model: &WindowModel, optics: &[PieceOptics], light: &Light) -> Self {
        let columns = LightColumns::new(light);
        let weights = rgb_weights();
        let glow_columns = |glow: &Spectrum| glow_columns(glow, &weights);
        let (mut responses, mut forwards) = (Vec::new(), Vec::new());
        let mut pieces: Vec<Piece> = Vec::with_capacity(optics.len());
        let overlays = model.overlays.iter().filter_map(|o| Some((model.pieces.get(o.piece)?, Some(o))));
        let entries = model.pieces.iter().map(|piece| (piece, None)).chain(overlays);
        // The area under overlays counts as theirs.
        let mut places: Vec<(f64, PanelPoint)> = Vec::with_capacity(optics.len());
        for ((piece, overlay), optics) in entries.zip(optics) {
            places.push((optics.area_mm2 * overlay.map_or(1.0, |o| o.share), optics.middle_mm));
            if let Some(overlay) = overlay {
                let (area, _) = &mut places[overlay.piece];
                *area = (*area - overlay.share * optics.area_mm2).max(0.0);
            }
            let own = overlay.map_or(pieces.len(), |o| o.piece);
            let shaded = light.wall.as_ref().and_then(|wall| wall.on_pieces.get(own));
            let scattered = optics
                .forward
                .as_ref()
                .and_then(|of| light.lobes.as_ref()?.on(of, optics.middle_mm, shaded.map(|on| &on.shaded)));
            let glow = scattered.as_ref().map(|on| on.even).or(shaded.map(|on| on.glow));
            let mut record = piece_record(piece, overlay, optics, light.eye, responses.len());
            if let Some(on) = &scattered {
                // Those of the responses before it are added below.
                record.first_forward = forwards.len() as f32;
                record.forward_column = (on.width as u32 * FORWARD_COLUMNS) as f32;
                record.bell = (0.5 / on.variance) as f32;
                forward_nodes(optics, on, &weights, &mut forwards);
            }
            pieces.push(record);
            columns.respond(optics, glow.as_ref().map(glow_columns), &mut responses);
        }
        let before = before_forwards(responses.len()) as f32;
        pieces.iter_mut().filter(|piece| piece.bell > 0.0).for_each(|piece| piece.first_forward += before);
        let field = &light.field;
        let [width, height] = field.bounds.size();
        let [x, y, z] = light.eye.position_mm.to_array();
        Self {
            responses,
            forwards,
            pieces,
            nodes: field.nodes.iter().map(field_node).collect(),
            stone: light.wall.as_ref().map_or(Vec::new(), |wall| wall.stone.clone()),
            stone_depth_mm: light.wall.as_ref().map_or(0.0, |wall| wall.depth_mm),
            inner: light.inner.as_ref().map_or(Vec::new(), |inner| inner.nodes.clone()),
            ahead: light.lobes.as_ref().map_or(Vec::new(), ahead),
            bearings: field.bearings.iter().map(field_bearing).collect(),
            field_size: [field.columns.len(), field.rows],
            field_origin_mm: field.bounds.min.vector().as_vec2(),
            field_widths_per_mm: (1.0 / width) as f32,
            field_rows_per_mm: ((field.rows - 1) as f64 / height) as f32,
            eye_mm: DVec3::new(x, y, z.max(1.0)).as_vec3(),
            toward_sun: light.toward_sun.map(|d| d.vector().as_vec3()),
            places,
            room_white_cd_m2: light.room_white_cd_m2,
            bounds: field.bounds,
            viewer: light.viewer,
        }
    }
}

/// The grids of all widths, side by side.
fn ahead(lobes: &LobeLight) -> Vec<FieldForward> {
    let columns = FORWARD_COLUMNS as usize;
    let row = |y: usize| lobes.widths.iter().flat_map(move |width| &width.nodes[y * columns..][..columns]);
    (0..FORWARD_ROWS as usize).flat_map(row).copied().collect()
}

/// Appends what the nodes of a piece scatter forward.
fn forward_nodes(
    optics: &PieceOptics,
    on: &Scattered,
    weights: &[DVec3; SAMPLES],
    forwards: &mut Vec<Forward>,
) {
    let mut columns = [[0.0; 12]; SAMPLES];
    for (k, column) in columns.iter_mut().enumerate() {
        for channel in 0..3 {
            for (s, spectrum) in on.forward.iter().enumerate() {
                column[channel * (SPECTRA + 1) + s] = (spectrum[k] * weights[k][channel]) as f32;
            }
        }
    }
    for j in 0..optics.regular.len() {
        let nodes = optics.diffuse.get(j).map_or([[0.0; 12]; 4], |diffuse| four_nodes(diffuse, &columns));
        forwards.extend(nodes.map(|of| {
            let [red, green, blue] = [0, 1, 2].map(|k| Vec4::from_slice(&of[4 * k..4 * k + 4]));
            Forward { red, green, blue }
        }));
    }
}

fn field_node(node: &Seen) -> FieldNode {
    let [above, between, below] = node.weights;
    let four = |w: [f32; SKY_COLUMNS]| Vec4::new(w[0], w[1], w[2], w[3]);
    FieldNode {
        above: four(above),
        between: four(between),
        below: four(below),
        fifths: Vec3::new(above[4], between[4], below[4]),
        unused: 0.0,
    }
}

fn field_bearing(bearing: &Bearing) -> FieldBearing {
    FieldBearing {
        edges: Vec2::from_array(bearing.edges),
        column: bearing.column,
        jump: bearing.jump,
        detail: Vec2::from_array(bearing.detail),
        leaves: bearing.leaves,
        unused: 0.0,
    }
}

/// An instant's spectra times the observer's weights.
struct LightColumns {
    /// Red, green and blue of the first four sky spectra.
    sky: Columns,
    /// RGB of ground, disc and zeros, each followed by a channel of the fifth sky spectrum.
    others: Columns,
    glow: GlowColumns,
}

impl LightColumns {
    fn new(light: &Light) -> Self {
        let weights = rgb_weights();
        let mut sky = [[0.0; 12]; SAMPLES];
        let mut others = [[0.0; 12]; SAMPLES];
        for k in 0..SAMPLES {
            for channel in 0..3 {
                let seen = |spectrum: &Spectrum| (spectrum[k] * weights[k][channel]) as f32;
                for (s, spectrum) in light.sky.iter().take(4).enumerate() {
                    sky[k][channel * 4 + s] = seen(spectrum);
                }
                others[k][channel] = seen(&light.ground);
                others[k][4 + channel] = seen(&light.disc);
                others[k][channel * 4 + 3] = light.sky.get(4).map_or(0.0, seen);
            }
        }
        Self { sky, others, glow: glow_columns(&light.glow, &weights) }
    }

    /// Appends the table of one piece. `glow`: its own instead of that of all.
    fn respond(&self, optics: &PieceOptics, glow: Option<GlowColumns>, responses: &mut Vec<Response>) {
        let light = glow.as_ref().unwrap_or(&self.glow);
        for (j, regular) in optics.regular.iter().enumerate() {
            let sky = four_nodes(regular, &self.sky);
            let others = four_nodes(regular, &self.others);
            let glow = optics.diffuse.get(j).map_or([[0.0; 3]; 4], |diffuse| glow_of(diffuse, light));
            for ((sky, others), glow) in sky.iter().zip(&others).zip(&glow) {
                let four = |columns: &[f32; 12], k: usize| Vec4::from_slice(&columns[4 * k..4 * k + 4]);
                let [ground, disc, last] = [0, 1, 2].map(|k| four(others, k));
                responses.push(Response {
                    red: four(sky, 0),
                    green: four(sky, 1),
                    blue: four(sky, 2),
                    ground: ground.truncate(),
                    fifth_red: ground.w,
                    disc: disc.truncate(),
                    fifth_green: disc.w,
                    glow: Vec3::from_array(*glow),
                    fifth_blue: last.w,
                });
            }
        }
    }
}

fn glow_columns(glow: &Spectrum, weights: &[DVec3; SAMPLES]) -> GlowColumns {
    std::array::from_fn(|k| (weights[k] * glow[k]).as_vec3().to_array())
}

/// Sums over wavelength of four nodes times twelve columns.
fn four_nodes(transmittance: &FourNodes, columns: &Columns) -> [[f32; 12]; 4] {
    let [mut a, mut b, mut c, mut d] = [[0.0_f32; 12]; 4];
    for (t, column) in transmittance.iter().zip(columns) {
        for ((((a, b), c), d), &w) in a.iter_mut().zip(&mut b).zip(&mut c).zip(&mut d).zip(column) {
            *a += t[0] * w;
            *b += t[1] * w;
            *c += t[2] * w;
            *d += t[3] * w;
        }
    }
    [a, b, c, d]
}

fn glow_of(transmittance: &FourNodes, columns: &GlowColumns) -> [[f32; 3]; 4] {
    let mut sums = [[0.0_f32; 3]; 4];
    for (t, column) in transmittance.iter().zip(columns) {
        for (sum, t) in sums.iter_mut().zip(t) {
            for (s, w) in sum.iter_mut().zip(column) {
                *s += t * w;
            }
        }
    }
    sums
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_kernel_equals_the_plain_sum() {
        let transmittance: FourNodes =
            std::array::from_fn(|k| std::array::from_fn(|i| ((k * 7 + i * 13) % 29) as f32 / 29.0));
        let columns: Columns =
            std::array::from_fn(|k| std::array::from_fn(|c| ((k * 5 + c * 11) % 31) as f32 - 15.0));
        let fast = four_nodes(&transmittance, &columns);
        for i in 0..4 {
            for c in 0..12 {
                let plain: f64 =
                    (0..SAMPLES).map(|k| f64::from(transmittance[k][i]) * f64::from(columns[k][c])).sum();
                // Rounding of 81 single-precision terms of up to 15.
                assert!((f64::from(fast[i][c]) - plain).abs() < 1e-3);
            }
        }
    }
}
