//! Builds from the document what the physics works with: panels, make-ups and sky.

use plane::{PanelOnWall, WallPoint};

use crate::document::{self, Scene, Window};
use crate::fault::{Fault, Faults};
use crate::glazing::{innermost_sheet, resolve_brushwork, resolve_makeup};
use crate::outdoors::{buildings, outdoors, reflectance};
use crate::overlap::overlap;
use crate::resolved::{Resolved, ResolvedPiece, ResolvedRoom, ResolvedWindow};
use crate::variants::with_variant;
use crate::wall::{check_faces, resolve_wall};

/// Builds the scene, or one of its variants, from a document in which [`crate::check`] finds no fault.
///
/// # Errors
/// Every fault of the drawings, every entry outside the drawing or in an occupied piece, every window that
/// does not fit its wall or overlaps another; an unknown variant.
pub fn resolve(scene: &Scene, variant: Option<&str>) -> Result<Resolved, Faults> {
    let scene = if variant.is_none() { scene.clone() } else { with_variant(scene, variant)? };
    let mut faults = crate::check(&scene);
    let mut windows = Vec::with_capacity(scene.windows.len());
    if faults.is_empty() {
        for (i, window) in scene.windows.iter().enumerate() {
            windows.extend(resolve_window(&scene, window, &format!("windows[{i}]"), &mut faults));
        }
        check_overlaps(&windows, &mut faults);
        check_faces(&windows, &mut faults);
        check_own_wall(&scene, &windows, &mut faults);
    }
    Faults::none_or(faults)?;
    let (place, sky, ground, mut horizon) = outdoors(&scene);
    horizon.buildings = buildings(&scene, &windows, None);
    let room = resolve_room(&scene.room);
    Ok(Resolved { place, sky, ground, horizon, room, windows, scene, numbers_up_to: 0 })
}

/// Windows must not overlap.
pub(crate) fn check_overlaps(windows: &[ResolvedWindow], faults: &mut Vec<Fault>) {
    for (i, window) in windows.iter().enumerate() {
        if let Some(under) = windows[..i].iter().find(|other| overlap(other, window)) {
            let path = format!("windows “{}”.centre_x_m", window.id);
            let wanted = format!("a place in the wall beside, above or under window “{}”", under.id);
            faults.push(Fault::new(path, wanted, "one that overlaps it"));
        }
    }
}

/// The wall of the own building must be as high as its windows.
pub(crate) fn check_own_wall(scene: &Scene, windows: &[ResolvedWindow], faults: &mut Vec<Fault>) {
    // A height that is assumed is above every window.
    let Some(height_m) = scene.horizon.own_building.as_ref().and_then(|own| own.height_m) else { return };
    let head_m = windows
        .iter()
        .map(|window| window.placement.lower_left[1] + window.panel.height_mm / 1000.0)
        .fold(0.0, f64::max);
    let least_m = scene.horizon.floor_above_ground_m.unwrap_or(0.0) + head_m;
    if height_m < least_m - 1e-9 {
        // The next centimetre, which is enough.
        let wanted_m = (least_m * 100.0 - 1e-6).ceil() / 100.0;
        let wanted = format!(
            "at least {wanted_m} m, the height of the highest window's head above the ground outside"
        );
        faults.push(Fault::new("horizon.own_building.height_m", wanted, format!("{height_m} m")));
    }
}

/// The room in the physics' own types.
pub(crate) fn resolve_room(room: &document::Room) -> ResolvedRoom {
    let surfaces = &room.surfaces;
    ResolvedRoom {
        size_m: [room.width_m, room.height_m, room.depth_m],
        facing_deg: room.facing_deg,
        surfaces: [
            reflectance(&surfaces.window_wall),
            reflectance(&surfaces.back_wall),
            reflectance(&surfaces.left_wall),
            reflectance(&surfaces.right_wall),
            reflectance(&surfaces.floor),
            reflectance(&surfaces.ceiling),
        ],
    }
}

fn resolve_window(
    scene: &Scene,
    window: &Window,
    path: &str,
    faults: &mut Vec<Fault>,
) -> Option<ResolvedWindow> {
    let drawing = panel_drawing(&window.drawing);
    let panel = match panel::LivePanel::new(drawing, panel::PanelOptions::default()) {
        Ok(panel) => panel,
        Err(error) => {
            faults.extend(drawing_faults(&error, path));
            return None;
        }
    };
    let before = faults.len();
    check_placement(scene, window, &panel, path, faults);
    let entries = match_entries(window, &panel, path, faults);
    if faults.len() > before {
        return None;
    }
    let pieces = entries.into_iter().flatten().zip(&panel.pieces);
    let pieces = pieces.map(|(entry, shape)| resolve_piece(scene, window, entry, shape)).collect();
    let mut built = ResolvedWindow {
        id: window.id.clone(),
        placement: placement(window, &panel),
        wall: None,
        bar_sides: bar_sides(window),
        lines: line_numbers(window),
        panel,
        pieces,
    };
    built.wall = resolve_wall(scene, window, &built, path, faults);
    Some(built)
}

/// The fault of lines that form no pieces.
pub(crate) fn drawing_faults(error: &panel::PanelError, path: &str) -> Vec<Fault> {
    let fault = |fault: &panel::PanelFault| {
        Fault::new(format!("{path}.drawing"), "lines that form pieces", fault.to_string())
    };
    error.faults.iter().map(fault).collect()
}

pub(crate) fn placement(window: &Window, panel: &panel::Panel) -> PanelOnWall {
    let left_m = window.centre_x_m - panel.width_mm / 2000.0;
    PanelOnWall { lower_left: WallPoint::new(left_m, window.sill_height_m) }
}

pub(crate) fn line_numbers(window: &Window) -> Vec<u32> {
    window.drawing.cutlines.iter().map(|line| line.id).collect()
}

pub(crate) fn bar_sides(window: &Window) -> Vec<document::Face> {
    window.drawing.bars.iter().map(|bar| bar.side).collect()
}

/// A window must fit its wall.
pub(crate) fn check_placement(
    scene: &Scene,
    window: &Window,
    panel: &panel::Panel,
    path: &str,
    faults: &mut Vec<Fault>,
) {
    let (half_m, height_m) = (panel.width_mm / 2000.0, panel.height_mm / 1000.0);
    if window.centre_x_m - half_m < 0.0 || window.centre_x_m + half_m > scene.room.width_m {
        let wanted = format!(
            "a place where the window's {} mm fit the wall's {} m",
            panel.width_mm, scene.room.width_m
        );
        faults.push(Fault::new(format!("{path}.centre_x_m"), wanted, format!("{}", window.centre_x_m)));
    }
    if window.sill_height_m + height_m > scene.room.height_m {
        let wanted = format!(
            "a sill at which the window's {} mm fit the wall's {} m",
            panel.height_mm, scene.room.height_m
        );
        faults.push(Fault::new(format!("{path}.sill_height_m"), wanted, format!("{}", window.sill_height_m)));
    }
}

/// A piece of the panel and the document's entry for it.
pub(crate) fn resolve_piece(
    scene: &Scene,
    window: &Window,
    entry: usize,
    shape: &panel::Piece,
) -> ResolvedPiece {
    let piece = &window.pieces[entry];
    let brushwork = resolve_brushwork(&piece.makeup);
    ResolvedPiece {
        id: piece.id,
        entry,
        makeup: resolve_makeup(scene, window, &piece.makeup, &brushwork, shape),
        brushwork,
        sheet: innermost_sheet(&piece.makeup),
    }
}

/// Finds, for every piece of the panel, the document's entry that lies in it.
pub(crate) fn match_entries(
    window: &Window,
    panel: &panel::Panel,
    path: &str,
    faults: &mut Vec<Fault>,
) -> Vec<Option<usize>> {
    let mut entries: Vec<Option<usize>> = vec![None; panel.pieces.len()];
    for (i, piece) in window.pieces.iter().enumerate() {
        let path = format!("{path}.pieces[{i}].at_mm");
        let found = format!("{}, {} for piece {}", piece.at_mm[0], piece.at_mm[1], piece.id);
        match panel.piece_at(piece.at_mm) {
            None => faults.push(Fault::new(path, "a point inside a piece of the drawing", found)),
            Some(index) => match entries[index] {
                Some(first) => {
                    let wanted = format!(
                        "a point in a piece without another entry; piece {} already lies there",
                        window.pieces[first].id
                    );
                    faults.push(Fault::new(path, wanted, found));
                }
                None => entries[index] = Some(i),
            },
        }
    }
    for (piece, entry) in panel.pieces.iter().zip(&entries) {
        if entry.is_none() {
            let [x, y] = piece.interior_point.to_array();
            let wanted = format!("an entry for the piece at {x:.1}, {y:.1} mm: say which glass it is");
            faults.push(Fault::new(format!("{path}.pieces"), wanted, "none"));
        }
    }
    entries
}

/// The panel's own form of a drawing.
pub fn panel_drawing(drawing: &document::Drawing) -> panel::Drawing {
    panel::Drawing {
        outline: panel_outline(&drawing.sight_size),
        cutlines: drawing.cutlines.iter().map(panel_cutline).collect(),
        bars: panel_bars(drawing),
    }
}

pub(crate) fn panel_outline(line: &document::Line) -> panel::Outline {
    panel::Outline { path: line.path.clone(), face_mm: line.width_mm }
}

pub(crate) fn panel_cutline(line: &document::Cutline) -> panel::Cutline {
    panel::Cutline { path: line.path.clone(), face_mm: line.width_mm }
}

pub(crate) fn panel_bars(drawing: &document::Drawing) -> Vec<panel::Bar> {
    let bar = |bar: &document::Bar| panel::Bar { path: bar.path.clone(), diameter_mm: bar.width_mm };
    drawing.bars.iter().map(bar).collect()
}
