//! What shaders and their CPU twins both read.

pub(crate) mod constants;
pub(crate) mod frame;
pub(crate) mod layout;
pub(crate) mod records;
