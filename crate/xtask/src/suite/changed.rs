//! `cargo xtask test --changed`: tests what is affected by the files touched since the main branch.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use super::scope::Scope;
use crate::fault::Fault;
use crate::workspace::Workspace;

/// Files at the root that affect how everything is built.
const CONCERN_ALL: &[&str] = &["Cargo.toml", "Cargo.lock", "rust-toolchain.toml", ".cargo", ".ci"];
/// Files at the root that affect no build.
const CONCERN_NOTHING: &[&str] = &["README.md", "DEVELOPERS.md", ".gitignore", "rustfmt.toml"];

/// The crates touched by commits since the main branch (or, on it, by the last commit) or by uncommitted changes, and
/// the crates that depend on them.
pub(super) fn scope(workspace: &Workspace) -> Result<Scope, Fault> {
    let root = &workspace.root;
    let (since, name) = since(root)?;
    let mut files: BTreeSet<String> =
        git(root, &["diff", "--name-only", "--no-renames", &since])?.lines().map(str::to_owned).collect();
    files.extend(git(root, &["ls-files", "--others", "--exclude-standard"])?.lines().map(str::to_owned));
    let sources = sources(workspace)?;
    Ok(concerned(workspace, &sources, &files, &name))
}

/// The commit since which files count as touched, and a description of it.
fn since(root: &Path) -> Result<(String, String), Fault> {
    let head = git(root, &["rev-parse", "HEAD"])?;
    for main in ["main", "origin/main"] {
        if let Ok(base) = git(root, &["merge-base", "HEAD", main])
            && base != head
        {
            return Ok((base, format!("since {main}")));
        }
    }
    match git(root, &["rev-parse", "HEAD~1"]) {
        Ok(parent) => Ok((parent, "by the last commit and since".to_owned())),
        Err(_) => Ok((head, "since the only commit".to_owned())),
    }
}

fn git(root: &Path, arguments: &[&str]) -> Result<String, Fault> {
    let output = Command::new("git").args(arguments).current_dir(root).output();
    match output {
        Ok(output) if output.status.success() => {
            Ok(String::from_utf8_lossy(&output.stdout).trim_end().to_owned())
        }
        Ok(output) => Err(Fault::new(
            format!("git {}: {}", arguments.join(" "), String::from_utf8_lossy(&output.stderr).trim_end()),
            "Run `cargo xtask test` without --changed.",
        )),
        Err(error) => Err(Fault::new(format!("git could not be started: {error}."), "Install git.")),
    }
}

/// Each crate's name and the text of all its Rust files.
fn sources(workspace: &Workspace) -> Result<Vec<(String, String)>, Fault> {
    fn read(folder: &Path, text: &mut String) -> std::io::Result<()> {
        for entry in fs::read_dir(folder)? {
            let path = entry?.path();
            if path.is_dir() {
                read(&path, text)?;
            } else if path.extension().is_some_and(|e| e == "rs") {
                *text += &fs::read_to_string(&path)?;
            }
        }
        Ok(())
    }
    let mut sources = Vec::new();
    for package in workspace.members.iter().map(|id| &workspace.packages[id]) {
        let mut text = String::new();
        read(&package.folder, &mut text).map_err(|error| Fault::file(&package.folder, &error))?;
        sources.push((package.name.clone(), text));
    }
    Ok(sources)
}

/// What these files affect. A file outside the crates affects each crate whose sources name its folder, or the file
/// itself if it is at the root.
fn concerned(w: &Workspace, sources: &[(String, String)], files: &BTreeSet<String>, since: &str) -> Scope {
    let mut scope = Scope::default();
    for file in files {
        let (top, rest) = file.split_once('/').unwrap_or((file, ""));
        if CONCERN_ALL.contains(&top) {
            scope = Scope::everything(w);
            break;
        }
        let owner = w.members.iter().map(|id| &w.packages[id]).find(|package| {
            let folder = package.folder.strip_prefix(&w.root).unwrap_or(&package.folder);
            Path::new(file).starts_with(folder)
        });
        if let Some(package) = owner {
            scope.crates.insert(package.name.clone());
        } else if top == "www" {
            scope.page = true;
            scope.packages |= rest == "package-lock.json";
        } else if !CONCERN_NOTHING.contains(&top) {
            let named = sources.iter().filter(|(_, text)| text.contains(top)).map(|(name, _)| name.clone());
            scope.crates.extend(named);
        }
    }
    with_dependents(w, &mut scope.crates);
    scope.page |= scope.has_module();
    scope.because = format!("Touched {since}: {} files.", files.len());
    scope
}

/// Adds the crates that depend on the named ones, directly or indirectly, including for their tests.
fn with_dependents(w: &Workspace, crates: &mut BTreeSet<String>) {
    loop {
        let before = crates.len();
        for id in &w.members {
            let uses = w.uses.get(id).into_iter().flatten();
            if uses.map(|(to, _)| &w.packages[to]).any(|to| to.source.is_none() && crates.contains(&to.name))
            {
                crates.insert(w.packages[id].name.clone());
            }
        }
        if crates.len() == before {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    /// glass ← scene ← web and archive, and xtask alone.
    fn workspace() -> Workspace {
        let names = ["archive", "glass", "scene", "web", "xtask"];
        let packages = names.map(|name| {
            json!({"id": name, "name": name, "version": "1.0.0", "manifest_path": format!("/r/crate/{name}/Cargo.toml")})
        });
        let uses = |name: &str, to: &[&str], kind: Option<&str>| {
            let deps: Vec<_> =
                to.iter().map(|to| json!({"pkg": to, "dep_kinds": [{"kind": kind}]})).collect();
            json!({"id": name, "deps": deps})
        };
        let nodes = [
            uses("scene", &["glass"], None),
            uses("web", &["scene"], Some("dev")),
            uses("archive", &["scene"], None),
            uses("xtask", &[], None),
        ];
        Workspace::from_metadata(&json!({
            "packages": packages, "resolve": {"nodes": nodes}, "workspace_members": names,
            "workspace_root": "/r", "target_directory": "/r/target",
        }))
        .expect("metadata of the right form")
    }

    fn check(files: &[&str], crates: &[&str], page: bool, packages: bool) {
        let sources = [("scene", "\"../../../demo-scenes/rose.json\""), ("xtask", "\"deny.toml\"")]
            .map(|(name, text)| (name.to_owned(), text.to_owned()));
        let files = files.iter().map(|file| (*file).to_owned()).collect();
        let scope = concerned(&workspace(), &sources, &files, "since main");
        let found: Vec<&str> = scope.crates.iter().map(String::as_str).collect();
        assert_eq!((found.as_slice(), scope.page, scope.packages), (crates, page, packages), "{files:?}");
    }

    #[test]
    fn a_crate_concerns_what_depends_on_it() {
        check(&["crate/glass/src/pane.rs"], &["archive", "glass", "scene", "web"], true, false);
        check(&["crate/scene/README.md"], &["archive", "scene", "web"], true, false);
        check(&["crate/xtask/src/main.rs"], &["xtask"], false, false);
    }

    #[test]
    fn the_page_is_built_from_every_module() {
        check(&["crate/web/src/lib.rs"], &["web"], true, false);
        check(&["crate/archive/src/unpack.rs"], &["archive"], true, false);
    }

    #[test]
    fn the_page_concerns_no_crate() {
        check(&["www/src/App.svelte"], &[], true, false);
        check(&["www/package-lock.json"], &[], true, true);
    }

    #[test]
    fn a_file_elsewhere_concerns_whoever_names_its_folder() {
        check(&["demo-scenes/rose.json"], &["archive", "scene", "web"], true, false);
        check(&["deny.toml"], &["xtask"], false, false);
        check(&["README.md", "LICENSE-MIT"], &[], false, false);
    }

    #[test]
    fn the_build_concerns_everything() {
        let all = ["archive", "glass", "scene", "web", "xtask"];
        check(&["Cargo.lock"], &all, true, true);
        check(&["www/src/App.svelte", ".cargo/config.toml"], &all, true, true);
    }
}
