//! The pump hand's hands: what each order is made of, one movement after the
//! other.

use super::{Order, PumpHand};
use crate::pilot::{Hands, Needle, Starter, Step};
use crate::{Act, Call, Control, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

/// From one movement done to the next, seconds.
const BETWEEN_S: f64 = 0.25;
/// How near the needle is brought to a step, percent.
const WITHIN_PCT: f64 = 3.0;
/// An order that hangs at one movement for so long is given up, seconds. The
/// starter, the drain and the run-down of an engine all take less.
const MOVE_MAX_S: f64 = 90.0;
/// Silence that makes sure that the engine stands, seconds.
const STANDS_S: f64 = 0.5;
/// The bleed is watched for this long before it counts as dry, seconds.
const DRY_S: f64 = 1.0;
/// A needle below this is at its pin, bar.
const PIN_BAR: f64 = 1.0;

/// One movement, or one thing to wait for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Move {
    /// A control is brought to a position.
    Set(Control, u16),
    /// The needle is brought to a mark from wherever it is.
    Bring { bar: f64 },
    /// The needle is let down to a mark, and left where it is when it is
    /// below.
    LetDown { bar: f64 },
    /// The engine is started.
    Start,
    /// The engine cools, if it has to.
    Cool,
    /// The engine is heard to stand.
    Stands,
    /// The bleed is seen to be dry and the needle at its pin.
    Dry,
    /// A word is said.
    Say(Call),
}

/// What the hands are doing about the present movement.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
    #[default]
    Fresh,
    Hands(Hands),
    Starter(Starter),
    Needle(Box<Needle>),
    Watch {
        since: Option<Tick>,
    },
    Speak,
}

/// An order under way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Work {
    pub order: Order,
    /// The step that it leads to.
    target: usize,
    /// What was agreed does not hold for longer.
    until: Option<Tick>,
    moves: VecDeque<Move>,
    begun: Tick,
    free_at: Tick,
    doing: Doing,
}

impl PumpHand {
    /// Begins what was agreed; `until` is when that has grown old.
    pub(super) fn begin(&mut self, order: Order, until: Option<Tick>, p: &Percepts) {
        let target = match order {
            Order::Raise => self.step + 1,
            // From between two steps the one below is the next.
            Order::Lower if !self.between => self.step.saturating_sub(1),
            _ => self.step,
        };
        let moves = match order {
            Order::Shut => {
                self.stopped = false;
                self.stay_open = false;
                self.shutting()
            }
            Order::Raise => {
                let mut moves = self.throttle_of(target);
                moves.extend(self.bar_of(target).map(|bar| Move::Bring { bar }));
                moves
            }
            Order::Lower => self.lowering(target),
            Order::Prove => vec![
                Move::Set(Control::Dump, 1),
                Move::Set(Control::Regulator, 0),
                Move::Set(Control::Throttle, 0),
                Move::Cool,
                Move::Set(Control::Key, 0),
                Move::Stands,
                Move::Set(Control::Bleed, 1),
                Move::Dry,
                Move::Say(Call::ZeroProved),
            ],
            Order::Start => vec![
                Move::Set(Control::Bleed, 0),
                Move::Set(Control::Dump, 1),
                Move::Set(Control::Regulator, 0),
                Move::Set(Control::Throttle, 0),
                Move::Start,
                Move::Say(Call::Ready),
            ],
            Order::Ease => {
                // Interrupted and begun again, it still began where it did.
                let now = p.position(Control::Throttle).filter(|at| *at > 0);
                self.eased_from = self.eased_from.or(now);
                vec![Move::Set(Control::Throttle, 0)]
            }
        };
        // What a pump does not have is not moved.
        let there = |m: &Move| match m {
            Move::Set(control, _) => self.site.below(*control).is_some(),
            _ => true,
        };
        self.work = Some(Work {
            order,
            target,
            until,
            moves: moves.into_iter().filter(there).collect(),
            begun: p.tick,
            free_at: p.tick,
            doing: Doing::Fresh,
        });
    }

    /// The setting that was agreed last, or none at all, and then the dump.
    fn shutting(&self) -> Vec<Move> {
        let mut moves = vec![Move::Set(Control::Bleed, 0)];
        if self.backed_off() {
            moves.push(Move::Set(Control::Regulator, 0));
            moves.push(Move::Set(Control::Throttle, 0));
        } else if let Some(to) = self.eased_from {
            moves.push(Move::Set(Control::Throttle, to));
        }
        moves.push(Move::Set(Control::Dump, 0));
        moves
    }

    /// Down to the step below. The needle goes down before the engine does
    /// and once more after it, because less water may want a turn more.
    fn lowering(&self, target: usize) -> Vec<Move> {
        let Some(bar) = self.bar_of(target) else {
            return vec![
                Move::Set(Control::Regulator, 0),
                Move::Set(Control::Throttle, 0),
            ];
        };
        let mut moves = vec![Move::LetDown { bar }];
        moves.extend(self.throttle_of(target));
        moves.push(Move::LetDown { bar });
        moves
    }

    /// Pressure of a step, counted from 1; none for the regulator backed off.
    fn bar_of(&self, step: usize) -> Option<f64> {
        self.ways.steps_bar.get(step.checked_sub(1)?).copied()
    }

    fn throttle_of(&self, step: usize) -> Vec<Move> {
        let pct = step
            .checked_sub(1)
            .and_then(|at| self.ways.throttle_pct.get(at));
        let top = f64::from(Control::Throttle.top());
        let set = |pct: &f64| Move::Set(Control::Throttle, (pct / 100.0 * top).round() as u16);
        pct.map(set).into_iter().collect()
    }

    /// Takes the hands off whatever they are at.
    pub(super) fn leave_off(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some(work) = &mut self.work else { return };
        match &mut work.doing {
            Doing::Hands(hands) => hands.stand(&self.me, p, out),
            Doing::Starter(starter) => starter.stand(&self.me, p, out),
            Doing::Needle(needle) => needle.stand(&self.me, p, out),
            Doing::Fresh | Doing::Watch { .. } | Doing::Speak => {}
        }
        self.work = None;
    }

    /// Works at what was agreed.
    pub(super) fn labour(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some(work) = &self.work else { return };
        let old = work.until.is_some_and(|until| p.tick >= until);
        if old || p.tick.since(work.begun) > MOVE_MAX_S {
            self.safe_due &= work.order != Order::Prove;
            self.leave_off(p, out);
            return;
        }
        if p.tick < work.free_at {
            return;
        }
        let Some(&next) = work.moves.front() else {
            self.finish();
            return;
        };
        let before = out.len();
        let made = self.make(next, p, out);
        if out[before..].iter().any(|i| turned(i, |_| true)) {
            self.depart();
        }
        match made {
            Step::Going => {}
            Step::Done => {
                let pause_s = self.me.pause_s(BETWEEN_S);
                if let Some(work) = &mut self.work {
                    work.moves.pop_front();
                    work.begun = p.tick;
                    work.free_at = p.tick.after(pause_s);
                    work.doing = Doing::Fresh;
                    if work.moves.is_empty() {
                        self.finish();
                    }
                }
            }
            Step::Failed(()) => {
                match self.order() {
                    Some(Order::Ease) => self.ease_due = false,
                    Some(Order::Prove) => self.safe_due = false,
                    _ => {}
                }
                self.leave_off(p, out);
            }
        }
    }

    /// Remembers that the pressure is on its way from one step to another.
    fn depart(&mut self) {
        match &self.work {
            Some(work) if work.order == Order::Raise => self.between = true,
            Some(work) if work.order == Order::Lower => {
                self.step = work.target;
                self.between = true;
            }
            _ => {}
        }
    }

    /// Remembers what has been done.
    fn finish(&mut self) {
        let Some(work) = self.work.take() else { return };
        match work.order {
            Order::Shut => self.eased_from = None,
            Order::Raise | Order::Lower => {
                self.step = work.target;
                self.between = false;
            }
            Order::Prove | Order::Start => {
                self.forget_step();
                self.stopped = false;
                self.ease_due = false;
                self.safe_due = false;
            }
            Order::Ease => self.ease_due = false,
        }
    }

    /// Makes one movement.
    fn make(&mut self, next: Move, p: &Percepts, out: &mut Vec<Input>) -> Step<()> {
        let cooled = !self.hot || p.sound.engine_rev_s <= 0.0;
        let speaks = self.voice.speaks(p.tick);
        let (me, site) = (&mut self.me, &self.site);
        let Some(work) = &mut self.work else {
            return Step::Failed(());
        };
        if work.doing == Doing::Fresh {
            work.doing = match next {
                Move::Set(..) => Doing::Hands(Hands::default()),
                Move::Bring { .. } | Move::LetDown { .. } => Doing::Needle(Box::default()),
                Move::Start => Doing::Starter(Starter::default()),
                Move::Cool | Move::Stands | Move::Dry => Doing::Watch { since: None },
                Move::Say(call) => {
                    if speaks {
                        return Step::Going;
                    }
                    self.say(call, p, out);
                    if let Some(work) = &mut self.work {
                        work.doing = Doing::Speak;
                    }
                    return Step::Going;
                }
            };
        }
        match (&mut work.doing, next) {
            (Doing::Hands(hands), Move::Set(control, to)) => {
                plain(hands.set(me, site, p, control, to, out))
            }
            (Doing::Needle(needle), Move::Bring { bar }) => {
                plain(needle.go(me, site, &mut self.feel, p, bar, WITHIN_PCT, out))
            }
            (Doing::Needle(needle), Move::LetDown { bar }) => {
                let before = out.len();
                let step = needle.go(me, site, &mut self.feel, p, bar, WITHIN_PCT, out);
                if out[before..].iter().any(|i| turned(i, |d| d > 0)) {
                    // Less than the mark was not asked for, but more is
                    // asked for by one word only.
                    out.truncate(before);
                    return Step::Done;
                }
                plain(step)
            }
            (Doing::Starter(starter), Move::Start) => plain(starter.go(me, site, p, out)),
            (Doing::Watch { since }, _) => {
                let (now, sure_s) = match next {
                    Move::Cool => (cooled, 0.0),
                    Move::Stands => (p.sound.engine_rev_s <= 0.0, STANDS_S),
                    _ => (
                        p.bleed_runs == Some(false) && p.gauge_bar.is_none_or(|g| g < PIN_BAR),
                        DRY_S,
                    ),
                };
                if next == Move::Cool {
                    // An engine that cools is waited for as long as it takes.
                    work.begun = p.tick;
                }
                if !now {
                    *since = None;
                    return Step::Going;
                }
                if p.tick.since(*since.get_or_insert(p.tick)) >= sure_s {
                    Step::Done
                } else {
                    Step::Going
                }
            }
            (Doing::Speak, _) if !speaks => Step::Done,
            (Doing::Speak, _) => Step::Going,
            // A movement is always begun for what it is.
            _ => Step::Failed(()),
        }
    }
}

/// Whether an input turns what is held, by detents of this kind.
fn turned(input: &Input, kind: impl Fn(i16) -> bool) -> bool {
    matches!(input.act, Act::Twist { detents } if kind(detents))
}

fn plain<F>(step: Step<F>) -> Step<()> {
    match step {
        Step::Going => Step::Going,
        Step::Done => Step::Done,
        Step::Failed(_) => Step::Failed(()),
    }
}
