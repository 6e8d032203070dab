//! Keeping upright: what the body wants of the ground, what base and footing allow of it, and
//! when it steps or falls.

use glam::DVec3;

use super::balance::{Moment, Reckoned};
use super::gait::{self, Facing};
use super::support::{Base, Plan};
use super::{Body, BodyEvents, ROW_ENDS_S};
use crate::GRAVITY_M_S2;

/// How far a braced operator leans into the tool beforehand, m.
const BRACE_LEAN_M: f64 = 0.08;
/// Nobody leans further than this, m.
const LEAN_LIMIT_M: f64 = 0.55;
/// Whoever leans over a foot has the weight so far within its edge, m (a choice of this
/// project: less than half the breadth of a shoe).
const OVER_THE_FOOT_M: f64 = 0.03;
/// The lean follows a lasting load with this time constant, s.
const LEAN_TIME_S: f64 = 0.4;
/// Part of the felt friction the control draws on beyond what the load itself needs.
const FOOTING_USE: f64 = 0.95;
/// A capture point this far outside the base makes a step, m.
const STEP_TOLERANCE_M: f64 = 0.02;
/// It has to be out for this long first, s, or this far, m (a choice of this
/// project: tugs of a tenth of a second do not make people step).
const STEP_PATIENCE_S: f64 = 0.15;
const STEP_AT_ONCE_M: f64 = 0.15;
/// While the feet are on the move anyway, the next one is set this much further, m.
const WALKING_REACH_M: f64 = 0.5;
/// The body is past saving this far from what its feet stand on, m.
const PAST_SAVING_M: f64 = 0.75;
/// So many recovery steps in a row are the last.
const MAX_STEPS_IN_A_ROW: u32 = 4;
/// The feet are gone after slipping so far, m; or after a shorter way so fast, m/s.
const SLIP_FALL_M: f64 = 0.6;
const FAST_SLIP_FALL_M: f64 = 0.1;
const FAST_SLIP_M_S: f64 = 1.5;

impl Body {
    /// The horizontal force the body wants of the ground, N.
    pub(super) fn control(&mut self, dt: f64, felt: &Reckoned) -> Plan {
        let forward = Facing::at(self.yaw).forward;
        let lever = self.load_lever(felt.load, felt.load_up);
        // Leaning against a lasting load brings the pressure point back under the
        // middle of the feet.
        let into_tool = forward * (BRACE_LEAN_M * self.braced());
        let leant = self.middle() + (into_tool - lever).shortened(LEAN_LIMIT_M);
        let target = self.over_the_feet(leant, lever);
        self.reference += self.walk * dt;
        self.reference += (target - self.reference) * (dt / LEAN_TIME_S).min(1.0);

        let tired = 0.5 + 0.5 * self.strength.left();
        let braced = self.spec.brace_n_per_m * self.braced();
        let k = (self.spec.stiffness_n_per_m(self.stance) + braced) * tired;
        let c = 2.0 * self.spec.stance_damping * (k * self.spec.mass_kg).sqrt();
        let against = felt.load * -1.0;
        let steady = (felt.position - self.reference) * -k + (felt.velocity - self.walk) * -c;

        // Nobody pushes off harder than the footing is felt to bear.
        let bears = FOOTING_USE * self.friction() * self.normal_n(felt.load_up);
        let wanted = against + steady;
        wanted.shortened(bears.max(against.length()))
    }

    /// A place to lean to, moved aside to where the feet are: who leans far ahead with one
    /// foot before the other brings the weight over the foot that is ahead, so as to come
    /// back over it when the load ends. But no further than the ground can still bear the
    /// load from there, by a `lever` away from the weight. How far the lean goes along the
    /// facing is left as it is.
    fn over_the_feet(&self, place: Plan, lever: Plan) -> Plan {
        if self.swing.is_some() || self.walk.length() > 0.02 {
            return place;
        }
        let right = Facing::at(self.yaw).right;
        // Each round goes at least halfway to an edge that is not steeper than 45 degrees.
        let within = |base: Base, mut at: Plan, off: Plan| {
            for _ in 0..4 {
                let borne = base.nearest(at + off);
                if borne == at + off {
                    break;
                }
                at += right * (borne - (at + off)).dot(right);
            }
            at
        };
        let base = self.base().widened(0.0);
        let mut at = within(base, place, Plan::ZERO);
        let shift = (at - place).dot(right);
        if shift.abs() > 1e-6 {
            at += right * (OVER_THE_FOOT_M * shift.signum());
        }
        within(base, at, lever)
    }

    fn normal_n(&self, load_up: f64) -> f64 {
        (self.spec.mass_kg * GRAVITY_M_S2 - load_up).max(1.0)
    }

    /// How far along the load the ground must bear for a body at rest, m.
    fn load_lever(&self, load: Plan, load_up: f64) -> Plan {
        let reach = self.hands.reach(self.yaw);
        (load * self.hands.height - reach * load_up) * (1.0 / self.normal_n(load_up))
    }

    /// Mean friction under the feet that stand.
    fn friction(&self) -> f64 {
        let mut sum = 0.0;
        let mut count = 0.0;
        for (i, foot) in self.feet.iter().enumerate() {
            if foot.grounded && self.swing.as_ref().is_none_or(|s| s.foot != i) {
                sum += foot.friction;
                count += 1.0;
            }
        }
        if count > 0.0 { sum / count } else { 0.0 }
    }

    /// What base and footing allow of the wanted force, and the motion it gives.
    pub(super) fn push_off(
        &mut self,
        dt: f64,
        wanted: Plan,
        [load, lasting]: [DVec3; 2],
        events: &mut BodyEvents,
    ) {
        let mass = self.spec.mass_kg;
        let normal = self.normal_n(load.y);
        let plan = Plan::of(load);
        let h = self.com_height_m();
        let reach = self.hands.reach(self.yaw);
        // Moments about the centre of mass without spin:
        // (p - c) N = (h_hand - h) F - reach U - h R.
        let moment = plan * (self.hands.height - h) - reach * load.y;
        let point_of = |force: Plan, com: Plan| com + (moment - force * h) * (1.0 / normal);
        let moving = self.walk.length() > 0.02 || self.swing.as_ref().is_some_and(|s| !s.recovery);
        let base = self.base();
        let base = if moving {
            base.widened(WALKING_REACH_M)
        } else {
            base
        };
        let mut force = wanted;
        let asked = point_of(force, self.com);
        let borne = base.nearest(asked);
        if borne != asked {
            force = (moment - (borne - self.com) * normal) * (1.0 / h);
        }
        let grip = self.friction() * normal;
        let slips = force.length() > grip;
        force = force.shortened(grip);

        let at_start = (self.com, self.com_velocity);
        let gain = (plan + force) * (dt / mass);
        self.com += (self.com_velocity + gain * 0.5) * dt;
        self.com_velocity += gain;
        self.percept.record(
            Moment {
                dt,
                position: at_start.0,
                velocity: at_start.1,
                load: plan,
                load_up: load.y,
                lasting: Plan::of(lasting),
                lasting_up: lasting.y,
                ground: force,
                eased: self.eased,
                readied: self.readied,
            },
            self.spec.reaction_delay_s,
        );
        self.ground_force = force.at_height(normal);
        self.pressure_point = point_of(force, at_start.0);

        if slips {
            events.slipped |= !self.slipping;
            // The feet go with the body.
            let drift = (self.com_velocity - self.walk) * dt;
            for foot in &mut self.feet {
                foot.position += drift.at_height(0.0);
            }
            self.center += drift;
            self.reference += drift;
            self.slip_m += drift.length();
            let speed = (self.com_velocity - self.walk).length();
            let fast = speed > FAST_SLIP_M_S && self.slip_m > FAST_SLIP_FALL_M;
            if self.slip_m > SLIP_FALL_M || fast {
                self.fall(events);
            }
        } else {
            self.slip_m = (self.slip_m - 0.2 * dt).max(0.0);
        }
        self.slipping = slips;
    }

    /// Steps when the capture point has left the base; falls when that is no help.
    pub(super) fn catch_balance(&mut self, dt: f64, felt: &Reckoned, events: &mut BodyEvents) {
        if self.is_fallen() {
            return;
        }
        self.since_step_s += dt;
        if self.since_step_s > ROW_ENDS_S {
            self.steps_in_row = 0;
        }
        let stands = self.base();
        if !self.feet.iter().any(|f| f.grounded) || stands.outside_m(self.com) > PAST_SAVING_M {
            self.fall(events);
            return;
        }
        let rate = (GRAVITY_M_S2 / self.com_height_m()).sqrt();
        let capture = felt.position
            + (felt.velocity - self.walk) * (1.0 / rate)
            + self.load_lever(felt.load, felt.load_up);
        if self.swing.as_ref().is_some_and(|s| s.recovery) {
            self.aim_recovery_step(capture, rate);
            return;
        }
        let moving = self.walk.length() > 0.02 || self.swing.is_some();
        let reach = if moving {
            WALKING_REACH_M
        } else {
            gait::HALF_FOOT_M
        };
        // A foot that is on its way to where it belongs saves without another step.
        let base = match self.lands() {
            Some(landing) => self.base_with(Some(landing)),
            None => stands,
        };
        let outside_m = base.widened(reach).outside_m(capture);
        if outside_m <= STEP_TOLERANCE_M {
            self.out_s = 0.0;
            return;
        }
        // A tug that is over before the body has made up its mind moves no foot.
        self.out_s += dt;
        if self.out_s < STEP_PATIENCE_S && outside_m < STEP_AT_ONCE_M {
            return;
        }
        self.out_s = 0.0;
        if self.steps_in_row >= MAX_STEPS_IN_A_ROW {
            self.fall(events);
            return;
        }
        self.begin_recovery_step(capture, rate);
        self.steps += 1;
        self.steps_in_row += 1;
        self.since_step_s = 0.0;
        events.stepped = true;
        events.brace_lost |= self.brace_s > 0.0;
        self.brace_s = 0.0;
    }
}
