//! Goals of work with the lance: what hands, feet and finger do about them.

use super::arms::{Arms, Pose};
use super::finger::Finger;
use super::footing::BRACED;
use super::rework::Rework;
use super::rows::Order;
use super::sweep::Sweep;
use super::walk::{Walk, less_turns};
use super::{Step, StuckReason};
use crate::person::{Person, Site};
use crate::{Act, Goal, Input, Percepts, Stance, Task, Tick};
use serde::{Deserialize, Serialize};

/// What was done is felt or seen within this time; else it is done again,
/// seconds. Bracing takes half of it.
const LOOK_S: f64 = 1.2;
/// Putting a piece of equipment on or off takes its time, seconds (common
/// practice, no source).
const DRESS_S: f64 = 10.0;
/// The same thing is tried so often.
const TRIES: u8 = 4;
/// What cannot be perceived is done once, and this long later taken for done,
/// seconds.
const BLIND_S: f64 = 0.3;
/// Pointing somewhere: near enough, radians, for so long, and given up after,
/// seconds.
const POINTED_RAD: f64 = 0.03;
const POINTED_S: f64 = 0.3;
const POINT_MAX_S: f64 = 10.0;
/// The brace is down below this.
const BRACE_DOWN: f64 = 0.2;
/// Getting ready to walk takes no longer than this, seconds.
const STOW_MAX_S: f64 = 2.0;

/// How somebody holds the tool, or means to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Hold {
    pub finger: Finger,
    pub arms: Arms,
    /// How the feet were set by the script.
    pub stance: Stance,
    /// The script has the tool braced.
    pub brace: bool,
    stowing: Option<Tick>,
    lowered: bool,
}

impl Hold {
    /// Turns the body, with the tool, towards a spot; true once it faces it.
    pub fn face(
        &mut self,
        me: &Person,
        p: &Percepts,
        spot: [f64; 2],
        out: &mut Vec<Input>,
    ) -> bool {
        let before = out.len();
        let faces = Walk::default().face(me, p, spot, out);
        for input in out.get(before..).unwrap_or_default() {
            if let Act::Turn { yaw } = input.act {
                self.arms.turned_by(yaw);
            }
        }
        faces
    }

    /// Makes the tool ready to be carried: trigger let go, catch on, out of
    /// the shoulder. True once it is, and at once without a tool.
    pub fn stow(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) -> bool {
        let Some(tool) = p.tool else {
            return true;
        };
        let since = *self.stowing.get_or_insert(p.tick);
        self.finger.release(me, p, out);
        let down = p.body.braced <= BRACE_DOWN;
        if !(down || self.lowered) {
            self.lowered = true;
            me.does(p.tick, Act::Brace(false), out);
        }
        self.brace = false;
        let safe = self.finger.safe() && tool.catch_on;
        (safe && down) || p.tick.since(since) > STOW_MAX_S
    }

    /// A new goal: the tool is made ready anew where it has to be.
    pub fn fresh(&mut self) {
        self.stowing = None;
        self.lowered = false;
    }
}

/// Something done once and then felt or seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Deed {
    asked: Option<Tick>,
    tries: u8,
}

impl Deed {
    /// Does it, and again until it is seen to be done; `done` is unknown where
    /// it cannot be perceived.
    fn go(
        &mut self,
        act: Act,
        done: Option<bool>,
        look_s: f64,
        me: &Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        if done == Some(true) {
            return Step::Done;
        }
        let Some(asked) = self.asked else {
            self.asked = Some(p.tick);
            self.tries += 1;
            me.does(p.tick, act, out);
            return Step::Going;
        };
        let waited_s = p.tick.since(asked);
        if done.is_none() && waited_s > BLIND_S {
            return Step::Done;
        }
        if waited_s > look_s {
            if self.tries >= TRIES {
                return Step::Failed(StuckReason::OutOfReach);
            }
            self.asked = None;
        }
        Step::Going
    }
}

/// What is being done about a goal of lance work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) enum Job {
    Deed(Deed),
    /// The tool is made ready, then something is done with it.
    Stowed(Deed),
    Squeeze {
        until: Option<Tick>,
    },
    Work {
        deed: Deed,
        seen: bool,
    },
    Aim {
        since: Tick,
        faces: bool,
        near: Option<Tick>,
    },
    /// None where there is nothing to sweep.
    Sweep(Option<Box<Sweep>>),
    Rework(Box<Rework>),
}

impl Job {
    /// The work for a goal.
    pub fn begin(goal: &Goal, hold: &Hold, me: &mut Person, site: &Site, p: &Percepts) -> Self {
        match (goal, Order::of(goal)) {
            (Goal::Sweep { .. }, Some(order)) => {
                Job::Sweep(Sweep::new(order, site, hold, me, p).map(Box::new))
            }
            (Goal::Rework { clean_pct, .. }, Some(order)) => {
                Job::Rework(Box::new(Rework::new(order, *clean_pct, hold, p)))
            }
            (Goal::AimAt { .. }, _) => Job::Aim {
                since: p.tick,
                faces: false,
                near: None,
            },
            (Goal::Squeeze { .. }, _) => Job::Squeeze { until: None },
            (Goal::Work { .. }, _) => Job::Work {
                deed: Deed::default(),
                seen: false,
            },
            (Goal::LayDown, _) => Job::Stowed(Deed::default()),
            _ => Job::Deed(Deed::default()),
        }
    }

    /// Whether the jet is being led over the surface.
    pub fn sweeps(&self) -> bool {
        match self {
            Job::Sweep(Some(sweep)) => sweep.runs(),
            Job::Rework(rework) => rework.runs(),
            _ => false,
        }
    }

    /// Left off, to be taken up later: whether it goes on where it was.
    pub fn break_off(&mut self) -> bool {
        match self {
            Job::Sweep(Some(sweep)) => sweep.break_off(),
            Job::Rework(rework) => rework.break_off(),
            _ => return false,
        }
        true
    }

    /// Works at a goal.
    pub fn go(
        &mut self,
        goal: &Goal,
        hold: &mut Hold,
        me: &mut Person,
        site: &Site,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        match self {
            Job::Sweep(Some(sweep)) => sweep.go(hold, me, p, out),
            Job::Sweep(None) => Step::Failed(StuckReason::OutOfReach),
            Job::Rework(rework) => rework.go(hold, me, site, p, out),
            Job::Deed(deed) => deed_of(deed, goal, hold, me, p, out),
            Job::Stowed(deed) => {
                if deed.asked.is_none() && !hold.stow(me, p, out) {
                    return Step::Going;
                }
                let down = Some(p.tool.is_none());
                deed.go(Act::LayDown, down, LOOK_S, me, p, out)
            }
            Job::Squeeze { until } => {
                let Goal::Squeeze { s } = goal else {
                    return Step::Done;
                };
                match *until {
                    None => {
                        if hold.finger.squeeze(me, p, out) {
                            *until = Some(p.tick.after(*s));
                        }
                        Step::Going
                    }
                    Some(until) => {
                        if p.tick >= until {
                            hold.finger.release(me, p, out);
                        }
                        done_if(p.tick >= until && hold.finger.safe())
                    }
                }
            }
            Job::Work { deed, seen } => {
                let Goal::Work { task } = goal else {
                    return Step::Done;
                };
                work(*task, deed, seen, me, p, out)
            }
            Job::Aim { since, faces, near } => {
                let Goal::AimAt { at_m } = goal else {
                    return Step::Done;
                };
                if p.tick.since(*since) > POINT_MAX_S {
                    return Step::Failed(StuckReason::OutOfReach);
                }
                if !*faces {
                    *faces = hold.face(me, p, [at_m[0], at_m[2]], out);
                    return Step::Going;
                }
                // Without a tool there is only oneself to turn.
                if p.tool.is_none() {
                    return Step::Done;
                }
                let Some(tool) = hold.arms.feel(me, p) else {
                    return Step::Going;
                };
                let pose: Pose = hold.arms.pose_here(p, *at_m);
                hold.arms.steer(me, p, &pose, out);
                let off_rad = less_turns(pose.yaw_rad - tool.yaw_rad)
                    .abs()
                    .max((pose.pitch_rad - tool.pitch_rad).abs());
                *near = (off_rad < POINTED_RAD).then(|| near.unwrap_or(p.tick));
                done_if(near.is_some_and(|at| p.tick.since(at) >= POINTED_S))
            }
        }
    }
}

fn done_if(done: bool) -> Step<StuckReason> {
    if done { Step::Done } else { Step::Going }
}

/// Goals that are one act, felt or seen to be done.
fn deed_of(
    deed: &mut Deed,
    goal: &Goal,
    hold: &mut Hold,
    me: &mut Person,
    p: &Percepts,
    out: &mut Vec<Input>,
) -> Step<StuckReason> {
    let (act, done, look_s) = match *goal {
        Goal::Stand { stance } => {
            hold.stance = stance;
            (Act::Stand(stance), Some(p.body.stance == stance), LOOK_S)
        }
        Goal::Brace { on } => {
            hold.brace = on;
            let done = if on {
                p.body.braced >= BRACED
            } else {
                p.body.braced <= BRACE_DOWN
            };
            (Act::Brace(on), Some(done), LOOK_S)
        }
        Goal::Catch { on } => {
            let felt = p.tool.map(|t| t.catch_on == on);
            if felt != Some(true) && deed.asked.is_none() {
                hold.finger.leave_so();
                hold.finger.noted_catch(on, p);
            }
            (Act::SafetyCatch(on), felt, LOOK_S)
        }
        Goal::Trigger { on } => {
            hold.finger.leave_so();
            if on {
                return done_if(hold.finger.squeeze(me, p, out));
            }
            hold.finger.let_go(me, p, out);
            return Step::Done;
        }
        Goal::TakeUp => (Act::TakeUp, Some(p.tool.is_some()), LOOK_S),
        // What is laid out is not perceived from the post.
        Goal::Choose { nozzle } => (Act::Choose { nozzle }, None, LOOK_S),
        Goal::Wear { item, on } => {
            let done = (p.wears & item.bit() != 0) == on;
            (Act::Wear { item, on }, Some(done), DRESS_S)
        }
        Goal::Tie { on } => (Act::Tie(on), p.tool.map(|t| t.tied == on), LOOK_S),
        Goal::TakeHose => (Act::TakeHose, Some(p.holds_hose), LOOK_S),
        Goal::LetGo => {
            let empty = !p.holds_hose && p.body.holding.is_none();
            (Act::LetGo, Some(empty), LOOK_S)
        }
        // No goal of one act; better said than passed over.
        _ => return Step::Failed(StuckReason::OutOfReach),
    };
    deed.go(act, done, look_s, me, p, out)
}

/// Work with both hands: begun, and seen to be over.
fn work(
    task: Task,
    deed: &mut Deed,
    seen: &mut bool,
    me: &Person,
    p: &Percepts,
    out: &mut Vec<Input>,
) -> Step<StuckReason> {
    if p.body.working.is_some() {
        *seen |= p.body.working == Some(task);
        return Step::Going;
    }
    if *seen {
        return Step::Done;
    }
    deed.go(Act::Begin(task), Some(false), LOOK_S, me, p, out)
}
