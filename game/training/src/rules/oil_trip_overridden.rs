//! An engine that its oil has stopped is not started again.

use super::line::mean;
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::Seat;

/// Too little oil pressure, or oil too hot, stops the engine. To turn the key off and to start it once
/// more takes the power end's last film of oil: why it stopped is found out first, and that is no work
/// of this job.
pub struct OilTripOverridden;

impl Rule for OilTripOverridden {
    fn id(&self) -> &'static str {
        "oil_trip_overridden"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "common practice, no source: a protective stop is not reset before its cause is known"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::OilTrip]
    }
    fn details(&self) -> &'static [&'static str] {
        &["pressure", "heat"]
    }
    fn watch(&self, _: &Level) -> Box<dyn Watch> {
        Box::new(Watching { tripped: None })
    }
}

/// Value of the channel for oil that is too hot.
const TOO_HOT: f64 = 2.0;

struct Watching {
    tripped: Option<&'static str>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if let Some(detail) = self.tripped
            && o.events.contains(&Event::Cranked)
        {
            found.add(o, detail, 1.0, 0.0, "starts");
        }
        let trip = mean(o, Channel::OilTrip);
        if trip > 0.0 {
            self.tripped = Some(if trip == TOO_HOT { "heat" } else { "pressure" });
        }
    }
}
