//! Response tables: what every piece makes of every spectrum of the instant, in signed linear RGB.
//!
//! This is the work that a moving sun asks for. The sums run over 81 wavelengths with 12 columns innermost and
//! the four thickness nodes side by side as accumulators, the order that compilers turn into vector code; see
//! `benches/frame.rs` for what it gains over the plain way.

use spectra::{SAMPLES, Spectrum};

use crate::{
    constants::{FIELD_WIDTH, PIECE_TEXELS, PIECES_PER_ROW, RESPONSE_TEXELS, RESPONSE_WIDTH},
    eye::Viewer,
    light::{DirectionField, Eye, Light, SKY_COLUMNS},
    model::{Bounds, Overlay, PieceModel, WindowModel},
    optics::{FourNodes, PieceOptics, THICKNESS_NODES, index_of, inner_cosine, paint_scale},
    rgb::rgb_weights,
};

/// Twelve columns of weights for each wavelength.
type Columns = [[f32; 12]; SAMPLES];

/// Everything about an instant that the shaders read, ready to be uploaded.
#[derive(Clone, Debug, PartialEq)]
pub struct LightTables {
    /// RGBA texels of the response tables, `RESPONSE_WIDTH` to a row.
    pub(crate) responses: Vec<[f32; 4]>,
    /// `PIECE_TEXELS` for each piece.
    pub(crate) pieces: Vec<[f32; 4]>,
    /// `FIELD_TEXELS` for each node of the direction field, `FIELD_WIDTH` to a row, and two rows of bearings.
    pub(crate) field: Vec<[f32; 4]>,
    /// Nodes of the field along x and y.
    pub(crate) field_size: [usize; 2],
    /// Its lower-left node, mm, then one over its width and cells per mm upward.
    pub(crate) field_map: [f32; 4],
    /// Eye, panel mm.
    pub(crate) eye_mm: [f32; 3],
    /// Toward the sun; fourth number 1 where it shines.
    pub(crate) sun: [f32; 4],
    /// Area of each piece, mm², and its middle.
    pub(crate) places: Vec<(f64, [f64; 2])>,
    /// As in [`Light::room_white_cd_m2`].
    pub(crate) room_white_cd_m2: Option<f64>,
    /// Of the window.
    pub(crate) bounds: Bounds,
    /// Who looks.
    pub(crate) viewer: Viewer,
}

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

    /// Nodes in all response tables together.
    pub fn nodes(&self) -> usize {
        self.responses.len() / RESPONSE_TEXELS as usize
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

/// What the shader reads of a piece, its table beginning at `base`.
pub(crate) fn piece_texels(
    piece: &PieceModel,
    overlay: Option<&Overlay>,
    optics: &PieceOptics,
    eye: Eye,
    base: usize,
) -> [[f32; 4]; PIECE_TEXELS as usize] {
    let n = index_of(piece);
    let (sheet, shift) = (&piece.sheet, &optics.shift);
    let surface = &sheet.surface;
    let (sine, cosine) = sheet.axis_deg.to_radians().sin_cos();
    let inverse = |step: f64| if step > 0.0 { (1.0 / step) as f32 } else { 0.0 };
    // A wedge of angle a bends a ray by (n − 1)·a: the gradient of thickness, times the eye's distance in the
    // shader, is how far the point of the panel moves whose direction is really seen.
    let bend = (n - 1.0) * sheet.thickness_mm * sheet.thickness_amplitude;
    let [x, y] = optics.middle_mm;
    let radius = (optics.area_mm2 / std::f64::consts::PI).sqrt();
    let single = |v: [f64; 4]| v.map(|v| v as f32);
    [
        [base as f32, optics.paint_nodes() as f32, optics.thickness.0 as f32, inverse(optics.thickness.1)],
        [
            piece.thickness_factor as f32,
            piece.paint_factor as f32,
            optics.paint.0 as f32,
            inverse(optics.paint.1),
        ],
        single([sheet.thickness_amplitude, sheet.paint_amplitude, cosine, sine]),
        single([sheet.origin_mm[0], sheet.origin_mm[1], bend, f64::from(sheet.seed & 0xff_ffff)]),
        single([
            inner_cosine(eye, optics.middle_mm, n),
            1.0 / (n * n),
            surface.glare,
            paint_scale(piece) * std::f64::consts::LOG2_10,
        ]),
        single([optics.mix_nodes as f64, sheet.mix_amplitude, shift.mix, shift.thickness]),
        single([surface.sheen, surface.seed_cell_mm.max(0.1), surface.seeds, shift.gain]),
        single([surface.ripple_rad, surface.ripple_per_mm, surface.ripple_sheen, surface.haze_rad]),
        [x as f32, y as f32, inverse(radius), f32::from(u8::from(sheet.etched))],
        match overlay {
            None => [inverse(piece.fade.length_mm), piece.fade.scale as f32, 0.0, 0.0],
            Some(overlay) => [0.0, 1.0, overlay.softness_mm.max(1e-3) as f32, overlay.ragged_mm as f32],
        },
    ]
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

/// How a list of texels lies in a texture: width and height.
pub(crate) fn texture_size(texels: usize, width: u32) -> [u32; 2] {
    [width, (texels as u32).div_ceil(width).max(1)]
}

impl LightTables {
    pub(crate) fn response_size(&self) -> [u32; 2] {
        texture_size(self.responses.len(), RESPONSE_WIDTH)
    }

    pub(crate) fn field_texture_size(&self) -> [u32; 2] {
        texture_size(self.field.len(), FIELD_WIDTH)
    }

    pub(crate) fn piece_size(&self) -> [u32; 2] {
        texture_size(self.pieces.len(), PIECES_PER_ROW * PIECE_TEXELS)
    }
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
