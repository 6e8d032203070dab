//! Pressure goes up in steps, and each step is held.

use super::line::{is_fed, mean, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Tick;

/// From a pressure that has been held, the next step is no higher than a share
/// of the job's pressure.
pub struct RaiseInSteps;

impl Rule for RaiseInSteps {
    fn id(&self) -> &'static str {
        "raise_in_steps"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "EN 1829-1, 6.1 (function test without leaks before use); four steps and 15 s at each: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::NozzleFitted,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["too_high"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            steps: Steps::new(level),
            share_max: level.region.limits.step_share_max_pct.value / 100.0,
            job_bar: level.job.pressure_bar,
            found: false,
        })
    }
}

struct Watching {
    steps: Steps,
    share_max: f64,
    job_bar: f64,
    found: bool,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.steps.see(o);
        if !self.steps.rising() {
            self.found = false;
            return;
        }
        let step = (mean(o, Channel::PumpPressure) - self.steps.highest_bar()) / self.job_bar;
        if step > self.share_max && !self.found {
            self.found = true;
            found.add(o, "too_high", 100.0 * step, 100.0 * self.share_max, "%");
        }
    }
}

/// The pressures that have been held since the engine last stood.
pub(crate) struct Steps {
    hold_s: f64,
    steady_bar: f64,
    job_bar: f64,
    held_bar: Vec<f64>,
    resting: Option<(Tick, f64)>,
    fed: bool,
}

impl Steps {
    pub fn new(level: &Level) -> Self {
        let limits = &level.region.limits;
        Steps {
            hold_s: limits.step_hold_s.value,
            steady_bar: limits.step_steady_pct.value / 100.0 * level.job.pressure_bar,
            job_bar: level.job.pressure_bar,
            held_bar: Vec::new(),
            resting: None,
            fed: false,
        }
    }

    /// Whether the line is fed with a nozzle on, so that steps count.
    pub fn rising(&self) -> bool {
        self.fed
    }

    /// The highest pressure held so far, bar.
    pub fn highest_bar(&self) -> f64 {
        self.held_bar.last().copied().unwrap_or(0.0)
    }

    /// How many of the steps that the job is cut into were held, of so many equal ones. What was held on
    /// the way to one, at the first low pressure or before there was speed, is no step of the job; so as
    /// many count, up to any pressure, as there are steps up to it.
    pub fn of_job(&self, steps: u32) -> u32 {
        let step_bar = self.job_bar / f64::from(steps);
        self.held_bar.iter().fold(0, |held, bar| {
            let there_are = (bar / step_bar).round().min(f64::from(steps)) as u32;
            held.max(there_are.min(held + 1))
        })
    }

    pub fn see(&mut self, o: &Observation) {
        self.fed = is_fed(o) && on(o, Channel::NozzleFitted);
        if !on(o, Channel::EngineRuns) {
            self.held_bar.clear();
        }
        if !self.fed {
            self.resting = None;
            return;
        }
        let bar = mean(o, Channel::PumpPressure);
        match self.resting {
            Some((since, rest)) if (bar - rest).abs() <= self.steady_bar => {
                // What counts is where the needle came to rest, not where the
                // rest began.
                if o.tick.since(since) >= self.hold_s && bar > self.highest_bar() + self.steady_bar
                {
                    self.held_bar.push(bar);
                }
            }
            _ => self.resting = Some((o.tick, bar)),
        }
    }
}
