//! Steps: each says what it does, how it ended and how long it took; all of them add up to one line.

use std::io::Write;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use crate::counts::{Counts, excerpt};
use crate::fault::Fault;
use crate::process::Log;

/// How a step ended when nothing went wrong with the step itself.
pub(crate) struct Done {
    /// What it counted; a step with a failed test is a failed step.
    pub(crate) counts: Counts,
    /// A remark for the same line, or nothing.
    pub(crate) note: String,
    /// What to do if some of the counted tests failed.
    pub(crate) remedy: String,
}

impl Done {
    /// Preparation: counts as nothing.
    pub(crate) fn prepared(note: impl Into<String>) -> Self {
        Self { counts: Counts::default(), note: note.into(), remedy: String::new() }
    }

    /// One check that passed.
    pub(crate) fn checked(note: impl Into<String>) -> Self {
        Self { counts: Counts { passed: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// One check that could not be made here.
    pub(crate) fn skipped(note: impl Into<String>) -> Self {
        Self { counts: Counts { skipped: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// Tests, counted.
    pub(crate) fn counted(counts: Counts, remedy: impl Into<String>) -> Self {
        let ran = counts.passed + counts.failed;
        // In other words than the summary's, which is to be the only line of its form.
        let mut note = if counts.failed == 0 {
            format!("{ran} tests")
        } else {
            format!("{} of {ran} tests failed", counts.failed)
        };
        if counts.skipped > 0 {
            note += &format!(" ({} more skipped)", counts.skipped);
        }
        Self { counts, note, remedy: remedy.into() }
    }
}

/// The running account of a command's steps.
pub(crate) struct Steps {
    logs: PathBuf,
    total: Counts,
    started: Instant,
    failed: Vec<String>,
}

impl Steps {
    /// `logs`: the folder for each step's log.
    pub(crate) fn new(logs: PathBuf) -> Result<Self, Fault> {
        std::fs::create_dir_all(&logs).map_err(|error| Fault::file(&logs, &error))?;
        Ok(Self { logs, total: Counts::default(), started: Instant::now(), failed: Vec::new() })
    }

    /// Runs one step, prints its lines and says whether what builds on it may go on.
    pub(crate) fn run(
        &mut self,
        name: &str,
        what: &str,
        body: impl FnOnce(&Log) -> Result<Done, Fault>,
    ) -> bool {
        println!("• {name}: {what}");
        let _ = std::io::stdout().flush();
        let started = Instant::now();
        let log = match Log::create(self.logs.join(format!("{}.log", name.replace(' ', "-")))) {
            Ok(log) => log,
            Err(fault) => {
                println!("{fault}");
                self.fail(name);
                return false;
            }
        };
        let result = body(&log);
        let time = shown(started.elapsed());
        match result {
            Ok(done) if done.counts.failed == 0 => {
                let mark = if done.counts.passed == 0 && done.counts.skipped > 0 { "–" } else { "✓" };
                let comma = if done.note.is_empty() { "" } else { ", " };
                println!("  {mark} {time}{comma}{}", done.note);
                self.total.add(done.counts);
                true
            }
            Ok(done) => {
                println!("  ✗ {time}, {}", done.note);
                self.tell(&log, &format!("What to do: {}", done.remedy));
                self.total.add(done.counts);
                self.failed.push(name.to_owned());
                false
            }
            Err(fault) => {
                println!("  ✗ {time}");
                self.tell(&log, &fault.to_string());
                self.fail(name);
                false
            }
        }
    }

    /// A step that cannot be tried because one before it failed.
    pub(crate) fn leave_out(&mut self, name: &str, because: &str) {
        println!("• {name}: left out, because {because} failed");
        self.total.skipped += 1;
    }

    /// Whether no step has failed.
    pub(crate) fn good(&self) -> bool {
        self.failed.is_empty()
    }

    /// Prints which steps failed and the one line of counts; `true` if all went well.
    pub(crate) fn summarise(&self) -> bool {
        println!("\nTook {} in all.", shown(self.started.elapsed()));
        if !self.failed.is_empty() {
            println!("Failed: {}.", self.failed.join(", "));
        }
        println!("{}", self.total);
        self.good()
    }

    fn fail(&mut self, name: &str) {
        self.total.failed += 1;
        self.failed.push(name.to_owned());
    }

    fn tell(&self, log: &Log, words: &str) {
        let text = log.text();
        for line in excerpt(&text) {
            println!("    | {line}");
        }
        for line in words.lines() {
            println!("    {line}");
        }
        if !text.trim().is_empty() {
            println!("    The whole log: {}", log.path().display());
        }
    }
}

fn shown(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    if seconds < 99.95 {
        format!("{seconds:.1} s")
    } else {
        format!("{} min {:02} s", time.as_secs() / 60, time.as_secs() % 60)
    }
}
