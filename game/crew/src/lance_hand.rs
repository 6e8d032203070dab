//! The lance hand played by the program.
//!
//! Stands at the lance post, answers the agreed words, holds the trigger while
//! it is called for or planned, and lets it go on any doubt. It knows what a
//! lance hand can see, hear and feel, and nothing of the pump.

mod nozzle;
mod past;
mod trigger;
mod words;

#[cfg(test)]
mod tests;

pub use words::Post;

use crate::ears::Ears;
use crate::person::{Mind, Past, Person, Site, Skill, distance_m};
use crate::pilot::Voice;
use crate::shock::{Shock, goes_on};
use crate::{Act, Call, Input, Percepts, Seat, Source, Stance, Tick};
use nozzle::Bench;
use serde::{Deserialize, Serialize};
use trigger::Finger;
use words::{Answer, Sight, Trigger};

/// How a lance hand behaves in a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LanceHandWays {
    /// Time to think before an answer, seconds.
    pub reply_s: f64,
    /// How long the trigger is held when asked to squeeze, seconds.
    pub squeeze_s: f64,
    /// Trigger work once the pressure is not to change: wait, then squeeze,
    /// seconds each.
    pub work: Vec<(f64, f64)>,
    /// When the lance hand calls for the dump, after the trigger work began,
    /// seconds.
    pub dump_call_after_s: Option<f64>,
}

/// Name of the place where the lance hand stands, if a level has one by this
/// name; otherwise it is where they stood at first.
const POST_PLACE: &str = "lance";
/// Further from the post than this the tool is not in hand, metres.
const AT_POST_M: f64 = 1.5;
/// Leaning further than this one lets go, radians (common practice, no
/// source: a braced stand leans by half as much).
const LEAN_MAX_RAD: f64 = 0.35;
/// With less strength than this one lets go.
const STRENGTH_MIN: f64 = 0.1;
/// No water for this long, and something is wrong, seconds.
const DRY_S: f64 = 3.0;
/// Longest wait for the water of a flush, seconds.
const FLUSH_WAIT_S: f64 = 60.0;
/// Tool braced, from 0 to 1.
const BRACED: f64 = 0.9;
/// The stance is kept this long after letting go, seconds.
const EASE_S: f64 = 1.0;
/// A call for the dump that is not followed is made once more after this
/// long, seconds (the rule agreed at the briefing).
const SILENCE_S: f64 = 3.0;
/// A word is remembered this long for somebody who asks for it, seconds.
const LAST_WORD_S: f64 = 20.0;

/// An answer that is being thought of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Pending {
    at: Tick,
    answer: Answer,
}

/// Trigger work under way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Labour {
    began: Tick,
    pair: usize,
    from: Tick,
}

/// The lance hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LanceHand {
    me: Person,
    ways: LanceHandWays,
    post: Post,
    place: Option<[f64; 2]>,
    finger: Finger,
    catch_on: bool,
    stance: Stance,
    braced: Option<Tick>,
    voice: Voice,
    said: Option<(Tick, Call)>,
    pending: Option<Pending>,
    /// What was answered by "say again" at this post already.
    puzzled_by: Option<Call>,
    confused: Option<Tick>,
    ears: Ears,
    labour: Labour,
    bench: Bench,
    water: Option<Tick>,
    /// A call for the dump: when it was made, and how often.
    called: Option<(Tick, u8)>,
    shock: Shock,
}

impl LanceHand {
    /// A lance hand; the small differences between their pauses are drawn
    /// from `seed`.
    pub fn new(ways: LanceHandWays, site: Site, seed: u64) -> Self {
        let calm = Skill {
            spread: 0.1,
            ..Skill::steady()
        };
        LanceHand {
            me: Person::new(Seat::LANCE, Source::Crew, calm, seed).of(&site),
            ways,
            post: Post::Rest,
            place: site.place(POST_PLACE),
            finger: Finger::Released { since: Tick(0) },
            catch_on: true,
            stance: Stance::Normal,
            braced: None,
            voice: Voice::default(),
            said: None,
            pending: None,
            puzzled_by: None,
            confused: None,
            ears: Ears::default(),
            labour: Labour::default(),
            bench: Bench::default(),
            water: None,
            called: None,
            shock: Shock::default(),
        }
    }

    /// What the lance hand is at.
    pub fn post(&self) -> Post {
        self.post
    }

    fn enter(&mut self, post: Post, p: &Percepts, out: &mut Vec<Input>) {
        if post == self.post {
            return;
        }
        if matches!(self.post, Post::Gauge | Post::Fit)
            && !matches!(post, Post::Gauge | Post::Fit)
            && p.body.working.is_some()
        {
            self.me.does(p.tick, Act::LeaveOff, out);
        }
        // Gauging and fitting are one piece of work to whoever asks.
        if post != Post::Fit {
            self.puzzled_by = None;
        }
        self.post = post;
        self.bench = Bench::default();
        self.water = None;
        match post {
            Post::Flush => self.take_trigger(p, None),
            Post::Work => {
                self.labour = Labour {
                    began: p.tick,
                    pair: 0,
                    from: p.tick,
                }
            }
            _ => {}
        }
    }

    fn take_trigger(&mut self, p: &Percepts, for_s: Option<f64>) {
        if matches!(self.finger, Finger::Released { .. }) {
            self.finger = Finger::Taking {
                since: p.tick,
                caught: None,
                for_s,
            };
        }
    }

    fn release(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if let Finger::Squeezed { .. } = self.finger {
            self.me.does(p.tick, Act::Squeeze { permille: 0 }, out);
        }
        if !matches!(self.finger, Finger::Released { .. }) {
            self.finger = Finger::Released { since: p.tick };
            self.labour.from = p.tick;
        }
    }

    fn say(&mut self, call: Call, p: &Percepts, out: &mut Vec<Input>) {
        self.voice.say(&self.me, p, call, out);
        if call != Call::SayAgain {
            self.said = Some((p.tick, call));
        }
    }

    /// Takes in the words of this tick.
    fn listen(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let sight = Sight {
            nozzle: p.nozzle_fitted,
            live: p.jet_runs || p.hose_limp == Some(false),
        };
        for heard in p.heard.iter().filter(|h| h.seat != Seat::LANCE) {
            let clash = self.ears.clash(p.tick, &self.me, &self.voice, *heard);
            let stops = matches!(heard.call, Call::Dump | Call::AllStop | Call::Release);
            let answer = words::answer(self.post, heard.call, sight);
            if stops {
                self.pending = None;
                self.release(p, out);
                self.enter(answer.next, p, out);
                continue;
            }
            // Anybody may stop; only the pump hand agrees on the rest.
            if heard.seat != Seat::PUMP || self.post == Post::Down || !self.at_post(p) {
                continue;
            }
            let answer = if self.shock.was_seen() && goes_on(heard.call) {
                Answer {
                    say: Some(Call::AllStop),
                    next: Post::Rest,
                    trigger: Trigger::Release,
                }
            } else if clash {
                self.confused = Some(p.tick);
                Answer {
                    say: Some(Call::SayAgain),
                    next: self.post,
                    trigger: Trigger::Keep,
                }
            } else if heard.call == Call::SayAgain {
                let again = self
                    .said
                    .filter(|(at, _)| p.tick.since(*at) < LAST_WORD_S)
                    .map(|(_, call)| call);
                Answer {
                    say: again,
                    ..answer
                }
            } else {
                answer
            };
            self.take_up(heard.call, answer, p, out);
        }
    }

    /// Lets go at once if that is part of the answer; the rest waits until it
    /// has been thought of.
    fn take_up(&mut self, call: Call, answer: Answer, p: &Percepts, out: &mut Vec<Input>) {
        if answer.trigger == Trigger::Release {
            self.release(p, out);
        }
        let nothing =
            answer.say.is_none() && answer.next == self.post && answer.trigger != Trigger::Squeeze;
        if nothing {
            return;
        }
        if answer.say == Some(Call::SayAgain) {
            if self.puzzled_by.replace(call) == Some(call) {
                return;
            }
        } else {
            self.puzzled_by = None;
        }
        let at = p.tick.after(self.me.pause_s(self.ways.reply_s));
        self.pending = Some(Pending { at, answer });
    }

    /// Gives an answer that has been thought of.
    fn reply(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some(Pending { at, answer }) = self.pending else {
            return;
        };
        if p.tick < at || self.voice.speaks(p.tick) {
            return;
        }
        self.pending = None;
        if let Some(call) = answer.say {
            self.say(call, p, out);
        }
        self.enter(answer.next, p, out);
        if answer.trigger == Trigger::Squeeze {
            self.take_trigger(p, Some(self.ways.squeeze_s));
        }
    }

    fn at_post(&self, p: &Percepts) -> bool {
        self.place
            .is_some_and(|at| distance_m(at, p.body.at_m) <= AT_POST_M)
    }

    /// Whether the body says that the trigger must be let go.
    fn unsteady(&self, p: &Percepts) -> bool {
        p.body.fallen
            || p.body.lean_rad.abs() > LEAN_MAX_RAD
            || p.body.strength < STRENGTH_MIN
            || !self.at_post(p)
    }

    /// Calls for the dump, with the trigger let go before the word.
    fn call_dump(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        self.release(p, out);
        self.pending = None;
        self.called = Some((p.tick, 0));
    }

    fn look_after_oneself(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if p.body.fallen && self.post != Post::Down {
            let live = !matches!(self.finger, Finger::Released { .. });
            self.release(p, out);
            self.pending = None;
            if live {
                self.call_dump(p, out);
            }
            self.braced = None;
            self.enter(Post::Down, p, out);
        } else if !p.body.fallen && self.post == Post::Down {
            self.enter(Post::Rest, p, out);
        }
        let Finger::Squeezed { since, .. } = self.finger else {
            return;
        };
        if self.unsteady(p) {
            self.call_dump(p, out);
            self.enter(Post::Rest, p, out);
            return;
        }
        if p.jet_runs {
            self.water = Some(p.tick);
        }
        let dry_s = p.tick.since(self.water.unwrap_or(since));
        let dry = match self.post {
            Post::Flush if self.water.is_none() => dry_s > FLUSH_WAIT_S,
            Post::Flush | Post::Work => dry_s > DRY_S,
            _ => false,
        };
        if dry {
            self.pending = None;
            self.release(p, out);
            self.enter(Post::Rest, p, out);
        }
    }

    /// Lets go and shouts at the sight of harm.
    fn take_fright(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if p.body.fallen {
            return;
        }
        if self.shock.strikes(p, &mut self.me) {
            self.pending = None;
            self.called = None;
            self.release(p, out);
            self.enter(Post::Rest, p, out);
        }
        let speaks = self.voice.speaks(p.tick);
        if self.shock.shouts(p, &self.me, speaks) {
            self.say(Call::AllStop, p, out);
        }
    }

    /// Calls for the dump until the hose is limp, twice at most.
    fn insist(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some((since, times)) = self.called else {
            return;
        };
        if self.voice.speaks(p.tick) {
            return;
        }
        if times == 0 {
            self.say(Call::Dump, p, out);
            self.called = Some((self.voice.free_at, 1));
            if self.post != Post::Down {
                self.enter(Post::Rest, p, out);
            }
        } else if p.tick.since(since) > SILENCE_S {
            let again = times < 2 && p.hose_limp == Some(false);
            self.called = again.then_some((self.voice.free_at, 2));
            if again {
                self.say(Call::Dump, p, out);
            }
        }
    }

    /// The planned trigger work.
    fn labour(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if self.post != Post::Work || self.called.is_some() {
            return;
        }
        let due = self.ways.dump_call_after_s;
        if due.is_some_and(|s| p.tick.since(self.labour.began) >= s) {
            self.call_dump(p, out);
            return;
        }
        let Some(&(wait_s, squeeze_s)) = self.ways.work.get(self.labour.pair) else {
            return;
        };
        if matches!(self.finger, Finger::Released { .. })
            && p.tick.since(self.labour.from) >= wait_s
        {
            self.take_trigger(p, Some(squeeze_s));
            self.labour.pair += 1;
        }
    }

    /// Stands as the work asks for.
    fn posture(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if self.post == Post::Down {
            return;
        }
        let resting_s = match self.finger {
            Finger::Released { since } => p.tick.since(since),
            _ => 0.0,
        };
        let taken = !matches!(self.finger, Finger::Released { .. });
        let steady = matches!(self.post, Post::Guard | Post::Work)
            || (taken && p.nozzle_fitted == Some(true));
        if steady {
            if self.stance != Stance::Staggered {
                self.stance = Stance::Staggered;
                self.me.does(p.tick, Act::Stand(Stance::Staggered), out);
            }
            let lost = self
                .braced
                .is_none_or(|told| p.body.braced < BRACED && p.tick.since(told) > 1.0);
            if lost {
                self.braced = Some(p.tick);
                self.me.does(p.tick, Act::Brace(true), out);
            }
        } else if resting_s > EASE_S {
            if self.braced.take().is_some() {
                self.me.does(p.tick, Act::Brace(false), out);
            }
            if self.stance != Stance::Normal {
                self.stance = Stance::Normal;
                self.me.does(p.tick, Act::Stand(Stance::Normal), out);
            }
        }
    }
}

impl Mind for LanceHand {
    fn come_in(&mut self, past: &Past) {
        self.take_over(past);
    }

    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        self.place.get_or_insert(p.body.at_m);
        self.look_after_oneself(p, out);
        self.take_fright(p, out);
        self.listen(p, out);
        self.reply(p, out);
        self.labour(p, out);
        self.insist(p, out);
        self.trigger(p, out);
        self.posture(p, out);
        self.bench(p, out);
    }
}
