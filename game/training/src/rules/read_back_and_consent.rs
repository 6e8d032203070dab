//! Water goes to the tool after a read-back, and the pressure changes with the
//! lance hand's consent. Stopping never needs either.

use super::line::{Agreed, is_fed, mean, moved, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::{Call, Control, Seat};

/// The dump is shut only after "clear to flush" or "clear to pressurise" was
/// said and read back; the set pressure and the speed change only after
/// "raise" or "lower" was agreed. Opening the dump, letting the trigger go and
/// striking the emergency stop are free to all at any time.
pub struct ReadBackAndConsent;

impl Rule for ReadBackAndConsent {
    fn id(&self) -> &'static str {
        "read_back_and_consent"
    }
    fn version(&self) -> u32 {
        2
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
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["no_read_back", "raised", "lowered"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            read_back_valid_s: limits.read_back_valid_s.value,
            consent_valid_s: limits.consent_valid_s.value,
            free_bar: FREE_SHARE * level.job.pressure_bar,
            flush: Agreed::default(),
            pressurise: Agreed::default(),
            raise: Agreed::default(),
            lower: Agreed::default(),
            agreed_bar: None,
            lance_leads: level.post == Seat::LANCE,
        })
    }
}

/// A change of the set point by less than this share of the job's pressure is
/// the regulator's own play and no change (a choice of this project).
const FREE_SHARE: f64 = 0.02;

struct Watching {
    read_back_valid_s: f64,
    consent_valid_s: f64,
    free_bar: f64,
    flush: Agreed,
    pressurise: Agreed,
    raise: Agreed,
    lower: Agreed,
    /// The trainee is at the lance and says what is to be done.
    lance_leads: bool,
    /// Set pressure at the end of the last consent, while the line is fed.
    agreed_bar: Option<f64>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.flush.hear(o, Call::ClearToFlush);
        self.pressurise.hear(o, Call::ClearToPressurise);
        self.raise.hear(o, Call::Raise);
        self.lower.hear(o, Call::Lower);
        self.take_back(o);

        // A struck emergency stop keeps the dump open whatever the lever does.
        if moved(o, Control::Dump) == Some(0)
            && on(o, Channel::EngineRuns)
            && !on(o, Channel::EmergencyStop)
        {
            let read_back = self.flush.holds(o.tick, self.read_back_valid_s)
                || self.pressurise.holds(o.tick, self.read_back_valid_s);
            if !read_back {
                found.add(o, "no_read_back", 0.0, 1.0, "read-backs");
            }
            self.flush.forget();
            self.pressurise.forget();
        }

        let set_bar = mean(o, Channel::SetPressure);
        if !is_fed(o) {
            self.agreed_bar = None;
            return;
        }
        let agreed_bar = *self.agreed_bar.get_or_insert(set_bar);
        let change_bar = set_bar - agreed_bar;
        let (consent, detail) = if change_bar > 0.0 {
            (&self.raise, "raised")
        } else {
            (&self.lower, "lowered")
        };
        if consent.holds(o.tick, self.consent_valid_s) {
            self.agreed_bar = Some(set_bar);
        } else if change_bar.abs() > self.free_bar {
            found.add(o, detail, change_bar.abs(), self.free_bar, "bar");
            self.agreed_bar = Some(set_bar);
        }
    }
}

impl Watching {
    /// The lance hand takes a consent back by calling for something else. Who
    /// was asked and says "say again" has not consented; who asked and did not
    /// hear the read-back only wants to hear it.
    fn take_back(&mut self, o: &Observation) {
        for event in &o.events {
            let Event::Said {
                seat: Seat::LANCE,
                call,
            } = event
            else {
                continue;
            };
            let takes_back = match call {
                Call::NoChange | Call::Dump | Call::AllStop => true,
                Call::SayAgain => !self.lance_leads,
                _ => false,
            };
            if takes_back {
                self.flush.take_back(o.tick);
                self.pressurise.take_back(o.tick);
                self.raise.take_back(o.tick);
                self.lower.take_back(o.tick);
            }
        }
    }
}
