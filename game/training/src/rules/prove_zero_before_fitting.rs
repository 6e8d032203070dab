//! No wrench on the tool before the line is proved at zero.

use super::line::{is_dumped, max, mean, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::Task;

/// The nozzle is fitted, changed or taken off only with the engine stopped,
/// dump and bleed open and run out, the trigger squeezed since, no pressure
/// left at the gun and nothing on the gauge.
pub struct ProveZeroBeforeFitting;

impl Rule for ProveZeroBeforeFitting {
    fn id(&self) -> &'static str {
        "prove_zero_before_fitting"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-10 (pump stopped and pressure let out before work on the tool); the six proofs of zero: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::BleedOpen,
            Channel::BleedRuns,
            Channel::Trigger,
            Channel::GunPressure,
            Channel::Gauge,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["engine", "dump", "bleed", "dripping", "trigger", "pressure"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            zero_bar: level.region.limits.zero_bar.value,
            squeezed_at_rest: false,
        })
    }
}

struct Watching {
    zero_bar: f64,
    squeezed_at_rest: bool,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if on(o, Channel::EngineRuns) || !is_dumped(o) {
            self.squeezed_at_rest = false;
        } else if mean(o, Channel::Trigger) >= 50.0 {
            self.squeezed_at_rest = true;
        }
        let wrench_on = o.events.iter().any(|e| {
            matches!(
                e,
                Event::Began {
                    task: Task::FitNozzle | Task::RemoveNozzle,
                    ..
                }
            )
        });
        if !wrench_on {
            return;
        }
        let left_bar = max(o, Channel::GunPressure);
        let proofs = [
            ("engine", !on(o, Channel::EngineRuns)),
            ("dump", is_dumped(o)),
            ("bleed", on(o, Channel::BleedOpen)),
            ("dripping", !on(o, Channel::BleedRuns)),
            ("trigger", self.squeezed_at_rest),
            (
                "pressure",
                left_bar <= self.zero_bar && mean(o, Channel::Gauge) <= self.zero_bar,
            ),
        ];
        let made = proofs.iter().filter(|(_, made)| *made).count();
        if let Some((first_missing, _)) = proofs.iter().find(|(_, made)| !made) {
            found.add(
                o,
                first_missing,
                made as f64,
                proofs.len() as f64,
                "proofs of zero",
            );
        }
    }
}
