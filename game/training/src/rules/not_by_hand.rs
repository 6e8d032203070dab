//! What pushes too hard is not held by hand.

use super::breach::{Breach, Turn};
use super::line::{in_hands, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// No tool is in the hands above the greatest thrust for hands, braced or not.
pub struct NotByHand;

/// How long the thrust has to be there, seconds (a choice of this project: as
/// for the bracing).
const LASTS_S: f64 = 0.3;

impl Rule for NotByHand {
    fn id(&self) -> &'static str {
        "not_by_hand"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-1 (nothing held by hand above 250 N); DGUV Regel 100-500 chapter 2.36, 3.7.5"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::Thrust, Channel::ToolAt]
    }
    fn details(&self) -> &'static [&'static str] {
        &["too_strong"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            above_n: level.region.limits.never_above_n.value,
            strong: Breach::default(),
        })
    }
}

struct Watching {
    above_n: f64,
    strong: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let thrust_n = mean(o, Channel::Thrust);
        let strong = in_hands(o) && thrust_n > self.above_n;
        if let Turn::Found(_) = self.strong.see(o.tick, strong, LASTS_S) {
            found.add(o, "too_strong", thrust_n, self.above_n, "N");
        }
    }
}
