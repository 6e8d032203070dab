//! Leading the tool along a way over the surface: where the spot is meant to
//! be, what the arms reach of it, and making up for what is seen to be off.

use super::arms::{Arms, Late};
use super::lance::Hold;
use super::rows::{Order, Way};
use crate::person::{Person, RowErrors, Wander, distance_m};
use crate::tick::TICK_S;
use crate::{Input, Percepts, SurfaceFrame, Tick};
use serde::{Deserialize, Serialize};

/// A distance that is off by more than this share will not do.
const OFF_SHARE: f64 = 0.25;
/// Near enough to begin, metres.
const NEAR_M: f64 = 0.012;
/// From the hands to where the spot goes, seconds; sight takes its time besides.
const FOLLOW_S: f64 = 0.12;
/// How fast the hands make up for what is seen to be off, 1/s: well below what
/// a third of a second of delay allows. Along the row it hardly matters.
const MEND_PER_S: [f64; 3] = [0.3, 0.8, 0.8];
/// More than this is a kick that passes by itself, metres.
const MEND_SEEN_M: f64 = 0.02;
/// They make up for no more than this, metres.
const MEND_MAX_M: f64 = 0.06;
/// From row to row the hands go at this share of the speed: the tool, which
/// lags, has to get to the end of the row.
const TURN_SHARE: f64 = 0.6;
/// Where the hands turn straight back they slow down over this way, metres, to
/// no less than this share.
const TURN_BACK_M: f64 = 0.06;
const TURN_BACK_SHARE: f64 = 0.3;
/// What the arms reach of a way is tried at places so far apart, metres.
const TRY_M: f64 = 0.01;

/// A way over the surface, and how far the hands have come on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Track {
    pub order: Order,
    surface: SurfaceFrame,
    way: Way,
    /// How far along the way the hands are, metres.
    pub along_m: f64,
    /// From the hands to where the spot is seen to go, seconds.
    pub seen_after_s: f64,
    row: Option<usize>,
    errors: RowErrors,
    wander: Option<Wander>,
    /// What is made up for: along, up, and in distance.
    mend_m: [f64; 3],
    late: Option<[Late; 3]>,
    /// Since when the hands have done what was told.
    told: Option<Tick>,
}

impl Track {
    /// A way over a part of the surface; none when nothing of it is there.
    pub fn over(order: Order, surface: &SurfaceFrame, me: &mut Person) -> Option<Self> {
        let way = Way::over(&order, surface);
        (way.length_m() > 0.0).then(|| Track {
            seen_after_s: me.nerves.sight_s + FOLLOW_S,
            order,
            surface: *surface,
            way,
            along_m: 0.0,
            row: None,
            errors: RowErrors {
                pace: 1.0,
                up_m: 0.0,
                off_m: 0.0,
            },
            wander: me.wander(),
            mend_m: [0.0; 3],
            late: None,
            told: None,
        })
    }

    /// The middle of the part, on the ground.
    pub fn middle_m(&self) -> [f64; 2] {
        let middle = |i: usize| 0.5 * (self.order.from_m[i] + self.order.to_m[i]);
        let [x, _, z] = self.surface.point_m(middle(0), middle(1));
        [x, z]
    }

    /// Whether the end of the way is reached.
    pub fn ended(&self) -> bool {
        self.along_m >= self.way.length_m()
    }

    /// Goes on for one tick at the speed of this row.
    pub fn go_on(&mut self) {
        let (_, leg) = self.way.at(self.along_m);
        let share = if leg == 0 {
            (self.way.lead_m() - self.along_m) / TURN_BACK_M
        } else if leg.is_multiple_of(2) {
            TURN_SHARE
        } else {
            1.0
        };
        let share = share.clamp(TURN_BACK_SHARE, 1.0);
        self.along_m += self.order.speed_m_s * self.errors.pace * share * TICK_S;
    }

    /// The tool was taken away from the way and comes back to it.
    pub fn anew(&mut self) {
        self.late = None;
        self.told = None;
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
    /// seen to be off: `steady` says that nothing swings, otherwise only once
    /// the tool has got there.
    pub fn lead(
        &mut self,
        steady: bool,
        hold: &mut Hold,
        me: &mut Person,
        p: &Percepts,
        out: &mut Vec<Input>,
    ) {
        self.begin_row(me);
        let meant = self.meant(p);
        let late = self.late.get_or_insert_with(|| meant.map(Late::at));
        let there = steady
            || self
                .told
                .is_some_and(|at| p.tick.since(at) > self.seen_after_s);
        for i in 0..3 {
            let then = late[i].follow(meant[i], self.seen_after_s);
            // What the arms cannot give is not asked for more and more.
            if let Some(spot) = p.spot
                && there
                && (i < 2 || !hold.arms.reach_ends())
            {
                let off = [spot.x_m, spot.y_m, spot.stand_off_m][i] - then;
                let off = off.clamp(-MEND_SEEN_M, MEND_SEEN_M);
                let mended = self.mend_m[i] - MEND_PER_S[i] * off * TICK_S;
                self.mend_m[i] = mended.clamp(-MEND_MAX_M, MEND_MAX_M);
            }
        }
        let [x, y, off] = [0, 1, 2].map(|i| meant[i] + self.mend_m[i]);
        let pose = hold.arms.pose(p, self.surface.point_m(x, y), off);
        hold.arms.steer(me, p, &pose, out);
        let told = hold.arms.told(&pose);
        self.told = told.then(|| self.told.unwrap_or(p.tick));
    }

    /// Whether the spot is seen to be where it is meant to be.
    pub fn is_near(&self, p: &Percepts) -> bool {
        let meant = self.meant(p);
        p.spot.is_some_and(|s| {
            distance_m([s.x_m, s.y_m], [meant[0], meant[1]]) < NEAR_M
                && (s.stand_off_m - meant[2]).abs() < NEAR_M
        })
    }

    /// Whether the distance is seen to be one that will do.
    pub fn will_do(&self, p: &Percepts) -> bool {
        p.spot.is_some_and(|s| self.fits(s.stand_off_m))
    }

    /// Whether the distance is seen to be one that will not do.
    pub fn will_not_do(&self, p: &Percepts) -> bool {
        p.spot.is_some_and(|s| !self.fits(s.stand_off_m))
    }

    fn fits(&self, stand_off_m: f64) -> bool {
        let wanted_m = self.order.stand_off_m;
        (stand_off_m - wanted_m).abs() <= OFF_SHARE * wanted_m
    }

    /// The next place of the way, from here on, that the arms reach at the
    /// right distance.
    pub fn next_reachable(&self, arms: &Arms, p: &Percepts) -> Option<f64> {
        let length_m = self.way.length_m();
        let mut along_m = self.along_m;
        while along_m <= length_m {
            let ([x, y], _) = self.way.at(along_m);
            let spot = self.surface.point_m(x, y);
            let pose = arms.pose(p, spot, self.order.stand_off_m);
            if self.fits(pose.stand_off_m) {
                return Some(along_m);
            }
            along_m += TRY_M;
        }
        None
    }

    /// Draws what is not exact about a row when a new one begins.
    fn begin_row(&mut self, me: &mut Person) {
        let (_, leg) = self.way.at(self.along_m);
        // Legs are the short way back, the first row, a step, a row, a step...
        let row = leg / 2;
        if self.row != Some(row) {
            self.row = Some(row);
            self.errors = me.row_errors();
        }
    }
}
