//! The lance hand who comes into an attempt that is taken up in its middle: the words that were said
//! tell what was agreed, and what the hands hold tells how far the work has come.

use super::trigger::Finger;
use super::words::{self, Answer, Sight};
use super::{Labour, LanceHand, Post};
use crate::person::Past;
use crate::{Call, Seat, Tick};

/// What was agreed with the words that were said, and since when. Words go by the table that the lance
/// hand answers by; what that answers with a word of its own holds from that word on.
fn agreed(past: &Past) -> (Post, Tick) {
    let (mut post, mut since) = (Post::Rest, Tick(0));
    let mut due: Option<Answer> = None;
    for spoken in &past.said {
        let next = match (spoken.seat, spoken.call) {
            (_, Call::Dump | Call::AllStop) => {
                due = None;
                Post::Rest
            }
            (Seat::PUMP, call) => {
                let sight = Sight {
                    nozzle: Some(spoken.nozzle),
                    live: spoken.live,
                };
                let answer = words::answer(post, call, sight);
                due = answer.say.map(|_| answer);
                if due.is_some() { post } else { answer.next }
            }
            // Gauging and fitting end with this word, whoever asked for them.
            (Seat::LANCE, Call::Ready) if matches!(post, Post::Gauge | Post::Fit) => Post::Rest,
            (Seat::LANCE, call) => {
                let answered = due.take_if(|answer| answer.say == Some(call));
                answered.map_or(post, |answer| answer.next)
            }
            _ => post,
        };
        if next != post {
            (post, since) = (next, spoken.tick);
        }
    }
    (post, since)
}

impl LanceHand {
    /// Takes over from whoever stood here before.
    pub(super) fn take_over(&mut self, past: &Past) {
        let (post, since) = agreed(past);
        let last = past.trigger.last().filter(|(_, on)| *on);
        let squeezed = last.map(|(at, _)| *at);
        self.catch_on = !past.catch_off;
        let own = past.said.iter().rev().filter(|s| s.seat == Seat::LANCE);
        self.said = { own }
            .find(|s| s.call != Call::SayAgain)
            .map(|s| (s.tick, s.call));
        self.post = match post {
            // A flush goes on as long as the trigger is held; work at the nozzle is begun anew when it
            // is asked for.
            Post::Flush if squeezed.is_none() => Post::Rest,
            Post::Gauge | Post::Fit => Post::Rest,
            post => post,
        };
        let for_s = match self.post {
            Post::Work => {
                let of_work = past.trigger.iter().filter(|(at, _)| *at >= since);
                let begun = of_work.filter(|(_, on)| *on).count();
                self.labour = Labour {
                    began: since,
                    pair: begun,
                    from: past.trigger.last().map_or(since, |(at, _)| since.max(*at)),
                };
                let pair = self.ways.work.get(begun.saturating_sub(1));
                Some(pair.map_or(0.0, |(_, squeeze_s)| *squeeze_s))
            }
            Post::Flush => None,
            _ => Some(self.ways.squeeze_s),
        };
        self.finger = match squeezed {
            Some(at) => Finger::Squeezed {
                since: past.at,
                until: for_s.map(|s| at.after(s)),
            },
            None => Finger::Released { since: past.at },
        };
    }
}
