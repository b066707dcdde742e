//! The page's module for new windows.
#![cfg(target_arch = "wasm32")]

// For what it exports to JavaScript.
use new_window as _;
