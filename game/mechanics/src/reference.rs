//! Reading the tables of values that were not computed here, for tests.

use std::path::Path;

/// The rows of a table in `tests/reference`, each looked up by column name.
pub(crate) struct Table {
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub fn read(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../tests/reference")
            .join(name);
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .from_path(&path)
            .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let columns = reader.headers().unwrap().iter().map(String::from).collect();
        let rows: Vec<Vec<String>> = reader
            .records()
            .map(|r| r.unwrap().iter().map(String::from).collect())
            .collect();
        assert!(!rows.is_empty(), "{name} has no rows");
        Self { columns, rows }
    }

    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

pub(crate) struct Row<'a> {
    table: &'a Table,
    cells: &'a [String],
}

impl Row<'_> {
    pub fn text(&self, column: &str) -> &str {
        let i = self.table.columns.iter().position(|c| c == column);
        &self.cells[i.unwrap_or_else(|| panic!("no column {column}"))]
    }

    pub fn number(&self, column: &str) -> f64 {
        self.text(column).parse().unwrap()
    }
}

/// Whether `got` is within the relative tolerance of `want`.
pub(crate) fn agrees(got: f64, want: f64, tolerance: f64) -> bool {
    (got - want).abs() <= tolerance * want.abs()
}

#[test]
fn a_value_that_is_off_does_not_agree() {
    assert!(agrees(100.9, 100.0, 0.01));
    assert!(!agrees(101.1, 100.0, 0.01));
    assert!(!agrees(-100.0, 100.0, 0.01));
    assert!(!agrees(0.0, 100.0, 0.01));
    assert!(!agrees(f64::NAN, 100.0, 0.01));
    assert!(!agrees(f64::INFINITY, 100.0, 0.01));
}
