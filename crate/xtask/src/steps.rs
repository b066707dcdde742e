//! Steps: each prints what it does, how it ended and how long it took; one line sums them up.

use std::io::Write;
use std::path::PathBuf;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use crate::counts::{Counts, excerpt};
use crate::done::Done;
use crate::fault::Fault;
use crate::process::Log;
use crate::schedule::{Demand, Next, State, Step, heavy_at_once, next};

/// The steps of a command and their results so far.
pub(crate) struct Steps {
    logs: PathBuf,
    total: Counts,
    started: Instant,
    times: Vec<(String, Duration)>,
    failed: Vec<String>,
}

/// A finished step.
struct Ended {
    log: Result<Log, Fault>,
    result: Result<Done, Fault>,
    time: Duration,
}

impl Steps {
    /// `logs`: the folder for each step's log.
    pub(crate) fn new(logs: PathBuf) -> Result<Self, Fault> {
        std::fs::create_dir_all(&logs).map_err(|error| Fault::file(&logs, &error))?;
        let (times, failed) = (Vec::new(), Vec::new());
        Ok(Self { logs, total: Counts::default(), started: Instant::now(), times, failed })
    }

    /// Runs one step, prints its lines and returns whether dependent steps may run.
    pub(crate) fn run(
        &mut self,
        name: &str,
        what: &str,
        body: impl FnOnce(&Log) -> Result<Done, Fault>,
    ) -> bool {
        announce(name, what);
        let ended = run_body(self.log_path(name), body);
        self.report(name, ended)
    }

    /// Runs the steps of a plan in parallel as far as they allow, each as soon as it may start.
    pub(crate) fn run_all(&mut self, plan: Vec<Step<'_>>) {
        let demands: Vec<Demand> = plan.iter().map(Demand::of).collect();
        let names: Vec<String> = plan.iter().map(|step| step.name.clone()).collect();
        let mut waiting: Vec<Option<Step<'_>>> = plan.into_iter().map(Some).collect();
        let mut states = vec![State::Waiting; demands.len()];
        let (sender, ended) = mpsc::channel();
        std::thread::scope(|scope| {
            loop {
                match next(&demands, &states, heavy_at_once()) {
                    Next::LeaveOut(at, because) => {
                        states[at] = State::Bad;
                        self.leave_out(&names[at], because);
                    }
                    Next::Start(at) => {
                        states[at] = State::Running;
                        let Some(step) = waiting[at].take() else { continue };
                        announce(&step.name, &step.what);
                        let (sender, log) = (sender.clone(), self.log_path(&step.name));
                        scope.spawn(move || {
                            // The receiver lives until every step has ended.
                            let _ = sender.send((at, run_body(log, step.body)));
                        });
                    }
                    Next::Wait if states.contains(&State::Running) => {
                        let Ok((at, ended)) = ended.recv() else { break };
                        states[at] = if self.report(&names[at], ended) { State::Good } else { State::Bad };
                    }
                    Next::Wait => break,
                }
            }
        });
    }

    fn log_path(&self, name: &str) -> PathBuf {
        self.logs.join(format!("{}.log", name.replace(' ', "-")))
    }

    /// Prints how a step ended and records it; returns whether dependent steps may run.
    fn report(&mut self, name: &str, ended: Ended) -> bool {
        let time = shown(ended.time);
        self.times.push((name.to_owned(), ended.time));
        let (done, fault) = match ended.result {
            Ok(done) if done.counts.failed == 0 => {
                let mark = if done.counts.passed == 0 && done.counts.skipped > 0 { "–" } else { "✓" };
                let comma = if done.note.is_empty() { "" } else { ", " };
                println!("  {mark} {name}: {time}{comma}{}", done.note);
                self.total.add(done.counts);
                return true;
            }
            Ok(done) => (Some(done), None),
            Err(fault) => (None, Some(fault)),
        };
        self.failed.push(name.to_owned());
        let words = if let Some(done) = done {
            println!("  ✗ {name}: {time}, {}", done.note);
            self.total.add(done.counts);
            format!("What to do: {}", done.remedy)
        } else {
            println!("  ✗ {name}: {time}");
            self.total.failed += 1;
            fault.map(|fault| fault.to_string()).unwrap_or_default()
        };
        match ended.log {
            Ok(log) => tell(&log, &words),
            Err(fault) => println!("{fault}"),
        }
        false
    }

    /// Records a step that cannot run because an earlier one failed.
    pub(crate) fn leave_out(&mut self, name: &str, because: &str) {
        println!("• {name}: skipped, because {because} failed");
        self.total.skipped += 1;
    }

    /// Whether no step has failed.
    pub(crate) fn good(&self) -> bool {
        self.failed.is_empty()
    }

    /// Prints how long each step took, which failed, and the line of counts; `true` if all succeeded.
    pub(crate) fn summarise(&self) -> bool {
        println!("\nTime of each step:");
        for (name, time) in &self.times {
            println!("{:>12}  {name}", shown(*time));
        }
        println!("Total: {}.", shown(self.started.elapsed()));
        if !self.failed.is_empty() {
            println!("Failed: {}.", self.failed.join(", "));
        }
        println!("{}", self.total);
        self.good()
    }
}

fn announce(name: &str, what: &str) {
    println!("• {name}: {what}");
    let _ = std::io::stdout().flush();
}

fn run_body(log: PathBuf, body: impl FnOnce(&Log) -> Result<Done, Fault>) -> Ended {
    let started = Instant::now();
    let (log, result) = match Log::create(log) {
        Ok(log) => {
            let result = body(&log);
            (Ok(log), result)
        }
        Err(fault) => (Err(fault), Err(Fault::new("The step has no log.", "Free some disk space."))),
    };
    Ended { log, result, time: started.elapsed() }
}

fn tell(log: &Log, words: &str) {
    let text = log.text();
    for line in excerpt(&text) {
        println!("    | {line}");
    }
    for line in words.lines() {
        println!("    {line}");
    }
    if !text.trim().is_empty() {
        println!("    Full log: {}", log.path().display());
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Barrier;

    fn steps(test: &str) -> (Steps, PathBuf) {
        let folder = std::env::temp_dir().join(format!("clerestory-steps-{}-{test}", std::process::id()));
        (Steps::new(folder.clone()).expect("a folder for the logs"), folder)
    }

    #[test]
    fn independent_steps_run_side_by_side_and_all_are_counted() {
        let (mut steps, folder) = steps("beside");
        // Neither reaches it alone.
        let both = Barrier::new(2);
        let meet = |_: &Log| {
            both.wait();
            Ok(Done::checked(""))
        };
        steps.run_all(vec![
            Step::new("one", "", meet),
            Step::new("two", "", meet),
            Step::new("three", "", |_| Ok(Done::skipped(""))).needs(&["one", "two"]),
        ]);
        assert!(steps.good());
        assert_eq!(steps.total, Counts { passed: 2, failed: 0, skipped: 1 });
        assert_eq!(steps.times.len(), 3);
        std::fs::remove_dir_all(folder).expect("the test's own folder");
    }

    #[test]
    fn a_failure_leaves_out_what_needs_it_and_the_rest_runs() {
        let (mut steps, folder) = steps("failure");
        let run = std::sync::atomic::AtomicBool::new(false);
        steps.run_all(vec![
            Step::new("bad", "", |_| Err(Fault::new("No.", "Nothing."))),
            Step::new("worse", "", |_| {
                Ok(Done::counted(Counts { passed: 3, failed: 2, skipped: 0 }, "Fix it."))
            }),
            Step::new("skipped", "", |_| Ok(Done::checked(""))).needs(&["bad"]),
            Step::new("good", "", |_| {
                run.store(true, std::sync::atomic::Ordering::Relaxed);
                Ok(Done::checked(""))
            }),
        ]);
        assert!(!steps.good() && run.into_inner());
        assert_eq!(steps.total, Counts { passed: 4, failed: 3, skipped: 1 });
        steps.failed.sort();
        assert_eq!(steps.failed, ["bad", "worse"]);
        std::fs::remove_dir_all(folder).expect("the test's own folder");
    }
}
