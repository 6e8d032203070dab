//! Tripping over what lies on the ground: a hose, above all.
//!
//! **When a foot catches.** In the middle of its swing the toe of a grown person passes the
//! ground at a height of 13 mm on average (Winter 1991, "The biomechanics and motor control
//! of human gait", p. 9, as quoted by a teaching page on toe clearance), less than a hose is
//! thick. Who walks ahead and looks where they go lifts the foot over it. Who hurries, goes
//! backwards or sideways, steps to save their balance, or has the thrust of a jet to mind,
//! does not: which of these is a choice of this project.
//!
//! **What then.** The foot stays where it caught, and the body goes on with the speed that it
//! had: whether a step saves it is up to the capture point, as after any push. For a while
//! nobody walks on, and feet are lifted over what they have just caught on.

use glam::DVec3;

use super::gait::{Facing, HEEL_M, Swing, TOE_M};
use super::support::Plan;
use super::{Body, BodyEvents, HOLD_FEET_N};
use crate::ground::Ground;

/// Who walks faster than this hurries, m/s.
const HURRY_M_S: f64 = 1.5;
/// Who goes further from straight ahead than this, as a cosine, does not see where (45 degrees).
const AHEAD: f64 = 0.707;
/// Walking slower than this is shuffling about in one place, m/s: the foot feels its way.
const SHUFFLE_M_S: f64 = 0.2;
/// Nobody walks on for this time after tripping, s.
const STUMBLE_S: f64 = 0.8;

impl Body {
    /// Whether the foot in the air catches on its way to `here`.
    pub(super) fn catches<G: Ground + ?Sized>(
        &self,
        swing: &Swing,
        here: DVec3,
        load: DVec3,
        ground: &G,
    ) -> bool {
        if self.stumble_s > 0.0 || !self.careless(swing, load) {
            return false;
        }
        let foot = &self.feet[swing.foot];
        let along = Facing::at(foot.yaw).forward;
        // What leads the way: toe or heel.
        let lead = if Plan::of(here - foot.position).dot(along) >= 0.0 {
            along * TOE_M
        } else {
            along * -HEEL_M
        };
        let lead = lead.at_height(0.0);
        ground.trips(foot.position + lead, here + lead)
    }

    /// Whether feet are carried without a look at the ground.
    fn careless(&self, swing: &Swing, load: DVec3) -> bool {
        let speed = self.walk.length();
        let ahead = self.walk.dot(Facing::at(self.yaw).forward);
        let blind = speed > SHUFFLE_M_S && ahead < AHEAD * speed;
        let busy = Plan::of(load).length() > HOLD_FEET_N;
        swing.recovery || speed > HURRY_M_S || blind || busy
    }

    /// The foot stays where it has caught, and the body goes on without it.
    pub(super) fn trip<G: Ground + ?Sized>(
        &mut self,
        foot: usize,
        ground: &G,
        events: &mut BodyEvents,
    ) {
        self.feet[foot].settle(ground, super::gait::STEP_HEIGHT_M);
        self.stand_where_the_feet_are();
        self.walk = Plan::ZERO;
        self.stumble_s = STUMBLE_S;
        self.hold_feet = true;
        self.calm_s = 0.0;
        events.tripped = true;
    }
}
