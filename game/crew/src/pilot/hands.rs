//! Taking hold of a control, moving it to where it is seen to be right, and
//! letting it go. One thing at a time, with the pauses of a person.

use super::Step;
use super::walk::{Walk, turn_rad};
use crate::person::{Person, Site, Spread};
use crate::{Act, Control, Handling, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// From the grip to the first movement, seconds.
const GRIP_S: f64 = 0.2;
/// From one movement seen to be done to the next, seconds.
const NEXT_S: f64 = 0.25;
/// What was done is looked for this long before it is done again, seconds:
/// four times what sight takes.
const LOOK_S: f64 = 0.8;
/// The same movement is tried so often.
const TRIES: u8 = 4;
/// What lies further round than this is behind the shoulder, radians.
const BESIDE_RAD: f64 = 1.0;
/// Detents a second of a hand that spins the regulator knob (common practice,
/// no source).
pub(crate) const SPIN_PER_S: f64 = 250.0;
/// Detents a second of a hand that moves the speed lever or feels its way.
pub(crate) const EASE_PER_S: f64 = 80.0;

/// Why a hand got no further.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hindrance {
    /// It cannot be reached or not be seen.
    OutOfReach,
    /// It does not go where it should.
    WouldNotMove {
        /// Where it was seen last.
        seen: u16,
    },
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Stage {
    #[default]
    Look,
    Move,
    Await {
        since: Tick,
        expected: u16,
    },
    Drop,
}

/// One pair of hands at one control.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Hands {
    stage: Stage,
    /// Nothing is done before this tick.
    free_at: Tick,
    /// When the hand began to do what has to be seen next.
    asked: Option<Tick>,
    dropped: Option<Tick>,
    tries: u8,
    nearer_m: f64,
    held: bool,
    reaching: bool,
    turning: bool,
    unseen: Option<Tick>,
    /// Where a turned control was last seen at rest, and detents given since.
    from: Option<u16>,
    given: i32,
    spread: Spread,
    walk: Walk,
    blocked: Option<u16>,
}

impl Hands {
    /// Hands of somebody who has to stop something.
    pub fn hurried() -> Self {
        let mut hands = Hands::default();
        hands.walk.hurry = true;
        hands
    }

    /// Stands still, whatever was going on.
    pub fn stand(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        self.walk.stand(me, p, out);
    }

    fn pause(&mut self, me: &mut Person, p: &Percepts, base_s: f64) {
        self.free_at = p.tick.after(me.pause_s(base_s));
    }

    /// Gets the control into the hand: walks up to it, empties the hand, takes
    /// it.
    pub fn grasp(
        &mut self,
        me: &mut Person,
        site: &Site,
        p: &Percepts,
        control: Control,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        if p.body.holding == Some(control) {
            if !self.held {
                self.held = true;
                self.asked = None;
                self.tries = 0;
                self.pause(me, p, GRIP_S);
            }
            return if p.tick >= self.free_at {
                Step::Done
            } else {
                Step::Going
            };
        }
        self.held = false;
        if p.tick < self.free_at || p.body.working.is_some() {
            return Step::Going;
        }
        if p.body.holding.is_some() {
            self.let_go(me, p, out);
            return Step::Going;
        }
        let Some(at) = site.below(control) else {
            return Step::Failed(Hindrance::OutOfReach);
        };
        if !self.reaching {
            if !site.in_reach(control, p.body.at_m) || self.nearer_m > 0.0 {
                let spot = if self.nearer_m > 0.0 {
                    Some(at)
                } else {
                    site.spot_for(control, p.body.at_m)
                };
                let near_m = if spot == Some(at) {
                    (site.reach_m * 0.75 - self.nearer_m).max(0.2)
                } else {
                    0.15
                };
                match self.walk.go(me, p, spot.unwrap_or(at), near_m, out) {
                    Step::Going => return Step::Going,
                    // Something is in the way; what is within arm's length
                    // can still be taken hold of.
                    Step::Failed(()) if !site.in_reach(control, p.body.at_m) => {
                        return Step::Failed(Hindrance::OutOfReach);
                    }
                    Step::Failed(()) | Step::Done => {}
                }
                if !self.walk.face(me, p, at, out) {
                    return Step::Going;
                }
            } else if !self.walk.hurry && !self.turned(me, p, at, out) {
                return Step::Going;
            }
            self.reaching = true;
            let reach_s = me.nerves.reach_s;
            self.pause(me, p, reach_s);
            if p.tick < self.free_at {
                return Step::Going;
            }
        }
        match self.asked {
            None => {
                self.asked = Some(p.tick);
                me.does(p.tick, Act::Take(control), out);
            }
            Some(asked) if p.tick.since(asked) > LOOK_S => {
                self.asked = None;
                self.tries += 1;
                self.reaching = false;
                self.nearer_m += 0.2;
                if self.tries >= TRIES {
                    return Step::Failed(Hindrance::OutOfReach);
                }
            }
            Some(_) => {}
        }
        Step::Going
    }

    /// Stands, and turns to what is within reach but behind one; the head alone
    /// looks at the rest.
    fn turned(&mut self, me: &Person, p: &Percepts, at: [f64; 2], out: &mut Vec<Input>) -> bool {
        self.walk.stand(me, p, out);
        self.turning = self.turning || turn_rad(p, at).abs() > BESIDE_RAD;
        self.turning = self.turning && !self.walk.face(me, p, at, out);
        !self.turning
    }

    /// Lets go of whatever is held, and says so again if it is still held
    /// after a look.
    fn let_go(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        if self.dropped.is_none_or(|told| p.tick.since(told) > LOOK_S) {
            self.dropped = Some(p.tick);
            me.does(p.tick, Act::LetGo, out);
        }
    }

    /// Empties the hand.
    pub fn release(&mut self, me: &Person, p: &Percepts, out: &mut Vec<Input>) -> bool {
        if p.body.holding.is_some() {
            self.let_go(me, p, out);
            return false;
        }
        true
    }

    /// Moves the control in the hand until it is seen to be right.
    pub fn move_to(
        &mut self,
        me: &mut Person,
        p: &Percepts,
        control: Control,
        to: u16,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        if p.tick < self.free_at {
            return Step::Going;
        }
        let Some(seen) = p.position(control) else {
            return self.peer(p);
        };
        self.unseen = None;
        match control.handling() {
            Handling::Push { .. } => self.push_to(me, p, seen, to, out),
            Handling::Twist { .. } => {
                let rate = if control == Control::Regulator {
                    SPIN_PER_S
                } else {
                    EASE_PER_S
                };
                self.twist_to(me, p, seen, to, rate, out)
            }
        }
    }

    /// Waits a moment for something that should be in view.
    fn peer(&mut self, p: &Percepts) -> Step<Hindrance> {
        let since = *self.unseen.get_or_insert(p.tick);
        if p.tick.since(since) > LOOK_S {
            Step::Failed(Hindrance::OutOfReach)
        } else {
            Step::Going
        }
    }

    fn push_to(
        &mut self,
        me: &mut Person,
        p: &Percepts,
        seen: u16,
        to: u16,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        if let Stage::Await { since, expected } = self.stage {
            if seen == expected {
                self.stage = Stage::Move;
                self.tries = 0;
                if seen != to {
                    self.pause(me, p, NEXT_S);
                    return Step::Going;
                }
            } else if p.tick.since(since) > LOOK_S {
                self.stage = Stage::Move;
                self.tries += 1;
                if self.tries >= TRIES {
                    return Step::Failed(Hindrance::WouldNotMove { seen });
                }
            } else {
                return Step::Going;
            }
        }
        if seen == to {
            return Step::Done;
        }
        let on = to > seen;
        me.does(p.tick, Act::Push { on }, out);
        self.stage = Stage::Await {
            since: p.tick,
            expected: if on { seen + 1 } else { seen - 1 },
        };
        Step::Going
    }

    /// Turns what is held. The hand counts the detents that it feels, so the
    /// delay of the eye does no harm; the eye checks at the end.
    pub fn twist_to(
        &mut self,
        me: &Person,
        p: &Percepts,
        seen: u16,
        to: u16,
        per_s: f64,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        let from = *self.from.get_or_insert(seen);
        let left = i32::from(to) - i32::from(from) - self.given;
        if left != 0 {
            let detents = self.spread.take(per_s).min(left.abs()) * left.signum();
            if detents != 0 {
                self.given += detents;
                self.asked = Some(p.tick);
                let detents = detents as i16;
                me.does(p.tick, Act::Twist { detents }, out);
            }
            return Step::Going;
        }
        if seen == to {
            self.forget_turns();
            return Step::Done;
        }
        if self.asked.is_none_or(|asked| p.tick.since(asked) > LOOK_S) {
            // A control that has come nearer is only slow; one that has not is
            // stuck.
            self.tries = if seen == from { self.tries + 1 } else { 0 };
            self.forget_turns();
            if self.tries >= TRIES {
                return Step::Failed(Hindrance::WouldNotMove { seen });
            }
        }
        Step::Going
    }

    /// Stops turning at once.
    pub fn forget_turns(&mut self) {
        self.from = None;
        self.given = 0;
        self.asked = None;
    }

    /// Brings a control to a position and lets it go.
    pub fn set(
        &mut self,
        me: &mut Person,
        site: &Site,
        p: &Percepts,
        control: Control,
        to: u16,
        out: &mut Vec<Input>,
    ) -> Step<Hindrance> {
        match self.stage {
            Stage::Look => {
                if p.position(control) == Some(to) && p.body.holding.is_none() {
                    self.stand(me, p, out);
                    return Step::Done;
                }
                match self.grasp(me, site, p, control, out) {
                    Step::Going => {}
                    Step::Done => self.stage = Stage::Move,
                    Step::Failed(why) => return Step::Failed(why),
                }
                Step::Going
            }
            Stage::Move | Stage::Await { .. } => {
                match self.move_to(me, p, control, to, out) {
                    Step::Going => return Step::Going,
                    Step::Done => {}
                    Step::Failed(Hindrance::OutOfReach) => {
                        return Step::Failed(Hindrance::OutOfReach);
                    }
                    Step::Failed(Hindrance::WouldNotMove { seen }) => self.blocked = Some(seen),
                }
                self.stage = Stage::Drop;
                self.pause(me, p, GRIP_S);
                Step::Going
            }
            Stage::Drop => {
                if p.tick < self.free_at {
                    return Step::Going;
                }
                if !self.release(me, p, out) {
                    return Step::Going;
                }
                match self.blocked {
                    Some(seen) => Step::Failed(Hindrance::WouldNotMove { seen }),
                    None => Step::Done,
                }
            }
        }
    }
}
