//! The demo scenes, as the tests open them.

/// The file of each.
pub(crate) const DEMOS: [&str; 3] = [
    ESTUARY,
    include_str!("../../../../demo-scenes/north-corridor.json"),
    include_str!("../../../../demo-scenes/small-rose.json"),
];

/// The one that the page opens with.
pub(crate) const ESTUARY: &str = include_str!("../../../../demo-scenes/estuary-lancet.json");
