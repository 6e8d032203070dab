//! What the trainee made of parts that failed.

use super::{Seen, seconds};
use crate::rules::line::{is_dumped, mean, on};
use crate::{Channel, Event, Level, Observation};
use crew::{Fault, Part, TICKS_PER_SECOND};

/// Each part that failed was tagged out, after the pressure was taken away in time, and not put under
/// pressure again. What was stopped for good and tagged, but late, earns a part of it.
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

/// What a part that was stopped and tagged, but late, is worth of one that was met in time (a choice of
/// this project: the hand knew what to do).
const LATE_SHARE: f64 = 0.5;

/// A line that is let down may go over the limit once more within this many ticks of pressure without
/// being put under pressure again: what is left in it swings (a choice of this project).
const SWINGS_TICKS: u32 = TICKS_PER_SECOND;

struct Trouble {
    fault: Fault,
    /// Ticks under pressure since it failed.
    ticks: u32,
    /// How many those were when the pressure was first taken away.
    stopped: Option<u32>,
    /// There is pressure.
    live: bool,
    tagged: bool,
}

/// How a trouble was met.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Met {
    InTime,
    Late,
    Not,
}

impl Trouble {
    fn met(&self, within_s: f64) -> Met {
        let again = (self.stopped).is_none_or(|stopped| self.ticks - stopped > SWINGS_TICKS);
        if !self.tagged {
            Met::Not
        } else if seconds(self.ticks) <= within_s {
            Met::InTime
        } else if self.live || again {
            Met::Not
        } else {
            Met::Late
        }
    }
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

    /// What fails behind a line that is down, and is not fed again, troubles nobody.
    fn felt(&self) -> impl Iterator<Item = &Trouble> {
        self.troubles.iter().filter(|t| t.ticks > 0)
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
                    stopped: None,
                    live: false,
                    tagged: false,
                }),
                Event::TaggedOut { part, .. } => self.tag(part),
                _ => {}
            }
        }
        let fed = on(o, Channel::EngineRuns) && !is_dumped(o);
        let pressed = mean(o, Channel::PumpPressure) > self.danger_bar;
        for trouble in &mut self.troubles {
            // A line that has parted loses its pressure by itself: there it is the pump that has to stop.
            let live = fed && (pressed || trouble.fault.parts_the_line());
            trouble.ticks += u32::from(live);
            trouble.live = live;
            if !live && trouble.ticks > 0 {
                trouble.stopped.get_or_insert(trouble.ticks);
            }
        }
    }

    fn measured(&self) -> (f64, f64, &'static str) {
        let worth = self.felt().map(|t| match t.met(self.within_s) {
            Met::InTime => 1.0,
            Met::Late => LATE_SHARE,
            Met::Not => 0.0,
        });
        (worth.sum(), self.felt().count() as f64, "troubles met")
    }

    fn late_s(&self) -> Option<[f64; 2]> {
        let late = self.felt().filter(|t| t.met(self.within_s) == Met::Late);
        let slowest = late.map(|t| t.ticks).max()?;
        Some([seconds(slowest), self.within_s])
    }

    fn had_occasion(&self) -> bool {
        self.felt().next().is_some()
    }
}
