//! The inner reveal of a window, as a picture needs it: what is the same at every hour and for every glass.

use std::sync::Arc;

use glam::{DVec3, Vec3};
use plane::{PanelOnWall, PanelPoint};
use reveal::{Face, InnerFacet, InnerSides, Opening, Patches};
use scene::{ResolvedWall, ResolvedWindow};
use spectra::Spectrum;

use crate::light::bands::{Bands, BandsToRgb};
use crate::shared::records::FieldInner;
use crate::window::inner_net::{InnerNet, NetSide};

/// The inner reveal. Lengths in m, in the frame of the glass.
///
/// Light is exchanged among few patches, and each fine patch gathers it, as for the figures; the nodes of the net lie
/// between the fine patches.
#[derive(Clone, Debug)]
pub(crate) struct InnerWall {
    pub(crate) wall: ResolvedWall,
    pub(crate) placement: PanelOnWall,
    pub(crate) net: Arc<InnerNet>,
    pub(crate) opening: Opening,
    pub(crate) few: InnerSides,
    /// The fine patches.
    pub(crate) facets: Vec<InnerFacet>,
    /// Number of the first fine patch of each side.
    pub(crate) first: Vec<usize>,
    /// What each fine patch sees of the few, row by row; of which it is a part; its share of the room's even light.
    pub(crate) factors: Vec<f64>,
    pub(crate) around: Vec<usize>,
    to_room: Vec<f64>,
    /// What the sides and the sill reflect.
    reflectances: [Bands; 2],
    /// For each node of the net, the fine patches between which it lies, with their weights.
    pub(crate) between: Vec<Vec<(u32, f32)>>,
    /// Number of quads of the net around each node.
    pub(crate) quads: Vec<f64>,
    /// For each node, what it sends of the room's light, as a share of what a white surface that faces the window does:
    /// linear RGB.
    pub(crate) room: Vec<Vec3>,
}

/// A column of fine patches, one behind the other, on a stretch of the reveal without sharp corners.
struct Column {
    /// Its middle along the stretch, mm.
    at: f64,
    first: usize,
    along: usize,
    deep: usize,
}

impl InnerWall {
    /// The wall of a window, if it has depth inside.
    pub(crate) fn within(window: &ResolvedWindow) -> Option<&ResolvedWall> {
        window.wall.as_ref().filter(|wall| wall.depths.inner.depth_m > 0.0)
    }

    /// `None` if the wall has no depth inside.
    pub(crate) fn new(window: &ResolvedWindow) -> Option<Self> {
        let wall = Self::within(window)?;
        let [opening, few] =
            [Patches::Fine, Patches::Few].map(|p| Opening::new(wall.outline.clone(), &wall.depths, p).ok());
        let (opening, few) = (opening?, few?);
        let facets = opening.inner_facets();
        if facets.is_empty() {
            return None;
        }
        let on_panel = |p: &plane::WallPoint| window.placement.panel_from_wall(*p);
        let far: Vec<PanelPoint> = wall.outline.corners().iter().map(on_panel).collect();
        let near = opening.inner_face().iter().map(on_panel).collect();
        let net = InnerNet::new(&far, near, 1000.0 * wall.depths.inner.depth_m);
        let mut first = vec![0; net.sides.len()];
        for (k, facet) in facets.iter().enumerate().rev() {
            first[facet.side] = k;
        }
        let mut built = Self {
            factors: few.inner_seen_by(&opening),
            around: few.inner_around(&opening),
            to_room: opening.inner_to_room(),
            few: few.inner_sides(),
            between: between(&net, &facets, &first),
            quads: net.quads_around(),
            net: Arc::new(net),
            wall: wall.clone(),
            placement: window.placement,
            opening,
            facets,
            first,
            reflectances: [&wall.sides[1], &wall.sills[1]].map(Bands::of),
            room: Vec::new(),
        };
        built.room = built.of_room();
        Some(built)
    }

    /// What a face reflects.
    fn reflectance(&self, face: Face) -> Spectrum {
        if face == Face::Sill { self.wall.sills[1] } else { self.wall.sides[1] }
    }

    pub(crate) fn reflectance_bands(&self, face: Face) -> &Bands {
        &self.reflectances[usize::from(face == Face::Sill)]
    }

    /// What each fine patch gets from the others, all reflections included, from what each gets from elsewhere.
    pub(crate) fn gathered(&self, received: &[Bands]) -> Vec<Bands> {
        let n = self.few.len();
        let mut on_few = vec![(Bands::ZERO, 0.0); n];
        for ((light, facet), few) in received.iter().zip(&self.facets).zip(&self.around) {
            on_few[*few].0.add_scaled(facet.area_m2 as f32, light);
            on_few[*few].1 += facet.area_m2;
        }
        let on_few: Vec<Spectrum> =
            on_few.iter().map(|(sum, area)| sum.spectrum() * (1.0 / f64::max(*area, 1e-12))).collect();
        let few = self.few.exitance(&on_few, |face| self.reflectance(face));
        let few: Vec<Bands> = few.iter().map(Bands::of).collect();
        let row = |factors: &[f64]| {
            let mut sum = Bands::ZERO;
            for (factor, sent) in factors.iter().zip(&few) {
                if *factor > 0.0 {
                    sum.add_scaled(*factor as f32, sent);
                }
            }
            sum
        };
        self.factors.chunks_exact(n).map(row).collect()
    }

    /// See [`InnerWall::room`]. The room is taken as evenly bright, and as neutral, as it is for lead.
    fn of_room(&self) -> Vec<Vec3> {
        let to_rgb = BandsToRgb::new();
        let even = Bands::of(&Spectrum::ONE);
        let white = to_rgb.rgb(&even);
        let received: Vec<Bands> = self.to_room.iter().map(|share| even.scaled(*share as f32)).collect();
        let exchanged = self.gathered(&received);
        let sent: Vec<DVec3> = received
            .iter()
            .zip(&exchanged)
            .zip(&self.facets)
            .map(|((light, more), facet)| {
                let mut light = *light;
                light.add_scaled(1.0, more);
                to_rgb.rgb(&light.times(self.reflectance_bands(facet.face))) / white
            })
            .collect();
        let at = |patches: &Vec<(u32, f32)>| -> DVec3 {
            patches.iter().map(|&(k, w)| sent[k as usize] * f64::from(w)).sum()
        };
        self.between.iter().map(|patches| at(patches).as_vec3().max(Vec3::ZERO)).collect()
    }

    /// For each side, what it belongs to, its area, m², and the mean light of the nodes over it.
    pub(crate) fn means(&self, nodes: &[FieldInner]) -> Vec<(Face, f64, [f64; 3])> {
        let of_side = |(number, side): (usize, &NetSide)| {
            let facets = self.facets.iter().filter(|facet| facet.side == number);
            let area = facets.map(|facet| facet.area_m2).sum();
            let (mut sum, mut whole) = (DVec3::ZERO, 0.0);
            for row in 0..=self.net.rows {
                // Rows grow wider toward the room, and half of those at the ends lies beyond.
                let deep = row as f64 / self.net.rows as f64;
                let [far, near] = [side.far, side.near].map(|[a, b]| (b - a).length());
                let ends = if row == 0 || row == self.net.rows { 0.5 } else { 1.0 };
                for (k, column) in side.columns.iter().enumerate() {
                    let corner = if k == 0 || k == side.steps() { 0.5 } else { 1.0 };
                    let weight = (far + (near - far) * deep) * ends * corner;
                    sum += nodes[self.net.node(*column, row)].light.as_dvec3() * weight;
                    whole += weight;
                }
            }
            (self.facets[self.first[number]].face, area, (sum / whole).to_array())
        };
        self.net.sides.iter().enumerate().map(of_side).collect()
    }

    /// The fine patch at a place of a side: shares along the edge and from the glass to the room.
    pub(crate) fn patch_at(&self, side: usize, along: f64, deep: f64) -> usize {
        let first = self.first[side];
        let [columns, rows] = self.facets[first].of;
        let at = |share: f64, n: usize| ((share * n as f64) as usize).min(n - 1);
        first + at(deep, rows) * columns + at(along, columns)
    }
}

/// Finds the fine patches around each node: linear between their middles, and in depth beyond the outermost.
fn between(net: &InnerNet, facets: &[InnerFacet], first: &[usize]) -> Vec<Vec<(u32, f32)>> {
    let n = net.sides.len();
    let start = (0..n).find(|i| !net.sides[*i].smooth);
    let mut found = vec![Vec::new(); net.nodes()];
    let mut run: Vec<usize> = Vec::new();
    for i in (0..n).map(|k| (start.unwrap_or(0) + k) % n) {
        if !net.sides[i].smooth && !run.is_empty() {
            fill_run(net, facets, first, &run, false, &mut found);
            run.clear();
        }
        run.push(i);
    }
    fill_run(net, facets, first, &run, start.is_none(), &mut found);
    found
}

fn fill_run(
    net: &InnerNet,
    facets: &[InnerFacet],
    first: &[usize],
    run: &[usize],
    closed: bool,
    found: &mut [Vec<(u32, f32)>],
) {
    let mut columns = Vec::new();
    let mut length = 0.0;
    let mut starts = Vec::with_capacity(run.len());
    for &i in run {
        let side = &net.sides[i];
        let own = (side.near[1] - side.near[0]).length();
        let [along, deep] = facets[first[i]].of;
        columns.extend((0..along).map(|k| Column {
            at: length + own * (k as f64 + 0.5) / along as f64,
            first: first[i] + k,
            along,
            deep,
        }));
        starts.push((length, own));
        length += own;
    }
    let last = columns.len() - 1;
    for (&i, (start, own)) in run.iter().zip(starts) {
        let side = &net.sides[i];
        for (k, &column) in side.columns.iter().enumerate() {
            let at = start + own * k as f64 / side.steps() as f64;
            let after = columns.partition_point(|c| c.at <= at);
            let (a, b, gap, past) = match after {
                0 if closed => {
                    (last, 0, columns[0].at + length - columns[last].at, at + length - columns[last].at)
                }
                0 => (0, 0, 1.0, 0.0),
                k if k > last && closed => {
                    (last, 0, columns[0].at + length - columns[last].at, at - columns[last].at)
                }
                k if k > last => (last, last, 1.0, 0.0),
                k => (k - 1, k, columns[k].at - columns[k - 1].at, at - columns[k - 1].at),
            };
            let share = (past / gap.max(1e-9)).clamp(0.0, 1.0);
            for row in 0..=net.rows {
                let own = &mut found[net.node(column, row)];
                own.clear();
                for (column, weight) in [(&columns[a], 1.0 - share), (&columns[b], share)] {
                    if weight <= 0.0 {
                        continue;
                    }
                    let place = row as f64 / net.rows as f64 * column.deep as f64 - 0.5;
                    let near = place.floor().clamp(0.0, column.deep as f64 - 2.0);
                    let part = place - near;
                    for (row, of) in [(near, 1.0 - part), (near + 1.0, part)] {
                        let patch = column.first + row as usize * column.along;
                        own.push((patch as u32, (weight * of) as f32));
                    }
                }
            }
        }
    }
}
