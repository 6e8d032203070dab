//! The mark: a pure function of what was observed.
//!
//! The referee watches observations and nothing else. The live yard and a
//! recording show it the very same ones, so that the mark made at the end of an
//! attempt and the mark made from its recording, on any machine and years
//! later, are equal.

use crate::criteria::{self, Criteria, CriterionResult};
use crate::finding::{Finding, Severity};
use crate::rules::{Found, RULES, Rule, Watch};
use crate::{Channel, Level, Observation};
use crew::Tick;
use serde::{Deserialize, Serialize};

/// How an attempt ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ended {
    /// The trainee handed the job back.
    HandedBack,
    /// The level's time was up.
    TimeLimit,
    /// It was stopped from outside.
    Stopped,
    /// The script could not go on.
    Stuck,
}

impl Ended {
    /// Stable name, as printed and as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            Ended::HandedBack => "handed_back",
            Ended::TimeLimit => "time_limit",
            Ended::Stopped => "stopped",
            Ended::Stuck => "stuck",
        }
    }
}

/// The mark of an attempt: four parts that are never added up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// The level.
    pub level: String,
    /// Safety, 0 to 100; 0 after a critical finding; nothing where a rule
    /// could not be assessed.
    pub safety: Option<f64>,
    /// Share of the surface cleaned to grade, percent; nothing where the level
    /// has no surface to clean.
    pub coverage: Option<f64>,
    /// Procedure, 0 to 100; nothing where a channel is missing.
    pub procedure: Option<f64>,
    /// Economy, 0 to 100, as far as the procedure was carried out; nothing
    /// where a channel is missing.
    pub economy: Option<f64>,
    /// What was found, in the order of time.
    pub findings: Vec<Finding>,
    /// The lines of the procedure's mark.
    pub criteria: Vec<CriterionResult>,
    /// Rules that could not be assessed, by id: a channel of theirs is missing.
    pub not_assessable: Vec<String>,
    /// How long the attempt took, seconds.
    pub duration_s: f64,
    /// How it ended.
    pub ended: Ended,
}

impl Mark {
    /// Whether a critical rule was broken.
    pub fn is_critical(&self) -> bool {
        self.findings
            .iter()
            .any(|f| f.severity == Severity::Critical)
    }
}

/// Watches an attempt by all rules.
pub struct Referee {
    level: String,
    deduction_major: f64,
    deduction_minor: f64,
    water_l: f64,
    fuel_l: f64,
    watches: Vec<(&'static dyn Rule, Box<dyn Watch>)>,
    not_assessable: Vec<String>,
    sorted: bool,
    criteria: Criteria,
    procedure_assessable: bool,
    findings: Vec<Finding>,
    last: Tick,
    used: (Option<f64>, Option<f64>),
}

impl Referee {
    /// Begins to watch an attempt at a level.
    pub fn new(level: &Level) -> Self {
        Referee {
            level: level.id.clone(),
            deduction_major: level.region.limits.deduction_major.value,
            deduction_minor: level.region.limits.deduction_minor.value,
            water_l: level.economy.water_l,
            fuel_l: level.economy.fuel_l,
            watches: RULES.iter().map(|r| (*r, r.watch(level))).collect(),
            not_assessable: Vec::new(),
            sorted: false,
            criteria: Criteria::new(level),
            procedure_assessable: true,
            findings: Vec::new(),
            last: Tick(0),
            used: (None, None),
        }
    }

    /// Sees one tick and says what is newly found.
    pub fn see(&mut self, o: &Observation) -> &[Finding] {
        if !self.sorted {
            self.sort_out(o);
        }
        self.last = o.tick;
        let before = self.findings.len();
        for (rule, watch) in &mut self.watches {
            watch.see(o, &mut Found::of(*rule, &mut self.findings));
        }
        if self.procedure_assessable {
            self.criteria.see(o);
        }
        self.used = (o.mean(Channel::WaterUsed), o.mean(Channel::FuelUsed));
        &self.findings[before..]
    }

    /// Leaves out the rules whose channels are not all there.
    fn sort_out(&mut self, o: &Observation) {
        let there = |channels: &[Channel]| channels.iter().all(|c| o.sample(*c).is_some());
        self.watches.retain(|(rule, _)| {
            let assessable = there(rule.channels());
            if !assessable {
                self.not_assessable.push(rule.id().to_owned());
            }
            assessable
        });
        self.procedure_assessable = there(criteria::CHANNELS);
        self.sorted = true;
    }

    /// What has been found so far.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// The mark, when the attempt ends here.
    pub fn mark(&self, ended: Ended) -> Mark {
        let critical = self
            .findings
            .iter()
            .any(|f| f.severity == Severity::Critical);
        let deducted: f64 = self
            .findings
            .iter()
            .map(|f| match f.severity {
                Severity::Critical => 100.0,
                Severity::Major => self.deduction_major,
                Severity::Minor => self.deduction_minor,
            })
            .sum();
        let all_assessed = self.not_assessable.is_empty() && self.sorted;
        // A critical finding stands whatever could not be assessed.
        let safety = (critical || all_assessed).then(|| (100.0 - deducted).max(0.0));
        let criteria = self.criteria.results();
        let procedure = (self.procedure_assessable && self.sorted).then(|| {
            let weights: f64 = criteria.iter().map(|c| c.weight).sum();
            let earned: f64 = criteria.iter().map(|c| c.weight * c.share).sum();
            if weights > 0.0 {
                tenths(100.0 * earned / weights)
            } else {
                0.0
            }
        });
        let economy = self.economy(procedure);
        Mark {
            level: self.level.clone(),
            safety,
            coverage: None,
            procedure,
            economy,
            findings: self.findings.clone(),
            criteria,
            not_assessable: self.not_assessable.clone(),
            duration_s: Tick(self.last.0 + u32::from(self.sorted)).seconds(),
            ended,
        }
    }

    /// Water and fuel against what the job needs, as far as the job was done:
    /// somebody who does nothing saves nothing, and to hurry gains nothing
    /// below what the job needs.
    fn economy(&self, procedure: Option<f64>) -> Option<f64> {
        let (water_l, fuel_l) = (self.used.0?, self.used.1?);
        let saved = |budget: f64, used: f64| {
            if used > budget { budget / used } else { 1.0 }
        };
        let share = 0.5 * (saved(self.water_l, water_l) + saved(self.fuel_l, fuel_l));
        Some(tenths(share * procedure?))
    }
}

/// Marks are given to a tenth, so that they read the same everywhere.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
