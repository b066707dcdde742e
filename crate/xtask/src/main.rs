//! `cargo xtask`: sets up, builds, previews, tests and measures the project.
//!
//! Prerequisites are Rust and Node. Anything else that is missing is fetched into the user's cache folder or, if root
//! can install Debian packages, installed; otherwise the error names what is missing and how to get it.
#![allow(clippy::print_stdout, reason = "a command for the terminal speaks on standard output")]

mod arrows;
mod bench;
mod counts;
mod cycles;
mod debian;
mod done;
mod engines;
mod fault;
mod licences;
mod lighthouse;
mod look;
mod modules;
mod notices;
mod page;
mod preview;
mod process;
mod schedule;
mod setup;
mod spdx;
mod steps;
mod suite;
mod workspace;

use std::process::ExitCode;

use fault::Fault;

const HELP: &str = "\
cargo xtask COMMAND

  preview [--open] [--check] [--port N]
            set up what is missing, build the page, print the demo's light report and serve the page
            --open    open it in a browser
            --check   instead of serving, load it once in headless Chromium; it must show a lit window
            --port N  first port to try (4173)
  test [--changed]
            set up what is missing and run every check and test, native, wasm and browser
            --changed  only what was touched since the main branch (on it, by the last commit) or is not
                       committed, and what depends on it
  check     the checks that take seconds: formatting, dependency direction, file cycles, licences
  bench [CRATE…]
            run the benchmarks (of all crates, or of those named) and print their table; for the built
            page (named page, or with all), the file sizes and the Lighthouse scores
  look      screenshots of every screen of the built page, at four sizes, dark and mid-grey, into target/look
  build     set up what is missing and build the page into www/dist
  notices   write the third-party notices of page and command line into target/notices
  help      this text

Set CLERESTORY_CHROMIUM or CLERESTORY_FIREFOX to use a browser that is not in the usual places.
The tools that cargo installs for this go to ${XDG_CACHE_HOME:-$HOME/.cache}/clerestory-tools.";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match dispatch(&words) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(fault) => {
            eprintln!("{fault}");
            ExitCode::FAILURE
        }
    }
}

/// Runs one command; `false` means that a step failed and has already reported it.
fn dispatch(words: &[String]) -> Result<bool, Fault> {
    let (command, rest) = words.split_first().map_or(("help", &[][..]), |(c, r)| (c.as_str(), r));
    match command {
        "preview" => preview::run(&preview::Options::parse(rest)?),
        "test" => suite::run(&suite::Options::parse(rest)?),
        "check" => none_left(rest).and_then(|()| suite::check()),
        "bench" => bench::run(rest),
        "look" => none_left(rest).and_then(|()| look::run()),
        "build" => none_left(rest).and_then(|()| page::run()),
        "notices" => none_left(rest).and_then(|()| notices::run()),
        "help" | "--help" | "-h" => {
            println!("{HELP}");
            Ok(true)
        }
        other => {
            Err(Fault::new(format!("There is no command \"{other}\"."), "`cargo xtask help` lists them."))
        }
    }
}

fn none_left(rest: &[String]) -> Result<(), Fault> {
    match rest.first() {
        None => Ok(()),
        Some(word) => Err(Fault::new(
            format!("\"{word}\" is not an option of this command."),
            "`cargo xtask help` lists the options of each command.",
        )),
    }
}
