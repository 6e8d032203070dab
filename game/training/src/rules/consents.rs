//! Words that both hands have to say before something may be done: whether they
//! hold, and for how long still.
//!
//! The rule that asks for them and the help that shows them read the same
//! bookkeeping, so that what is shown is what is judged.

use super::line::{moved, on};
use crate::{Channel, Event, Level, Observation};
use crew::{Call, Control, Seat, Tick};

/// From a consent that is taken back to a hand that stops, seconds: a reaction
/// and a push that is under way (a choice of this project).
const GRACE_S: f64 = 1.0;

/// A word that is waited for is given up after this long, seconds (a choice of
/// this project).
const ASKED_S: f64 = 6.0;

/// How it stands with a word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Consent {
    /// One hand has said it, and the other has not answered yet.
    Asked,
    /// Both have said it; it holds for so many seconds more.
    Holds(f64),
    /// One hand has said it, and the other has answered this word instead of it.
    Refused(Call),
}

/// What one hand has said and the other read back.
#[derive(Clone, Debug, Default)]
struct Agreed {
    pump: Option<Tick>,
    lance: Option<Tick>,
    taken_back: Option<Tick>,
    /// The word that came back instead, and when.
    refused: Option<(Tick, Call)>,
}

impl Agreed {
    /// The other hand answers the one who `asks` by another word.
    fn refuse(&mut self, asks: Seat, now: Tick, by: Call) {
        let (asked, answered) = match asks {
            Seat::LANCE => (self.lance, self.pump),
            _ => (self.pump, self.lance),
        };
        let waits = asked.is_some_and(|at| now.since(at) <= ASKED_S) && asked > answered;
        if waits {
            self.refused = Some((now, by));
        }
    }

    fn hear(&mut self, o: &Observation, call: Call) {
        for event in &o.events {
            if let Event::Said { seat, call: said } = event
                && *said == call
            {
                match *seat {
                    Seat::PUMP => self.pump = Some(o.tick),
                    Seat::LANCE => self.lance = Some(o.tick),
                    _ => {}
                }
            }
        }
    }

    /// How long what a hand said then stands from now on, seconds: for its time
    /// and until it was taken back since. A hand cannot stop faster than a
    /// person reacts.
    fn stands_s(&self, said: Tick, now: Tick, valid_s: f64) -> f64 {
        let left_s = valid_s - now.since(said);
        match self.taken_back {
            Some(back) if said <= back => left_s.min(GRACE_S - now.since(back)),
            _ => left_s,
        }
    }

    fn stand(&self, now: Tick, valid_s: f64) -> Option<Consent> {
        let left_s =
            |said: Option<Tick>| said.map_or(f64::MIN, |said| self.stands_s(said, now, valid_s));
        let left_s = left_s(self.pump).min(left_s(self.lance));
        if left_s >= 0.0 {
            return Some(Consent::Holds(left_s));
        }
        let last = self.pump.max(self.lance)?;
        if let Some((at, by)) = self.refused.filter(|(at, _)| *at >= last) {
            return (now.since(at) <= ASKED_S).then_some(Consent::Refused(by));
        }
        let waits = now.since(last) <= ASKED_S && self.taken_back.is_none_or(|back| last > back);
        waits.then_some(Consent::Asked)
    }
}

/// The words that something hangs on, as they stand in an attempt.
#[derive(Clone, Debug)]
pub struct Consents {
    words: [(Call, f64, Agreed); 4],
    /// The trainee is at the lance and says what is to be done.
    lance_leads: bool,
    /// The dump was shut in the tick before: "clear" has been used up.
    used: bool,
}

impl Consents {
    /// Nothing said yet.
    pub fn of(level: &Level) -> Self {
        let limits = &level.region.limits;
        let (clear_s, change_s) = (limits.read_back_valid_s.value, limits.consent_valid_s.value);
        Consents {
            words: [
                (Call::ClearToFlush, clear_s, Agreed::default()),
                (Call::ClearToPressurise, clear_s, Agreed::default()),
                (Call::Raise, change_s, Agreed::default()),
                (Call::Lower, change_s, Agreed::default()),
            ],
            lance_leads: level.post == Seat::LANCE,
            used: false,
        }
    }

    /// Takes in one tick.
    pub fn see(&mut self, o: &Observation) {
        if self.used {
            for (_, _, word) in &mut self.words[..2] {
                *word = Agreed::default();
            }
        }
        let (asks, answers) = if self.lance_leads {
            (Seat::LANCE, Seat::PUMP)
        } else {
            (Seat::PUMP, Seat::LANCE)
        };
        let instead = o.events.iter().find_map(|event| match event {
            Event::Said { seat, call } if *seat == answers => {
                matches!(call, Call::NoChange | Call::SayAgain).then_some(*call)
            }
            _ => None,
        });
        for (call, _, word) in &mut self.words {
            word.hear(o, *call);
            if let Some(by) = instead {
                word.refuse(asks, o.tick, by);
            }
        }
        if o.events.iter().any(|event| self.takes_back(event)) {
            for (_, _, word) in &mut self.words {
                word.taken_back = Some(o.tick);
            }
        }
        self.used = feeds(o);
    }

    /// The lance hand takes a consent back by calling for something else. Who
    /// was asked and says "say again" has not consented; who asked and did not
    /// hear the read-back only wants to hear it.
    fn takes_back(&self, event: &Event) -> bool {
        let Event::Said {
            seat: Seat::LANCE,
            call,
        } = event
        else {
            return false;
        };
        match call {
            Call::NoChange | Call::Dump | Call::AllStop => true,
            Call::SayAgain => !self.lance_leads,
            _ => false,
        }
    }

    /// How it stands with a word; nothing where nobody said it lately, or where
    /// nothing hangs on it.
    pub fn stand(&self, call: Call, now: Tick) -> Option<Consent> {
        let (_, valid_s, word) = self.words.iter().find(|(word, ..)| *word == call)?;
        word.stand(now, *valid_s)
    }

    /// Whether both hands have said a word and it still holds.
    pub(crate) fn holds(&self, call: Call, now: Tick) -> bool {
        matches!(self.stand(call, now), Some(Consent::Holds(_)))
    }

    /// All that something hangs on and that was said lately.
    pub fn all(&self, now: Tick) -> impl Iterator<Item = (Call, Consent)> {
        self.words
            .iter()
            .filter_map(move |(call, valid_s, word)| Some((*call, word.stand(now, *valid_s)?)))
    }
}

/// The dump is shut in this tick, so that water goes to the tool. A struck
/// emergency stop keeps it open whatever the lever does.
pub(crate) fn feeds(o: &Observation) -> bool {
    moved(o, Control::Dump) == Some(0)
        && on(o, Channel::EngineRuns)
        && !on(o, Channel::EmergencyStop)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(seat: Seat, call: Call, at_s: f64) -> Observation {
        let mut o = Observation::missing_all();
        o.tick = Tick::at(at_s);
        o.events.push(Event::Said { seat, call });
        o
    }

    fn heard(words: &[(Seat, Call, f64)]) -> Consents {
        let library = crate::load::Library::find();
        let loaded = library.load("01_first_pressure");
        let loaded = loaded.unwrap_or_else(|problems| panic!("{problems}"));
        let mut consents = Consents::of(&loaded.level);
        for (seat, call, at_s) in words {
            consents.see(&said(*seat, *call, *at_s));
        }
        consents
    }

    #[test]
    fn a_word_holds_once_both_have_said_it_and_for_its_time() {
        let asked = heard(&[(Seat::PUMP, Call::Raise, 1.0)]);
        let at = |consents: &Consents, s: f64| consents.stand(Call::Raise, Tick::at(s));
        assert_eq!(at(&asked, 1.0), Some(Consent::Asked));
        assert_eq!(at(&asked, 1.1 + ASKED_S), None);
        let agreed = heard(&[
            (Seat::PUMP, Call::Raise, 1.0),
            (Seat::LANCE, Call::Raise, 2.0),
            (Seat::LANCE, Call::Lower, 3.0),
        ]);
        assert_eq!(at(&agreed, 2.0), Some(Consent::Holds(19.0)));
        assert_eq!(at(&agreed, 21.0), Some(Consent::Holds(0.0)));
        assert!(!agreed.holds(Call::Raise, Tick::at(21.1)));
        assert!(!agreed.holds(Call::ClearToFlush, Tick::at(2.0)));
        let all: Vec<Call> = agreed.all(Tick::at(4.0)).map(|(call, _)| call).collect();
        assert_eq!(all, [Call::Raise, Call::Lower]);
    }

    #[test]
    fn a_word_that_is_answered_by_another_is_told_as_refused() {
        let consents = heard(&[
            (Seat::PUMP, Call::Raise, 1.0),
            (Seat::LANCE, Call::NoChange, 2.0),
        ]);
        let at = |consents: &Consents, s: f64| consents.stand(Call::Raise, Tick::at(s));
        assert_eq!(at(&consents, 2.0), Some(Consent::Refused(Call::NoChange)));
        assert!(!consents.holds(Call::Raise, Tick::at(2.0)));
        assert_eq!(consents.stand(Call::Lower, Tick::at(2.0)), None);
        assert_eq!(at(&consents, 2.1 + ASKED_S), None);
        // Asked once more, it is open again; what was agreed is refused by nothing.
        let again = heard(&[
            (Seat::PUMP, Call::Raise, 1.0),
            (Seat::LANCE, Call::SayAgain, 2.0),
            (Seat::PUMP, Call::Raise, 3.0),
        ]);
        assert_eq!(at(&again, 3.0), Some(Consent::Asked));
        let agreed = heard(&[
            (Seat::PUMP, Call::Raise, 1.0),
            (Seat::LANCE, Call::Raise, 2.0),
            (Seat::LANCE, Call::SayAgain, 4.0),
        ]);
        assert!(!matches!(at(&agreed, 4.0), Some(Consent::Refused(_))));
    }

    #[test]
    fn a_word_taken_back_holds_for_a_reaction_and_no_longer() {
        let said = [
            (Seat::PUMP, Call::Raise, 1.0),
            (Seat::LANCE, Call::Raise, 2.0),
            (Seat::LANCE, Call::NoChange, 3.0),
            (Seat::LANCE, Call::Raise, 5.0),
            (Seat::PUMP, Call::Raise, 6.0),
        ];
        let holds = |count: usize, s: f64| heard(&said[..count]).holds(Call::Raise, Tick::at(s));
        assert!(holds(3, 3.9));
        assert!(!holds(3, 4.1));
        assert!(!holds(4, 5.0), "both say it anew");
        assert!(holds(5, 6.0));
    }

    #[test]
    fn a_clear_is_used_up_by_the_dump_that_is_shut_on_it() {
        let mut clear = heard(&[
            (Seat::PUMP, Call::ClearToFlush, 1.0),
            (Seat::LANCE, Call::ClearToFlush, 2.0),
        ]);
        let mut o = Observation::missing_all();
        o.tick = Tick::at(3.0);
        let on = crate::Sample {
            mean: 1,
            ..crate::Sample::default()
        };
        o.set(Channel::EngineRuns, on);
        o.set(Channel::EmergencyStop, crate::Sample::default());
        o.events.push(Event::Moved {
            seat: Seat::PUMP,
            control: Control::Dump,
            to: 0,
        });
        clear.see(&o);
        assert!(clear.holds(Call::ClearToFlush, o.tick));
        o.events.clear();
        o.tick = Tick::at(3.1);
        clear.see(&o);
        assert!(!clear.holds(Call::ClearToFlush, o.tick));
    }
}
