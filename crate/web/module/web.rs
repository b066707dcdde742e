//! The page's first module: everything but files with attachments and new windows.
#![cfg(target_arch = "wasm32")]

// For what it exports to JavaScript.
use web as _;
