//! The optics of each piece, computed once for every distinct make-up.

use glass::{Lobe, Makeup, Scattering, UncertaintyTerm};
use spectra::{Observer, Spectrum, TristimulusWeights, illuminant};

use crate::angular_optics::AngularOptics;

/// Glass of the clear opening with which a window is compared: clear float.
const CLEAR_GLASS: &str = "float-clear";
/// Its thickness, mm.
const CLEAR_GLASS_MM: f64 = 3.0;
/// Diffuse reflectance of lead and solder toward the room (our assumption: dull lead).
pub(crate) const LEAD_REFLECTANCE: f64 = 0.15;

/// One make-up and its optics.
#[derive(Clone, Debug)]
pub struct Pane {
    /// What it is made of.
    pub makeup: Makeup,
    /// Transmittances by angle.
    pub optics: AngularOptics,
    /// How the light that it scatters is spread.
    pub lobe: Lobe,
    /// What scatters in it.
    pub scatterers: Vec<Scattering>,
    /// Share of the room's diffuse light that it reflects.
    pub reflectance_inside: Spectrum,
    /// Luminous transmittance at normal incidence, regular and diffuse, for D65; 0–1.
    pub transmittance_y: f64,
    /// The glasses' contributions to its error.
    pub uncertainty: Vec<UncertaintyTerm>,
    /// Mean refractive index of its plates, for the length of slanting paths.
    pub index: f64,
}

impl Pane {
    /// Computes the optics of a make-up.
    pub fn new(makeup: &Makeup) -> Self {
        let prepared = makeup.prepare();
        // The room's light is reflected by the cosine-weighted mean over the hemisphere, at the same angles.
        let (mut reflectance_inside, mut weights) = (Spectrum::ZERO, 0.0);
        let optics = AngularOptics::from_fn(|angle_deg| {
            let o = prepared.inward(angle_deg);
            let weight = (2.0 * angle_deg.to_radians()).sin();
            reflectance_inside.add_scaled(weight, &o.reflectance_inside);
            weights += weight;
            (o.regular_transmittance, o.diffuse_transmittance)
        });
        reflectance_inside *= 1.0 / weights;
        let normal = optics.regular(1.0) + optics.diffuse(1.0);
        let d65 = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
        let plates = makeup.plates.len().max(1) as f64;
        let scatterers = prepared.scatterers();
        Self {
            lobe: Lobe::of_several(&scatterers),
            scatterers,
            reflectance_inside,
            transmittance_y: d65.xyz(&normal).y / 100.0,
            uncertainty: makeup.uncertainty_terms(),
            index: if makeup.plates.is_empty() {
                1.0
            } else {
                makeup.plates.iter().map(|p| p.glass.n.max(1.0)).sum::<f64>() / plates
            },
            optics,
            makeup: makeup.clone(),
        }
    }

    /// The clear pane with which a window is compared; an opening without glass if the library lacks it.
    pub fn clear() -> Self {
        let makeup = glass::find(CLEAR_GLASS).map_or(
            Makeup {
                plates: Vec::new(),
                gap: glass::Gap::Air,
                paints: Vec::new(),
                deposits: glass::Deposits::NONE,
                protective: None,
            },
            |g| Makeup::single(g.clone(), CLEAR_GLASS_MM),
        );
        Self::new(&makeup)
    }

    /// Length of the path within the glass relative to its thickness, at the cosine of incidence.
    pub fn path(&self, cos_incidence: f64) -> f64 {
        let c = cos_incidence.clamp(0.0, 1.0);
        1.0 / (1.0 - (1.0 - c * c) / (self.index * self.index)).max(1e-3).sqrt()
    }
}

/// The panes of a scene, and which piece has which pane.
#[derive(Clone, Debug, Default)]
pub struct Glazing {
    /// Every distinct make-up.
    pub panes: Vec<Pane>,
    /// The pane of each piece.
    pub of_piece: Vec<usize>,
}

impl Glazing {
    /// From the make-ups of all pieces.
    pub fn new<'a>(makeups: impl IntoIterator<Item = &'a Makeup>) -> Self {
        let mut glazing = Self::default();
        for makeup in makeups {
            let pane = glazing.pane(makeup);
            glazing.of_piece.push(pane);
        }
        glazing
    }

    /// Index of the pane with this make-up, which is computed if it is new.
    pub fn pane(&mut self, makeup: &Makeup) -> usize {
        self.panes.iter().position(|p| p.makeup == *makeup).unwrap_or_else(|| {
            self.panes.push(Pane::new(makeup));
            self.panes.len() - 1
        })
    }

    /// Forgets a pane unless a piece has it. The last one takes its place.
    pub(crate) fn forget_unused(&mut self, pane: usize) {
        if pane >= self.panes.len() || self.of_piece.contains(&pane) {
            return;
        }
        self.panes.swap_remove(pane);
        let moved = self.panes.len();
        for of_piece in self.of_piece.iter_mut().filter(|of_piece| **of_piece == moved) {
            *of_piece = pane;
        }
    }
}
