//! Reading the check data.
#![allow(dead_code, unreachable_pub, missing_docs)] // Each test file uses its part.

use std::collections::HashMap;
use std::path::Path;

use glass::{Absorbance, Family, Glass, Provenance};
use spectra::{SAMPLES, Spectrum};

pub struct Table {
    pub head: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

pub fn text(folder: &str, file: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference").join(folder).join(file);
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

pub fn table(file: &str) -> Table {
    let mut rows = text("glass", file).lines().map(cells).collect::<Vec<_>>().into_iter();
    Table { head: rows.next().unwrap(), rows: rows.collect() }
}

/// Cells of one line; quotes keep commas.
fn cells(line: &str) -> Vec<String> {
    let (mut out, mut quoted) = (vec![String::new()], false);
    for c in line.trim_end().chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => out.push(String::new()),
            _ => out.last_mut().unwrap().push(c),
        }
    }
    out
}

impl Table {
    pub fn records(&self) -> impl Iterator<Item = HashMap<&str, &str>> {
        self.rows
            .iter()
            .map(|r| self.head.iter().map(String::as_str).zip(r.iter().map(String::as_str)).collect())
    }

    /// A column of 81 numbers.
    pub fn spectrum(&self, column: &str) -> Spectrum {
        let place =
            self.head.iter().position(|h| h == column).unwrap_or_else(|| panic!("no column {column}"));
        assert_eq!(self.rows.len(), SAMPLES);
        let samples: Vec<f64> = self.rows.iter().map(|r| r[place].parse().unwrap()).collect();
        Spectrum::from_slice(&samples).unwrap()
    }
}

pub fn number(record: &HashMap<&str, &str>, key: &str) -> f64 {
    record[key].parse().unwrap_or_else(|_| panic!("{key}: {:?}", record[key]))
}

pub fn worst(a: &Spectrum, b: &Spectrum) -> f64 {
    (*a - *b).map(f64::abs).max()
}

/// A glass of index `n` and internal transmittance `tau` at 1 mm.
pub fn plain(id: &str, n: f64, tau: f64) -> Glass {
    let base = Absorbance::per_mm(Spectrum::splat(-tau.log10()));
    Glass { n, ..Glass::pot_metal(id, id, Family::White, base, Provenance::Recipe) }
}
