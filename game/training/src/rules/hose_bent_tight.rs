//! A hose under pressure is not bent tighter than it may be.

use super::breach::{Breach, Turn};
use super::line::{mean, on};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// The hose is not kept tighter than its least radius while there is pressure in it.
pub struct HoseBentTight;

impl Rule for HoseBentTight {
    fn id(&self) -> &'static str {
        "hose_bent_tight"
    }
    fn severity(&self) -> Severity {
        Severity::Minor
    }
    fn source(&self) -> &'static str {
        "AS/NZS 4233.1, 5.5.1.1 (routing of hoses; only its heading was read); the seconds: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Memory
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::HoseKinked, Channel::GunPressure]
    }
    fn details(&self) -> &'static [&'static str] {
        &["kinked"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            for_s: limits.kinked_s.value,
            kinked: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    for_s: f64,
    kinked: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let live = mean(o, Channel::GunPressure) > self.danger_bar;
        let kinked = live && on(o, Channel::HoseKinked);
        match self.kinked.see(o.tick, kinked, self.for_s) {
            Turn::Found(lasts_s) => found.add(o, "kinked", lasts_s, self.for_s, "s"),
            Turn::Over(at) => found.mend(at, "kinked"),
            Turn::Same => {}
        }
    }
}
