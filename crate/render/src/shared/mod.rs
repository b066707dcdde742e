//! What shaders and their twins on the processor both read.

pub(crate) mod constants;
pub(crate) mod frame;
pub(crate) mod layout;
pub(crate) mod records;
