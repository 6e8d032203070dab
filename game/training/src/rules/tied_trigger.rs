//! No trigger is ever tied.

use super::breach::{Breach, Turn};
use super::line::on;
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// The trigger shuts by itself whenever it is let go or dropped; nothing holds
/// it squeezed, with pressure or without.
pub struct TiedTrigger;

impl Rule for TiedTrigger {
    fn id(&self) -> &'static str {
        "tied_trigger"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-1 (trigger never fixed in the open position)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::TriggerTied]
    }
    fn details(&self) -> &'static [&'static str] {
        &["tied"]
    }
    fn watch(&self, _: &Level) -> Box<dyn Watch> {
        Box::new(Watching(Breach::over_at_once()))
    }
}

struct Watching(Breach);

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let tied = on(o, Channel::TriggerTied);
        if let Turn::Found(_) = self.0.see(o.tick, tied, 0.0) {
            found.add(o, "tied", 1.0, 0.0, "ties");
        }
    }
}
