//! The trigger is let go before one walks.

use super::breach::{Breach, Turn};
use super::line::{Footing, in_hands, jet_runs, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// Nobody walks with a running jet in the hands. A shuffle along the work is no
/// walk, and neither is a step to stay up.
pub struct WalkWithFlow;

/// How long the walk has to last, seconds (a choice of this project: less than
/// one step).
const LASTS_S: f64 = 0.3;

impl Rule for WalkWithFlow {
    fn id(&self) -> &'static str {
        "walk_with_flow"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "NSW mine safety alert SA14-03, as reported by the trade press (tripped with the gun on); HSE press release of 27 September 2013 (slipped with the gun on); the speed: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::LanceHandSpeed,
            Channel::ToolAt,
            Channel::NozzleFitted,
            Channel::ToolFlow,
            Channel::Thrust,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["walked"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            walk_m_s: level.region.limits.walk_with_flow_m_s.value,
            footing: Footing::default(),
            walks: Breach::default(),
        })
    }
}

struct Watching {
    walk_m_s: f64,
    footing: Footing,
    walks: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.footing.see(o);
        let speed_m_s = mean(o, Channel::LanceHandSpeed);
        let walks = in_hands(o)
            && jet_runs(o)
            && speed_m_s > self.walk_m_s
            && !self.footing.recovers(o.tick);
        if let Turn::Found(_) = self.walks.see(o.tick, walks, LASTS_S) {
            found.add(o, "walked", speed_m_s, self.walk_m_s, "m/s");
        }
    }
}
