//! The page's module for scene files with attachments.
#![cfg(target_arch = "wasm32")]

// For what it exports to JavaScript.
use archive as _;
