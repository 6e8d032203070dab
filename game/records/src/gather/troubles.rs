//! What failed, how long there was pressure after it, and which tags were hung.

use crate::sheet::{Tag, Trouble};
use training::{Channel, Event, Level, Observation};

/// Watches for parts that fail and for what becomes of them.
pub(super) struct Troubles {
    danger_bar: f64,
    troubles: Vec<Trouble>,
    tags: Vec<Tag>,
}

impl Troubles {
    pub(super) fn new(level: &Level) -> Self {
        Troubles {
            danger_bar: level.region.limits.danger_bar.value,
            troubles: Vec::new(),
            tags: Vec::new(),
        }
    }

    pub(super) fn see(&mut self, o: &Observation) {
        let at_s = o.tick.seconds();
        let over = |channel, value| o.mean(channel).is_some_and(|found| found > value);
        let fed = o.on(Channel::EngineRuns) == Some(true) && !over(Channel::DumpOpen, 95.0);
        let pressed = over(Channel::PumpPressure, self.danger_bar);
        for event in &o.events {
            match *event {
                Event::Failed { fault, amount } if amount > 0 => self.troubles.push(Trouble {
                    fault,
                    at_s,
                    felt: false,
                    stopped_after_s: None,
                }),
                Event::TaggedOut { part, .. } if self.tags.iter().all(|t| t.part != part) => {
                    self.tags.push(Tag {
                        part,
                        at_s,
                        right: false,
                    });
                }
                _ => {}
            }
        }
        for trouble in &mut self.troubles {
            let live = fed && (pressed || trouble.fault.parts_the_line());
            trouble.felt |= live;
            if trouble.felt && !live {
                let after_s = at_s - trouble.at_s;
                trouble.stopped_after_s.get_or_insert(after_s);
            }
        }
    }

    /// Parts that failed, and tags, each in the order of time.
    pub(super) fn finish(&self) -> (Vec<Trouble>, Vec<Tag>) {
        let mut tags = self.tags.clone();
        for tag in &mut tags {
            let failed = |t: &Trouble| t.fault.part() == tag.part && t.at_s <= tag.at_s;
            tag.right = self.troubles.iter().any(failed);
        }
        (self.troubles.clone(), tags)
    }
}
