//! Start unloaded: regulator backed off, dump open, low revs.

use super::line::{mean, on};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// The engine is started with nothing to push against.
pub struct StartUnloaded;

impl Rule for StartUnloaded {
    fn id(&self) -> &'static str {
        "start_unloaded"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-10 (equipment made ready before start); low revs and regulator backed off: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::SetPressure,
            Channel::Throttle,
            Channel::DumpLever,
            Channel::EmergencyStop,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["regulator", "dump", "throttle"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            set_max_bar: limits.start_set_pressure_max_bar.value,
            throttle_max_pct: limits.start_throttle_max_pct.value,
            found_at: None,
        })
    }
}

struct Watching {
    set_max_bar: f64,
    throttle_max_pct: f64,
    found_at: Option<Tick>,
}

/// Cranking again within this time is the same start.
const SAME_START_S: f64 = 15.0;

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if !o.events.contains(&Event::Cranked)
            || self
                .found_at
                .is_some_and(|t| o.tick.since(t) < SAME_START_S)
        {
            return;
        }
        let before = self.found_at;
        // A struck emergency stop holds the dump open whatever the lever says.
        if !on(o, Channel::DumpLever) && !on(o, Channel::EmergencyStop) {
            found.add(o, "dump", 0.0, 1.0, "open");
            self.found_at = Some(o.tick);
        }
        let set_bar = mean(o, Channel::SetPressure);
        if set_bar > self.set_max_bar && self.found_at == before {
            found.add(o, "regulator", set_bar, self.set_max_bar, "bar");
            self.found_at = Some(o.tick);
        }
        let throttle_pct = mean(o, Channel::Throttle);
        if throttle_pct > self.throttle_max_pct && self.found_at == before {
            found.add(o, "throttle", throttle_pct, self.throttle_max_pct, "%");
            self.found_at = Some(o.tick);
        }
    }
}
