//! What each piece does to light on its way to an inner reveal: the same at every hour and from everywhere.

use spectra::{Spectrum, luminous};

use crate::glazing::makeup::Glazing;
use crate::glazing::optics::Factors;
use crate::light::bands::Bands;
use crate::window::inner_lobes::{Blur, PieceLobe};
use crate::window::model::WindowModel;

/// Angles of incidence at which transmittances are known, degrees.
const ANGLES_DEG: [f64; 7] = [0.0, 25.0, 45.0, 60.0, 70.0, 80.0, 90.0];

/// A piece as light on the reveal passes it, all of its parts together.
#[derive(Clone, Debug)]
pub(crate) struct Pane {
    /// Transmittance at each of the angles: what goes straight on, in bands and whole.
    bands: [Bands; ANGLES_DEG.len()],
    regular: [Spectrum; ANGLES_DEG.len()],
    /// What it scatters of light by its angle, and of even light.
    diffuse: [Spectrum; ANGLES_DEG.len()],
    pub(crate) evenly: Spectrum,
    pub(crate) lobe: Option<PieceLobe>,
}

/// The pieces.
#[derive(Clone, Debug)]
pub(crate) struct InnerGlass {
    pub(crate) panes: Vec<Pane>,
    /// The bells of every width that they have.
    pub(crate) blurs: Vec<Blur>,
}

impl InnerGlass {
    pub(crate) fn new(model: &WindowModel, glazing: &Glazing) -> Self {
        let panes = (0..model.pieces.len()).map(|piece| Pane::new(model, glazing, piece)).collect();
        let mut glass = Self { panes, blurs: Vec::new() };
        glass.update_blurs();
        glass
    }

    /// Sets a piece anew.
    pub(crate) fn set(&mut self, piece: usize, model: &WindowModel, glazing: &Glazing) {
        self.panes[piece] = Pane::new(model, glazing, piece);
        self.update_blurs();
    }

    /// Makes the bells that are missing and drops those that no piece has.
    fn update_blurs(&mut self) {
        let lobes = self.panes.iter().filter_map(|pane| pane.lobe);
        let mut steps: Vec<i32> = lobes.map(|lobe| Blur::step_of(lobe.variance)).collect();
        sorting::values(&mut steps);
        steps.dedup();
        self.blurs.retain(|blur| steps.contains(&blur.step));
        for step in steps {
            if !self.blurs.iter().any(|blur| blur.step == step) {
                self.blurs.push(Blur::new(step));
            }
        }
    }

    /// Number of the bells of a lobe.
    pub(crate) fn blur_of(&self, lobe: &PieceLobe) -> usize {
        let step = Blur::step_of(lobe.variance);
        self.blurs.iter().position(|blur| blur.step == step).unwrap_or_default()
    }
}

impl Pane {
    fn new(model: &WindowModel, glazing: &Glazing, piece: usize) -> Self {
        let parts = parts_of(model, piece);
        let table = ANGLES_DEG.map(|angle_deg| {
            let [mut regular, mut diffuse] = [Spectrum::ZERO; 2];
            for &(makeup, share) in &parts {
                let of = glazing.transmittance(makeup, Factors::PLAIN, angle_deg);
                regular.add_scaled(share, &of.regular);
                diffuse.add_scaled(share, &of.diffuse);
            }
            [regular, diffuse]
        });
        let (regular, diffuse) = (table.map(|[regular, _]| regular), table.map(|[_, diffuse]| diffuse));
        Self {
            bands: regular.each_ref().map(Bands::of),
            regular,
            evenly: of_even_light(&diffuse),
            diffuse,
            lobe: lobe_of(&parts, glazing),
        }
    }

    /// Adds what goes straight on of light that meets the piece at a place among the angles, times a form factor.
    pub(crate) fn add_passed(&self, light: &Bands, place: f32, form: f32, to: &mut Bands) {
        let node = (place as usize).min(ANGLES_DEG.len() - 2);
        let share = place - node as f32;
        to.add_passed(
            light,
            [&self.bands[node], &self.bands[node + 1]],
            [form * (1.0 - share), form * share],
        );
    }

    /// Transmittance at an angle given by its cosine: what goes straight on, and what is scattered.
    pub(crate) fn transmittance(&self, cosine: f64) -> [Spectrum; 2] {
        let place = place_of_angle(cosine);
        let node = (place as usize).min(ANGLES_DEG.len() - 2);
        let share = place - node as f64;
        [&self.regular, &self.diffuse].map(|table| table[node] * (1.0 - share) + table[node + 1] * share)
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
fn lobe_of(parts: &[(usize, f64)], glazing: &Glazing) -> Option<PieceLobe> {
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
        PieceLobe { share: forward / all, variance }
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

/// Place of an angle of incidence, given by its cosine, among those at which transmittances are known.
pub(crate) fn place_of_angle(cosine: f64) -> f64 {
    let angle_deg = cosine.clamp(0.0, 1.0).acos().to_degrees();
    let after = ANGLES_DEG.partition_point(|a| *a <= angle_deg).clamp(1, ANGLES_DEG.len() - 1);
    let (a, b) = (ANGLES_DEG[after - 1], ANGLES_DEG[after]);
    (after - 1) as f64 + ((angle_deg - a) / (b - a)).clamp(0.0, 1.0)
}
