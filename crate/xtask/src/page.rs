//! Builds the page (its WebAssembly, the bundle and the notices in it) and serves it.

use std::fs;
use std::net::TcpListener;
use std::process::{Child, Stdio};
use std::time::{Duration, Instant};

use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, cannot_start};
use crate::schedule::Step;
use crate::setup;
use crate::steps::Steps;
use crate::workspace::Workspace;
use crate::{modules, notices};

const WASM_WHAT: &str = "the page's WebAssembly, built small and optimised";
const BUNDLE_WHAT: &str = "bundle the page into www/dist, with the third-party notices";

/// `cargo xtask build`.
pub(crate) fn run() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    let ready = setup::for_page(&mut steps);
    if ready && build(&mut steps, &workspace) {
        println!("The page is in www/dist.");
    }
    Ok(steps.good())
}

/// Builds wasm and page; set-up must be complete.
pub(crate) fn build(steps: &mut Steps, workspace: &Workspace) -> bool {
    steps.run("wasm", WASM_WHAT, |log| modules::build(workspace, log))
        && steps.run("page", BUNDLE_WHAT, |log| bundle(workspace, log))
}

/// The step of the suite that builds the wasm module.
pub(crate) fn step_wasm(workspace: &Workspace) -> Step<'_> {
    Step::new("wasm", WASM_WHAT, |log: &Log| modules::build(workspace, log))
        .needs(&["set-up wasm", "set-up npm"])
}

/// The step of the suite that bundles the page.
pub(crate) fn step_bundle(workspace: &Workspace) -> Step<'_> {
    Step::new("page", BUNDLE_WHAT, |log: &Log| bundle(workspace, log)).needs(&["wasm"])
}

/// Bundles the page with the notices in it. They are written first, so that they are included in offline storage.
pub(crate) fn bundle(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let path = workspace.www().join("public/third-party.txt");
    fs::write(&path, notices::of_page(workspace)?).map_err(|error| Fault::file(&path, &error))?;
    log.must_run(setup::node_tool("vite/bin/vite.js").arg("build"), "Correct the bundler's errors.")?;
    Ok(Done::checked(""))
}

/// The first free port from `from` on.
pub(crate) fn free_port(from: u16) -> Result<u16, Fault> {
    (from..from.saturating_add(50))
        .find(|port| TcpListener::bind(("127.0.0.1", *port)).is_ok())
        .ok_or_else(|| Fault::new(format!("No port from {from} on is free."), "Choose another with --port."))
}

/// Serves `www/dist` on this machine only, and waits until it answers.
pub(crate) fn serve(port: u16) -> Result<Child, Fault> {
    let mut command = setup::node_tool("vite/bin/vite.js");
    command
        .args(["preview", "--host", "127.0.0.1", "--strictPort", "--port", &port.to_string()])
        .stdin(Stdio::null())
        .stdout(Stdio::null());
    let mut child = command.spawn().map_err(|error| cannot_start(&command, &error))?;
    let started = Instant::now();
    while started.elapsed() < Duration::from_secs(20) {
        if std::net::TcpStream::connect(("127.0.0.1", port)).is_ok() {
            return Ok(child);
        }
        if child.try_wait().is_ok_and(|ended| ended.is_some()) {
            break;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    // It has either ended by itself or will never be usable.
    let _ = child.kill();
    let _ = child.wait();
    Err(Fault::new(
        format!("The page's server does not answer on port {port}."),
        "Try another port: --port N",
    ))
}
