//! Reads the reference tables and compares with them.

use std::collections::BTreeMap;
use std::path::PathBuf;

/// One row by column name.
pub type Row = BTreeMap<String, String>;

/// All rows of a table under the repository's `tests/reference`.
pub fn table(name: &str) -> Vec<Row> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/reference")
        .join(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| row.expect("a full row"))
        .collect();
    assert!(rows.len() > 1, "{name} holds rows");
    rows
}

/// A number of a row.
pub fn number(row: &Row, column: &str) -> f64 {
    let text = row
        .get(column)
        .unwrap_or_else(|| panic!("no column {column}"));
    text.parse()
        .unwrap_or_else(|_| panic!("{column}: {text} is no number"))
}

/// Collects deviations; every one beyond its tolerance is named in the end.
pub struct Comparison {
    what: &'static str,
    tolerance: f64,
    count: usize,
    worst: (f64, String),
    refused: Vec<String>,
}

impl Comparison {
    /// With a relative tolerance.
    pub fn relative(what: &'static str, tolerance: f64) -> Self {
        Self {
            what,
            tolerance,
            count: 0,
            worst: (0.0, String::new()),
            refused: Vec::new(),
        }
    }

    pub fn take(&mut self, at: impl std::fmt::Display, got: f64, want: f64) {
        self.take_deviation(at, got, want, (got - want) / want.abs());
    }

    /// For quantities compared by their difference, with the tolerance in the same unit.
    pub fn take_difference(&mut self, at: impl std::fmt::Display, got: f64, want: f64) {
        self.take_deviation(at, got, want, got - want);
    }

    fn take_deviation(&mut self, at: impl std::fmt::Display, got: f64, want: f64, deviation: f64) {
        self.count += 1;
        if deviation.abs() >= self.worst.0.abs() {
            self.worst = (deviation, at.to_string());
        }
        if deviation.is_nan() || deviation.abs() > self.tolerance {
            self.refused.push(format!(
                "{at}: got {got}, want {want}, off by {deviation:.3e}"
            ));
        }
    }

    pub fn refuses(&self) -> bool {
        !self.refused.is_empty()
    }

    /// Fails the test if anything was refused or nothing was compared.
    pub fn end(self) {
        println!(
            "{}: {} compared, worst {:+.3e} at {}, allowed {:.1e}",
            self.what, self.count, self.worst.0, self.worst.1, self.tolerance
        );
        assert!(self.count > 0, "{}: nothing was compared", self.what);
        assert!(
            self.refused.is_empty(),
            "{}:\n{}",
            self.what,
            self.refused.join("\n")
        );
    }
}

#[test]
fn a_comparison_refuses_a_value_one_percent_off() {
    let mut c = Comparison::relative("one percent off", 0.005);
    c.take("here", 1.01, 1.0);
    assert!(c.refuses());
    let mut c = Comparison::relative("not a number", 0.005);
    c.take("here", f64::NAN, 1.0);
    assert!(c.refuses());
    let mut c = Comparison::relative("right", 0.005);
    c.take("here", 1.004, 1.0);
    assert!(!c.refuses());
}
