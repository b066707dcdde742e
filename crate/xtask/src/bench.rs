//! `cargo xtask bench`: the benchmarks and their table.
//!
//! A benchmark is named `thing/ours`, and the naive way of doing the same `thing/naive`. Both are measured in one run,
//! so that their ratio is meaningful on any machine.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::time::SystemTime;

use serde_json::Value;

use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, answer, cargo};
use crate::steps::Steps;
use crate::workspace::Workspace;
use crate::{lighthouse, setup, suite};

/// Times of one thing done in two ways, ns; a benchmark with another name gets its own row.
#[derive(Debug, Default, PartialEq)]
struct Row {
    ours: Option<f64>,
    naive: Option<f64>,
}

/// The name of the built page in the list of crates to measure.
const PAGE: &str = "page";

/// `crates`: the crates to measure, and `page`; empty for all.
pub(crate) fn run(crates: &[String]) -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    for name in crates {
        if name != PAGE && workspace.member(name).is_none() {
            return Err(Fault::new(
                format!("There is no crate {name}."),
                "Use the name of a folder in crate/, or page.",
            ));
        }
    }
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    let started = SystemTime::now();
    let members = workspace.members.iter().map(|id| &workspace.packages[id]);
    for package in
        members.filter(|p| !p.benches.is_empty() && (crates.is_empty() || crates.contains(&p.name)))
    {
        steps.run(&format!("bench {}", package.name), &package.benches.join(", "), |log| {
            let mut command = cargo();
            command.args(["bench", "-p", &package.name]).current_dir(&workspace.root);
            // By name: the library's own test program would not know criterion's options.
            for bench in &package.benches {
                command.args(["--bench", bench]);
            }
            command.args(["--", "--noplot", "--sample-size", "20", "--warm-up-time", "0.5"]);
            command.args(["--measurement-time", "2"]);
            log.must_run(&mut command, "Correct the compiler's errors, or read the log.")?;
            Ok(Done::prepared(""))
        });
    }
    if crates.is_empty() || crates.iter().any(|name| name == PAGE) {
        steps.run("first light", "the built page from loading to a lit window, 1440 × 900", |log| {
            first_light(&workspace, log)
        });
        steps.run("lighthouse", "the built page, as on a desktop", |log| lighthouse::run(&workspace, log));
    }
    let rows = measured(&workspace.target.join("criterion"), started);
    println!("\n{}\n", machine());
    if rows.is_empty() {
        println!("No benchmark was measured.");
    } else {
        print!("{}", table(&rows));
    }
    if let Some(sizes) = sizes(&workspace.www().join("dist")) {
        println!("\n{sizes}");
    }
    Ok(steps.good())
}

/// The page's time to its first lit picture with each way of drawing, as printed by `www/tests/bench.spec.ts`.
fn first_light(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    if !workspace.www().join("dist/index.html").is_file() || setup::chromium().is_none() {
        return Ok(Done::skipped("no built page (cargo xtask build) or no Chromium: skipped"));
    }
    let ways = ["--project=bench-webgpu", "--project=bench-webgl2", "--project=bench-none"];
    suite::playwright(workspace, log, &ways)?;
    let text = log.text();
    let found: Vec<&str> =
        text.lines().filter_map(|line| line.split_once("MEASURED ")).map(|l| l.1).collect();
    Ok(Done::prepared(found.join("; ")))
}

/// The estimates below `folder` that were written after `since`.
fn measured(folder: &Path, since: SystemTime) -> BTreeMap<String, Row> {
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(&folder).into_iter().flatten().filter_map(|e| e.ok().map(|e| e.path())) {
            if !path.is_dir() {
                continue;
            }
            if path.file_name().is_some_and(|name| name == "new") {
                let fresh = fs::metadata(path.join("estimates.json")).and_then(|m| m.modified());
                if fresh.is_ok_and(|time| time >= since)
                    && let Some((name, time)) = estimate(&path)
                {
                    put(&mut rows, &name, time);
                }
            } else {
                folders.push(path);
            }
        }
    }
    rows
}

fn put(rows: &mut BTreeMap<String, Row>, name: &str, time: f64) {
    match name.rsplit_once('/') {
        Some((thing, "ours")) => rows.entry(thing.to_owned()).or_default().ours = Some(time),
        Some((thing, "naive")) => rows.entry(thing.to_owned()).or_default().naive = Some(time),
        _ => rows.entry(name.to_owned()).or_default().ours = Some(time),
    }
}

/// Name and time of one benchmark, ns: the slope over many iterations if criterion has it, otherwise the median.
fn estimate(folder: &Path) -> Option<(String, f64)> {
    let read = |file: &str| -> Option<Value> {
        serde_json::from_str(&fs::read_to_string(folder.join(file)).ok()?).ok()
    };
    let name = read("benchmark.json")?.get("full_id")?.as_str()?.to_owned();
    let estimates = read("estimates.json")?;
    let point = |key: &str| estimates.get(key)?.get("point_estimate")?.as_f64();
    Some((name, point("slope").or_else(|| point("median"))?))
}

fn table(rows: &BTreeMap<String, Row>) -> String {
    let mut lines = vec![["what", "ours", "naive", "ratio"].map(str::to_owned)];
    for (thing, row) in rows {
        let shown = |time: Option<f64>| time.map_or("–".to_owned(), nanoseconds);
        let ratio = match (row.ours, row.naive) {
            (Some(ours), Some(naive)) if ours > 0.0 => format!("{:.1} ×", naive / ours),
            _ => "–".to_owned(),
        };
        lines.push([thing.clone(), shown(row.ours), shown(row.naive), ratio]);
    }
    let width = |column: usize| lines.iter().map(|l| l[column].chars().count()).max().unwrap_or(0);
    let widths = [0, 1, 2, 3].map(width);
    lines
        .iter()
        .map(|[a, b, c, d]| {
            let [wa, wb, wc, wd] = widths;
            format!("{a:<wa$}  {b:>wb$}  {c:>wc$}  {d:>wd$}\n")
        })
        .collect()
}

/// Three significant digits with a suitable unit.
fn nanoseconds(time: f64) -> String {
    let (value, unit) = match time {
        t if t < 1e3 => (t, "ns"),
        t if t < 1e6 => (t / 1e3, "µs"),
        t if t < 1e9 => (t / 1e6, "ms"),
        t => (t / 1e9, "s"),
    };
    let digits = if value < 10.0 { 2 } else { usize::from(value < 100.0) };
    format!("{value:.digits$} {unit}")
}

/// Processor, its threads and the compiler.
fn machine() -> String {
    let info = fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
    let model = info
        .lines()
        .find(|line| line.starts_with("model name"))
        .and_then(|line| line.split(':').nth(1))
        .map_or(std::env::consts::ARCH, str::trim);
    let threads = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let compiler = answer("rustc", &["--version"]).unwrap_or_default();
    format!("Machine: {model}, {threads} threads, {}; {compiler}", std::env::consts::OS)
}

/// Sizes of the built page by kind of file, raw and as a server sends them (brotli 11), with their limits.
fn sizes(dist: &Path) -> Option<String> {
    const SCRIPT: &str = "
const fs = require('node:fs'), path = require('node:path'), zlib = require('node:zlib');
const kinds = {}, dist = process.argv[1];
const budgets = { wasm: 1500, js: 150, css: 15, woff2: 100 };
for (const file of fs.readdirSync(dist, { recursive: true })) {
  const full = path.join(dist, file);
  if (!fs.statSync(full).isFile()) continue;
  const bytes = fs.readFileSync(full), kind = path.extname(file).slice(1);
  const sum = (kinds[kind] ??= [0, 0]);
  sum[0] += bytes.length;
  sum[1] += kind === 'woff2' || kind === 'png' ? bytes.length : zlib.brotliCompressSync(bytes).length;
}
const kb = (n) => (n / 1000).toFixed(1).padStart(10);
console.log('built page      raw KB  brotli KB  budget KB');
for (const kind of Object.keys(kinds).sort()) {
  const [raw, sent] = kinds[kind], budget = budgets[kind];
  const over = budget === undefined ? '' : String(budget).padStart(11) + (sent > budget * 1000 ? '  over' : '');
  console.log(kind.padEnd(11) + kb(raw) + ' ' + kb(sent) + over);
}
";
    if !dist.join("index.html").is_file() {
        return None;
    }
    let output = Command::new("node").args(["-e", SCRIPT]).arg(dist).output().ok()?;
    output.status.success().then(|| String::from_utf8_lossy(&output.stdout).trim_end().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_the_two_ways() {
        let mut rows = BTreeMap::new();
        put(&mut rows, "xyz/batch/ours", 1e3);
        put(&mut rows, "xyz/batch/naive", 4e3);
        put(&mut rows, "frame", 3e7);
        let both = Row { ours: Some(1e3), naive: Some(4e3) };
        assert_eq!(rows["xyz/batch"], both);
        assert_eq!(
            table(&rows),
            "what          ours    naive  ratio\n\
             frame      30.0 ms        –      –\n\
             xyz/batch  1.00 µs  4.00 µs  4.0 ×\n"
        );
    }

    #[test]
    fn times_have_three_digits() {
        let check = |time, expected: &str| assert_eq!(nanoseconds(time), expected);
        check(1.234, "1.23 ns");
        check(45_678.0, "45.7 µs");
        check(345_678_000.0, "346 ms");
        check(2.5e9, "2.50 s");
    }
}
