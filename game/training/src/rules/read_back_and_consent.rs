//! Water goes to the tool after a read-back, and the pressure changes with the
//! lance hand's consent. Stopping never needs either.

use super::consents::{Consents, feeds};
use super::line::{is_fed, is_released, mean};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Call, Tick};

/// The dump is shut only after "clear to flush" or "clear to pressurise" was
/// said and read back; the set pressure and the speed change only after
/// "raise" or "lower" was agreed; to lower what nobody sprays with is free. Opening the dump, letting the trigger go and
/// striking the emergency stop are free to all at any time.
pub struct ReadBackAndConsent;

impl Rule for ReadBackAndConsent {
    fn id(&self) -> &'static str {
        "read_back_and_consent"
    }
    fn version(&self) -> u32 {
        4
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-1 (pressure changed only in agreement with the one at the lance); DGUV Regel 100-500 chapter 2.36, 3.7.3; the read-back and how long it holds: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::SetPressure,
            Channel::EmergencyStop,
            Channel::Trigger,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["no_read_back", "raised", "lowered"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            consents: Consents::of(level),
            free_bar: FREE_SHARE * level.job.pressure_bar,
            agreed_bar: None,
            last_bar: None,
            wrong: None,
        })
    }
}

/// A change of the set point by less than this share of the job's pressure is
/// the regulator's own play and no change (a choice of this project).
const FREE_SHARE: f64 = 0.02;

/// Whoever goes on turning the same way without a rest of this length makes one
/// mistake and no second one, seconds (a choice of this project).
const REST_S: f64 = 3.0;

struct Watching {
    consents: Consents,
    free_bar: f64,
    /// Set pressure at the end of the last consent, while the line is fed.
    agreed_bar: Option<f64>,
    /// Set pressure when it last changed, and when that was.
    last_bar: Option<(f64, Tick)>,
    /// What the move that goes on was found to be.
    wrong: Option<&'static str>,
}

impl Watching {
    /// Ends a move that was found wrong once the set pressure rests.
    fn rest(&mut self, set_bar: f64, now: Tick) {
        let (last_bar, since) = *self.last_bar.get_or_insert((set_bar, now));
        if set_bar != last_bar {
            self.last_bar = Some((set_bar, now));
        } else if now.since(since) >= REST_S {
            self.wrong = None;
        }
    }
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.consents.see(o);
        let holds = |call| self.consents.holds(call, o.tick);
        if feeds(o) && !holds(Call::ClearToFlush) && !holds(Call::ClearToPressurise) {
            found.add(o, "no_read_back", 0.0, 1.0, "read-backs");
        }

        let set_bar = mean(o, Channel::SetPressure);
        self.rest(set_bar, o.tick);
        if !is_fed(o) {
            self.agreed_bar = None;
            self.wrong = None;
            return;
        }
        let agreed_bar = *self.agreed_bar.get_or_insert(set_bar);
        let change_bar = set_bar - agreed_bar;
        // With nobody spraying less pressure surprises nobody: who has turned too far may turn back.
        if change_bar < 0.0 && is_released(o) {
            self.agreed_bar = Some(set_bar);
            return;
        }
        let (consent, detail) = if change_bar > 0.0 {
            (Call::Raise, "raised")
        } else {
            (Call::Lower, "lowered")
        };
        if self.consents.holds(consent, o.tick) {
            self.agreed_bar = Some(set_bar);
            self.wrong = None;
        } else if change_bar.abs() > self.free_bar {
            if self.wrong != Some(detail) {
                found.add(o, detail, change_bar.abs(), self.free_bar, "bar");
            }
            self.wrong = Some(detail);
            self.agreed_bar = Some(set_bar);
        }
    }
}
