//! A document resolves to panels, make-ups and a sky, or its faults are returned.

use plane::{PanelPoint, RoomPoint};
use scene::{Edit, Reflectance, Scene, Viewer, read, resolve};

const TWO_PIECES: &str = include_str!("../two-pieces.json");

fn two_pieces() -> Scene {
    read(TWO_PIECES).unwrap_or_else(|faults| panic!("{faults}"))
}

fn faults_after(change: impl FnOnce(&mut Scene)) -> Vec<String> {
    let mut scene = two_pieces();
    change(&mut scene);
    resolve(&scene, None)
        .err()
        .map_or_else(Vec::new, |faults| faults.0.iter().map(ToString::to_string).collect())
}

#[test]
fn every_piece_of_the_drawing_has_its_glass() {
    let resolved = resolve(&two_pieces(), None).unwrap();
    let window = &resolved.windows[0];
    let [x, y] = window.placement.lower_left.to_array();
    assert!((x - 1.7).abs() < 1e-12 && (y - 1.2).abs() < 1e-12);
    assert_eq!(window.pieces.len(), window.panel.pieces.len());
    for (piece, glazed) in window.panel.pieces.iter().zip(&window.pieces) {
        let above = piece.interior_point[1] > 450.0;
        assert_eq!(glazed.id, if above { 1 } else { 2 });
        let glass = &glazed.makeup.plates[0].glass;
        assert_eq!(glass.id, if above { "deep-cobalt" } else { "amber" });
    }
}

#[test]
fn a_variant_is_the_scene_with_its_edits_applied() {
    let resolved = resolve(&two_pieces(), Some("pale")).unwrap();
    let ids: Vec<&str> =
        resolved.windows[0].pieces.iter().map(|p| p.makeup.plates[0].glass.id.as_str()).collect();
    assert!(ids.contains(&"pale-cobalt") && !ids.contains(&"deep-cobalt"), "{ids:?}");
    let unknown = resolve(&two_pieces(), Some("dark")).unwrap_err().to_string();
    assert!(unknown.contains("“pale”") && unknown.contains("“dark”"), "{unknown}");
}

#[test]
fn pieces_and_entries_must_match_one_to_one() {
    let faults = faults_after(|scene| scene.windows[0].pieces[1].at_mm = PanelPoint::new(300.0, 900.0));
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(faults[0].contains("pieces[1].at_mm") && faults[0].contains("piece 1 already lies there"));
    assert!(faults[1].contains("an entry for the piece at"), "{}", faults[1]);
    let faults = faults_after(|scene| scene.windows[0].pieces[1].at_mm = PanelPoint::new(-3.0, 900.0));
    assert!(faults[0].contains("a point inside a piece of the drawing"), "{}", faults[0]);
}

#[test]
fn a_window_must_fit_its_wall_and_its_lines_must_form_pieces() {
    let faults = faults_after(|scene| scene.windows[0].centre_x_m = 3.9);
    assert!(faults[0].contains("windows[0].centre_x_m"), "{faults:?}");
    let faults = faults_after(|scene| scene.windows[0].sill_height_m = 3.5);
    assert!(faults[0].contains("windows[0].sill_height_m"), "{faults:?}");
    let faults = faults_after(|scene| scene.windows[0].drawing.sight_size.path = "M0 0L10".to_owned());
    assert!(faults[0].contains("windows[0].drawing"), "{faults:?}");
}

// Light through overlapping windows would be counted twice.
#[test]
fn windows_must_not_overlap() {
    let with_second = |dx: f64, dy: f64| {
        faults_after(|scene| {
            let mut second = scene.windows[0].clone();
            second.id = "second".to_owned();
            second.centre_x_m += dx;
            second.sill_height_m += dy;
            scene.windows.push(second);
        })
    };
    // The window is 0.6 m wide.
    for (dx, dy) in [(0.0, 0.0), (0.3, 0.0), (-0.599, 0.0), (0.0, 0.4), (0.595, 0.2)] {
        let faults = with_second(dx, dy);
        assert_eq!(faults.len(), 1, "{dx} {dy}: {faults:?}");
        assert!(faults[0].contains("“second”") && faults[0].contains("overlaps"), "{faults:?}");
    }
    for dx in [0.6, -0.6, 0.9] {
        assert!(with_second(dx, 0.0).is_empty(), "{dx}");
    }
}

#[test]
fn an_edit_gives_what_resolving_again_would_build() {
    let scene = two_pieces();
    let makeup = scene.windows[0].pieces[1].makeup.clone();
    let edits = [
        (Edit::SetMakeup { window: "west".to_owned(), piece: 1, makeup }, true),
        (Edit::SetAt { at: "2026-06-21T12:00".to_owned() }, true),
        (Edit::SetGround { ground: Reflectance::Material("grass".to_owned()) }, true),
        (Edit::MoveWindow { window: "west".to_owned(), centre_x_m: 1.0, sill_height_m: 0.5 }, true),
        (Edit::SetViewer { viewer: Viewer { age_years: 72.0, pigmentation: 1.0 } }, true),
        (Edit::SetAt { at: "noon".to_owned() }, false),
        (Edit::SetGround { ground: Reflectance::Material("velvet".to_owned()) }, false),
        (Edit::MoveWindow { window: "west".to_owned(), centre_x_m: 9.0, sill_height_m: 0.5 }, false),
    ];
    let mut resolved = resolve(&scene, None).unwrap();
    let mut inverses = Vec::new();
    for (edit, fits) in edits {
        let before = resolved.scene.clone();
        match resolved.apply(edit) {
            Ok(applied) => inverses.push(applied.inverse),
            Err(faults) => assert!(!fits && resolved.scene == before, "{faults}"),
        }
        let anew = resolve(&resolved.scene, None).unwrap();
        assert_eq!(resolved.ground, anew.ground);
        assert_eq!(resolved.windows[0].placement, anew.windows[0].placement);
        for (a, b) in resolved.windows[0].pieces.iter().zip(&anew.windows[0].pieces) {
            assert_eq!((a.id, &a.makeup, a.sheet), (b.id, &b.makeup, b.sheet));
        }
    }
    assert_eq!(inverses.len(), 5);
    for inverse in inverses.into_iter().rev() {
        resolved.apply(inverse).unwrap();
    }
    assert_eq!(resolved.scene, scene);
}

#[test]
fn the_eye_is_at_the_named_place() {
    let resolved = resolve(&two_pieces(), None).unwrap();
    assert_eq!(resolved.eye_m(None), Some(RoomPoint::new(2.0, 1.2, 4.5)));
    assert_eq!(resolved.eye_m(Some("bench")), Some(RoomPoint::new(2.0, 1.2, 4.5)));
    assert_eq!(resolved.eye_m(Some("nowhere")), None);
}

#[test]
fn a_glass_of_the_scenes_own_must_be_valid() {
    use scene::{Family, GlassColour, InternalTransmittance, OwnGlass, Provenance};
    let own = |samples: Vec<f64>| OwnGlass {
        name: "Rack 7".to_owned(),
        family: Family::Blue,
        index: 1.52,
        colour: GlassColour::Internal(InternalTransmittance { thickness_mm: 3.0, samples }),
        diffuse_share: 0.0,
        lobe: None,
        kind: None,
        flash: None,
        streak: None,
        sheets: None,
        provenance: Provenance::Measured,
        uncertainty: None,
    };
    let with = |samples: Vec<f64>| {
        let mut scene = two_pieces();
        scene.glasses.insert("rack-7".to_owned(), own(samples));
        scene.windows[0].pieces[0].makeup.plates[0].glass = "rack-7".to_owned();
        resolve(&scene, None)
    };
    let resolved = with(vec![0.5; 81]).unwrap();
    let piece = resolved.windows[0].pieces.iter().find(|p| p.id == 1).unwrap();
    let internal = piece.makeup.plates[0].glass.internal(6.0);
    assert!((internal[40] - 0.25).abs() < 1e-12, "twice the thickness, the square");
    for samples in [vec![0.5; 80], vec![f64::NAN; 81], vec![-1.0; 81]] {
        let faults = with(samples).unwrap_err();
        assert!(faults.0[0].path.starts_with("glasses.rack-7.colour.internal.samples"), "{faults}");
    }
}

// Tolerance 1e-6 of the share: the boolean operations work on a lattice of a nanometre.
#[test]
fn strokes_cover_only_the_visible_part_of_the_piece() {
    let mut scene = two_pieces();
    let stroke = |path: &str, width_mm| scene::Stroke { path: path.to_owned(), width_mm };
    let paint = |density, strokes| scene::Paint {
        kind: scene::PaintKind::Trace,
        face: scene::Face::Inside,
        plate: 0,
        pigment: scene::Pigment::Brown,
        density,
        coverage: None,
        strokes,
        fade_mm: 0.0,
        stipple: 0.3,
        scatters: None,
        lobe: None,
        firing: 1,
    };
    // Two identical strokes across the lower piece, which is 588 mm wide inside the leads, and one in the
    // piece above.
    let across = [stroke("M-50 200H650", 4.0), stroke("M-50 200H650", 4.0), stroke("M-50 800H650", 4.0)];
    scene.windows[0].pieces[1].makeup.paint = vec![paint(2.5, across.to_vec())];
    let resolved = resolve(&scene, None).unwrap();
    let window = &resolved.windows[0];
    let lower = window.pieces.iter().position(|p| p.id == 2).unwrap();
    let (piece, shape) = (&window.pieces[lower], &window.panel.pieces[lower]);
    let coverage = piece.makeup.paints[0].coverage;
    assert!((coverage - 588.0 * 4.0 / shape.light_area_mm2).abs() < 1e-6, "{coverage}");
    assert_eq!(piece.brushwork.len(), 1);
    assert_eq!(piece.brushwork[0].lines.len(), 3);

    // An edit of one piece gives the same as rebuilding the scene.
    let mut kept = resolved.clone();
    let makeup = scene::Makeup {
        paint: vec![paint(2.0, vec![stroke("M100 100Q300 250 500 100", 3.0)])],
        ..scene.windows[0].pieces[1].makeup.clone()
    };
    scene.windows[0].pieces[1].makeup = makeup.clone();
    kept.apply(Edit::SetMakeup { window: "west".to_owned(), piece: 2, makeup }).unwrap();
    let anew = resolve(&scene, None).unwrap();
    let (kept, anew) = (&kept.windows[0].pieces[lower], &anew.windows[0].pieces[lower]);
    assert!(kept.makeup == anew.makeup && kept.brushwork == anew.brushwork);
    assert!(kept.makeup.paints[0].coverage > 0.0 && kept.makeup.paints[0].coverage < coverage);
}
