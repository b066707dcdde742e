//! Edits in words, for the labels of undo and redo: "glass of piece 84".

use scene::{Edit, Makeup, Room, Scene};

/// What an edit changes of a scene that it has not been made in yet.
pub(crate) fn words_of(edit: &Edit, before: &Scene) -> String {
    match edit {
        Edit::SetName { .. } => "name of the scene".to_owned(),
        Edit::SetNote { .. } => "note of the scene".to_owned(),
        Edit::SetSite { site } => {
            let moved = (site.latitude_deg, site.longitude_deg)
                != (before.site.latitude_deg, before.site.longitude_deg);
            let what = match (moved, site.time_zone != before.site.time_zone) {
                (false, true) => "time zone",
                (false, false) => "height above the sea",
                (true, _) => "place on Earth",
            };
            what.to_owned()
        }
        Edit::SetAt { at } => {
            let date = |at: &str| at.get(..10).map(str::to_owned);
            if date(at) == date(&before.at) { "hour" } else { "date" }.to_owned()
        }
        Edit::SetSky { .. } => "sky".to_owned(),
        Edit::SetGround { .. } => "ground outside".to_owned(),
        Edit::SetHorizon { .. } => "horizon".to_owned(),
        Edit::SetRoom { room } => of_room(room, &before.room).to_owned(),
        Edit::MoveWindow { window, .. } => format!("place of window “{window}”"),
        Edit::SetProtectiveGlazing { .. } => "protective glazing".to_owned(),
        Edit::SetDrawing { window, .. } => format!("drawing of window “{window}”"),
        Edit::SetMakeup { window, piece, makeup } => {
            format!("{} of piece {piece}", of_makeup(makeup, makeup_in(before, window, *piece)))
        }
        Edit::SetGlass { id, glass } => {
            let old = before.glasses.get(id).map(|glass| &glass.name);
            format!("glass “{}”", glass.as_ref().map(|glass| &glass.name).or(old).unwrap_or(id))
        }
        Edit::SetPlaces { .. } => "viewing positions".to_owned(),
        Edit::SetViewer { .. } => "viewer’s eye".to_owned(),
        Edit::SetVariants { .. } => "variants".to_owned(),
        Edit::Together { edits } => of_several(edits, before),
    }
}

fn makeup_in<'a>(scene: &'a Scene, window: &str, piece: u32) -> Option<&'a Makeup> {
    let window = scene.windows.iter().find(|w| w.id == window)?;
    window.pieces.iter().find(|p| p.id == piece).map(|p| &p.makeup)
}

fn of_room(room: &Room, before: &Room) -> &'static str {
    let sizes = |room: &Room| [room.width_m, room.height_m, room.depth_m];
    let resized = sizes(room).iter().zip(sizes(before)).any(|(after, before)| (after - before).abs() > 0.0);
    let parts = [
        (resized, "size of the room"),
        ((room.facing_deg - before.facing_deg).abs() > 0.0, "bearing of the window"),
        (room.surfaces != before.surfaces, "surfaces of the room"),
    ];
    let mut changed = parts.iter().filter(|(changed, _)| *changed).map(|(_, words)| *words);
    match (changed.next(), changed.next()) {
        (Some(one), None) => one,
        _ => "room",
    }
}

fn of_makeup(after: &Makeup, before: Option<&Makeup>) -> &'static str {
    let Some(before) = before else { return "glass" };
    if after.plates.len() != before.plates.len() || after.gap != before.gap {
        return "plating";
    }
    let differs = |different: &dyn Fn(usize) -> bool| (0..after.plates.len()).any(different);
    let (a, b) = (&after.plates, &before.plates);
    let parts = [
        (differs(&|i| a[i].glass != b[i].glass), "glass"),
        (differs(&|i| (a[i].thickness_mm - b[i].thickness_mm).abs() > 0.0), "thickness"),
        (
            differs(&|i| {
                (a[i].flash_left - b[i].flash_left).abs() > 0.0 || a[i].flash_face != b[i].flash_face
            }),
            "flash",
        ),
        (differs(&|i| a[i].sheet != b[i].sheet), "sheet"),
        (after.paint != before.paint, "paint"),
    ];
    let mut changed = parts.iter().filter(|(changed, _)| *changed).map(|(_, words)| *words);
    match (changed.next(), changed.next()) {
        (Some(one), None) => one,
        // Another glass brings its own thickness and sheet.
        (Some("glass"), Some("thickness" | "flash" | "sheet")) if after.paint == before.paint => "glass",
        _ => "make-up",
    }
}

fn of_several(edits: &[Edit], before: &Scene) -> String {
    let mut kinds: Vec<&'static str> = Vec::new();
    let mut pieces = 0usize;
    for edit in edits {
        if let Edit::SetMakeup { window, piece, makeup } = edit {
            let kind = of_makeup(makeup, makeup_in(before, window, *piece));
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
            pieces += 1;
        }
    }
    match (edits, &kinds[..]) {
        ([], _) => "nothing".to_owned(),
        ([one], _) => words_of(one, before),
        (_, [kind]) if pieces == edits.len() => format!("{kind} of {pieces} pieces"),
        _ if pieces == edits.len() => format!("make-up of {pieces} pieces"),
        ([first, rest @ ..], _) => {
            let words = words_of(first, before);
            if rest.iter().all(|edit| words_of(edit, before) == words) {
                words
            } else {
                "several changes".to_owned()
            }
        }
    }
}
