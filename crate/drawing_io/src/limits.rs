//! The most that a file may hold.

/// Longest file read, bytes.
pub const BYTE_LIMIT: usize = 32 << 20;

/// Longest side of a window, mm: what the document can hold.
pub const MOST_SIZE_MM: f64 = panel::COORDINATE_LIMIT_MM;

/// Most XML nodes read.
pub(crate) const NODE_LIMIT: u32 = 500_000;

/// Deepest nesting of elements.
pub(crate) const DEPTH_LIMIT: usize = 128;

/// Most elements visited; those reached through `use` count each time.
pub(crate) const VISIT_LIMIT: usize = 500_000;

/// Most groups of shapes that are told apart by name or look.
pub(crate) const GROUP_LIMIT: usize = 1_000;

/// Coordinates beyond this belong to no window, mm from the file's origin.
pub(crate) const FARTHEST_MM: f64 = 100_000.0;

/// Most points of all lines together once curves are flattened.
pub(crate) const POINT_LIMIT: f64 = 4e6;

/// Most attributes of one element, and most of them that declare a namespace.
pub(crate) const ATTRIBUTE_LIMIT: usize = 500;
pub(crate) const NAMESPACE_LIMIT: usize = 5_000;

/// Most segments of paths.
pub(crate) const SEGMENT_LIMIT: usize = 2_000_000;

/// Most elements listed as not understood.
pub(crate) const UNREAD_LIMIT: usize = 100;

/// Most metres of line: about the lead of 50 large windows.
pub(crate) const LENGTH_LIMIT_MM: f64 = 20e6;

/// Widest lead or bar, mm.
pub(crate) const WIDTH_LIMIT_MM: f64 = 200.0;
