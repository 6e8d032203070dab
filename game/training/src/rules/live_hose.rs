//! No hands on a live hose.

use super::breach::{Breach, Turn};
use super::line::{mean, on};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// The hose is moved only when there is no pressure in it.
pub struct LiveHose;

impl Rule for LiveHose {
    fn id(&self) -> &'static str {
        "live_hose"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "common practice, no source: dump before a hose is dragged, stepped over or freed of a kink; CDC sheet on high-pressure water injection (the pressure from which skin is pierced)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::HoseHeld, Channel::GunPressure]
    }
    fn details(&self) -> &'static [&'static str] {
        &["held"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            danger_bar: level.region.limits.danger_bar.value,
            held: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    held: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let gun_bar = mean(o, Channel::GunPressure);
        let held = on(o, Channel::HoseHeld) && gun_bar > self.danger_bar;
        if let Turn::Found(_) = self.held.see(o.tick, held, 0.0) {
            found.add(o, "held", gun_bar, self.danger_bar, "bar");
        }
    }
}
