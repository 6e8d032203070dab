//! The barrier is closed before there is pressure.

use super::breach::{Breach, Turn};
use super::line::{is_fed, mean, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};

/// While the pump feeds the line under pressure, the gate of the zone is
/// closed. A level without a gate counts as closed.
pub struct BarrierOpen;

impl Rule for BarrierOpen {
    fn id(&self) -> &'static str {
        "barrier_open"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "AS/NZS 4233.1, 5.4 (barriers and signs; only its headings were read); NSW mine safety alert SA14-03, as reported by the trade press (a zone left open)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Memory
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::Barrier,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["open"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            danger_bar: level.region.limits.danger_bar.value,
            open: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    open: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let live = is_fed(o) && mean(o, Channel::PumpPressure) > self.danger_bar;
        let open = live && !on(o, Channel::Barrier);
        match self.open.see(o.tick, open, 0.0) {
            Turn::Found(_) => found.add(o, "open", 1.0, 0.0, "open"),
            Turn::Over(at) => found.mend(at, "open"),
            Turn::Same => {}
        }
    }
}
