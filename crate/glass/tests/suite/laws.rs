//! Laws that no table gives: energy, identity, order, symmetry.

use std::sync::Arc;

use crate::common::worst;
use glass::{
    Deposits, Dirt, EnamelColour, Face, Gap, Glass, Layer, Lobe, Makeup, Optics, Paint, PaintKind, Pigment,
    Plate, Protective, StainTone, find, library, stack, stack_scalar,
};
use proptest::prelude::*;
use spectra::Spectrum;

/// Rounding of several hundred operations on numbers up to 1.
const ROUNDING: f64 = 1e-12;

fn any_glass() -> impl Strategy<Value = Arc<Glass>> {
    (0..library().len()).prop_map(|i| Arc::clone(&library()[i]))
}

fn any_plate() -> impl Strategy<Value = Plate> {
    let streaks = (0.0..=1.0, prop_oneof![Just(0.0), 0.0..1.0]);
    (any_glass(), 0.0..8.0, 0.0..=1.0, any::<bool>(), streaks, prop_oneof![Just(1.52), 1.0..2.2]).prop_map(
        |(glass, thickness_mm, flash_left, outside, (streak_mix, streak_sd), n)| {
            let glass = Arc::new(Glass { n, ..(*glass).clone() });
            let flash_face = if outside { Face::Outside } else { Face::Inside };
            Plate { glass, thickness_mm, flash_left, flash_face, streak_mix, streak_sd }
        },
    )
}

fn any_paint() -> impl Strategy<Value = Paint> {
    let kind = prop_oneof![
        Just(PaintKind::Trace),
        Just(PaintKind::Matting),
        Just(PaintKind::Enamel(EnamelColour::Blue)),
        Just(PaintKind::Enamel(EnamelColour::Rose)),
        Just(PaintKind::Stain(StainTone::Amber)),
        Just(PaintKind::Measured(Arc::new(Spectrum::splat(1.0)))),
    ];
    (kind, 0usize..3, any::<bool>(), 0.0..4.0, 0.0..=1.0, 0.0..=1.0, 0.0..=1.0, 0.0..2.0).prop_map(
        |(kind, plate, outside, density, coverage, diffuse_share, reflects, p)| Paint {
            density,
            coverage,
            diffuse_share,
            reflects,
            pigment: Pigment::Exponent(p),
            ..Paint::new(kind, plate, if outside { Face::Outside } else { Face::Inside })
        },
    )
}

/// A piece that prints itself in a few words when a law fails.
#[derive(Clone)]
struct Piece(Makeup);

impl std::fmt::Debug for Piece {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let plate = |p: &Plate| {
            let g = &p.glass;
            format!(
                "{} n {} {} mm flash {} {:?} streak {} ± {}",
                g.id, g.n, p.thickness_mm, p.flash_left, p.flash_face, p.streak_mix, p.streak_sd
            )
        };
        let plates: Vec<String> = self.0.plates.iter().map(plate).collect();
        let front =
            self.0.protective.as_ref().map(|p| format!("{} {} mm {:?}", p.glass.id, p.thickness_mm, p.dirt));
        write!(f, "{plates:?} {:?} {front:?} paints {:?}", self.0.gap, self.0.paints)?;
        write!(f, " {:?}", self.0.deposits)
    }
}

fn any_piece() -> impl Strategy<Value = Piece> {
    let plates = prop::collection::vec(any_plate(), 0..4);
    let paints = prop::collection::vec(any_paint(), 0..4);
    let protective = prop::option::of((any_glass(), 2.0..10.0, 0.0..=1.0, 0.0..=1.0).prop_map(
        |(glass, thickness_mm, loss, diffuse_share)| Protective {
            glass,
            thickness_mm,
            dirt: Dirt { loss, diffuse_share, ..Dirt::NONE },
        },
    ));
    let dirt = || {
        (0.0..=1.0, 0.0..=1.0).prop_map(|(loss, diffuse_share)| Dirt { loss, diffuse_share, ..Dirt::NONE })
    };
    let deposits = prop_oneof![
        Just(Deposits::NONE),
        (dirt(), dirt()).prop_map(|(outside, inside)| Deposits { outside, inside })
    ];
    (plates, any::<bool>(), paints, deposits, protective).prop_map(
        |(plates, air, paints, deposits, protective)| {
            let gap = if air { Gap::Air } else { Gap::Contact };
            Piece(Makeup { plates, gap, paints, deposits, protective })
        },
    )
}

fn any_angle() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), Just(89.9), Just(90.0), 0.0..90.0]
}

fn passed(o: &Optics) -> Spectrum {
    o.regular_transmittance + o.diffuse_transmittance
}

fn check_energy(o: &Optics) -> Result<(), TestCaseError> {
    let total = passed(o) + o.reflectance_outside + o.absorptance;
    prop_assert!(worst(&total, &Spectrum::ONE) < ROUNDING, "{}", worst(&total, &Spectrum::ONE));
    for part in [
        &o.regular_transmittance,
        &o.diffuse_transmittance,
        &o.reflectance_outside,
        &o.reflectance_inside,
        &o.absorptance,
    ] {
        prop_assert!(part.is_finite() && part.min() > -ROUNDING && part.max() < 1.0 + ROUNDING);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Transmitted, reflected and absorbed light — absorption counted layer by layer, not as the rest — add up to
    /// all the light.
    #[test]
    fn energy_is_kept(Piece(piece) in any_piece(), angle in any_angle()) {
        check_energy(&piece.optics(angle))?;
        let from_inside = piece.optics(angle);
        prop_assert!((from_inside.reflectance_inside + from_inside.regular_transmittance).max() < 1.0 + ROUNDING);
    }

    /// Bare stacks: nothing is gained, nothing is lost without absorption, and reversing a stack exchanges its
    /// reflectances.
    #[test]
    fn stacks_keep_energy_and_are_reciprocal(
        layers in prop::collection::vec((prop_oneof![Just(1.0), 1.3..2.5], 0.0..=1.0), 0..7),
        angle in prop_oneof![Just(89.9), 0.0..90.0],
    ) {
        let o = stack_scalar(&layers, angle).unwrap();
        prop_assert!(o.transmittance >= 0.0 && o.transmittance + o.reflectance_outside < 1.0 + ROUNDING);
        prop_assert!(o.transmittance + o.reflectance_inside < 1.0 + ROUNDING);
        let clear: Vec<_> = layers.iter().map(|l| (l.0, 1.0)).collect();
        let c = stack_scalar(&clear, angle).unwrap();
        prop_assert!((c.transmittance + c.reflectance_outside - 1.0).abs() < ROUNDING);
        prop_assert!((c.transmittance + c.reflectance_inside - 1.0).abs() < ROUNDING);
        let turned: Vec<_> = layers.iter().rev().copied().collect();
        let t = stack_scalar(&turned, angle).unwrap();
        prop_assert!((t.transmittance - o.transmittance).abs() < ROUNDING);
        prop_assert!((t.reflectance_outside - o.reflectance_inside).abs() < ROUNDING);
    }

    #[test]
    fn energy_is_kept_over_the_hemisphere(Piece(piece) in any_piece()) {
        let h = piece.hemispherical();
        let total = h.transmittance() + h.reflectance_outside + h.absorptance;
        // The weights of the average themselves sum to 1 within 1e-14.
        prop_assert!(worst(&total, &Spectrum::ONE) < ROUNDING);
    }

    /// The regular transmittance is the same both ways, whatever lies between; a reversed piece has its
    /// reflectances exchanged.
    #[test]
    fn regular_transmittance_is_reciprocal(Piece(mut piece) in any_piece(), angle in any_angle()) {
        piece.protective = None;
        for paint in &mut piece.paints {
            paint.plate = paint.plate.min(piece.plates.len().saturating_sub(1));
        }
        // Layers on one face keep their order from the glass outward.
        if piece.plates.is_empty() { piece.paints.clear(); }
        let turned = piece.reversed().unwrap();
        let (a, b) = (piece.optics(angle), turned.optics(angle));
        prop_assert!(worst(&a.regular_transmittance, &b.regular_transmittance) < ROUNDING);
        prop_assert!(worst(&a.reflectance_inside, &b.reflectance_outside) < ROUNDING);
        prop_assert!(worst(&a.reflectance_outside, &b.reflectance_inside) < ROUNDING);
    }

    #[test]
    fn zero_thickness_is_clear(glass in any_glass(), n in 1.0..2.0, angle in 0.0..89.0) {
        let mut glass = (*glass).clone();
        glass.flash = None;
        glass.n = n;
        glass.diffuse.share = 0.0;
        let none = Makeup::single(Arc::new(glass), 0.0).optics(angle);
        let clear = stack(&[Layer { n, tau_internal: Spectrum::ONE }], angle).unwrap();
        prop_assert!(worst(&none.regular_transmittance, &clear.transmittance) < ROUNDING);
        prop_assert!(none.absorptance.max() < ROUNDING && none.diffuse_transmittance.max() < ROUNDING);
    }

    /// Two plates of one glass in contact equal one plate of the summed thickness: absorption, without body
    /// scatter.
    #[test]
    fn thicknesses_add_in_contact(glass in any_glass(), a in 0.0..5.0, b in 0.0..5.0, angle in any_angle()) {
        // Two plates have streaks of their own, one behind the other: even glass only.
        let (flash, streak, diffuse) = (None, None, glass::DiffuseShare::NONE);
        let glass = Arc::new(Glass { flash, streak, diffuse, ..(*glass).clone() });
        let mut two = Makeup::single(Arc::clone(&glass), a);
        two.plates.push(Plate::new(Arc::clone(&glass), b));
        two.gap = Gap::Contact;
        let one = Makeup::single(glass, a + b);
        let (two, one) = (two.optics(angle), one.optics(angle));
        prop_assert!(worst(&two.regular_transmittance, &one.regular_transmittance) < ROUNDING);
        prop_assert!(worst(&two.reflectance_outside, &one.reflectance_outside) < ROUNDING);
    }

    /// Plates of one index in contact may be exchanged without changing the transmitted light.
    #[test]
    fn plates_in_contact_commute(mut a in any_plate(), mut b in any_plate(), angle in any_angle()) {
        for plate in [&mut a, &mut b] {
            let glass = Glass { n: 1.52, ..(*plate.glass).clone() };
            plate.glass = Arc::new(glass);
        }
        let piece = |plates: Vec<Plate>| Makeup { plates, gap: Gap::Contact, paints: vec![], deposits: Deposits::NONE, protective: None };
        let ab = piece(vec![a.clone(), b.clone()]).optics(angle);
        let ba = piece(vec![b, a]).optics(angle);
        prop_assert!(worst(&ab.regular_transmittance, &ba.regular_transmittance) < ROUNDING);
    }

    /// An additional boundary never transmits more, and an air gap is never brighter than contact.
    #[test]
    fn a_gap_never_brightens(glass in any_glass(), a in 0.5..5.0, b in 0.5..5.0, angle in 0.0..60.0) {
        let glass = Arc::new(Glass { diffuse: glass::DiffuseShare::NONE, ..(*glass).clone() });
        let mut piece = Makeup::single(Arc::clone(&glass), a);
        piece.plates.push(Plate::new(glass, b));
        let air = piece.optics(angle).regular_transmittance;
        piece.gap = Gap::Contact;
        let contact = piece.optics(angle).regular_transmittance;
        prop_assert!((air - contact).max() <= ROUNDING);
    }

    #[test]
    fn density_or_coverage_of_zero_is_no_paint(Piece(piece) in any_piece(), paint in any_paint(), angle in any_angle()) {
        let bare = piece.optics(angle);
        for (density, coverage) in [(0.0, 1.0), (paint.density, 0.0)] {
            let mut painted = piece.clone();
            // Outermost on its face, so that the others keep their place.
            painted.paints.push(paint.clone().with_density(density).with_coverage(coverage));
            let painted = painted.optics(angle);
            prop_assert!(worst(&painted.regular_transmittance, &bare.regular_transmittance) < ROUNDING);
            prop_assert!(worst(&painted.diffuse_transmittance, &bare.diffuse_transmittance) < ROUNDING);
            prop_assert!(worst(&painted.reflectance_inside, &bare.reflectance_inside) < ROUNDING);
        }
    }

    /// More density or coverage never transmits more of the regular beam. Nor does it transmit more light in all,
    /// up to 75° and over the hemisphere, for trace and matting as they are fired on glass of index 1.4 and above.
    /// (Beyond that, a rough surface does let out light that a smooth one would have trapped; so does enamel where
    /// it absorbs nothing.)
    #[test]
    fn more_paint_never_brightens(
        Piece(piece) in any_piece(), paint in any_paint(), denser in 1.0..3.0, wider in 0.0..=1.0, angle in 0.0..75.0,
    ) {
        let fired = Paint::new(paint.kind.clone(), paint.plate, paint.face);
        let usual = Paint { density: paint.density, coverage: paint.coverage, ..fired };
        let mut more = usual.clone();
        more.density *= denser;
        more.coverage += (1.0 - more.coverage) * wider;
        let with = |paint: Paint| {
            let mut painted = piece.clone();
            painted.paints.push(paint);
            painted
        };
        let (thin, thick) = (with(usual), with(more));
        let (a, b) = (thin.optics(angle), thick.optics(angle));
        prop_assert!((b.regular_transmittance - a.regular_transmittance).max() < ROUNDING);
        let vitreous = matches!(paint.kind, PaintKind::Trace | PaintKind::Matting);
        if vitreous && piece.plates.iter().all(|p| p.glass.n >= 1.4) {
            let brighter = (passed(&b) - passed(&a)).max();
            prop_assert!(brighter < ROUNDING, "{brighter}");
            let brighter = (thick.hemispherical().transmittance() - thin.hemispherical().transmittance()).max();
            prop_assert!(brighter < ROUNDING, "{brighter} over the hemisphere");
        }
    }

    /// The more of the flash is etched away, the more light is transmitted, at every wavelength.
    #[test]
    fn etching_only_brightens(more in 0.0..=1.0, less in 0.0..=1.0, outside in any::<bool>(), angle in any_angle()) {
        let (less, more) = if less < more { (less, more) } else { (more, less) };
        for id in ["flashed-ruby", "flashed-blue", "flashed-green-on-yellow", "flashed-gold-pink"] {
            let passes = |flash_left: f64| {
                let mut piece = Makeup::single(Arc::clone(find(id).unwrap()), 3.0);
                piece.plates[0].flash_left = flash_left;
                piece.plates[0].flash_face = if outside { Face::Outside } else { Face::Inside };
                piece.optics(angle).regular_transmittance
            };
            prop_assert!((passes(more) - passes(less)).max() <= ROUNDING, "{id}");
        }
    }

    #[test]
    fn thicker_glass_is_never_brighter(glass in any_glass(), a in 0.0..5.0, b in 0.0..5.0, angle in 0.0..75.0) {
        let glass = Arc::new(Glass { diffuse: glass::DiffuseShare::NONE, ..(*glass).clone() });
        let thin = Makeup::single(Arc::clone(&glass), a).optics(angle).regular_transmittance;
        let thick = Makeup::single(glass, a + b).optics(angle).regular_transmittance;
        prop_assert!((thick - thin).max() <= ROUNDING);
    }

    /// The fast way to scale equals the plain way.
    #[test]
    fn scaling_prepared_is_scaling_the_piece(Piece(piece) in any_piece(), t in 0.0..2.0, p in 0.0..2.0, angle in any_angle()) {
        let (quick, plain) = (piece.prepare().scaled(angle, t, p), piece.scaled(t, p).optics(angle));
        let each = piece.prepare().scaled_by_paint(angle, t, &[p; 8]);
        for (a, b) in [
            (&quick.regular_transmittance, &plain.regular_transmittance),
            (&quick.diffuse_transmittance, &plain.diffuse_transmittance),
            (&quick.reflectance_inside, &plain.reflectance_inside),
            (&each.regular_transmittance, &plain.regular_transmittance),
        ] {
            prop_assert!(worst(a, b) < 1e-10, "{}", worst(a, b));
        }
    }

    /// Out-of-range input returns finite optics, never a panic or NaN.
    #[test]
    fn out_of_range_input_gives_finite_optics(Piece(mut piece) in any_piece(), what in 0usize..8, bad in prop_oneof![
        Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(-1.0), Just(1e308),
    ], angle in prop_oneof![Just(f64::NAN), Just(-5.0), Just(1e9), 0.0..90.0]) {
        for plate in &mut piece.plates {
            match what {
                0 => plate.thickness_mm = bad,
                1 => plate.flash_left = bad,
                2 => plate.glass = Arc::new(Glass { n: bad, ..(*plate.glass).clone() }),
                6 => plate.streak_sd = bad,
                _ => plate.streak_mix = bad,
            }
        }
        if what == 7 {
            piece.deposits.outside = Dirt { loss: bad, diffuse_share: bad, lobe: Lobe { share: bad, half_width_deg: bad } };
        }
        for paint in &mut piece.paints {
            match what {
                3 => paint.density = bad,
                4 => paint.coverage = bad,
                5 => (paint.diffuse_share, paint.reflects) = (bad, bad),
                _ => paint.pigment = Pigment::Exponent(bad),
            }
        }
        check_energy(&piece.optics(angle))?;
        check_energy(&piece.prepare().scaled(angle, bad, bad))?;
    }
}

/// Opal glass glows: most light that does not pass it is reflected, little is absorbed.
#[test]
fn opal_glass_spreads_and_reflects() {
    let o = Makeup::single(Arc::clone(find("opal-white").unwrap()), 3.0).optics(0.0);
    let i = 36;
    assert!(o.diffuse_transmittance[i] > 10.0 * o.regular_transmittance[i]);
    assert!((0.3..0.6).contains(&o.reflectance_outside[i]), "{}", o.reflectance_outside[i]);
    assert!(o.absorptance[i] < 0.15, "{}", o.absorptance[i]);
    // Thicker opal transmits less of both kinds and reflects more.
    let thick = Makeup::single(Arc::clone(find("opal-white").unwrap()), 6.0).optics(0.0);
    assert!(thick.diffuse_transmittance[i] < o.diffuse_transmittance[i]);
    assert!(thick.reflectance_outside[i] > o.reflectance_outside[i]);
}

/// Diffuse light is followed with mean values of the cone it fills. Across a clear plate behind opal glass and an
/// air gap, that is within 3 % of the plate's exact hemispherical transmittance.
#[test]
fn the_mean_values_of_the_diffuse_channel_are_near_the_exact_ones() {
    let clear = Arc::clone(find("float-low-iron").unwrap());
    let mut piece = Makeup::single(Arc::clone(find("opal-white").unwrap()), 3.0);
    let alone = piece.optics(0.0).diffuse_transmittance[36];
    piece.plates.push(Plate::new(Arc::clone(&clear), 3.0));
    let both = piece.optics(0.0).diffuse_transmittance[36];
    // Without the light that the two send back and forth.
    let h = Makeup::single(clear, 3.0).hemispherical();
    let opal_back =
        Makeup::single(Arc::clone(find("opal-white").unwrap()), 3.0).hemispherical().reflectance_inside[36];
    let exact = alone * h.transmittance()[36] / (1.0 - opal_back * h.reflectance_outside[36]);
    assert!((both / exact - 1.0).abs() < 0.03, "{both} {exact}");
}

/// Two plates of one glass share its error; the errors of two glasses are independent. The linear ± agrees with the
/// change of transmittance when the absorbance is moved by a hundredth of σ.
#[test]
fn uncertainty_adds_as_it_should() {
    let cobalt = Arc::clone(find("deep-cobalt").unwrap());
    let amber = Arc::clone(find("amber").unwrap());
    let pair = |a: &Arc<Glass>, b: &Arc<Glass>| {
        let mut piece = Makeup::single(Arc::clone(a), 2.0);
        piece.plates.push(Plate::new(Arc::clone(b), 2.0));
        piece
    };
    let terms = |piece: Makeup| piece.uncertainty_terms();
    let one = terms(Makeup::single(Arc::clone(&cobalt), 2.0))[0].sigma;
    let other = terms(Makeup::single(Arc::clone(&amber), 2.0))[0].sigma;
    let (same, mixed) = (terms(pair(&cobalt, &cobalt)), terms(pair(&cobalt, &amber)));
    assert!(same.len() == 1 && worst(&same[0].sigma, &(one * 2.0)) < ROUNDING);
    assert!(mixed.len() == 2 && mixed[0].sigma == one && mixed[1].sigma == other);

    let mut moved = (*cobalt).clone();
    let step = 0.01;
    moved.base = glass::Absorbance::per_mm(*moved.base.spectrum() + moved.uncertainty.base_per_mm * step);
    let [a, b] = [Arc::clone(&cobalt), Arc::new(moved)]
        .map(|glass| Makeup::single(glass, 2.0).optics(0.0).regular_transmittance);
    for i in 0..81 {
        let (found, expected) = (-(b[i] / a[i]).ln() / step, one[i] * std::f64::consts::LN_10);
        assert!((found / expected - 1.0).abs() < 0.03, "sample {i}: {found} {expected}");
    }
}

/// No dirt is a clean pane, and the usual loss is the usual dirt; two coats absorb and scatter like one of the
/// total.
#[test]
fn dirt_scatters_in_proportion_to_its_loss() {
    assert_eq!(Dirt::with_loss(0.0), Dirt::NONE);
    assert_eq!(Dirt::with_loss(f64::NAN), Dirt::NONE);
    let usual = Dirt::with_loss(Dirt::USUAL.loss);
    assert!((usual.diffuse_share - Dirt::USUAL.diffuse_share).abs() < ROUNDING);
    let twice = Dirt::with_loss(1.0 - 0.92 * 0.92);
    assert!((twice.diffuse_share - (1.0 - 0.9 * 0.9)).abs() < ROUNDING);
    assert!(Dirt::with_loss(1.0).diffuse_share <= 1.0);

    let behind = |dirt: Option<Dirt>| {
        let mut piece = Makeup::single(Arc::clone(find("float-clear").unwrap()), 3.0);
        let front = Plate::new(Arc::clone(find("float-clear").unwrap()), 4.0);
        match dirt {
            Some(dirt) => {
                piece.protective = Some(Protective { glass: front.glass, thickness_mm: 4.0, dirt });
            }
            None => piece.plates.insert(0, front),
        }
        piece.optics(40.0)
    };
    let (clean, plated) = (behind(Some(Dirt::with_loss(0.0))), behind(None));
    assert!(clean.diffuse_transmittance.max() <= 0.0);
    assert!(worst(&clean.regular_transmittance, &plated.regular_transmittance) < ROUNDING);
}

/// All faults are listed, each with its place.
#[test]
fn faults_name_their_place() {
    let mut piece = Makeup::single(Arc::clone(find("amber").unwrap()), -1.0);
    piece.paints = vec![
        Paint::new(PaintKind::Matting, 3, Face::Inside),
        Paint::new(PaintKind::Stain(StainTone::Gold), 0, Face::Inside).with_coverage(1.5),
    ];
    let faults: Vec<String> = piece.faults().iter().map(ToString::to_string).collect();
    assert_eq!(faults.len(), 4, "{faults:#?}");
    assert!(faults.iter().any(|f| f == "plates[0].thickness_mm: expected a number from 0 to 1000, found -1"));
    assert!(faults.iter().any(|f| f == "paints[0].plate: expected a plate from 0 to 0, found 3"));
    assert!(faults.iter().any(|f| f.starts_with("paints[1].face")));
}

/// Stain on blue gives green: the two multiply.
#[test]
fn stain_on_blue_gives_green() {
    use spectra::{Observer, Xyz, illuminant};
    let blue = Makeup::single(Arc::clone(find("aquamarine").unwrap()), 3.0);
    let mut stained = blue.clone();
    stained.paints = vec![Paint::new(PaintKind::Stain(StainTone::Gold), 0, Face::Outside).with_density(1.2)];
    let at = |piece: &Makeup| {
        let total = passed(&piece.optics(0.0));
        Xyz::of_transmission(&total, &illuminant::d65(), Observer::Cie1931).chromaticity().unwrap()
    };
    let (before, after) = (at(&blue), at(&stained));
    assert!(before.x < 0.3 && before.y < 0.34);
    assert!(after.y > 0.40 && after.y > after.x, "{after:?}");
}

/// Dirt takes its share of the light, whichever face of the piece it lies on, and none of it is a clean piece.
#[test]
fn dirt_on_the_piece_itself() {
    let clean = Makeup::single(Arc::clone(find("clear-soda").unwrap()), 3.0);
    let dirty = |outside: f64, inside: f64| {
        let deposits = Deposits { outside: Dirt::with_loss(outside), inside: Dirt::with_loss(inside) };
        passed(&Makeup { deposits, ..clean.clone() }.optics(0.0))[36]
    };
    let bare = passed(&clean.optics(0.0))[36];
    assert!((dirty(0.0, 0.0) - bare).abs() < ROUNDING);
    // Twice the same loss is the square of one. 0.6 %: diffuse light meets the last face with more reflectance.
    for (outside, inside, left) in [(0.1, 0.0, 0.9), (0.0, 0.1, 0.9), (0.1, 0.1, 0.81), (0.4, 0.0, 0.6)] {
        let found = dirty(outside, inside) / bare;
        assert!((found / left - 1.0).abs() < 0.03, "{outside} {inside}: {found}");
    }
    assert!((dirty(0.2, 0.0) - dirty(0.0, 0.2)).abs() < 0.01 * bare);
}
