//! What a prepared place's room makes of light: how the panes spread it there, and what the opening sends back.

use spectra::Spectrum;

use crate::geometry::{WindowWall, area_m2};
use crate::glazing::{Glazing, LEAD_REFLECTANCE, Pane};
use crate::lobes::Lobes;
use crate::prepared::{COLUMNS, PieceView, Prepared};

impl Prepared {
    /// Distributes every direction's light through every piece onto the room's surfaces, and from there to the
    /// receivers.
    pub(crate) fn spread(&mut self) {
        let mut by_pane: Vec<Vec<usize>> = vec![Vec::new(); self.glazing.panes.len()];
        for (p, &pane) in self.glazing.of_piece.iter().enumerate() {
            if !self.is_walled(p) {
                by_pane[pane].push(p);
            }
        }
        self.lobes = Lobes::new(self.room.iter().map(|row| &row.cell));
        for (at_row, row) in self.room.iter_mut().enumerate() {
            let weight = row.cell.projected_sr;
            let grazing = row.grazing.as_ref();
            let cosine = -row.cell.direction[2];
            let mut everything = [Spectrum::ZERO; COLUMNS];
            for (pane, pieces) in by_pane.iter().enumerate().filter(|(_, pieces)| !pieces.is_empty()) {
                let mut landed = [Spectrum::ZERO; COLUMNS];
                // The same without regard to how much of each part of the cell passes regularly.
                let mut evenly = [Spectrum::ZERO; COLUMNS];
                let scatters = self.glazing.panes[pane].forward().is_some();
                for &p in pieces {
                    let PieceView { samples, samples_before, spread, .. } = &mut self.pieces[p];
                    let [past, one_side] = self.wall.past_leads(p, row.cell.direction);
                    let mut own = [Spectrum::ZERO; COLUMNS];
                    self.response.for_landed(samples, *samples_before, &row.cell, |at, area, h| {
                        add(&mut own, area, h);
                        if let Some(grazing) = grazing {
                            add(&mut landed, past * area * grazing.passed[at], h);
                        }
                    });
                    if grazing.is_none() {
                        add(&mut landed, past, &own);
                    }
                    if scatters {
                        add(&mut evenly, past, &own);
                    }
                    add(spread, one_side * weight * std::f64::consts::FRAC_1_PI, &own);
                }
                if scatters {
                    self.lobes.add_landed(
                        &self.glazing.panes[pane],
                        at_row,
                        row.cell.direction,
                        weight,
                        &evenly,
                    );
                }
                let optics = &self.glazing.panes[pane].optics;
                let mean = grazing.map_or(1.0, |grazing| grazing.mean_to_middle(optics));
                optics.add_regular(cosine, weight * mean, &landed, &mut row.rows);
                add(&mut everything, 1.0, &landed);
            }
            let mean = grazing.map_or(1.0, |grazing| grazing.mean_to_middle(&self.clear.optics));
            self.clear.optics.add_regular(cosine, weight * mean, &everything, &mut row.clear);
        }
    }

    /// The opening's own reflection, by the panes and the lead.
    pub(crate) fn reflect(&mut self) {
        let mut glazed = Spectrum::ZERO;
        let mut glass_area = 0.0;
        if self.wall.walled.iter().any(Option::is_some) {
            self.opening = [None, Some(&self.clear)].map(|clear| {
                let reflectance = opening_reflectance(&self.wall, &self.glazing, clear);
                self.response.opening_factors(&reflectance)
            });
            return;
        }
        for (shape, &pane) in self.wall.pieces.iter().zip(&self.glazing.of_piece) {
            glazed.add_scaled(shape.area_m2, &self.glazing.panes[pane].reflectance_inside);
            glass_area += shape.area_m2;
        }
        let whole = self.wall.opening_area_m2().max(glass_area).max(1e-12);
        let lead = Spectrum::splat(LEAD_REFLECTANCE * (whole - glass_area));
        let clear = self.clear.reflectance_inside * glass_area;
        self.opening =
            [glazed, clear].map(|glass| self.response.opening_factors(&((glass + lead) * (1.0 / whole))));
    }
}

/// Share of the room's light on all openings that comes back out of them, with reveals before the glass. `clear`: one pane
/// in place of all.
pub(crate) fn opening_reflectance(wall: &WindowWall, glazing: &Glazing, clear: Option<&Pane>) -> Spectrum {
    let (mut sum, mut whole) = (Spectrum::ZERO, 0.0);
    for (window, opening) in wall.openings.iter().enumerate() {
        let (mut reflected, mut glass_m2) = (Spectrum::ZERO, 0.0);
        for (p, shape) in wall.pieces.iter().enumerate().filter(|(_, shape)| shape.window == window) {
            let pane = clear.unwrap_or(&glazing.panes[glazing.of_piece[p]]);
            reflected.add_scaled(shape.area_m2, &pane.reflectance_inside);
            glass_m2 += shape.area_m2;
        }
        let walled = wall.walled[window].as_ref();
        let own_m2 = match walled {
            Some(walled) => walled.wall.outline.area_m2(),
            None => area_m2(opening),
        };
        let own_m2 = own_m2.max(glass_m2).max(1e-12);
        reflected += Spectrum::splat(LEAD_REFLECTANCE * (own_m2 - glass_m2));
        reflected *= 1.0 / own_m2;
        let (share, face_m2) = match walled {
            Some(walled) => (walled.returned(reflected), walled.face_m2),
            None => (reflected, own_m2),
        };
        sum.add_scaled(face_m2, &share);
        whole += face_m2;
    }
    sum * (1.0 / whole.max(1e-12))
}

/// `sums += factor · light`, column by column.
fn add(sums: &mut [Spectrum; COLUMNS], factor: f64, light: &[Spectrum]) {
    for (sum, light) in sums.iter_mut().zip(light) {
        sum.add_scaled(factor, light);
    }
}
