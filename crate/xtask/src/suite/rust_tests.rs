//! Lints and tests of the crates, natively and as WebAssembly.

use std::process::Command;

use super::scope::Scope;
use crate::counts::{self, Counts};
use crate::done::Done;
use crate::fault::Fault;
use crate::modules::{self, PROFILE};
use crate::process::{Log, cargo};
use crate::schedule::Step;
use crate::setup::{self, WASM};
use crate::workspace::Workspace;

/// The crate that is also tested as WebAssembly.
const WEB: &str = "web";

/// The folder that cargo locks while it builds with the development profile.
const DEV_FOLDER: &str = "target/debug";

const LINT_REMEDY: &str = "Correct the warnings; `cargo clippy --fix` corrects some.";

/// Clippy and the tests of the crates in `scope`.
pub(super) fn native_steps<'a>(w: &'a Workspace, scope: &'a Scope) -> Vec<Step<'a>> {
    if scope.crates.is_empty() {
        return Vec::new();
    }
    let lint = Step::new("lint", "clippy over every target, no warnings allowed", |log: &Log| {
        let mut command = cargo();
        command.arg("clippy").args(scope.cargo_packages(w)).args(["--all-targets", "--keep-going"]);
        lint(log, &mut command, w)
    });
    let tests = Step::new("native tests", scope.in_words(w), |log: &Log| {
        let mut command = cargo();
        command.arg("test").args(scope.cargo_packages(w)).arg("--no-fail-fast").current_dir(&w.root);
        tested(log, &mut command, "Run a single crate: cargo test -p CRATE")
    });
    let needs: &[&str] =
        if scope.crates.iter().any(|name| name == "render") { &["set-up browser"] } else { &[] };
    vec![tests.needs(needs).holds(DEV_FOLDER), lint.holds(DEV_FOLDER)]
}

/// Clippy over browser-only code where the page has a module of a crate in `scope`, and the web crate's tests as
/// WebAssembly where it is among them.
pub(super) fn wasm_steps<'a>(w: &'a Workspace, scope: &Scope) -> Vec<Step<'a>> {
    let lint_wasm = Step::new("lint wasm", "clippy over browser-only code", |log: &Log| {
        let mut command = cargo();
        command.arg("clippy").args(modules::crates().flat_map(|name| ["-p", name]));
        lint(log, command.args(["--all-targets", "--target", WASM]), w)
    });
    let tests =
        Step::new("wasm tests", "tests of crate/web as the page's WebAssembly, in headless Chromium", {
            |log: &Log| wasm_tests(w, log)
        });
    // The page's module is built first: most of what the tests are made of is made for it.
    let mut steps = Vec::new();
    if scope.crates.contains(WEB) {
        steps.push(tests.needs(&["wasm", "set-up browser"]));
    }
    if scope.has_module() {
        // With the development profile: macros and build scripts are those of the native lints.
        steps.push(lint_wasm.needs(&["set-up wasm"]).holds(DEV_FOLDER));
    }
    steps
}

fn lint(log: &Log, command: &mut Command, workspace: &Workspace) -> Result<Done, Fault> {
    log.must_run(command.args(["--", "-D", "warnings"]).current_dir(&workspace.root), LINT_REMEDY)?;
    Ok(Done::checked(""))
}

/// Runs Rust tests and counts them. A program that fails without a failed test (it did not compile or was killed)
/// counts as one failed test.
fn tested(log: &Log, command: &mut Command, remedy: &str) -> Result<Done, Fault> {
    let good = log.run(command)?;
    let mut counts = counts::from_rust(&log.text());
    if !good && counts.failed == 0 {
        counts.failed = 1;
    }
    if counts == Counts::default() {
        return Err(Fault::new("No test ran.", remedy));
    }
    Ok(Done::counted(counts, remedy))
}

/// Builds the tests with the profile of the page, in which all that they use was compiled for the page itself, and runs
/// them.
fn wasm_tests(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let driver = setup::chromedriver().ok_or_else(|| {
        Fault::new("chromedriver is missing.", "Install it (on Debian: apt-get install chromium-driver).")
    })?;
    let mut command = cargo();
    command
        .args(["test", "--profile", PROFILE, "--target", WASM, "--test", "suite", "-p", WEB])
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", setup::wasm_tool("wasm-bindgen-test-runner")?)
        .env("WASM_BINDGEN_TEST_TIMEOUT", "300")
        // crate/web/webdriver.json has the browser's start options.
        .env("WASM_BINDGEN_TEST_ONLY_WEB", "1")
        .env("CHROMEDRIVER", driver)
        .current_dir(&workspace.root);
    tested(log, &mut command, "Read the log; the tests are in crate/web/tests.")
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn browser_only_code_of_every_module_is_linted() {
        let workspace = Workspace::from_metadata(&json!({
            "packages": [], "resolve": {"nodes": []}, "workspace_members": [], "workspace_root": "/r",
            "target_directory": "/r/target",
        }))
        .expect("metadata of the right form");
        let steps = |name: &str| {
            let scope = Scope { crates: [name.to_owned()].into(), ..Scope::default() };
            wasm_steps(&workspace, &scope).into_iter().map(|step| step.name).collect::<Vec<_>>()
        };
        assert_eq!(steps("web"), ["wasm tests", "lint wasm"]);
        assert_eq!(steps("archive"), ["lint wasm"]);
        assert_eq!(steps("glass"), [""; 0]);
    }
}
