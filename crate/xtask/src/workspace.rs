//! The workspace as cargo sees it: folders, packages and their dependencies.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::fault::Fault;
use crate::process::{answer, cargo};

/// How a package depends on another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Normal,
    Build,
    Dev,
}

/// One package of the resolved graph.
#[derive(Clone, Debug)]
pub(crate) struct Package {
    pub(crate) name: String,
    pub(crate) version: String,
    pub(crate) licence: Option<String>,
    /// The authors in its manifest; often none.
    pub(crate) authors: Vec<String>,
    /// `None` for a member of the workspace or another local path.
    pub(crate) source: Option<String>,
    pub(crate) folder: PathBuf,
    /// The root files of its library and programs.
    pub(crate) sources: Vec<PathBuf>,
    /// Names of its bench targets.
    pub(crate) benches: Vec<String>,
    /// Whether it runs in the compiler and is not part of the compiled program.
    pub(crate) is_macro: bool,
    /// Names of its programs.
    pub(crate) programs: Vec<String>,
}

/// The workspace: `packages` by cargo's own id, `uses` as edges between ids.
#[derive(Debug)]
pub(crate) struct Workspace {
    pub(crate) root: PathBuf,
    pub(crate) target: PathBuf,
    pub(crate) members: Vec<String>,
    pub(crate) packages: BTreeMap<String, Package>,
    pub(crate) uses: BTreeMap<String, Vec<(String, Kind)>>,
}

impl Workspace {
    /// Asks cargo. `platform`: only what is compiled for that target triple; `None`: every platform.
    pub(crate) fn read(platform: Option<&str>) -> Result<Self, Fault> {
        let mut command = cargo();
        command.args(["metadata", "--format-version", "1"]).current_dir(root());
        if let Some(platform) = platform {
            command.args(["--filter-platform", platform]);
        }
        let output = command.output().map_err(|error| crate::process::cannot_start(&command, &error))?;
        if !output.status.success() {
            return Err(Fault::new(
                format!("cargo metadata failed:\n{}", String::from_utf8_lossy(&output.stderr).trim_end()),
                "Correct the named manifest.",
            ));
        }
        let value: Value = serde_json::from_slice(&output.stdout).map_err(|error| {
            Fault::new(format!("cargo metadata: {error}."), "Check the version of cargo.")
        })?;
        Self::from_metadata(&value)
            .ok_or_else(|| Fault::new("cargo metadata has an unknown format.", "Check the version of cargo."))
    }

    /// Extracts what is needed from `cargo metadata --format-version 1`.
    pub(crate) fn from_metadata(value: &Value) -> Option<Self> {
        let text = |v: &Value, key: &str| v.get(key).and_then(Value::as_str).map(str::to_owned);
        let list = |v: &Value, key: &str| v.get(key).and_then(Value::as_array).cloned().unwrap_or_default();
        let mut packages = BTreeMap::new();
        for package in list(value, "packages") {
            let manifest = PathBuf::from(text(&package, "manifest_path")?);
            let of_kind = |kind: &str| {
                list(&package, "targets")
                    .iter()
                    .filter(|t| list(t, "kind").iter().any(|k| k == kind))
                    .filter_map(|t| text(t, "name"))
                    .collect::<Vec<_>>()
            };
            let files = |kinds: &[&str]| {
                list(&package, "targets")
                    .iter()
                    .filter(|t| list(t, "kind").iter().any(|k| kinds.iter().any(|kind| k == kind)))
                    .filter_map(|t| text(t, "src_path").map(PathBuf::from))
                    .collect::<Vec<_>>()
            };
            packages.insert(
                text(&package, "id")?,
                Package {
                    name: text(&package, "name")?,
                    version: text(&package, "version")?,
                    licence: text(&package, "license"),
                    authors: list(&package, "authors")
                        .iter()
                        .filter_map(|author| author.as_str().map(str::to_owned))
                        .collect(),
                    source: text(&package, "source"),
                    folder: manifest.parent()?.to_owned(),
                    sources: files(&["lib", "rlib", "cdylib", "proc-macro", "bin"]),
                    benches: of_kind("bench"),
                    programs: of_kind("bin"),
                    is_macro: !of_kind("proc-macro").is_empty(),
                },
            );
        }
        let mut uses = BTreeMap::new();
        for node in list(value.get("resolve")?, "nodes") {
            let mut edges = Vec::new();
            for dep in list(&node, "deps") {
                let to = text(&dep, "pkg")?;
                let kinds: BTreeSet<Kind> = list(&dep, "dep_kinds")
                    .iter()
                    .map(|k| match k.get("kind").and_then(Value::as_str) {
                        Some("dev") => Kind::Dev,
                        Some("build") => Kind::Build,
                        _ => Kind::Normal,
                    })
                    .collect();
                edges.extend(kinds.into_iter().map(|kind| (to.clone(), kind)));
            }
            uses.insert(text(&node, "id")?, edges);
        }
        let members =
            list(value, "workspace_members").iter().filter_map(|id| id.as_str().map(str::to_owned)).collect();
        Some(Self {
            root: text(value, "workspace_root")?.into(),
            target: text(value, "target_directory")?.into(),
            members,
            packages,
            uses,
        })
    }

    pub(crate) fn www(&self) -> PathBuf {
        self.root.join("www")
    }

    /// The workspace's member of that name.
    pub(crate) fn member(&self, name: &str) -> Option<(&str, &Package)> {
        let id = self.members.iter().find(|id| self.packages.get(*id).is_some_and(|p| p.name == name))?;
        Some((id, &self.packages[id]))
    }

    /// What a package needs at run time, directly or indirectly (without build and test dependencies and macros),
    /// including itself. Each id comes with the package that first required it.
    pub(crate) fn runs_with(&self, id: &str) -> BTreeMap<String, Option<String>> {
        let mut found = BTreeMap::from([(id.to_owned(), None)]);
        let mut waiting = vec![id.to_owned()];
        while let Some(from) = waiting.pop() {
            for (to, kind) in self.uses.get(&from).into_iter().flatten() {
                let is_macro = self.packages.get(to).is_some_and(|package| package.is_macro);
                if *kind == Kind::Normal && !is_macro && !found.contains_key(to) {
                    found.insert(to.clone(), Some(from.clone()));
                    waiting.push(to.clone());
                }
            }
        }
        found
    }
}

/// The target triple of this machine.
pub(crate) fn host() -> Result<String, Fault> {
    answer("rustc", &["--print", "host-tuple"]).ok_or_else(|| {
        Fault::new("rustc does not name its host.", "Check that rustc 1.95 or newer is installed.")
    })
}

/// The repository's root: two folders above this crate's manifest.
pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).ancestors().nth(2).unwrap_or(Path::new("."))
}

/// The version of a package in Cargo.lock.
pub(crate) fn locked_version(name: &str) -> Result<Option<String>, Fault> {
    let path = root().join("Cargo.lock");
    let text = std::fs::read_to_string(&path).map_err(|error| Fault::file(&path, &error))?;
    Ok(version_in(&text, name))
}

fn version_in(lock: &str, name: &str) -> Option<String> {
    let mut lines = lock.lines();
    lines.find(|line| *line == format!("name = \"{name}\""))?;
    Some(lines.next()?.strip_prefix("version = \"")?.trim_end_matches('"').to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_locked_version() {
        let lock = "[[package]]\nname = \"wasm-bindgen-shared\"\nversion = \"1\"\n\n[[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\nsource = \"x\"\n";
        assert_eq!(version_in(lock, "wasm-bindgen").as_deref(), Some("0.2.130"));
        assert_eq!(version_in(lock, "wasm"), None);
    }
}
