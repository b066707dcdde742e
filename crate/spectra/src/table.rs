//! The number tables in `data/`, parsed when first used: as text they take a third of the space in a download that the
//! numbers take in binary.

use crate::{SAMPLES, Spectrum, wavelengths_nm};

/// The columns of a table of decimal numbers. Lines starting with `#` and one heading line come first; fields are
/// separated by commas.
///
/// # Panics
/// If the table has another shape or holds anything but numbers. Tables are compiled in, and every one is read by a test.
pub(crate) fn columns<const ROWS: usize, const COLUMNS: usize>(csv: &str) -> [[f64; ROWS]; COLUMNS] {
    let mut rows = csv.lines().skip_while(|line| line.starts_with('#')).skip(1);
    let mut columns = [[0.0; ROWS]; COLUMNS];
    for row in 0..ROWS {
        let mut fields = rows.next().expect("a row for each place").split(',');
        for column in &mut columns {
            column[row] = fields.next().expect("a field for each column").parse().expect("a number");
        }
        assert!(fields.next().is_none(), "a row of the table has too many fields");
    }
    assert!(rows.next().is_none(), "the table has more rows than expected");
    columns
}

/// The spectra of a table on the project's grid, whose first column is the wavelength.
///
/// # Panics
/// As [`columns`], and if the wavelengths are not those of the grid.
pub(crate) fn spectra<const COLUMNS: usize, const SPECTRA: usize>(csv: &str) -> [Spectrum; SPECTRA] {
    let columns: [[f64; SAMPLES]; COLUMNS] = columns(csv);
    assert!(columns[0].into_iter().eq(wavelengths_nm()), "the table is not on the grid");
    std::array::from_fn(|i| Spectrum::new(columns[i + 1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_the_heading_are_skipped() {
        assert_eq!(columns::<2, 2>("# a\n# b\nx,y\n1,2e-1\n3,4\n"), [[1.0, 3.0], [0.2, 4.0]]);
    }

    #[test]
    fn tables_of_another_shape_are_refused() {
        for csv in
            ["x,y\n1,2\n3\n", "x,y\n1,2,3\n3,4,5\n", "x,y\n1,2\n", "x,y\n1,2\n3,4\n5,6\n", "x,y\n1,a\n3,4\n"]
        {
            assert!(std::panic::catch_unwind(|| columns::<2, 2>(csv)).is_err(), "{csv}");
        }
    }
}
