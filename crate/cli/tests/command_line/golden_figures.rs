//! The demos' figures to the printed digit: a code change must not alter them by accident.
//!
//! `UPDATE_FIGURES=1 cargo test -p cli golden` writes them again; the commit must say why they changed.

use std::fmt::Write;
use std::path::PathBuf;

use serde_json::Value;

use crate::run::{DEMOS, clerestory_once, demo};

/// Everything printed for a demo: the scene as drawn from each place, each of its variants, its day.
fn figures(name: &str) -> String {
    let path = demo(name);
    let scene: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
    let names = |list: &str| -> Vec<String> {
        let found = scene[list].as_array().into_iter().flatten();
        found.map(|entry| entry["name"].as_str().unwrap().to_owned()).collect()
    };
    let path = path.to_str().unwrap();
    let mut calls: Vec<Vec<String>> = vec![vec!["day".into()], vec!["report".into(), "--pieces".into()]];
    calls.extend(names("places").into_iter().map(|place| vec!["report".into(), "--place".into(), place]));
    calls.extend(
        names("variants").into_iter().map(|variant| vec!["report".into(), "--variant".into(), variant]),
    );
    let mut text = String::new();
    for call in calls {
        let mut arguments = call.clone();
        arguments.insert(1, path.to_owned());
        let run = clerestory_once(&arguments);
        assert_eq!(run.code, Some(0), "{call:?}: {}", run.err);
        writeln!(text, "---- {}\n{}", call.join(" "), run.out).unwrap();
    }
    text
}

#[test]
fn every_printed_figure_of_the_demos_is_unchanged() {
    for name in DEMOS {
        let kept = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/golden/{name}.txt"));
        let now = figures(name);
        if std::env::var_os("UPDATE_FIGURES").is_some() {
            std::fs::write(&kept, &now).unwrap();
        }
        let before = std::fs::read_to_string(&kept).unwrap_or_default();
        for (number, (before, now)) in before.lines().zip(now.lines()).enumerate() {
            assert_eq!(before, now, "{}, line {}", kept.display(), number + 1);
        }
        assert_eq!(before.lines().count(), now.lines().count(), "{}", kept.display());
    }
}
