//! The wall around each window in the physics' own types, and whether it can be built.

use plane::{PanelPoint, WallPoint};
use reveal::{Depths, Layer, Opening, Outline, Patches, RevealError};
use spectra::Spectrum;

use crate::document::{Guard, Overhang, Reflectance, Reveal, Scene, Wall, Window};
use crate::fault::Fault;
use crate::outdoors::reflectance;
use crate::overlap::edges_cross;
use crate::resolved::{ResolvedWall, ResolvedWindow};

/// What the sides of an outer reveal and an overhang reflect where it is not given: weathered stone. Our assumption.
pub const USUAL_OUTER_REFLECTANCE: f64 = 0.3;
/// What the sides of an inner reveal reflect where it is not given: old plaster or limewash. Our assumption.
pub const USUAL_INNER_REFLECTANCE: f64 = 0.5;

/// Depth of the inner reveal of the window from which places are measured, m.
pub(crate) fn first_inner_m(scene: &Scene) -> f64 {
    let wall = scene.windows.first().and_then(|window| window.wall.as_ref());
    wall.and_then(|wall| wall.inner.as_ref()).map_or(0.0, |inner| inner.depth_m)
}

/// Every reflectance of a wall with its path.
pub(crate) fn reflectances(wall: &Wall) -> impl Iterator<Item = (&'static str, &Reflectance)> {
    let (outer, inner) = (wall.outer.as_ref(), wall.inner.as_ref());
    [
        ("outer.reflectance", outer.and_then(|r| r.reflectance.as_ref())),
        ("outer.sill_reflectance", outer.and_then(|r| r.sill_reflectance.as_ref())),
        ("inner.reflectance", inner.and_then(|r| r.reflectance.as_ref())),
        ("inner.sill_reflectance", inner.and_then(|r| r.sill_reflectance.as_ref())),
        ("overhang.reflectance", wall.overhang.as_ref().and_then(|o| o.reflectance.as_ref())),
    ]
    .into_iter()
    .filter_map(|(path, given)| Some((path, given?)))
}

/// The wall of a window; `None` without one, without any depth and guards, or with faults. The window's own place must be
/// right already.
pub(crate) fn resolve_wall(
    scene: &Scene,
    window: &Window,
    built: &ResolvedWindow,
    path: &str,
    faults: &mut Vec<Fault>,
) -> Option<ResolvedWall> {
    let wall = window.wall.as_ref()?;
    if (Wall { leaf_mm: None, ..wall.clone() }) == Wall::default() {
        return None;
    }
    let ring: Vec<WallPoint> =
        built.panel.opening.outer.iter().map(|&p| built.placement.wall_from_panel(p)).collect();
    let refused = |error: RevealError| match error {
        RevealError::OutsideRange { what, expected, found } => {
            Fault::new(format!("{path}.wall.{what}"), expected, found.to_string())
        }
        RevealError::Splay { corner } => {
            let [x, y] =
                ring.get(corner).map_or([0.0; 2], |at| (*at - built.placement.lower_left).to_array());
            Fault::new(
                format!("{path}.wall"),
                "less splay or depth, so that the sides of the reveal do not meet where its outline turns inward",
                format!(
                    "sides that meet {:.0} mm from the left and {:.0} mm from the bottom of the window",
                    1000.0 * x,
                    1000.0 * y
                ),
            )
        }
        error => Fault::new(
            format!("{path}.drawing.sight_size"),
            "an outline around which a wall can be built",
            error.to_string(),
        ),
    };
    let depths = Depths {
        outer: depth(wall.outer.as_ref()),
        inner: depth(wall.inner.as_ref()),
        overhang: wall.overhang.as_ref().map(|o| reveal::Overhang {
            depth_m: o.depth_m,
            above_m: o.above_m,
            width_m: o.width_m,
        }),
    };
    let guards: Vec<Layer> = wall.guards.iter().map(layer).collect();
    for (k, guard) in guards.iter().enumerate() {
        if let Err(RevealError::OutsideRange { expected, found, .. }) = guard.check() {
            let path = format!("{path}.wall.guards[{k}]");
            let wanted = format!("a pitch of at least the diameter ({expected})");
            faults.push(Fault::new(path, wanted, format!("{} mm", found * 1000.0)));
            return None;
        }
    }
    let outline = Outline::ring(&ring).map_err(|error| faults.push(refused(error))).ok()?;
    let opening = Opening::new(outline.clone(), &depths, Patches::Few);
    let opening = opening.map_err(|error| faults.push(refused(error))).ok()?;
    let faces = [opening.outer_face(), opening.inner_face()];
    let [width_m, height_m] = [scene.room.width_m, scene.room.height_m];
    let beyond = |p: &WallPoint| {
        [-p.x(), p.x() - width_m, -p.y(), p.y() - height_m].into_iter().fold(f64::NEG_INFINITY, f64::max)
    };
    let most = faces[1].iter().map(beyond).fold(f64::NEG_INFINITY, f64::max);
    let flush = depths.outer.depth_m == 0.0 && depths.inner.depth_m == 0.0;
    if flush && depths.overhang.is_none() && guards.is_empty() {
        return None;
    }
    if most > 1e-6 {
        let wanted = "less splay or depth, so that the reveal ends within the window wall of the room";
        let found = format!("sides that reach {most:.2} m beyond it");
        faults.push(Fault::new(format!("{path}.wall.inner"), wanted, found));
        return None;
    }
    let given = |reveal: Option<&Reveal>, usual: f64| {
        let grey = Spectrum::splat(usual);
        let sides = reveal.and_then(|r| r.reflectance.as_ref()).map_or(grey, reflectance);
        (sides, reveal.and_then(|r| r.sill_reflectance.as_ref()).map_or(sides, reflectance))
    };
    let outer = given(wall.outer.as_ref(), USUAL_OUTER_REFLECTANCE);
    let inner = given(wall.inner.as_ref(), USUAL_INNER_REFLECTANCE);
    let over = |o: &Overhang| o.reflectance.as_ref().map(reflectance);
    Some(ResolvedWall {
        outline,
        depths,
        guards,
        sides: [outer.0, inner.0],
        sills: [outer.1, inner.1],
        overhang: wall.overhang.as_ref().and_then(over).unwrap_or(Spectrum::splat(USUAL_OUTER_REFLECTANCE)),
        faces,
    })
}

/// The reveals of two windows must not run into each other.
pub(crate) fn check_faces(windows: &[ResolvedWindow], faults: &mut Vec<Fault>) {
    if windows.iter().all(|window| window.wall.is_none()) {
        return;
    }
    let ring = |window: &ResolvedWindow, face: usize| -> Vec<PanelPoint> {
        let mm = |p: &WallPoint| PanelPoint::new(1000.0 * p.x(), 1000.0 * p.y());
        match &window.wall {
            Some(wall) => wall.faces[face].iter().map(mm).collect(),
            None => {
                let outer = &window.panel.opening.outer;
                outer.iter().map(|&p| mm(&window.placement.wall_from_panel(p))).collect()
            }
        }
    };
    for (i, window) in windows.iter().enumerate() {
        for other in &windows[..i] {
            for (face, name) in [(0, "outer"), (1, "inner")] {
                let (a, b) = (ring(window, face), ring(other, face));
                let within = |a: &[PanelPoint], b: &[PanelPoint]| plane::contains([b], a[0]);
                if edges_cross(&a, &b) || within(&a, &b) || within(&b, &a) {
                    // Of the two, the one that has a reveal.
                    let at = if window.wall.is_some() { window } else { other };
                    let beside = if window.wall.is_some() { other } else { window };
                    let wanted = format!(
                        "less splay or depth, so that its sides do not run into window “{}”",
                        beside.id
                    );
                    let path = format!("windows “{}”.wall.{name}", at.id);
                    faults.push(Fault::new(path, wanted, "a reveal that overlaps it"));
                    break;
                }
            }
        }
    }
}

fn depth(reveal: Option<&Reveal>) -> reveal::Reveal {
    reveal.map_or(reveal::Reveal::default(), |r| reveal::Reveal {
        depth_m: r.depth_m,
        jamb_deg: r.splay_deg.jamb,
        head_deg: r.splay_deg.head,
        sill_deg: r.splay_deg.sill,
    })
}

fn layer(guard: &Guard) -> Layer {
    let m = |mm: f64| mm / 1000.0;
    match *guard {
        Guard::UprightBars { diameter_mm, pitch_mm } => {
            Layer::UprightBars { diameter_m: m(diameter_mm), pitch_m: m(pitch_mm) }
        }
        Guard::LevelBars { diameter_mm, pitch_mm } => {
            Layer::LevelBars { diameter_m: m(diameter_mm), pitch_m: m(pitch_mm) }
        }
        Guard::Mesh { wire_mm, pitch_mm } => Layer::Mesh { wire_m: m(wire_mm), pitch_m: m(pitch_mm) },
    }
}
