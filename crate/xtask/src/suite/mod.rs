//! `cargo xtask test`: every check and every test, in one run that continues after a failure.

mod changed;
mod page_tests;
mod rust_tests;
mod scope;

use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, cargo};
use crate::schedule::Step;
use crate::setup;
use crate::steps::Steps;
use crate::workspace::Workspace;
use crate::{arrows, cycles, engines, licences, page};
pub(crate) use page_tests::playwright;
use scope::Scope;

/// Which part of the suite to run.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Options {
    changed: bool,
}

impl Options {
    pub(crate) fn parse(words: &[String]) -> Result<Self, Fault> {
        match words {
            [] => Ok(Self { changed: false }),
            [word] if word == "--changed" => Ok(Self { changed: true }),
            words => Err(Fault::new(
                format!("\"{}\" is not an option of test.", words.join(" ")),
                "Its only option is --changed.",
            )),
        }
    }
}

pub(crate) fn run(options: &Options) -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let w = &workspace;
    let scope = if options.changed { changed::scope(w)? } else { Scope::everything(w) };
    let mut steps = Steps::new(w.target.join("xtask"))?;
    println!("{scope}");

    // The quickest and most telling steps come first.
    quick_steps(&mut steps, w);
    if !scope.crates.is_empty() {
        steps.run("set-up clippy", "Rust's lints", |log| {
            setup::rust_component(log, "clippy", "clippy")?;
            Ok(Done::prepared(""))
        });
    }
    steps.run_all(plan(w, &scope));
    Ok(steps.summarise())
}

/// `cargo xtask check`: the checks that take seconds and need no set-up.
pub(crate) fn check() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    quick_steps(&mut steps, &workspace);
    Ok(steps.summarise())
}

fn quick_steps(steps: &mut Steps, w: &Workspace) {
    steps.run("format", "cargo fmt", |log| {
        setup::rust_component(log, "rustfmt", "fmt")?;
        let mut command = cargo();
        command.args(["fmt", "--all", "--check", "--", "-l"]).current_dir(&w.root);
        log.must_run(&mut command, "Run `cargo fmt --all`.")?;
        Ok(Done::checked(""))
    });
    steps.run("arrows", "no crate depends upward, physics stays free of GPU, browser and I/O", |_| {
        check_arrows(w)
    });
    steps.run("cycles", "no files of a crate or of the page form a cycle", |_| cycles::check(w));
    steps.run("licences", "licences, sources and duplicates of all crates and npm packages", |_| {
        licences::check(w)
    });
}

fn check_arrows(workspace: &Workspace) -> Result<Done, Fault> {
    let faults = arrows::faults(workspace)?;
    if faults.is_empty() {
        return Ok(Done::checked(format!("{} crates", workspace.members.len())));
    }
    Err(Fault::new(
        faults.join("\n"),
        "Move the code to the crate that may use both, or pass what is needed as an argument.",
    ))
}

/// All steps except the quick ones; of those that could start, the first does. Building the page comes first, because
/// most steps depend on it, and the native tests, which take longest, start beside it.
fn plan<'a>(w: &'a Workspace, scope: &'a Scope) -> Vec<Step<'a>> {
    let mut plan: Vec<Step<'a>> = Vec::new();
    if scope.packages {
        plan.push(
            Step::new("advisories crates", "known vulnerabilities of the crates", |log: &Log| {
                licences::crate_advisories(w, log)
            })
            .light(),
        );
        plan.push(
            Step::new("advisories npm", "known vulnerabilities of the npm packages", |_: &Log| {
                licences::npm_advisories(w)
            })
            .light(),
        );
    }
    if scope.page {
        plan.extend(setup::steps_for_page());
    }
    if scope.page || scope.crates.iter().any(|name| name == "render") {
        plan.push(setup::step_for_browser());
    }
    if scope.page {
        plan.push(page::step_wasm(w));
        plan.push(page::step_bundle(w));
        plan.extend(engines::set_up_steps());
        plan.extend(page_tests::script_steps(w));
    }
    plan.extend(rust_tests::native_steps(w, scope));
    // What takes minutes comes before what takes less, so that nothing long is left at the end.
    plan.extend(rust_tests::wasm_steps(w, scope));
    if scope.page {
        plan.extend(page_tests::browser_steps(w));
        plan.extend(page_tests::engine_steps(w));
    }
    plan
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_options() {
        let parse =
            |words: &[&str]| Options::parse(&words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>());
        assert_eq!(parse(&[]).expect("right"), Options { changed: false });
        assert_eq!(parse(&["--changed"]).expect("right"), Options { changed: true });
        assert!(parse(&["--fast"]).is_err_and(|fault| fault.to_string().contains("--fast")));
    }
}
