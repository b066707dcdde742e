//! Files written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Writes beside the place first, then moves: whoever reads the file sees the old one or the new one.
///
/// # Errors
/// What the system says; then nothing is left behind.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let name = path.file_name().ok_or_else(|| io::Error::other("expected the name of a file"))?;
    let mut beside = std::ffi::OsString::from(".");
    beside.push(name);
    beside.push(format!(".{}.part", std::process::id()));
    let beside = path.with_file_name(beside);
    let written = fs::File::create_new(&beside)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // What is left of it is of no use to anyone.
        let _ = fs::remove_file(&beside);
    }
    written
}
