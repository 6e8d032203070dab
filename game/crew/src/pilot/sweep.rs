//! Sweeping a part of the surface with the jet.
//!
//! The tool is brought to the first row and held steady, then squeezed, and
//! led along the rows at an even speed and distance. Whatever takes the tool
//! out of a firm hold ends the squeeze first; the sweep goes on a little
//! before the place where that was.

use super::lance::Hold;
use super::rows::{LEAD_S, Order};
use super::track::{SEEN_AFTER_S, Track};
use super::walk::turn_rad;
use super::{Step, StuckReason};
use crate::person::{Person, Site};
use crate::{Act, Cue, Input, Percepts, Stance, Tick};
use serde::{Deserialize, Serialize};

/// Leaning further than this one lets go, and goes on below that, radians
/// (common practice, no source: a braced stand leans by half as much).
const LEAN_MAX_RAD: f64 = 0.35;
const LEAN_GOOD_RAD: f64 = 0.25;
/// Braced less than this, the brace is lost; from there on it is good.
const BRACE_LOST: f64 = 0.5;
pub(super) const BRACED: f64 = 0.9;
/// With less strength than this one rests, and until there is so much again
/// (a choice of this project).
pub(super) const TIRED: f64 = 0.35;
pub(super) const RESTED: f64 = 0.5;
/// The brace is asked for again after this time, seconds.
const AGAIN_S: f64 = 1.5;
/// Everything is well for so long before the tool is taken up again, seconds.
const WELL_S: f64 = 0.3;
/// Nobody sweeps that is turned further away from the middle of the part,
/// radians.
const SIDEWAYS_RAD: f64 = 0.25;
/// Near enough for so long to begin, seconds.
const STEADY_S: f64 = 0.3;
/// Not quite there after this time, it is begun if the distance will do; after
/// the longer one the spot is left out, seconds.
const WILL_DO_S: f64 = 2.5;
const LEAVE_OUT_S: f64 = 5.0;
/// The distance is off for good when it is for so long, seconds.
const OFF_S: f64 = 0.4;
/// What is left out at first, metres; each time without success twice as much.
const LEAVE_OUT_M: f64 = 0.05;
/// The spot not seen for so long, one lets go, seconds.
const UNSEEN_S: f64 = 1.0;
/// No water for so long, one lets go, seconds.
const DRY_S: f64 = 3.0;
/// The hands are held at the end of the last row for so long, until the tool
/// has followed, seconds.
const FOLLOW_ON_S: f64 = 0.25;
/// The tool is looked for this long, seconds.
const TOOLLESS_S: f64 = 4.0;

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
    /// How the sweep was begun: feet and brace.
    stance: Stance,
    brace: bool,
    turning: bool,
    asked: Option<Tick>,
    well: Option<Tick>,
    tired: bool,
    toolless: Option<Tick>,
    /// When the spot was seen last.
    seen: Tick,
    /// When water was seen last.
    wet: Tick,
    /// Water has been seen this time.
    runs_wet: bool,
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
            stance: hold.stance,
            brace: hold.brace,
            turning: false,
            asked: None,
            well: None,
            tired: false,
            toolless: None,
            seen: p.tick,
            wet: p.tick,
            runs_wet: false,
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
            let back_m = self.track.order.speed_m_s * (LEAD_S + SEEN_AFTER_S);
            self.track.along_m = (self.track.along_m - back_m).max(self.began_m);
        }
        self.stage = Stage::Ready;
        self.well = None;
        self.asked = None;
        self.ended = None;
    }

    fn let_go(&mut self, hold: &mut Hold, me: &Person, p: &Percepts, out: &mut Vec<Input>) {
        hold.finger.release(me, p, out);
        self.break_off();
    }

    /// What says that the hold is not firm.
    fn amiss(&mut self, p: &Percepts) -> bool {
        self.tired |= p.body.strength < TIRED;
        p.body.fallen
            || p.tool.is_none()
            || p.body.lean_rad.abs() > LEAN_MAX_RAD
            || (self.brace && p.body.braced < BRACE_LOST)
            || self.tired
    }

    /// Sweeps.
    pub fn go(
        &mut self,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        hold.arms.feel(p);
        if matches!(self.stage, Stage::Approach { .. } | Stage::Squeeze) && self.amiss(p) {
            self.let_go(hold, me, p, out);
        }
        match self.stage {
            Stage::Ready => {
                if let Some(failed) = self.ready(hold, me, p, out) {
                    return Step::Failed(failed);
                }
            }
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
                    self.runs_wet = false;
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

    /// Gets a firm hold: tool in the hands, arms rested, feet set, braced.
    fn ready(
        &mut self,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Option<StuckReason> {
        hold.finger.release(me, p, out);
        let again = self.asked.is_none_or(|at| p.tick.since(at) > AGAIN_S);
        if p.tool.is_none() {
            self.well = None;
            let since = *self.toolless.get_or_insert(p.tick);
            if p.tick.since(since) > TOOLLESS_S {
                return Some(StuckReason::OutOfReach);
            }
            if again && p.body.holding.is_none() {
                self.asked = Some(p.tick);
                me.does(p.tick, Act::TakeUp, out);
            }
            return None;
        }
        self.toolless = None;
        if self.tired {
            self.tired = p.body.strength < RESTED;
        }
        let stands = p.body.stance == self.stance || self.stance == Stance::Normal;
        let braced = p.body.braced >= BRACED || !self.brace;
        let well = !self.tired && p.body.lean_rad.abs() < LEAN_GOOD_RAD && stands && braced;
        if !well {
            self.well = None;
            if again && !(stands && braced) {
                self.asked = Some(p.tick);
                if !stands {
                    me.does(p.tick, Act::Stand(self.stance), out);
                }
                if !braced {
                    me.does(p.tick, Act::Brace(true), out);
                }
            }
            return None;
        }
        hold.stance = self.stance;
        hold.brace = self.brace;
        let since = *self.well.get_or_insert(p.tick);
        if p.tick.since(since) >= WELL_S {
            self.stage = Stage::Face;
        }
        None
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
        if p.jet_runs {
            self.runs_wet = true;
            self.wet = p.tick;
        }
        let lost = !hold.finger.squeezed() || p.tick.since(self.seen) > UNSEEN_S;
        if self.amiss(p) || lost {
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
        let speed_m_s = self.track.order.speed_m_s;
        let gone_m = self.track.along_m - self.began_m;
        if self.runs_wet || gone_m < 0.7 * LEAD_S * speed_m_s {
            self.track.go_on();
        }
        if gone_m > 2.0 * LEAD_S * speed_m_s {
            self.leave_out_m = LEAVE_OUT_M;
        }
        self.swept |= self.runs_wet;
        self.track.lead(true, hold, me, p, out);
        if self.track.ended() {
            let since = *self.ended.get_or_insert(p.tick);
            if p.tick.since(since) >= FOLLOW_ON_S {
                hold.finger.release(me, p, out);
                self.stage = Stage::Done;
            }
        }
        Step::Going
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
        let off = ahead || (hold.arms.at_end() && !self.track.will_do(p));
        self.off = off.then(|| self.off.unwrap_or(p.tick));
        if self.off.is_none_or(|since| p.tick.since(since) <= OFF_S) {
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
