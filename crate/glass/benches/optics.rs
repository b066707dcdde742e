//! Optics of a piece, prepared compared with the naive way.
#![allow(missing_docs)] // `criterion_group!` makes public functions.

use std::hint::black_box;
use std::sync::Arc;

use criterion::{Criterion, criterion_group, criterion_main};
use glass::{Dirt, Face, Gap, Makeup, Paint, PaintKind, Plate, Protective, StainTone, find, stack_scalar};
use spectra::{SAMPLES, Spectrum};

/// Protective pane, ruby plated with amber, trace and matting, stain.
fn painted_piece() -> Option<Makeup> {
    let mut piece = Makeup::single(Arc::clone(find("flashed-ruby")?), 3.0);
    piece.plates.push(Plate::new(Arc::clone(find("amber")?), 2.0));
    piece.gap = Gap::Air;
    piece.paints = vec![
        Paint::new(PaintKind::Trace, 0, Face::Inside).with_coverage(0.1),
        Paint::new(PaintKind::Matting, 0, Face::Inside),
        Paint::new(PaintKind::Stain(StainTone::Gold), 0, Face::Outside),
    ];
    piece.protective =
        Some(Protective { glass: Arc::clone(find("float-clear")?), thickness_mm: 6.0, dirt: Dirt::USUAL });
    Some(piece)
}

/// The regular beam alone: every layer's transmittance by wavelength, then one stack per wavelength; the obvious
/// first version.
fn naive(piece: &Makeup, angle_deg: f64) -> Spectrum {
    let mut layers = Vec::new();
    if let Some(p) = &piece.protective {
        layers.push((p.glass.n, p.glass.internal(p.thickness_mm) * (1.0 - p.dirt.loss)));
        layers.push((1.0, Spectrum::ONE));
    }
    for (k, plate) in piece.plates.iter().enumerate() {
        if k > 0 {
            layers.push((1.0, Spectrum::ONE));
        }
        let mut tau = plate.glass.internal(plate.thickness_mm);
        for paint in piece.paints.iter().filter(|p| p.plate == k) {
            tau *= paint.shape().map(|shape| {
                let solid = 10f64.powf(-paint.density * shape) * (1.0 - paint.diffuse_share);
                1.0 - paint.coverage + paint.coverage * solid
            });
        }
        layers.push((plate.glass.n, tau));
    }
    let mut out = Spectrum::ZERO;
    for i in 0..SAMPLES {
        let here: Vec<(f64, f64)> = layers.iter().map(|(n, tau)| (*n, tau[i])).collect();
        out[i] = stack_scalar(&here, angle_deg).map_or(0.0, |o| o.transmittance);
    }
    out
}

fn benches(c: &mut Criterion) {
    let Some(piece) = painted_piece() else { return };
    let prepared = piece.prepare();
    let mut group = c.benchmark_group("plated painted piece, one angle");
    group.bench_function("naive", |b| b.iter(|| naive(black_box(&piece), 40.0)));
    group.bench_function("unprepared, regular and diffuse", |b| b.iter(|| black_box(&piece).optics(40.0)));
    group.bench_function("ours", |b| b.iter(|| black_box(&prepared).optics(40.0)));
    group.bench_function("prepared, scaled thickness and paint", |b| {
        b.iter(|| black_box(&prepared).scaled(0.0, 1.1, 0.7));
    });
    group.finish();
}

criterion_group!(optics, benches);
criterion_main!(optics);
