//! The forward lobe of scattered light.

use std::sync::Arc;

use glass::{Dirt, Face, Lobe, Makeup, Paint, PaintKind, find};

fn piece(id: &str, mattings: &[(f64, Lobe)]) -> Makeup {
    let mut piece = Makeup::single(Arc::clone(find(id).unwrap()), 3.0);
    let matting = |(density, lobe): &(f64, Lobe)| {
        Paint::new(PaintKind::Matting, 0, Face::Inside).with_density(*density).with_lobe(*lobe)
    };
    piece.paints = mattings.iter().map(matting).collect();
    piece
}

fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() < within, "{found}, expected {wanted}");
}

#[test]
fn one_scatterer_gives_the_piece_its_lobe() {
    for (density, coverage) in [(0.1, 1.0), (0.5, 1.0), (2.0, 0.4)] {
        let mut piece = piece("float-clear", &[(density, Lobe { share: 0.7, half_width_deg: 12.0 })]);
        piece.paints[0].coverage = coverage;
        let lobe = piece.prepare().lobe();
        near(lobe.share, 0.7, 1e-12);
        near(lobe.half_width_deg, 12.0, 1e-9);
    }
    let rolled = piece("hammered-green", &[]).prepare().lobe();
    near(rolled.share, Lobe::HAMMERED.share, 1e-12);
    near(rolled.half_width_deg, Lobe::HAMMERED.half_width_deg, 1e-9);
    assert!(piece("opal-white", &[]).prepare().lobe().share <= 0.0);
    assert!(piece("float-clear", &[]).prepare().lobe().share <= 0.0);
}

/// Half of the radiance at the half width: e^(−sin²w/2v) = ½.
#[test]
fn the_bell_has_half_its_radiance_at_the_half_width() {
    for width in [2.0, 15.0, 40.0] {
        let lobe = Lobe { share: 1.0, half_width_deg: width };
        let at = (-f64::to_radians(width).sin().powi(2) / (2.0 * lobe.variance())).exp();
        near(at, 0.5, 1e-12);
    }
}

/// Sums over the hemisphere, reflection and absorption do not know of it.
#[test]
fn the_lobe_changes_no_sum() {
    let (wide, none) = (Lobe { share: 1.0, half_width_deg: 30.0 }, Lobe::NONE);
    for angle in [0.0, 40.0, 80.0] {
        assert_eq!(
            piece("rolled-blue", &[(0.5, wide)]).optics(angle),
            piece("rolled-blue", &[(0.5, none)]).optics(angle)
        );
    }
}

/// Random walks through two scatterers, each of which turns light by a bell of its own, or loses it from all lobes.
#[test]
fn two_scatterers_agree_with_random_walks() {
    let lobes = [Lobe { share: 0.9, half_width_deg: 10.0 }, Lobe { share: 0.6, half_width_deg: 25.0 }];
    let densities = [0.5, 1.0];
    let mut state = 7u64;
    let mut random = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let (mut scattered, mut kept, mut square) = (0.0, 0.0, 0.0);
    for _ in 0..400_000 {
        let (mut cosine, mut turned, mut lost) = (0.0, false, false);
        for (lobe, density) in lobes.iter().zip(densities) {
            // Usual density 0.5 scatters 0.35.
            if random() < 1.0 - 0.65f64.powf(density / 0.5) {
                turned = true;
                lost |= random() >= lobe.share;
                let bell =
                    (-2.0 * random().max(1e-300).ln()).sqrt() * (std::f64::consts::TAU * random()).cos();
                cosine += lobe.variance().sqrt() * bell;
            }
        }
        scattered += f64::from(u8::from(turned));
        if turned && !lost {
            kept += 1.0;
            square += cosine * cosine;
        }
    }
    let found = piece("float-clear", &[(0.5, lobes[0]), (1.0, lobes[1])]).prepare().lobe();
    near(found.share, kept / scattered, 0.004);
    near(found.variance().sqrt(), (square / kept).sqrt(), 0.002);
}

/// Opal under matting: what the milk has spread cannot come together again.
#[test]
fn milk_leaves_no_lobe() {
    let over = |id| piece(id, &[(0.5, Lobe::MATTING)]).prepare().lobe().share;
    assert!(over("opal-white") < 0.05 && over("opal-white") > 0.0);
    assert!(over("wispy-opal-green") < over("float-clear"));
}

#[test]
fn nothing_bad_comes_of_bad_numbers() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 1e300] {
        let mut piece =
            piece("rolled-blue", &[(bad, Lobe { share: bad, half_width_deg: bad }), (6.0, Lobe::MATTING)]);
        piece.deposits.inside =
            Dirt { loss: bad, diffuse_share: bad, lobe: Lobe { share: bad, half_width_deg: bad } };
        let lobe = piece.prepare().lobe();
        assert!((0.0..=1.0).contains(&lobe.share) && (0.0..=90.0).contains(&lobe.half_width_deg), "{lobe:?}");
    }
}
