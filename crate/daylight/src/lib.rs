//! daylight
