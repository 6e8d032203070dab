//! A strong thrust is taken with the body.

use super::breach::{Breach, Turn};
use super::line::{Footing, in_hands, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// Above a thrust the tool in the hands is braced to the shoulder.
pub struct Braced;

/// How long the thrust has to be there, seconds: longer than the knock of a gun
/// that opens (a choice of this project).
const LASTS_S: f64 = 0.3;

/// Braced as far as this counts as braced, percent.
const BRACED_PCT: f64 = 90.0;

impl Rule for Braced {
    fn id(&self) -> &'static str {
        "braced"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-1 (body support above 150 N); DGUV Regel 100-500 chapter 2.36, 3.7.5"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::Thrust, Channel::ToolAt, Channel::LanceBraced]
    }
    fn details(&self) -> &'static [&'static str] {
        &["not_braced"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            above_n: level.region.limits.braced_above_n.value,
            loose: Breach::default(),
            footing: Footing::default(),
        })
    }
}

struct Watching {
    above_n: f64,
    loose: Breach,
    footing: Footing,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let thrust_n = mean(o, Channel::Thrust);
        // A step to stay up takes the tool from the shoulder; nobody lets go in the same
        // moment.
        self.footing.see(o);
        let loose = in_hands(o)
            && thrust_n > self.above_n
            && mean(o, Channel::LanceBraced) < BRACED_PCT
            && !self.footing.recovers(o.tick);
        match self.loose.see(o.tick, loose, LASTS_S) {
            Turn::Found(_) => found.add(o, "not_braced", thrust_n, self.above_n, "N"),
            Turn::Over(at) => found.mend(at, "not_braced"),
            Turn::Same => {}
        }
    }
}
