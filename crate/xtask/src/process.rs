//! Runs other programs and logs their output to a file.

use std::ffi::OsStr;
use std::fs::{File, OpenOptions};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::fault::Fault;

/// `cargo`: the one that runs this program, if set.
pub(crate) fn cargo() -> Command {
    Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
}

/// The program's first line of output, if it runs and succeeds.
pub(crate) fn answer(program: impl AsRef<OsStr>, arguments: &[&str]) -> Option<String> {
    let output = Command::new(program).args(arguments).stdin(Stdio::null()).output().ok()?;
    let text = String::from_utf8_lossy(&output.stdout);
    output.status.success().then(|| text.lines().next().unwrap_or_default().trim().to_owned())
}

/// Finds a program on PATH.
pub(crate) fn find(program: &str) -> Option<PathBuf> {
    let suffix = std::env::consts::EXE_SUFFIX;
    std::env::split_paths(&std::env::var_os("PATH")?)
        .map(|folder| folder.join(format!("{program}{suffix}")))
        .find(|path| path.is_file())
}

/// The log of one step: both output streams of every program it runs, in order.
pub(crate) struct Log {
    path: PathBuf,
}

impl Log {
    /// Starts an empty log.
    pub(crate) fn create(path: PathBuf) -> Result<Self, Fault> {
        File::create(&path).map_err(|error| Fault::file(&path, &error))?;
        Ok(Self { path })
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    pub(crate) fn text(&self) -> String {
        std::fs::read(&self.path).map(|b| String::from_utf8_lossy(&b).into_owned()).unwrap_or_default()
    }

    /// Runs a program to its end; `true` if it succeeded.
    pub(crate) fn run(&self, command: &mut Command) -> Result<bool, Fault> {
        Ok(self.start(command)?.wait().is_ok_and(|status| status.success()))
    }

    /// Runs a program to its end and turns its failure into an error with this remedy.
    pub(crate) fn must_run(&self, command: &mut Command, remedy: &str) -> Result<(), Fault> {
        if self.run(command)? {
            Ok(())
        } else {
            Err(Fault::new(format!("{} failed.", shown(command)), remedy))
        }
    }

    /// Like `run`, but ends the program after `limit`; `false` if it failed or took longer.
    pub(crate) fn run_within(&self, command: &mut Command, limit: Duration) -> Result<bool, Fault> {
        let mut child = self.start(command)?;
        let started = Instant::now();
        while started.elapsed() < limit {
            match child.try_wait() {
                Ok(Some(status)) => return Ok(status.success()),
                Ok(None) => std::thread::sleep(Duration::from_millis(50)),
                Err(_) => break,
            }
        }
        // It may just have ended; either way it is over.
        let _ = child.kill();
        let _ = child.wait();
        Ok(false)
    }

    fn start(&self, command: &mut Command) -> Result<Child, Fault> {
        let open = || {
            OpenOptions::new().append(true).open(&self.path).map_err(|error| Fault::file(&self.path, &error))
        };
        command
            .env("CARGO_TERM_COLOR", "never")
            .env("NO_COLOR", "1")
            .stdin(Stdio::null())
            .stdout(open()?)
            .stderr(open()?)
            .spawn()
            .map_err(|error| cannot_start(command, &error))
    }
}

/// The error for a program that could not be started.
pub(crate) fn cannot_start(command: &Command, error: &std::io::Error) -> Fault {
    let program = command.get_program().to_string_lossy().into_owned();
    Fault::new(
        format!("{program} could not be started: {error}."),
        format!("Check that {program} is installed and on PATH."),
    )
}

/// The command as typed in a shell.
fn shown(command: &Command) -> String {
    let program =
        Path::new(command.get_program()).file_name().unwrap_or_default().to_string_lossy().into_owned();
    let arguments = command.get_args().map(|a| a.to_string_lossy().into_owned());
    std::iter::once(program).chain(arguments).collect::<Vec<_>>().join(" ")
}
