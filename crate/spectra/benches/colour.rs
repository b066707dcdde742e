//! Colour in batches, each compared with the naive way.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use spectra::{
    Lab, Observer, Spectrum, TristimulusWeights, UvPrime, Xyz, ciede2000, colour_rendering, difference_1976,
    illuminant, observer_functions, planckian_u_prime_v_prime, wavelengths_nm,
};

const BATCH: usize = 1000;

/// Transmittances of many shapes, the same in every run.
fn pieces() -> Vec<Spectrum> {
    (0..BATCH)
        .map(|i| {
            let (centre, width) = (400.0 + (i % 37) as f64 * 10.0, 15.0 + (i % 11) as f64 * 9.0);
            Spectrum::from_fn(|nm| {
                0.9 * (-((1 + i % 5) as f64) * (-((nm - centre) / width).powi(2)).exp()).exp()
            })
        })
        .collect()
}

/// Tables in vectors, looked up and normalised on every call.
struct Naive {
    rows: Vec<(f64, [f64; 3])>,
    light: Vec<(f64, f64)>,
}

impl Naive {
    fn new() -> Self {
        let functions = observer_functions(Observer::Cie1931);
        Self {
            rows: wavelengths_nm().enumerate().map(|(i, nm)| (nm, functions.map(|f| f[i]))).collect(),
            light: wavelengths_nm().zip(illuminant::d65().samples().iter().copied()).collect(),
        }
    }

    fn xyz(&self, transmittance: &[f64]) -> Xyz {
        let mut xyz = Vec::from([0.0; 3]);
        let mut clear = 0.0;
        for ((nm, bar), t) in self.rows.iter().zip(transmittance) {
            let (_, light) = *self.light.iter().find(|(at, _)| at >= nm).unwrap();
            for (sum, bar) in xyz.iter_mut().zip(bar) {
                *sum += light * t * bar;
            }
            clear += light * bar[1];
        }
        Xyz::new(xyz[0], xyz[1], xyz[2]) * (100.0 / clear)
    }

    /// The same without the search: one running sum per value.
    fn xyz_running_sum(&self, transmittance: &[f64]) -> Xyz {
        let mut xyz = [0.0; 3];
        let mut clear = 0.0;
        for (((_, bar), (_, light)), t) in self.rows.iter().zip(&self.light).zip(transmittance) {
            for k in 0..3 {
                xyz[k] += light * t * bar[k];
            }
            clear += light * bar[1];
        }
        Xyz::from(xyz) * (100.0 / clear)
    }
}

fn tristimulus(c: &mut Criterion) {
    let (pieces, d65, naive) = (pieces(), illuminant::d65(), Naive::new());
    let weights = TristimulusWeights::of_transmission(&d65, Observer::Cie1931);
    let mut group = c.benchmark_group("XYZ of 1000 transmittances");
    group.throughput(Throughput::Elements(BATCH as u64));
    let mut run = |name: &str, xyz: &dyn Fn(&Spectrum) -> Xyz| {
        group.bench_function(name, |b| {
            b.iter(|| pieces.iter().map(|t| xyz(black_box(t))).sum::<Xyz>());
        });
    };
    run("naive", &|t| naive.xyz(t.samples()));
    run("one running sum", &|t| naive.xyz_running_sum(t.samples()));
    run("a call each", &|t| Xyz::of_transmission(t, &d65, Observer::Cie1931));
    run("ours", &|t| weights.xyz(t));
    group.finish();
}

/// Nearest point of the locus, by trying every tenth reciprocal megakelvin, then by golden section.
fn brute_force_cct(point: UvPrime) -> f64 {
    let squared = |mired: f64| {
        let p = planckian_u_prime_v_prime(1e6 / mired).unwrap();
        (p.u - point.u).powi(2) + ((p.v - point.v) / 1.5).powi(2)
    };
    let start =
        (1..100).map(|i| f64::from(i) * 10.0).min_by(|a, b| squared(*a).total_cmp(&squared(*b))).unwrap();
    let (mut low, mut high) = ((start - 10.0).max(10.0), (start + 10.0).min(1000.0));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    while high - low > 1e-6 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if squared(a) < squared(b) { high = b } else { low = a }
    }
    1e6 / (0.5 * (low + high))
}

fn temperature(c: &mut Criterion) {
    let points: Vec<UvPrime> = (0..100)
        .map(|i| {
            let on = planckian_u_prime_v_prime(2000.0 + 180.0 * f64::from(i)).unwrap();
            UvPrime { u: on.u, v: on.v + 0.0006 * f64::from(i % 7) }
        })
        .collect();
    let mut group = c.benchmark_group("temperature and Duv of 100 chromaticities");
    group.throughput(Throughput::Elements(100));
    group.sample_size(10);
    group.bench_function("naive", |b| {
        b.iter(|| points.iter().map(|p| brute_force_cct(black_box(*p))).sum::<f64>());
    });
    group.bench_function("ours", |b| {
        b.iter(|| points.iter().filter_map(|p| black_box(*p).cct_duv()).map(|t| t.cct_k).sum::<f64>());
    });
    group.finish();
}

fn difference(c: &mut Criterion) {
    let white = Xyz::white(&illuminant::d65(), Observer::Cie1931).unwrap();
    let weights = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
    let labs: Vec<Lab> = pieces().iter().map(|t| weights.xyz(t).lab(white).unwrap()).collect();
    let mut group = c.benchmark_group("differences of 999 neighbours");
    group.throughput(Throughput::Elements(BATCH as u64 - 1));
    group.bench_function("ΔE*ab of 1976", |b| {
        b.iter(|| labs.windows(2).map(|p| difference_1976(black_box(p[0]), p[1])).sum::<f64>());
    });
    group.bench_function("CIEDE2000", |b| {
        b.iter(|| labs.windows(2).map(|p| ciede2000(black_box(p[0]), p[1])).sum::<f64>());
    });
    group.finish();
}

fn names(c: &mut Criterion) {
    let d65 = illuminant::d65();
    let white = Xyz::white(&d65, Observer::Cie1931).unwrap().chromaticity().unwrap();
    let colours: Vec<_> = pieces()
        .iter()
        .filter_map(|t| Xyz::of_transmission(t, &d65, Observer::Cie1931).chromaticity())
        .collect();
    c.bench_function("dominant wavelength of 1000 chromaticities", |b| {
        b.iter(|| colours.iter().filter_map(|xy| black_box(*xy).dominant(white, Observer::Cie1931)).count());
    });
    c.bench_function("Ra and R1–R14 of one light", |b| {
        b.iter(|| colour_rendering(black_box(&d65)).unwrap().ra);
    });
}

criterion_group!(benches, tristimulus, temperature, difference, names);
criterion_main!(benches);
