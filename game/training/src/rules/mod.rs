//! The rule book: one file a rule, one line a rule in [`RULES`].
//!
//! A rule says what it is called, how much it weighs, where it comes from, how
//! far that source can be trusted and which channels it reads. The referee
//! runs its watch over the observations of an attempt. A rule whose channels
//! are not all there is "not assessable", never passed.

pub(crate) mod line;
mod prove_zero_before_fitting;
pub(crate) mod raise_in_steps;
mod read_back_and_consent;
pub(crate) mod shut_down_order;
mod start_unloaded;
pub(crate) mod stop_tests;

use crate::finding::{Finding, Severity};
use crate::{Channel, Honesty, Level, Observation};

/// All rules, in the order in which they are listed.
pub static RULES: &[&dyn Rule] = &[
    &start_unloaded::StartUnloaded,
    &prove_zero_before_fitting::ProveZeroBeforeFitting,
    &stop_tests::StopTests,
    &read_back_and_consent::ReadBackAndConsent,
    &raise_in_steps::RaiseInSteps,
    &shut_down_order::ShutDownOrder,
];

/// A rule of the book.
pub trait Rule: Sync {
    /// Stable name; never changed once a recording holds a finding of it.
    fn id(&self) -> &'static str;
    /// Raised by one whenever the rule judges differently.
    fn version(&self) -> u32 {
        1
    }
    /// How much breaking it weighs.
    fn severity(&self) -> Severity;
    /// Where it comes from.
    fn source(&self) -> &'static str;
    /// How far the source can be trusted.
    fn honesty(&self) -> Honesty;
    /// The channels it reads.
    fn channels(&self) -> &'static [Channel];
    /// The kinds of finding it can give: ends of text ids under its own.
    fn details(&self) -> &'static [&'static str];
    /// Begins to watch an attempt at a level.
    fn watch(&self, level: &Level) -> Box<dyn Watch>;
}

/// A rule that watches one attempt.
pub trait Watch {
    /// Sees one tick.
    fn see(&mut self, o: &Observation, found: &mut Found);
}

/// Where a watch puts what it finds.
pub struct Found<'a> {
    rule: &'static dyn Rule,
    findings: &'a mut Vec<Finding>,
}

impl<'a> Found<'a> {
    /// Findings of one rule, added to a list.
    pub fn of(rule: &'static dyn Rule, findings: &'a mut Vec<Finding>) -> Self {
        Found { rule, findings }
    }

    /// Adds a finding of the rule.
    pub fn add(
        &mut self,
        o: &Observation,
        detail: &'static str,
        value: f64,
        limit: f64,
        unit: &'static str,
    ) {
        debug_assert!(self.rule.details().contains(&detail), "{detail}");
        self.findings.push(Finding {
            rule: self.rule.id().to_owned(),
            detail: detail.to_owned(),
            tick: o.tick,
            severity: self.rule.severity(),
            value,
            limit,
            unit: unit.to_owned(),
        });
    }
}
