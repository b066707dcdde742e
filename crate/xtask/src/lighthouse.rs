//! Lighthouse on the built page: its four scores, and when the window was first lit.

use std::fs;
use std::process::Command;
use std::time::Duration;

use serde_json::Value;

use crate::done::Done;
use crate::fault::Fault;
use crate::process::Log;
use crate::workspace::Workspace;
use crate::{page, setup};

/// The newest version that runs on the Node version used to build the page.
const LIGHTHOUSE: &str = "lighthouse@12.8.2";
const LEAST_SCORE: f64 = 95.0;
/// The mark that the page sets with its first lit frame (state/picture.svelte.ts).
const FIRST_LIT: &str = "first lit picture";

/// Measures `www/dist` and leaves the report beside the logs. It reports the result and never fails: without a graphics
/// card, the processor that runs the page also draws the picture, which sets the speed.
pub(crate) fn run(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    if !workspace.www().join("dist/index.html").is_file() {
        return Ok(Done::skipped("the page is not built (cargo xtask build): skipped"));
    }
    let Some(chromium) = setup::chromium() else {
        return Ok(Done::skipped("no Chromium: skipped"));
    };
    let report = workspace.target.join("xtask/lighthouse.json");
    // Remove the report of an earlier run, so that it is not mistaken for this one's.
    let _ = fs::remove_file(&report);
    let port = page::free_port(4373)?;
    let mut server = page::serve(port)?;
    let mut command = Command::new(if cfg!(windows) { "npx.cmd" } else { "npx" });
    command
        .args(["--yes", LIGHTHOUSE, &format!("http://127.0.0.1:{port}/")])
        .args(["--quiet", "--preset=desktop", "--output=json", "--max-wait-for-load=90000"])
        // The page's thread is idle long before a slow card has drawn, but what counts is the lit window.
        .arg("--pauseAfterLoadMs=5000")
        .arg(format!("--output-path={}", report.display()))
        .arg("--chrome-flags=--headless=new --no-sandbox --enable-unsafe-swiftshader")
        .env("CHROME_PATH", chromium);
    let ran = log.run_within(&mut command, Duration::from_secs(300));
    let _ = server.kill();
    let _ = server.wait();
    let found = fs::read_to_string(&report).ok().and_then(|text| serde_json::from_str(&text).ok());
    match found {
        Some(found) if ran? => Ok(Done::prepared(in_words(&found))),
        _ => Ok(Done::skipped(format!(
            "{LIGHTHOUSE} could not be fetched or did not finish: skipped, see the log"
        ))),
    }
}

/// The four scores out of 100, with those below the minimum marked, and the time to the first lit picture.
fn in_words(report: &Value) -> String {
    let mut words: Vec<String> = ["performance", "accessibility", "best-practices", "seo"]
        .iter()
        .map(|category| {
            let score = report.pointer(&format!("/categories/{category}/score")).and_then(Value::as_f64);
            match score.map(|share| (share * 100.0).round()) {
                Some(score) if score < LEAST_SCORE => format!("{category} {score} (below {LEAST_SCORE})"),
                Some(score) => format!("{category} {score}"),
                None => format!("{category} not measured"),
            }
        })
        .collect();
    let marks = report.pointer("/audits/user-timings/details/items").and_then(Value::as_array);
    let lit = marks.into_iter().flatten().find(|mark| mark.get("name") == Some(&FIRST_LIT.into()));
    if let Some(time) = lit.and_then(|mark| mark.get("startTime")).and_then(Value::as_f64) {
        words.push(format!("{FIRST_LIT} after {time:.0} ms"));
    }
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_scores_and_the_first_light() {
        let report = serde_json::json!({
            "categories": {
                "performance": { "score": 0.71 },
                "accessibility": { "score": 1 },
                "best-practices": { "score": 0.95 },
                "seo": { "score": null },
            },
            "audits": { "user-timings": { "details": { "items": [
                { "name": "other", "startTime": 1.0 },
                { "name": FIRST_LIT, "startTime": 812.4 },
            ] } } },
        });
        assert_eq!(
            in_words(&report),
            "performance 71 (below 95), accessibility 100, best-practices 95, seo not measured, \
             first lit picture after 812 ms"
        );
    }
}
