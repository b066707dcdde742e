//! Aligned columns of text.

/// How a column's cells are aligned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Align {
    /// To the left, for words.
    Left,
    /// To the right, for numbers.
    Right,
}

/// Rows of cells, two spaces between columns, each line indented by two.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    align: Vec<Align>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(crate) fn new(align: &[Align]) -> Self {
        Self { align: align.to_vec(), rows: Vec::new() }
    }

    pub(crate) fn row<const N: usize>(&mut self, cells: [&str; N]) {
        self.rows.push(cells.map(str::to_owned).to_vec());
    }

    pub(crate) fn text(&self) -> String {
        let width = |column: usize| {
            self.rows.iter().filter_map(|r| r.get(column)).map(|c| c.chars().count()).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..self.align.len()).map(width).collect();
        let mut text = String::new();
        for row in &self.rows {
            let mut line = String::new();
            for ((cell, &width), align) in row.iter().zip(&widths).zip(&self.align) {
                line += "  ";
                let blanks = " ".repeat(width - cell.chars().count());
                match align {
                    Align::Left => line += &(cell.to_owned() + &blanks),
                    Align::Right => line += &(blanks + cell),
                }
            }
            text += line.trim_end();
            text.push('\n');
        }
        text
    }
}

/// A figure with the digits that its accuracy supports: three significant ones, and no decimals from 100 on.
pub(crate) fn figure(value: f64) -> String {
    let size = value.abs();
    if size >= 100.0 {
        let digits = (size.log10().floor() as i32 - 2).max(0);
        let step = 10f64.powi(digits);
        grouped((value / step).round() * step)
    } else if size >= 10.0 {
        format!("{value:.1}")
    } else if size >= 1.0 {
        format!("{value:.2}")
    } else if size >= 0.000_5 {
        format!("{value:.3}")
    } else if size > 0.0 {
        "<0.001".to_owned()
    } else {
        "0".to_owned()
    }
}

/// What is said once below parts that do not add up as they are printed.
pub(crate) const ROUNDED: &str = "  Rounded, so the parts need not add up.\n";

/// Whether printed parts add up to their printed total.
pub(crate) fn adds_up(total: &str, parts: &[&str]) -> bool {
    // "<0.001" counts as nothing.
    let number = |text: &str| text.replace(' ', "").parse::<f64>().unwrap_or(0.0);
    let total = number(total);
    let sum: f64 = parts.iter().map(|part| number(part)).sum();
    (sum - total).abs() <= 1e-9 * total.max(1.0)
}

/// A whole number with digits in groups of three.
pub(crate) fn grouped(value: f64) -> String {
    let plain = format!("{:.0}", value.abs());
    let mut out = String::new();
    for (i, digit) in plain.chars().enumerate() {
        if i > 0 && (plain.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    if value < 0.0 { format!("−{out}") } else { out }
}

/// A figure, or a dash if there is none.
pub(crate) fn figure_or_dash(value: Option<f64>) -> String {
    value.map_or_else(|| "–".to_owned(), figure)
}

/// A share in per cent.
pub(crate) fn per_cent(value: Option<f64>) -> String {
    value.map_or_else(
        || "–".to_owned(),
        |v| if v < 0.0995 { format!("{:.1} %", 100.0 * v) } else { format!("{:.0} %", 100.0 * v) },
    )
}

/// A number with this many decimals and a real minus sign, or a dash.
pub(crate) fn fixed(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |v| format!("{v:.decimals$}").replace('-', "−"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_have_three_digits_that_count() {
        for (value, text) in [
            (0.0, "0"),
            (0.000_04, "<0.001"),
            (0.012_3, "0.012"),
            (0.5, "0.500"),
            (3.456, "3.46"),
            (45.67, "45.7"),
            (456.7, "457"),
            (98_765.0, "98 800"),
            (1_234_567.0, "1 230 000"),
            (-1500.0, "−1 500"),
        ] {
            assert_eq!(figure(value), text, "{value}");
        }
        assert_eq!(
            (per_cent(Some(0.034)), per_cent(Some(0.5)), per_cent(None)),
            ("3.4 %".into(), "50 %".into(), "–".into())
        );
        assert_eq!((fixed(Some(-9.14), 1), fixed(None, 1)), ("−9.1".into(), "–".into()));
    }

    #[test]
    fn parts_add_up_as_they_are_printed() {
        assert!(adds_up("1 000", &["540", "0", "460"]));
        assert!(adds_up("0.300", &["0.100", "0.200", "<0.001"]));
        assert!(!adds_up("1 000", &["490", "0", "460"]));
    }

    #[test]
    fn columns_stand_under_each_other() {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
        table.row(["a", "1", "lx"]);
        table.row(["longer", "234", "µ"]);
        assert_eq!(table.text(), "  a         1  lx\n  longer  234  µ\n");
    }
}
