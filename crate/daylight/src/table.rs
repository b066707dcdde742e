//! Reading the number tables in `data/`.

/// Rows of a comma-separated table of numbers after its one header line. A field that is missing or not a number
/// counts as zero: the tables are compiled in, and tests check their contents.
pub(crate) fn rows<const N: usize>(text: &'static str) -> impl Iterator<Item = [f64; N]> {
    text.lines().skip(1).map(|line| {
        let mut row = [0.0; N];
        for (value, field) in row.iter_mut().zip(line.split(',')) {
            *value = field.trim().parse().unwrap_or_default();
        }
        row
    })
}
