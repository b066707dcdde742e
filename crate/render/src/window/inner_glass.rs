//! What an inner reveal sees of the glass, and through it of the outside: the same at every hour.

use std::collections::HashMap;
use std::f64::consts::PI;

use glam::DVec2;
use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::{InnerFacet, Way};
use spectra::{Spectrum, luminous};

use crate::glazing::makeup::Glazing;
use crate::glazing::optics::Factors;
use crate::light::bands::Bands;
use crate::window::inner_lobes::{Blur, PieceLobe, cell_of};
use crate::window::inner_wall::InnerWall;
use crate::window::model::WindowModel;
use crate::window::outer_wall::OuterWall;
use crate::window::piece_raster::Raster;

/// Blocks by which stone sees the glass, about.
const BLOCKS: f64 = 150.0;
/// Stone nearer to a block than this many of its sides sees its cells one by one.
const NEAR: f64 = 2.0;
/// Angles of incidence at which transmittances are known, degrees.
const ANGLES_DEG: [f64; 7] = [0.0, 25.0, 45.0, 60.0, 70.0, 80.0, 90.0];
/// Size of the parts into which directions outside are divided, degrees.
const PART_DEG: f64 = 5.0;

/// A part of a piece that a fine patch of stone sees, and what is behind it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SeenGlass {
    pub(crate) piece: u32,
    /// Of [`InnerGlass::sources`].
    pub(crate) source: u32,
    /// Form factor, times what bars and mesh let by.
    pub(crate) form: f32,
    /// Place among the angles at which transmittances are known.
    angle: f32,
}

/// A part of a piece that scatters, as a fine patch of stone sees it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scattering {
    pub(crate) piece: u32,
    pub(crate) form: f32,
    /// Direction cosines along the glass of the line of sight outward; of a piece without a lobe any of them.
    pub(crate) along: [f32; 2],
}

/// Where light comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Source {
    /// Middle directions of the parts of a small part of the sky or ground.
    Outside([RoomVector; 2]),
    /// A fine patch of the outer reveal or the overhang.
    Stone(usize),
}

/// Pieces as light on the reveal passes them.
#[derive(Clone, Debug)]
pub(crate) struct InnerGlass {
    raster: Raster,
    pub(crate) sources: Vec<Source>,
    /// For each fine patch.
    pub(crate) seen: Vec<Vec<SeenGlass>>,
    /// Transmittance of each piece at each of the angles: what goes straight on, in bands and whole.
    bands: Vec<[Bands; ANGLES_DEG.len()]>,
    regular: Vec<[Spectrum; ANGLES_DEG.len()]>,
    /// What it scatters of even light, and of light by its angle.
    pub(crate) evenly: Vec<Spectrum>,
    diffuse: Vec<[Spectrum; ANGLES_DEG.len()]>,
    /// What each fine patch sees of pieces that scatter, without regard to what is behind.
    pub(crate) scattering: Vec<Vec<Scattering>>,
    /// The lobe of each piece, and the bells of every width.
    pub(crate) lobes: Vec<Option<PieceLobe>>,
    pub(crate) blurs: Vec<Blur>,
}

impl InnerGlass {
    pub(crate) fn new(
        wall: &InnerWall,
        outer: Option<&OuterWall>,
        model: &WindowModel,
        glazing: &Glazing,
    ) -> Self {
        let raster = Raster::new(wall, model);
        let blocks = raster.blocks((wall.wall.outline.area_m2() / BLOCKS).sqrt());
        let parts: Vec<Vec<(usize, f64)>> = (0..model.pieces.len()).map(|p| parts_of(model, p)).collect();
        let mut blurs = Vec::new();
        let lobes: Vec<Option<PieceLobe>> =
            parts.iter().map(|parts| lobe_of(parts, glazing, &mut blurs)).collect();
        let mean = |piece: usize, angle_deg: f64| {
            let [mut regular, mut diffuse] = [Spectrum::ZERO; 2];
            for &(makeup, share) in &parts[piece] {
                let of = glazing.transmittance(makeup, Factors::PLAIN, angle_deg);
                regular.add_scaled(share, &of.regular);
                diffuse.add_scaled(share, &of.diffuse);
            }
            [regular, diffuse]
        };
        let tables: Vec<[[Spectrum; 2]; ANGLES_DEG.len()]> =
            (0..model.pieces.len()).map(|piece| ANGLES_DEG.map(|angle| mean(piece, angle))).collect();
        let regular: Vec<_> = tables.iter().map(|table| table.map(|[regular, _]| regular)).collect();
        let diffuse: Vec<_> = tables.iter().map(|table| table.map(|[_, diffuse]| diffuse)).collect();
        let evenly: Vec<Spectrum> = diffuse.iter().map(of_even_light).collect();
        let scatters: Vec<Option<bool>> = evenly
            .iter()
            .zip(&lobes)
            .map(|(evenly, lobe)| (evenly.max() > 0.0).then_some(lobe.is_some()))
            .collect();
        let mut sources = Sources::default();
        let (mut seen, mut scattering) = (Vec::new(), Vec::new());
        for (patch, facet) in wall.facets.iter().enumerate() {
            let mut view = View {
                wall,
                outer,
                facet,
                patch,
                scatters: &scatters,
                found: HashMap::new(),
                forms: HashMap::new(),
            };
            for block in &blocks {
                let away = (block.middle - DVec2::new(facet.middle[0], facet.middle[1])).length();
                if away.hypot(facet.middle[2]) > NEAR * block.side {
                    view.add(block.piece, block.middle, block.area, &mut sources);
                    continue;
                }
                for &(at, area) in &block.cells {
                    view.add(block.piece, at, area, &mut sources);
                }
            }
            let angle = |cosine: f64| angle_node(cosine.clamp(0.0, 1.0).acos().to_degrees()) as f32;
            let mut own: Vec<SeenGlass> = view
                .found
                .into_iter()
                .map(|((piece, source), (form, cosine))| SeenGlass {
                    piece,
                    source,
                    form: form as f32,
                    angle: angle(cosine / form.max(1e-300)),
                })
                .collect();
            // Sums in the same order every time.
            own.sort_unstable_by_key(|of| (of.piece, of.source));
            seen.push(own);
            let mut own: Vec<((u32, usize), (f64, DVec2))> = view.forms.into_iter().collect();
            own.sort_unstable_by_key(|(key, _)| *key);
            let part = |((piece, _), (form, along)): ((u32, usize), (f64, DVec2))| Scattering {
                piece,
                form: form as f32,
                along: (along / form.max(1e-300)).as_vec2().to_array(),
            };
            scattering.push(own.into_iter().map(part).collect());
        }
        Self {
            raster,
            sources: sources.all,
            seen,
            bands: regular.iter().map(|table| table.each_ref().map(Bands::of)).collect(),
            evenly,
            regular,
            diffuse,
            scattering,
            lobes,
            blurs,
        }
    }

    /// The piece at a point of the glass.
    pub(crate) fn piece_at(&self, at: DVec2) -> Option<usize> {
        self.raster.piece_at(at)
    }

    /// Adds what a fine patch gets through a part of the glass.
    pub(crate) fn add_passed(&self, of: &SeenGlass, light: &Bands, to: &mut Bands) {
        let node = (of.angle as usize).min(ANGLES_DEG.len() - 2);
        let share = of.angle - node as f32;
        let table = &self.bands[of.piece as usize];
        to.add_passed(light, [&table[node], &table[node + 1]], [of.form * (1.0 - share), of.form * share]);
    }

    /// Transmittance of a piece at an angle given by its cosine: what goes straight on, and what is scattered.
    pub(crate) fn transmittance(&self, piece: usize, cosine: f64) -> [Spectrum; 2] {
        let place = angle_node(cosine.clamp(0.0, 1.0).acos().to_degrees());
        let node = (place as usize).min(ANGLES_DEG.len() - 2);
        let share = place - node as f64;
        [&self.regular[piece], &self.diffuse[piece]]
            .map(|table| table[node] * (1.0 - share) + table[node + 1] * share)
    }
}

/// Make-ups of a piece and its overlays, with the share of each. What lies on top covers what lies below.
fn parts_of(model: &WindowModel, piece: usize) -> Vec<(usize, f64)> {
    let over = model.overlays_of(piece);
    let covered: f64 = over.iter().map(|o| o.share).sum();
    let scale = 1.0 / covered.max(1.0);
    let mut parts = vec![(model.pieces[piece].makeup, (1.0 - covered).max(0.0))];
    parts.extend(over.iter().map(|o| (o.makeup, o.share * scale)));
    parts
}

/// The lobe of all parts of a piece together: of their scattered light, the share and the mean variance.
fn lobe_of(parts: &[(usize, f64)], glazing: &Glazing, blurs: &mut Vec<Blur>) -> Option<PieceLobe> {
    let (mut all, mut forward, mut spread) = (0.0, 0.0, 0.0);
    for &(makeup, share) in parts {
        let of = glazing.transmittance(makeup, Factors::PLAIN, 45.0);
        let light = share * luminous(&of.diffuse);
        all += light;
        forward += light * of.lobe.share;
        spread += light * of.lobe.share * of.lobe.variance();
    }
    (forward > 0.0).then(|| {
        let variance = spread / forward;
        PieceLobe { share: forward / all, variance, blur: Blur::number(blurs, variance) }
    })
}

/// Mean over the hemisphere, weighted by the cosine: of sin², the midpoints between the angles are the limits.
fn of_even_light(table: &[Spectrum; ANGLES_DEG.len()]) -> Spectrum {
    let mut sum = Spectrum::ZERO;
    let last = ANGLES_DEG.len() - 1;
    let sine_squared = |deg: f64| deg.to_radians().sin().powi(2);
    for (k, of) in table.iter().enumerate() {
        let from = if k == 0 { 0.0 } else { 0.5 * (ANGLES_DEG[k - 1] + ANGLES_DEG[k]) };
        let to = if k == last { 90.0 } else { 0.5 * (ANGLES_DEG[k] + ANGLES_DEG[k + 1]) };
        sum.add_scaled(sine_squared(to) - sine_squared(from), of);
    }
    sum
}

/// Fractional index among the angles.
fn angle_node(angle_deg: f64) -> f64 {
    let after = ANGLES_DEG.partition_point(|a| *a <= angle_deg).clamp(1, ANGLES_DEG.len() - 1);
    let (a, b) = (ANGLES_DEG[after - 1], ANGLES_DEG[after]);
    (after - 1) as f64 + ((angle_deg - a) / (b - a)).clamp(0.0, 1.0)
}

/// Numbers the sources that are seen.
#[derive(Default)]
struct Sources {
    all: Vec<Source>,
    known: HashMap<(bool, usize), u32>,
}

impl Sources {
    fn outside(&mut self, toward: RoomVector) -> u32 {
        let [x, y, z] = toward.to_array();
        let altitude = y.clamp(-1.0, 1.0).asin().to_degrees();
        let bearing = x.atan2(-z).to_degrees();
        let rows = (180.0 / PART_DEG) as usize;
        let row = (((altitude + 90.0) / PART_DEG) as usize).min(rows - 1);
        let low = row as f64 * PART_DEG - 90.0;
        let columns = (180.0 / PART_DEG * (low + 0.5 * PART_DEG).to_radians().cos()).ceil().max(2.0);
        let column = (((bearing + 90.0) / 180.0 * columns).max(0.0) as usize).min(columns as usize - 1);
        let middle = (column as f64 + 0.5) * 180.0 / columns - 90.0;
        let parts = [0.25, 0.75].map(|share| RoomVector::toward_sky(middle, low + share * PART_DEG));
        self.number((false, row * 1000 + column), Source::Outside(parts))
    }

    fn number(&mut self, key: (bool, usize), source: Source) -> u32 {
        let next = self.all.len() as u32;
        let number = *self.known.entry(key).or_insert(next);
        if number == next {
            self.all.push(source);
        }
        number
    }
}

/// What one fine patch sees.
struct View<'a> {
    wall: &'a InnerWall,
    outer: Option<&'a OuterWall>,
    facet: &'a InnerFacet,
    patch: usize,
    /// By piece and source: form factor, and the same times the cosine of incidence.
    found: HashMap<(u32, u32), (f64, f64)>,
    /// Of each piece, whether it scatters, and in a lobe.
    scatters: &'a [Option<bool>],
    /// By piece and cell of the lobes: form factor, and the same times the direction.
    forms: HashMap<(u32, usize), (f64, DVec2)>,
}

impl View<'_> {
    fn add(&mut self, piece: u32, at: DVec2, area: f64, sources: &mut Sources) {
        let ray = RoomPoint::new(at.x, at.y, 0.0) - self.facet.middle;
        let far = ray.length();
        let toward = ray * (1.0 / far.max(1e-9));
        let (leaving, arriving) = (-toward[2], self.facet.normal.dot(toward));
        if leaving <= 1e-6 || arriving <= 0.0 {
            return;
        }
        let point = WallPoint::new(at.x, at.y);
        let notched = !self.wall.wall.outline.is_convex();
        if notched && self.wall.opening.inward(point, -toward) != Way::Patch(self.patch) {
            return;
        }
        let form = leaving * arriving * area / (PI * far * far);
        if let Some(lobe) = self.scatters[piece as usize] {
            let sums = self.forms.entry((piece, if lobe { cell_of(toward) } else { 0 })).or_default();
            sums.0 += form;
            sums.1 += DVec2::new(toward[0], toward[1]) * form;
        }
        let (source, passed) = match self.outer.map(|outer| (outer, outer.opening.outward(point, toward))) {
            Some((outer, Way::Patch(patch))) => {
                (sources.number((true, patch), Source::Stone(patch)), outer.openness_to(patch, toward))
            }
            Some((outer, Way::Open)) => (sources.outside(toward), outer.openness(toward)),
            None => (sources.outside(toward), 1.0),
        };
        let sums = self.found.entry((piece, source)).or_default();
        sums.0 += form * passed;
        sums.1 += form * passed * leaving;
    }
}
