//! What an edit touches: the one change set that everything depending on the document reads.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::document::{
    Attachment, AttachmentKind, ContentHash, Makeup, Room, Scene, Site, ViewingPlace, Window,
};
use crate::edit::Edit;
use crate::numbered::find;

/// What an edit touches. Figures, picture, page and the labels of undo read only this.
///
/// In JSON, untouched parts are omitted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct ChangeSet {
    /// The scene's name.
    #[serde(default, skip_serializing_if = "is_false")]
    pub name: bool,
    /// The scene's note.
    #[serde(default, skip_serializing_if = "is_false")]
    pub note: bool,
    /// The scene's own hour.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<AtChange>,
    /// Where the building stands.
    #[serde(default, skip_serializing_if = "is_default")]
    pub site: SiteChange,
    /// The sky.
    #[serde(default, skip_serializing_if = "is_false")]
    pub sky: bool,
    /// What the ground reflects.
    #[serde(default, skip_serializing_if = "is_false")]
    pub ground: bool,
    /// Skyline and trees.
    #[serde(default, skip_serializing_if = "is_false")]
    pub horizon: bool,
    /// The room.
    #[serde(default, skip_serializing_if = "is_default")]
    pub room: RoomChange,
    /// Windows, by id.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub windows: BTreeMap<String, WindowChange>,
    /// Glasses of the scene's own: name by id.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub glasses: BTreeMap<String, String>,
    /// The named places to view from.
    #[serde(default, skip_serializing_if = "is_false")]
    pub places: bool,
    /// What viewing positions are used for: kind and height of their working planes, and nothing else of them.
    #[serde(default, skip_serializing_if = "is_false")]
    pub working_planes: bool,
    /// The viewer's eye.
    #[serde(default, skip_serializing_if = "is_false")]
    pub viewer: bool,
    /// The list of variants.
    #[serde(default, skip_serializing_if = "is_false")]
    pub variants: bool,
    /// Attachments, by the hash of their content. They touch neither light nor picture.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    #[schemars(with = "BTreeMap<String, AttachmentChange>")]
    pub attachments: BTreeMap<ContentHash, AttachmentChange>,
}

/// What happened to an attachment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct AttachmentChange {
    /// Its file name.
    pub name: String,
    /// What it is to the scene.
    pub kind: AttachmentKind,
    /// Whether it came, went or is described anew.
    pub change: Attaching,
}

/// What may happen to an attachment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Attaching {
    /// It was added.
    Attached,
    /// It was removed.
    Removed,
    /// Its name, kind or note changed.
    Described,
}

/// How far the scene's own hour moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum AtChange {
    /// Within its day.
    Hour,
    /// To another day.
    Date,
}

/// What changed about the site.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SiteChange {
    /// Latitude or longitude.
    pub position: bool,
    /// Height above the sea.
    pub elevation: bool,
    /// Time zone.
    pub time_zone: bool,
}

/// What changed about the room.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RoomChange {
    /// Width, height or depth.
    pub size: bool,
    /// The bearing that the window wall faces.
    pub facing: bool,
    /// What its surfaces reflect.
    pub surfaces: bool,
}

/// What changed about a window.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct WindowChange {
    /// Its position in the wall.
    #[serde(default, skip_serializing_if = "is_false")]
    pub placement: bool,
    /// The pane in front of it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub protective_glazing: bool,
    /// Dirt and corrosion on all its glass.
    #[serde(default, skip_serializing_if = "is_false")]
    pub deposits: bool,
    /// The wall around it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub wall: bool,
    /// The entire drawing at once.
    #[serde(default, skip_serializing_if = "is_false")]
    pub drawing: bool,
    /// The sight size or the lead around it.
    #[serde(default, skip_serializing_if = "is_false")]
    pub sight_size: bool,
    /// The saddle bars.
    #[serde(default, skip_serializing_if = "is_false")]
    pub bars: bool,
    /// Path or width of these lines.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub lines: BTreeSet<u32>,
    /// These pieces are new, removed, or tied to the drawing at another point.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub entries: BTreeSet<u32>,
    /// What these pieces are made of.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    #[schemars(with = "BTreeMap<String, MakeupChange>")]
    pub makeups: BTreeMap<u32, MakeupChange>,
}

/// What changed about a make-up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, JsonSchema)]
pub struct MakeupChange {
    /// The number of plates or what lies between them.
    pub plating: bool,
    /// The glass of a plate.
    pub glass: bool,
    /// The thickness of a plate.
    pub thickness: bool,
    /// How much flash etching left, or the side that the flash is on.
    pub flash: bool,
    /// The sheet a plate was cut from.
    pub sheet: bool,
    /// Paint.
    pub paint: bool,
    /// Dirt and corrosion on the piece.
    #[serde(default, skip_serializing_if = "is_false")]
    pub deposits: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
fn is_false(value: &bool) -> bool {
    !value
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl ChangeSet {
    /// What an edit would touch in a scene before it is applied. Setting something to the value it already
    /// has touches nothing.
    ///
    /// Edits grouped as one are each compared with the scene before the first of them.
    pub fn of(edit: &Edit, before: &Scene) -> Self {
        let mut changes = Self::default();
        changes.add(edit, before);
        changes
    }

    fn add(&mut self, edit: &Edit, before: &Scene) {
        match edit {
            Edit::SetName { name } => self.name |= *name != before.name,
            Edit::SetNote { note } => self.note |= *note != before.note,
            Edit::SetSite { site } => self.site.add(site, &before.site),
            Edit::SetAt { at } => self.at = self.at.max(at_change(at, &before.at)),
            Edit::SetSky { sky } => self.sky |= *sky != before.sky,
            Edit::SetGround { ground } => self.ground |= *ground != before.ground,
            Edit::SetHorizon { horizon } => self.horizon |= *horizon != before.horizon,
            Edit::SetRoom { room } => self.room.add(room, &before.room),
            Edit::SetGlass { id, glass } => {
                let old = before.glasses.get(id);
                if old != glass.as_ref() {
                    let name = glass.as_ref().or(old).map_or(id, |glass| &glass.name);
                    self.glasses.insert(id.clone(), name.clone());
                }
            }
            Edit::SetAttachment { hash, attachment } => {
                let change = AttachmentChange::between(before.attachments.get(hash), attachment.as_ref());
                self.attachments.extend(change.map(|change| (*hash, change)));
            }
            Edit::SetPlaces { places } => {
                let changed = *places != before.places;
                let moved = changed && !places.iter().map(seen_from).eq(before.places.iter().map(seen_from));
                self.places |= moved;
                self.working_planes |= changed && !moved;
            }
            Edit::SetViewer { viewer } => self.viewer |= *viewer != before.viewer,
            Edit::SetVariants { variants } => self.variants |= *variants != before.variants,
            Edit::Together { edits } => edits.iter().for_each(|edit| self.add(edit, before)),
            Edit::MoveWindow { window, .. }
            | Edit::SetProtectiveGlazing { window, .. }
            | Edit::SetDeposits { window, .. }
            | Edit::SetWall { window, .. }
            | Edit::SetLine { window, .. }
            | Edit::SetSightSize { window, .. }
            | Edit::SetBars { window, .. }
            | Edit::SetPiece { window, .. }
            | Edit::MovePiece { window, .. }
            | Edit::SetDrawing { window, .. }
            | Edit::SetMakeup { window, .. } => {
                let Some(old) = before.windows.iter().find(|w| w.id == *window) else { return };
                let mut change = self.windows.remove(window).unwrap_or_default();
                change.add(edit, old);
                if change != WindowChange::default() {
                    self.windows.insert(window.clone(), change);
                }
            }
        }
    }

    /// Whether nothing is touched.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Whether the light outside changed: site, sky, ground or horizon.
    pub fn outside(&self) -> bool {
        self.site.position || self.site.elevation || self.sky || self.ground || self.horizon
    }

    /// Whether any figure at a viewing position may have changed, for reasons other than the position itself
    /// or the time.
    pub fn light(&self) -> bool {
        self.outside() || self.site.time_zone || !is_default(&self.room) || self.glazing()
    }

    /// Whether a window or its glass changed.
    pub fn glazing(&self) -> bool {
        !self.windows.is_empty() || !self.glasses.is_empty()
    }

    /// Whether the shape of a piece may have changed.
    pub fn shapes(&self) -> bool {
        self.windows.values().any(WindowChange::redrawn)
    }
}

impl WindowChange {
    fn add(&mut self, edit: &Edit, before: &Window) {
        match edit {
            Edit::MoveWindow { centre_x_m, sill_height_m, .. } => {
                self.placement |=
                    differ(*centre_x_m, before.centre_x_m) || differ(*sill_height_m, before.sill_height_m);
            }
            Edit::SetProtectiveGlazing { protective_glazing, .. } => {
                self.protective_glazing |= *protective_glazing != before.protective_glazing;
            }
            Edit::SetWall { wall, .. } => self.wall |= wall.as_deref() != before.wall.as_ref(),
            Edit::SetDeposits { deposits, .. } => self.deposits |= *deposits != before.deposits,
            Edit::SetLine { line, to, .. } => {
                let old = find(&before.drawing.cutlines, *line);
                let same = match (old, to) {
                    (None, None) => true,
                    (Some(old), Some(new)) => old.path == new.path && !differ(old.width_mm, new.width_mm),
                    _ => false,
                };
                if !same {
                    self.lines.insert(*line);
                }
            }
            Edit::SetSightSize { sight_size, .. } => {
                self.sight_size |= *sight_size != before.drawing.sight_size;
            }
            Edit::SetBars { bars, .. } => self.bars |= *bars != before.drawing.bars,
            Edit::SetPiece { piece, to, .. } => {
                let old = find(&before.pieces, *piece);
                match (old, to) {
                    (None, None) => {}
                    (Some(old), Some(new)) => {
                        if old.at_mm != new.at_mm {
                            self.entries.insert(*piece);
                        }
                        self.add_makeup(*piece, &new.makeup, Some(&old.makeup));
                    }
                    _ => {
                        self.entries.insert(*piece);
                    }
                }
            }
            Edit::MovePiece { piece, at_mm, .. } => {
                let old = find(&before.pieces, *piece);
                if old.is_none_or(|old| old.at_mm != *at_mm) {
                    self.entries.insert(*piece);
                }
            }
            Edit::SetDrawing { drawing, pieces, .. } => {
                self.drawing |= *drawing != before.drawing || *pieces != before.pieces;
            }
            Edit::SetMakeup { piece, makeup, .. } => {
                let old = find(&before.pieces, *piece);
                self.add_makeup(*piece, makeup, old.map(|old| &old.makeup));
            }
            _ => {}
        }
    }

    fn add_makeup(&mut self, piece: u32, after: &Makeup, before: Option<&Makeup>) {
        let found = match before {
            Some(before) => MakeupChange::between(before, after),
            None => MakeupChange { glass: true, ..MakeupChange::default() },
        };
        if !is_default(&found) {
            self.makeups.entry(piece).or_default().add(found);
        }
    }

    /// Whether the shape of a piece may have changed.
    pub fn redrawn(&self) -> bool {
        self.drawing || self.sight_size || self.bars || !self.lines.is_empty() || !self.entries.is_empty()
    }
}

impl AttachmentChange {
    fn between(before: Option<&Attachment>, after: Option<&Attachment>) -> Option<Self> {
        let change = match (before, after) {
            (None, Some(_)) => Attaching::Attached,
            (Some(_), None) => Attaching::Removed,
            _ => Attaching::Described,
        };
        let of = after.or(before).filter(|_| before != after)?;
        Some(Self { name: of.name.clone(), kind: of.kind, change })
    }
}

impl SiteChange {
    fn add(&mut self, after: &Site, before: &Site) {
        self.position |= differ(after.latitude_deg, before.latitude_deg)
            || differ(after.longitude_deg, before.longitude_deg);
        self.elevation |= differ(after.elevation_m, before.elevation_m);
        self.time_zone |= after.time_zone != before.time_zone;
    }
}

impl RoomChange {
    fn add(&mut self, after: &Room, before: &Room) {
        let size = |room: &Room| [room.width_m, room.height_m, room.depth_m];
        self.size |= size(after).into_iter().zip(size(before)).any(|(a, b)| differ(a, b));
        self.facing |= differ(after.facing_deg, before.facing_deg);
        self.surfaces |= after.surfaces != before.surfaces;
    }
}

impl MakeupChange {
    fn between(before: &Makeup, after: &Makeup) -> Self {
        let (a, b) = (&after.plates, &before.plates);
        if a.len() != b.len() {
            let (paint, deposits) = (after.paint != before.paint, after.deposits != before.deposits);
            return Self { plating: true, paint, deposits, ..Self::default() };
        }
        let any = |different: &dyn Fn(usize) -> bool| (0..a.len()).any(different);
        Self {
            plating: after.gap != before.gap,
            glass: any(&|i| a[i].glass != b[i].glass),
            thickness: any(&|i| {
                differ(a[i].thickness_mm, b[i].thickness_mm) || a[i].thickness_sd_mm != b[i].thickness_sd_mm
            }),
            flash: any(&|i| differ(a[i].flash_left, b[i].flash_left) || a[i].flash_face != b[i].flash_face),
            sheet: any(&|i| a[i].sheet != b[i].sheet),
            paint: after.paint != before.paint,
            deposits: after.deposits != before.deposits,
        }
    }

    fn add(&mut self, other: Self) {
        self.plating |= other.plating;
        self.glass |= other.glass;
        self.thickness |= other.thickness;
        self.flash |= other.flash;
        self.sheet |= other.sheet;
        self.paint |= other.paint;
        self.deposits |= other.deposits;
    }
}

/// Whether two numbers of a document differ.
fn differ(a: f64, b: f64) -> bool {
    (a - b).abs() > 0.0
}

/// A viewing position without what it is used for.
fn seen_from(place: &ViewingPlace) -> ViewingPlace {
    ViewingPlace { working_plane: None, ..place.clone() }
}

fn at_change(after: &str, before: &str) -> Option<AtChange> {
    let date = |at: &str| at.split(['T', ' ']).next().map(str::to_owned);
    match (after == before, date(after) == date(before)) {
        (true, _) => None,
        (false, true) => Some(AtChange::Hour),
        (false, false) => Some(AtChange::Date),
    }
}
