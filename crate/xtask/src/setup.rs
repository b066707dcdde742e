//! Fetches what the project needs besides Rust and Node, if it is missing.
//!
//! Rust tools go to the user's cache folder, npm packages to `www/node_modules`; the browser and the software GPU
//! are Debian packages, installed if root runs this and otherwise named in the error.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::debian::{self, APT, Missing};
use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, answer, find};
use crate::schedule::Step;
use crate::steps::Steps;
use crate::workspace::{locked_version, root};

pub(crate) const WASM: &str = "wasm32-unknown-unknown";

/// Environment variable with the path of the browser.
pub(crate) const CHROMIUM: &str = "CLERESTORY_CHROMIUM";

const WASM_WHAT: &str = "the wasm target of Rust, wasm-bindgen";
const NPM_WHAT: &str = "the page's packages, as in www/package-lock.json";
const BROWSER_WHAT: &str = "Chromium, chromedriver, drivers for Vulkan and EGL";

/// Sets up what building the page needs.
pub(crate) fn for_page(steps: &mut Steps) -> bool {
    let wasm = steps.run("set-up wasm", WASM_WHAT, wasm);
    let npm = steps.run("set-up npm", NPM_WHAT, npm_packages);
    wasm && npm
}

/// The same as steps of the suite.
pub(crate) fn steps_for_page() -> [Step<'static>; 2] {
    let npm = Step::new("set-up npm", NPM_WHAT, npm_packages).light();
    [Step::new("set-up wasm", WASM_WHAT, wasm), npm]
}

/// Sets up what showing and testing the page needs: Chromium, its driver and a software GPU.
pub(crate) fn for_browser(steps: &mut Steps) -> bool {
    steps.run("set-up browser", BROWSER_WHAT, browser)
}

/// The same as a step of the suite.
pub(crate) fn step_for_browser() -> Step<'static> {
    Step::new("set-up browser", BROWSER_WHAT, browser).light().holds(APT)
}

/// Sets up one of Rust's own tools that a minimal toolchain lacks: `rustfmt` for `cargo fmt`, `clippy` for
/// `cargo clippy`.
pub(crate) fn rust_component(log: &Log, component: &str, subcommand: &str) -> Result<(), Fault> {
    let cargo = crate::process::cargo();
    if answer(cargo.get_program(), &[subcommand, "--version"]).is_some() {
        return Ok(());
    }
    let remedy = format!("Install Rust's {component}, with rustup: rustup component add {component}");
    if find("rustup").is_none() {
        return Err(Fault::new(format!("Rust's {component} is missing, and so is rustup."), remedy));
    }
    log.must_run(Command::new("rustup").args(["component", "add", component]).current_dir(root()), &remedy)
}

/// The folder of the tools that cargo installs for this project.
fn tool_folder() -> Result<PathBuf, Fault> {
    let cache = std::env::var_os("XDG_CACHE_HOME").filter(|value| !value.is_empty()).map(PathBuf::from);
    let home = || std::env::var_os("HOME").or_else(|| std::env::var_os("USERPROFILE")).map(PathBuf::from);
    let cache = cache.or_else(|| home().map(|home| home.join(".cache")));
    cache.map(|cache| cache.join("clerestory-tools")).ok_or_else(|| {
        Fault::new("No folder for the tools was found.", "Set XDG_CACHE_HOME to a writable folder.")
    })
}

/// A program of `wasm-bindgen`: itself, or the one through which cargo runs wasm tests.
pub(crate) fn wasm_tool(name: &str) -> Result<PathBuf, Fault> {
    Ok(tool_folder()?.join("bin").join(format!("{name}{}", std::env::consts::EXE_SUFFIX)))
}

/// `npm`, which on Windows is a script with another name.
pub(crate) fn npm() -> Command {
    let mut command = Command::new(if cfg!(windows) { "npm.cmd" } else { "npm" });
    // Nothing here uses the browsers that Playwright would download.
    command.env("PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD", "1");
    command
}

/// `node` with one of the page's own tools, e.g. `vite/bin/vite.js`, run in `www`.
pub(crate) fn node_tool(script: &str) -> Command {
    let www = root().join("www");
    let mut command = Command::new("node");
    command.arg(www.join("node_modules").join(script)).current_dir(www);
    command
}

fn wasm(log: &Log) -> Result<Done, Fault> {
    wasm_target(log)?;
    wasm_tools(log)
}

fn wasm_target(log: &Log) -> Result<(), Fault> {
    let library = answer("rustc", &["--print", "target-libdir", "--target", WASM]);
    if library.is_some_and(|folder| Path::new(&folder).is_dir()) {
        return Ok(());
    }
    let remedy = format!("Install Rust's {WASM} target, with rustup: rustup target add {WASM}");
    if find("rustup").is_none() {
        return Err(Fault::new(format!("Rust's {WASM} target is missing, and so is rustup."), remedy));
    }
    log.must_run(Command::new("rustup").args(["target", "add", WASM]).current_dir(root()), &remedy)
}

fn wasm_tools(log: &Log) -> Result<Done, Fault> {
    let Some(bindgen) = locked_version("wasm-bindgen")? else {
        return Err(Fault::new("Cargo.lock does not contain wasm-bindgen.", "crate/web must depend on it."));
    };
    bindgen_tools(log, &bindgen)?;
    Ok(Done::prepared(format!("wasm-bindgen {bindgen}")))
}

/// An existing tool, in the tool folder or on PATH.
pub(crate) fn installed_tool(tool: &str) -> Option<PathBuf> {
    let ours = tool_folder().ok()?.join("bin").join(format!("{tool}{}", std::env::consts::EXE_SUFFIX));
    if ours.is_file() { Some(ours) } else { find(tool) }
}

/// Installs the programs of `wasm-bindgen` into the tool folder, unless exactly that version is there.
fn bindgen_tools(log: &Log, version: &str) -> Result<(), Fault> {
    const PACKAGE: &str = "wasm-bindgen-cli";
    if answer(wasm_tool("wasm-bindgen")?, &["--version"])
        .is_some_and(|l| l.split(' ').nth(1) == Some(version))
    {
        return Ok(());
    }
    let folder = tool_folder()?;
    fs::create_dir_all(&folder).map_err(|error| Fault::file(&folder, &error))?;
    let build = folder.join("build");
    let mut command = crate::process::cargo();
    command
        // Not --locked: its published lock file names a package that not every mirror serves.
        .args(["install", PACKAGE, "--version", version, "--force", "--debug"])
        .args(["--bin", "wasm-bindgen", "--bin", "wasm-bindgen-test-runner", "--root"])
        .arg(&folder)
        .env("CARGO_PROFILE_DEV_DEBUG", "0")
        .env("CARGO_TARGET_DIR", &build)
        // Outside the repository, whose configuration is not meant for third-party programs.
        .current_dir(&folder);
    log.must_run(
        &mut command,
        &format!(
            "Check the network, or install it by hand: cargo install {PACKAGE} --version {version} --root {}",
            folder.display()
        ),
    )?;
    // Some hundred megabytes that are never used again.
    let _ = fs::remove_dir_all(&build);
    Ok(())
}

/// Installs the npm packages, unless those of exactly this lock file are present.
fn npm_packages(log: &Log) -> Result<Done, Fault> {
    let Some(node) = answer("node", &["--version"]) else {
        return Err(Fault::new(
            "Node is missing.",
            "Install Node 20.19 or newer (on Debian with npm beside it).",
        ));
    };
    if !node_is_new_enough(&node) {
        return Err(Fault::new(format!("Node {node} is too old."), "Install Node 20.19 or newer."));
    }
    let www = root().join("www");
    let lock = www.join("package-lock.json");
    let wanted = fs::read(&lock).map_err(|error| Fault::file(&lock, &error))?;
    let stamp = www.join("node_modules/.clerestory-lock.json");
    if fs::read(&stamp).is_ok_and(|there| there == wanted) {
        return Ok(Done::prepared(format!("Node {node}, packages present")));
    }
    log.must_run(
        npm().args(["ci", "--no-audit"]).current_dir(&www),
        "If package.json was changed by hand, run `npm install` in www; otherwise check the network.",
    )?;
    fs::write(&stamp, wanted).map_err(|error| Fault::file(&stamp, &error))?;
    Ok(Done::prepared(format!("Node {node}, packages installed")))
}

fn node_is_new_enough(version: &str) -> bool {
    let numbers: Vec<u32> =
        version.trim_start_matches('v').split('.').map_while(|n| n.parse().ok()).collect();
    numbers.as_slice() >= [20, 19].as_slice()
}

fn browser(log: &Log) -> Result<Done, Fault> {
    let missing = missing_packages();
    if !missing.is_empty() {
        let missing = Missing {
            what: BROWSER_WHAT,
            packages: missing,
            only_needed: false,
            elsewhere: "Elsewhere, or without root, install Chromium or Chrome, the chromedriver of the same version, \
                        and drivers for Vulkan and EGL (Mesa's llvmpipe will do); CLERESTORY_CHROMIUM may name the \
                        browser.",
        };
        debian::install(log, &missing)?;
        let still = missing_packages();
        if !still.is_empty() {
            return Err(Fault::new(
                format!("Still missing after installing: {}.", still.join(", ")),
                "Install them by hand.",
            ));
        }
    }
    let path = chromium().ok_or_else(|| Fault::new("Chromium is missing.", "Install it."))?;
    Ok(Done::prepared(answer(&path, &["--version"]).unwrap_or_default()))
}

/// Debian's names of the missing packages.
fn missing_packages() -> Vec<&'static str> {
    let mut missing = Vec::new();
    if chromium().is_none() {
        missing.push("chromium");
    }
    if chromedriver().is_none() {
        missing.push("chromium-driver");
    }
    if !has_vulkan_driver() {
        missing.push("mesa-vulkan-drivers");
    }
    if !has_egl() {
        missing.extend(["libegl1", "libgl1-mesa-dri"]);
    }
    missing
}

/// The browser: the one in the variable, otherwise the first in the usual places.
pub(crate) fn chromium() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(CHROMIUM) {
        return Some(PathBuf::from(named)).filter(|path| path.is_file());
    }
    let elsewhere = [
        "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
        "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
    ];
    ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome"]
        .iter()
        .find_map(|name| find(name))
        .or_else(|| elsewhere.iter().map(PathBuf::from).find(|path| path.is_file()))
}

/// The program through which wasm tests drive the browser.
pub(crate) fn chromedriver() -> Option<PathBuf> {
    find("chromedriver")
}

/// Linux needs a Vulkan driver for pictures without a browser; other systems bring their own graphics.
fn has_vulkan_driver() -> bool {
    if !cfg!(target_os = "linux") || std::env::var_os("VK_DRIVER_FILES").is_some() {
        return true;
    }
    ["/usr/share/vulkan/icd.d", "/etc/vulkan/icd.d", "/usr/local/share/vulkan/icd.d"].iter().any(|folder| {
        fs::read_dir(folder).is_ok_and(|mut entries| {
            entries.any(|e| e.is_ok_and(|e| e.path().extension().is_some_and(|x| x == "json")))
        })
    })
}

/// Native pictures are also drawn with OpenGL, which on Linux is accessed through EGL.
fn has_egl() -> bool {
    if !cfg!(target_os = "linux") {
        return true;
    }
    let asked = |program| Command::new(program).arg("-p").output().ok();
    // If this cannot be checked, the tests will report it.
    asked("ldconfig")
        .or_else(|| asked("/sbin/ldconfig"))
        .is_none_or(|list| String::from_utf8_lossy(&list.stdout).contains("libEGL.so.1"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn node_versions() {
        assert!(node_is_new_enough("v20.19.0"));
        assert!(node_is_new_enough("v20.20.2"));
        assert!(node_is_new_enough("v22.1.0"));
        assert!(!node_is_new_enough("v20.18.9"));
        assert!(!node_is_new_enough("v18.20.0"));
        assert!(!node_is_new_enough("no version"));
    }
}
