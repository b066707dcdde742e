//! Benchmarks of colour.
fn main() {}
