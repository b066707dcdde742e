//! Checks and tests of the page: its types, its own scripts, and the built page in a browser.

use std::fs;

use serde_json::Value;

use crate::counts;
use crate::done::Done;
use crate::fault::Fault;
use crate::process::Log;
use crate::schedule::Step;
use crate::workspace::Workspace;
use crate::{engines, page, setup};

/// A script of `www/package.json` that checks the sources.
struct Script {
    script: &'static str,
    step: &'static str,
    what: &'static str,
    remedy: &'static str,
    needs: &'static str,
}

const SCRIPTS: &[Script] = &[
    Script {
        script: "format:check",
        step: "page format",
        what: "the formatter over TypeScript and Svelte",
        remedy: "Run `npm run format` in www.",
        needs: "set-up npm",
    },
    Script {
        script: "test:unit",
        step: "page unit tests",
        what: "tests of the page that need no browser",
        remedy: "Read the log; `npm run test:unit` in www repeats this.",
        needs: "set-up npm",
    },
    Script {
        script: "lint",
        step: "page lint",
        what: "the linter over TypeScript and Svelte",
        remedy: "Correct the named lines; `npm run lint` in www repeats this.",
        // It uses types, and those of the glue come from the wasm build.
        needs: "wasm",
    },
];

/// The projects of the browser tests. The longest comes first, so that no long one is left at the end.
const PROJECTS: &[(&str, &str, u16)] = &[
    ("page", "Playwright in Chromium: tests that do not depend on how the picture is drawn", 4373),
    ("webgpu", "Playwright in Chromium with WebGPU", 4323),
    ("webgl2", "Playwright in Chromium with WebGL2", 4273),
    ("none", "Playwright in Chromium without a GPU", 4423),
];

/// The checks of the sources: types, and the scripts of the page.
pub(super) fn script_steps(w: &Workspace) -> Vec<Step<'_>> {
    let there = scripts(w);
    let mut steps: Vec<Step<'_>> = Vec::new();
    for script in SCRIPTS.iter().filter(|script| there.iter().any(|name| name == script.script)) {
        let step = Step::new(script.step, script.what, |log: &Log| run_script(w, log, script));
        steps.push(step.needs(&[script.needs]));
    }
    // The page's types come from the glue that the wasm build writes.
    steps.push(Step::new("page types", "svelte-check and tsc, no warnings allowed", types).needs(&["wasm"]));
    steps
}

/// A script that counts tests adds its counts; any other counts as one check.
fn run_script(w: &Workspace, log: &Log, script: &Script) -> Result<Done, Fault> {
    let good = log.run(setup::npm().args(["run", script.script]).current_dir(w.www()))?;
    match counts::from_vitest(&log.text()) {
        Some(counts) if good || counts.failed > 0 => Ok(Done::counted(counts, script.remedy)),
        _ if good => Ok(Done::checked("")),
        _ => Err(Fault::new(format!("npm run {} failed.", script.script), script.remedy)),
    }
}

fn scripts(w: &Workspace) -> Vec<String> {
    let text = fs::read_to_string(w.www().join("package.json")).unwrap_or_default();
    let manifest: Value = serde_json::from_str(&text).unwrap_or_default();
    let scripts = manifest.get("scripts").and_then(Value::as_object);
    scripts.into_iter().flatten().map(|(name, _)| name.clone()).collect()
}

fn types(log: &Log) -> Result<Done, Fault> {
    let remedy = "Correct the types; `npm run check` in www repeats this.";
    let mut svelte = setup::node_tool("svelte-check/bin/svelte-check");
    svelte.args(["--tsconfig", "./tsconfig.json", "--fail-on-warnings", "--output", "human"]);
    log.must_run(&mut svelte, remedy)?;
    log.must_run(setup::node_tool("typescript/bin/tsc").args(["--project", "tsconfig.node.json"]), remedy)?;
    Ok(Done::checked(""))
}

/// The built page in a browser; the picture with each way of drawing.
pub(super) fn browser_steps(w: &Workspace) -> Vec<Step<'_>> {
    let step = |(project, what, port): &'static (&str, &str, u16)| {
        Step::new(format!("browser {project}"), *what, move |log: &Log| {
            run_playwright(w, log, project, &[&format!("--project={project}")], *port)
        })
        .needs(&["page", "set-up browser"])
    };
    PROJECTS.iter().map(step).collect()
}

/// Longest time for all tests in one of the other browsers, ms: they take less than a minute, but one that hangs must
/// not hold up the rest.
const ENGINE_LIMIT_MS: u32 = 240_000;

/// The built page in browsers with other engines, once through.
pub(super) fn engine_steps(w: &Workspace) -> impl Iterator<Item = Step<'_>> {
    engines::all().iter().map(move |engine| {
        Step::new(format!("browser {}", engine.name), engine.what, move |log: &Log| {
            let arguments =
                [&format!("--project={}", engine.name), &format!("--global-timeout={ENGINE_LIMIT_MS}")];
            let mut done = run_playwright(w, log, engine.name, &arguments.map(String::as_str), engine.port)?;
            // Either way of drawing is right there; the test tells which it was.
            if let Some(drawn) = log.text().lines().find_map(|line| line.strip_prefix("DRAWN ")) {
                done.note += &format!(", drawn {drawn}");
            }
            Ok(done)
        })
        // Playwright's settings name Chromium.
        .needs(&["page", "set-up browser", engine.set_up])
    })
}

/// Runs Playwright with these arguments against `www/dist` on a free port.
pub(crate) fn playwright(workspace: &Workspace, log: &Log, arguments: &[&str]) -> Result<Done, Fault> {
    run_playwright(workspace, log, "playwright", arguments, 4273)
}

/// `run`: names the output of this run, so that it is not mistaken for another's. `port`: the first to try.
fn run_playwright(
    workspace: &Workspace,
    log: &Log,
    run: &str,
    arguments: &[&str],
    port: u16,
) -> Result<Done, Fault> {
    let report = workspace.target.join(format!("xtask/playwright-{run}.json"));
    // Remove the report of an earlier run, so that it is not mistaken for this one's.
    let _ = fs::remove_file(&report);
    let mut command = setup::node_tool("@playwright/test/cli.js");
    command
        .args(["test", "--reporter=list,json"])
        .arg(format!("--output=test-results/{run}"))
        .args(arguments)
        .env("PLAYWRIGHT_JSON_OUTPUT_FILE", &report)
        .env("CLERESTORY_PORT", page::free_port(port)?.to_string())
        .env("CLERESTORY_LOOK", workspace.target.join("look"));
    if let Some(path) = setup::chromium() {
        command.env(setup::CHROMIUM, path);
    }
    if let Some(path) = engines::firefox() {
        command.env(engines::FIREFOX, path);
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

#[cfg(test)]
mod tests {
    use super::*;

    // Each looks for a free port among fifty, some time before its server takes it.
    #[test]
    fn servers_that_run_at_once_look_for_different_ports() {
        let engines = engines::all().iter().map(|engine| engine.port);
        let mut ports: Vec<u16> = PROJECTS.iter().map(|project| project.2).chain(engines).collect();
        ports.sort_unstable();
        assert!(ports.windows(2).all(|pair| pair[1] - pair[0] >= 50), "{ports:?}");
    }
}
