//! Counts tests from the output of test programs, and finds the relevant lines when one fails.

use std::fmt;

use serde_json::Value;

/// Tests passed, failed and skipped. Shown as `3 passed, 0 failed`, with `, 1 skipped` after it if any.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) passed: u64,
    pub(crate) failed: u64,
    pub(crate) skipped: u64,
}

impl Counts {
    pub(crate) fn add(&mut self, other: Self) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

impl fmt::Display for Counts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} passed, {} failed", self.passed, self.failed)?;
        if self.skipped > 0 {
            write!(f, ", {} skipped", self.skipped)?;
        }
        Ok(())
    }
}

/// Sums the `test result:` lines of Rust test programs, native or wasm.
pub(crate) fn from_rust(log: &str) -> Counts {
    let mut counts = Counts::default();
    for line in log.lines().filter_map(|line| line.trim().strip_prefix("test result: ")) {
        // ok. 12 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.01s
        let words: Vec<&str> = line.split([' ', ';', '.']).filter(|word| !word.is_empty()).collect();
        for pair in words.windows(2) {
            let Ok(number) = pair[0].parse::<u64>() else { continue };
            match pair[1] {
                "passed" => counts.passed += number,
                "failed" => counts.failed += number,
                "ignored" => counts.skipped += number,
                _ => {}
            }
        }
    }
    counts
}

/// Reads the last line of Vitest's report that counts tests: `Tests  1 failed | 12 passed | 2 skipped (15)`.
pub(crate) fn from_vitest(log: &str) -> Option<Counts> {
    let line = log.lines().rev().find_map(|line| line.trim().strip_prefix("Tests "))?;
    let mut counts = Counts::default();
    let words: Vec<&str> = line.split_whitespace().collect();
    for pair in words.windows(2) {
        let Ok(number) = pair[0].parse::<u64>() else { continue };
        match pair[1] {
            "passed" => counts.passed += number,
            "failed" => counts.failed += number,
            "skipped" | "todo" => counts.skipped += number,
            _ => {}
        }
    }
    (counts != Counts::default()).then_some(counts)
}

/// Reads the `stats` of Playwright's JSON report. A flaky test, which passed only when repeated, counts as failed.
pub(crate) fn from_playwright(report: &str) -> Option<Counts> {
    let report: Value = serde_json::from_str(report).ok()?;
    let stats = report.get("stats")?;
    let number = |key: &str| stats.get(key).and_then(Value::as_u64);
    // Errors outside any test, such as a server that does not start, are in a separate list.
    let outside = report.get("errors").and_then(Value::as_array).map_or(0, Vec::len) as u64;
    Some(Counts {
        passed: number("expected")?,
        failed: number("unexpected")? + number("flaky")? + outside,
        skipped: number("skipped")?,
    })
}

/// Most lines of its log that a failed step shows.
const EXCERPT_LINES: usize = 120;

/// The lines of a log that tell why a step failed: compiler errors and failed tests with their output; if there are
/// none, its last lines.
pub(crate) fn excerpt(log: &str) -> Vec<&str> {
    let mut picked = Vec::new();
    let mut inside = false;
    for line in log.lines() {
        if line.starts_with("error") || line.starts_with("---- ") || line.contains("panicked at") {
            inside = true;
        } else if line.starts_with("test result:")
            || line.starts_with("     Running")
            || line.starts_with("warning: build failed")
            || (line.starts_with("test ") && line.ends_with("... ok"))
        {
            inside = false;
        }
        if inside {
            picked.push(line);
        }
    }
    if picked.is_empty() {
        picked = log.lines().collect();
        picked.drain(..picked.len().saturating_sub(EXCERPT_LINES));
    }
    picked.truncate(EXCERPT_LINES);
    picked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_rust_test_programs() {
        let log = "\
running 2 tests
test a ... ok
test result: ok. 2 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s

test result: FAILED. 10 passed; 3 failed; 1 ignored; 0 measured; 4 filtered out; finished in 1.20s
    test result: ok. 5 passed; 0 failed; 0 ignored; 0 filtered out; finished in 0.31s
";
        assert_eq!(from_rust(log), Counts { passed: 17, failed: 3, skipped: 1 });
    }

    #[test]
    fn no_result_lines_count_nothing() {
        assert_eq!(from_rust("error[E0425]: cannot find value\n3 passed, 0 failed"), Counts::default());
    }

    #[test]
    fn reads_playwright() {
        let report = r#"{"errors":[],"stats":{"expected":7,"skipped":2,"unexpected":1,"flaky":1}}"#;
        assert_eq!(from_playwright(report), Some(Counts { passed: 7, failed: 2, skipped: 2 }));
        let broken =
            r#"{"errors":[{"message":"x"}],"stats":{"expected":0,"skipped":0,"unexpected":0,"flaky":0}}"#;
        assert_eq!(from_playwright(broken), Some(Counts { failed: 1, ..Counts::default() }));
        assert_eq!(from_playwright("no report"), None);
    }

    #[test]
    fn reads_vitest() {
        let log =
            " Test Files  2 passed (2)\n      Tests  1 failed | 12 passed | 2 skipped (15)\n   Duration  1 s";
        assert_eq!(from_vitest(log), Some(Counts { passed: 12, failed: 1, skipped: 2 }));
        assert_eq!(from_vitest("      Tests  no tests\n"), None);
        assert_eq!(from_vitest("Error: no such file"), None);
    }

    #[test]
    fn summary_is_one_plain_line() {
        assert_eq!(Counts { passed: 3, failed: 0, skipped: 0 }.to_string(), "3 passed, 0 failed");
        assert_eq!(Counts { passed: 3, failed: 1, skipped: 2 }.to_string(), "3 passed, 1 failed, 2 skipped");
    }

    #[test]
    fn excerpt_keeps_errors_and_failed_tests() {
        let log = "   Compiling a\nerror[E1]: no\n --> here\n\n     Running b\ntest c ... ok\n---- d stdout ----\nleft\ntest result: FAILED.\n";
        assert_eq!(excerpt(log), ["error[E1]: no", " --> here", "", "---- d stdout ----", "left"]);
        assert_eq!(excerpt("one\ntwo"), ["one", "two"]);
    }
}
