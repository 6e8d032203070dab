//! The pump hand played by the program, while the trainee has the lance.
//!
//! Stands at the dump lever, reads back what the lance hand asks for and does
//! it, one step for each word, and opens the dump at a word from anybody. It
//! knows what a hand at the pump can see and hear, and raises nothing that it
//! was not asked to raise.

mod words;
mod work;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod world;

pub use words::Order;

use crate::ears::Ears;
use crate::person::{Mind, Past, Person, Site, Skill, distance_m};
use crate::pilot::{Feel, Hands, Step, UNDER_POWER_REV_S, Voice, Walk};
use crate::shock::Shock;
use crate::{Call, Control, Input, Percepts, Seat, Source, Tick};
use serde::{Deserialize, Serialize};
use words::{Answer, Line, Sight};
use work::Work;

/// How a pump hand behaves in a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PumpHandWays {
    /// Time to think before an answer, seconds.
    pub reply_s: f64,
    /// The pressures that "raise" and "lower" step through, from the lowest,
    /// bar.
    pub steps_bar: Vec<f64>,
    /// The throttle that goes with each of them, percent.
    pub throttle_pct: Vec<f64>,
    /// How long an engine that has worked hard idles unloaded before it is
    /// stopped, seconds. Commonly 0: the stops of a lance level are short
    /// ones for a change of nozzle, after which the engine goes on; the long
    /// cooling of 3 to 5 minutes (common practice, no source) belongs before
    /// the last stop of the day.
    pub cool_s: f64,
}

/// A word is remembered this long for somebody who asks for it, seconds.
const LAST_WORD_S: f64 = 20.0;
/// A word for more or less pressure is acted on for this long, seconds: a
/// little less than the twenty for which such a word is agreed to hold (a
/// choice of this project).
const CONSENT_S: f64 = 19.0;
/// The dump is shut within this time of the word for it, seconds, or not at
/// all (a choice of this project: a little less than the thirty agreed).
const READ_BACK_S: f64 = 28.0;
/// An engine that is silent for so long has stopped, seconds.
const SILENT_S: f64 = 1.0;
/// Above this share of the highest step an engine works hard enough to be
/// cooled afterwards (a choice of this project).
const HOT_SHARE: f64 = 0.5;
/// An engine cools with the throttle at or below this, percent (common
/// practice, no source).
const COOL_THROTTLE_PCT: u16 = 25;
/// How near to the place at the dump is there, metres.
const HOME_M: f64 = 0.1;
/// A regulator that is set to a step's pressure or so much less stands at that step.
const SET_PLAY: f64 = 1.15;
/// A throttle within so much of a step's stands at that step, percent.
const THROTTLE_PLAY_PCT: f64 = 2.0;
/// Turned away from what is to be watched by more than this, one turns back
/// to it, radians (a choice of this project: the eyes and the head do the
/// rest).
const GAZE_RAD: f64 = 0.4;

/// An answer that is being thought of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Pending {
    at: Tick,
    /// When the word was heard.
    heard: Tick,
    answer: Answer,
}

/// Opening the dump because somebody called for it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Reflex {
    from: Tick,
    hands: Hands,
}

/// The pump hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PumpHand {
    me: Person,
    ways: PumpHandWays,
    site: Site,
    voice: Voice,
    ears: Ears,
    said: Option<(Tick, Call)>,
    pending: Option<Pending>,
    /// What is done when one's own word has ended, and until when.
    next: Option<(Order, Option<Tick>)>,
    /// What was answered by "say again" last, and when.
    puzzled_by: Option<(Tick, Call, Sight)>,
    /// Somebody asked whether one is ready, and will be told.
    owes_ready: Option<Tick>,
    work: Option<Work>,
    reflex: Option<Reflex>,
    /// The dump was called for, and no word since has it shut.
    stay_open: bool,
    /// Everything was stopped, and nothing was agreed since.
    stopped: bool,
    /// The engine is to be let down after a stop.
    ease_due: bool,
    /// Where the throttle was before it was let down after a stop.
    eased_from: Option<u16>,
    /// The step agreed last, from 1; 0 with the regulator backed off.
    step: usize,
    /// The pressure was left between that step and the next one up.
    between: bool,
    feel: Feel,
    /// The engine worked hard and has not cooled since.
    hot: bool,
    idle: Option<Tick>,
    silent: Option<Tick>,
    home: Walk,
    turning: bool,
    empty: Hands,
    shock: Shock,
    /// Harm was seen, and the pump is not yet stopped and proved at zero.
    safe_due: bool,
}

impl PumpHand {
    /// A pump hand; the small differences between their pauses are drawn from
    /// `seed`.
    pub fn new(ways: PumpHandWays, site: Site, seed: u64) -> Self {
        let calm = Skill {
            spread: 0.1,
            ..Skill::steady()
        };
        PumpHand {
            me: Person::new(Seat::PUMP, Source::Crew, calm, seed).of(&site),
            ways,
            site,
            voice: Voice::default(),
            ears: Ears::default(),
            said: None,
            pending: None,
            next: None,
            puzzled_by: None,
            owes_ready: None,
            work: None,
            reflex: None,
            stay_open: false,
            stopped: false,
            ease_due: false,
            eased_from: None,
            step: 0,
            between: false,
            feel: Feel::default(),
            hot: false,
            idle: None,
            silent: None,
            home: Walk::default(),
            turning: false,
            empty: Hands::default(),
            shock: Shock::default(),
            safe_due: false,
        }
    }

    /// The step that was agreed last, counted from 1; 0 with the regulator
    /// backed off.
    pub fn step(&self) -> usize {
        self.step
    }

    /// What the pump hand is at, or is about to begin.
    pub fn order(&self) -> Option<Order> {
        let at = self.work.as_ref().map(|w| w.order);
        let due = self.next.map(|(order, _)| order);
        due.or(at).or(self.ease_due.then_some(Order::Ease))
    }

    fn backed_off(&self) -> bool {
        self.step == 0 && !self.between
    }

    fn forget_step(&mut self) {
        self.step = 0;
        self.between = false;
        self.eased_from = None;
    }

    fn say(&mut self, call: Call, p: &Percepts, out: &mut Vec<Input>) {
        self.voice.say(&self.me, p, call, out);
        if call != Call::SayAgain {
            self.said = Some((p.tick, call));
        }
    }

    fn sight(&self, p: &Percepts) -> Sight {
        let line = if p.sound.engine_rev_s <= UNDER_POWER_REV_S {
            Line::Stands
        } else if p.position(Control::Dump) == Some(1) {
            Line::Open
        } else {
            Line::Fed
        };
        Sight {
            line,
            at: self.order(),
            top: self.step >= self.ways.steps_bar.len(),
            bottom: self.backed_off(),
            stopped: self.stopped,
            struck: p.position(Control::EmergencyStop) == Some(1),
            harm: self.shock.was_seen(),
        }
    }

    /// Takes in the words of this tick.
    fn listen(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        for heard in p.heard.iter().filter(|h| h.seat != Seat::PUMP) {
            let clash = self.ears.clash(p.tick, &self.me, &self.voice, *heard);
            if matches!(heard.call, Call::Dump | Call::AllStop) {
                self.flinch(heard.call, p, out);
                continue;
            }
            // Anybody may stop; only the lance hand agrees on the rest.
            if heard.seat != Seat::LANCE || p.body.fallen {
                continue;
            }
            self.owes_ready = None;
            let sight = self.sight(p);
            let broken_off = self.next.map(|(order, _)| order).or(sight.at);
            let doubt = clash && matches!(sight.at, Some(Order::Shut | Order::Raise));
            if doubt || sight.at.is_some_and(|at| words::takes_back(heard.call, at)) {
                self.next = None;
                self.leave_off(p, out);
            }
            let answer = if clash {
                Answer {
                    say: Some(Call::SayAgain),
                    order: None,
                }
            } else if heard.call == Call::SayAgain {
                let fresh = |(at, _): &(Tick, Call)| p.tick.since(*at) < LAST_WORD_S;
                // What was agreed is done once the word has been heard.
                let agreed =
                    |order: &Order| matches!(order, Order::Shut | Order::Raise | Order::Lower);
                let said = self.said.filter(fresh);
                Answer {
                    say: said.map(|(_, call)| call),
                    order: broken_off.filter(agreed).filter(|_| said.is_some()),
                }
            } else {
                words::answer(sight, heard.call)
            };
            self.take_up(heard.call, answer, sight, p);
            if clash {
                // What was not understood is no question.
                self.owes_ready = None;
            }
        }
    }

    /// Thinks of an answer.
    fn take_up(&mut self, call: Call, answer: Answer, sight: Sight, p: &Percepts) {
        self.pending = None;
        if answer.say.is_none() && answer.order.is_none() {
            return;
        }
        if answer.say == Some(Call::SayAgain) {
            if call == Call::ReadyQuery && sight.at.is_some() {
                self.owes_ready = Some(p.tick);
            }
            let before = self.puzzled_by.replace((p.tick, call, sight));
            let again = |(at, was, seen): (Tick, Call, Sight)| {
                (was, seen) == (call, sight) && p.tick.since(at) < LAST_WORD_S
            };
            if before.is_some_and(again) {
                return;
            }
        } else {
            self.puzzled_by = None;
        }
        // What is said again was agreed when it was said first.
        let heard = match self.said {
            Some((first, _)) if call == Call::SayAgain => first,
            _ => p.tick,
        };
        self.pending = Some(Pending {
            at: p.tick.after(self.me.pause_s(self.ways.reply_s)),
            heard,
            answer,
        });
    }

    /// Gives an answer that has been thought of, and begins what it is about
    /// when one's own word has ended.
    fn reply(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if let Some(Pending { at, heard, answer }) = self.pending
            && p.tick >= at
            && !self.voice.speaks(p.tick)
        {
            self.pending = None;
            if let Some(call) = answer.say {
                self.say(call, p, out);
            }
            if let Some(order) = answer.order {
                let until = match order {
                    Order::Raise | Order::Lower => Some(heard.after(CONSENT_S)),
                    Order::Shut => Some(heard.after(READ_BACK_S)),
                    Order::Prove | Order::Start | Order::Ease => None,
                };
                self.next = Some((order, until));
            }
        }
        // To stop the pump needs no word of one's own to end first.
        if let Some((order, until)) = self.next
            && (order == Order::Prove || !self.voice.speaks(p.tick))
        {
            self.next = None;
            self.leave_off(p, out);
            self.begin(order, until, p);
        }
    }

    /// Says that one is ready when one was asked too early.
    fn owed(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some(since) = self.owes_ready else { return };
        if p.tick.since(since) > LAST_WORD_S {
            self.owes_ready = None;
            return;
        }
        let ready = words::answer(self.sight(p), Call::ReadyQuery).say == Some(Call::Ready);
        if ready && self.pending.is_none() && !self.voice.speaks(p.tick) {
            self.owes_ready = None;
            self.say(Call::Ready, p, out);
        }
    }

    /// Drops everything and begins to open the dump when a word stops the
    /// work.
    fn flinch(&mut self, call: Call, p: &Percepts, out: &mut Vec<Input>) {
        let shuts = self.order() == Some(Order::Shut);
        self.pending = None;
        self.next = None;
        self.owes_ready = None;
        self.leave_off(p, out);
        self.stay_open = true;
        if call == Call::AllStop {
            self.stopped = true;
            self.ease_due = true;
        }
        // What is open already needs no hand, unless that hand is shutting it.
        if shuts || p.position(Control::Dump) != Some(1) {
            self.reach_for_dump(p);
        }
    }

    /// At the sight of harm: shouts, dumps, and then stops the pump for good.
    fn take_fright(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if self.shock.strikes(p, &mut self.me) {
            self.flinch(Call::AllStop, p, out);
            self.safe_due = true;
        }
        let speaks = self.voice.speaks(p.tick);
        if self.shock.shouts(p, &self.me, speaks) {
            self.say(Call::AllStop, p, out);
        }
    }

    fn reach_for_dump(&mut self, p: &Percepts) {
        if self.reflex.is_some() || self.site.below(Control::Dump).is_none() {
            return;
        }
        self.reflex = Some(Reflex {
            from: p.tick.after(self.me.pause_s(self.me.nerves.choice_s)),
            hands: Hands::hurried(),
        });
    }

    /// Opens the dump; true while that is going on.
    fn dumps(&mut self, p: &Percepts, out: &mut Vec<Input>) -> bool {
        // The eye is later than the hand: a dump that is seen to be shut after
        // all is opened then.
        if self.stay_open && p.position(Control::Dump) == Some(0) {
            self.reach_for_dump(p);
        }
        let Some(reflex) = &mut self.reflex else {
            return false;
        };
        if p.tick < reflex.from {
            return true;
        }
        let (me, site) = (&mut self.me, &self.site);
        let done = reflex.hands.set(me, site, p, Control::Dump, 1, out);
        if done != Step::Going {
            self.reflex = None;
        }
        true
    }

    /// Keeps in mind what the engine has been through.
    fn note(&mut self, p: &Percepts) {
        if p.sound.engine_rev_s > 0.0 {
            self.silent = None;
        } else if p.tick.since(*self.silent.get_or_insert(p.tick)) > SILENT_S {
            // A step that was agreed goes with the engine that gave it.
            self.forget_step();
        }
        let highest_bar = self.ways.steps_bar.iter().copied().fold(0.0, f64::max);
        let worked = p.gauge_bar.is_some_and(|g| g > HOT_SHARE * highest_bar);
        if worked && p.sound.engine_rev_s > UNDER_POWER_REV_S {
            self.hot = true;
        }
        let unloaded = p.position(Control::Dump) == Some(1)
            && p.position(Control::Throttle)
                .is_some_and(|t| t <= COOL_THROTTLE_PCT);
        if !unloaded {
            self.idle = None;
        } else if p.tick.since(*self.idle.get_or_insert(p.tick)) >= self.ways.cool_s {
            self.hot = false;
        }
    }

    /// With nothing to do: empty hands, within reach of the dump, gauge and
    /// lance hand in view.
    fn rest(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if p.body.holding.is_some() {
            self.empty.release(&self.me, p, out);
            return;
        }
        self.empty = Hands::default();
        let here = p.body.at_m;
        if let Some(spot) = self.site.spot_for(Control::Dump, here)
            && !self.site.in_reach(Control::Dump, here)
            && distance_m(here, spot) > HOME_M
        {
            if self.home.go(&self.me, p, spot, HOME_M, out) != Step::Going {
                self.home = Walk::default();
            }
            return;
        }
        self.home.stand(&self.me, p, out);
        let Some(view) = self.view(p) else { return };
        let toward = libm::atan2(-view[1], view[0]);
        let off = toward - p.body.yaw_rad;
        if libm::cos(off) < libm::cos(GAZE_RAD) {
            self.turning = true;
        }
        if self.turning {
            let spot = [here[0] + view[0], here[1] + view[1]];
            self.turning = !self.home.face(&self.me, p, spot, out);
        }
    }

    /// The way to stand, as a vector: between the gauge and the lance hand,
    /// where a turn of the head shows the one or the other.
    fn view(&self, p: &Percepts) -> Option<[f64; 2]> {
        let here = p.body.at_m;
        let toward = |at: [f64; 2]| {
            let (x, z) = (at[0] - here[0], at[1] - here[1]);
            let far = (x * x + z * z).sqrt();
            (far > 1e-6).then(|| [x / far, z / far])
        };
        // The gauge stands at the regulator.
        let gauge = self.site.below(Control::Regulator).and_then(toward);
        let lance = p
            .people
            .iter()
            .find(|(seat, _)| *seat == Seat::LANCE)
            .and_then(|(_, at)| toward(*at));
        match (gauge, lance) {
            (Some(g), Some(l)) => {
                let sum = [g[0] + l[0], g[1] + l[1]];
                let opposite = sum[0].abs() + sum[1].abs() < 1e-3;
                Some(if opposite { l } else { sum })
            }
            (one, other) => one.or(other),
        }
    }
}

impl Mind for PumpHand {
    /// The step that was agreed is told by the regulator, which is opened further for
    /// each: the throttle may have been eased meanwhile. Only the first step asks no more
    /// of the regulator than it gives backed off, and is told by the throttle.
    fn come_in(&mut self, past: &Past) {
        let set = |bar: &&f64| **bar <= past.set_bar * SET_PLAY;
        let regulator = self.ways.steps_bar.iter().take_while(set).count();
        let first = self.ways.throttle_pct.first();
        let opened = first.is_some_and(|pct| *pct <= past.throttle_pct + THROTTLE_PLAY_PCT);
        self.step = if regulator > 1 {
            regulator
        } else {
            usize::from(opened)
        };
    }

    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        self.note(p);
        self.listen(p, out);
        if p.body.fallen {
            return;
        }
        self.take_fright(p, out);
        self.reply(p, out);
        if self.dumps(p, out) {
            return;
        }
        if self.work.is_none() && self.safe_due {
            self.begin(Order::Prove, None, p);
        }
        if self.work.is_none() && self.ease_due {
            self.begin(Order::Ease, None, p);
        }
        if self.work.is_some() {
            self.turning = false;
            self.labour(p, out);
        } else {
            self.rest(p, out);
        }
        self.owed(p, out);
    }
}
