//! `cargo xtask preview`: from a fresh clone to the page in a browser.

use std::path::PathBuf;
use std::process::Command;

use crate::done::Done;
use crate::fault::Fault;
use crate::page;
use crate::process::{Log, cannot_start, cargo};
use crate::setup;
use crate::steps::Steps;
use crate::suite;
use crate::workspace::Workspace;

/// The options of the command.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Options {
    open: bool,
    check: bool,
    port: u16,
}

impl Options {
    pub(crate) fn parse(words: &[String]) -> Result<Self, Fault> {
        let mut options = Self { open: false, check: false, port: 4173 };
        let mut words = words.iter();
        while let Some(word) = words.next() {
            match word.as_str() {
                "--open" => options.open = true,
                "--check" => options.check = true,
                "--port" => {
                    options.port = words.next().and_then(|n| n.parse().ok()).ok_or_else(|| {
                        Fault::new("--port needs a number from 0 to 65535.", "For example: --port 8080")
                    })?;
                }
                other => {
                    return Err(Fault::new(
                        format!("\"{other}\" is not an option of preview."),
                        "It takes --open, --check and --port N.",
                    ));
                }
            }
        }
        Ok(options)
    }
}

pub(crate) fn run(options: &Options) -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    let ready = setup::for_page(&mut steps);
    let browser_ready = !options.check || setup::for_browser(&mut steps);
    let reported = report(&mut steps, &workspace);
    let built = ready && page::build(&mut steps, &workspace);
    if options.check {
        let name = "look at it";
        if built && browser_ready {
            steps.run(name, "load the page once in headless Chromium: the window must be lit", |log| {
                suite::playwright(&workspace, log, &["tests/lit.spec.ts", "--project=webgpu"])
            });
        } else {
            steps.leave_out(name, if built { "browser set-up" } else { "building" });
        }
        return Ok(steps.summarise());
    }
    if !(reported && built) {
        return Ok(steps.summarise());
    }
    serve(options)
}

/// Builds the command line and prints the demo's light report with it.
fn report(steps: &mut Steps, workspace: &Workspace) -> bool {
    steps.run("command line", "release build of clerestory", |log| {
        log.must_run(
            cargo().args(["build", "--release", "-p", "cli"]).current_dir(&workspace.root),
            "Correct the compiler's errors.",
        )?;
        Ok(Done::checked(""))
    }) && steps.run("report", "the light of the demo window", |log| print_report(workspace, log))
}

fn print_report(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    let name = workspace.member("cli").and_then(|(_, cli)| cli.programs.first().cloned());
    let program =
        format!("{}{}", name.unwrap_or_else(|| "clerestory".to_owned()), std::env::consts::EXE_SUFFIX);
    let scene = demo_scene(workspace)?;
    let mut command = Command::new(workspace.target.join("release").join(program));
    command
        .arg("report")
        .arg(scene.strip_prefix(&workspace.root).unwrap_or(&scene))
        .current_dir(&workspace.root);
    log.must_run(&mut command, "Read the output of the command.")?;
    let text = log.text();
    if text.trim().is_empty() {
        return Err(Fault::new("The report is empty.", "`clerestory report SCENE` must print one."));
    }
    println!("\n{}\n", text.trim_end());
    Ok(Done::checked(""))
}

/// The demo shown first: the estuary's, otherwise the first by name.
fn demo_scene(workspace: &Workspace) -> Result<PathBuf, Fault> {
    let folder = workspace.root.join("demo-scenes");
    let mut scenes: Vec<PathBuf> = std::fs::read_dir(&folder)
        .map_err(|error| Fault::file(&folder, &error))?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    scenes.sort_by_key(|path| (!path.to_string_lossy().contains("estuary"), path.clone()));
    scenes.into_iter().next().ok_or_else(|| {
        Fault::new(
            "demo-scenes/ contains no scene.",
            "Add one; demo-scenes/README.md tells how they are made.",
        )
    })
}

fn serve(options: &Options) -> Result<bool, Fault> {
    let port = page::free_port(options.port)?;
    let mut server = page::serve(port)?;
    let address = format!("http://127.0.0.1:{port}/");
    println!("\nThe page is at {address} – end with Ctrl-C.");
    println!(
        "A browser that has opened the page before first shows its stored build, finds this one within moments \
         and offers \"Update now\"."
    );
    if options.open {
        open(&address);
    }
    let ended = server.wait().map_err(|error| {
        Fault::new(format!("The server was lost: {error}."), "Start again: cargo xtask preview")
    })?;
    Ok(ended.success())
}

/// Opens the address in the user's browser; if that fails, the printed address can be clicked.
fn open(address: &str) {
    let mut command = if cfg!(target_os = "macos") {
        Command::new("open")
    } else if cfg!(windows) {
        let mut command = Command::new("cmd");
        command.args(["/C", "start", ""]);
        command
    } else {
        Command::new("xdg-open")
    };
    command.arg(address);
    if let Err(error) = command.spawn() {
        println!("{}", cannot_start(&command, &error));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parse(words: &[&str]) -> Result<Options, Fault> {
        Options::parse(&words.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>())
    }

    #[test]
    fn reads_options() {
        let check = |words: &[&str], open, check, port| {
            assert_eq!(parse(words).expect("right"), Options { open, check, port });
        };
        check(&[], false, false, 4173);
        check(&["--check"], false, true, 4173);
        check(&["--port", "8080", "--open"], true, false, 8080);
        assert!(parse(&["--port"]).is_err());
        assert!(parse(&["--port", "x"]).is_err());
        assert!(parse(&["--fast"]).is_err_and(|fault| fault.to_string().contains("--fast")));
    }
}
