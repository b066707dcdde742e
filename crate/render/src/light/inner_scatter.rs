//! The light of an instant that pieces scatter onto an inner reveal, evenly and forwards, as for the figures.

use std::f64::consts::{FRAC_1_PI, PI};

use plane::RoomVector;
use spectra::{Spectrum, luminous};

use crate::light::bands::Bands;
use crate::light::outside::compass;
use crate::light::wall::{Around, WallLight};
use crate::window::inner_glass::InnerGlass;
use crate::window::inner_lobes::{Arriving, Blur, CELL_SR, arriving, bell, cell_of, cells, kept};
use crate::window::inner_view::InnerView;
use crate::window::outer_wall::OuterWall;

/// What a piece scatters.
struct Scattered {
    /// Radiance of what it spreads evenly.
    even: Bands,
    /// Blurred light and the sun's bell, if it has a lobe.
    forward: Option<Forward>,
}

struct Forward {
    blur: usize,
    /// What it makes of blurred light that enters.
    of_blurred: Bands,
    /// Light of its bell around the sun, and the bell's variance.
    sun: Bands,
    variance: f64,
}

/// Adds what the pieces scatter to what each fine patch receives over π.
pub(crate) fn add_scattered(
    view: &InnerView,
    glass: &InnerGlass,
    outer: Option<(&OuterWall, &WallLight)>,
    around: &Around<'_>,
    toward_sun: RoomVector,
    received: &mut [Bands],
) {
    let lobes = Lobes::new(glass, outer, around);
    let (beam, diffuse) = around.outside.irradiance_on(around.facing_deg, 90.0);
    let sun_at = [toward_sun[0], toward_sun[1]];
    let scattered: Vec<Option<Scattered>> = glass
        .panes
        .iter()
        .enumerate()
        .map(|(piece, pane)| {
            if pane.evenly.max() <= 0.0 {
                return None;
            }
            let [sky, sun] = match outer.and_then(|(_, light)| light.on_pieces.get(piece)) {
                Some(on) => [on.shaded.sky, on.glow - on.shaded.sky],
                None => [diffuse * FRAC_1_PI, beam * FRAC_1_PI],
            };
            let [_, of_sun] = pane.transmittance(-toward_sun[2]);
            let [of_sky, of_sun] = [pane.evenly * sky, of_sun * sun];
            let Some(lobe) = &pane.lobe else {
                return Some(Scattered { even: Bands::of(&(of_sky + of_sun)), forward: None });
            };
            let level = lobes.level(&sky);
            let of_blurred = Bands::of(&(pane.evenly * (lobe.share * level / lobes.mean_entering)));
            let blur = glass.blur_of(lobe);
            let forward = Forward {
                blur,
                of_blurred,
                sun: Bands::of(&(of_sun * (lobe.share * PI))),
                variance: lobe.variance,
            };
            let sun_left = 1.0 - lobe.share * kept(sun_at, lobe.variance);
            let mut even = Bands::of(&(of_sky + of_sun * sun_left));
            let leaving = lobes.leaving[blur].times(&of_blurred);
            even.add_scaled(-FRAC_1_PI as f32, &leaving);
            even.0.iter_mut().for_each(|v| *v = v.max(0.0));
            Some(Scattered { even, forward: Some(forward) })
        })
        .collect();
    for (sum, pieces) in received.iter_mut().zip(&view.pieces) {
        for piece in pieces {
            let Some(of) = &scattered[piece.piece as usize] else { continue };
            sum.add_scaled(piece.form, &of.even);
            let Some(forward) = &of.forward else { continue };
            for part in view.parts(piece) {
                let cell = cell_of(RoomVector::new(part.along[0].into(), part.along[1].into(), 0.0));
                sum.add_scaled(part.form, &lobes.blurred[forward.blur][cell].times(&forward.of_blurred));
                let weight = bell(sun_at, part.along.map(f64::from), forward.variance);
                sum.add_scaled(part.form * weight as f32, &forward.sun);
            }
        }
    }
}

/// Sky and ground, blurred.
struct Lobes {
    /// By width and by cell.
    blurred: Vec<Vec<Bands>>,
    /// By width: of the light that enters, what leaves in lobes.
    leaving: Vec<Bands>,
    mean_entering: f64,
    /// Luminous irradiance over π.
    whole: f64,
    shaded: bool,
}

impl Lobes {
    fn new(glass: &InnerGlass, outer: Option<(&OuterWall, &WallLight)>, around: &Around<'_>) -> Self {
        let from = arriving();
        let mean_entering = from.iter().map(|from| from.entering).sum::<f64>() / from.len() as f64;
        let mut lobes = Self {
            blurred: Vec::new(),
            leaving: Vec::new(),
            mean_entering,
            whole: 0.0,
            shaded: outer.is_some(),
        };
        if glass.blurs.is_empty() {
            return lobes;
        }
        let passed = outer.map(|(wall, light)| passed(wall, light));
        let radiance = |from: &Arriving| {
            let direction = compass(around.facing_deg, from.toward.to_array().into());
            around.outside.radiance(direction) * passed.as_ref().map_or(1.0, |passed| passed[from.cell])
        };
        let mut sum = Spectrum::ZERO;
        let light: Vec<Bands> = from
            .iter()
            .map(|from| {
                let light = radiance(from);
                sum.add_scaled(CELL_SR * FRAC_1_PI, &light);
                Bands::of(&(light * (from.entering * CELL_SR)))
            })
            .collect();
        lobes.whole = luminous(&sum);
        let weighted = |weights: &[f32]| {
            let mut sum = Bands::ZERO;
            for (weight, light) in weights.iter().zip(&light).filter(|(weight, _)| **weight > 1e-4) {
                sum.add_scaled(*weight, light);
            }
            sum
        };
        let of_blur = |blur: &Blur| (0..cells()).map(|cell| weighted(blur.toward(cell))).collect();
        lobes.blurred = glass.blurs.iter().map(of_blur).collect();
        lobes.leaving = glass.blurs.iter().map(|blur| weighted(blur.kept())).collect();
        lobes
    }

    /// How much of the light of all pieces one has, by its irradiance over π.
    fn level(&self, sky: &Spectrum) -> f64 {
        if self.shaded && self.whole > 0.0 { luminous(sky) / self.whole } else { 1.0 }
    }
}

/// Share of the light from each cell that reaches the glass in the mean, or comes from the stone there.
fn passed(wall: &OuterWall, light: &WallLight) -> Vec<f64> {
    let mut sums = vec![[0.0; 2]; cells()];
    let mut all = [0.0; 2];
    let places = wall.ways.len() as f64;
    for ((cell, arriving), level) in wall.cells.iter().zip(&light.arriving).zip(&light.cell_level) {
        for sums in [&mut sums[cell_of(cell.toward)], &mut all] {
            *sums = [sums[0] + arriving, sums[1] + level * cell.projected_sr * places];
        }
    }
    let share = |[passed, whole]: [f64; 2]| if whole > 0.0 { passed / whole } else { 0.0 };
    sums.into_iter().map(|of| if of[1] > 0.0 { share(of) } else { share(all) }).collect()
}
