//! viewing
