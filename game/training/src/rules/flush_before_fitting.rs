//! The line is flushed with the bare end before a nozzle goes on.

use super::line::{is_fed, on, water_runs};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::{Task, Tick};

/// Before the first nozzle is fitted, water has run out of the bare end for
/// long enough to carry out what lies in the hose. A line that was flushed
/// before the attempt, or that has a nozzle on when it begins, is not judged.
pub struct FlushBeforeFitting;

impl Rule for FlushBeforeFitting {
    fn id(&self) -> &'static str {
        "flush_before_fitting"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "AS/NZS 4233.1, 5.5.4 (flushing; only its heading was read); bare end, low speed and the seconds: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::ToolFlow,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["not_flushed"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            min_s: level.region.limits.flush_min_s.value,
            flush: Flush::default(),
            judged: level.given.flushed || level.start.nozzle_fitted,
        })
    }
}

struct Watching {
    min_s: f64,
    flush: Flush,
    judged: bool,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.flush.see(o);
        let fits = o.events.iter().any(|e| {
            matches!(
                e,
                Event::Began {
                    task: Task::FitNozzle,
                    ..
                }
            )
        });
        if !fits || self.judged {
            return;
        }
        self.judged = true;
        let ran_s = self.flush.ran_s();
        if ran_s < self.min_s {
            found.add(o, "not_flushed", ran_s, self.min_s, "s");
        }
    }
}

/// How long water has run out of the bare end before a nozzle was first on.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Flush {
    ran: u32,
    fitted: bool,
}

impl Flush {
    pub fn see(&mut self, o: &Observation) {
        self.fitted |= on(o, Channel::NozzleFitted);
        if !self.fitted && is_fed(o) && water_runs(o) {
            self.ran += 1;
        }
    }

    pub fn ran_s(&self) -> f64 {
        Tick(self.ran).seconds()
    }
}
