//! What the renderer is told about a window: outlines in millimetres and a few numbers a piece.

/// Closed outlines in panel mm; what lies inside an odd number of them is filled. A single outline, or an outer
/// one with its holes, in any direction of travel, the last point not repeated.
pub type Region = Vec<Vec<[f64; 2]>>;

/// A leaded window as the renderer sees it.
///
/// Panel plane as seen from inside: mm, origin at the lower-left corner of the sight size, x right, y up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WindowModel {
    /// The daylight opening in the wall.
    pub opening: Region,
    /// The pieces; their order is the order of every table and report.
    pub pieces: Vec<PieceModel>,
    /// What changes a piece along lines: brush strokes, and bars behind the glass. By piece in ascending order,
    /// for each what lies beneath first. Their tables follow those of the pieces.
    pub overlays: Vec<Overlay>,
    /// The leads, the ones that pass over others last.
    pub leads: Vec<Strip>,
    /// Where cames are soldered to one another.
    pub joints: Vec<Joint>,
    /// Saddle bars, in front of the glass on the room side.
    pub bars: Vec<Strip>,
}

/// One piece of glass.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceModel {
    /// What is seen of it between the leads.
    pub light_shape: Region,
    /// Which entry of the glazing it is made of; the number is handed back to the caller's
    /// [transmittance function](crate::PieceOptics::new).
    pub makeup: usize,
    /// How thick it is over how thick its makeup says.
    pub thickness_factor: f64,
    /// Density of its paint over what its makeup says.
    pub paint_factor: f64,
    /// Optical density of the paint that varies over the piece.
    pub paint_density: f64,
    /// The sheet it was cut from.
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

/// Lines over one piece, under which it is made of something else.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overlay {
    /// Index of the piece whose sheet it has and to whose shape it is clipped.
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
    /// How far the sheet's second quality (the streak, the wisps, the flash) is carried to its extremes: 0 even, 1 the
    /// whole way from −1 to 1 of [`Factors::mix`](crate::Factors::mix).
    pub mix_amplitude: f64,
    /// The second quality goes from the middle of the piece (−1) to its rim (1), as where a flash is etched away,
    /// instead of flowing along the axis.
    pub etched: bool,
    /// How its surface bends and gathers light.
    pub surface: SurfaceModel,
    /// Direction of the blowing axis in the panel, degrees anticlockwise from x.
    pub axis_deg: f64,
    /// Where the panel's origin lies on the sheet, mm.
    pub origin_mm: [f64; 2],
    /// Thickness, mm; with the amplitude it decides how much the glass bends what is seen through it.
    pub thickness_mm: f64,
    /// Refractive index.
    pub n: f64,
}

/// What a sheet's surface does beside its thickness.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SurfaceModel {
    /// How much reams and fine lines lighten and darken what comes through, as a share of the light.
    pub sheen: f64,
    /// Size of the cells that hold a seed or none, mm, and the share of them that hold one (0 no seeds).
    pub seed_cell_mm: f64,
    /// See [`SurfaceModel::seed_cell_mm`].
    pub seeds: f64,
    /// How far a rolled texture turns light, radians (0 none).
    pub ripple_rad: f64,
    /// Its cells, per mm.
    pub ripple_per_mm: f64,
    /// How much it lightens and darkens what comes through, as a share of the light.
    pub ripple_sheen: f64,
    /// How far the glass smears what lies behind it, radians.
    pub haze_rad: f64,
    /// Share of the sun's light that goes on a little aside.
    pub glare: f64,
}

/// A lead or a bar: a line with a width.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strip {
    /// The line, panel mm.
    pub line: Vec<[f64; 2]>,
    /// Whether the last point joins the first.
    pub closed: bool,
    /// Face width of the lead or diameter of the bar, mm.
    pub width_mm: f64,
}

/// A solder joint.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joint {
    /// Where the hearts meet, panel mm.
    pub at: [f64; 2],
    /// The cames that end here.
    pub cames: Vec<Came>,
}

/// The end of a came at a joint.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Came {
    /// Unit vector from the joint along the came.
    pub toward: [f64; 2],
    /// Its face width, mm.
    pub face_mm: f64,
}

/// Axis-aligned bounds, panel mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Left and lower.
    pub min: [f64; 2],
    /// Right and upper.
    pub max: [f64; 2],
}

impl Bounds {
    /// Of some points; `None` without any finite one.
    pub fn of<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> Option<Self> {
        points.into_iter().filter(|p| p[0].is_finite() && p[1].is_finite()).fold(None, |bounds, p| {
            let Bounds { min, max } = bounds.unwrap_or(Self { min: *p, max: *p });
            Some(Self {
                min: [min[0].min(p[0]), min[1].min(p[1])],
                max: [max[0].max(p[0]), max[1].max(p[1])],
            })
        })
    }

    /// Its middle.
    pub fn centre(&self) -> [f64; 2] {
        [(self.min[0] + self.max[0]) / 2.0, (self.min[1] + self.max[1]) / 2.0]
    }

    /// Width and height.
    pub fn size(&self) -> [f64; 2] {
        [self.max[0] - self.min[0], self.max[1] - self.min[1]]
    }

    /// Grown by `margin` on every side.
    pub fn grown(&self, margin: f64) -> Self {
        Self {
            min: [self.min[0] - margin, self.min[1] - margin],
            max: [self.max[0] + margin, self.max[1] + margin],
        }
    }
}

impl WindowModel {
    /// Bounds of the opening, or a 1 m square where there is none.
    pub fn bounds(&self) -> Bounds {
        Bounds::of(self.opening.iter().flatten())
            .or_else(|| Bounds::of(self.pieces.iter().flat_map(|p| &p.light_shape).flatten()))
            .unwrap_or(Bounds { min: [0.0; 2], max: [1000.0; 2] })
    }
}

/// Area and centroid of a region by the shoelace formula, holes taken off (they are told by being inside another
/// outline). mm² and mm; `None` for a region without area.
pub fn area_and_centroid(region: &Region) -> Option<(f64, [f64; 2])> {
    let (mut area, mut moment) = (0.0, [0.0; 2]);
    for (k, outline) in region.iter().enumerate() {
        let Some(&origin) = outline.first() else { continue };
        let (mut a, mut m) = (0.0, [0.0; 2]);
        for (i, p) in outline.iter().enumerate() {
            let q = outline[(i + 1) % outline.len()];
            let (p, q) = ([p[0] - origin[0], p[1] - origin[1]], [q[0] - origin[0], q[1] - origin[1]]);
            let cross = p[0] * q[1] - q[0] * p[1];
            a += cross / 2.0;
            m[0] += (p[0] + q[0]) * cross / 6.0;
            m[1] += (p[1] + q[1]) * cross / 6.0;
        }
        let sign = a.signum() * if depth(region, k).is_multiple_of(2) { 1.0 } else { -1.0 };
        area += sign * a;
        moment[0] += sign * (m[0] + a * origin[0]);
        moment[1] += sign * (m[1] + a * origin[1]);
    }
    (area > 0.0).then(|| (area, [moment[0] / area, moment[1] / area]))
}

/// How many other outlines of the region contain outline `k`.
pub(crate) fn depth(region: &Region, k: usize) -> usize {
    let Some(&point) = region[k].first() else { return 0 };
    region
        .iter()
        .enumerate()
        .filter(|(other, outline)| *other != k && outline_contains(outline, point))
        .count()
}

/// Whether a point lies inside a region, odd crossings counting as inside.
pub fn contains(region: &Region, point: [f64; 2]) -> bool {
    region.iter().filter(|outline| outline_contains(outline, point)).count() % 2 == 1
}

fn outline_contains(outline: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let mut inside = false;
    let Some(mut p) = outline.last() else { return false };
    for q in outline {
        if (q[1] > y) != (p[1] > y) && x < (p[0] - q[0]) * (y - q[1]) / (p[1] - q[1]) + q[0] {
            inside = !inside;
        }
        p = q;
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_with_a_hole_weighs_less_and_leans_away_from_it() {
        let square = vec![[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
        let hole = vec![[1.0, 1.0], [2.0, 1.0], [2.0, 2.0], [1.0, 2.0]];
        for hole in [hole.clone(), hole.into_iter().rev().collect()] {
            let region = vec![square.clone(), hole];
            let (area, centroid) = area_and_centroid(&region).unwrap();
            assert!((area - 15.0).abs() < 1e-12);
            assert!((centroid[0] - (32.0 - 1.5) / 15.0).abs() < 1e-12, "{centroid:?}");
            assert!(contains(&region, [3.0, 3.0]) && !contains(&region, [1.5, 1.5]));
        }
        assert_eq!(area_and_centroid(&vec![vec![[1.0, 1.0]]]), None);
    }
}
