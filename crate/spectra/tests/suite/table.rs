//! A small reader for the check files.

use std::collections::HashMap;
use std::path::PathBuf;

use spectra::{SAMPLES, Spectrum};

/// A comma-separated file with a heading line; no field contains a comma.
pub(crate) struct Table {
    columns: HashMap<String, usize>,
    rows: Vec<Vec<String>>,
}

pub(crate) struct Row<'a> {
    table: &'a Table,
    fields: &'a [String],
}

fn text(path: &str) -> String {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference").join(path);
    std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()))
}

pub(crate) fn json(path: &str) -> serde_json::Value {
    serde_json::from_str(&text(path)).unwrap()
}

impl Table {
    pub(crate) fn read(path: &str) -> Self {
        let text = text(path);
        let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<_>>());
        let columns = lines.next().unwrap().into_iter().enumerate().map(|(i, name)| (name, i)).collect();
        Self { columns, rows: lines.collect() }
    }

    /// The rows, of which there must be `count`: a truncated file must not pass.
    pub(crate) fn rows(&self, count: usize) -> impl Iterator<Item = Row<'_>> {
        assert_eq!(self.rows.len(), count);
        self.rows.iter().map(|fields| Row { table: self, fields })
    }

    /// One column on the project's grid.
    pub(crate) fn spectrum(&self, name: &str) -> Spectrum {
        let samples: Vec<f64> = self.rows(SAMPLES).map(|row| row.number(name)).collect();
        Spectrum::from_slice(&samples).unwrap()
    }
}

impl<'a> Row<'a> {
    pub(crate) fn text(&self, column: &str) -> &'a str {
        let at = *self.table.columns.get(column).unwrap_or_else(|| panic!("no column {column}"));
        &self.fields[at]
    }

    /// `None` for a blank field.
    pub(crate) fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|_| panic!("{column}: {text}")))
    }

    pub(crate) fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{column} is blank"))
    }

    pub(crate) fn numbers<const N: usize>(&self, columns: [&str; N]) -> [f64; N] {
        columns.map(|c| self.number(c))
    }
}

/// Equal within `tolerance`; NaN never is.
#[track_caller]
pub(crate) fn near(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected} within {tolerance:e}"
    );
}

/// Equal within `tolerance`, or both undefined.
#[track_caller]
pub(crate) fn near_or_none(what: &str, found: Option<f64>, expected: Option<f64>, tolerance: f64) {
    match (found, expected) {
        (Some(found), Some(expected)) => near(what, found, expected, tolerance),
        (found, expected) => assert_eq!(found, expected, "{what}"),
    }
}
