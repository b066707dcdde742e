//! Response tables: what every piece makes of every spectrum of the instant, in signed linear RGB.
//!
//! This is the work that a moving sun asks for. The sums run over 81 wavelengths with 12 columns innermost and
//! the four thickness nodes side by side as accumulators, the order that compilers turn into vector code; see
//! `benches/frame.rs` for what it gains over the plain way.

use spectra::{SAMPLES, Spectrum};

use crate::glazing::optics::{FourNodes, PieceOptics, THICKNESS_NODES};
use crate::light::field::{DirectionField, SKY_COLUMNS};
use crate::light::instant::Light;
use crate::light::piece_record::piece_texels;
use crate::light::tables::LightTables;
use crate::rgb::rgb_weights;
use crate::shared::constants::{FIELD_WIDTH, PIECE_TEXELS};
use crate::window::model::WindowModel;

/// Twelve columns of weights for each wavelength.
type Columns = [[f32; 12]; SAMPLES];

impl LightTables {
    /// Tables of a window (its sampled optics, in the order of its pieces) in one light.
    pub fn new(model: &WindowModel, optics: &[PieceOptics], light: &Light) -> Self {
        let columns = LightColumns::new(light);
        let mut responses = Vec::new();
        let mut pieces = Vec::with_capacity(optics.len() * PIECE_TEXELS as usize);
        let overlays = model.overlays.iter().filter_map(|o| Some((model.pieces.get(o.piece)?, Some(o))));
        let entries = model.pieces.iter().map(|piece| (piece, None)).chain(overlays);
        // What overlays cover is not the piece's own.
        let mut places: Vec<(f64, [f64; 2])> = Vec::with_capacity(optics.len());
        for ((piece, overlay), optics) in entries.zip(optics) {
            places.push((optics.area_mm2 * overlay.map_or(1.0, |o| o.share), optics.middle_mm));
            if let Some(overlay) = overlay {
                let (area, _) = &mut places[overlay.piece];
                *area = (*area - overlay.share * optics.area_mm2).max(0.0);
            }
            pieces.extend(piece_texels(piece, overlay, optics, light.eye, responses.len()));
            columns.respond(optics, &mut responses);
        }
        let field = &light.field;
        let [width, height] = field.bounds.size();
        Self {
            responses,
            pieces,
            field: field_texels(field),
            field_size: [field.columns.len(), field.rows],
            field_map: [
                field.bounds.min[0] as f32,
                field.bounds.min[1] as f32,
                (1.0 / width) as f32,
                ((field.rows - 1) as f64 / height) as f32,
            ],
            eye_mm: [
                light.eye.position_mm[0] as f32,
                light.eye.position_mm[1] as f32,
                light.eye.position_mm[2].max(1.0) as f32,
            ],
            sun: match light.toward_sun {
                Some(d) => [d[0] as f32, d[1] as f32, d[2] as f32, 1.0],
                None => [0.0, 0.0, 1.0, 0.0],
            },
            places,
            room_white_cd_m2: light.room_white_cd_m2,
            bounds: field.bounds,
            viewer: light.viewer,
        }
    }
}

/// The grid row by row, then a row of bearings and one of their detail.
fn field_texels(field: &DirectionField) -> Vec<[f32; 4]> {
    let width = FIELD_WIDTH as usize;
    let mut texels = Vec::with_capacity(width * (field.rows + 1));
    for row in field.nodes.chunks(field.columns.len()) {
        for node in row {
            let [upper, between, lower] = node.weights;
            let four = |w: [f32; SKY_COLUMNS]| [w[0], w[1], w[2], w[3]];
            texels.extend([four(upper), four(between), four(lower), [upper[4], between[4], lower[4], 0.0]]);
        }
        texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
    }
    texels.extend(field.bearings.iter().map(|b| [b.edges[0], b.edges[1], b.column, b.jump]));
    texels.resize(width * (field.rows + 1), [0.0; 4]);
    texels.extend(field.bearings.iter().map(|b| [b.detail[0], b.detail[1], b.leaves, 0.0]));
    texels.resize(width * (field.rows + 2), [0.0; 4]);
    texels
}

/// An instant's spectra times the observer's weights.
struct LightColumns {
    /// Red, green and blue of the first four sky spectra.
    sky: Columns,
    /// RGB of ground, disc and nothing, each followed by a channel of the fifth sky spectrum.
    others: Columns,
    /// RGB of the glow.
    glow: [[f32; 3]; SAMPLES],
}

impl LightColumns {
    fn new(light: &Light) -> Self {
        let weights = rgb_weights();
        let mut sky = [[0.0; 12]; SAMPLES];
        let mut others = [[0.0; 12]; SAMPLES];
        let mut glow = [[0.0; 3]; SAMPLES];
        for k in 0..SAMPLES {
            for channel in 0..3 {
                let seen = |spectrum: &Spectrum| (spectrum[k] * weights[k][channel]) as f32;
                for (s, spectrum) in light.sky.iter().take(4).enumerate() {
                    sky[k][channel * 4 + s] = seen(spectrum);
                }
                others[k][channel] = seen(&light.ground);
                others[k][4 + channel] = seen(&light.disc);
                others[k][channel * 4 + 3] = light.sky.get(4).map_or(0.0, seen);
                glow[k][channel] = (light.glow[k] * weights[k][channel]) as f32;
            }
        }
        Self { sky, others, glow }
    }

    /// Appends the table of one piece.
    fn respond(&self, optics: &PieceOptics, responses: &mut Vec<[f32; 4]>) {
        for (j, regular) in optics.regular.iter().enumerate() {
            let sky = four_nodes(regular, &self.sky);
            let others = four_nodes(regular, &self.others);
            let glow = optics.diffuse.get(j).map_or([[0.0; 3]; 4], |diffuse| glow_of(diffuse, &self.glow));
            for i in 0..THICKNESS_NODES {
                for group in sky[i].as_chunks::<4>().0 {
                    responses.push(*group);
                }
                let [ground, disc, last] = [0, 4, 8].map(|k| [0, 1, 2, 3].map(|c| others[i][k + c]));
                let [r, g, b] = glow[i];
                responses.extend([ground, disc, [r, g, b, last[3]]]);
            }
        }
    }
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

fn glow_of(transmittance: &FourNodes, columns: &[[f32; 3]; SAMPLES]) -> [[f32; 3]; 4] {
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
    fn the_kernel_is_the_plain_sum() {
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
