//! Sharing, order, repeatability, refusals.

use glass::Absorbance;
use spectra::{Observer, Spectrum, TristimulusWeights, illuminant};
use uncertainty::{
    Absorber, CauseError, Causes, DRAWS, Distribution, Draw, Form, NumberId, Origin, Piece, Quantity,
    SampleError, mean_luminous_transmittance, sample,
};

const HERE: Origin = Origin::CommonPractice;

fn factor(causes: &mut Causes, name: &str, sd: f64) -> NumberId {
    causes.number(name, 1.0, sd, Form::LogNormal, HERE).unwrap()
}

fn one(causes: &Causes, draws: usize, figure: impl Fn(&Draw) -> f64) -> Distribution {
    let [found] = sample(causes, draws, |draw| [figure(draw)]).unwrap();
    found
}

fn blue(strength: NumberId) -> Piece {
    let band = Absorbance::per_mm(Spectrum::from_fn(|nm| 0.3 * (-0.5 * ((nm - 580.0) / 40.0).powi(2)).exp()));
    Piece {
        area: 0.05,
        thickness_mm: Quantity::Known(3.0),
        absorbers: vec![Absorber::new(&band).with_strength(strength)],
        density: Quantity::Known(0.0),
    }
}

fn light(causes: &Causes, pieces: &[Piece]) -> Distribution {
    let weights = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
    one(causes, DRAWS, |draw| mean_luminous_transmittance(pieces, &weights, draw))
}

/// Eight like pieces of one batch are no better known than one of them; of eight batches, √8 times better.
#[test]
fn a_shared_cause_counts_once() {
    let mut causes = Causes::new();
    let batch = factor(&mut causes, "cobalt", 0.2);
    let single = light(&causes, &[blue(batch)]);
    let eight = light(&causes, &vec![blue(batch); 8]);
    assert!((eight.sd_ln.unwrap() / single.sd_ln.unwrap() - 1.0).abs() < 1e-9);
    assert!((eight.p05 / single.p05 - 1.0).abs() < 1e-9);

    let mut causes = Causes::new();
    let pieces: Vec<Piece> = (0..8).map(|i| blue(factor(&mut causes, &format!("cobalt {i}"), 0.2))).collect();
    let own = light(&causes, &pieces);
    let ratio = single.sd_ln.unwrap() / own.sd_ln.unwrap();
    assert!((ratio / 8f64.sqrt() - 1.0).abs() < 0.03, "{ratio}");
}

/// The order in which causes are added changes no figure beyond the stated error of the sample.
#[test]
fn the_order_of_causes_does_not_matter() {
    let sds = [0.5, 0.3, 0.2, 0.4, 0.1, 0.6];
    let run = |order: [usize; 6]| {
        let mut causes = Causes::new();
        let mut ids = [None; 6];
        for place in order {
            ids[place] = Some(factor(&mut causes, &format!("cause {place}"), sds[place]));
        }
        one(&causes, DRAWS, |draw| {
            let x = ids.map(|id| draw.number(id.unwrap()));
            (-x[0] * x[1] - x[2] * (x[3] + x[4]) * x[5]).exp()
        })
    };
    let (a, b) = (run([0, 1, 2, 3, 4, 5]), run([5, 3, 0, 4, 2, 1]));
    let s = a.sd_ln.unwrap();
    let error = s / (DRAWS as f64).sqrt();
    // Three standard errors of a difference of two.
    for (a, b, factor) in [(a.median, b.median, 1.25), (a.p05, b.p05, 2.1), (a.p95, b.p95, 2.1)] {
        assert!((a / b).ln().abs() < 4.3 * factor * error, "{a} {b}");
    }
    assert!((s / b.sd_ln.unwrap() - 1.0).abs() < 0.02);
}

#[test]
fn equal_input_gives_equal_output() {
    let run = || {
        let mut causes = Causes::new();
        let strength = factor(&mut causes, "cobalt", 0.3);
        let curve = causes.curve("glass", 0.2, Some(80.0), HERE).unwrap();
        let mut piece = blue(strength);
        piece.absorbers[0] = piece.absorbers[0].clone().with_curve(curve);
        light(&causes, &[piece])
    };
    assert_eq!(run(), run());
}

/// Draws that are a constant of this program, on every platform: to the bit.
#[test]
fn draws_are_fixed() {
    let mut causes = Causes::new();
    let normal = causes.number("a", 0.0, 1.0, Form::Normal, HERE).unwrap();
    let log = factor(&mut causes, "b", 0.5);
    let curve = causes.curve("c", 0.2, Some(100.0), HERE).unwrap();
    let mut seen = Vec::new();
    sample(&causes, 64, |draw| {
        seen.push((draw.number(normal), draw.number(log), draw.curve(curve).unwrap()[40]));
        [1.0]
    })
    .unwrap();
    assert_eq!(seen.len(), 65);
    assert_eq!(seen[0], (0.0, 1.0, 1.0));
    assert_eq!(seen[1], FIRST_DRAW, "{:?}", seen[1]);
}

/// By a second program (Python) that follows the same steps.
const FIRST_DRAW: (f64, f64, f64) = (-1.3662038163720984, 0.6323714413851389, 1.0978624088900675);

#[test]
fn without_causes_everything_is_known() {
    let found = one(&Causes::new(), 64, |_| 0.7);
    for figure in [found.centre, found.median, found.p05, found.p95, found.mean] {
        assert!((figure - 0.7).abs() < 1e-12);
    }
    assert_eq!(found.sd_ln, Some(0.0));
}

#[test]
fn several_figures_from_the_same_draws() {
    let mut causes = Causes::new();
    let a = factor(&mut causes, "a", 0.2);
    let [up, down] = sample(&causes, 1024, |draw| [draw.number(a), 1.0 / draw.number(a)]).unwrap();
    assert!((up.p95 * down.p05 - 1.0).abs() < 1e-3);
}

#[test]
fn bad_input_is_refused() {
    let mut causes = Causes::new();
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        let sd = causes.number("x", 1.0, bad, Form::Normal, HERE);
        assert!(matches!(sd, Err(CauseError::Sd { ref name, .. }) if name == "x"), "{sd:?}");
        assert!(matches!(causes.curve("x", 0.1, Some(bad), HERE), Err(CauseError::Correlation { .. })));
    }
    assert!(matches!(causes.curve("x", 0.1, Some(0.0), HERE), Err(CauseError::Correlation { .. })));
    assert!(matches!(causes.number("x", f64::NAN, 0.1, Form::Normal, HERE), Err(CauseError::Centre { .. })));
    let least = causes.number("x", 1.0, 0.1, Form::NormalAtLeast(f64::NAN), HERE);
    assert!(matches!(least, Err(CauseError::Least { .. })));
    assert!(causes.list().is_empty());

    for draws in [0, 63, (1 << 22) + 1] {
        let refused = sample(&causes, draws, |_| [1.0]);
        assert!(matches!(refused, Err(SampleError::Draws { found }) if found == draws));
    }
    let id = factor(&mut causes, "x", 0.1);
    assert_eq!(sample(&causes, 64, |_| [1.0, f64::NAN]), Err(SampleError::NotFinite { figure: 1 }));
    let wide = causes.number("wide", 1.0, 1e300, Form::LogNormal, HERE).unwrap();
    assert!(sample(&causes, 64, |draw| [draw.number(wide)]).is_err());
    // An id of other causes is no number, and so is the figure.
    assert!(sample(&Causes::new(), 64, |draw| [draw.number(id)]).is_err());
    let curve = causes.curve("y", 0.1, None, HERE).unwrap();
    let mut piece = blue(id);
    piece.absorbers[0] = piece.absorbers[0].clone().with_curve(curve);
    assert!(sample(&Causes::new(), 64, |draw| [piece.transmittance(draw)[40]]).is_err());
}

/// A figure that may be 0 has a range, but no logarithm.
#[test]
fn zero_has_no_logarithm() {
    let mut causes = Causes::new();
    let a = causes.number("a", 0.0, 1.0, Form::NormalAtLeast(0.0), HERE).unwrap();
    let found = one(&causes, 1024, |draw| draw.number(a));
    assert_eq!(found.sd_ln, None);
}
