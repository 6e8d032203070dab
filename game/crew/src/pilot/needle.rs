//! Turning the regulator by the needle.
//!
//! The needle lags by some 0.4 s and is known 0.2 s later, so nobody can chase
//! it: a person turns, waits until it rests, reads it, and turns by what is
//! left, less the better they know the knob.

use super::Step;
use super::hands::{EASE_PER_S, Hands, Hindrance, SPIN_PER_S};
use crate::person::{Person, Site};
use crate::{Control, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// Why a pressure cannot be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum PressureLimit {
    /// All the water goes to the tool and none through the bypass, so that
    /// there is nothing left to hold back.
    BypassUsedUp,
    /// The knob is at the end of its travel.
    KnobAtEnd,
    /// The engine gives all it has.
    EngineLabours,
    /// The engine stands.
    EngineStands,
    /// The needle does not answer the knob, and nothing that can be heard
    /// tells why: the dump is open, or the gauge is stuck.
    NeedleDeaf,
    /// The needle did not come to rest near the pressure in time.
    Unsteady,
    /// The needle cannot be read from where one can reach the knob.
    NeedleUnseen,
}

impl PressureLimit {
    /// Stable name, as the end of text ids.
    pub fn id(self) -> &'static str {
        match self {
            PressureLimit::BypassUsedUp => "bypass_used_up",
            PressureLimit::KnobAtEnd => "knob_at_end",
            PressureLimit::EngineLabours => "engine_labours",
            PressureLimit::EngineStands => "engine_stands",
            PressureLimit::NeedleDeaf => "needle_deaf",
            PressureLimit::Unsteady => "unsteady",
            PressureLimit::NeedleUnseen => "needle_unseen",
        }
    }
}

/// Why the needle was not brought to its mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Amiss {
    /// The hand did not get to the knob, or the knob does not turn.
    Hand(Hindrance),
    /// Water or engine do not give it.
    Limit { gauge_bar: f64, why: PressureLimit },
}

/// Before anything is known of a knob it is taken to move the needle by this
/// much, bar per detent: more than most, so that the first turn is small.
const WARY_BAR: f64 = 2.0;
/// Less than this is no answer of the needle, bar per detent.
const DEAF_BAR: f64 = 0.08;
/// Answers below this share of what is expected are no answer either.
const DEAF_SHARE: f64 = 0.15;
/// Longest first turn, detents.
const FIRST_TURN: i32 = 40;
/// Longest turn after one that was not answered, detents.
const DEAF_TURN: i32 = 30;
/// So many detents in vain, and something is wrong.
const DEAF_MAX: i32 = 150;
/// The needle is left alone for this long before it is looked at, seconds:
/// the delay of the eye and twice the lag of a needle.
const SETTLE_S: f64 = 1.0;
/// It is read as the mean over this time, ticks: several strokes of the pump.
const READ_TICKS: usize = 48;
/// Longest wait for it to rest, seconds.
const REST_MAX_S: f64 = 3.0;
/// Turned back so often, it is left alone.
const REVERSALS: u8 = 3;
/// Below this hiss nothing goes through the bypass any more.
const NO_HISS: f64 = 0.05;
/// Above this an engine has nothing left to give.
const ALL_IT_HAS: f64 = 0.95;
/// An engine slower than this share of its speed before is held down.
const HELD_DOWN: f64 = 0.85;
/// An engine slower than this stands or is about to, rev/s.
const STANDS_REV_S: f64 = 2.0;

/// What a person has learnt of the knob, kept from one use to the next.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Feel {
    /// Rise of the needle per detent, bar, once it has shown itself twice.
    pub bar_per_detent: Option<f64>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Stage {
    #[default]
    Grasp,
    Settle {
        since: Tick,
    },
    Turn {
        to: u16,
        up: bool,
    },
    WindBack {
        to: u16,
    },
    Drop,
}

/// A turn that has been made, to be compared with what the needle does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Turned {
    from_bar: f64,
    from_knob: u16,
}

/// The regulator in the hand, and an eye on the needle.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Needle {
    stage: Stage,
    hands: Hands,
    readings: Vec<f64>,
    unseen: Option<Tick>,
    stands: Option<Tick>,
    aim_bar: Option<f64>,
    rev_s: Option<f64>,
    knob: u16,
    last: Option<Turned>,
    answers: u8,
    deaf_turns: u8,
    deaf_detents: i32,
    rough_bar: Option<f64>,
    stride: i32,
    reversals: u8,
    direction: i32,
    limit: Option<(f64, PressureLimit)>,
}

impl Needle {
    /// Stands still, whatever was going on.
    pub fn stand(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.hands.stand(me, p, out);
    }

    /// The needle as it is read now, bar: its mean over the last moment.
    pub fn reads_bar(&self) -> f64 {
        mean(&self.readings[self.readings.len().saturating_sub(READ_TICKS)..])
    }

    /// What was found to stand against it, when the hand is only winding back.
    pub fn found(&self) -> Option<PressureLimit> {
        self.limit.map(|(_, why)| why)
    }

    /// Brings the needle to `bar`; the goal's patience is kept by the caller.
    #[expect(clippy::too_many_arguments, reason = "hand, eye, knob and mark")]
    pub fn go(
        &mut self,
        me: &mut Person,
        site: &Site,
        feel: &mut Feel,
        p: &Percepts,
        bar: f64,
        within_pct: f64,
        out: &mut Vec<Input>,
    ) -> Step<Amiss> {
        if let Some(limit) = self.watch(p)
            && self.stage != Stage::Drop
        {
            self.give_up(limit);
        }
        match self.stage {
            Stage::Grasp => match self.hands.grasp(me, site, p, Control::Regulator, out) {
                Step::Going => {}
                Step::Failed(why) => return Step::Failed(Amiss::Hand(why)),
                Step::Done => {
                    self.rev_s = Some(p.sound.engine_rev_s);
                    self.stage = Stage::Settle { since: p.tick };
                }
            },
            Stage::Settle { since } => {
                let tol_bar = bar * within_pct / 100.0;
                if self.rests(p, since, tol_bar) {
                    let now_bar = self.reads_bar();
                    let aim_bar = *self.aim_bar.get_or_insert_with(|| {
                        bar + (bar - now_bar).signum() * me.overshoot() * tol_bar
                    });
                    self.knob = p.position(Control::Regulator).unwrap_or(self.knob);
                    self.decide(feel, p, now_bar, aim_bar, tol_bar);
                }
            }
            Stage::Turn { to, up } => {
                let Some(seen) = p.position(Control::Regulator) else {
                    return Step::Going;
                };
                let tol_bar = bar * within_pct / 100.0;
                let past = p.gauge_bar.is_some_and(|g| {
                    if up {
                        g > bar + tol_bar
                    } else {
                        g < bar - tol_bar
                    }
                });
                // Without the hiss there is nothing left to hold back.
                let past = past || (up && p.sound.hiss < NO_HISS);
                let far = (i32::from(to) - i32::from(self.knob)).abs() > 60;
                let rate = if far { SPIN_PER_S } else { EASE_PER_S };
                match self.hands.twist_to(me, p, seen, to, rate, out) {
                    Step::Going if past => {
                        // Further than meant already: hands off, and look.
                        self.hands.forget_turns();
                        self.stage = Stage::Settle { since: p.tick };
                    }
                    Step::Going => {}
                    Step::Failed(why) => return Step::Failed(Amiss::Hand(why)),
                    Step::Done => self.stage = Stage::Settle { since: p.tick },
                }
            }
            Stage::WindBack { to } => {
                let seen = p.position(Control::Regulator).unwrap_or(to);
                match self.hands.twist_to(me, p, seen, to, SPIN_PER_S, out) {
                    Step::Going => {}
                    Step::Done | Step::Failed(_) => self.stage = Stage::Drop,
                }
            }
            Stage::Drop => {
                if self.hands.release(me, p, out) {
                    return match self.limit {
                        None => Step::Done,
                        Some((gauge_bar, why)) => Step::Failed(Amiss::Limit { gauge_bar, why }),
                    };
                }
            }
        }
        Step::Going
    }

    /// Reads the needle and listens to the engine, in every tick.
    fn watch(&mut self, p: &Percepts) -> Option<PressureLimit> {
        if let Some(bar) = p.gauge_bar {
            if self.readings.len() >= 2 * READ_TICKS {
                self.readings.remove(0);
            }
            self.readings.push(bar);
            self.unseen = None;
        } else if self.stage != Stage::Grasp {
            let since = *self.unseen.get_or_insert(p.tick);
            if p.tick.since(since) > 2.0 {
                return Some(PressureLimit::NeedleUnseen);
            }
        }
        if p.sound.engine_rev_s >= STANDS_REV_S {
            self.stands = None;
        } else if self.stage != Stage::Grasp {
            let since = *self.stands.get_or_insert(p.tick);
            if p.tick.since(since) > 0.5 {
                return Some(PressureLimit::EngineStands);
            }
        }
        None
    }

    /// Whether the needle has come to rest after a turn.
    fn rests(&self, p: &Percepts, since: Tick, tol_bar: f64) -> bool {
        let waited_s = p.tick.since(since);
        if waited_s < SETTLE_S || self.readings.len() < 2 * READ_TICKS {
            return false;
        }
        let (before, after) = self.readings.split_at(READ_TICKS);
        (mean(after) - mean(before)).abs() < 0.15 * tol_bar || waited_s > REST_MAX_S
    }

    /// Looks at a needle at rest and decides what the hand does next.
    fn decide(&mut self, feel: &mut Feel, p: &Percepts, now_bar: f64, aim_bar: f64, tol_bar: f64) {
        let left_bar = aim_bar - now_bar;
        if left_bar.abs() <= 0.5 * tol_bar {
            self.stage = Stage::Drop;
            return;
        }
        if let Some(last) = self.last.take()
            && let Some(limit) = self.judge(feel, p, last, now_bar)
        {
            self.give_up(limit);
            return;
        }
        let detents = self.next_turn(feel, left_bar, tol_bar);
        if detents == 0 {
            // Nearer than a detent.
            self.end(left_bar.abs() <= tol_bar, PressureLimit::Unsteady);
            return;
        }
        let top = i32::from(Control::Regulator.top());
        let to = (i32::from(self.knob) + detents).clamp(0, top);
        if to == i32::from(self.knob) {
            self.end(left_bar.abs() <= tol_bar, PressureLimit::KnobAtEnd);
            return;
        }
        if self.reversals > REVERSALS {
            self.end(left_bar.abs() <= tol_bar, PressureLimit::Unsteady);
            return;
        }
        self.last = Some(Turned {
            from_bar: now_bar,
            from_knob: self.knob,
        });
        self.stage = Stage::Turn {
            to: to as u16,
            up: detents > 0,
        };
    }

    /// Compares what the needle did with what the hand did.
    fn judge(
        &mut self,
        feel: &mut Feel,
        p: &Percepts,
        last: Turned,
        now_bar: f64,
    ) -> Option<PressureLimit> {
        let turned = i32::from(self.knob) - i32::from(last.from_knob);
        let answer = if turned == 0 {
            0.0
        } else {
            (now_bar - last.from_bar) / f64::from(turned)
        };
        let expected = feel.bar_per_detent.or(self.rough_bar).unwrap_or(0.0);
        if answer >= DEAF_BAR.max(DEAF_SHARE * expected) {
            if self.answers > 0 && turned.abs() >= 5 {
                // A much weaker answer may be the beginning of the end of the
                // bypass, and no reason to turn further next time.
                let least = 0.7 * feel.bar_per_detent.unwrap_or(0.0);
                feel.bar_per_detent = Some(answer.max(least));
            }
            self.rough_bar = Some(answer);
            self.stride = turned.abs();
            self.answers = self.answers.saturating_add(1);
            self.deaf_turns = 0;
            self.deaf_detents = 0;
            return None;
        }
        self.deaf_turns += 1;
        self.deaf_detents += turned;
        let in_vain = self.deaf_detents.abs() >= DEAF_MAX;
        if self.deaf_detents > 0 && (self.deaf_turns >= 2 || in_vain) {
            let before = self.rev_s.unwrap_or(0.0);
            if p.sound.labour >= ALL_IT_HAS || p.sound.engine_rev_s < HELD_DOWN * before {
                return Some(PressureLimit::EngineLabours);
            }
            if p.sound.hiss < NO_HISS {
                return Some(PressureLimit::BypassUsedUp);
            }
        }
        in_vain.then_some(PressureLimit::NeedleDeaf)
    }

    /// How far to turn for what is left.
    fn next_turn(&mut self, feel: &Feel, left_bar: f64, tol_bar: f64) -> i32 {
        let direction = if left_bar > 0.0 { 1 } else { -1 };
        let far = left_bar.abs() > 3.0 * tol_bar;
        let size = if self.deaf_turns > 0 {
            // Something is different from what it was: feel the way.
            let known = feel.bar_per_detent.unwrap_or(WARY_BAR);
            whole(0.4 * left_bar.abs() / known).clamp(1, DEAF_TURN)
        } else if let Some(known) = feel.bar_per_detent {
            let share = if far { 0.85 } else { 1.0 };
            whole(share * left_bar.abs() / known)
        } else if let Some(rough) = self.rough_bar {
            // The first answer may be too weak: a part of the turn may have
            // been dead travel. No stride is more than twice the one before.
            whole(0.5 * left_bar.abs() / rough).clamp(1, 2 * self.stride.max(1))
        } else {
            whole(0.5 * left_bar.abs() / WARY_BAR).clamp(1, FIRST_TURN)
        };
        if size > 0 && self.direction == -direction {
            self.reversals += 1;
        }
        self.direction = direction;
        direction * size
    }

    /// Leaves the needle where it is: near enough, or for this reason not.
    fn end(&mut self, near_enough: bool, otherwise: PressureLimit) {
        self.stage = Stage::Drop;
        if !near_enough {
            self.limit = Some((self.reads_bar(), otherwise));
        }
    }

    /// Gives up, and takes back what was wound in to no effect.
    fn give_up(&mut self, limit: PressureLimit) {
        if self.limit.is_some() {
            return;
        }
        self.limit = Some((self.reads_bar(), limit));
        self.hands.forget_turns();
        self.stage = if self.deaf_detents > 0 {
            let to = i32::from(self.knob) - self.deaf_detents;
            Stage::WindBack {
                to: to.max(0) as u16,
            }
        } else {
            Stage::Drop
        };
    }
}

fn whole(x: f64) -> i32 {
    x.round().clamp(0.0, 1000.0) as i32
}

fn mean(x: &[f64]) -> f64 {
    if x.is_empty() {
        return 0.0;
    }
    x.iter().sum::<f64>() / x.len() as f64
}
