//! Stopping at the lance, and what the script has done after a stop.
//!
//! A word that stops the work, or somebody seen where nobody must be, makes
//! whoever holds the tool let go of the trigger before anything else.

use super::{Outcome, Pilot, StuckReason, Work};
use crate::{Call, Cue, Goal, Input, Percepts, Seat, Tick};
use serde::{Deserialize, Serialize};

/// The finger is off the trigger no later than this after the word, seconds
/// (a choice of this project).
const LET_GO_MAX_S: f64 = 0.9;
/// The catch is on within this time after that, or it does not go on, seconds.
const SAFE_MAX_S: f64 = 1.2;
/// Somebody seen in the zone and nobody has said a word for so long: one says
/// it oneself, seconds.
const SHOUT_S: f64 = 1.0;

/// Letting go of the trigger.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Stop {
    call: Call,
    from: Tick,
    let_go: bool,
    /// What was going on can be gone on with where it was.
    keeps: bool,
}

/// What is done after a stop, and what comes then.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Detour {
    /// Place in the list.
    pub at: usize,
    /// What was broken off, and when.
    left: Box<Work>,
    left_at: Tick,
}

fn stops(call: &Call) -> bool {
    matches!(call, Call::Dump | Call::AllStop)
}

impl Pilot {
    /// Takes in what stops the work at the lance.
    pub(super) fn heed(&mut self, p: &Percepts, caught: &[Call], out: &mut Vec<Input>) {
        let word = caught.iter().copied().find(stops);
        if word.is_some() {
            self.shout_at = None;
        }
        let at_work = self.outcome == Outcome::Running || self.hold.finger.squeezed();
        let sees = p.tool.is_some() && self.me.skill.listens && self.sees_intruder(p);
        let new = sees && !self.intruder && at_work && self.detour.is_none();
        self.intruder = sees && (self.intruder || new);
        if new && word.is_none() && self.stop.is_none() {
            self.shout_at = Some(p.tick.after(SHOUT_S));
        }
        let Some(call) = word.or(new.then_some(Call::AllStop)) else {
            return;
        };
        if self.stop.is_some() {
            return;
        }
        self.stand(p, out);
        self.forget_words(call);
        let choice_s = self.me.nerves.choice_s;
        let pause_s = self.me.pause_s(choice_s);
        let pause_s = pause_s.clamp(0.5 * choice_s, LET_GO_MAX_S);
        self.stop = Some(Stop {
            call,
            from: p.tick.after(pause_s),
            let_go: false,
            keeps: false,
        });
    }

    /// Whether somebody who has no business here stands in the zone.
    fn sees_intruder(&self, p: &Percepts) -> bool {
        self.site.zone_m.is_some_and(|[least, most]| {
            p.people.iter().any(|(seat, at)| {
                let inside = |i: usize| least[i] <= at[i] && at[i] <= most[i];
                *seat == Seat::VISITOR && inside(0) && inside(1)
            })
        })
    }

    /// Calls the stop if nobody else has.
    pub(super) fn shouts(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        if self.shout_at.is_some_and(|at| p.tick >= at) && !self.voice.speaks(p.tick) {
            self.shout_at = None;
            self.voice.say(&self.me, p, Call::AllStop, out);
        }
    }

    /// Looks after finger and catch, whatever else is going on.
    pub(super) fn minds_finger(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let stuck = matches!(self.outcome, Outcome::Stuck { .. });
        if (stuck || p.body.fallen) && self.hold.finger.squeezed() {
            self.hold.finger.release(&self.me, p, out);
        }
        self.hold.finger.tend(&mut self.me, p, out);
    }

    /// Lets go of the trigger; true while that is going on.
    pub(super) fn halts(&mut self, p: &Percepts, out: &mut Vec<Input>) -> bool {
        let Some(mut stop) = self.stop else {
            return false;
        };
        if p.tick < stop.from {
            // Until the word has sunk in a jet that moves goes on moving, and
            // nothing new is begun.
            return !matches!(&self.work, Work::Lance(job) if job.sweeps());
        }
        if !stop.let_go {
            stop.let_go = true;
            self.hold.finger.release(&self.me, p, out);
            self.stand(p, out);
            stop.keeps = match &mut self.work {
                Work::Lance(job) => job.break_off(),
                Work::Wait { .. } => true,
                _ => false,
            };
            self.stop = Some(stop);
        }
        if !self.hold.finger.safe() && p.tick.since(stop.from) < SAFE_MAX_S {
            return true;
        }
        self.stop = None;
        if self.outcome != Outcome::Running || self.awaits(stop.call) {
            return false;
        }
        if self.script.after_stop.is_empty() {
            self.stuck(StuckReason::StopCalled(stop.call));
            return true;
        }
        if !stop.keeps {
            self.work = Work::Fresh;
        }
        self.turn_aside(p);
        true
    }

    /// Whether the script waits for this very word, or for the sight that
    /// makes one call it.
    fn awaits(&self, call: Call) -> bool {
        match self.present() {
            Some(Goal::Until { cue, .. }) => match cue {
                Cue::Heard { call: awaited } => *awaited == call,
                Cue::Sees { seat, .. } => self.intruder && *seat == Seat::VISITOR,
                _ => false,
            },
            _ => false,
        }
    }

    /// Whether this word has the script do what it has for after a stop.
    pub(super) fn turns_aside(&self, call: Call) -> bool {
        let has = self.outcome == Outcome::Running && !self.script.after_stop.is_empty();
        has && !self.awaits(call)
    }

    /// What was said before a stop says nothing about what comes after it.
    pub(super) fn forget_words(&mut self, call: Call) {
        if self.turns_aside(call) {
            self.kept.clear();
        }
    }

    /// Begins what is done after a stop, and keeps what was broken off.
    pub(super) fn turn_aside(&mut self, p: &Percepts) {
        let work = core::mem::take(&mut self.work);
        let (left, left_at) = match self.detour.take() {
            // Stopped once more before the end of it: from the beginning.
            Some(detour) => (detour.left, detour.left_at),
            None => (Box::new(work), p.tick),
        };
        self.detour = Some(Detour {
            at: 0,
            left,
            left_at,
        });
    }

    /// The next thing to do after a stop, or back to what was broken off.
    pub(super) fn next_aside(&mut self, p: &Percepts) {
        let Some(mut detour) = self.detour.take() else {
            return;
        };
        detour.at += 1;
        if detour.at < self.script.after_stop.len() {
            self.detour = Some(detour);
            return;
        }
        // Whoever still stands in the zone is taken in anew.
        self.intruder = false;
        self.begun = p.tick;
        self.work = match *detour.left {
            Work::Wait { until } => Work::Wait {
                until: p.tick.after(until.since(detour.left_at)),
            },
            Work::Lance(job) => Work::Lance(job),
            _ => Work::Fresh,
        };
    }
}
