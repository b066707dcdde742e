//! Files written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use crate::fault::CliError;

/// Writes beside the place first, then moves: whoever reads the file sees the old one or the new one.
///
/// # Errors
/// The file cannot be written; then nothing of it is left behind.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), CliError> {
    written(path, bytes).map_err(|error| CliError::Unwritable { path: path.to_owned(), error })
}

/// Whether a file can be written there, before something that takes time; nothing is left behind.
///
/// # Errors
/// As [`write_whole`].
pub(crate) fn check_writable(path: &Path) -> Result<(), CliError> {
    let unwritable = |error| CliError::Unwritable { path: path.to_owned(), error };
    if path.is_dir() {
        return Err(unwritable(io::ErrorKind::IsADirectory.into()));
    }
    let beside = beside(path).map_err(unwritable)?;
    fs::File::create_new(&beside).and_then(|_| fs::remove_file(&beside)).map_err(unwritable)
}

/// A name of its own in the same folder.
fn beside(path: &Path) -> io::Result<PathBuf> {
    let name = path.file_name().ok_or_else(|| io::Error::other("expected the name of a file"))?;
    let mut beside = std::ffi::OsString::from(".");
    beside.push(name);
    beside.push(format!(".{}.part", std::process::id()));
    Ok(path.with_file_name(beside))
}

fn written(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let beside = beside(path)?;
    // What cannot be made anew belongs to somebody else: it is left alone.
    let mut file = fs::File::create_new(&beside)?;
    let written =
        file.write_all(bytes).and_then(|()| file.sync_all()).and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        // What is left of it is of no use to anyone.
        let _ = fs::remove_file(&beside);
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_was_there_already_is_left_alone() {
        let folder = std::env::temp_dir().join(format!("clerestory-whole-file-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let path = folder.join("rose.zip");
        let beside = folder.join(format!(".rose.zip.{}.part", std::process::id()));
        fs::write(&beside, "mine").unwrap();
        assert_eq!(written(&path, b"new").unwrap_err().kind(), io::ErrorKind::AlreadyExists);
        assert!(check_writable(&path).is_err());
        assert_eq!((fs::read(&beside).unwrap(), path.exists()), (b"mine".to_vec(), false));
        fs::remove_file(&beside).unwrap();
        check_writable(&path).unwrap();
        assert!(!path.exists() && !beside.exists());
        write_whole(&path, b"new").unwrap();
        assert_eq!((fs::read(&path).unwrap(), beside.exists()), (b"new".to_vec(), false));
        // A folder in its place: nothing is left beside it.
        let in_the_way = folder.join("folder");
        fs::create_dir_all(in_the_way.join("full")).unwrap();
        assert!(check_writable(&in_the_way).is_err() && write_whole(&in_the_way, b"new").is_err());
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 2);
        fs::remove_dir_all(&folder).unwrap();
    }
}
