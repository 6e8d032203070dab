//! The mark: a pure function of what was observed.
//!
//! The referee watches observations and nothing else. The live yard and a
//! recording show it the very same ones, so that the mark made at the end of an
//! attempt and the mark made from its recording, on any machine and years
//! later, are equal.

mod won;

use crate::criteria::{self, Criteria, CriterionResult};
use crate::finding::{Finding, Severity};
use crate::rules::{Found, RULES, Rule, Watch};
use crate::{Channel, Event, Level, Observation};
use crew::{Call, Seat, Tick};
use serde::{Deserialize, Serialize};
use won::Won;

/// How an attempt ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ended {
    /// The trainee handed the job back.
    HandedBack,
    /// The level's time was up.
    TimeLimit,
    /// It was broken off: out of the menu, or with the program.
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

/// What one finding costs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Deduction {
    /// Place of the finding in the list of findings.
    pub finding: usize,
    /// Points taken off the safety mark.
    pub points: f64,
    /// The trainee put it right and said so in time, so that it costs half.
    pub halved: bool,
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
    /// has nothing to be cleaned or nothing was measured. What was cleaned while
    /// something critical was found counts for nothing.
    pub coverage: Option<f64>,
    /// Procedure, 0 to 100; nothing where a channel is missing.
    pub procedure: Option<f64>,
    /// Economy, 0 to 100, as far as the procedure was carried out; nothing
    /// where a channel is missing.
    pub economy: Option<f64>,
    /// What was found, in the order of time.
    pub findings: Vec<Finding>,
    /// What each finding costs, in the same order. The safety mark is what is
    /// left of 100, and never less than nothing.
    pub deductions: Vec<Deduction>,
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
    post: Seat,
    deduction_major: f64,
    deduction_minor: f64,
    corrected_within_s: f64,
    /// When the trainee said that a mistake was put right.
    corrections: Vec<Tick>,
    water_l: f64,
    fuel_l: f64,
    run_off_l: Option<f64>,
    watches: Vec<(&'static dyn Rule, Box<dyn Watch>)>,
    not_assessable: Vec<String>,
    sorted: bool,
    criteria: Criteria,
    criteria_read: Vec<Channel>,
    procedure_assessable: bool,
    won: Option<Won>,
    findings: Vec<Finding>,
    last: Tick,
    used: [Option<f64>; 3],
}

impl Referee {
    /// Begins to watch an attempt at a level.
    pub fn new(level: &Level) -> Self {
        Referee {
            level: level.id.clone(),
            post: level.post,
            deduction_major: level.region.limits.deduction_major.value,
            deduction_minor: level.region.limits.deduction_minor.value,
            corrected_within_s: level.region.limits.corrected_within_s.value,
            corrections: Vec::new(),
            water_l: level.economy.water_l,
            fuel_l: level.economy.fuel_l,
            run_off_l: level.economy.run_off_l,
            watches: (RULES.iter())
                .filter(|r| r.posts().contains(&level.post))
                .map(|r| (*r, r.watch(level)))
                .collect(),
            not_assessable: Vec::new(),
            sorted: false,
            criteria: Criteria::new(level),
            criteria_read: (level.criteria.iter())
                .flat_map(|c| criteria::channels(&c.kind))
                .copied()
                .collect(),
            procedure_assessable: true,
            won: level.cleaned().map(Won::new),
            findings: Vec::new(),
            last: Tick(0),
            used: [None; 3],
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
        let new = &self.findings[before..];
        if let Some(won) = &mut self.won {
            if new.iter().any(|f| f.severity == Severity::Critical) {
                won.spoil(o.tick);
            }
            won.take(o.tick, &o.steps);
        }
        let corrected = Event::Said {
            seat: self.post,
            call: Call::Correction,
        };
        if o.events.contains(&corrected) {
            self.corrections.push(o.tick);
        }
        if self.procedure_assessable {
            let clean_pct = self.won.as_ref().map_or(0.0, Won::clean_pct);
            self.criteria.see(o, clean_pct);
        }
        self.used = [Channel::WaterUsed, Channel::FuelUsed, Channel::RunOff].map(|c| o.mean(c));
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
        self.procedure_assessable = there(&self.criteria_read);
        if o.sample(Channel::SurfaceClean).is_none() {
            self.won = None;
        }
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
        let deductions = self.deductions();
        let deducted: f64 = deductions.iter().map(|d| d.points).sum();
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
            coverage: self.won.as_ref().map(|won| tenths(won.clean_pct())),
            procedure,
            economy,
            findings: self.findings.clone(),
            deductions,
            criteria,
            not_assessable: self.not_assessable.clone(),
            duration_s: Tick(self.last.0 + u32::from(self.sorted)).seconds(),
            ended,
        }
    }

    /// What each finding costs. The first major one that the trainee put right
    /// and reported in time costs half, so that nobody learns to hide a
    /// mistake; it is the first only, so that nobody learns to make them.
    fn deductions(&self) -> Vec<Deduction> {
        let in_time =
            |found: Tick, at: Tick| at >= found && at.since(found) <= self.corrected_within_s;
        let corrected = |f: &Finding| {
            f.severity == Severity::Major
                && f.mended.is_some_and(|at| in_time(f.tick, at))
                && self.corrections.iter().any(|at| in_time(f.tick, *at))
        };
        let halved = self.findings.iter().position(corrected);
        (self.findings.iter().enumerate())
            .map(|(finding, f)| {
                let points = match f.severity {
                    Severity::Critical => 100.0,
                    Severity::Major => self.deduction_major,
                    Severity::Minor => self.deduction_minor,
                };
                let halved = halved == Some(finding);
                Deduction {
                    finding,
                    points: if halved { 0.5 * points } else { points },
                    halved,
                }
            })
            .collect()
    }

    /// Water and fuel against what the job needs, and the run-off against what
    /// the job sheet allows where it does, as far as the job was done:
    /// somebody who does nothing saves nothing, and to hurry gains nothing
    /// below what the job needs.
    fn economy(&self, procedure: Option<f64>) -> Option<f64> {
        let budgets = [Some(self.water_l), Some(self.fuel_l), self.run_off_l];
        let (mut sum, mut count) = (0.0, 0.0);
        for (budget, used) in budgets.into_iter().zip(self.used) {
            let Some(budget) = budget else {
                continue;
            };
            let used = used?;
            sum += if used > budget { budget / used } else { 1.0 };
            count += 1.0;
        }
        Some(tenths(sum / count * procedure?))
    }
}

/// Marks are given to a tenth, so that they read the same everywhere.
fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests;
