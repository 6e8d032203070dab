//! A starving pump is unloaded and its supply put right.

use super::breach::{Breach, Turn};
use super::line::{is_fed, on};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// A pump that knocks for want of water is not kept at work: the dump is opened,
/// and only then is the reason looked for.
pub struct StarvedKeptOn;

impl Rule for StarvedKeptOn {
    fn id(&self) -> &'static str {
        "starved_kept_on"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "common practice, no source: a plunger pump that cavitates breaks valves, packing and hoses; how long is a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::EngineRuns, Channel::DumpOpen, Channel::Starved]
    }
    fn details(&self) -> &'static [&'static str] {
        &["kept_on"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            starved_s: level.region.limits.starved_s.value,
            starved: Breach::default(),
            found_at: None,
        })
    }
}

struct Watching {
    starved_s: f64,
    starved: Breach,
    /// When it was last found.
    found_at: Option<Tick>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let starves = is_fed(o) && on(o, Channel::Starved);
        match self.starved.see(o.tick, starves, self.starved_s) {
            Turn::Found(for_s) => {
                found.add(o, "kept_on", for_s, self.starved_s, "s");
                self.found_at = Some(o.tick);
            }
            Turn::Over(since) => {
                if let Some(found_at) = self.found_at {
                    found.came_to("kept_on", self.starved_s + since.since(found_at));
                }
                found.mend(since, "kept_on");
            }
            Turn::Same => {}
        }
    }
}
