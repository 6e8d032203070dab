//! Published values: rows that say in words what they hold for.

use crate::quantity::{Cases, Terms};
use crate::sources;
use crate::tables::{PUBLISHED, Row, rows};

/// A row that counts.
pub struct Check(Row);

/// All rows that count, in their order. `same` stands for what the row before says.
///
/// Rows of the classes F (formulas against a library, kept for regression) and O (limits, nothing
/// to compute) do not count, nor what has no tolerance, was reckoned by the formula that it would
/// check, or is from memory and confirmed by nothing.
pub fn checks() -> Vec<Check> {
    checks_of(PUBLISHED)
}

pub fn checks_of(table: &str) -> Vec<Check> {
    let mut found = Vec::new();
    let (mut inputs, mut source) = (String::new(), String::new());
    for mut row in rows(table) {
        for (column, last) in [("inputs", &mut inputs), ("source", &mut source)] {
            if row.text(column) == "same" {
                row.put(column, last);
            }
            row.text(column).clone_into(last);
        }
        if counts(&row) {
            found.push(Check(row));
        }
    }
    found
}

fn counts(row: &Row) -> bool {
    let source = row.text("source");
    let class = row.text("id").chars().next();
    let remembered = source.contains("memory") && !source.contains("confirmed by");
    !matches!(class, Some('F' | 'O'))
        && tolerance(row.text("tolerance")).is_some()
        && !source.contains("regression only")
        && !remembered
}

/// A fraction, or a number of percent.
fn tolerance(text: &str) -> Option<f64> {
    match text.strip_suffix('%') {
        Some(percent) => percent.trim().parse::<f64>().ok().map(|p| 0.01 * p),
        None => text.trim().parse().ok(),
    }
}

/// A number, or a fraction such as `15/16`.
fn value(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((over, under)) => Some(over.parse::<f64>().ok()? / under.parse::<f64>().ok()?),
        None => text.parse().ok(),
    }
}

impl Check {
    /// What is given, in words.
    pub fn inputs(&self) -> &str {
        self.0.text("inputs")
    }

    /// What a case of it is called.
    pub fn label(&self) -> String {
        format!("{}: {}", self.0.text("id"), self.inputs())
    }

    /// What is said of it, in words.
    pub fn quantity(&self) -> &str {
        self.0.text("quantity")
    }

    /// Unit of the published value.
    pub fn unit(&self) -> &str {
        self.0.text("unit")
    }

    /// The published value.
    pub fn expected(&self) -> f64 {
        self.0.number("expected")
    }

    /// Everything the row says, word by word, without the marks around words.
    fn words(&self) -> impl Iterator<Item = &str> {
        let both = [self.quantity(), self.inputs()].into_iter();
        both.flat_map(str::split_whitespace)
            .map(|w| w.trim_end_matches([',', ':', ';']).trim_start_matches('('))
    }

    /// The number that stands before a unit.
    pub fn given(&self, unit: &str) -> Option<f64> {
        let words: Vec<&str> = self.words().collect();
        let pair = |pair: &&[&str]| pair[1] == unit && value(pair[0]).is_some();
        words.windows(2).find(pair).and_then(|pair| value(pair[0]))
    }

    /// The number behind a name and a sign of equality.
    pub fn named(&self, name: &str) -> Option<f64> {
        let set = |word: &str| value(word.strip_prefix(name)?.strip_prefix('=')?);
        self.words().find_map(set)
    }

    /// The number before some words.
    pub fn before(&self, words: &str) -> Option<f64> {
        let at = self.inputs().find(words)?;
        value(
            self.inputs()[..at]
                .split_whitespace()
                .next_back()?
                .trim_start_matches('('),
        )
    }
}

impl Cases {
    /// A published value under the terms of its row.
    pub fn take_published(&mut self, check: &Check, ours: f64, expected: f64) {
        let within = tolerance(check.0.text("tolerance")).unwrap_or(f64::NAN);
        self.take_published_within(within, check, ours, expected);
    }

    /// A published value under another tolerance than its row has.
    pub fn take_published_within(
        &mut self,
        tolerance: f64,
        check: &Check,
        ours: f64,
        expected: f64,
    ) {
        let (source_key, source) = sources::of_row(check.0.text("source"));
        let terms = Terms {
            source_key,
            source,
            tolerance,
        };
        self.take_under(terms, check.label(), ours, expected);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "id,quantity,inputs,expected,unit,tolerance,source\n\
        N1,tip pressure,\"400 gpm, 1.25 in bore, gpm=29.71 d^2 (0.97 of it), 15/16 mm\",7,psi,1.5 %,a book\n\
        N2,speed,same,8,m/s,1e-6,same\n\
        N3,speed,same,8,m/s,1 %,\"a book, from memory\"\n\
        N4,speed,same,8,m/s,1 %,\"a table (from memory, confirmed by a library)\"\n\
        N5,speed,same,8,m/s,-,a book\n\
        N6,speed,same,8,m/s,1 %,\"a script, regression only\"\n\
        F,factor,same,8,-,1 %,a library\n\
        O1,limit,same,8,N,1 %,a book\n";

    #[test]
    fn rows_are_read_by_their_words_and_those_that_prove_nothing_are_left_out() {
        let found = checks_of(TABLE);
        let ids: Vec<&str> = found.iter().map(|c| c.0.text("id")).collect();
        assert_eq!(ids, ["N1", "N2", "N4"]);
        for check in &found {
            assert_eq!(check.given("gpm"), Some(400.0));
            assert_eq!(check.given("in"), Some(1.25));
            assert_eq!(check.given("mm"), Some(0.9375));
            assert_eq!(check.given("bar"), None);
            assert_eq!(check.named("gpm"), Some(29.71));
            assert_eq!(check.before("of it"), Some(0.97));
        }
        assert_eq!(tolerance("1.5 %"), Some(0.015));
        assert_eq!(tolerance("1e-6"), Some(1.0e-6));
        assert_eq!(tolerance("-"), None);
        assert_eq!(found[1].0.text("source"), "a book");
    }
}
