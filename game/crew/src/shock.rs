//! The sight of something that has gone badly wrong: a hose that has parted, an end or a tool that
//! thrashes about, somebody on the ground. Whoever sees it shouts.

use crate::person::Person;
use crate::{Call, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// So often it is shouted, unless somebody else has done it (a choice of this project).
const CALLS: u8 = 2;
/// From one shout to the next, seconds (the rule agreed at the briefing for calls that are not
/// followed).
const AGAIN_S: f64 = 3.0;

/// What somebody has seen of harm, and what they still shout because of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Shock {
    parted: bool,
    down: bool,
    /// When the next shout is due, and how many are left.
    due: Option<(Tick, u8)>,
}

impl Shock {
    /// Looks. True in the tick in which something is seen that was not known.
    pub fn strikes(&mut self, p: &Percepts, me: &mut Person) -> bool {
        let new = (p.parted && !self.parted) || (p.somebody_down && !self.down);
        self.parted |= p.parted;
        self.down |= p.somebody_down;
        if new {
            self.due = Some((p.tick.after(me.pause_s(me.nerves.choice_s)), CALLS));
        }
        new
    }

    /// Whether harm was seen: nothing is begun any more that needs pressure.
    pub fn was_seen(&self) -> bool {
        self.parted || self.down
    }

    /// Whether it is time to shout. What somebody else has shouted needs no second voice.
    pub fn shouts(&mut self, p: &Percepts, me: &Person, speaks: bool) -> bool {
        let stops = |call| matches!(call, Call::AllStop | Call::Dump);
        if p.heard.iter().any(|h| h.seat != me.seat && stops(h.call)) {
            self.due = None;
        }
        match self.due {
            Some((at, left)) if p.tick >= at && !speaks => {
                self.due = (left > 1).then(|| (p.tick.after(AGAIN_S), left - 1));
                true
            }
            _ => false,
        }
    }
}

/// Whether a word asks for something that must not be after harm was seen.
pub(crate) fn goes_on(call: Call) -> bool {
    matches!(
        call,
        Call::ReadyQuery
            | Call::ClearToFlush
            | Call::ClearToPressurise
            | Call::Raise
            | Call::Squeeze
            | Call::StartUp
    )
}
