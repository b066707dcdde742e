//! Describes a change set, for the labels of undo and redo: "glass of piece 84".

use crate::changes::{AtChange, Attaching, ChangeSet, MakeupChange, RoomChange, SiteChange, WindowChange};

impl ChangeSet {
    /// What changed, in a few words that follow "Undo: ".
    pub fn words(&self) -> String {
        match &self.parts()[..] {
            [] => "nothing".to_owned(),
            [one] => one.clone(),
            _ => "several changes".to_owned(),
        }
    }

    /// What changed, part by part.
    pub fn parts(&self) -> Vec<String> {
        let mut parts: Vec<String> = Vec::new();
        let mut add = |changed: bool, words: &str| {
            if changed {
                parts.push(words.to_owned());
            }
        };
        add(self.name, "name of the scene");
        add(self.note, "note of the scene");
        add(self.at == Some(AtChange::Hour), "hour");
        add(self.at == Some(AtChange::Date), "date");
        add(self.site != SiteChange::default(), of_site(self.site));
        add(self.sky, "sky");
        add(self.ground, "ground outside");
        add(self.horizon, "surroundings");
        add(self.room != RoomChange::default(), of_room(self.room));
        add(self.places, "viewing positions");
        add(self.working_planes, "use of a viewing position");
        add(self.viewer, "viewer’s eye");
        add(self.variants, "variants");
        parts.extend(self.glasses.values().map(|name| format!("glass “{name}”")));
        for (id, window) in &self.windows {
            of_window(id, window, &mut parts);
        }
        of_makeups(self, &mut parts);
        of_attachments(self, &mut parts);
        parts.dedup();
        parts
    }
}

fn of_site(site: SiteChange) -> &'static str {
    match site {
        SiteChange { position: true, .. } => "location",
        SiteChange { time_zone: true, .. } => "time zone",
        SiteChange { .. } => "height above the sea",
    }
}

fn of_room(room: RoomChange) -> &'static str {
    match (room.size, room.facing, room.surfaces) {
        (true, false, false) => "size of the room",
        (false, true, false) => "bearing of the window",
        (false, false, true) => "surfaces of the room",
        _ => "room",
    }
}

fn of_window(id: &str, window: &WindowChange, parts: &mut Vec<String>) {
    if window.placement {
        parts.push(format!("position of window “{id}”"));
    }
    if window.protective_glazing {
        parts.push("protective glazing".to_owned());
    }
    if window.deposits {
        parts.push(format!("dirt on window “{id}”"));
    }
    if window.wall {
        parts.push(format!("wall around window “{id}”"));
    }
    if window.bars && !window.drawing {
        parts.push(format!("bars of window “{id}”"));
    }
    let mut lines = window.lines.iter();
    match (window.drawing || window.sight_size, lines.next(), lines.len()) {
        (true, _, _) => parts.push(format!("drawing of window “{id}”")),
        (false, Some(line), 0) => parts.push(format!("line {line}")),
        (false, Some(_), more) => parts.push(format!("{} lines", more + 1)),
        // If entries change but no line does, they are tied to other points of the same drawing.
        (false, None, _) if !window.entries.is_empty() => {
            parts.push(format!("drawing of window “{id}”"));
        }
        (false, None, _) => {}
    }
}

fn of_attachments(changes: &ChangeSet, parts: &mut Vec<String>) {
    for (attaching, what) in [
        (Attaching::Attached, "attach"),
        (Attaching::Removed, "remove"),
        (Attaching::Described, "details of"),
    ] {
        let found: Vec<_> = changes.attachments.values().filter(|one| one.change == attaching).collect();
        match &found[..] {
            [] => {}
            [one] => parts.push(format!("{what} {} “{}”", one.kind.words(), one.name)),
            more => parts.push(format!("{what} {} files", more.len())),
        }
    }
}

/// Nothing but dirt or corrosion.
const DIRT: &str = "dirt";

fn of_makeups(changes: &ChangeSet, parts: &mut Vec<String>) {
    // The words for dirt on a window say it of its pieces, too.
    let said = |window: &WindowChange, change: MakeupChange| window.deposits && of_makeup(change) == DIRT;
    let unsaid = |window| move |(_, change): &(&u32, &MakeupChange)| !said(window, **change);
    let all = || changes.windows.values().flat_map(|window| window.makeups.iter().filter(unsaid(window)));
    let mut kinds: Vec<&'static str> = all().map(|(_, change)| of_makeup(*change)).collect();
    let count = kinds.len();
    sorting::values(&mut kinds);
    kinds.dedup();
    match (&kinds[..], all().next()) {
        ([kind], Some((piece, _))) if count == 1 => parts.push(format!("{kind} of piece {piece}")),
        ([kind], _) => parts.push(format!("{kind} of {count} pieces")),
        ([], _) => {}
        _ => parts.push(format!("make-up of {count} pieces")),
    }
}

fn of_makeup(change: MakeupChange) -> &'static str {
    match change {
        MakeupChange { plating: true, .. } => "plating",
        MakeupChange {
            deposits: true,
            glass: false,
            thickness: false,
            flash: false,
            sheet: false,
            paint: false,
            ..
        } => DIRT,
        MakeupChange { deposits: true, .. } => "make-up",
        // Another glass brings its own thickness, flash and sheet.
        MakeupChange { glass: true, paint: false, .. } => "glass",
        MakeupChange { thickness: true, flash: false, sheet: false, glass: false, paint: false, .. } => {
            "thickness"
        }
        MakeupChange { flash: true, thickness: false, sheet: false, glass: false, paint: false, .. } => {
            "flash"
        }
        MakeupChange { sheet: true, thickness: false, flash: false, glass: false, paint: false, .. } => {
            "sheet"
        }
        MakeupChange { paint: true, thickness: false, flash: false, sheet: false, glass: false, .. } => {
            "paint"
        }
        MakeupChange { .. } => "make-up",
    }
}
