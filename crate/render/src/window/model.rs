//! A window as the renderer sees it: outlines in millimetres and a few numbers for each piece.

use std::ops::Range;
use std::sync::Arc;

use plane::{PanelPoint, PanelVector, SheetPoint};

use crate::light::field::Eye;
use crate::shared::constants::NEAREST_MM;
use crate::window::inner_net::InnerNet;
use crate::window::region::{Bounds, Region};

/// A leaded window as the renderer sees it.
///
/// Panel plane as seen from inside: mm, origin at the lower-left corner of the sight size, x right, y up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WindowModel {
    /// The daylight opening in the wall.
    pub opening: Region,
    /// The pieces; their order is the order of every table and report.
    pub pieces: Vec<PieceModel>,
    /// What changes a piece along lines: brush strokes, and bars behind the glass. Sorted by piece, and within a
    /// piece from the bottom up. Their tables follow those of the pieces.
    pub overlays: Vec<Overlay>,
    /// The leads; those that pass over others come last.
    pub leads: Vec<Strip>,
    /// Where cames are soldered together.
    pub joints: Vec<Joint>,
    /// Saddle bars, in front of the glass on the room side.
    pub bars: Vec<Strip>,
    /// The sides of the inner reveal; `None` in a wall without depth inside.
    pub inner: Option<Arc<InnerNet>>,
}

/// One piece of glass.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceModel {
    /// The part visible between the leads.
    pub light_shape: Region,
    /// Index of its entry in the glazing; this number is passed to the caller's [transmittance
    /// function](crate::PieceOptics::new).
    pub makeup: usize,
    /// Thickness relative to the make-up's.
    pub thickness_factor: f64,
    /// Density of its paint relative to the make-up's.
    pub paint_factor: f64,
    /// Optical density of the paint that varies over the piece.
    pub paint_density: f64,
    /// The sheet from which it was cut.
    pub sheet: SheetModel,
    /// How its paint thins out from the lead.
    pub fade: Fade,
}

/// How paint grows lighter from a piece's edge inward: its density over the stated one is
/// `scale`·(`FADE_FLOOR` + (1 − `FADE_FLOOR`)·exp(−d/`length_mm`)), d the distance to the edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fade {
    /// 0 for even paint.
    pub length_mm: f64,
    /// Makes as much light pass over the whole piece as through even paint of the stated density.
    pub scale: f64,
}

impl Default for Fade {
    fn default() -> Self {
        Self { length_mm: 0.0, scale: 1.0 }
    }
}

/// Lines over one piece, under which its make-up differs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// Index of the piece whose sheet it shares and to whose shape it is clipped.
    pub piece: usize,
    /// As [`PieceModel::makeup`].
    pub makeup: usize,
    /// The lines.
    pub lines: Vec<panel::BrushLine>,
    /// Width of the transition along their edges, mm.
    pub softness_mm: f64,
    /// How far the edges stray, mm: the hairs of the brush.
    pub ragged_mm: f64,
    /// Share of the piece that they cover.
    pub share: f64,
}

/// How a sheet of glass varies and where on it a piece lies.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SheetModel {
    /// Gives the sheet its own drift and streaks; pieces of one sheet share it.
    pub seed: u32,
    /// Largest deviation of thickness over the sheet, as a share of the thickness; 0 for float glass.
    pub thickness_amplitude: f64,
    /// Largest unevenness of paint, as a share of its density.
    pub paint_amplitude: f64,
    /// How far the sheet's second quality (the streak, the wisps, the flash) goes to its extremes: 0 even, 1 the
    /// whole way from −1 to 1 of [`Factors::mix`](crate::Factors::mix).
    pub mix_amplitude: f64,
    /// True if the second quality goes from the middle of the piece (−1) to its rim (1), as where a flash is etched
    /// away, instead of flowing along the axis.
    pub etched: bool,
    /// How its surface bends and gathers light.
    pub surface: SurfaceModel,
    /// Direction of the blowing axis in the panel, degrees anticlockwise from x.
    pub axis_deg: f64,
    /// Where the panel's origin lies on the sheet.
    pub origin_mm: SheetPoint,
    /// Thickness, mm; with the amplitude it determines how much the glass bends the view through it.
    pub thickness_mm: f64,
    /// Refractive index.
    pub n: f64,
}

/// Properties of a sheet's surface other than its thickness.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SurfaceModel {
    /// How much reams and fine lines lighten and darken what comes through, as a share of the light.
    pub sheen: f64,
    /// Size of the cells that may hold a seed, mm, and the share of cells that do (0 no seeds).
    pub seed_cell_mm: f64,
    /// See [`SurfaceModel::seed_cell_mm`].
    pub seeds: f64,
    /// How far a rolled texture turns light, radians (0 none).
    pub ripple_rad: f64,
    /// Its cells, per mm.
    pub ripple_per_mm: f64,
    /// How much it lightens and darkens what comes through, as a share of the light.
    pub ripple_sheen: f64,
    /// How far the glass blurs the view behind it, radians.
    pub haze_rad: f64,
    /// Share of the sun's light scattered slightly aside.
    pub glare: f64,
}

/// A lead or a bar: a line with a width.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strip {
    /// The line.
    pub line: Vec<PanelPoint>,
    /// Whether the last point joins the first.
    pub closed: bool,
    /// Face width of the lead or diameter of the bar, mm.
    pub width_mm: f64,
}

/// A solder joint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joint {
    /// Where the hearts meet.
    pub at: PanelPoint,
    /// The cames that end here.
    pub cames: Vec<Came>,
}

/// The end of a came at a joint.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Came {
    /// Unit vector from the joint along the came.
    pub toward: PanelVector,
    /// Its face width, mm.
    pub face_mm: f64,
}

impl WindowModel {
    /// Bounds of the opening, or a 1 m square if there is none.
    pub fn bounds(&self) -> Bounds {
        Bounds::of(self.opening.iter().flatten())
            .or_else(|| Bounds::of(self.pieces.iter().flat_map(|p| &p.light_shape).flatten()))
            .unwrap_or(Bounds { min: PanelPoint::default(), max: PanelPoint::new(1000.0, 1000.0) })
    }

    /// The same with the opening in the inner wall face as an eye sees it, as far as a picture of the whole
    /// window shows it: up to 0.4 of the larger side beyond the window.
    pub fn bounds_with_reveal(&self, eye: Eye) -> Bounds {
        const SHOWN: f64 = 0.4;
        let bounds = self.bounds();
        let Some(inner) = &self.inner else { return bounds };
        let [x, y, z] = eye.position_mm.to_array();
        let away = z / (z - inner.depth_mm).max(f64::from(NEAREST_MM));
        let foot = PanelPoint::new(x, y);
        let ring: Vec<PanelPoint> = inner.ring.iter().map(|p| foot + (*p - foot) * away).collect();
        let Some(ring) = Bounds::of(&ring) else { return bounds };
        let [width, height] = bounds.size();
        let most = bounds.grown(SHOWN * width.max(height));
        let low = |k: usize| ring.min[k].clamp(most.min[k], bounds.min[k]);
        let high = |k: usize| ring.max[k].clamp(bounds.max[k], most.max[k]);
        Bounds { min: PanelPoint::new(low(0), low(1)), max: PanelPoint::new(high(0), high(1)) }
    }

    /// The overlays of a piece, from the bottom up.
    pub(crate) fn overlays_of(&self, piece: usize) -> &[Overlay] {
        &self.overlays[self.overlay_range(piece)]
    }

    /// The range of a piece's overlays in the list.
    pub(crate) fn overlay_range(&self, piece: usize) -> Range<usize> {
        let upto = |piece: usize| self.overlays.partition_point(|o| o.piece < piece);
        upto(piece)..upto(piece + 1)
    }
}
