//! Nobody trips over the hose.

use super::tripped_with_jet::{CHANNELS, trips, with_jet};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// The lance hand's feet do not catch in what lies on the ground. With a running jet it weighs more,
/// and another rule finds it.
pub struct Tripped;

impl Rule for Tripped {
    fn id(&self) -> &'static str {
        "tripped"
    }
    fn severity(&self) -> Severity {
        Severity::Minor
    }
    fn source(&self) -> &'static str {
        "common practice, no source: the hose is laid clear of where one walks, and one looks before one steps"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        CHANNELS
    }
    fn details(&self) -> &'static [&'static str] {
        &["tripped"]
    }
    fn watch(&self, _: &Level) -> Box<dyn Watch> {
        Box::new(Watching)
    }
}

struct Watching;

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if trips(o) && !with_jet(o) {
            found.add(o, "tripped", 1.0, 0.0, "trips");
        }
    }
}
