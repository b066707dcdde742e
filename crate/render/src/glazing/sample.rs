//! The effect of each piece on light, sampled at a few thicknesses and paint densities: everything about a window
//! that does not change when the sun moves.

use glam::Vec2;
use plane::{PanelPoint, PanelSpacePoint, contains};
use spectra::SAMPLES;

use crate::glazing::forward::ForwardOptics;
use crate::glazing::optics::{
    Factors, FourNodes, MIX_NODES, PieceOptics, Shift, THICKNESS_NODES, Transmittance, index_of,
    inner_cosine, paint_scale,
};
use crate::light::field::Eye;
use crate::light::piece_record::piece_record;
use crate::shared::constants::FADE_FLOOR;
use crate::shared::frame::Frame;
use crate::software::glass::local;
use crate::window::model::{Overlay, PieceModel, WindowModel};
use crate::window::region::{Bounds, area_and_centroid};

/// Points of a piece at which its variation is sampled.
const LOOKED_AT: usize = 96;

impl PieceOptics {
    /// Samples one piece. `transmittance` gives the transmittance for a make-up (its number in the model), factors
    /// and an angle in degrees.
    ///
    /// The thickness range covers the sheet's variation within the piece, and the longer or shorter path at its
    /// edges, which are seen at other angles than the middle.
    pub fn new(
        piece: &PieceModel,
        eye: Eye,
        transmittance: impl FnMut(usize, Factors, f64) -> Transmittance,
    ) -> Self {
        Self::made_of(piece, piece.makeup, eye, transmittance)
    }

    fn made_of(
        piece: &PieceModel,
        makeup: usize,
        eye: Eye,
        mut transmittance: impl FnMut(usize, Factors, f64) -> Transmittance,
    ) -> Self {
        let corner = || piece.light_shape.first().and_then(|o| o.first()).copied().unwrap_or_default();
        let (area_mm2, middle_mm) = area_and_centroid(&piece.light_shape).unwrap_or_else(|| (0.0, corner()));
        let angle_deg = eye.incidence_deg(middle_mm);
        let mut optics = Self {
            angle_deg,
            middle_mm,
            area_mm2,
            shift: Shift::default(),
            thickness: (0.0, 0.0),
            paint: (0.0, 0.0),
            mix_nodes: if piece.sheet.mix_amplitude > 0.0 { MIX_NODES } else { 1 },
            regular: Vec::new(),
            diffuse: Vec::new(),
            forward: None,
        };
        let points = looked_at(piece);
        let found = variation_at(piece, &optics, &points);

        let n = index_of(piece);
        let way = |point| 1.0 / inner_cosine(eye, point, n);
        let (mut shorter, mut longer) = (1.0_f64, 1.0_f64);
        for &point in piece.light_shape.iter().flatten() {
            let ratio = way(point) / way(middle_mm);
            shorter = shorter.min(ratio);
            longer = longer.max(ratio);
        }
        // A little wider than was found, for values between the points, and a hair for rounding, so that an even
        // piece still has a step.
        let amplitude = piece.sheet.thickness_amplitude.clamp(0.0, 0.9);
        let deviations: Vec<f64> = found.iter().map(|v| v.thickness).collect();
        let mean = mean(&deviations);
        let low = deviations.iter().fold(0.0_f64, |low, v| low.min(v - mean)) - 0.12 * amplitude - 0.004;
        let high = deviations.iter().fold(0.0_f64, |high, v| high.max(v - mean)) + 0.12 * amplitude + 0.004;
        let first = piece.thickness_factor * (1.0 + low.max(-0.95)) * shorter;
        let last = piece.thickness_factor * (1.0 + high) * longer;
        optics.thickness = (first, (last - first) / (THICKNESS_NODES - 1) as f64);
        // From the least paint that fading and stippling leave to the most.
        let spread = piece.sheet.paint_amplitude.clamp(0.0, 1.0);
        let (thinnest, densest) = if piece.fade.length_mm > 0.0 {
            (piece.fade.scale * f64::from(FADE_FLOOR), piece.fade.scale)
        } else {
            (1.0, 1.0)
        };
        let least = piece.paint_factor * thinnest.min(1.0) * (1.0 - spread);
        let most = piece.paint_factor * densest.max(1.0) * (1.0 + spread);
        // What passes paint is nearly linear in 10^(−density), so nodes are evenly spaced in that.
        let (clearest, darkest) = (paint_axis(piece, least), paint_axis(piece, most));
        optics.paint = if most > least {
            (darkest, (clearest - darkest) / 3.0)
        } else {
            (paint_axis(piece, piece.paint_factor), 0.0)
        };

        for block in 0..optics.blocks() {
            let (mut regular, mut diffuse) = ([[0.0; 4]; SAMPLES], [[0.0; 4]; SAMPLES]);
            let mut any = false;
            let (m, j) = (block / optics.paint_nodes(), block % optics.paint_nodes());
            for i in 0..THICKNESS_NODES {
                let factors = Factors {
                    thickness: optics.thickness.0 + optics.thickness.1 * i as f64,
                    paint: -(optics.paint.0 + optics.paint.1 * j as f64).max(f64::MIN_POSITIVE).log10()
                        / paint_scale(piece),
                    mix: if m < optics.mix_nodes && optics.mix_nodes > 1 {
                        2.0 * m as f64 / (MIX_NODES - 1) as f64 - 1.0
                    } else {
                        0.0
                    },
                };
                let at = transmittance(makeup, factors, angle_deg);
                for (k, (r, d)) in at.regular.samples().iter().zip(at.diffuse.samples()).enumerate() {
                    regular[k][i] = *r as f32;
                    diffuse[k][i] = *d as f32;
                    any |= *d != 0.0;
                }
            }
            optics.regular.push(regular);
            if any || !optics.diffuse.is_empty() {
                optics.diffuse.resize(block, [[0.0; 4]; SAMPLES]);
                optics.diffuse.push(diffuse);
            }
        }
        if !optics.diffuse.is_empty() {
            let plain =
                Factors { thickness: piece.thickness_factor, paint: piece.paint_factor, ..Factors::PLAIN };
            let lobe = transmittance(makeup, plain, angle_deg).lobe;
            optics.forward = ForwardOptics::new(angle_deg, lobe, |angle_deg| {
                transmittance(makeup, plain, angle_deg).diffuse
            });
        }
        optics.shift = optics.balance(piece, &found);
        optics
    }

    /// Luminous transmittance for light of equal energy, regular and diffuse together, at every node.
    fn luminous_nodes(&self) -> Vec<[f64; 4]> {
        let [_, y, _] = spectra::observer_functions(spectra::Observer::Cie1931);
        let sum = |nodes: &FourNodes| -> [f64; 4] {
            std::array::from_fn(|i| nodes.iter().zip(y.samples()).map(|(t, y)| f64::from(t[i]) * y).sum())
        };
        let diffuse = |k: usize| self.diffuse.get(k).map_or([0.0; 4], sum);
        self.regular
            .iter()
            .enumerate()
            .map(|(k, nodes)| {
                let (r, d) = (sum(nodes), diffuse(k));
                std::array::from_fn(|i| r[i] + d[i])
            })
            .collect()
    }

    /// The offsets that keep the piece's mean luminous transmittance equal to its figures: of the thickness
    /// with an even mix, then of the mix with the thickness as it varies.
    fn balance(&self, piece: &PieceModel, found: &[Variation]) -> Shift {
        let nodes = self.luminous_nodes();
        let paint = paint_axis(piece, piece.paint_factor);
        let at = |thickness: f64, mix: f64| Factors {
            thickness: piece.thickness_factor * (1.0 + thickness),
            paint,
            mix: mix.clamp(-1.0, 1.0),
        };
        let mean_of =
            |value: &dyn Fn(&Variation) -> f64| mean(&found.iter().map(value).collect::<Vec<f64>>());
        let y = |thickness, mix| self.interpolate(&nodes, at(thickness, mix));
        let (middle, target) = (mean_of(&|v| v.thickness), y(0.0, 0.0));
        let thickness = offset(middle, 0.4 * piece.sheet.thickness_amplitude, target, |shift| {
            mean_of(&|v| y(v.thickness - shift, 0.0))
        });
        let (middle, target) = (mean_of(&|v| v.mix), self.of_even_sheet(&nodes, at(0.0, 0.0)));
        let mix = offset(middle, piece.sheet.mix_amplitude, target, |shift| {
            mean_of(&|v| y(v.thickness - thickness, v.mix - shift))
        });
        Shift { thickness, mix, gain: mean_of(&|v| v.gain) }
    }

    /// Interpolates between the nodes as the shader does; `at.paint` is a place among the nodes over paint.
    fn interpolate(&self, nodes: &[[f64; 4]], at: Factors) -> f64 {
        let along = (at.mix * 0.5 + 0.5) * (self.mix_nodes - 1) as f64;
        let first = (along.floor() - 1.0).clamp(0.0, self.mix_nodes.saturating_sub(4) as f64);
        let m = cubic(along - first);
        (0..self.mix_nodes.min(4))
            .map(|k| {
                let share = if self.mix_nodes > 1 { m[k] } else { 1.0 };
                share * self.interpolate_at(nodes, first as usize + k, at)
            })
            .sum()
    }

    /// As [`interpolate`](Self::interpolate), on an even sheet.
    fn of_even_sheet(&self, nodes: &[[f64; 4]], at: Factors) -> f64 {
        self.interpolate_at(nodes, if self.mix_nodes > 1 { self.mix_nodes } else { 0 }, at)
    }

    /// Interpolates over thickness and paint at one node over the mix.
    fn interpolate_at(&self, nodes: &[[f64; 4]], mix_node: usize, at: Factors) -> f64 {
        let place = |value: f64, (first, step): (f64, f64)| {
            if step > 0.0 { ((value - first) / step).clamp(0.0, 3.0) } else { 0.0 }
        };
        let t = cubic(place(at.thickness, self.thickness));
        let p = cubic(place(at.paint, self.paint));
        let paints = self.paint_nodes();
        let mut sum = 0.0;
        for j in 0..paints {
            let share = if paints > 1 { p[j] } else { 1.0 };
            let node = &nodes[mix_node * paints + j];
            sum += share * (0..4).map(|i| t[i] * node[i]).sum::<f64>();
        }
        sum
    }

    /// All pieces of a window, then its overlays.
    pub fn of_window(
        model: &WindowModel,
        eye: Eye,
        mut transmittance: impl FnMut(usize, Factors, f64) -> Transmittance,
    ) -> Vec<Self> {
        let pieces = model.pieces.iter().map(|piece| (piece, piece.makeup));
        let overlays = model.overlays.iter().filter_map(|o| Some((model.pieces.get(o.piece)?, o.makeup)));
        pieces
            .chain(overlays)
            .map(|(piece, makeup)| Self::made_of(piece, makeup, eye, &mut transmittance))
            .collect()
    }

    /// One of a piece's overlays.
    pub(crate) fn of_overlay(
        piece: &PieceModel,
        overlay: &Overlay,
        eye: Eye,
        transmittance: impl FnMut(usize, Factors, f64) -> Transmittance,
    ) -> Self {
        Self::made_of(piece, overlay.makeup, eye, transmittance)
    }
}

/// The offset at most `reach` from `middle` at which `value` is `target`; `middle` if there is none.
fn offset(middle: f64, reach: f64, target: f64, value: impl Fn(f64) -> f64) -> f64 {
    if reach <= 0.0 || target <= 0.0 {
        return middle;
    }
    let (mut low, mut high) = (middle - reach, middle + reach);
    let (at_low, at_high) = (value(low), value(high));
    let rising = at_high > at_low;
    if (at_low - target) * (at_high - target) >= 0.0 {
        return middle;
    }
    for _ in 0..24 {
        let half = (low + high) / 2.0;
        if (value(half) > target) == rising { high = half } else { low = half }
    }
    (low + high) / 2.0
}

/// Cubic through four equidistant nodes at 0, 1, 2, 3.
fn cubic(x: f64) -> [f64; 4] {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    [a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0]
}

fn mean(values: &[f64]) -> f64 {
    if values.is_empty() { 0.0 } else { values.iter().sum::<f64>() / values.len() as f64 }
}

/// Deviations at a point, without any offset.
#[derive(Clone, Copy)]
struct Variation {
    thickness: f64,
    mix: f64,
    gain: f64,
}

/// Points spread over a piece.
fn looked_at(piece: &PieceModel) -> Vec<PanelPoint> {
    let Some(bounds) = Bounds::of(piece.light_shape.iter().flatten()) else { return Vec::new() };
    let [width, height] = bounds.size();
    // Steps by the two powers of the plastic number, so that no row or column is preferred.
    (1..20 * LOOKED_AT)
        .map(|k| {
            let u = (k as f64 * 0.754_877_666_246_692_7).fract();
            let v = (k as f64 * 0.569_840_290_998_053_2).fract();
            PanelPoint::new(bounds.min[0] + u * width, bounds.min[1] + v * height)
        })
        .filter(|p| contains(&piece.light_shape, *p))
        .take(LOOKED_AT)
        .collect()
}

/// The variation that the shader's twin finds at the points, seen head-on and close enough to show every detail.
fn variation_at(piece: &PieceModel, optics: &PieceOptics, points: &[PanelPoint]) -> Vec<Variation> {
    let eye = Eye { position_mm: PanelSpacePoint::new(optics.middle_mm[0], optics.middle_mm[1], 1e7) };
    let even = PieceModel { thickness_factor: 1.0, paint_factor: 1.0, ..piece.clone() };
    let record = piece_record(&even, None, optics, eye, 0);
    let frame = Frame {
        eye_mm: eye.position_mm.vector().as_vec3(),
        mm_per_px: 0.05,
        field_nodes: Vec2::ONE,
        exposure: 1.0,
        variation: 1.0,
        ..Frame::default()
    };
    let one = |p: &PanelPoint| {
        let at = local(&frame, &record, p.vector().as_vec2(), Vec2::ZERO);
        Variation {
            thickness: f64::from(at.thickness) - 1.0,
            mix: f64::from(at.mix),
            gain: f64::from(at.gain) - 1.0,
        }
    };
    points.iter().map(one).collect()
}

/// The place of a paint factor among the nodes.
fn paint_axis(piece: &PieceModel, factor: f64) -> f64 {
    // Several times quicker than a power, and asked for at every point.
    (-factor.max(0.0) * paint_scale(piece) * std::f64::consts::LN_10).exp()
}
