//! Third-party notices: the works by others in the page and the command line, with their licences.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::fault::Fault;
use crate::modules;
use crate::setup::WASM;
use crate::spdx::is_met;
use crate::workspace::{Package, Workspace, host};

/// One third-party work: name and version, licence, and its notices.
struct Work {
    title: String,
    licence: String,
    texts: Vec<String>,
    authors: Vec<String>,
}

/// `cargo xtask notices`.
pub(crate) fn run() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let folder = workspace.target.join("notices");
    fs::create_dir_all(&folder).map_err(|error| Fault::file(&folder, &error))?;
    for (name, text) in
        [("page.txt", of_page(&workspace)?), ("command-line.txt", of_command_line(&workspace)?)]
    {
        let path = folder.join(name);
        fs::write(&path, text).map_err(|error| Fault::file(&path, &error))?;
        println!("{}", path.display());
    }
    Ok(true)
}

/// The page's notices: crates compiled into its wasm modules, npm packages in the bundle, data.
pub(crate) fn of_page(workspace: &Workspace) -> Result<String, Fault> {
    let mut works = Vec::new();
    for name in modules::crates() {
        works.extend(crates_of(name, WASM)?);
    }
    works.extend(npm_packages(&workspace.www())?);
    text_of("page", works, workspace)
}

/// The command line's notices: crates compiled into it, data.
pub(crate) fn of_command_line(workspace: &Workspace) -> Result<String, Fault> {
    text_of("command line", crates_of("cli", &host()?)?, workspace)
}

fn crates_of(product: &str, platform: &str) -> Result<Vec<Work>, Fault> {
    let workspace = Workspace::read(Some(platform))?;
    let (id, _) = workspace
        .member(product)
        .ok_or_else(|| Fault::new(format!("There is no crate {product}."), "Look in crate/."))?;
    let foreign = workspace.runs_with(id).into_keys().map(|id| &workspace.packages[&id]);
    foreign
        .filter(|package| package.source.is_some())
        .map(|package| {
            Ok(Work {
                title: format!("{} {}", package.name, package.version),
                licence: package.licence.clone().unwrap_or_default(),
                texts: licence_texts(&package.folder)?,
                authors: package.authors.clone(),
            })
        })
        .collect()
}

/// The npm packages that are not only tools, by the lock file.
fn npm_packages(www: &Path) -> Result<Vec<Work>, Fault> {
    let path = www.join("package-lock.json");
    let text = fs::read_to_string(&path).map_err(|error| Fault::file(&path, &error))?;
    let lock: Value = serde_json::from_str(&text).unwrap_or_default();
    let packages = lock.get("packages").and_then(Value::as_object).into_iter().flatten();
    packages
        .filter(|(path, package)| !path.is_empty() && package.get("dev").is_none())
        .map(|(path, package)| {
            let word = |key| package.get(key).and_then(Value::as_str).unwrap_or_default();
            let name = path.rsplit("node_modules/").next().unwrap_or(path);
            let folder = www.join(path);
            Ok(Work {
                title: format!("{name} {}", word("version")),
                licence: word("license").to_owned(),
                texts: licence_texts(&folder)?,
                authors: npm_author(&folder).into_iter().collect(),
            })
        })
        .collect()
}

/// The author in a package's manifest: a name, or an object with one.
fn npm_author(folder: &Path) -> Option<String> {
    let manifest: Value =
        serde_json::from_str(&fs::read_to_string(folder.join("package.json")).ok()?).ok()?;
    let author = manifest.get("author")?;
    author.as_str().or_else(|| author.get("name")?.as_str()).map(str::to_owned)
}

/// The standard licence text for a work that comes without one.
fn standard_text(work: &Work) -> Option<String> {
    let under = |licence: &str| is_met(&work.licence, &[licence.to_owned()]) == Some(true);
    if under("MIT") {
        let (_, terms) = include_str!("../../../LICENSE-MIT").split_once("\n\nPermission")?;
        let name = work.title.rsplit_once(' ').map_or(work.title.as_str(), |(name, _)| name);
        let holders = match work.authors.as_slice() {
            [] => format!("the authors of {name}"),
            named => named.join(", "),
        };
        Some(format!("MIT License\n\nCopyright (c) {holders}\n\nPermission{}", terms.trim_end()))
    } else if under("Apache-2.0") {
        Some(include_str!("../../../LICENSE-APACHE").trim().to_owned())
    } else {
        None
    }
}

/// The texts of a folder's licence and notice files.
fn licence_texts(folder: &Path) -> Result<Vec<String>, Fault> {
    let mut paths: Vec<_> = fs::read_dir(folder)
        .map_err(|error| Fault::file(folder, &error))?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.is_file() && path.file_name().is_some_and(|n| is_notice(&n.to_string_lossy())))
        .collect();
    paths.sort();
    let texts = paths.iter().map(|path| fs::read(path).map_err(|error| Fault::file(path, &error)));
    texts.map(|bytes| Ok(String::from_utf8_lossy(&bytes?).trim().replace("\r\n", "\n"))).collect()
}

fn is_notice(file: &str) -> bool {
    let upper = file.to_uppercase();
    ["LICENSE", "LICENCE", "COPYING", "COPYRIGHT", "NOTICE", "UNLICENSE"].iter().any(|w| upper.starts_with(w))
}

fn text_of(product: &str, mut works: Vec<Work>, workspace: &Workspace) -> Result<String, Fault> {
    works.sort_by(|a, b| a.title.cmp(&b.title));
    // What two modules carry is one work.
    works.dedup_by(|a, b| a.title == b.title);
    for work in &mut works {
        if work.texts.is_empty() {
            work.texts.extend(standard_text(work));
        }
    }
    let without: Vec<&str> = works.iter().filter(|w| w.texts.is_empty()).map(|w| w.title.as_str()).collect();
    if !without.is_empty() {
        return Err(Fault::new(
            format!("There is no licence text for {}.", without.join(", ")),
            "Give its licence a standard text in crate/xtask/src/notices.rs.",
        ));
    }
    let mut out = format!(
        "Third-party notices of the Clerestory {product}\n\n\
         Clerestory itself is under MIT OR Apache-2.0. It contains the Rust standard library (MIT OR Apache-2.0) \
         and the works and data below.\n\n"
    );
    for (name, text) in data_notes(workspace)? {
        let _ = write!(out, "{}\nData: {name}\n\n{text}\n\n", rule('='));
    }
    let _ = write!(out, "{}\nWorks\n\n", rule('='));
    let mut holders: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for work in &works {
        let _ = writeln!(out, "{}: {}", work.title, work.licence);
        for text in &work.texts {
            holders.entry(text).or_default().push(&work.title);
        }
    }
    out.push('\n');
    // Many packages share identical texts: each text is printed once, under all their names.
    let mut texts: Vec<(&str, Vec<&str>)> = holders.into_iter().collect();
    texts.sort_by(|a, b| a.1.cmp(&b.1));
    for (text, titles) in texts {
        let _ = write!(out, "{}\n{}\n\n{text}\n\n", rule('-'), titles.join(", "));
    }
    Ok(out)
}

fn rule(mark: char) -> String {
    std::iter::repeat_n(mark, 80).collect()
}

/// The notes beside the data that crates compile in: `crate/*/data/README.md` and licence files there.
fn data_notes(workspace: &Workspace) -> Result<Vec<(String, String)>, Fault> {
    let mut notes = Vec::new();
    for package in with_data(workspace) {
        let folder = package.folder.join("data");
        let mut texts = licence_texts(&folder)?;
        if let Ok(readme) = fs::read_to_string(folder.join("README.md")) {
            texts.insert(0, readme.trim().to_owned());
        }
        notes.push((package.name.clone(), texts.join("\n\n")));
    }
    Ok(notes)
}

/// A line for each crate whose data folder does not state source and licence.
pub(crate) fn data_without_note(workspace: &Workspace) -> Vec<String> {
    with_data(workspace)
        .filter(|package| !package.folder.join("data/README.md").is_file())
        .map(|package| {
            format!("crate/{}/data has no README.md with source, attribution and licence", package.name)
        })
        .collect()
}

fn with_data(workspace: &Workspace) -> impl Iterator<Item = &Package> {
    workspace.members.iter().map(|id| &workspace.packages[id]).filter(|p| p.folder.join("data").is_dir())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_work_without_a_text_gets_the_standard_one() {
        let work = |licence: &str, authors: &[&str]| Work {
            title: "some-work 1.2.0".to_owned(),
            licence: licence.to_owned(),
            texts: Vec::new(),
            authors: authors.iter().map(|a| (*a).to_owned()).collect(),
        };
        let mit = standard_text(&work("Apache-2.0 OR MIT", &[])).expect("MIT will do");
        assert!(mit.starts_with(
            "MIT License\n\nCopyright (c) the authors of some-work\n\nPermission is hereby granted"
        ));
        assert!(mit.contains("WITHOUT WARRANTY OF ANY KIND") && !mit.contains("Clerestory"));
        let named = standard_text(&work("MIT", &["A <a@b.c>", "D"])).expect("MIT");
        assert!(named.contains("Copyright (c) A <a@b.c>, D\n"));
        let apache = standard_text(&work("Apache-2.0", &[])).expect("Apache");
        assert!(apache.contains("Version 2.0, January 2004") && apache.contains("TERMS AND CONDITIONS"));
        assert!(standard_text(&work("MIT AND Zlib", &[])).is_none());
    }

    #[test]
    fn knows_a_notice_by_its_name() {
        for name in ["LICENSE-MIT", "license.md", "COPYING", "NOTICE.txt", "UNLICENSE"] {
            assert!(is_notice(name), "{name}");
        }
        for name in ["README.md", "src", "lic.txt"] {
            assert!(!is_notice(name), "{name}");
        }
    }
}
