//! The data files, read at compile time: no parsing and no allocation at run time.

use crate::{SAMPLES, Spectrum};

/// Powers of ten that an `f64` represents exactly.
const TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
    1e19, 1e20, 1e21, 1e22,
];

/// The columns of a table of decimal numbers. Lines starting with `#` and one heading line come first; fields are
/// separated by commas.
///
/// A wrong shape or number stops the build. Each number is exactly the nearest `f64`: a decimal of at most 2⁵³
/// divided or multiplied by a power of ten up to 10²² takes one correctly rounded operation (Clinger 1990).
pub(crate) const fn columns<const ROWS: usize, const COLUMNS: usize>(csv: &[u8]) -> [[f64; ROWS]; COLUMNS] {
    let mut out = [[0.0; ROWS]; COLUMNS];
    let mut at = 0;
    while csv[at] == b'#' {
        at = next_line(csv, at);
    }
    at = next_line(csv, at);
    let mut row = 0;
    while row < ROWS {
        let mut column = 0;
        while column < COLUMNS {
            let (value, end) = number(csv, at);
            out[column][row] = value;
            let last = column + 1 == COLUMNS;
            assert!(
                csv[end] == if last { b'\n' } else { b',' },
                "a row of the table has too few or too many fields"
            );
            at = end + 1;
            column += 1;
        }
        row += 1;
    }
    assert!(at == csv.len(), "the table has more rows than expected");
    out
}

/// One column of a table on the project's grid, whose first column is the wavelength.
pub(crate) const fn spectrum<const COLUMNS: usize>(
    table: &[[f64; SAMPLES]; COLUMNS],
    column: usize,
) -> Spectrum {
    let (first_nm, last_nm) = (table[0][0], table[0][SAMPLES - 1]);
    assert!(first_nm as u32 == 380 && last_nm as u32 == 780, "the table is not on the grid");
    Spectrum::new(table[column])
}

const fn next_line(csv: &[u8], mut at: usize) -> usize {
    while csv[at] != b'\n' {
        at += 1;
    }
    at + 1
}

const fn number(csv: &[u8], mut at: usize) -> (f64, usize) {
    let negative = csv[at] == b'-';
    if negative {
        at += 1;
    }
    let (mut mantissa, mut exponent, mut fraction) = (0u64, 0i32, false);
    loop {
        match csv[at] {
            digit @ b'0'..=b'9' => {
                mantissa = mantissa * 10 + (digit - b'0') as u64;
                if fraction {
                    exponent -= 1;
                }
            }
            b'.' => fraction = true,
            _ => break,
        }
        at += 1;
    }
    if csv[at] == b'e' {
        at += 1;
        let down = csv[at] == b'-';
        if down || csv[at] == b'+' {
            at += 1;
        }
        let mut power = 0;
        while csv[at].is_ascii_digit() {
            power = power * 10 + (csv[at] - b'0') as i32;
            at += 1;
        }
        exponent += if down { -power } else { power };
    }
    assert!(
        mantissa < 1 << 53 && exponent.abs() <= 22,
        "a number of the table is too long to be read exactly"
    );
    let size = mantissa as f64;
    let value = if exponent < 0 { size / TEN[-exponent as usize] } else { size * TEN[exponent as usize] };
    (if negative { -value } else { value }, at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_standard_library_reads_them() {
        for text in ["0.006450001", "3.9e-05", "5.35027e-07", "-1.25", "100", "0.0", "1.7e+3"] {
            let line = format!("{text}\n");
            let (value, end) = number(line.as_bytes(), 0);
            assert_eq!(value.to_bits(), text.parse::<f64>().unwrap().to_bits(), "{text}");
            assert_eq!(end, text.len());
        }
    }

    #[test]
    fn comments_and_the_heading_are_skipped() {
        assert_eq!(columns::<2, 2>(b"# a\n# b\nx,y\n1,2\n3,4\n"), [[1.0, 3.0], [2.0, 4.0]]);
    }

    #[test]
    #[should_panic(expected = "too few or too many fields")]
    fn a_short_row_is_refused() {
        columns::<2, 2>(b"x,y\n1,2\n3\n");
    }
}
