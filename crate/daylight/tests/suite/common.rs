//! Reading the check data in `tests/reference/`; its README gives the source of each file.
#![allow(dead_code, unreachable_pub, reason = "each test file uses a part, and none is a library")]

use std::collections::HashMap;
use std::path::PathBuf;

pub type Row = HashMap<String, String>;

pub fn text(file: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference").join(file);
    std::fs::read_to_string(&path).unwrap_or_else(|fault| panic!("{}: {fault}", path.display()))
}

/// Rows of a CSV by column name. A column without a name is "".
pub fn csv(file: &str) -> Vec<Row> {
    let text = text(file);
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let rows = lines
        .map(|line| names.iter().map(|n| n.to_string()).zip(line.split(',').map(str::to_owned)).collect());
    rows.collect()
}

pub fn json(file: &str) -> serde_json::Value {
    serde_json::from_str(&text(file)).unwrap()
}

pub fn num(row: &Row, column: &str) -> f64 {
    row[column].parse().unwrap_or_else(|_| panic!("{column}: {:?}", row[column]))
}
