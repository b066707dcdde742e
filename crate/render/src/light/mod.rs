//! The light of an instant, and how each piece responds to it.

pub(crate) mod bands;
pub(crate) mod field;
pub(crate) mod horizon;
pub(crate) mod inner;
pub(crate) mod inner_scatter;
pub(crate) mod instant;
pub(crate) mod lobe_grid;
pub(crate) mod lobe_shade;
pub(crate) mod lobes;
pub(crate) mod outside;
pub(crate) mod piece_record;
pub(crate) mod respond;
pub(crate) mod tables;
pub(crate) mod wall;
