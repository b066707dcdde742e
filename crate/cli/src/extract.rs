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

/// A plain name that none before has, whatever the case of its letters.
fn name_beside(name: &str, taken: &mut HashSet<String>) -> String {
    let name = plain_file_name(name);
    let (stem, extension) = match name.rfind('.') {
        Some(dot) if dot > 0 => name.split_at(dot),
        _ => (name.as_str(), ""),
    };
    let numbered = |n: usize| if n == 1 { name.clone() } else { format!("{stem} ({n}){extension}") };
    let mut n = 1;
    while !taken.insert(numbered(n).to_lowercase()) {
        n += 1;
    }
    numbered(n)
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
}
