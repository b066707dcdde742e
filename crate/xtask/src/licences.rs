//! Licences, sources and duplicates of the dependencies, by the rules in `deny.toml`; advisories if their databases can
//! be reached.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;
use std::time::Duration;

use serde_json::Value;

use crate::done::Done;
use crate::fault::Fault;
use crate::modules;
use crate::notices;
use crate::process::Log;
use crate::setup::{self, WASM};
use crate::spdx::is_met;
use crate::workspace::{Workspace, host};

/// Licences also allowed for npm packages that only build or test the page and are not shipped.
const ALLOWED_FOR_TOOLS: &[&str] = &["BlueOak-1.0.0", "CC-BY-4.0", "MPL-2.0", "Python-2.0"];

const CRATES_IO: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// The rules of `deny.toml`.
struct Rules {
    allowed: Vec<String>,
    duplicates: BTreeSet<String>,
}

impl Rules {
    fn read(text: &str) -> Result<Self, Fault> {
        let value: Value = basic_toml::from_str(text)
            .map_err(|error| Fault::new(format!("deny.toml: {error}."), "Correct that line."))?;
        let list =
            |pointer: &str| value.pointer(pointer).and_then(Value::as_array).cloned().unwrap_or_default();
        let allowed: Vec<String> =
            list("/licenses/allow").iter().filter_map(|v| v.as_str().map(str::to_owned)).collect();
        if allowed.is_empty() {
            return Err(Fault::new("deny.toml: licenses.allow is empty.", "List the licences allowed."));
        }
        let duplicates = list("/bans/skip")
            .iter()
            .filter_map(|v| {
                v.as_str().or_else(|| v.get("crate")?.as_str()).or_else(|| v.get("name")?.as_str())
            })
            .map(|name| name.split('@').next().unwrap_or(name).to_owned())
            .collect();
        Ok(Self { allowed, duplicates })
    }
}

/// Checks crates and npm packages.
pub(crate) fn check(workspace: &Workspace) -> Result<Done, Fault> {
    let path = workspace.root.join("deny.toml");
    let rules = Rules::read(&std::fs::read_to_string(&path).map_err(|error| Fault::file(&path, &error))?)?;
    let mut faults = crate_faults(workspace, &rules);
    faults.extend(duplicates(&rules)?);
    let lock = workspace.www().join("package-lock.json");
    let text = std::fs::read_to_string(&lock).map_err(|error| Fault::file(&lock, &error))?;
    let lock: Value = serde_json::from_str(&text).map_err(|error| {
        Fault::new(format!("www/package-lock.json: {error}."), "Recreate it: npm install")
    })?;
    let (npm, npm_faults) = npm_faults(&lock, &rules.allowed);
    faults.extend(npm_faults);
    faults.extend(notices::data_without_note(workspace));
    if faults.is_empty() {
        return Ok(Done::checked(format!("{} crates, {npm} npm packages", workspace.packages.len())));
    }
    Err(Fault::new(
        faults.join("\n"),
        "Choose another package, or, where the licence or the second version is right to have, add it to \
         deny.toml with the reason. Data needs a README.md beside it.",
    ))
}

fn crate_faults(workspace: &Workspace, rules: &Rules) -> Vec<String> {
    let mut faults = Vec::new();
    for package in workspace.packages.values() {
        let name = format!("{} {}", package.name, package.version);
        match &package.licence {
            None => faults.push(format!("{name} states no licence")),
            Some(licence) => faults.extend(judge(&name, licence, &rules.allowed)),
        }
        if package.source.as_deref().is_some_and(|source| source != CRATES_IO) {
            faults.push(format!(
                "{name} comes from {}, not from crates.io",
                package.source.as_deref().unwrap_or("")
            ));
        }
    }
    faults
}

fn judge(name: &str, licence: &str, allowed: &[String]) -> Option<String> {
    match is_met(licence, allowed) {
        Some(true) => None,
        Some(false) => Some(format!("{name} is under {licence}, which is not allowed")),
        None => {
            Some(format!("{name} states its licence as \"{licence}\", which is not a licence expression"))
        }
    }
}

/// Crates that the page or the command line would contain in two versions.
fn duplicates(rules: &Rules) -> Result<Vec<String>, Fault> {
    let mut faults = Vec::new();
    let modules = modules::crates().map(|name| (name, WASM.to_owned()));
    for (product, platform) in modules.chain([("cli", host()?)]) {
        let workspace = Workspace::read(Some(&platform))?;
        let mut versions: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        let tree = workspace.member(product).map(|(id, _)| workspace.runs_with(id)).unwrap_or_default();
        for package in tree.keys().map(|id| &workspace.packages[id]) {
            versions.entry(&package.name).or_default().insert(&package.version);
        }
        versions.retain(|name, versions| versions.len() > 1 && !rules.duplicates.contains(*name));
        faults.extend(versions.iter().map(|(name, versions)| {
            let versions: Vec<&str> = versions.iter().copied().collect();
            format!("{product} contains {name} in several versions: {}", versions.join(", "))
        }));
    }
    Ok(faults)
}

/// The number of packages in an npm lock file (version 3) and their faults.
fn npm_faults(lock: &Value, allowed: &[String]) -> (usize, Vec<String>) {
    let mut faults = Vec::new();
    let mut number = 0;
    let for_tools: Vec<String> =
        allowed.iter().cloned().chain(ALLOWED_FOR_TOOLS.iter().map(|l| (*l).to_owned())).collect();
    for (path, package) in lock.get("packages").and_then(Value::as_object).into_iter().flatten() {
        if path.is_empty() {
            continue;
        }
        number += 1;
        let name = path.rsplit("node_modules/").next().unwrap_or(path);
        let tool = package.get("dev").and_then(Value::as_bool).unwrap_or(false);
        match package.get("license").and_then(Value::as_str) {
            None => faults.push(format!("npm: {name} states no licence")),
            Some(licence) => {
                let list = if tool { &for_tools } else { allowed };
                faults.extend(judge(&format!("npm: {name}"), licence, list));
            }
        }
    }
    if number == 0 {
        faults.push("www/package-lock.json lists no packages".to_owned());
    }
    (number, faults)
}

const ADVISORIES: &str = "https://github.com/rustsec/advisory-db";

/// Known vulnerabilities of the crates, if cargo-deny is installed and the advisory database can be reached. Compiling
/// cargo-deny for this would take longer than all the tests.
pub(crate) fn crate_advisories(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let Some(deny) = setup::installed_tool("cargo-deny") else {
        return Ok(Done::skipped("cargo-deny is not installed (cargo install cargo-deny --locked): skipped"));
    };
    let mut probe = Command::new("git");
    probe.args(["ls-remote", ADVISORIES, "HEAD"]).env("GIT_TERMINAL_PROMPT", "0");
    if !log.run_within(&mut probe, Duration::from_secs(20)).unwrap_or(false) {
        return Ok(Done::skipped(format!("{ADVISORIES} is not reachable: skipped")));
    }
    let mut command = Command::new(deny);
    command.args(["check", "advisories"]).current_dir(&workspace.root);
    log.must_run(&mut command, "Update the crate named (cargo update -p NAME), or replace it.")?;
    Ok(Done::checked("none apply"))
}

/// Known vulnerabilities of the npm packages, if the registry serves advisories. One in a shipped package is a fault.
/// One in a tool that only builds or tests the page is only reported: its fix often needs a newer tool than the others
/// work with.
pub(crate) fn npm_advisories(workspace: &Workspace) -> Result<Done, Fault> {
    let audit = |of: &[&str]| -> Result<Option<Vec<String>>, Fault> {
        let mut command = setup::npm();
        command.args(["audit", "--json", "--fetch-retries=0", "--fetch-timeout=20000"]).args(of);
        command.current_dir(workspace.www());
        let output = command.output().map_err(|error| crate::process::cannot_start(&command, &error))?;
        Ok(vulnerable(&String::from_utf8_lossy(&output.stdout)))
    };
    let shipped = audit(&["--omit=dev"])?;
    let all = if shipped.is_some() { audit(&[])? } else { None };
    judge_audits(shipped, all)
}

/// The packages that an audit names; nothing if it could not be made.
fn vulnerable(report: &str) -> Option<Vec<String>> {
    let report: Value = serde_json::from_str(report).ok()?;
    let total = report.pointer("/metadata/vulnerabilities/total").and_then(Value::as_u64)?;
    let named = report.get("vulnerabilities").and_then(Value::as_object);
    let names: Vec<String> = named.map(|list| list.keys().cloned().collect()).unwrap_or_default();
    // An audit that counts some but names none is not clean.
    if total > 0 && names.is_empty() { Some(vec![format!("{total} unnamed")]) } else { Some(names) }
}

fn judge_audits(shipped: Option<Vec<String>>, all: Option<Vec<String>>) -> Result<Done, Fault> {
    let Some(shipped) = shipped else {
        return Ok(Done::skipped("the registry's advisories are not reachable: skipped"));
    };
    if !shipped.is_empty() {
        return Err(Fault::new(
            format!("npm audit names these shipped packages: {}.", shipped.join(", ")),
            "Run `npm audit --omit=dev` in www for details; update or replace the package.",
        ));
    }
    let tools = all.unwrap_or_default();
    Ok(Done::checked(if tools.is_empty() {
        "none apply".to_owned()
    } else {
        format!("none apply to shipped packages; to tools that build or test the page: {}", tools.join(", "))
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn reads_the_committed_rules() {
        let rules = Rules::read(include_str!("../../../deny.toml")).expect("deny.toml is right");
        assert!(rules.allowed.contains(&"MIT".to_owned()));
        assert!(!rules.allowed.iter().any(|licence| licence.contains("GPL")));
    }

    #[test]
    fn rules_name_duplicates_in_each_way_they_are_written() {
        let text = "[licenses]\nallow = [\"MIT\"]\n[bans]\nskip = [\"a\", \"b@1.0\", { crate = \"c@2\", reason = \"x\" }]\n";
        let rules = Rules::read(text).expect("right");
        assert_eq!(rules.duplicates, ["a", "b", "c"].map(String::from).into());
    }

    #[test]
    fn npm_tools_may_have_more_than_what_is_shipped() {
        let lock = json!({"packages": {
            "": {},
            "node_modules/a": {"license": "MIT"},
            "node_modules/b": {"license": "MPL-2.0", "dev": true},
            "node_modules/c": {"license": "MPL-2.0"},
            "node_modules/a/node_modules/d": {"dev": true},
        }});
        let (number, faults) = npm_faults(&lock, &["MIT".to_owned()]);
        assert_eq!(number, 4);
        assert_eq!(faults, ["npm: d states no licence", "npm: c is under MPL-2.0, which is not allowed"],);
    }

    #[test]
    fn an_audit_of_what_is_shipped_decides() {
        let named = |report: &str| vulnerable(report);
        let clean = r#"{"metadata": {"vulnerabilities": {"total": 0}}, "vulnerabilities": {}}"#;
        let bad = r#"{"metadata": {"vulnerabilities": {"total": 1}}, "vulnerabilities": {"x": {}}}"#;
        let unnamed = r#"{"metadata": {"vulnerabilities": {"total": 2}}}"#;
        assert_eq!(named(clean), Some(Vec::new()));
        assert_eq!(named(bad), Some(vec!["x".to_owned()]));
        assert_eq!(named(unnamed), Some(vec!["2 unnamed".to_owned()]));
        assert_eq!(named(r#"{"error": {}}"#), None);
        assert_eq!(named(""), None);

        let fault = judge_audits(named(bad), named(bad));
        assert!(fault.is_err_and(|fault| fault.to_string().contains("shipped packages: x")));
        let noted = judge_audits(named(clean), named(bad)).expect("an advisory for a tool is not a fault");
        assert!(noted.counts.passed == 1 && noted.note.contains("build or test the page: x"));
        assert_eq!(judge_audits(named(clean), named(clean)).expect("clean").note, "none apply");
        assert_eq!(judge_audits(None, None).expect("not available").counts.skipped, 1);
    }
}
