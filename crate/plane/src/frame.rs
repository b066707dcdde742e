//! The frames, each with its unit.

/// The panel plane as seen from inside, mm: origin at the lower-left corner of the sight size, x right, y up; before it z
/// into the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PanelMm {}

/// The panel plane as a page has it, mm: origin at the **upper**-left corner of the sight size's box, x right, y down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageMm {}

/// A sheet of glass that pieces are cut from, mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetMm {}

/// The window wall as seen from inside, m: x and y of [`RoomM`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WallM {}

/// The room, m: the window wall is z = 0 and its lower-left inside corner the origin, x right as seen from inside facing
/// the window, y up, z into the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoomM {}
