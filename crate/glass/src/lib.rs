//! glass
