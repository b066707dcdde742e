//! Contents of attachments as files of a folder.

use std::collections::HashSet;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use archive::SceneFile;
use scene::{Fault, Faults, plain_file_name};

use crate::fault::CliError;

/// Writes the content of every attachment into a folder, which is made where it is not there. A name that comes twice
/// gets a number. `scene` is the file that it was read from.
///
/// # Errors
/// A content is missing, a file of such a name is there already, or one cannot be written. Then none is.
pub(crate) fn extract(file: &SceneFile, scene: &Path, folder: &Path) -> Result<Vec<PathBuf>, CliError> {
    let mut taken = HashSet::new();
    let mut files = Vec::new();
    for (hash, attachment) in &file.scene.attachments {
        let path = folder.join(name_beside(&attachment.name, &mut taken));
        // A link that leads nowhere is in the way, too.
        if path.symlink_metadata().is_ok() {
            return Err(CliError::InTheWay { path });
        }
        let Some(content) = file.contents.get(hash) else {
            let wanted = format!("the content of “{}”", attachment.name);
            let faults = Faults(vec![Fault::new(format!("attachments.{hash}"), wanted, "none")]);
            return Err(CliError::Faults { path: scene.to_owned(), faults });
        };
        files.push((path, content));
    }
    let unwritable = |path: &Path| {
        let path = path.to_owned();
        move |error: io::Error| CliError::Unwritable { path, error }
    };
    fs::create_dir_all(folder).map_err(unwritable(folder))?;
    let mut written: Vec<PathBuf> = Vec::new();
    for (path, content) in files {
        let result = fs::File::create_new(&path).and_then(|mut file| {
            written.push(path.clone());
            file.write_all(content)
        });
        if let Err(error) = result {
            for path in &written {
                // One that cannot be removed is left; the error says why this came to nothing.
                let _ = fs::remove_file(path);
            }
            return Err(unwritable(&path)(error));
        }
    }
    Ok(written)
}

/// Longest name of a file on the usual file systems, bytes.
const MOST_NAME_BYTES: usize = 255;

/// Longest extension that is kept when a name is shortened, bytes.
const MOST_EXTENSION_BYTES: usize = 80;

/// A name that a file system takes and that none before has, whatever the case of its letters: a plain one of at most
/// [`MOST_NAME_BYTES`], its number included, and none that Windows keeps for a device.
fn name_beside(name: &str, taken: &mut HashSet<String>) -> String {
    let mut name = plain_file_name(name);
    if is_device(&name) {
        name.insert(0, '_');
    }
    let (stem, extension) = match name.rfind('.') {
        Some(dot) if dot > 0 && name.len() - dot <= MOST_EXTENSION_BYTES => name.split_at(dot),
        _ => (name.as_str(), ""),
    };
    let numbered = |n: usize| {
        let number = if n == 1 { String::new() } else { format!(" ({n})") };
        let room = MOST_NAME_BYTES - number.len() - extension.len();
        let short = &stem[..stem.floor_char_boundary(room)];
        // No name may end in a dot or a space, which is where it may have been cut.
        let short = if short.len() < stem.len() { short.trim_end_matches(['.', ' ']) } else { short };
        format!("{short}{number}{extension}")
    };
    let mut n = 1;
    while !taken.insert(numbered(n).to_lowercase()) {
        n += 1;
    }
    numbered(n)
}

/// Whether Windows takes a name for a device, whatever follows its first dot. Source: Microsoft, "Naming Files, Paths,
/// and Namespaces".
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end().to_uppercase();
    let port = stem.strip_prefix("COM").or_else(|| stem.strip_prefix("LPT"));
    matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL" | "CONIN$" | "CONOUT$")
        || port.is_some_and(|port| {
            let mut digits = port.chars();
            digits.next().is_some_and(|digit| digit.is_ascii_digit() || "¹²³".contains(digit))
                && digits.next().is_none()
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_comes_twice_gets_a_number() {
        let mut taken = HashSet::new();
        let names = ["wall.jpg", "Wall.JPG", "wall.jpg", "wall (2).jpg", "../wall", "wall", ".rc", ".rc"];
        let found: Vec<String> = names.iter().map(|name| name_beside(name, &mut taken)).collect();
        let expected = [
            "wall.jpg",
            "Wall (2).JPG",
            "wall (3).jpg",
            "wall (2) (2).jpg",
            "wall",
            "wall (2)",
            ".rc",
            ".rc (2)",
        ];
        assert_eq!(found, expected);
    }

    #[test]
    fn a_name_fits_any_file_system() {
        let long = "ü".repeat(195) + ".jpeg";
        let mut taken = HashSet::new();
        let found: Vec<String> = (0..12).map(|_| name_beside(&long, &mut taken)).collect();
        for (i, name) in found.iter().enumerate() {
            assert!(name.len() <= 255 && name.ends_with(".jpeg"), "{name}");
            assert!(name.len() >= 253, "{name}");
            assert_eq!(name.contains(&format!(" ({})", i + 1)), i > 0, "{name}");
        }
        assert_eq!(taken.len(), 12);
        // No extension, a very long one, and a cut at a space.
        for name in
            ["語".repeat(200), "a.".to_owned() + &"語".repeat(190), "語".repeat(84) + "a  " + &"b".repeat(9)]
        {
            let found = name_beside(&name, &mut HashSet::new());
            assert!((250..=255).contains(&found.len()) && !found.ends_with(' '), "{found}");
        }
    }

    #[test]
    fn no_name_is_a_devices() {
        let of = |name: &str| name_beside(name, &mut HashSet::new());
        for device in ["CON", "nul.csv", "Com1.tar.gz", "LPT³.txt", "aux .jpg", "CONOUT$", "com0"] {
            assert_eq!(of(device), format!("_{device}"));
        }
        for name in ["contour.svg", "com.csv", "com10.csv", "a.nul", "lpt1a"] {
            assert_eq!(of(name), name);
        }
    }
}
