//! panel
