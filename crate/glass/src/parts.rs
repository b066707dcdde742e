//! The parts that light meets one after the other in a piece, and their adding at an angle.

use spectra::{SAMPLES, Spectrum};

use crate::adding::{Absorbed, Channels, Element, Elements};
use crate::coverage::yule_nielsen;
use crate::fresnel::{diffuse_path, inner_cosine, reflectance};
use crate::lobe::Lobe;
use crate::several_lobes::{Scatterer, Scattering};
use crate::streak::Mixes;

/// Largest absorption kept, natural base: e^−700 is close to the smallest number above 0.
pub(crate) const DEEPEST: f64 = 700.0;

/// The depths below are optical depths along the normal, natural base.
#[derive(Clone, Debug)]
pub(crate) enum Part {
    Boundary {
        n1: f64,
        n2: f64,
        diffuse: f64,
    },
    Absorber {
        n: f64,
        depth: Spectrum,
        scales: bool,
    },
    Streaks {
        n: f64,
        streaks: Box<Streaks>,
        scales: bool,
    },
    Scatterer {
        n: f64,
        depth: Spectrum,
        back_to_forth: f64,
        body: bool,
        scales: bool,
        of: Scatterer,
        lobe: Lobe,
    },
    Film {
        n: f64,
        depth: Spectrum,
        scatter: f64,
        coverage: f64,
        spread: f64,
        reflects: f64,
        paint: Option<usize>,
        of: Scatterer,
        lobe: Lobe,
    },
}

impl Part {
    /// How it scatters along the normal at a wavelength, if it can.
    pub(crate) fn scattering(&self, sample: usize) -> Option<Scattering> {
        match self {
            Self::Boundary { .. } | Self::Absorber { .. } | Self::Streaks { .. } => None,
            // (1 − e^−x)·e^x, less what goes back.
            Self::Scatterer { depth, back_to_forth, of, lobe, .. } => Some(Scattering {
                of: *of,
                to_regular: depth[sample].min(DEEPEST).exp_m1() / (1.0 + back_to_forth),
                lobe: *lobe,
            }),
            Self::Film { depth, scatter, coverage, spread, of, lobe, .. } => {
                let scattered = -(-scatter.min(DEEPEST)).exp_m1();
                let light = film(depth[sample], scattered, *coverage, *spread);
                let to_regular = if light.spread > 0.0 { light.spread / light.direct } else { 0.0 };
                Some(Scattering { of: *of, to_regular, lobe: *lobe })
            }
        }
    }
}

/// Two colours in streaks, with the optical depth of each over the whole thickness.
#[derive(Clone, Debug)]
pub(crate) struct Streaks {
    pub(crate) first: Spectrum,
    pub(crate) second: Spectrum,
    pub(crate) mixes: Mixes,
    /// Half of the thickness: another half follows.
    pub(crate) halves: bool,
}

/// Adds one part behind those already built, at every wavelength, in both polarisations.
pub(crate) fn add<B: Elements>(
    part: &Part,
    sine: f64,
    thickness: f64,
    paint: &impl Fn(usize) -> f64,
    built: &mut [[B; SAMPLES]],
) {
    match part {
        Part::Boundary { n1, n2, diffuse } => {
            let by_polarisation = reflectance(*n1, *n2, inner_cosine(*n1, sine), inner_cosine(*n2, sine));
            for (column, r) in built.iter_mut().zip(by_polarisation) {
                let element = Element {
                    passes: Channels { rr: 1.0 - r, rd: 0.0, dd: 1.0 - diffuse },
                    returns: Channels { rr: r, rd: 0.0, dd: *diffuse },
                    absorbs: Absorbed::default(),
                };
                for b in column {
                    *b = b.then(&element);
                }
            }
        }
        Part::Absorber { n, depth, scales } => {
            let factor = if *scales { thickness } else { 1.0 };
            let (path, diffuse) = (factor / inner_cosine(*n, sine), factor * diffuse_path(*n));
            for i in 0..SAMPLES {
                let (r, d) = ((depth[i] * path).min(DEEPEST), (depth[i] * diffuse).min(DEEPEST));
                let (regular, diffuse) = ((-r).exp(), (-d).exp());
                for column in built.iter_mut() {
                    column[i] = column[i].then_absorbing(regular, diffuse);
                }
            }
        }
        Part::Streaks { n, streaks, scales } => {
            let Streaks { first, second, mixes, halves } = &**streaks;
            let factor = if *scales { thickness } else { 1.0 };
            // Of two halves one after the other, each passes the root of what both do: a path crosses one streak.
            let passes = |path: f64| {
                let mean = mixes.mean_of(&(*first * path), &(*second * path));
                mean.map(|t| if *halves { t.sqrt() } else { t }.max((-DEEPEST).exp()))
            };
            let (regular, diffuse) =
                (passes(factor / inner_cosine(*n, sine)), passes(factor * diffuse_path(*n)));
            for i in 0..SAMPLES {
                for column in built.iter_mut() {
                    column[i] = column[i].then_absorbing(regular[i], diffuse[i]);
                }
            }
        }
        Part::Scatterer { n, depth, back_to_forth, body, scales, of: _, lobe: _ } => {
            let factor = if *scales { thickness } else { 1.0 };
            let (path, diffuse, ratio) = if *body {
                (factor / inner_cosine(*n, sine), factor * diffuse_path(*n), back_to_forth * factor)
            } else {
                (1.0, 1.0, *back_to_forth)
            };
            let back = ratio / (1.0 + ratio);
            both(built, |i| {
                let (s, d) = (-(-depth[i] * path).exp_m1(), -(-depth[i] * diffuse).exp_m1());
                Element {
                    passes: Channels { rr: 1.0 - s, rd: s * (1.0 - back), dd: 1.0 - d * back },
                    returns: Channels { rr: 0.0, rd: s * back, dd: d * back },
                    absorbs: Absorbed::default(),
                }
            });
        }
        Part::Film { n, depth, scatter, coverage, spread, reflects, paint: index, of: _, lobe: _ } => {
            let factor = index.map_or(1.0, paint);
            let (path, diffuse) = (factor / inner_cosine(*n, sine), factor * diffuse_path(*n));
            let scattered = -(-(scatter * path).min(DEEPEST)).exp_m1();
            both(built, |i| {
                let regular = film(depth[i] * path, scattered, *coverage, *spread);
                let spread_light = film(depth[i] * diffuse, 0.0, *coverage, *spread);
                let (back, lost) = (*reflects, 1.0 - reflects);
                Element {
                    passes: Channels { rr: regular.direct, rd: regular.spread, dd: spread_light.direct },
                    returns: Channels {
                        rr: 0.0,
                        rd: back * regular.stopped,
                        dd: back * spread_light.stopped,
                    },
                    absorbs: Absorbed {
                        regular: lost * regular.stopped,
                        diffuse: lost * spread_light.stopped,
                    },
                }
            });
        }
    }
}

fn both<B: Elements>(built: &mut [[B; SAMPLES]], element: impl Fn(usize) -> Element) {
    for i in 0..SAMPLES {
        let e = element(i);
        for column in built.iter_mut() {
            column[i] = column[i].then(&e);
        }
    }
}

/// Optical depth below which a film's loss is computed separately from its transmittance.
const THIN: f64 = 0.05;

/// How light divides at a film of paint: shares that add to 1.
struct FilmLight {
    direct: f64,
    spread: f64,
    stopped: f64,
}

/// Murray–Davies over the painted part, with its `scattered` share separate. All transmitted light is reduced by
/// Yule–Nielsen's factor if light spreads under the paint (`spread` above 1).
fn film(depth: f64, scattered: f64, coverage: f64, spread: f64) -> FilmLight {
    let depth = depth.min(DEEPEST);
    let passes = (-depth).exp();
    let (bare, painted) = (1.0 - coverage, coverage * passes);
    // For a tiny depth, 1 − e^−x would leave few digits.
    let mut stopped = coverage * if depth < THIN { -(-depth).exp_m1() } else { 1.0 - passes };
    let mut denser = 1.0;
    if spread > 1.0 && bare > 0.0 {
        let through = yule_nielsen(depth / std::f64::consts::LN_10, coverage, spread);
        denser = through / (bare + painted);
        stopped = 1.0 - through;
    }
    FilmLight {
        direct: (bare + painted * (1.0 - scattered)) * denser,
        spread: painted * scattered * denser,
        stopped,
    }
}
