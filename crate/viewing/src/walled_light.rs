//! Windows with depth at a prepared place: how their light is spread in the room, and their light at an instant.

use std::f64::consts::FRAC_1_PI;

use daylight::Outside;
use plane::signed_area;
use spectra::{Spectrum, luminous};

use crate::angular_optics::{NODES, node_weights};
use crate::beam::Beam;
use crate::contour::form_factor_to_polygon;
use crate::glazing::Pane;
use crate::instant::OnPane;
use crate::landing::piece_samples;
use crate::lobes::{Lobes, LobesNow};
use crate::prepared::{COLUMNS, PieceView, Prepared};
use crate::sun_patch::sun_patches;
use crate::walled_room::{Landed, LandedByPatch};
use crate::walled_rows::{PieceLevels, Seen, WalledRows};

/// A window with depth at an instant.
pub(crate) struct WalledLight<'a> {
    pub(crate) rows: &'a WalledRows,
    /// What each patch outside sends.
    pub(crate) exitance: Vec<Spectrum>,
    /// The sun behind bars and mesh.
    pub(crate) beam: Option<Beam>,
    pub(crate) on_opening: Option<reveal::Beam<'a>>,
    /// Luminous light on the glass of each piece, by its index in the wall, from everything but the sun itself.
    pub(crate) levels: Vec<f64>,
    /// Its mean over the window.
    mean: f64,
    /// The light on the glass in the mean, by angle.
    by_angle: Box<[Spectrum; NODES]>,
    /// The lobes of that light.
    pub(crate) lobes: LobesNow<'a>,
    /// Luminance of each of the room's directions without stone before them, and exitance of each patch.
    pub(crate) open_cd_m2: Vec<f64>,
    pub(crate) of_patch: Vec<f64>,
    /// Luminous light of the lobes on their grid, in the mean.
    pub(crate) mean_grid: Vec<f64>,
}

impl WalledRows {
    /// `number`: of the room's direction.
    fn piece_landed(
        &self,
        prepared: &Prepared,
        (p, piece): (usize, &PieceView),
        weights: &[f64],
        number: usize,
    ) -> Landed {
        let row = &prepared.room[number];
        let mut landed = self.walled.landed(
            (&piece.samples, weights),
            piece.samples_before,
            (number, &row.cell),
            &prepared.response,
            &self.inner,
            row.grazing.as_ref().map(|grazing| &grazing.passed),
        );
        if let Some(depth) = prepared.wall.lead_depth(p) {
            landed.pass_leads(depth.through(row.cell.direction), depth.one_side(row.cell.direction));
        }
        landed
    }
}

impl Prepared {
    /// Distributes the light of windows with depth onto the room's surfaces and the inner reveals.
    pub(crate) fn spread_walled(&mut self) {
        for window in 0..self.walled.len() {
            let Some(mut rows) = self.walled[window].take() else { continue };
            rows.inner = rows
                .walled
                .inner_response(&self.response, &self.receivers, &|face| rows.walled.inner_reflectance(face));
            let patches = rows.walled.patches;
            rows.rows = vec![Default::default(); patches];
            let of_window: Vec<usize> =
                (0..self.pieces.len()).filter(|&p| self.wall.pieces[p].window == window).collect();
            let clear = self.clear.clone();
            rows.lobes = Lobes::new(self.room.iter().map(|row| &row.cell));
            let window_m2: f64 =
                of_window.iter().map(|&p| self.wall.pieces[p].area_m2).sum::<f64>().max(1e-300);
            let mut seen_in_mean = std::collections::BTreeMap::new();
            for &p in &of_window {
                let mut piece = self.pieces[p].clone();
                let mut levels = PieceLevels { patches: vec![0.0; patches], ..Default::default() };
                let area: f64 = piece.samples.iter().map(|s| s.area_m2).sum::<f64>().max(1e-300);
                let mut by_node = vec![[0.0; NODES]; patches];
                let eye = rows.walled.before_glass(self.receivers[0].point_m);
                let weights = rows.walled.seen_from(&piece.samples, eye);
                let weight_of_all: f64 = weights.iter().sum::<f64>().max(1e-300);
                for number in 0..self.room.len() {
                    let landed = rows.piece_landed(self, (p, &piece), &weights, number);
                    let (weight, cosine) =
                        (self.room[number].cell.projected_sr, -self.room[number].cell.direction[2]);
                    levels.open.push(landed.open_m2 / area);
                    levels.open_seen.push(landed.open_weight / weight_of_all);
                    let openness = rows.walled.openness[number];
                    for &LandedByPatch { patch, area_m2: seen, weight: of_seen, .. } in &landed.patches {
                        let open = if patch < rows.walled.of_reveal { 1.0 } else { openness };
                        let light = weight * FRAC_1_PI * open * seen / area;
                        levels.patches[patch] += light;
                        levels.seen.push(Seen {
                            patch: patch as u32,
                            row: number as u32,
                            share: (open * of_seen / weight_of_all) as f32,
                        });
                        *seen_in_mean.entry((patch, number)).or_insert(0.0) +=
                            open * seen / area * self.wall.pieces[p].area_m2 / window_m2;
                        for (node, share) in node_weights(cosine) {
                            by_node[patch][node] += share * light;
                        }
                    }
                    for (sum, own) in piece.spread.iter_mut().zip(&landed.own) {
                        sum.add_scaled(weight * FRAC_1_PI, own);
                    }
                    let pane = self.glazing.of_piece[p];
                    rows.lobes.add_landed(
                        &self.glazing.panes[pane],
                        number,
                        self.room[number].cell.direction,
                        weight,
                        &landed.own,
                    );
                    let glazed = self.passed(number, &self.glazing.panes[pane]);
                    let bare = self.passed(number, &clear);
                    add_landed(
                        &landed,
                        [&glazed, &bare],
                        (openness, rows.walled.of_reveal),
                        &mut self.room[number],
                        &mut rows.rows,
                    );
                }
                levels.by_node = by_node
                    .into_iter()
                    .enumerate()
                    .flat_map(|(patch, nodes)| {
                        nodes.into_iter().enumerate().map(move |(node, light)| (patch, node, light))
                    })
                    .filter(|(.., light)| *light != 0.0)
                    .collect();
                piece.levels = Some(Box::new(levels));
                self.pieces[p] = piece;
            }
            rows.seen = seen_in_mean
                .into_iter()
                .map(|((patch, row), share)| Seen {
                    patch: patch as u32,
                    row: row as u32,
                    share: share as f32,
                })
                .collect();
            self.walled[window] = Some(rows);
        }
    }

    /// What a pane lets by of one of the room's directions: of the radiance there, what crosses the glass.
    fn passed(&self, number: usize, pane: &Pane) -> Spectrum {
        let row = &self.room[number];
        let mean = row.grazing.as_ref().map_or(1.0, |grazing| grazing.mean_to_middle(&pane.optics));
        pane.optics.regular(-row.cell.direction[2]) * (mean * row.cell.projected_sr)
    }

    /// Gives a piece in a wall with depth another pane; `false` for other pieces.
    pub(crate) fn reglaze_walled(&mut self, piece: usize, [old, new]: [usize; 2]) -> bool {
        let window = self.wall.pieces[piece].window;
        let Some(mut rows) = self.walled.get_mut(window).and_then(Option::take) else { return false };
        let areas: Vec<f64> = self.pieces[piece].samples.iter().map(|sample| sample.area_m2).collect();
        for number in 0..self.room.len() {
            let landed = rows.piece_landed(self, (piece, &self.pieces[piece]), &areas, number);
            let change =
                self.passed(number, &self.glazing.panes[new]) - self.passed(number, &self.glazing.panes[old]);
            let openness = rows.walled.openness[number];
            let openness = (openness, rows.walled.of_reveal);
            let cell = &self.room[number].cell;
            for (pane, sign) in [(old, -1.0), (new, 1.0)] {
                let (pane, weight) = (&self.glazing.panes[pane], sign * cell.projected_sr);
                rows.lobes.add_landed(pane, number, cell.direction, weight, &landed.own);
            }
            add_landed(&landed, [&change, &Spectrum::ZERO], openness, &mut self.room[number], &mut rows.rows);
        }
        rows.lobes.keep(self.panes_where(|shape| shape.window == window));
        self.walled[window] = Some(rows);
        true
    }

    /// The windows with depth at an instant. `around`: radiance of each of the room's directions.
    pub(crate) fn walled_light(
        &self,
        around: &[Spectrum],
        beam: Option<&Beam>,
    ) -> Vec<Option<WalledLight<'_>>> {
        let lit =
            |(window, rows)| Option::as_ref(rows).map(|rows| self.lit_window(window, rows, around, beam));
        self.walled.iter().enumerate().map(lit).collect()
    }

    fn lit_window<'a>(
        &self,
        window: usize,
        rows: &'a WalledRows,
        around: &[Spectrum],
        beam: Option<&Beam>,
    ) -> WalledLight<'a> {
        let walled = &rows.walled;
        let beam = beam.map(|beam| Beam {
            toward: beam.toward,
            normal: beam.normal * walled.openness(beam.toward),
            cosine: beam.cosine,
        });
        let on_opening = beam.as_ref().and_then(|beam| walled.opening.beam(beam.toward));
        let sun = on_opening.as_ref().zip(beam.as_ref().map(|beam| beam.normal));
        let exitance = walled.exitance(around, sun);
        let of_patch: Vec<f64> = exitance.iter().map(luminous).collect();
        // Per unit share of a piece that sees the direction.
        let across: Vec<Spectrum> = around
            .iter()
            .zip(&self.room)
            .zip(&walled.openness)
            .map(|((light, row), share)| *light * (row.cell.projected_sr * share))
            .collect();
        let of_direction: Vec<f64> = across.iter().map(luminous).collect();
        let mut levels = vec![0.0; self.pieces.len()];
        let (mut sum, mut area) = (0.0, 0.0);
        let mut open = vec![0.0; around.len()];
        let mut by_node = vec![[0.0; NODES]; exitance.len()];
        for (p, shape) in self.wall.pieces.iter().enumerate().filter(|(_, s)| s.window == window) {
            let Some(of) = self.pieces[p].levels.as_deref() else { continue };
            let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
            levels[p] = dot(&of.open, &of_direction) + dot(&of.patches, &of_patch);
            sum += shape.area_m2 * levels[p];
            area += shape.area_m2;
            for (sum, share) in open.iter_mut().zip(&of.open) {
                *sum += shape.area_m2 * share;
            }
            for (patch, node, light) in &of.by_node {
                by_node[*patch][*node] += shape.area_m2 * light;
            }
        }
        let area = area.max(1e-300);
        // What the glass sees in each direction in the mean, which its lobes blur.
        let mut seen = Vec::new();
        if !rows.lobes.widths.is_empty() {
            let shares = walled.openness.iter().zip(&open);
            seen = around.iter().zip(shares).map(|(l, (bars, open))| *l * (bars * open / area)).collect();
            for &Seen { patch, row, share } in &rows.seen {
                seen[row as usize].add_scaled(FRAC_1_PI * f64::from(share), &exitance[patch as usize]);
            }
        }
        let lobes = rows.lobes.now(&seen, beam.as_ref());
        let mean_grid = rows.lobes.grid(&seen.iter().map(luminous).collect::<Vec<_>>());
        let open_cd_m2 = around.iter().zip(&walled.openness).map(|(l, share)| luminous(l) * share).collect();
        let mut by_angle = Box::new([Spectrum::ZERO; NODES]);
        for ((row, light), share) in self.room.iter().zip(&across).zip(&open) {
            if *share > 0.0 {
                for (node, weight) in node_weights(-row.cell.direction[2]) {
                    by_angle[node].add_scaled(weight * share / area, light);
                }
            }
        }
        for (light, nodes) in exitance.iter().zip(&by_node) {
            for (sum, weight) in by_angle.iter_mut().zip(nodes).filter(|(_, weight)| **weight != 0.0) {
                sum.add_scaled(weight / area, light);
            }
        }
        WalledLight {
            rows,
            exitance,
            beam,
            on_opening,
            levels,
            mean: sum / area,
            by_angle,
            lobes,
            open_cd_m2,
            of_patch,
            mean_grid,
        }
    }

    /// The room's light from the reveals and overhangs outside: as glazed, and with clear glass.
    pub(crate) fn add_walled_room(
        lit: &[Option<WalledLight<'_>>],
        room: &mut [Spectrum; COLUMNS],
        clear: &mut [Spectrum; COLUMNS],
    ) {
        for lit in lit.iter().flatten() {
            for (rows, light) in lit.rows.rows.iter().zip(&lit.exitance) {
                for c in 0..COLUMNS {
                    crate::sums::add_product(&mut room[c], &rows[0][c], light);
                    crate::sums::add_product(&mut clear[c], &rows[1][c], light);
                }
            }
        }
    }

    /// The radiance of every cell of the view.
    pub(crate) fn view_radiance(&self, outside: &Outside, lit: &[Option<WalledLight<'_>>]) -> Vec<Spectrum> {
        let of = |cell: &crate::prepared::ViewCell| match cell.behind {
            None => outside.radiance_around(cell.world, &|| cell.around()),
            Some((window, None)) => {
                let walled = self.walled[window].as_ref();
                outside.radiance_around(cell.world, &|| cell.around())
                    * walled.map_or(1.0, |rows| rows.walled.openness(cell.direction))
            }
            Some((window, Some(patch))) => lit[window].as_ref().map_or(Spectrum::ZERO, |lit| {
                lit.exitance[patch] * (FRAC_1_PI * lit.rows.walled.openness_to(patch, cell.direction))
            }),
        };
        self.view.iter().map(of).collect()
    }

    /// As [`Self::sun_in_room`](crate::instant) for a piece in a wall with depth, and the share of the piece in the sun.
    pub(crate) fn walled_sun(&self, piece: usize, lit: &WalledLight<'_>) -> ([Spectrum; COLUMNS], f64) {
        match (&lit.beam, &lit.on_opening) {
            (Some(beam), Some(on)) => self.walled_sun_on(piece, lit.rows, beam, on),
            _ => ([Spectrum::ZERO; COLUMNS], 0.0),
        }
    }

    /// The same for a beam on an opening with the inner reveal of this wall.
    pub(crate) fn walled_sun_on(
        &self,
        piece: usize,
        rows: &WalledRows,
        beam: &Beam,
        on: &reveal::Beam<'_>,
    ) -> ([Spectrum; COLUMNS], f64) {
        let mut landed = [Spectrum::ZERO; COLUMNS];
        let walled = &rows.walled;
        let (mut in_sun, mut whole) = (0.0, 0.0);
        let mut first = [[0.0; 6]; COLUMNS];
        for light in &self.wall.pieces[piece].light {
            whole += signed_area(light).abs();
            for part in on.lit(light) {
                in_sun += signed_area(&part).abs();
                let split = on.inside(&part);
                for (patch, ring) in split.patches {
                    let area = signed_area(&ring).abs();
                    for (sum, h) in landed.iter_mut().zip(&rows.inner[patch]) {
                        sum.add_scaled(area, h);
                    }
                }
                for ring in split.open {
                    let ring = walled.at_face(&ring, beam.toward);
                    self.response.add_beam(
                        &piece_samples(&ring, self.sample_step_m),
                        beam.toward,
                        &mut landed,
                    );
                    for patch in sun_patches(&self.wall.room, &ring, beam.toward) {
                        for (sums, receiver) in first.iter_mut().zip(&self.receivers) {
                            if !self.wall.room.lies_in(patch.surface, receiver.point_m) {
                                let f =
                                    form_factor_to_polygon(receiver.point_m, receiver.normal, &patch.polygon);
                                sums[patch.surface.index()] += f * patch.cos_incidence / beam.cosine;
                            }
                        }
                    }
                }
            }
        }
        for (sum, first) in landed.iter_mut().zip(&first) {
            for (factor, rho) in first.iter().zip(&self.surfaces) {
                sum.add_scaled(*factor, rho);
            }
        }
        let [past, one_side] = self.wall.past_leads(piece, beam.toward);
        (landed.map(|light| light * past), if whole > 0.0 { one_side * in_sun / whole } else { 0.0 })
    }
}

impl WalledLight<'_> {
    /// Share of the sun's beam that bars and mesh let by.
    pub(crate) fn openness_to_sun(&self) -> f64 {
        self.beam.as_ref().map_or(0.0, |beam| self.rows.walled.openness(beam.toward))
    }

    /// The light on a pane and through it as the window's pieces have it in the mean.
    pub(crate) fn on_pane(&self, pane: &Pane) -> OnPane {
        OnPane::new(pane, &self.by_angle, self.beam.as_ref(), &self.lobes)
    }

    /// The same on one piece, of which `in_sun` is a share.
    pub(crate) fn on_piece(&self, mean: &OnPane, piece: usize, in_sun: f64) -> OnPane {
        let level = if self.mean > 0.0 { self.levels[piece] / self.mean } else { 0.0 };
        OnPane {
            passed_sky: mean.passed_sky * level,
            scattered_sky: mean.scattered_sky * level,
            scattered_sun: mean.scattered_sun * in_sun,
            passed_sun: mean.passed_sun,
            lobe: mean.lobe.clone(),
            forward: [mean.forward[0] * level, mean.forward[1] * in_sun],
        }
    }
}

/// Adds the light of a piece from one direction to the rows of that direction and of the patches seen there. `passed`: by
/// the two kinds of glass.
fn add_landed(
    landed: &Landed,
    passed: [&Spectrum; 2],
    (openness, of_reveal): (f64, usize),
    row: &mut crate::prepared::RoomCell,
    patches: &mut [[[Spectrum; COLUMNS]; 2]],
) {
    let add =
        |sums: &mut [Spectrum; COLUMNS], light: &[Spectrum; COLUMNS], passed: &Spectrum, factor: f64| {
            let passed = *passed * factor;
            for (sum, light) in sums.iter_mut().zip(light) {
                crate::sums::add_product(sum, light, &passed);
            }
        };
    if landed.open_m2 > 0.0 {
        add(&mut row.rows, &landed.open, passed[0], openness);
        add(&mut row.clear, &landed.open, passed[1], openness);
    }
    for LandedByPatch { patch, light, .. } in &landed.patches {
        for (sums, passed) in patches[*patch].iter_mut().zip(passed) {
            // Bars and mesh hang between the overhang and the glass.
            let open = if *patch < of_reveal { 1.0 } else { openness };
            add(sums, light, passed, FRAC_1_PI * open);
        }
    }
}
