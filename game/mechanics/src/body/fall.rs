//! A fall, and where it ends: on the ground, or below the edge that a foot stepped over.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::gait::{Facing, STEP_HEIGHT_M};
use super::support::Plan;
use super::{Body, BodyEvents};
use crate::GRAVITY_M_S2;
use crate::ground::Ground;

/// A fall takes this long, s; then hands and centre of mass lie this high, m.
const FALL_S: f64 = 0.6;
const LYING_HANDS_M: f64 = 0.2;
const LYING_COM_M: f64 = 0.15;

/// Ground is looked for no further below an edge than this, and in steps of so much, m.
const DEEPEST_M: f64 = 30.0;
const LOOK_DOWN_M: f64 = 0.05;
/// Radius of the probe for it, m.
const PROBE_M: f64 = 0.06;

/// A fall that has begun.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Fall {
    /// Time since it began, and how long it takes, s.
    since_s: f64,
    lasts_s: f64,
    /// Where the hands were, and where they come to lie, m.
    hands: [DVec3; 2],
    /// Where the centre of mass comes to lie, and how far below the ground it stood on, m.
    to: Plan,
    drop_m: f64,
}

impl Fall {
    /// How far down, 0 to 1.
    fn part(&self) -> f64 {
        self.since_s / self.lasts_s
    }

    pub fn pass(&mut self, dt: f64) {
        self.since_s = (self.since_s + dt).min(self.lasts_s);
    }

    pub fn hands(&self) -> DVec3 {
        let [from, to] = self.hands;
        let part = self.part();
        from + (to - from) * (part * part)
    }

    pub fn hands_velocity(&self) -> DVec3 {
        let [from, to] = self.hands;
        let part = self.part();
        let rate = if part < 1.0 {
            2.0 * part / self.lasts_s
        } else {
            0.0
        };
        (to - from) * rate
    }

    /// The centre of mass of a body that stood with it at `standing` on ground of a height.
    pub fn com(&self, standing: DVec3, ground: f64) -> DVec3 {
        let down = self.to.at_height(ground - self.drop_m + LYING_COM_M);
        let part = self.part();
        let gone = DVec3::new(part, part * part, part);
        standing + (down - standing) * gone
    }

    /// How far the feet are below where they stood, m.
    pub fn lowered_m(&self) -> f64 {
        self.drop_m * self.part() * self.part()
    }

    pub fn shift(&mut self, by: DVec3) {
        for hands in &mut self.hands {
            *hands += by;
        }
        self.to += Plan::of(by);
    }
}

impl Body {
    /// Falls where it stands.
    pub(super) fn fall(&mut self, events: &mut BodyEvents) {
        self.fall_to(self.com, 0.0, events);
    }

    /// A foot was set where there is no ground within reach of a step: the body falls to what is
    /// below, as deep as that is.
    pub(super) fn step_over_the_edge<G: Ground + ?Sized>(
        &mut self,
        foot: usize,
        ground: &G,
        events: &mut BodyEvents,
    ) {
        let at = self.feet[foot].position;
        let mut drop_m = STEP_HEIGHT_M;
        while drop_m < DEEPEST_M {
            let probe = at + DVec3::Y * (PROBE_M - drop_m);
            if let Some(touch) = ground.touch(probe, PROBE_M) {
                drop_m -= touch.depth * touch.normal.y;
                break;
            }
            drop_m += LOOK_DOWN_M;
        }
        self.fall_to(Plan::of(at), drop_m, events);
    }

    /// Falls onto a place that lies `drop_m` below the ground it stands on.
    pub(super) fn fall_to(&mut self, place: Plan, drop_m: f64, events: &mut BodyEvents) {
        let ahead = place + Facing::at(self.yaw).forward * self.spec.hand_reach_m;
        let down = ahead.at_height(self.ground_height() - drop_m + LYING_HANDS_M);
        self.fall = Some(Fall {
            since_s: 0.0,
            // As long as the way down takes, after the toppling.
            lasts_s: FALL_S + (2.0 * drop_m / GRAVITY_M_S2).sqrt(),
            hands: [self.hands(), down],
            to: place,
            drop_m,
        });
        events.fell = true;
        events.dropped_m = events.dropped_m.max(drop_m);
        self.brace_s = 0.0;
        self.swing = None;
        self.walk = Plan::ZERO;
        self.com_velocity = Plan::ZERO;
        self.hands.drop();
        self.ground_force = DVec3::Y * (self.spec.mass_kg * GRAVITY_M_S2);
    }
}
