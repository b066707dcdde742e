//! Checks that dependencies between the crates point one way.
//!
//! Out of scope: licences, versions and duplicates (`licences`).

use std::fs;
use std::path::Path;

use crate::fault::Fault;
use crate::workspace::{Kind, Workspace};

/// Each crate, what it may use directly, and whether it must stay free of pictures, browser and I/O. A crate may also
/// use its permitted crates' permitted crates.
const CRATES: &[(&str, &[&str], Nature)] = &[
    ("sorting", &[], Nature::Physics),
    ("spectra", &["sorting"], Nature::Physics),
    ("plane", &["sorting"], Nature::Physics),
    ("surroundings", &["plane"], Nature::Physics),
    ("daylight", &["spectra", "plane", "surroundings"], Nature::Physics),
    ("glass", &["spectra"], Nature::Physics),
    ("uncertainty", &["spectra", "glass"], Nature::Physics),
    ("centre_lines", &["plane"], Nature::Physics),
    ("panel", &["plane"], Nature::Physics),
    ("drawing_io", &["panel", "plane", "centre_lines"], Nature::Physics),
    ("openings", &["plane", "panel"], Nature::Physics),
    ("reveal", &["plane", "daylight"], Nature::Physics),
    ("scene", &["spectra", "daylight", "glass", "panel", "reveal"], Nature::Physics),
    ("viewing", &["scene", "plane", "uncertainty"], Nature::Physics),
    ("matching", &["glass", "daylight"], Nature::Physics),
    ("render", &["scene", "daylight"], Nature::Edge),
    ("archive", &["scene"], Nature::Edge),
    ("new_window", &["scene", "drawing_io", "openings"], Nature::Edge),
    // The contract for the page is generated in the tests of `web`, the types of `new_window` included; its examples are
    // the page's modules.
    ("web", &["viewing", "matching", "render", "new_window", "archive"], Nature::Edge),
    (
        "cli",
        &[
            "viewing",
            "uncertainty",
            "matching",
            "render",
            "archive",
            "drawing_io",
            "openings",
            "reveal",
            "surroundings",
        ],
        Nature::Edge,
    ),
    ("xtask", &[], Nature::Edge),
];

#[derive(Clone, Copy, PartialEq, Eq)]
enum Nature {
    /// Takes clock, files and randomness as arguments.
    Physics,
    /// Touches the world: a GPU, a browser, the file system.
    Edge,
}

/// Packages that physics may not use, not even indirectly: a name or, with `*`, the beginning of one.
const NOT_IN_PHYSICS: &[&str] = &[
    "wgpu*",
    "naga",
    "web-sys",
    "js-sys",
    "wasm-bindgen*",
    "gloo*",
    "winit",
    "tokio*",
    "async-std",
    "mio",
    "hyper*",
    "reqwest",
    "ureq",
    "socket2",
    "getrandom",
    "rand",
    "tempfile",
    "memmap2",
    "walkdir",
    "notify",
];

/// Names in the standard library that mean I/O, a clock or the environment.
const NOT_IN_PHYSICS_SOURCE: &[&str] =
    &["std::fs", "std::net", "std::process", "std::env", "SystemTime::now", "Instant::now", "std::io::stdin"];

/// All violations: upward dependencies, crates missing from the list, forbidden packages and names.
pub(crate) fn faults(workspace: &Workspace) -> Result<Vec<String>, Fault> {
    let mut faults = upward(workspace);
    faults.extend(forbidden_packages(workspace));
    for id in &workspace.members {
        let package = &workspace.packages[id];
        if nature(&package.name) == Some(Nature::Physics) {
            forbidden_words(&package.folder.join("src"), &workspace.root, &mut faults)?;
        }
    }
    Ok(faults)
}

fn nature(name: &str) -> Option<Nature> {
    CRATES.iter().find(|(n, ..)| *n == name).map(|(_, _, nature)| *nature)
}

/// Whether `from` may use `to`, directly or through a crate it may use.
fn may_use(from: &str, to: &str) -> bool {
    CRATES
        .iter()
        .find(|(name, ..)| *name == from)
        .is_some_and(|(_, below, _)| below.contains(&to) || below.iter().any(|name| may_use(name, to)))
}

fn upward(workspace: &Workspace) -> Vec<String> {
    let mut faults = Vec::new();
    for id in &workspace.members {
        let from = &workspace.packages[id].name;
        if nature(from).is_none() {
            faults.push(format!("{from} is not listed: add it to CRATES in crate/xtask/src/arrows.rs"));
            continue;
        }
        for (to, kind) in workspace.uses.get(id).into_iter().flatten() {
            if !workspace.members.contains(to) {
                continue;
            }
            let to = &workspace.packages[to].name;
            if !may_use(from, to) {
                let through = match kind {
                    Kind::Normal => "[dependencies]",
                    Kind::Build => "[build-dependencies]",
                    Kind::Dev => "[dev-dependencies]",
                };
                faults.push(format!("{from} uses {to}, which does not lie below it ({through})"));
            }
        }
    }
    faults
}

fn forbidden_packages(workspace: &Workspace) -> Vec<String> {
    let mut faults = Vec::new();
    for id in &workspace.members {
        let name = &workspace.packages[id].name;
        if nature(name) != Some(Nature::Physics) {
            continue;
        }
        let tree = workspace.runs_with(id);
        for found in tree.keys() {
            if is_forbidden(&workspace.packages[found].name) {
                let mut way = Vec::new();
                let mut at = Some(found);
                while let Some(step) = at {
                    way.push(workspace.packages[step].name.as_str());
                    at = tree.get(step).and_then(Option::as_ref);
                }
                way.reverse();
                faults.push(format!("{name} is physics and may not use {}", way.join(" → ")));
            }
        }
    }
    faults
}

fn is_forbidden(name: &str) -> bool {
    NOT_IN_PHYSICS.iter().any(|rule| match rule.strip_suffix('*') {
        Some(beginning) => name.starts_with(beginning),
        None => name == *rule,
    })
}

/// Searches the sources in `folder`. Code after `#[cfg(test)]` in a file, and files named for tests, may read files.
fn forbidden_words(folder: &Path, root: &Path, faults: &mut Vec<String>) -> Result<(), Fault> {
    let mut entries: Vec<_> = fs::read_dir(folder)
        .and_then(|entries| entries.collect::<Result<Vec<_>, _>>())
        .map_err(|error| Fault::file(folder, &error))?;
    entries.sort_by_key(fs::DirEntry::path);
    for path in entries.iter().map(fs::DirEntry::path) {
        if path.file_stem().is_some_and(|stem| stem == "tests") {
            continue;
        }
        if path.is_dir() {
            forbidden_words(&path, root, faults)?;
        } else if path.extension().is_some_and(|e| e == "rs") {
            let text = fs::read_to_string(&path).map_err(|error| Fault::file(&path, &error))?;
            for (line, word) in words_in(&text) {
                let place = path.strip_prefix(root).unwrap_or(&path).display();
                faults.push(format!("{place}:{line} uses {word}; physics takes it as an argument"));
            }
        }
    }
    Ok(())
}

fn words_in(source: &str) -> Vec<(usize, &'static str)> {
    source
        .lines()
        .enumerate()
        .take_while(|(_, line)| line.trim() != "#[cfg(test)]")
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .flat_map(|(number, line)| {
            NOT_IN_PHYSICS_SOURCE.iter().filter(|word| line.contains(**word)).map(move |w| (number + 1, *w))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    /// A workspace of members and foreign packages with edges `(from, to, kind)`.
    fn workspace(members: &[&str], foreign: &[&str], edges: &[(&str, &str, Option<&str>)]) -> Workspace {
        let package = |name: &&str| json!({"id": name, "name": name, "version": "1.0.0", "manifest_path": format!("/x/{name}/Cargo.toml")});
        let all: Vec<Value> = members.iter().chain(foreign).map(package).collect();
        let nodes: Vec<Value> = members
            .iter()
            .chain(foreign)
            .map(|name| {
                let deps: Vec<Value> = edges
                    .iter()
                    .filter(|(from, ..)| from == name)
                    .map(|(_, to, kind)| json!({"pkg": to, "dep_kinds": [{"kind": kind}]}))
                    .collect();
                json!({"id": name, "deps": deps})
            })
            .collect();
        let value = json!({
            "packages": all, "resolve": {"nodes": nodes}, "workspace_members": members,
            "workspace_root": "/x", "target_directory": "/x/target",
        });
        Workspace::from_metadata(&value).expect("metadata of the right form")
    }

    #[test]
    fn downward_arrows_pass() {
        let w = workspace(
            &["spectra", "glass", "scene", "viewing", "web"],
            &[],
            &[
                ("glass", "spectra", None),
                ("scene", "glass", None),
                ("viewing", "spectra", None),
                ("web", "viewing", None),
                ("web", "spectra", None),
            ],
        );
        assert_eq!(upward(&w), Vec::<String>::new());
    }

    #[test]
    fn an_upward_arrow_names_both() {
        let w = workspace(&["spectra", "glass"], &[], &[("spectra", "glass", None)]);
        assert_eq!(upward(&w), ["spectra uses glass, which does not lie below it ([dependencies])"]);
    }

    #[test]
    fn a_sideways_arrow_and_one_for_tests_fail_too() {
        let w = workspace(
            &["glass", "daylight", "render", "viewing"],
            &[],
            &[("glass", "daylight", Some("dev")), ("render", "viewing", None)],
        );
        let faults = upward(&w);
        assert_eq!(faults.len(), 2, "{faults:?}");
        assert!(faults[0].starts_with("glass uses daylight") && faults[0].contains("[dev-dependencies]"));
        assert!(faults[1].starts_with("render uses viewing"));
    }

    #[test]
    fn a_crate_without_a_place_fails() {
        let w = workspace(&["attic"], &[], &[]);
        assert!(upward(&w)[0].starts_with("attic is not listed"));
    }

    #[test]
    fn physics_may_not_reach_the_gpu_even_through_another() {
        let w = workspace(
            &["glass", "render"],
            &["helper", "wgpu-core"],
            &[("glass", "helper", None), ("helper", "wgpu-core", None), ("render", "wgpu-core", None)],
        );
        assert_eq!(forbidden_packages(&w), ["glass is physics and may not use glass → helper → wgpu-core"]);
    }

    #[test]
    fn what_only_tests_use_may_touch_the_world() {
        let w = workspace(&["glass"], &["tempfile"], &[("glass", "tempfile", Some("dev"))]);
        assert_eq!(forbidden_packages(&w), Vec::<String>::new());
    }

    #[test]
    fn words_count_in_code_only() {
        let source = "//! never std::fs\nuse std::fs;\nfn f() { SystemTime::now() }\n#[cfg(test)]\nmod t { use std::env; }\n";
        assert_eq!(words_in(source), [(2, "std::fs"), (3, "SystemTime::now")]);
    }

    #[test]
    fn the_table_has_no_cycle() {
        for (name, ..) in CRATES {
            assert!(!may_use(name, name), "{name} lies below itself");
        }
    }
}
