//! `cargo xtask test`: every check and every test, in one run that goes on after a failure.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use crate::counts::{self, Counts};
use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, cargo};
use crate::setup::{self, WASM};
use crate::steps::Steps;
use crate::workspace::Workspace;
use crate::{arrows, circles, licences, page};

pub(crate) fn run() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let w = &workspace;
    let mut steps = Steps::new(w.target.join("xtask"))?;

    // What takes seconds and says most comes first.
    quick_steps(&mut steps, w);
    steps.run("advisories crates", "known vulnerabilities of the crates", |log| {
        licences::crate_advisories(w, log)
    });
    steps.run("advisories npm", "known vulnerabilities of the npm packages", |_| licences::npm_advisories(w));

    let page_ready = setup::for_page(&mut steps);
    let browser_ready = setup::for_browser(&mut steps);

    let deny = ["--", "-D", "warnings"];
    steps.run("lint", "clippy over every target, no warning allowed", |log| {
        setup::rust_component(log, "clippy", "clippy")?;
        lint(
            log,
            cargo().args(["clippy", "--workspace", "--all-targets", "--keep-going"]).args(deny),
            w,
            LINT_REMEDY,
        )
    });
    steps.run("native tests", "cargo test, every crate", |log| native(w, log));

    let built = page_ready
        && steps
            .run("wasm", "release build of crate/web for the browser, optimised", |log| page::wasm(w, log));
    if page_ready {
        steps.run("lint wasm", "clippy over what only the browser compiles", |log| {
            let target = ["clippy", "-p", "web", "--all-targets", "--target", WASM];
            lint(log, cargo().args(target).args(deny), w, LINT_REMEDY)
        });
        wasm_tests(&mut steps, w, browser_ready);
    } else {
        steps.leave_out("wasm, its lints and tests", "set-up");
    }

    // The page's types come from the glue that the wasm build writes.
    let bundled = if built {
        steps.run("page types", "svelte-check and tsc, no warning allowed", page_types);
        steps.run("page", "bundle the page into www/dist, with the third-party notices", |log| {
            page::bundle(w, log)
        })
    } else {
        steps.leave_out("page types and page", "the wasm build");
        false
    };
    if bundled && browser_ready {
        steps.run("browser tests", "Playwright in Chromium: WebGPU, WebGL2 and no GPU", |log| {
            playwright(w, log, &["--project=webgpu", "--project=webgl2", "--project=none"])
        });
    } else {
        steps.leave_out("browser tests", if bundled { "browser set-up" } else { "the page" });
    }
    Ok(steps.summarise())
}

/// `cargo xtask check`: what takes seconds and needs no set-up.
pub(crate) fn check() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    quick_steps(&mut steps, &workspace);
    Ok(steps.summarise())
}

fn quick_steps(steps: &mut Steps, w: &Workspace) {
    steps.run("format", "cargo fmt", |log| {
        setup::rust_component(log, "rustfmt", "fmt")?;
        lint(log, cargo().args(["fmt", "--all", "--check", "--", "-l"]), w, "Run `cargo fmt --all`.")
    });
    steps.run("arrows", "no crate depends upward, physics stays free of GPU, browser and I/O", |_| {
        check_arrows(w)
    });
    steps.run("circles", "no files of a crate or of the page form a circle", |_| circles::check(w));
    steps.run("licences", "licences, sources and duplicates of all crates and npm packages", |_| {
        licences::check(w)
    });
}

const LINT_REMEDY: &str = "Put the warnings right; `cargo clippy --fix` does some of it.";

fn lint(log: &Log, command: &mut Command, workspace: &Workspace, remedy: &str) -> Result<Done, Fault> {
    log.must_run(command.current_dir(&workspace.root), remedy)?;
    Ok(Done::checked(""))
}

fn check_arrows(workspace: &Workspace) -> Result<Done, Fault> {
    let faults = arrows::faults(workspace)?;
    if faults.is_empty() {
        return Ok(Done::checked(format!("{} crates", workspace.members.len())));
    }
    Err(Fault::new(
        faults.join("\n"),
        "Move the code to the crate that may know both, or pass what is needed as an argument.",
    ))
}

fn native(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let mut command = cargo();
    command.args(["test", "--workspace", "--no-fail-fast"]).current_dir(&workspace.root);
    tested(log, &mut command, "Run one crate alone: cargo test -p CRATE")
}

/// Runs Rust tests and counts them. A program that fails without a failed test (it did not compile, it was
/// killed) counts as one.
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

/// Runs `crate/web/tests/*.rs`: in Chromium where the file asks for a browser, else under Node.
fn wasm_tests(steps: &mut Steps, workspace: &Workspace, browser_ready: bool) {
    let (in_browser, in_node): (Vec<_>, Vec<_>) =
        wasm_test_files(workspace).into_iter().partition(|(_, text)| text.contains("run_in_browser"));
    for (file, _) in in_node {
        steps.run(&format!("wasm {file}"), "wasm tests of crate/web under Node", |log| {
            wasm_pack_test(workspace, log, &["--node"], &file)
        });
    }
    for (file, _) in in_browser {
        let name = format!("wasm {file}");
        let Some(driver) = setup::chromedriver().filter(|_| browser_ready) else {
            steps.leave_out(&name, "browser set-up");
            continue;
        };
        steps.run(&name, "wasm tests of crate/web in headless Chromium", |log| {
            let driver = driver.to_string_lossy();
            wasm_pack_test(workspace, log, &["--headless", "--chrome", "--chromedriver", &driver], &file)
        });
    }
}

/// Names and texts of the web crate's test files that hold wasm tests.
fn wasm_test_files(workspace: &Workspace) -> Vec<(String, String)> {
    let Ok(entries) = fs::read_dir(workspace.root.join("crate/web/tests")) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.filter_map(|e| e.ok().map(|e| e.path())).collect();
    paths.sort();
    paths
        .into_iter()
        .filter(|path| path.extension().is_some_and(|e| e == "rs"))
        .filter_map(|path| Some((path.file_stem()?.to_str()?.to_owned(), fs::read_to_string(&path).ok()?)))
        .filter(|(_, text)| text.contains("wasm_bindgen_test"))
        .collect()
}

fn wasm_pack_test(workspace: &Workspace, log: &Log, place: &[&str], file: &str) -> Result<Done, Fault> {
    let mut command = setup::wasm_pack()?;
    // Options come before the path.
    command.arg("test").args(place).args(["--mode", "no-install", "crate/web", "--test", file]);
    command.env("WASM_BINDGEN_TEST_TIMEOUT", "300").current_dir(&workspace.root);
    if let Some(path) = setup::chromium() {
        command.env(setup::CHROMIUM, path);
    }
    tested(log, &mut command, "Read the log; the tests are in crate/web/tests.")
}

fn page_types(log: &Log) -> Result<Done, Fault> {
    let remedy = "Put the types right; `npm run check` in www repeats this.";
    let mut svelte = setup::node_tool("svelte-check/bin/svelte-check");
    svelte.args(["--tsconfig", "./tsconfig.json", "--fail-on-warnings", "--output", "human"]);
    log.must_run(&mut svelte, remedy)?;
    log.must_run(setup::node_tool("typescript/bin/tsc").args(["--project", "tsconfig.node.json"]), remedy)?;
    Ok(Done::checked(""))
}

/// Runs Playwright with these arguments against `www/dist` on a free port.
pub(crate) fn playwright(workspace: &Workspace, log: &Log, arguments: &[&str]) -> Result<Done, Fault> {
    let report = workspace.target.join("xtask/playwright.json");
    // Of an earlier run; it may not be taken for this one's.
    let _ = fs::remove_file(&report);
    let mut command = setup::node_tool("@playwright/test/cli.js");
    command
        .args(["test", "--reporter=list,json"])
        .args(arguments)
        .env("PLAYWRIGHT_JSON_OUTPUT_FILE", &report)
        .env("CLERESTORY_PORT", page::free_port(4273)?.to_string())
        .env("CLERESTORY_LOOK", workspace.target.join("look"));
    if let Some(path) = setup::chromium() {
        command.env(setup::CHROMIUM, path);
    }
    let good = log.run(&mut command)?;
    let remedy = "Pictures and traces are in www/test-results; `npx playwright test` in www repeats this.";
    let counts = fs::read_to_string(&report).ok().and_then(|text| counts::from_playwright(&text));
    match counts {
        Some(mut counts) => {
            if !good && counts.failed == 0 {
                counts.failed = 1;
            }
            Ok(Done::counted(counts, remedy))
        }
        None => Err(Fault::new("Playwright left no report.", remedy)),
    }
}
