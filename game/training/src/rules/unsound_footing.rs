//! A jet is held on firm ground.

use super::breach::{Breach, Turn};
use super::line::{in_hands, jet_runs, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// While a jet runs that is held by hand, the feet do not stand for longer than a moment where boots
/// hold badly.
pub struct UnsoundFooting;

impl Rule for UnsoundFooting {
    fn id(&self) -> &'static str {
        "unsound_footing"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-6 (sure footing); DGUV Regel 100-500 chapter 2.36, 3.7.1; Italian rules for floors ask for a dynamic friction of more than 0.4 (Materials 14 (2021) 1108); P. Sigler, hsimagazine.com (2006): floors below that had a history of accidents"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::Footing,
            Channel::ToolAt,
            Channel::NozzleFitted,
            Channel::ToolFlow,
            Channel::Thrust,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["slippery"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            least_pct: limits.footing_min_pct.value,
            for_s: limits.unsound_footing_s.value,
            stands: Breach::default(),
        })
    }
}

struct Watching {
    least_pct: f64,
    for_s: f64,
    stands: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let footing_pct = mean(o, Channel::Footing);
        let stands = in_hands(o) && jet_runs(o) && footing_pct < self.least_pct;
        if let Turn::Found(_) = self.stands.see(o.tick, stands, self.for_s) {
            found.add(o, "slippery", footing_pct, self.least_pct, "%");
        }
    }
}
