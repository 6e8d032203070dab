//! Nobody trips with a running jet in their hands.

use super::line::{in_hands, jet_runs};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::Seat;

/// The lance hand's feet do not catch in anything while the jet in their hands runs.
pub struct TrippedWithJet;

/// What is read of a trip. Besides, it is how the lance hand is, so that a recording from before there
/// was anything to trip over is not taken for one without a trip.
pub(super) const CHANNELS: &[Channel] = &[
    Channel::LanceHandHurt,
    Channel::ToolAt,
    Channel::NozzleFitted,
    Channel::ToolFlow,
    Channel::Thrust,
];

/// Whether a jet runs out of the tool in the hands.
pub(super) fn with_jet(o: &Observation) -> bool {
    jet_runs(o) && in_hands(o)
}

/// Whether the lance hand trips in this tick.
pub(super) fn trips(o: &Observation) -> bool {
    o.events.contains(&Event::Tripped { seat: Seat::LANCE })
}

impl Rule for TrippedWithJet {
    fn id(&self) -> &'static str {
        "tripped_with_jet"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "NSW mine safety alert SA14-03, as reported by the trade press (tripped with the gun on, and the jet went into the forearm)"
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
        if trips(o) && with_jet(o) {
            found.add(o, "tripped", 1.0, 0.0, "trips");
        }
    }
}
