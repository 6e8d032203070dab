//! Sweeping a part of the surface with the jet.
//!
//! The tool is brought to the first row and held steady, then squeezed, and
//! led along the rows at an even speed and distance. Whatever takes the tool
//! out of a firm hold ends the squeeze first; the sweep goes on a little
//! before the place where that was.

use super::footing::Footing;
use super::lance::Hold;
use super::rows::{LEAD_S, Order};
use super::track::Track;
use super::walk::turn_rad;
use super::{Step, StuckReason};
use crate::person::{Person, Site};
use crate::{Cue, Input, Percepts, Tick};
use serde::{Deserialize, Serialize};

/// Nobody sweeps that is turned further away from the middle of the part,
/// radians.
const SIDEWAYS_RAD: f64 = 0.25;
/// Near enough for so long to begin, seconds.
const STEADY_S: f64 = 0.3;
/// Not quite there after this time, it is begun if the distance will do; after
/// the longer one the spot is left out, seconds.
const WILL_DO_S: f64 = 2.5;
const LEAVE_OUT_S: f64 = 5.0;
/// The distance is off for good when it is known to be for so long, seconds;
/// longer where it is only seen, or while the push of the jet is new.
const OFF_S: f64 = 0.1;
const OFF_SEEN_S: f64 = 0.4;
/// What is left out at first, metres; each time without success twice as much.
const LEAVE_OUT_M: f64 = 0.05;
/// The spot not seen for so long, one lets go, seconds.
const UNSEEN_S: f64 = 1.0;
/// No water for so long, one lets go, seconds.
const DRY_S: f64 = 3.0;
/// The hands are held at the end of the last row for so long, until the tool
/// has followed, seconds.
const FOLLOW_ON_S: f64 = 0.25;

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Stage {
    /// Getting a firm hold.
    #[default]
    Ready,
    /// Turning to the part.
    Face,
    /// Bringing the tool to where the sweep begins.
    Approach { since: Tick, near: Option<Tick> },
    /// Catch and trigger.
    Squeeze,
    /// Along the rows.
    Run,
    /// At the end.
    Done,
}

/// A sweep under way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Sweep {
    track: Track,
    stage: Stage,
    /// Where on the way the jet was started this time, metres.
    began_m: f64,
    footing: Footing,
    turning: bool,
    /// When the spot was seen last.
    seen: Tick,
    /// When water was seen last.
    wet: Tick,
    /// When water was seen first, this time.
    wet_from: Option<Tick>,
    /// Since when the distance will not do.
    off: Option<Tick>,
    leave_out_m: f64,
    ended: Option<Tick>,
    swept: bool,
}

impl Sweep {
    /// A sweep by somebody who holds the tool like that; none where nothing of
    /// the part is on the surface.
    pub fn new(
        order: Order,
        site: &Site,
        hold: &Hold,
        me: &mut Person,
        p: &Percepts,
    ) -> Option<Self> {
        Some(Sweep {
            track: Track::over(order, site.surface.as_ref()?, me)?,
            stage: Stage::Ready,
            began_m: 0.0,
            footing: Footing::like(hold),
            turning: false,
            seen: p.tick,
            wet: p.tick,
            wet_from: None,
            off: None,
            leave_out_m: LEAVE_OUT_M,
            ended: None,
            swept: false,
        })
    }

    /// Whether the jet is being led over the surface.
    pub fn runs(&self) -> bool {
        self.stage == Stage::Run
    }

    /// Goes back a little and gets ready again; the finger is let go by
    /// whoever calls this.
    pub fn break_off(&mut self) {
        if self.stage == Stage::Done {
            return;
        }
        if matches!(self.stage, Stage::Squeeze | Stage::Run) {
            let back_m = self.track.order.speed_m_s * (LEAD_S + self.track.seen_after_s);
            self.track.along_m = (self.track.along_m - back_m).max(self.began_m);
        }
        self.stage = Stage::Ready;
        self.footing.anew();
        self.ended = None;
    }

    fn let_go(&mut self, hold: &mut Hold, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        hold.finger.release(me, p, out);
        self.break_off();
    }

    /// Sweeps.
    pub fn go(
        &mut self,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        hold.arms.feel(me, p);
        if matches!(self.stage, Stage::Approach { .. } | Stage::Squeeze) && self.footing.amiss(p) {
            self.let_go(hold, me, p, out);
        }
        match self.stage {
            Stage::Ready => match self.footing.take(hold, me, p, out) {
                Step::Going => {}
                Step::Done => self.stage = Stage::Face,
                Step::Failed(reason) => return Step::Failed(reason),
            },
            Stage::Face => {
                let middle_m = self.track.middle_m();
                let far = turn_rad(p, middle_m).abs() > SIDEWAYS_RAD;
                self.turning = (far || self.turning) && !hold.face(me, p, middle_m, out);
                if !self.turning {
                    self.enter_approach(p);
                }
            }
            Stage::Approach { since, near } => {
                self.stage = self.approach(since, near, hold, me, p, out);
            }
            Stage::Squeeze => {
                self.track.lead(false, hold, me, p, out);
                if hold.finger.squeeze(me, p, out) {
                    self.stage = Stage::Run;
                    self.wet_from = None;
                    self.wet = p.tick;
                    self.seen = p.tick;
                    self.off = None;
                }
            }
            Stage::Run => return self.run(hold, me, p, out),
            Stage::Done => {
                if hold.finger.safe() {
                    return if self.swept {
                        Step::Done
                    } else {
                        Step::Failed(StuckReason::OutOfReach)
                    };
                }
            }
        }
        Step::Going
    }

    fn enter_approach(&mut self, p: &Percepts) {
        self.track.anew();
        self.stage = Stage::Approach {
            since: p.tick,
            near: None,
        };
    }

    /// Brings the tool to where the jet is to be started.
    fn approach(
        &mut self,
        since: Tick,
        near: Option<Tick>,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Stage {
        hold.finger.release(me, p, out);
        let Some(next_m) = self.track.next_reachable(&hold.arms, p) else {
            return Stage::Done;
        };
        self.track.along_m = next_m;
        self.track.lead(false, hold, me, p, out);
        let is_near = self.track.is_near(p);
        let near = is_near.then(|| near.unwrap_or(p.tick));
        let steady = near.is_some_and(|at| p.tick.since(at) >= STEADY_S);
        let waited_s = p.tick.since(since);
        if steady || (waited_s > WILL_DO_S && self.track.will_do(p)) {
            self.began_m = next_m;
            return Stage::Squeeze;
        }
        if waited_s > LEAVE_OUT_S {
            self.leave_out(p);
            return self.stage;
        }
        Stage::Approach { since, near }
    }

    /// Leaves out a piece of the way that cannot be swept from here.
    fn leave_out(&mut self, p: &Percepts) {
        self.track.along_m += self.leave_out_m;
        self.leave_out_m *= 2.0;
        if self.track.ended() {
            self.stage = Stage::Done;
        } else {
            self.enter_approach(p);
        }
    }

    /// Along the rows.
    fn run(
        &mut self,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        if p.spot.is_some() {
            self.seen = p.tick;
        }
        let waits_m = 0.7 * LEAD_S * self.track.order.speed_m_s;
        if p.jet_runs {
            self.wet = p.tick;
            if self.wet_from.is_none() {
                self.wet_from = Some(p.tick);
                // Late water: the way that its kick is to pass on begins anew.
                if self.track.along_m >= self.began_m + waits_m {
                    self.track.along_m = self.began_m;
                }
            }
        }
        let lost = !hold.finger.squeezed() || p.tick.since(self.seen) > UNSEEN_S;
        if self.footing.amiss(p) || lost {
            self.let_go(hold, me, p, out);
            return Step::Going;
        }
        if p.tick.since(self.wet) > DRY_S {
            self.let_go(hold, me, p, out);
            return Step::Failed(StuckReason::CueNeverCame(Cue::JetRuns));
        }
        if self.out_of_reach(hold, me, p, out) {
            return Step::Going;
        }
        // The first piece is gone along before the water is seen, no more.
        let wet = self.wet_from.is_some();
        if wet || self.track.along_m < self.began_m + waits_m {
            self.track.go_on();
        }
        let settled = self.settled(p);
        if settled && self.track.along_m > self.began_m + 3.0 * waits_m {
            self.leave_out_m = LEAVE_OUT_M;
        }
        self.swept |= wet;
        self.track.lead(settled, hold, me, p, out);
        if self.track.ended() {
            let since = *self.ended.get_or_insert(p.tick);
            if p.tick.since(since) >= FOLLOW_ON_S {
                hold.finger.release(me, p, out);
                self.stage = Stage::Done;
            }
        }
        Step::Going
    }

    /// Whether the kick of the jet has passed.
    fn settled(&self, p: &Percepts) -> bool {
        self.wet_from.is_some_and(|at| p.tick.since(at) > LEAD_S)
    }

    /// Lets go where the arms come to their end, and goes to where they reach
    /// again.
    fn out_of_reach(
        &mut self,
        hold: &mut Hold,
        me: &Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> bool {
        if self.track.ended() {
            return false;
        }
        let next_m = self.track.next_reachable(&hold.arms, p);
        let ahead = next_m.is_none_or(|next_m| next_m > self.track.along_m);
        let off = ahead || (hold.arms.at_end() && self.track.will_not_do(p));
        self.off = off.then(|| self.off.unwrap_or(p.tick));
        let patience_s = if ahead && self.settled(p) {
            OFF_S
        } else {
            OFF_SEEN_S
        };
        if self
            .off
            .is_none_or(|since| p.tick.since(since) <= patience_s)
        {
            return false;
        }
        hold.finger.release(me, p, out);
        match next_m {
            Some(next_m) if ahead => {
                self.track.along_m = next_m;
                self.enter_approach(p);
            }
            Some(_) => self.leave_out(p),
            None => self.stage = Stage::Done,
        }
        true
    }
}
