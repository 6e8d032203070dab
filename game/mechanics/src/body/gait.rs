//! Where the feet are and how they get elsewhere: walking, taking a stance,
//! and the step that saves a fall.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::support::{Base, Plan};
use super::{
    Body, BodyEvents, BodyIntent, CROUCH_WALK_M_S, HOLD_FEET_N, Stance, WALK_ACCELERATION_M_S2,
    WALK_LIMIT_M_S,
};
use crate::ground::Ground;

/// Heel and toe from the ankle, and half the breadth of a shoe, m (from memory).
pub(super) const HEEL_M: f64 = 0.06;
pub(super) const TOE_M: f64 = 0.20;
/// Half the breadth of a shoe, m.
pub(super) const HALF_FOOT_M: f64 = 0.045;
/// The middle of the foot is this far ahead of the ankle, m.
const ANKLE_TO_MIDDLE_M: f64 = 0.07;
/// A foot that is set anew goes this share of its way, as much as is safe.
const PARTS_OF_A_STEP: [f64; 4] = [1.0, 0.7, 0.5, 0.3];
/// A foot this far from where the stance wants it is set anew, m and rad.
const MISPLACED_M: f64 = 0.08;
const MISTURNED_RAD: f64 = 0.45;
/// A recovery step is set this far beyond the capture point, m.
const BEYOND_M: f64 = 0.10;
/// And this far to its own side, m.
const HIP_M: f64 = 0.10;
/// Feet stay held until the load has been light for this time, s.
const CALM_S: f64 = 0.6;
/// Radius of the probe under a foot and how deep it reaches at rest, m.
const PROBE_M: f64 = 0.06;
const PROBE_DEPTH_M: f64 = 0.03;
/// A foot finds ground this far above or below, m.
pub(super) const STEP_HEIGHT_M: f64 = 0.35;
/// Steepest ground a foot stands on, as the upward part of its normal.
const LEAST_UP: f64 = 0.6;

/// Which way a body or a foot faces on the plan.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facing {
    pub forward: Plan,
    pub right: Plan,
}

impl Facing {
    pub fn at(yaw: f64) -> Self {
        let (sin, cos) = libm::sincos(yaw);
        Self {
            forward: Plan::new(cos, -sin),
            right: Plan::new(sin, cos),
        }
    }

    /// So far ahead and so far to the right.
    pub fn place(&self, ahead: f64, aside: f64) -> Plan {
        self.forward * ahead + self.right * aside
    }
}

/// Where foot `i` belongs.
pub(super) fn home_of(center: Plan, facing: &Facing, stance: Stance, i: usize) -> Plan {
    let (ahead, aside) = stance.offsets()[i];
    center + facing.forward * ahead + facing.right * aside
}

/// From the point the stance is laid out about to the middle between the feet.
pub(super) fn mean_offset(yaw: f64, stance: Stance) -> Plan {
    let facing = Facing::at(yaw);
    let turned = stance.turned_rad();
    let middle_of = |i: usize| {
        let foot = Facing::at(yaw + turned[i]).forward;
        home_of(Plan::ZERO, &facing, stance, i) + foot * ANKLE_TO_MIDDLE_M
    };
    (middle_of(0) + middle_of(1)) * 0.5
}

/// One foot.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Foot {
    /// The ankle's place on the ground.
    pub position: DVec3,
    pub yaw: f64,
    pub grounded: bool,
    pub friction: f64,
}

impl Foot {
    pub fn at(position: DVec3, yaw: f64) -> Self {
        Self {
            position,
            yaw,
            grounded: true,
            friction: 0.5,
        }
    }

    fn middle(&self) -> Plan {
        Plan::of(self.position) + Facing::at(self.yaw).forward * ANKLE_TO_MIDDLE_M
    }

    pub fn heel_and_toe(&self) -> [Plan; 2] {
        let at = Plan::of(self.position);
        let ahead = Facing::at(self.yaw).forward;
        [at + ahead * -HEEL_M, at + ahead * TOE_M]
    }

    /// Looks for ground at the foot, from `up` metres above it to as much below.
    pub fn settle<G: Ground + ?Sized>(&mut self, ground: &G, up: f64) {
        const PACE: f64 = 0.05;
        let probes = libm::round(up / PACE) as i32;
        for j in (-probes..=probes).rev() {
            let foot = self.position + DVec3::Y * (PACE * f64::from(j));
            let center = foot + DVec3::Y * (PROBE_M - PROBE_DEPTH_M);
            if let Some(touch) = ground.touch(center, PROBE_M)
                && touch.normal.y >= LEAST_UP
            {
                self.position = foot + DVec3::Y * (touch.depth / touch.normal.y - PROBE_DEPTH_M);
                self.friction = touch.friction.max(0.0);
                self.grounded = true;
                return;
            }
        }
        self.grounded = false;
    }
}

/// A foot in the air.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Swing {
    pub foot: usize,
    pub from: DVec3,
    pub to: Plan,
    pub elapsed_s: f64,
    pub duration_s: f64,
    /// Whether it is to save the body from falling.
    pub recovery: bool,
}

impl Body {
    /// Walks, takes stances and carries the foot in the air.
    pub(super) fn move_feet<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        intent: &BodyIntent,
        load: DVec3,
        ground: &G,
        events: &mut BodyEvents,
    ) {
        for i in 0..2 {
            if self.swing.as_ref().is_none_or(|s| s.foot != i) {
                self.feet[i].settle(ground, 0.0);
                if !self.feet[i].grounded {
                    self.feet[i].settle(ground, STEP_HEIGHT_M);
                }
            }
        }
        let (ahead, aside) = intent.velocity_body;
        let wish = Facing::at(self.yaw).place(ahead, aside);
        let saving = self.swing.as_ref().is_some_and(|s| s.recovery);
        self.stumble_s = (self.stumble_s - dt).max(0.0);
        let most = WALK_LIMIT_M_S + (CROUCH_WALK_M_S - WALK_LIMIT_M_S) * self.crouched;
        let wish = if saving || self.stumble_s > 0.0 || !wish.is_finite() {
            Plan::ZERO
        } else {
            wish.shortened(most)
        };
        self.walk += (wish - self.walk).shortened(WALK_ACCELERATION_M_S2 * dt);
        self.center += self.walk * dt;
        let walking = self.walk.length() > 0.02;

        if self.stance != intent.stance {
            // The middle stays where it is while the feet change.
            let before = mean_offset(self.yaw, self.stance);
            self.stance = intent.stance;
            self.center += before - mean_offset(self.yaw, self.stance);
            self.hold_feet = false;
        }
        let felt = self.ground_force;
        let light = Plan::of(felt).length() < HOLD_FEET_N;
        self.calm_s = if light { self.calm_s + dt } else { 0.0 };
        if walking || self.calm_s > CALM_S {
            self.hold_feet = false;
        }

        if let Some(swing) = self.swing.take() {
            self.carry_foot(dt, swing, walking, load, ground, events);
        } else if !self.hold_feet {
            self.begin_placing_step(walking);
        }
    }

    /// Carries the foot in the air on, until it lands, catches or finds no ground.
    fn carry_foot<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        mut swing: Swing,
        walking: bool,
        load: DVec3,
        ground: &G,
        events: &mut BodyEvents,
    ) {
        swing.elapsed_s += dt;
        if !swing.recovery && walking {
            swing.to = self.foot_target(swing.foot);
        }
        let part = (swing.elapsed_s / swing.duration_s).min(1.0);
        let from = Plan::of(swing.from);
        let here = (from + (swing.to - from) * part).at_height(swing.from.y);
        if self.catches(&swing, here, load, ground) {
            self.trip(swing.foot, ground, events);
            return;
        }
        let foot = &mut self.feet[swing.foot];
        foot.position = here;
        if part < 1.0 {
            self.swing = Some(swing);
            return;
        }
        let turned = self.stance.turned_rad()[swing.foot];
        foot.yaw = if swing.recovery {
            self.yaw
        } else {
            self.yaw + turned
        };
        foot.settle(ground, STEP_HEIGHT_M);
        if !foot.grounded {
            self.step_over_the_edge(swing.foot, ground, events);
            return;
        }
        if swing.recovery {
            self.stand_where_the_feet_are();
            self.hold_feet = true;
            self.calm_s = 0.0;
        }
    }

    fn foot_target(&self, i: usize) -> Plan {
        home_of(self.center, &Facing::at(self.yaw), self.stance, i)
            + self.walk * (0.5 * self.spec.step_s)
    }

    /// Lifts the foot that is furthest from where it belongs, if that is far.
    fn begin_placing_step(&mut self, walking: bool) {
        let away = [0, 1].map(|i| {
            let foot = &self.feet[i];
            let home = self.yaw + self.stance.turned_rad()[i];
            let turned = libm::remainder(foot.yaw - home, 2.0 * core::f64::consts::PI).abs();
            let moved = (Plan::of(foot.position) - self.foot_target(i)).length();
            moved.max(turned / MISTURNED_RAD * MISPLACED_M)
        });
        let i = usize::from(away[1] > away[0]);
        if !(away[i] > MISPLACED_M || (walking && away[i] > 0.5 * MISPLACED_M)) {
            return;
        }
        let step = if walking {
            Some((i, self.foot_target(i)))
        } else {
            [i, 1 - i]
                .into_iter()
                .filter(|j| away[*j] > MISPLACED_M)
                .find_map(|j| Some((j, self.safe_target(j)?)))
        };
        if step.is_none() {
            // The stance is where the feet are, until the body has moved over them.
            self.stand_where_the_feet_are();
        }
        if let Some((foot, to)) = step {
            self.swing = Some(Swing {
                foot,
                from: self.feet[foot].position,
                to,
                elapsed_s: 0.0,
                duration_s: self.spec.step_s,
                recovery: false,
            });
        }
    }

    /// The foot in the air, where it is to land.
    pub(super) fn lands(&self) -> Option<Foot> {
        let swing = self.swing.as_ref()?;
        let turned = self.stance.turned_rad()[swing.foot];
        Some(Foot {
            position: swing.to.at_height(swing.from.y),
            yaw: self.yaw + if swing.recovery { 0.0 } else { turned },
            ..self.feet[swing.foot]
        })
    }

    pub(super) fn stand_where_the_feet_are(&mut self) {
        let middle = (self.feet[0].middle() + self.feet[1].middle()) * 0.5;
        self.center = middle - mean_offset(self.yaw, self.stance);
    }

    /// How far towards where it belongs foot `i` can be set with the body still
    /// over the feet; nothing where that is not far.
    fn safe_target(&self, i: usize) -> Option<Plan> {
        let from = Plan::of(self.feet[i].position);
        let way = self.foot_target(i) - from;
        let stays = self.feet[1 - i].heel_and_toe();
        PARTS_OF_A_STEP.into_iter().find_map(|part| {
            let to = from + way * part;
            let lands = Foot {
                position: to.at_height(self.feet[i].position.y),
                yaw: self.yaw + self.stance.turned_rad()[i],
                ..self.feet[i]
            };
            let [heel, toe] = lands.heel_and_toe();
            let base = Base::of(&[stays[0], stays[1], heel, toe], HALF_FOOT_M);
            (base.outside_m(self.com) <= 0.0).then_some(to)
        })
    }

    /// Lifts the foot further from `capture`, to set it where it saves the body.
    pub(super) fn begin_recovery_step(&mut self, capture: Plan, rate: f64) {
        let distance = [0, 1].map(|i| (Plan::of(self.feet[i].position) - capture).length());
        // A foot already in the air goes on; it is the one to set.
        let foot = match &self.swing {
            Some(swing) => swing.foot,
            None => usize::from(distance[1] > distance[0]),
        };
        self.swing = Some(Swing {
            foot,
            from: self.feet[foot].position,
            to: self.recovery_target(foot, capture, rate, self.spec.recovery_step_s),
            elapsed_s: 0.0,
            duration_s: self.spec.recovery_step_s,
            recovery: true,
        });
        self.walk = Plan::ZERO;
    }

    /// Aims the foot in the air anew, as the body learns more of what pushes it.
    pub(super) fn aim_recovery_step(&mut self, capture: Plan, rate: f64) {
        if let Some(mut swing) = self.swing {
            let left = (swing.duration_s - swing.elapsed_s).max(0.0);
            swing.to = self.recovery_target(swing.foot, capture, rate, left);
            self.swing = Some(swing);
        }
    }

    /// Where the capture point will be when foot `i` lands, `left_s` from now (it
    /// runs away from the standing foot at the pendulum's `rate`), and a little
    /// beyond, as far as a step reaches.
    fn recovery_target(&self, i: usize, capture: Plan, rate: f64, left_s: f64) -> Plan {
        let stand = Plan::of(self.feet[1 - i].position);
        let edge = Base::of(&self.feet[1 - i].heel_and_toe(), HALF_FOOT_M).nearest(capture);
        let away = capture - edge;
        let runs = away * libm::exp(rate * left_s);
        let side = Facing::at(self.yaw).right * (if i == 0 { -HIP_M } else { HIP_M });
        let to = edge + runs + away.direction() * BEYOND_M + side;
        stand + (to - stand).shortened(self.spec.max_step_m)
    }
}
