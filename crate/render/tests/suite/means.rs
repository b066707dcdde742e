//! The mean transmittance of a varied piece equals its figures, and each sheet is distinct and repeatable.

use plane::contains;
use render::{LightTables, Look, SceneWindow, View, reference};
use spectra::{Observer, Spectrum, Xyz, luminous};

/// The first demo with every varying glass of the library in its pieces.
fn window() -> (scene::Resolved, SceneWindow) {
    let document = scene::read(include_str!("../../../../demo-scenes/estuary-lancet.json")).unwrap();
    let mut scene = scene::resolve(&document, None).unwrap();
    let library = glass::library();
    for (k, piece) in scene.windows[0].pieces.iter_mut().enumerate() {
        let mut plate = glass::Plate::new(library[k % library.len()].clone(), 3.0);
        plate.flash_left = if k % 2 == 0 { 1.0 } else { 0.6 };
        piece.makeup.plates = vec![plate];
        piece.makeup.paints.clear();
    }
    let window = SceneWindow::new(&scene, 0, scene.eye_m(None).unwrap()).unwrap();
    (scene, window)
}

// 2 %: the mean is taken over 96 points of a piece when it is made and over some 400 others here.
#[test]
fn the_mean_transmittance_of_a_piece_equals_its_figures() {
    let (scene, window) = window();
    let outside = scene.outside(scene.instant("2026-06-21T12:00").unwrap().utc).unwrap();
    let tables: LightTables = window.tables(&outside, None);
    let transmittance = window.transmittance();
    let mut varied = 0;
    for (piece, model) in window.model.pieces.iter().enumerate().step_by(2) {
        let view =
            View::fit(render::Bounds::of(model.light_shape.iter().flatten()).unwrap(), [400, 400], 0.0);
        let passes = |factors| {
            let t = transmittance(piece, factors, 0.0);
            luminous(&(t.regular + t.diffuse))
        };
        let figure = passes(render::Factors::PLAIN);
        let (mut sum, mut square, mut count) = (0.0, 0.0, 0.0);
        for k in 0..400_u32 {
            let pixel = [f64::from(k % 20), f64::from(k / 20)].map(|v| 20.0 * v + 9.5);
            let point = view.panel_from_pixel(pixel);
            if contains(&model.light_shape, point) {
                let drawn = reference::drawn_at(&tables, &view, Look::default().variation, piece, point);
                let ratio = drawn.gain * passes(drawn.factors) / figure;
                sum += ratio;
                square += ratio * ratio;
                count += 1.0;
            }
        }
        let mean = sum / count;
        assert!(
            (mean - 1.0).abs() < 0.02,
            "piece {piece}, {}: {mean}",
            scene.windows[0].pieces[piece].makeup.plates[0].glass.id
        );
        varied += usize::from((square / count - mean * mean).sqrt() > 0.01);
    }
    // Most of them visibly vary; float and other even glass does not.
    assert!(varied * 3 > window.model.pieces.len(), "only {varied} vary");
}

#[test]
fn sheets_are_repeatable_and_distinct() {
    let (scene, a) = window();
    let (mut other, b) = window();
    assert!(a.model == b.model && a.optics == b.optics);
    for piece in &mut other.windows[0].pieces {
        piece.sheet += 1;
    }
    let c = SceneWindow::new(&other, 0, other.eye_m(None).unwrap()).unwrap();
    let outside = scene.outside(scene.instant("2026-06-21T12:00").unwrap().utc).unwrap();
    let view = View::fit(a.model.bounds(), [300, 800], 0.0);
    let drawn = |window: &SceneWindow| {
        let middle = window.optics[7].middle_mm;
        reference::drawn_at(&window.tables(&outside, None), &view, 1.0, 7, middle)
    };
    assert_eq!(drawn(&a), drawn(&b));
    assert_ne!(drawn(&a), drawn(&c));
}

// The figures are the mean of T over the streaks' mixtures, not T of their mean mixture; so is the picture. 4 %, for its
// mean is taken over 96 points. Its colour is that of the streaks in this one piece, the figures' that of a whole sheet: within
// 0.015 in u', v', or a third of what T of the mean mixture is away.
#[test]
fn a_streaky_piece_has_the_figures_mean_of_t() {
    let document = scene::read(include_str!("../../../../demo-scenes/estuary-lancet.json")).unwrap();
    let mut scene = scene::resolve(&document, None).unwrap();
    let streaky: Vec<_> = glass::library().iter().filter(|g| g.streak.is_some()).collect();
    let area = |shape: &panel::Piece| shape.light_area_mm2;
    let shapes = &scene.windows[0].panel.pieces;
    let mut largest: Vec<usize> = (0..shapes.len()).collect();
    largest.sort_by(|a, b| area(&shapes[*b]).total_cmp(&area(&shapes[*a])));
    largest.truncate(3 * streaky.len());
    for (k, piece) in largest.iter().enumerate() {
        let plate = glass::Plate::new(streaky[k % streaky.len()].clone(), 3.0);
        scene.windows[0].pieces[*piece].makeup = glass::Makeup {
            plates: vec![plate],
            paints: Vec::new(),
            ..scene.windows[0].pieces[*piece].makeup.clone()
        };
        scene.windows[0].pieces[*piece].brushwork.clear();
    }
    let window = SceneWindow::new(&scene, 0, scene.eye_m(None).unwrap()).unwrap();
    let outside = scene.outside(scene.instant("2026-06-21T12:00").unwrap().utc).unwrap();
    let tables: LightTables = window.tables(&outside, None);
    let transmittance = window.transmittance();
    let colour = |through: &Spectrum| {
        Xyz::of_transmission(through, &spectra::illuminant::d65(), Observer::Cie1931)
            .u_prime_v_prime()
            .unwrap()
    };
    for (k, &piece) in largest.iter().enumerate() {
        let id = &streaky[k % streaky.len()].id;
        let shape = &window.model.pieces[piece].light_shape;
        let view = View::fit(render::Bounds::of(shape.iter().flatten()).unwrap(), [400, 400], 0.0);
        let passes = |factors| {
            let t = transmittance(piece, factors, 0.0);
            t.regular + t.diffuse
        };
        let figure = scene.windows[0].pieces[piece].makeup.optics(0.0);
        let figure = figure.regular_transmittance + figure.diffuse_transmittance;
        assert_eq!(passes(render::Factors::PLAIN), figure, "{id}");
        let (mut sum, mut count) = (Spectrum::ZERO, 0.0);
        for at in 0..1600_u32 {
            let pixel = [f64::from(at % 40), f64::from(at / 40)].map(|v| 10.0 * v + 4.5);
            let point = view.panel_from_pixel(pixel);
            if contains(shape, point) {
                let drawn = reference::drawn_at(&tables, &view, 1.0, piece, point);
                sum.add_scaled(drawn.gain, &passes(drawn.factors));
                count += 1.0;
            }
        }
        let mean = sum * (1.0 / count);
        let level = luminous(&mean) / luminous(&figure);
        let (a, b) = (colour(&mean), colour(&figure));
        let off = (a.u - b.u).hypot(a.v - b.v);
        let mut of_mean_mix = scene.windows[0].pieces[piece].makeup.clone();
        of_mean_mix.plates[0].streak_sd = 0.0;
        let of_mean_mix = colour(&of_mean_mix.optics(0.0).regular_transmittance);
        let wrong = (of_mean_mix.u - b.u).hypot(of_mean_mix.v - b.v);
        eprintln!("{piece} {id}: {level:.4} {off:.4}, of the mean mixture {wrong:.4}");
        assert!((level - 1.0).abs() < 0.04, "piece {piece}, {id}: {level}");
        assert!(off < 0.015_f64.max(wrong / 3.0), "piece {piece}, {id}: {off}");
    }
}
