//! Sweeping a part of the surface with the jet.
//!
//! The tool is brought to the first row and held steady, then squeezed, and
//! led along the rows at an even speed and distance. Whatever takes the tool
//! out of a firm hold ends the squeeze first; the sweep goes on a little
//! before the place where that was.

use super::arms::{Arms, Late};
use super::lance::Hold;
use super::rows::{LEAD_S, Order, Way};
use super::walk::turn_rad;
use super::{Step, StuckReason};
use crate::percept::SIGHT_DELAY_S;
use crate::person::{Person, RowErrors, Site, Wander, distance_m};
use crate::tick::TICK_S;
use crate::{Act, Cue, Input, Percepts, Spot, Stance, SurfaceFrame, Tick};
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
const TIRED: f64 = 0.35;
const RESTED: f64 = 0.5;
/// The brace is asked for again after this time, seconds.
const AGAIN_S: f64 = 1.5;
/// Everything is well for so long before the tool is taken up again, seconds.
const WELL_S: f64 = 0.3;
/// Nobody sweeps that is turned further away from the middle of the part,
/// radians.
const SIDEWAYS_RAD: f64 = 0.25;
/// Near enough to begin, metres, and for so long, seconds.
const NEAR_M: f64 = 0.012;
const STEADY_S: f64 = 0.3;
/// Not quite there after this time, it is begun if the distance will do; after
/// the longer one the spot is left out, seconds.
const WILL_DO_S: f64 = 2.5;
const LEAVE_OUT_S: f64 = 5.0;
/// A distance that is off by more than this share will not do.
const OFF_SHARE: f64 = 0.25;
/// It is off for good when it is for so long, seconds.
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
/// From the hands to where the spot is seen to go, seconds.
const SEEN_AFTER_S: f64 = SIGHT_DELAY_S + 0.12;
/// How fast the hands make up for what is seen to be off, 1/s: well below what
/// a third of a second of delay allows. Along the row it hardly matters.
const MEND_PER_S: [f64; 3] = [0.3, 0.8, 0.8];
/// More than this is a kick that passes by itself, metres.
const MEND_SEEN_M: f64 = 0.02;
/// They make up for no more than this, metres.
const MEND_MAX_M: f64 = 0.06;
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
    order: Order,
    surface: Option<SurfaceFrame>,
    way: Way,
    stage: Stage,
    /// How far along the way the hands are.
    along_m: f64,
    /// Where they began this time.
    began_m: f64,
    /// How the sweep was begun: feet and brace.
    stance: Stance,
    brace: bool,
    turning: bool,
    leg: Option<usize>,
    errors: RowErrors,
    wander: Option<Wander>,
    /// What is seen to be off: along, up, and in distance.
    mend_m: [f64; 3],
    late: Option<[Late; 3]>,
    /// Since when the hands have done what was told.
    told: Option<Tick>,
    asked: Option<Tick>,
    well: Option<Tick>,
    tired: bool,
    toolless: Option<Tick>,
    seen: Tick,
    /// Since when there has been no water.
    dry: Tick,
    wet: bool,
    off: Option<Tick>,
    leave_out_m: f64,
    ended: Option<Tick>,
    swept: bool,
}

impl Sweep {
    /// A sweep by somebody who holds the tool like that.
    pub fn new(order: Order, site: &Site, hold: &Hold, me: &mut Person, p: &Percepts) -> Self {
        let way = site
            .surface
            .as_ref()
            .map(|surface| Way::over(&order, surface))
            .unwrap_or_default();
        Sweep {
            order,
            surface: site.surface,
            way,
            stage: Stage::Ready,
            along_m: 0.0,
            began_m: 0.0,
            stance: hold.stance,
            brace: hold.brace,
            turning: false,
            leg: None,
            errors: RowErrors {
                pace: 1.0,
                up_m: 0.0,
                off_m: 0.0,
            },
            wander: me.wander(),
            mend_m: [0.0; 3],
            late: None,
            told: None,
            asked: None,
            well: None,
            tired: false,
            toolless: None,
            seen: p.tick,
            dry: p.tick,
            wet: false,
            off: None,
            leave_out_m: LEAVE_OUT_M,
            ended: None,
            swept: false,
        }
    }

    /// Whether the jet is being led over the surface.
    pub fn runs(&self) -> bool {
        self.stage == Stage::Run
    }

    /// Goes back a little and gets ready again; the finger is let go by
    /// whoever calls this.
    pub fn break_off(&mut self) {
        if matches!(self.stage, Stage::Squeeze | Stage::Run) {
            let back_m = self.order.speed_m_s * (LEAD_S + SEEN_AFTER_S);
            self.along_m = (self.along_m - back_m).max(self.began_m.min(self.along_m));
        }
        if self.stage != Stage::Done {
            self.stage = Stage::Ready;
            self.well = None;
            self.asked = None;
            self.ended = None;
        }
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
        let Some(surface) = self.surface else {
            return Step::Failed(StuckReason::OutOfReach);
        };
        if self.way.length_m() <= 0.0 {
            return Step::Failed(StuckReason::OutOfReach);
        }
        hold.arms.feel(p);
        match self.stage {
            Stage::Ready => {
                if let Some(failed) = self.ready(hold, me, p, out) {
                    return Step::Failed(failed);
                }
            }
            Stage::Face => self.face(&surface, hold, me, p, out),
            Stage::Approach { since, near } => {
                if self.amiss(p) {
                    self.let_go(hold, me, p, out);
                } else {
                    self.approach(&surface, since, near, hold, me, p, out);
                }
            }
            Stage::Squeeze => {
                if self.amiss(p) {
                    self.let_go(hold, me, p, out);
                } else {
                    self.lead(&surface, hold, me, p, out);
                    if hold.finger.squeeze(me, p, out) {
                        self.stage = Stage::Run;
                        self.wet = false;
                        self.dry = p.tick;
                        self.seen = p.tick;
                        self.off = None;
                    }
                }
            }
            Stage::Run => return self.run(&surface, hold, me, p, out),
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

    /// Turns the body to the middle of the part where it is turned away.
    fn face(
        &mut self,
        surface: &SurfaceFrame,
        hold: &mut Hold,
        me: &Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) {
        let middle = |i: usize| 0.5 * (self.order.from_m[i] + self.order.to_m[i]);
        let spot = surface.point_m(middle(0), middle(1));
        let spot = [spot[0], spot[2]];
        let far = turn_rad(p, spot).abs() > SIDEWAYS_RAD;
        self.turning = (far || self.turning) && !hold.face(me, p, spot, out);
        if !self.turning {
            self.enter_approach(p);
        }
    }

    fn enter_approach(&mut self, p: &Percepts) {
        self.stage = Stage::Approach {
            since: p.tick,
            near: None,
        };
        self.late = None;
    }

    /// Where the hands mean the spot to be now: along, up, and distance.
    fn meant(&self, p: &Percepts) -> [f64; 3] {
        let (at, _) = self.way.at(self.along_m);
        let wander = self.wander.map(|w| w.at_m(p.tick)).unwrap_or_default();
        [
            at[0] + wander[0],
            at[1] + self.errors.up_m + wander[1],
            self.order.stand_off_m + self.errors.off_m,
        ]
    }

    /// Leads the tool to where the spot should be, and makes up for what is
    /// seen to be off.
    fn lead(
        &mut self,
        surface: &SurfaceFrame,
        hold: &mut Hold,
        me: &Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) {
        let meant = self.meant(p);
        let late = self.late.get_or_insert_with(|| meant.map(Late::at));
        // On the way to the first row there is nothing to make up for yet.
        let there =
            self.stage == Stage::Run || self.told.is_some_and(|at| p.tick.since(at) > SEEN_AFTER_S);
        for i in 0..3 {
            let then = late[i].follow(meant[i], SEEN_AFTER_S);
            // What the arms cannot give is not asked for more and more.
            if let Some(spot) = p.spot
                && there
                && (i < 2 || !hold.arms.at_end())
            {
                let off = [spot.x_m, spot.y_m, spot.stand_off_m][i] - then;
                let off = off.clamp(-MEND_SEEN_M, MEND_SEEN_M);
                let mended = self.mend_m[i] - MEND_PER_S[i] * off * TICK_S;
                self.mend_m[i] = mended.clamp(-MEND_MAX_M, MEND_MAX_M);
            }
        }
        let [x, y, off] = [0, 1, 2].map(|i| meant[i] + self.mend_m[i]);
        let pose = hold.arms.pose(p, surface.point_m(x, y), off);
        hold.arms.steer(me, p, &pose, out);
        self.told = if hold.arms.told(&pose) {
            Some(self.told.unwrap_or(p.tick))
        } else {
            None
        };
    }

    /// Whether the arms get the tool to a place of the way at the right
    /// distance.
    fn reachable(&self, surface: &SurfaceFrame, arms: &Arms, p: &Percepts, along_m: f64) -> bool {
        let ([x, y], _) = self.way.at(along_m);
        let wanted_m = self.order.stand_off_m;
        let pose = arms.pose(p, surface.point_m(x, y), wanted_m);
        (pose.stand_off_m - wanted_m).abs() <= OFF_SHARE * wanted_m
    }

    /// The next place of the way that the arms reach, from one on.
    fn next_reachable(
        &self,
        surface: &SurfaceFrame,
        arms: &Arms,
        p: &Percepts,
        from_m: f64,
    ) -> Option<f64> {
        let length_m = self.way.length_m();
        let mut along_m = from_m;
        while along_m <= length_m {
            if self.reachable(surface, arms, p, along_m) {
                return Some(along_m);
            }
            along_m += 0.01;
        }
        None
    }

    fn will_do(&self, spot: Option<Spot>) -> bool {
        let wanted_m = self.order.stand_off_m;
        spot.is_some_and(|s| (s.stand_off_m - wanted_m).abs() <= OFF_SHARE * wanted_m)
    }

    #[expect(clippy::too_many_arguments, reason = "the stage and the hands")]
    fn approach(
        &mut self,
        surface: &SurfaceFrame,
        since: Tick,
        near: Option<Tick>,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) {
        match self.next_reachable(surface, &hold.arms, p, self.along_m) {
            Some(next_m) => self.along_m = next_m,
            None => {
                self.stage = Stage::Done;
                return;
            }
        }
        self.row(me);
        self.lead(surface, hold, me, p, out);
        let meant = self.meant(p);
        let is_near = p.spot.is_some_and(|s| {
            distance_m([s.x_m, s.y_m], [meant[0], meant[1]]) < NEAR_M
                && (s.stand_off_m - meant[2]).abs() < NEAR_M
        });
        let near = is_near.then(|| near.unwrap_or(p.tick));
        let steady = near.is_some_and(|at| p.tick.since(at) >= STEADY_S);
        let waited_s = p.tick.since(since);
        if steady || (waited_s > WILL_DO_S && self.will_do(p.spot)) {
            self.began_m = self.along_m;
            self.stage = Stage::Squeeze;
        } else if waited_s > LEAVE_OUT_S {
            self.leave_out(p);
        } else {
            self.stage = Stage::Approach { since, near };
        }
    }

    /// Leaves out a piece of the way that cannot be swept from here.
    fn leave_out(&mut self, p: &Percepts) {
        self.along_m += self.leave_out_m;
        self.leave_out_m *= 2.0;
        if self.along_m >= self.way.length_m() {
            self.stage = Stage::Done;
        } else {
            self.enter_approach(p);
        }
    }

    /// Draws what is not exact about a row when a new one begins.
    fn row(&mut self, me: &mut Person) {
        let (_, leg) = self.way.at(self.along_m);
        // Legs are the short way back, the first row, a step, a row, a step...
        let row = leg / 2;
        if self.leg != Some(row) {
            self.leg = Some(row);
            self.errors = me.row_errors();
        }
    }

    /// Along the rows.
    fn run(
        &mut self,
        surface: &SurfaceFrame,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) -> Step<StuckReason> {
        if p.spot.is_some() {
            self.seen = p.tick;
        }
        if p.jet_runs {
            self.wet = true;
            self.dry = p.tick;
        }
        let lost = !hold.finger.squeezed() || p.tick.since(self.seen) > UNSEEN_S;
        if self.amiss(p) || lost {
            self.let_go(hold, me, p, out);
            return Step::Going;
        }
        if p.tick.since(self.dry) > DRY_S {
            self.let_go(hold, me, p, out);
            return Step::Failed(StuckReason::CueNeverCame(Cue::JetRuns));
        }
        let ends_m = self.way.length_m();
        let next_m = self.next_reachable(surface, &hold.arms, p, self.along_m);
        let ahead = next_m.is_none_or(|next_m| next_m > self.along_m);
        let off = ahead || (hold.arms.at_end() && !self.will_do(p.spot));
        self.off = off.then(|| self.off.unwrap_or(p.tick));
        if self.off.is_some_and(|since| p.tick.since(since) > OFF_S) && self.along_m < ends_m {
            hold.finger.release(me, p, out);
            match next_m {
                Some(next_m) if ahead => {
                    self.along_m = next_m;
                    self.enter_approach(p);
                }
                Some(_) => self.leave_out(p),
                None => self.stage = Stage::Done,
            }
            return Step::Going;
        }
        if self.along_m > self.began_m + self.order.speed_m_s * 2.0 * LEAD_S {
            self.leave_out_m = LEAVE_OUT_M;
        }
        // The first piece is gone along before the water is seen, no more.
        let lead_m = self.order.speed_m_s * LEAD_S * 0.7;
        if self.wet || self.along_m < self.began_m + lead_m {
            self.along_m += self.order.speed_m_s * self.errors.pace * TICK_S;
        }
        self.swept |= self.wet;
        self.row(me);
        self.lead(surface, hold, me, p, out);
        if self.along_m >= ends_m {
            let since = *self.ended.get_or_insert(p.tick);
            if p.tick.since(since) >= FOLLOW_ON_S {
                hold.finger.release(me, p, out);
                self.stage = Stage::Done;
            }
        }
        Step::Going
    }
}
