//! Light between open ground and what stands on the horizon all round.
//!
//! Skyline and trees are taken to stand far away as compared with the window's height, and to rise as high round every
//! point of the ground and of the facades as they do round the window: that is what bearings and altitudes alone say. So
//! the ground gets the sky that they leave, their own light instead of the rest, and the sun above them; a facade gets
//! half of that and the light of the ground. In the middle of an endless street whose two sides are alike, a facade sees
//! the other side as a window in it does.

use std::f64::consts::{FRAC_1_PI, FRAC_PI_2, PI, TAU};
use std::sync::LazyLock;

use spectra::Spectrum;

use crate::dome::Dome;
use crate::horizon::Skyline;
use crate::quadrature::{gauss_legendre, over_panels};

/// Number of bearings at which the light on a wall facing us is computed.
const FACADES: usize = 24;
/// Number of bearings over which the dome is summed.
const COLUMNS: usize = 48;
/// Rounds of reflection after which the exchange ends in any case.
const MOST_ROUNDS: usize = 200;
/// Change between two rounds, relative to the light, at which it ends.
const SETTLED: f64 = 1e-5;

/// The light that falls on the surroundings. Coarse: ±1 %, less than the uncertainty of the surroundings.
#[derive(Clone, Debug)]
pub(crate) struct SkylineLight {
    /// On open ground.
    pub(crate) on_ground: Spectrum,
    /// On upright faces that look at us, without the beam, by the bearing at which we see them.
    on_facades: Vec<Spectrum>,
}

/// What is seen of the surroundings at one bearing.
struct Column {
    azimuth: f64,
    /// Sky light that is left, on an upright plane that looks to this bearing, per radian of bearing.
    sky: Spectrum,
    /// Light of upright faces on the ground and on such a plane, as a share of the light that falls on them, per radian.
    returned: [Spectrum; 2],
}

impl SkylineLight {
    /// `diffuse`: light of the whole dome on the ground. `beam`: past skyline and trees, facing the sun, which stands at
    /// `sun_altitude_deg` and `sun_azimuth_deg`.
    pub(crate) fn new(
        skyline: &Skyline,
        reflectance: &Spectrum,
        dome: &Dome,
        diffuse: &Spectrum,
        beam: &Spectrum,
        [sun_altitude_deg, sun_azimuth_deg]: [f64; 2],
        albedo: &Spectrum,
    ) -> Self {
        let step = TAU / COLUMNS as f64;
        let mut from_sky = *diffuse;
        let columns: Vec<Column> = (0..COLUMNS)
            .map(|k| {
                let azimuth = step * (k as f64 + 0.5);
                let (column, hidden) = column(skyline, reflectance, dome, azimuth);
                from_sky.add_scaled(-step, &hidden);
                column
            })
            .collect();
        let (sun_up, sun_level) = sun_altitude_deg.to_radians().sin_cos();
        let mut direct_on_ground = from_sky.map(|v| v.max(0.0));
        direct_on_ground.add_scaled(sun_up.max(0.0), beam);
        // A face seen at a bearing looks the other way.
        let looks = |face: usize| TAU * face as f64 / FACADES as f64 + PI;
        let cosines: Vec<[f64; COLUMNS]> = (0..FACADES)
            .map(|face| std::array::from_fn(|k| (columns[k].azimuth - looks(face)).cos().max(0.0) * step))
            .collect();
        let sky: Vec<Spectrum> = cosines
            .iter()
            .map(|cosines| {
                let mut sum = Spectrum::ZERO;
                cosines.iter().zip(&columns).for_each(|(cosine, c)| sum.add_scaled(*cosine, &c.sky));
                sum
            })
            .collect();
        let beam_on: Vec<f64> = (0..FACADES)
            .map(|face| sun_level * (sun_azimuth_deg.to_radians() - looks(face)).cos().max(0.0))
            .collect();
        let mut light = Self { on_ground: direct_on_ground, on_facades: sky.clone() };
        for _ in 0..MOST_ROUNDS {
            let on: Vec<Spectrum> = columns
                .iter()
                .map(|c| {
                    let mut on = light.on_face(c.azimuth.to_degrees());
                    on.add_scaled(between(&beam_on, c.azimuth.to_degrees()), beam);
                    on
                })
                .collect();
            let mut on_ground = direct_on_ground;
            for (c, on) in columns.iter().zip(&on) {
                on_ground += c.returned[0] * *on * step;
            }
            let from_ground = light.on_ground * *albedo * (FRAC_1_PI * FRAC_PI_2);
            let back: Vec<Spectrum> = columns.iter().zip(&on).map(|(c, on)| c.returned[1] * *on).collect();
            let on_facades: Vec<Spectrum> = sky
                .iter()
                .zip(&cosines)
                .map(|(sky, cosines)| {
                    let mut sum = *sky + from_ground;
                    cosines.iter().zip(&back).for_each(|(cosine, back)| sum.add_scaled(*cosine, back));
                    sum
                })
                .collect();
            let change = on_facades
                .iter()
                .zip(&light.on_facades)
                .map(|(new, old)| (*new - *old).map(f64::abs).max())
                .fold((on_ground - light.on_ground).map(f64::abs).max(), f64::max);
            light = Self { on_ground, on_facades };
            if change <= SETTLED * light.on_ground.max() || !change.is_finite() {
                break;
            }
        }
        light
    }

    /// Light on an upright face that we see at a bearing, degrees, without the beam.
    pub(crate) fn on_face(&self, azimuth_deg: f64) -> Spectrum {
        let at = azimuth_deg.rem_euclid(360.0) * FACADES as f64 / 360.0;
        let (before, share) = (at as usize % FACADES, at.fract());
        let mut light = self.on_facades[before] * (1.0 - share);
        light.add_scaled(share, &self.on_facades[(before + 1) % FACADES]);
        light
    }
}

/// A figure of the faces between two of them.
fn between(figures: &[f64], azimuth_deg: f64) -> f64 {
    let at = azimuth_deg.rem_euclid(360.0) * FACADES as f64 / 360.0;
    let (before, share) = (at as usize % FACADES, at.fract());
    figures[before] * (1.0 - share) + figures[(before + 1) % FACADES] * share
}

/// The surroundings at a bearing, and how much sky light they keep from the ground, per radian of bearing.
fn column(skyline: &Skyline, reflectance: &Spectrum, dome: &Dome, azimuth: f64) -> (Column, Spectrum) {
    static WHOLE: LazyLock<[(f64, f64); 8]> = LazyLock::new(gauss_legendre);
    static PART: LazyLock<[(f64, f64); 3]> = LazyLock::new(gauss_legendre);
    let azimuth_deg = azimuth.to_degrees();
    let (sin_a, cos_a) = azimuth.sin_cos();
    // Sky light on the ground and on an upright plane between two altitudes.
    let sky = |rule: &[(f64, f64)], low: f64, high: f64| {
        let mut sums = [Spectrum::ZERO; 2];
        for (altitude, weight) in over_panels(rule, &[low, high]) {
            let (sin_h, cos_h) = altitude.sin_cos();
            let seen = dome.radiance([cos_h * sin_a, cos_h * cos_a, sin_h]);
            sums[0].add_scaled(weight * cos_h * sin_h, &seen);
            sums[1].add_scaled(weight * cos_h * cos_h, &seen);
        }
        sums
    };
    let mut left = sky(&*WHOLE, 0.0, FRAC_PI_2)[1];
    let (mut hidden, mut returned) = (Spectrum::ZERO, [Spectrum::ZERO; 2]);
    let mut edges: Vec<f64> = skyline.edges_deg(azimuth_deg).filter(|edge| *edge > 0.0).collect();
    edges.push(0.0);
    sorting::numbers(&mut edges);
    let squared_cosine = |h: f64| 0.5 * (h + h.sin() * h.cos());
    for pair in edges.windows(2) {
        let [low, high] = [pair[0], pair[1]].map(f64::to_radians);
        if high <= low {
            continue;
        }
        let (passed, coefficient) = skyline.mixture(azimuth_deg, 0.5 * (pair[0] + pair[1]), reflectance);
        let [on_ground, upright] = sky(&*PART, low, high);
        hidden.add_scaled(1.0 - passed, &on_ground);
        left.add_scaled(passed - 1.0, &upright);
        let weights =
            [0.5 * (high.sin().powi(2) - low.sin().powi(2)), squared_cosine(high) - squared_cosine(low)];
        for (sum, weight) in returned.iter_mut().zip(weights) {
            sum.add_scaled(weight * FRAC_1_PI, &coefficient);
        }
    }
    (Column { azimuth, sky: left.map(|v| v.max(0.0)), returned }, hidden)
}
