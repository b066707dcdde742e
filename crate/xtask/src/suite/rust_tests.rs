//! Lints and tests of the crates, natively and as WebAssembly.

use std::process::Command;

use super::scope::Scope;
use crate::counts::{self, Counts};
use crate::done::Done;
use crate::fault::Fault;
use crate::modules::PROFILE;
use crate::process::{Log, cargo};
use crate::schedule::Step;
use crate::setup::{self, WASM};
use crate::workspace::Workspace;

/// The crate that is also tested as WebAssembly.
pub(super) const WEB: &str = "web";

/// Cargo locks the folder of its checked builds, native or WebAssembly.
const BUILD_FOLDER: &str = "target/debug";

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
    vec![tests.needs(needs).holds(BUILD_FOLDER), lint.holds(BUILD_FOLDER)]
}

/// Clippy over browser-only code, and the web crate's tests as WebAssembly.
pub(super) fn wasm_steps(w: &Workspace) -> Vec<Step<'_>> {
    let lint_wasm = Step::new("lint wasm", "clippy over browser-only code", |log: &Log| {
        lint(log, cargo().args(["clippy", "-p", WEB, "--all-targets", "--target", WASM]), w)
    });
    let tests =
        Step::new("wasm tests", "tests of crate/web as the page's WebAssembly, in headless Chromium", {
            |log: &Log| wasm_tests(w, log)
        });
    // The page's module is built first: most of what the tests are made of is made for it.
    vec![tests.needs(&["wasm", "set-up browser"]), lint_wasm.needs(&["set-up wasm"]).holds(BUILD_FOLDER)]
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

/// Builds the tests with the profile of the page and runs them.
fn wasm_tests(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let driver = setup::chromedriver().ok_or_else(|| {
        Fault::new("chromedriver is missing.", "Install it (on Debian: apt-get install chromium-driver).")
    })?;
    let mut command = cargo();
    command
        .args(["test", "-p", WEB, "--profile", PROFILE, "--target", WASM, "--test", "suite"])
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", setup::wasm_tool("wasm-bindgen-test-runner")?)
        .env("WASM_BINDGEN_TEST_TIMEOUT", "300")
        // crate/web/webdriver.json has the browser's start options.
        .env("WASM_BINDGEN_TEST_ONLY_WEB", "1")
        .env("CHROMEDRIVER", driver)
        .current_dir(&workspace.root);
    tested(log, &mut command, "Read the log; the tests are in crate/web/tests.")
}
