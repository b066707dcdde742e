//! A second, independent way to the light at a place: a small Monte Carlo path tracer.
//!
//! It shares with the prepared and the direct method only what they are given, the resolved scene,
//! `daylight::Outside::radiance` and the beam, and the optics of a make-up at an angle. Light straight through the window is
//! sampled in jittered strata of angle from the place, with a search for the piece behind every ray. The room's light is
//! traced forward: from random points of the window into the room, from surface to surface, and from each of them to all
//! places at once. The same sequence of numbers every time.

use std::cell::RefCell;
use std::f64::consts::{FRAC_1_PI, PI};

use crate::stone::{Met, Stone, scattered};
use crate::walk::{From, Walk};
use daylight::{Direction, Outside, SUN_DIAMETER_DEG};
use scene::Resolved;
use spectra::{Spectrum, luminous};

type V3 = [f64; 3];

/// Illuminances at a place, lx: on the plane that faces the window, then on the level one.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Traced {
    pub(crate) sky_ground: [f64; 2],
    pub(crate) sun: [f64; 2],
    pub(crate) room: [f64; 2],
    /// Standard error of `room`.
    pub(crate) room_error: [f64; 2],
}

/// The mean luminance of a piece as seen from a place, cd/m², and its solid angle, sr; without the sun's disc.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct TracedPiece {
    pub(crate) luminance: f64,
    pub(crate) solid_angle: f64,
    /// The same of what it scatters, which more of it shows between leads with depth.
    scattered: f64,
    scattering: f64,
    /// Number of rays through it.
    pub(crate) rays: usize,
}

/// Transmittances at every half degree, and the reflectance toward the room.
struct Glass {
    regular: Vec<Spectrum>,
    diffuse: Vec<Spectrum>,
    scatters: bool,
    /// Share of what is scattered that stays in the lobe, and the standard deviation of its direction cosines.
    forward: f64,
    spread: f64,
}

/// A site and a walk of random numbers through it.
pub(crate) struct Walked {
    pub(crate) walk: Walk,
    pub(crate) random: RefCell<crate::walk::Random>,
}

impl Walked {
    /// One sample of the radiance.
    fn radiance(&self, tracer: &Tracer<'_>, outside: &Outside, d: V3) -> Spectrum {
        let sun = outside.sun().direction();
        let (h, b) =
            (sun.altitude_deg.to_radians(), (sun.azimuth_deg - tracer.scene.room.facing_deg).to_radians());
        let toward = [h.cos() * b.sin(), h.sin(), -h.cos() * b.cos()];
        let beam = outside.beam_normal();
        let shines = beam.max() > 0.0 && h > 0.0;
        let mut sum = Spectrum::ZERO;
        self.walk.look(d, shines.then_some(toward), &mut self.random.borrow_mut(), &mut |weight, from| {
            let light = match from {
                From::Sky(d) => tracer.sky(outside, d),
                From::Sun => beam,
            };
            sum.add_scaled(weight, &light);
        });
        sum
    }
}

const STEPS: usize = 180;
/// Steps of the search for the piece behind a ray, across and up the windows.
const RASTER: [usize; 2] = [96, 192];
/// Batches into which the paths are divided for the standard error.
const BATCHES: usize = 8;
const LEAD: f64 = 0.15;

pub(crate) struct Tracer<'a> {
    scene: &'a Resolved,
    glasses: Vec<Glass>,
    /// Rings of the light shape of each piece, m on the wall.
    rings: Vec<Vec<Vec<[f64; 2]>>>,
    /// Ends of the axis of each straight stretch of bar, and half its width.
    bars: Vec<([f64; 2], [f64; 2], f64)>,
    openings: Vec<Vec<[f64; 2]>>,
    opening_reflectance: Spectrum,
    /// How far the leaves of the leads stand out, m, if they do.
    leaf_m: Option<f64>,
    /// The wall around the first window, which is then the only one.
    stone: Option<Stone>,
    /// What stands outside, if it is walked through: the outsides that it is lit by are then of a free horizon.
    pub(crate) site: Option<Walked>,
    low: [f64; 2],
    high: [f64; 2],
    raster: Vec<Vec<usize>>,
}

/// A small generator (xorshift*, Vigna 2016).
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
    }
}

fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: V3) -> V3 {
    let length = dot(a, a).sqrt();
    a.map(|c| c / length)
}

fn along(a: V3, d: V3, t: f64) -> V3 {
    [a[0] + t * d[0], a[1] + t * d[1], a[2] + t * d[2]]
}

/// Even-odd rule.
fn inside(rings: &[Vec<[f64; 2]>], p: [f64; 2]) -> bool {
    let mut odd = false;
    for ring in rings {
        let mut a = ring[ring.len() - 1];
        for &b in ring {
            if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0] + (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) {
                odd = !odd;
            }
            a = b;
        }
    }
    odd
}

fn ring_area(ring: &[[f64; 2]]) -> f64 {
    let mut sum = 0.0;
    let mut a = ring[ring.len() - 1];
    for &b in ring {
        sum += 0.5 * (a[0] * b[1] - b[0] * a[1]);
        a = b;
    }
    sum.abs()
}

fn halton(mut k: usize, base: usize) -> f64 {
    let (mut f, mut sum) = (1.0, 0.0);
    while k > 0 {
        f /= base as f64;
        sum += f * (k % base) as f64;
        k /= base;
    }
    sum
}

impl Glass {
    /// A direction outside from which light seen in direction `d` came, or toward which light from there goes on: the
    /// bell is the same both ways. `None` beyond grazing.
    fn turned(&self, d: V3, random: &mut Random) -> Option<V3> {
        let share = random.next();
        self.turned_by(d, share, random.next())
    }

    /// The same at this share of the bell outward from its middle, and of a turn around it.
    fn turned_by(&self, d: V3, share: f64, turn: f64) -> Option<V3> {
        let r = self.spread * (-2.0 * (1.0 - share).max(1e-300).ln()).sqrt();
        let phi = 2.0 * PI * turn;
        let (x, y) = (d[0] + r * phi.cos(), d[1] + r * phi.sin());
        let square = x * x + y * y;
        (square < 1.0).then(|| [x, y, -(1.0 - square).sqrt()])
    }
}

impl<'a> Tracer<'a> {
    pub(crate) fn new(scene: &'a Resolved) -> Self {
        let (mut glasses, mut rings, mut bars, mut openings) = (vec![], vec![], vec![], vec![]);
        let (mut reflected, mut glass_area) = (Spectrum::ZERO, 0.0);
        for window in &scene.windows {
            let on_wall = |p: plane::PanelPoint| {
                let p = window.placement.wall_from_panel(p);
                [p[0], p[1]]
            };
            let ring = |ring: &[plane::PanelPoint]| ring.iter().map(|&p| on_wall(p)).collect::<Vec<_>>();
            openings.push(window.panel.opening.rings().next().map(&ring).unwrap());
            for bar in &window.panel.bars {
                for pair in bar.axis.iter().flat_map(|line| line.windows(2)) {
                    bars.push((on_wall(pair[0]), on_wall(pair[1]), 0.5e-3 * bar.diameter_mm));
                }
            }
            for (shape, piece) in window.panel.pieces.iter().zip(&window.pieces) {
                let outline: Vec<_> = shape.light.iter().flat_map(|l| l.rings().map(&ring)).collect();
                let makeup = piece.makeup.prepare();
                let (mut regular, mut diffuse) = (vec![], vec![]);
                let (mut back, mut weights) = (Spectrum::ZERO, 0.0);
                for k in 0..=STEPS {
                    let angle = 90.0 * k as f64 / STEPS as f64;
                    let optics = makeup.optics(angle);
                    let weight = (2.0 * angle.to_radians()).sin();
                    back.add_scaled(weight, &optics.reflectance_inside);
                    weights += weight;
                    regular.push(optics.regular_transmittance);
                    diffuse.push(optics.diffuse_transmittance);
                }
                let area: f64 = shape
                    .light
                    .iter()
                    .map(|l| {
                        let areas: Vec<f64> = l.rings().map(|r| ring_area(&ring(r))).collect();
                        areas[0] - areas[1..].iter().sum::<f64>()
                    })
                    .sum();
                reflected.add_scaled(area / weights, &back);
                glass_area += area;
                let scatters = diffuse.iter().any(|d: &Spectrum| d.max() > 0.0);
                let lobe = makeup.lobe();
                // Half of e^(−s²/2σ²) at the sine of the half width.
                let spread = lobe.half_width_deg.to_radians().sin() / 2f64.ln().sqrt() / 2f64.sqrt();
                glasses.push(Glass { regular, diffuse, scatters, forward: lobe.share, spread });
                rings.push(outline);
            }
        }
        let all = || rings.iter().flatten().flatten();
        let low = [0, 1].map(|k| all().map(|p| p[k]).fold(f64::INFINITY, f64::min));
        let high = [0, 1].map(|k| all().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max));
        let whole: f64 = openings.iter().map(|o| ring_area(o)).sum();
        let opening_reflectance = (reflected + Spectrum::splat(LEAD * (whole - glass_area))) * (1.0 / whole);
        let mut raster = vec![Vec::new(); RASTER[0] * RASTER[1]];
        for (piece, outline) in rings.iter().enumerate() {
            let cell = |k: usize, pick: fn(f64, f64) -> f64, start: f64| {
                let at = outline.iter().flatten().map(|p| p[k]).fold(start, pick);
                (((at - low[k]) / (high[k] - low[k]) * RASTER[k] as f64) as usize).min(RASTER[k] - 1)
            };
            if outline.is_empty() {
                continue;
            }
            for i in cell(0, f64::min, f64::INFINITY)..=cell(0, f64::max, f64::NEG_INFINITY) {
                for j in cell(1, f64::min, f64::INFINITY)..=cell(1, f64::max, f64::NEG_INFINITY) {
                    raster[i * RASTER[1] + j].push(piece);
                }
            }
        }
        let stone = Stone::new(scene);
        let leaf_m = scene.scene.windows[0].wall.as_ref().and_then(|wall| wall.leaf_mm).map(|mm| mm / 1000.0);
        Self {
            scene,
            glasses,
            rings,
            bars,
            openings,
            opening_reflectance,
            leaf_m,
            stone,
            site: None,
            low,
            high,
            raster,
        }
    }

    /// The piece at a point of the wall, unless a lead or a bar covers it.
    fn piece_at(&self, p: [f64; 2]) -> Option<usize> {
        self.piece_between(p, ([0.0; 2], 0.0))
    }

    /// The piece through whose glass light along `d` crosses the middle at a point, if it passes the leaves outside and
    /// inside, of which `sides` counts some.
    fn piece_past(&self, p: [f64; 2], d: V3, sides: [bool; 2]) -> Option<usize> {
        let Some(leaf_m) = self.leaf_m else { return self.piece_at(p) };
        let tangent = [d[0] / -d[2], d[1] / -d[2]];
        let sine = d[0].hypot(d[1]);
        let within = sine / 1.52;
        let in_glass = 0.0015 * within / (1.0 - within * within).sqrt();
        let reach = |k: usize| leaf_m * tangent[k] + in_glass * d[k] / sine.max(1e-12);
        let share = sides.into_iter().filter(|counts| *counts).count() as f64 / 2.0;
        let piece = self.piece_between(p, (tangent, share))?;
        [(sides[0], 1.0), (sides[1], -1.0)]
            .into_iter()
            .filter(|(counts, _)| *counts)
            .all(|(_, sign)| inside(&self.rings[piece], [p[0] + sign * reach(0), p[1] + sign * reach(1)]))
            .then_some(piece)
    }

    /// `tangent`: of the light across the glass, from which bars have wider shadows; `share` of that counts.
    fn piece_between(&self, p: [f64; 2], (tangent, share): ([f64; 2], f64)) -> Option<usize> {
        if (0..2).any(|k| p[k] <= self.low[k] || p[k] >= self.high[k]) {
            return None;
        }
        let [i, j] = [0, 1].map(|k| {
            (((p[k] - self.low[k]) / (self.high[k] - self.low[k]) * RASTER[k] as f64) as usize)
                .min(RASTER[k] - 1)
        });
        let found =
            self.raster[i * RASTER[1] + j].iter().copied().find(|&piece| inside(&self.rings[piece], p))?;
        let barred = self.bars.iter().any(|&(a, b, half)| {
            let (d, q) = ([b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]);
            let length = d[0].hypot(d[1]);
            let (t, off) = ((q[0] * d[0] + q[1] * d[1]) / length, (q[0] * d[1] - q[1] * d[0]) / length);
            let across = (tangent[0] * d[1] - tangent[1] * d[0]) / length;
            let wide = half * (1.0 + share * (across.hypot(1.0) - 1.0));
            (0.0..=length).contains(&t) && off.abs() <= wide
        });
        (!barred).then_some(found)
    }

    fn at_angle(table: &[Spectrum], cosine: f64) -> Spectrum {
        let at = cosine.clamp(0.0, 1.0).acos().to_degrees() * STEPS as f64 / 90.0;
        let k = (at as usize).min(STEPS - 1);
        table[k] * (1.0 - (at - k as f64)) + table[k + 1] * (at - k as f64)
    }

    fn radiance(&self, outside: &Outside, d: V3) -> Spectrum {
        match &self.site {
            Some(site) => site.radiance(self, outside, d),
            None => self.sky(outside, d),
        }
    }

    fn sky(&self, outside: &Outside, d: V3) -> Spectrum {
        let azimuth_deg = (self.scene.room.facing_deg + d[0].atan2(-d[2]).to_degrees()).rem_euclid(360.0);
        outside.radiance(Direction { altitude_deg: d[1].clamp(-1.0, 1.0).asin().to_degrees(), azimuth_deg })
    }

    /// Luminance of a glass's lobe at a point in a direction, by sky and ground, and stone, from directions outside drawn from
    /// the bell, and by the sun.
    fn lobe(
        &self,
        (glass, p): (&Glass, [f64; 2]),
        outside: &Outside,
        d: V3,
        random: &mut Random,
    ) -> [f64; 2] {
        if !glass.scatters || glass.forward <= 0.0 {
            return [0.0; 2];
        }
        let tries = 8;
        let turn = random.next();
        // Strata outward, and as evenly around as the golden section goes.
        let mut sky = 0.0;
        for k in 0..tries {
            let share = (f64::from(k) + random.next()) / f64::from(tries);
            if let Some(from) = glass.turned_by(d, share, turn + 0.618_034 * f64::from(k)) {
                let through = Self::at_angle(&glass.diffuse, -from[2]) * glass.forward;
                if self.piece_past(p, from, [true, false]).is_none() {
                    continue;
                }
                let light = self.arriving(p, from, std::slice::from_ref(outside), random)[0];
                sky += luminous(&(light * through)) / f64::from(tries);
            }
        }
        let passes = |&toward: &V3| self.piece_past(p, toward, [true, false]).is_some();
        let sun = self.sun(outside).filter(passes).map_or(0.0, |toward| {
            let square = (d[0] - toward[0]).powi(2) + (d[1] - toward[1]).powi(2);
            let v = glass.spread * glass.spread;
            let bell = (-0.5 * square / v).exp() / (2.0 * PI * v);
            let through = Self::at_angle(&glass.diffuse, -toward[2]) * (glass.forward * -toward[2] * bell);
            luminous(&(outside.beam_normal() * through)) * self.sunlit(p, toward)
        });
        [sky, sun]
    }

    /// The direction of the sun in the room's frame; `None` if it does not shine on the window.
    fn sun(&self, outside: &Outside) -> Option<V3> {
        let sun = outside.sun().direction();
        let (h, b) =
            (sun.altitude_deg.to_radians(), (sun.azimuth_deg - self.scene.room.facing_deg).to_radians());
        let toward = [h.cos() * b.sin(), h.sin(), -h.cos() * b.cos()];
        let seen = self.site.as_ref().is_none_or(|site| site.walk.sees(toward));
        (outside.beam_normal().max() > 0.0 && toward[2] < -1e-9 && seen).then_some(toward)
    }

    /// Depth of the inner reveal.
    fn inner_m(&self) -> f64 {
        self.stone.as_ref().map_or(0.0, |stone| stone.deep[1])
    }

    fn suns(&self, outsides: &[Outside]) -> Vec<Option<(V3, Spectrum)>> {
        outsides.iter().map(|o| self.sun(o).map(|toward| (toward, o.beam_normal()))).collect()
    }

    /// One sample of what arrives at a point of the glass from a direction outside.
    fn arriving(&self, p: [f64; 2], d: V3, outsides: &[Outside], random: &mut Random) -> Vec<Spectrum> {
        let radiance = |d: V3| outsides.iter().map(|o| self.radiance(o, d)).collect::<Vec<_>>();
        match &self.stone {
            None => radiance(d),
            Some(stone) => {
                stone.arriving([p[0], p[1], 0.0], d, &self.suns(outsides), &radiance, &mut || random.next())
            }
        }
    }

    /// Share of the sun's light that reaches a point of the glass.
    fn sunlit(&self, p: [f64; 2], toward: V3) -> f64 {
        self.stone.as_ref().map_or(1.0, |stone| stone.sunlit([p[0], p[1], 0.0], toward))
    }

    /// As [`Self::glow`], and the part of it that is the sun's, behind stone.
    fn glow_behind(&self, outside: &Outside) -> (Vec<Spectrum>, Vec<Spectrum>) {
        let mut random = Random(11);
        let one = std::slice::from_ref(outside);
        let mut glows = vec![Spectrum::ZERO; self.glasses.len()];
        let mut of_sun = glows.clone();
        for (piece, glass) in self.glasses.iter().enumerate().filter(|(_, glass)| glass.scatters) {
            let all = || self.rings[piece].iter().flatten();
            let low = [0, 1].map(|k| all().map(|p| p[k]).fold(f64::INFINITY, f64::min));
            let high = [0, 1].map(|k| all().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max));
            let (mut n, mut sum, mut lit) = (0, Spectrum::ZERO, 0.0);
            while n < 25_600 {
                let p = [0, 1].map(|k| low[k] + random.next() * (high[k] - low[k]));
                if self.piece_at(p) != Some(piece) {
                    continue;
                }
                n += 1;
                if let Some(toward) = self.sun(outside)
                    && self.piece_past(p, toward, [true, false]).is_some()
                {
                    lit += self.sunlit(p, toward);
                }
                let d = scattered([0.0, 0.0, -1.0], [random.next(), random.next()]);
                if self.piece_past(p, d, [true, false]).is_none() {
                    continue;
                }
                let light = self.arriving(p, d, one, &mut random)[0];
                let leaves = glass.turned(d, &mut random).is_some();
                let evenly = 1.0 - if leaves { glass.forward } else { 0.0 };
                sum += Self::at_angle(&glass.diffuse, -d[2]) * light * (PI * evenly);
            }
            if let Some(toward) = self.sun(outside) {
                of_sun[piece] = Self::at_angle(&glass.diffuse, -toward[2])
                    * outside.beam_normal()
                    * (-toward[2] * lit / f64::from(n) * self.evenly(glass, toward, &mut random));
            }
            glows[piece] = sum * (1.0 / f64::from(n)) + of_sun[piece];
        }
        (glows, of_sun)
    }

    /// Share of the scattered light from a direction that leaves evenly: what the lobe carries beyond grazing, too.
    fn evenly(&self, glass: &Glass, toward: V3, random: &mut Random) -> f64 {
        let tries = 20_000;
        let kept = (0..tries).filter(|_| glass.turned(toward, random).is_some()).count();
        1.0 - glass.forward * kept as f64 / f64::from(tries)
    }

    /// Exitance of the light that each piece scatters evenly into the room: by sky and ground, by the sun.
    fn glow(&self, outside: &Outside) -> Vec<[Spectrum; 2]> {
        if self.stone.is_some() || self.leaf_m.is_some() {
            let (all, of_sun) = self.glow_behind(outside);
            return all.into_iter().zip(of_sun).map(|(all, sun)| [all - sun, sun]).collect();
        }
        let mut arriving = Vec::new();
        let mut random = Random(11);
        let n = 160;
        if self.glasses.iter().any(|g| g.scatters) {
            for i in 0..n {
                for j in 0..n {
                    // Uniform in the cosine-weighted hemisphere outside.
                    let (u, v) =
                        ((i as f64 + random.next()) / n as f64, (j as f64 + random.next()) / n as f64);
                    let (r, phi) = (u.sqrt(), 2.0 * PI * v);
                    let d = [r * phi.cos(), r * phi.sin(), -(1.0 - u).sqrt()];
                    arriving.push((d, self.radiance(outside, d) * (PI / (n * n) as f64)));
                }
            }
        }
        let sun = self.sun(outside);
        self.glasses
            .iter()
            .map(|glass| {
                let mut sum = [Spectrum::ZERO; 2];
                if glass.scatters {
                    for &(d, light) in &arriving {
                        // What the lobe carries beyond grazing leaves evenly, too.
                        let leaves = glass.turned(d, &mut random).is_some();
                        let evenly = 1.0 - if leaves { glass.forward } else { 0.0 };
                        sum[0] += Self::at_angle(&glass.diffuse, -d[2]) * light * evenly;
                    }
                    if let Some(toward) = sun {
                        let evenly = self.evenly(glass, toward, &mut random);
                        let cosine = -toward[2];
                        sum[1] += Self::at_angle(&glass.diffuse, cosine)
                            * outside.beam_normal()
                            * (cosine * evenly);
                    }
                }
                sum
            })
            .collect()
    }

    /// What a place gets straight through the window in each of several outsides, and the pieces as seen from it, from
    /// `rays` rays each way.
    pub(crate) fn straight(
        &self,
        eye: V3,
        outsides: &[Outside],
        rays: [usize; 2],
    ) -> Vec<(Traced, Vec<TracedPiece>)> {
        let glows: Vec<Vec<[Spectrum; 2]>> = outsides.iter().map(|o| self.glow(o)).collect();
        // Of the glass, which lies in the wall.
        let eye = [eye[0], eye[1], eye[2] + self.inner_m()];
        let seen = |d: V3| {
            let t = (self.inner_m() - eye[2]) / d[2];
            self.stone.as_ref().is_none_or(|s| s.open_at_face(eye[0] + t * d[0], eye[1] + t * d[1]))
        };
        let (mut random, mut turns) = (Random(5), Random(6));
        let mut found: Vec<(Traced, Vec<TracedPiece>)> =
            vec![(Traced::default(), vec![TracedPiece::default(); self.glasses.len()]); outsides.len()];
        let limits = [0, 1].map(|k| [self.low[k], self.high[k]].map(|at| ((at - eye[k]) / eye[2]).atan()));
        let strata: f64 = (0..2).map(|k| (limits[k][1] - limits[k][0]) / rays[k] as f64).product();
        for i in 0..rays[0] {
            for j in 0..rays[1] {
                let [u, v] = [(0, i), (1, j)].map(|(k, n)| {
                    let share = (n as f64 + random.next()) / rays[k] as f64;
                    (limits[k][0] + share * (limits[k][1] - limits[k][0])).tan()
                });
                let p = [eye[0] + eye[2] * u, eye[1] + eye[2] * v];
                let d = unit([u, v, -1.0]);
                let Some(piece) = self.piece_past(p, d, [false, true]).filter(|_| seen(d)) else { continue };
                let straight_on = self.piece_past(p, d, [true, true]).is_some();
                let mut arriving = self.arriving(p, d, outsides, &mut random);
                if !straight_on {
                    arriving.fill(Spectrum::ZERO);
                }
                // dω = d·dA/r³ with dA = z² (1 + u²)(1 + v²) for equal steps of angle.
                let solid = strata * (1.0 + u * u) * (1.0 + v * v) / (1.0 + u * u + v * v).powf(1.5);
                let through = Self::at_angle(&self.glasses[piece].regular, -d[2]);
                for (k, outside) in outsides.iter().enumerate() {
                    let glass = &self.glasses[piece];
                    let passed = luminous(&(arriving[k] * through));
                    let [glow_sky, glow_sun] = glows[k][piece].map(|glow| luminous(&glow) * FRAC_1_PI);
                    let [lobe_sky, lobe_sun] = self.lobe((glass, p), outside, d, &mut turns);
                    let (from_sky, from_sun) = (passed + glow_sky + lobe_sky, glow_sun + lobe_sun);
                    let (light, pieces) = &mut found[k];
                    for (r, cosine) in [-d[2], d[1].max(0.0)].into_iter().enumerate() {
                        light.sky_ground[r] += solid * cosine * from_sky;
                        light.sun[r] += solid * cosine * from_sun;
                    }
                    // Of what is seen straight on, and of all that scatters.
                    let [straight, scattering] = [passed, glow_sky + glow_sun + lobe_sky + lobe_sun];
                    pieces[piece].scattered += solid * scattering;
                    pieces[piece].scattering += solid;
                    if straight_on {
                        pieces[piece].luminance += solid * straight;
                        pieces[piece].solid_angle += solid;
                    }
                    pieces[piece].rays += 1;
                }
            }
        }
        for (k, outside) in outsides.iter().enumerate() {
            for piece in &mut found[k].1 {
                piece.luminance = piece.luminance / piece.solid_angle.max(1e-300)
                    + piece.scattered / piece.scattering.max(1e-300);
            }
            if let Some(toward) = self.sun(outside) {
                let light = &mut found[k].0;
                // Strata of the disc.
                let a = unit([-toward[2], 0.0, toward[0]]);
                let b = [
                    toward[1] * a[2] - toward[2] * a[1],
                    toward[2] * a[0] - toward[0] * a[2],
                    toward[0] * a[1] - toward[1] * a[0],
                ];
                let n = 60;
                for i in 0..n {
                    for j in 0..n {
                        let r = (0.5 * SUN_DIAMETER_DEG).to_radians().tan()
                            * ((i as f64 + random.next()) / n as f64).sqrt();
                        let phi = 2.0 * PI * (j as f64 + random.next()) / n as f64;
                        let d = unit(along(along(toward, a, r * phi.cos()), b, r * phi.sin()));
                        let t = eye[2] / -d[2];
                        let p = [eye[0] + t * d[0], eye[1] + t * d[1]];
                        let Some(piece) = self.piece_past(p, d, [true; 2]).filter(|_| seen(d)) else {
                            continue;
                        };
                        let through = Self::at_angle(&self.glasses[piece].regular, -toward[2]);
                        let e =
                            luminous(&(through * outside.beam_normal())) * self.sunlit(p, d) / (n * n) as f64;
                        light.sun[0] += e * -toward[2];
                        light.sun[1] += e * toward[1].max(0.0);
                    }
                }
            }
        }
        found
    }

    /// Adds what the room sends to each place in each outside, from `paths` points of the windows.
    pub(crate) fn room(&self, eyes: &[V3], outsides: &[Outside], paths: usize) -> Vec<Vec<Traced>> {
        let glows: Vec<Vec<[Spectrum; 2]>> = outsides.iter().map(|o| self.glow(o)).collect();
        let mut random = Random(77);
        let sums = vec![vec![[0.0; 2]; eyes.len()]; outsides.len()];
        let mut batches = vec![sums; BATCHES];
        let area = (self.high[0] - self.low[0]) * (self.high[1] - self.low[1]);
        let shift: [f64; 4] = std::array::from_fn(|_| random.next());
        for k in 0..paths {
            let batch = &mut batches[k * BATCHES / paths];
            let at = |dimension: usize, base: usize| (halton(k + 1, base) + shift[dimension]).fract();
            let p = [0, 1]
                .map(|axis| self.low[axis] + at(axis, [2, 3][axis]) * (self.high[axis] - self.low[axis]));
            let Some(piece) = self.piece_at(p) else { continue };
            let glass = &self.glasses[piece];
            let from = [p[0], p[1], -self.inner_m()];
            let weight = area * BATCHES as f64 / paths as f64;
            let (r, phi) = (at(2, 5).sqrt(), 2.0 * PI * at(3, 7));
            let d = [r * phi.cos(), r * phi.sin(), -(1.0 - r * r).max(0.0).sqrt()];
            let through = Self::at_angle(&glass.regular, -d[2]) * (PI * weight);
            let light: Vec<(usize, Spectrum)> = self
                .arriving(p, d, outsides, &mut random)
                .into_iter()
                .map(|l| l * through)
                .enumerate()
                .collect();
            if self.piece_past(p, d, [true; 2]).is_some() {
                self.path(from, d.map(|c| -c), &light, eyes, &mut random, batch);
            }
            if glass.scatters {
                let light: Vec<(usize, Spectrum)> = (0..outsides.len())
                    .map(|k| (k, (glows[k][piece][0] + glows[k][piece][1]) * weight))
                    .collect();
                let (r, phi) = (random.next().sqrt(), 2.0 * PI * random.next());
                let d = [r * phi.cos(), r * phi.sin(), (1.0 - r * r).max(0.0).sqrt()];
                if self.piece_past(p, d.map(|c| -c), [false, true]).is_some() {
                    self.path(from, d, &light, eyes, &mut random, batch);
                }
            }
            if glass.scatters && glass.forward > 0.0 {
                // From a direction outside, turned.
                let (r, phi) = (random.next().sqrt(), 2.0 * PI * random.next());
                let d = [r * phi.cos(), r * phi.sin(), -(1.0 - r * r).max(0.0).sqrt()];
                let past = |d: V3, turned: V3| {
                    self.piece_past(p, d, [true, false]).is_some()
                        && self.piece_past(p, turned, [false, true]).is_some()
                };
                if let Some(turned) = glass.turned(d, &mut random).filter(|&turned| past(d, turned)) {
                    let through = Self::at_angle(&glass.diffuse, -d[2]) * (PI * weight * glass.forward);
                    let light: Vec<(usize, Spectrum)> = self
                        .arriving(p, d, outsides, &mut random)
                        .into_iter()
                        .map(|l| l * through)
                        .enumerate()
                        .collect();
                    self.path(from, turned.map(|c| -c), &light, eyes, &mut random, batch);
                }
                for (k, outside) in outsides.iter().enumerate() {
                    let Some(toward) = self.sun(outside) else { continue };
                    let turned = glass.turned(toward, &mut random).filter(|&turned| past(toward, turned));
                    let Some(turned) = turned else { continue };
                    let flux = -toward[2] * weight * glass.forward * self.sunlit(p, toward);
                    let through = Self::at_angle(&glass.diffuse, -toward[2]) * flux;
                    let light = [(k, through * outside.beam_normal())];
                    self.path(from, turned.map(|c| -c), &light, eyes, &mut random, batch);
                }
            }
            for (k, outside) in outsides.iter().enumerate() {
                if let Some(toward) =
                    self.sun(outside).filter(|&d| self.piece_past(p, d, [true; 2]).is_some())
                {
                    let through = Self::at_angle(&glass.regular, -toward[2]);
                    let light = [(
                        k,
                        through * outside.beam_normal() * (-toward[2] * weight * self.sunlit(p, toward)),
                    )];
                    self.path(from, toward.map(|c| -c), &light, eyes, &mut random, batch);
                }
            }
        }
        (0..outsides.len())
            .map(|k| {
                (0..eyes.len())
                    .map(|e| {
                        let mut out = Traced::default();
                        for r in 0..2 {
                            let values: Vec<f64> = batches.iter().map(|b| b[k][e][r]).collect();
                            let mean = values.iter().sum::<f64>() / BATCHES as f64;
                            let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
                            out.room[r] = mean;
                            out.room_error[r] = (variance / (BATCHES * (BATCHES - 1)) as f64).sqrt();
                        }
                        out
                    })
                    .collect()
            })
            .collect()
    }

    /// Follows flux from a point into the room, and from every surface that it meets to the places.
    fn path(
        &self,
        mut from: V3,
        mut d: V3,
        light: &[(usize, Spectrum)],
        eyes: &[V3],
        random: &mut Random,
        sums: &mut [Vec<[f64; 2]>],
    ) {
        let size = self.scene.room.size_m;
        let mut kept = Spectrum::ONE;
        for bounce in 0..400 {
            if let Some(stone) = self.stone.as_ref().filter(|_| from[2] < -1e-12) {
                // In the inner reveal.
                let inner_m = self.inner_m();
                let room = |p: V3| [p[0], p[1], p[2] - inner_m];
                let (at, normal, reflectance) = match stone.meet([from[0], from[1], from[2] + inner_m], d, 1)
                {
                    Met::Face(at) => {
                        from = [at[0], at[1], 0.0];
                        continue;
                    }
                    Met::Glass(at) => (room(at), [0.0, 0.0, 1.0], self.opening_reflectance),
                    Met::Side { at, normal, reflectance } => (room(at), normal, *reflectance),
                };
                kept *= reflectance;
                for &(k, ref flux) in light {
                    let sent = luminous(&(kept * *flux)) * FRAC_1_PI;
                    for (eye, sum) in eyes.iter().zip(&mut sums[k]) {
                        let to: V3 = std::array::from_fn(|c| at[c] - eye[c]);
                        let t = eye[2] / -to[2];
                        if !stone.open_at_face(eye[0] + t * to[0], eye[1] + t * to[1]) {
                            continue;
                        }
                        let square = dot(to, to).max(1e-12);
                        let leaving = -dot(normal, to);
                        if leaving > 0.0 {
                            let e = sent * leaving / (square * square);
                            sum[0] += e * (-to[2]).max(0.0);
                            sum[1] += e * to[1].max(0.0);
                        }
                    }
                }
                let survives = kept.max().min(0.95);
                if random.next() >= survives {
                    return;
                }
                kept *= 1.0 / survives;
                d = scattered(normal, [random.next(), random.next()]);
                from = [at[0], at[1], at[2].max(1e-9 - inner_m)];
                continue;
            }
            // The nearest of the six surfaces ahead.
            let (mut t, mut axis) = (f64::INFINITY, 0);
            for k in 0..3 {
                if d[k].abs() > 1e-12 {
                    let reach = (if d[k] > 0.0 { size[k] } else { 0.0 } - from[k]) / d[k];
                    if reach < t {
                        (t, axis) = (reach, k);
                    }
                }
            }
            let mut x = along(from, d, t);
            x[axis] = if d[axis] > 0.0 { size[axis] } else { 0.0 };
            // The first surface that light meets is never the wall it came through.
            if bounce == 0 && axis == 2 && d[2] <= 0.0 {
                return;
            }
            // Into the opening in the wall.
            if axis == 2
                && d[2] < 0.0
                && self.stone.as_ref().is_some_and(|s| s.deep[1] > 0.0 && s.open_at_face(x[0], x[1]))
            {
                from = [x[0], x[1], -1e-9];
                continue;
            }
            let surface = match (axis, d[axis] > 0.0) {
                (2, false) => 0,
                (2, true) => 1,
                (0, false) => 2,
                (0, true) => 3,
                (_, false) => 4,
                (_, true) => 5,
            };
            let open =
                surface == 0 && self.openings.iter().any(|o| inside(std::slice::from_ref(o), [x[0], x[1]]));
            kept *= if open { self.opening_reflectance } else { self.scene.room.surfaces[surface] };
            let mut normal = [0.0; 3];
            normal[axis] = if d[axis] > 0.0 { -1.0 } else { 1.0 };
            for &(k, ref flux) in light {
                let sent = luminous(&(kept * *flux)) * FRAC_1_PI;
                for (eye, sum) in eyes.iter().zip(&mut sums[k]) {
                    let to: V3 = std::array::from_fn(|c| x[c] - eye[c]);
                    let square = dot(to, to).max(1e-12);
                    let leaving = -dot(normal, to);
                    if leaving > 0.0 {
                        let e = sent * leaving / (square * square);
                        sum[0] += e * (-to[2]).max(0.0);
                        sum[1] += e * to[1].max(0.0);
                    }
                }
            }
            let survives = kept.max().min(0.95);
            if random.next() >= survives {
                return;
            }
            kept *= 1.0 / survives;
            let (r, phi) = (random.next().sqrt(), 2.0 * PI * random.next());
            let (a, b) = ((axis + 1) % 3, (axis + 2) % 3);
            d = [0.0; 3];
            d[a] = r * phi.cos();
            d[b] = r * phi.sin();
            d[axis] = normal[axis] * (1.0 - r * r).max(0.0).sqrt().max(1e-9);
            from = x;
        }
    }
}
