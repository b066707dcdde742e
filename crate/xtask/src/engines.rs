//! The browsers with another engine than Chromium's that the page is tried in: Firefox and WebKitGTK.

use std::path::PathBuf;

use crate::debian::{self, APT, Missing};
use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, answer, find};
use crate::schedule::Step;

/// Environment variable with the path of Firefox.
pub(crate) const FIREFOX: &str = "CLERESTORY_FIREFOX";

const FIREFOX_WHAT: &str = "Firefox, to try the page in it";
const WEBKIT_WHAT: &str = "WebKitGTK, its driver and a display in memory, to try the page in it";

const WEBKIT_DRIVER: &str = "WebKitWebDriver";
const DISPLAY: &str = "Xvfb";

/// One of the browsers.
pub(crate) struct Engine {
    /// Also the name of its Playwright project.
    pub(crate) name: &'static str,
    /// The step that sets it up, and what that installs.
    pub(crate) set_up: &'static str,
    installs: &'static str,
    pub(crate) what: &'static str,
    /// The first port to try.
    pub(crate) port: u16,
    ready: fn(&Log) -> Result<Done, Fault>,
}

const FIREFOX_ENGINE: Engine = Engine {
    name: "firefox",
    set_up: "set-up firefox",
    installs: FIREFOX_WHAT,
    what: "once through the page in Firefox, driven by WebDriver BiDi",
    port: 4523,
    ready: firefox_ready,
};

const WEBKIT_ENGINE: Engine = Engine {
    name: "webkit",
    set_up: "set-up webkit",
    installs: WEBKIT_WHAT,
    what: "once through the page in WebKitGTK, driven by WebDriver",
    port: 4573,
    ready: webkit_ready,
};

/// The browsers that exist on this system: WebKitGTK only on Linux.
pub(crate) fn all() -> &'static [Engine] {
    if cfg!(target_os = "linux") { &[WEBKIT_ENGINE, FIREFOX_ENGINE] } else { &[FIREFOX_ENGINE] }
}

/// Sets them up, as steps of the suite.
pub(crate) fn set_up_steps<'a>() -> impl Iterator<Item = Step<'a>> {
    all().iter().map(|engine| Step::new(engine.set_up, engine.installs, engine.ready).light().holds(APT))
}

fn firefox_ready(log: &Log) -> Result<Done, Fault> {
    if firefox().is_none() {
        let missing = Missing {
            what: FIREFOX_WHAT,
            packages: vec!["firefox-esr"],
            only_needed: true,
            elsewhere: "Elsewhere, or without root, unpack Firefox 129 or newer into a folder of your own and name the \
                        program in CLERESTORY_FIREFOX.",
        };
        debian::install(log, &missing)?;
    }
    let path = firefox().ok_or_else(|| {
        Fault::new("Firefox is missing.", format!("Install it, or set {FIREFOX} to its path."))
    })?;
    Ok(Done::prepared(answer(&path, &["--version"]).unwrap_or_default()))
}

/// The browser: the one in the variable, otherwise the first in the usual places.
pub(crate) fn firefox() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os(FIREFOX) {
        return Some(PathBuf::from(named)).filter(|path| path.is_file());
    }
    let elsewhere = [
        "/Applications/Firefox.app/Contents/MacOS/firefox",
        "C:\\Program Files\\Mozilla Firefox\\firefox.exe",
    ];
    ["firefox-esr", "firefox"]
        .iter()
        .find_map(|name| find(name))
        .or_else(|| elsewhere.iter().map(PathBuf::from).find(|path| path.is_file()))
}

fn webkit_ready(log: &Log) -> Result<Done, Fault> {
    let absent = || {
        [(WEBKIT_DRIVER, "webkit2gtk-driver"), (DISPLAY, "xvfb")]
            .into_iter()
            .filter(|(program, _)| find(program).is_none())
            .map(|(_, package)| package)
            .collect::<Vec<_>>()
    };
    let packages = absent();
    if !packages.is_empty() {
        let missing = Missing {
            what: WEBKIT_WHAT,
            packages,
            only_needed: true,
            elsewhere: "Elsewhere install WebKitGTK with its WebKitWebDriver and MiniBrowser, and Xvfb; both must be \
                        on PATH. They have no builds to unpack, so without root ask for these packages.",
        };
        debian::install(log, &missing)?;
        let still = absent();
        if !still.is_empty() {
            return Err(Fault::new(
                format!("Still missing after installing: {}.", still.join(", ")),
                format!("{WEBKIT_DRIVER} and {DISPLAY} must be on PATH."),
            ));
        }
    }
    // It does not tell its version.
    Ok(Done::prepared(format!("{WEBKIT_DRIVER} and {DISPLAY} present")))
}
