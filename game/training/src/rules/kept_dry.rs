//! No water on what is to be kept dry.

use super::breach::{Breach, Turn};
use super::line::{mean, on, water_runs};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// Water, with a nozzle or out of the bare end, is never turned on electrical
/// gear or anything else that the level keeps dry.
pub struct KeptDry;

impl Rule for KeptDry {
    fn id(&self) -> &'static str {
        "kept_dry"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Safe Work Australia, guide to high-pressure water jetting (2013), 4.8 (electrical equipment; only its heading was read)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Memory
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::PointedAtKeptDry, Channel::ToolFlow]
    }
    fn details(&self) -> &'static [&'static str] {
        &["wetted"]
    }
    fn watch(&self, _: &Level) -> Box<dyn Watch> {
        Box::new(Watching(Breach::default()))
    }
}

struct Watching(Breach);

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let wetted = water_runs(o) && on(o, Channel::PointedAtKeptDry);
        if let Turn::Found(_) = self.0.see(o.tick, wetted, 0.0) {
            let flow_l_min = mean(o, Channel::ToolFlow);
            found.add(o, "wetted", flow_l_min, 0.0, "L/min");
        }
    }
}
