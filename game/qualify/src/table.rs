//! All that came out.

use crate::Words;
use crate::case::{Case, Kind, Verdict};
use crate::html::{shown, small};
use crate::quantity::{Part, Quantity};
use serde_json::Value;

/// A quantity with its cases.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What was compared.
    pub quantity: &'static Quantity,
    /// All of its cases.
    pub cases: Vec<Case>,
}

impl Outcome {
    /// Pass if there are cases and all of them pass.
    pub fn verdict(&self) -> Verdict {
        let all = self.cases.iter().all(|c| c.verdict == Verdict::Pass);
        Verdict::of(all && !self.cases.is_empty())
    }

    /// The case that uses up most of its tolerance.
    pub fn worst(&self) -> Option<&Case> {
        let by_use = |a: &&Case, b: &&Case| a.used().total_cmp(&b.used());
        self.cases.iter().max_by(by_use)
    }

    /// The narrowest and the widest tolerance of its cases.
    pub fn tolerances(&self) -> (f64, f64) {
        let ends = |(low, high): (f64, f64), case: &Case| {
            (low.min(case.tolerance), high.max(case.tolerance))
        };
        self.cases.iter().fold((f64::INFINITY, 0.0), ends)
    }

    fn fails(&self) -> bool {
        self.verdict() == Verdict::Fail
    }
}

/// A deviation or a tolerance in words: percent, or the unit where it is a difference.
pub(crate) fn measured(quantity: &Quantity, value: f64) -> String {
    match (quantity.kind, quantity.unit) {
        (Kind::Relative, _) => format!("{} %", small(100.0 * value)),
        (Kind::Difference, "1") => small(value),
        (Kind::Difference, unit) => format!("{} {unit}", small(value)),
    }
}

/// Tolerance of an outcome in words; from and to where rows bring their own.
pub(crate) fn tolerance(outcome: &Outcome) -> String {
    let (low, high) = outcome.tolerances();
    let quantity = outcome.quantity;
    if outcome.cases.is_empty() {
        measured(quantity, quantity.tolerance)
    } else if low == high {
        measured(quantity, low)
    } else {
        format!(
            "{} \u{2013} {}",
            measured(quantity, low),
            measured(quantity, high)
        )
    }
}

/// The whole table.
#[derive(Clone, Debug)]
pub struct Table {
    outcomes: Vec<Outcome>,
}

impl FromIterator<Outcome> for Table {
    fn from_iter<T: IntoIterator<Item = Outcome>>(outcomes: T) -> Self {
        Self {
            outcomes: outcomes.into_iter().collect(),
        }
    }
}

impl Table {
    /// Runs the checks of some quantities.
    pub(crate) fn of(quantities: impl IntoIterator<Item = &'static Quantity>) -> Self {
        let outcome = |quantity: &'static Quantity| Outcome {
            quantity,
            cases: quantity.cases(),
        };
        Self {
            outcomes: quantities.into_iter().map(outcome).collect(),
        }
    }

    /// Quantity by quantity.
    pub fn outcomes(&self) -> &[Outcome] {
        &self.outcomes
    }

    /// All cases.
    pub fn cases(&self) -> impl Iterator<Item = &Case> {
        self.outcomes.iter().flat_map(|o| o.cases.iter())
    }

    /// Pass if there is something in the table and all of it passes.
    pub fn verdict(&self) -> Verdict {
        let fails = self.outcomes.iter().any(Outcome::fails);
        Verdict::of(!fails && !self.outcomes.is_empty())
    }

    /// The quantities that fail among those that prove one of these parts.
    pub fn failing(&self, parts: &[Part]) -> Vec<&'static Quantity> {
        let proves = |o: &&Outcome| o.quantity.parts.iter().any(|p| parts.contains(p));
        let failing = self.outcomes.iter().filter(|o| o.fails());
        failing.filter(proves).map(|o| o.quantity).collect()
    }

    /// All cases as data: a list of objects with `quantity`, `case`, `reference`, `unit`, `source`,
    /// `tolerance`, `kind`, `ours` and `verdict`. What is no finite number is `null`.
    pub fn json(&self) -> Value {
        let case = |case: &Case| serde_json::to_value(case).unwrap_or(Value::Null);
        Value::Array(self.cases().map(case).collect())
    }

    /// The table in lines of words: quantity by quantity, with each case that fails, and the sum.
    pub fn text(&self, words: &Words) -> String {
        let mut out = String::new();
        let mut line = |text: String| {
            out.push_str(&text);
            out.push('\n');
        };
        for outcome in &self.outcomes {
            let quantity = outcome.quantity;
            let worst = outcome.worst().map_or(f64::NAN, Case::deviation);
            line(words(
                "qualify-line",
                &[
                    ("title", words(&quantity.title_id(), &[])),
                    ("cases", outcome.cases.len().to_string()),
                    ("worst", measured(quantity, worst)),
                    ("tolerance", tolerance(outcome)),
                    ("verdict", verdict(outcome.verdict(), words)),
                ],
            ));
            for case in outcome.cases.iter().filter(|c| c.verdict == Verdict::Fail) {
                line(words(
                    "qualify-failing",
                    &[
                        ("case", case.case.clone()),
                        ("ours", shown(case.ours)),
                        ("reference", shown(case.reference)),
                        ("unit", case.unit.to_owned()),
                        ("off", measured(quantity, case.deviation())),
                        ("tolerance", measured(quantity, case.tolerance)),
                        ("source", case.source.clone()),
                    ],
                ));
            }
        }
        line(words("qualify-sum", &self.sum()));
        out
    }

    /// What the sum is told with.
    pub(crate) fn sum(&self) -> [(&'static str, String); 4] {
        let failing = self.outcomes.iter().filter(|o| o.fails()).count();
        let failed = self.cases().filter(|c| c.verdict == Verdict::Fail).count();
        [
            ("quantities", self.outcomes.len().to_string()),
            ("cases", self.cases().count().to_string()),
            ("failing", failing.to_string()),
            ("failed", failed.to_string()),
        ]
    }
}

pub(crate) fn verdict(verdict: Verdict, words: &Words) -> String {
    words(&format!("qualify-verdict-{}", verdict.id()), &[])
}
