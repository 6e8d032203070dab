//! Telling a word that was said in the clear from one that was spoken into
//! another.

use crate::person::Person;
use crate::pilot::Voice;
use crate::{Heard, Seat, Tick};
use serde::{Deserialize, Serialize};

/// Words that overlap by less than this are still understood, seconds (a
/// choice of this project).
const OVERLAP_S: f64 = 0.05;

/// What one remembers of the words heard, to know when two were spoken into
/// each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Ears {
    /// Seat, begin and end of the last word heard, seconds.
    last: Option<(Seat, f64, f64)>,
}

impl Ears {
    /// Whether a word that is known just now was spoken into somebody else's
    /// or into one's own.
    pub fn clash(&mut self, now: Tick, me: &Person, voice: &Voice, heard: Heard) -> bool {
        let end_s = now.seconds() - me.nerves.hearing_s;
        let begin_s = end_s - heard.call.duration_s();
        let into = |b: f64, e: f64| begin_s < e - OVERLAP_S && b < end_s - OVERLAP_S;
        let other = self
            .last
            .is_some_and(|(seat, b, e)| seat != heard.seat && into(b, e));
        let own = voice.free_at > voice.from && into(voice.from.seconds(), voice.free_at.seconds());
        self.last = Some((heard.seat, begin_s, end_s));
        other || own
    }
}
