//! What each piece does to light, sampled at a few thicknesses and paint densities: everything about a window
//! that does not change when the sun moves.

use spectra::{SAMPLES, Spectrum};

use crate::{
    light::Eye,
    model::{PieceModel, WindowModel, area_and_centroid},
};

/// Transmittance of a piece at one thickness, paint density and angle, 0–1 by wavelength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transmittance {
    /// What goes straight on.
    pub regular: Spectrum,
    /// What leaves scattered.
    pub diffuse: Spectrum,
}

/// Nodes over thickness: a cubic goes through them. Over a range of ±15 % of a glass of density 3 it errs by less
/// than 0.1 %.
pub const THICKNESS_NODES: usize = 4;

/// Transmittances of four neighbouring nodes, wavelength by wavelength, as the kernel reads them.
pub(crate) type FourNodes = [[f32; 4]; SAMPLES];

/// The sampled transmittance of one piece as seen from one eye.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceOptics {
    /// Angle of incidence at the middle of the piece, degrees.
    pub angle_deg: f64,
    /// Where it was taken, panel mm.
    pub middle_mm: [f64; 2],
    /// Area of its light shape, mm².
    pub area_mm2: f64,
    /// First thickness factor and the step to the next.
    pub(crate) thickness: (f64, f64),
    /// First paint factor and the step to the next; a step of zero means one node.
    pub(crate) paint: (f64, f64),
    /// A block of four thicknesses for each paint node.
    pub(crate) regular: Vec<FourNodes>,
    /// The same for what is scattered; empty when nothing is.
    pub(crate) diffuse: Vec<FourNodes>,
}

impl PieceOptics {
    /// Samples one piece. `transmittance` answers for a makeup (the number in the model), a thickness factor, a
    /// paint factor and an angle in degrees.
    ///
    /// The thickness range holds what the sheet's variation asks for and the longer or shorter way at the piece's
    /// edges, whose angles differ from the middle's.
    pub fn new(
        piece: &PieceModel,
        eye: Eye,
        mut transmittance: impl FnMut(usize, f64, f64, f64) -> Transmittance,
    ) -> Self {
        let corner = || piece.light_shape.first().and_then(|o| o.first()).copied().unwrap_or_default();
        let (area_mm2, middle_mm) = area_and_centroid(&piece.light_shape).unwrap_or_else(|| (0.0, corner()));
        let angle_deg = eye.incidence_deg(middle_mm);
        let n = index_of(piece);
        let way = |point| 1.0 / inner_cosine(eye, point, n);
        let (mut shorter, mut longer) = (1.0_f64, 1.0_f64);
        for &point in piece.light_shape.iter().flatten() {
            let ratio = way(point) / way(middle_mm);
            shorter = shorter.min(ratio);
            longer = longer.max(ratio);
        }
        // A hair more, so that rounding never leaves the range and a range of nothing still has a step.
        let amplitude = piece.sheet.thickness_amplitude.clamp(0.0, 0.9) + 0.004;
        let first = piece.thickness_factor * (1.0 - amplitude) * shorter;
        let last = piece.thickness_factor * (1.0 + amplitude) * longer;
        let thickness = (first, (last - first) / (THICKNESS_NODES - 1) as f64);
        let spread = piece.sheet.paint_amplitude.clamp(0.0, 1.0) * piece.paint_factor;
        let paint = if spread > 0.0 {
            (piece.paint_factor - spread, spread * 2.0 / 3.0)
        } else {
            (piece.paint_factor, 0.0)
        };

        let mut optics = Self {
            angle_deg,
            middle_mm,
            area_mm2,
            thickness,
            paint,
            regular: Vec::new(),
            diffuse: Vec::new(),
        };
        for j in 0..optics.paint_nodes() {
            let (mut regular, mut diffuse) = ([[0.0; 4]; SAMPLES], [[0.0; 4]; SAMPLES]);
            let mut any = false;
            for i in 0..THICKNESS_NODES {
                let t = thickness.0 + thickness.1 * i as f64;
                let p = paint.0 + paint.1 * j as f64;
                let at = transmittance(piece.makeup, t, p, angle_deg);
                for (k, (r, d)) in at.regular.samples().iter().zip(at.diffuse.samples()).enumerate() {
                    regular[k][i] = *r as f32;
                    diffuse[k][i] = *d as f32;
                    any |= *d != 0.0;
                }
            }
            optics.regular.push(regular);
            if any || !optics.diffuse.is_empty() {
                optics.diffuse.resize(j, [[0.0; 4]; SAMPLES]);
                optics.diffuse.push(diffuse);
            }
        }
        optics
    }

    /// All pieces of a window.
    pub fn of_window(
        model: &WindowModel,
        eye: Eye,
        mut transmittance: impl FnMut(usize, f64, f64, f64) -> Transmittance,
    ) -> Vec<Self> {
        model.pieces.iter().map(|piece| Self::new(piece, eye, &mut transmittance)).collect()
    }

    /// Nodes over paint density.
    pub(crate) fn paint_nodes(&self) -> usize {
        if self.paint.1 > 0.0 { 4 } else { 1 }
    }
}

/// The piece's refractive index, 1.52 where none is given.
pub(crate) fn index_of(piece: &PieceModel) -> f64 {
    if piece.sheet.n > 1.0 { piece.sheet.n } else { 1.52 }
}

/// Cosine of the angle inside the glass under a point of the panel.
pub(crate) fn inner_cosine(eye: Eye, point: [f64; 2], n: f64) -> f64 {
    let outer = eye.direction_through(point)[2];
    (1.0 - (1.0 - outer * outer) / (n * n)).max(0.0).sqrt()
}
