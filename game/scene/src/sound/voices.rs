//! When somebody begins to say a word.

use crate::stage::{Happened, Show};
use crew::{Call, Seat};
use std::collections::BTreeMap;
use training::Event;

/// Words that are being said.
#[derive(Debug, Default)]
pub struct Voices {
    open: BTreeMap<Seat, Call>,
}

impl Voices {
    /// Words that have begun since the last frame, each told once. Where
    /// pictures come slowly a word can begin and end between two of them; it is
    /// told when its end is heard of.
    pub fn begun<'h>(
        &mut self,
        show: &Show,
        happened: impl Iterator<Item = &'h Happened>,
    ) -> Vec<(Seat, Call)> {
        let mut begun = Vec::new();
        for happened in happened {
            if let Event::Said { seat, call } = happened.event
                && self.open.remove(&seat) != Some(call)
            {
                begun.push((seat, call));
            }
        }
        for person in &show.now.people {
            match person.saying {
                Some(call) => {
                    if self.open.insert(person.seat, call) != Some(call) {
                        begun.push((person.seat, call));
                    }
                }
                None => {
                    self.open.remove(&person.seat);
                }
            }
        }
        begun
    }
}
