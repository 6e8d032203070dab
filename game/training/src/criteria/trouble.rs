//! What the trainee made of parts that failed.

use super::Seen;
use crate::rules::line::{is_dumped, mean, on};
use crate::{Channel, Event, Level, Observation};
use crew::{Fault, Part, TICKS_PER_SECOND};

/// Each part that failed was tagged out, after the pressure was taken away in time, and not put under
/// pressure again.
pub(super) struct TroubleMet {
    danger_bar: f64,
    within_s: f64,
    troubles: Vec<Trouble>,
    /// Parts that were tagged, each once.
    tags: Vec<Part>,
}

/// How many other parts may be tagged before the right one: a guess in good faith costs nothing, a tag
/// on everything tells nothing (a choice of this project).
const WRONG_TAGS: usize = 2;

struct Trouble {
    fault: Fault,
    /// Ticks under pressure since it failed.
    ticks: u32,
    tagged: bool,
}

impl TroubleMet {
    pub fn new(within_s: f64, level: &Level) -> Self {
        TroubleMet {
            danger_bar: level.region.limits.danger_bar.value,
            within_s,
            troubles: Vec::new(),
            tags: Vec::new(),
        }
    }

    fn tag(&mut self, part: Part) {
        if self.tags.contains(&part) {
            return;
        }
        let wrong = |tag: &&Part| !self.troubles.iter().any(|t| t.fault.part() == **tag);
        let told = self.tags.iter().filter(wrong).count() <= WRONG_TAGS;
        self.tags.push(part);
        for trouble in &mut self.troubles {
            trouble.tagged |= told && trouble.fault.part() == part;
        }
    }
}

impl Seen for TroubleMet {
    fn see(&mut self, o: &Observation) {
        for event in &o.events {
            match *event {
                Event::Failed { fault, amount } if amount > 0 => self.troubles.push(Trouble {
                    fault,
                    ticks: 0,
                    tagged: false,
                }),
                Event::TaggedOut { part, .. } => self.tag(part),
                _ => {}
            }
        }
        let live = on(o, Channel::EngineRuns)
            && !is_dumped(o)
            && mean(o, Channel::PumpPressure) > self.danger_bar;
        for trouble in &mut self.troubles {
            trouble.ticks += u32::from(live);
        }
    }

    fn measured(&self) -> (f64, f64, &'static str) {
        // What fails behind a line that is down, and is not fed again, troubles nobody.
        let felt = || self.troubles.iter().filter(|t| t.ticks > 0);
        let in_time = |t: &&Trouble| {
            t.tagged && f64::from(t.ticks) <= self.within_s * f64::from(TICKS_PER_SECOND)
        };
        let met = felt().filter(in_time).count();
        (met as f64, felt().count() as f64, "troubles met")
    }

    fn had_occasion(&self) -> bool {
        self.troubles.iter().any(|t| t.ticks > 0)
    }
}
