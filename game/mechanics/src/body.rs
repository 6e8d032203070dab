//! The operator's body: standing, walking, pushed, stepping, slipping, falling.
//!
//! **Motion.** The centre of mass moves on a level by Newton's law under the
//! load in the hands and the horizontal force of the ground. That force is what
//! the delayed control of [`balance`] asks for, cut down twice: by the base of
//! support (the point where the ground's force acts must lie under the feet,
//! from moments about the centre of mass) and by friction. Passive ankle
//! stiffness is taken to cancel toppling by gravity within the base, as it
//! nearly does in quiet standing (from memory), so a body that has not yet
//! reacted moves as a free mass. Spin of the body is left out.
//!
//! **Steps.** The capture point `x + v / w`, `w^2 = g / h` (linear inverted
//! pendulum, from memory), shifted by the lever of the load, tells where the
//! feet must bear. Once the reckoned capture point leaves the base the body
//! steps there, and falls when steps do not get it there.
//!
//! **Arms.** The hands stay over the middle of the feet as far as the arms allow, while
//! the body leans and sways, and give way to the load, which reaches the centre of mass
//! at once.

pub mod balance;
mod down;
pub mod endurance;
mod gait;
mod hands;
mod spec;
mod support;
#[cfg(test)]
mod tests;

use core::f64::consts::PI;

use glam::DVec3;
use serde::{Deserialize, Serialize};

use crate::GRAVITY_M_S2;
use crate::ground::Ground;
use balance::{Known, Moment, Percept, Reckoned};
use endurance::Strength;
use gait::{Facing, Foot, Swing};
pub use hands::End;
use hands::Hands;
pub use spec::{BodyError, BodyEvents, BodyIntent, BodyPose, BodySpec, Stance};
use support::{Base, Plan};

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
/// A row of steps ends after this time without one, s.
const ROW_ENDS_S: f64 = 1.5;
/// The feet are gone after slipping so far, m; or after a shorter way so fast, m/s.
const SLIP_FALL_M: f64 = 0.6;
const FAST_SLIP_FALL_M: f64 = 0.1;
const FAST_SLIP_M_S: f64 = 1.5;
/// Feet stay where a recovery step put them while more than this is felt, N.
const HOLD_FEET_N: f64 = 60.0;
/// Greatest change of walking speed, m/s2, and greatest speed, m/s.
const WALK_ACCELERATION_M_S2: f64 = 2.5;
const WALK_LIMIT_M_S: f64 = 2.2;
/// Walking faster than this takes the tool from the shoulder, m/s.
const BRACE_WALK_M_S: f64 = 0.6;
/// A fall takes this long, s; then hands and centre of mass lie this high, m.
const FALL_S: f64 = 0.6;
const LYING_HANDS_M: f64 = 0.2;
const LYING_COM_M: f64 = 0.15;
/// Loads beyond this are cut, N; nothing in hand-held work comes near.
const LOAD_LIMIT_N: f64 = 5000.0;

/// An operator standing somewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Body {
    spec: BodySpec,
    yaw: f64,
    stance: Stance,
    feet: [Foot; 2],
    swing: Option<Swing>,
    /// The point the stance is laid out about.
    center: Plan,
    walk: Plan,
    com: Plan,
    com_velocity: Plan,
    /// Where the body wants its centre of mass.
    reference: Plan,
    percept: Percept,
    /// Part of the load that is known to be let go of, 0 to 1.
    eased: f64,
    /// Part of what it squeezes for that it has made itself ready for, 0 to 1.
    readied: f64,
    brace_s: f64,
    /// The feet stay where a recovery step has put them.
    hold_feet: bool,
    calm_s: f64,
    steps_in_row: u32,
    since_step_s: f64,
    /// How long the capture point has been out of the base, s.
    out_s: f64,
    steps: u32,
    slipping: bool,
    slip_m: f64,
    fallen: bool,
    /// Time since the fall began, s.
    fallen_s: f64,
    /// Where the hands were then, and where they come to lie.
    fall_hands: [DVec3; 2],
    hands: Hands,
    strength: Strength,
    ground_force: DVec3,
    pressure_point: Plan,
}

impl Body {
    /// A body at rest in the normal stance about `feet` on the ground, facing
    /// `yaw` (turn to the left from looking along x, rad).
    ///
    /// # Errors
    /// A field of the description out of its range, or a place that is not finite.
    pub fn new(spec: BodySpec, feet: DVec3, yaw: f64) -> Result<Self, BodyError> {
        spec.check()?;
        if !feet.is_finite() || !yaw.is_finite() {
            return Err(BodyError {
                field: "feet",
                value: f64::NAN,
            });
        }
        let center = Plan::of(feet);
        let stance = Stance::Normal;
        let facing = Facing::at(yaw);
        let place = |i: usize| gait::home_of(center, &facing, stance, i).at_height(feet.y);
        let mut body = Self {
            yaw,
            stance,
            feet: [Foot::at(place(0), yaw), Foot::at(place(1), yaw)],
            swing: None,
            center,
            walk: Plan::ZERO,
            com: center,
            com_velocity: Plan::ZERO,
            reference: center,
            percept: Percept::default(),
            eased: 0.0,
            readied: 0.0,
            brace_s: 0.0,
            hold_feet: false,
            calm_s: 0.0,
            steps_in_row: 0,
            since_step_s: ROW_ENDS_S,
            out_s: 0.0,
            steps: 0,
            slipping: false,
            slip_m: 0.0,
            fallen: false,
            fallen_s: 0.0,
            fall_hands: [DVec3::ZERO; 2],
            hands: Hands::new(&spec),
            strength: Strength::default(),
            ground_force: DVec3::ZERO,
            pressure_point: center,
            spec,
        };
        body.com = body.middle();
        body.reference = body.com;
        body.pressure_point = body.com;
        // The body has stood like this for as long as it remembers.
        let rest = Moment {
            dt: body.spec.reaction_delay_s,
            position: body.com,
            velocity: Plan::ZERO,
            load: Plan::ZERO,
            load_up: 0.0,
            lasting: Plan::ZERO,
            lasting_up: 0.0,
            ground: Plan::ZERO,
            eased: 0.0,
            readied: 0.0,
        };
        body.percept.record(rest, body.spec.reaction_delay_s);
        Ok(body)
    }

    /// What the body is.
    #[must_use]
    pub fn spec(&self) -> &BodySpec {
        &self.spec
    }

    /// Facing, rad: turn to the left from looking along x.
    #[must_use]
    pub fn yaw(&self) -> f64 {
        self.yaw
    }

    /// Unit vector of the facing.
    #[must_use]
    pub fn forward(&self) -> DVec3 {
        Facing::at(self.yaw).forward.at_height(0.0)
    }

    /// The hands, m: where the tool and the hose end are held.
    #[must_use]
    pub fn hands(&self) -> DVec3 {
        let ground = self.ground_height();
        if self.fallen {
            let [from, to] = self.fall_hands;
            let part = self.fallen_part();
            return from + (to - from) * (part * part);
        }
        self.hands.place(self.com, self.yaw, ground)
    }

    /// Velocity of the hands, m/s.
    #[must_use]
    pub fn hands_velocity(&self) -> DVec3 {
        if self.fallen {
            let [from, to] = self.fall_hands;
            let part = self.fallen_part();
            let rate = if part < 1.0 { 2.0 * part / FALL_S } else { 0.0 };
            return (to - from) * rate;
        }
        self.com_velocity.at_height(0.0) + self.hands.velocity(self.yaw)
    }

    /// How far the tool is at the shoulder, 0 to 1.
    #[must_use]
    pub fn braced(&self) -> f64 {
        if self.spec.brace_time_s > 0.0 {
            (self.brace_s / self.spec.brace_time_s).min(1.0)
        } else {
            f64::from(u8::from(self.brace_s > 0.0))
        }
    }

    /// Strength left, 1 when rested, 0 when exhausted.
    #[must_use]
    pub fn strength_left(&self) -> f64 {
        self.strength.left()
    }

    /// Steps that had to be made to keep from falling.
    #[must_use]
    pub fn recovery_steps(&self) -> u32 {
        self.steps
    }

    /// Whether the body lies on the ground.
    #[must_use]
    pub fn is_fallen(&self) -> bool {
        self.fallen
    }

    /// Whether the feet are slipping now.
    #[must_use]
    pub fn is_slipping(&self) -> bool {
        self.slipping
    }

    /// Force of the ground on the feet, N.
    #[must_use]
    pub fn ground_force(&self) -> DVec3 {
        self.ground_force
    }

    /// The point on the ground where that force acts, m.
    #[must_use]
    pub fn pressure_point(&self) -> DVec3 {
        self.pressure_point.at_height(self.ground_height())
    }

    /// Everything that can be drawn.
    #[must_use]
    pub fn pose(&self) -> BodyPose {
        let ground = self.ground_height();
        let Facing { forward, right } = Facing::at(self.yaw);
        let off = self.com - self.middle();
        let h = self.spec.com_height_m;
        let down = self.fallen_part();
        let com_height = ground + h + (LYING_COM_M - h) * down * down;
        BodyPose {
            feet: [self.feet[0].position, self.feet[1].position],
            com: self.com.at_height(com_height),
            com_velocity: self.com_velocity.at_height(0.0),
            lean_rad: (
                libm::atan2(off.dot(forward), h),
                libm::atan2(off.dot(right), h),
            ),
            yaw: self.yaw,
            hands: self.hands(),
            hands_velocity: self.hands_velocity(),
            braced: self.braced(),
            stance: self.stance,
            fallen: self.fallen,
        }
    }

    /// Moves the whole body by `by`, m: something solid stood in its way. Anything
    /// not finite or beyond 100 km is ignored.
    pub fn shift(&mut self, by: DVec3) {
        if !(by.is_finite() && by.abs().max_element() < 1e5) {
            return;
        }
        let plan = Plan::of(by);
        for foot in &mut self.feet {
            foot.position += by;
        }
        if let Some(swing) = &mut self.swing {
            swing.from += by;
            swing.to += plan;
        }
        self.center += plan;
        self.com += plan;
        self.reference += plan;
        self.pressure_point += plan;
        for p in &mut self.fall_hands {
            *p += by;
        }
        self.percept.shift(plan);
    }

    fn ground_height(&self) -> f64 {
        0.5 * (self.feet[0].position.y + self.feet[1].position.y)
    }

    /// The middle of the stance, where the body stands unloaded.
    fn middle(&self) -> Plan {
        self.center + gait::mean_offset(self.yaw, self.stance)
    }

    fn base(&self) -> Base {
        self.base_with(None)
    }

    /// The base as it is, or with the foot in the air where it is to land.
    fn base_with(&self, landing: Option<Foot>) -> Base {
        let mut points = [Plan::ZERO; 4];
        let mut count = 0;
        for (i, foot) in self.feet.iter().enumerate() {
            let foot = match self.swing.as_ref().filter(|s| s.foot == i) {
                None if foot.grounded => *foot,
                None => continue,
                Some(_) => match landing {
                    Some(landing) => landing,
                    None => continue,
                },
            };
            points[count..count + 2].copy_from_slice(&foot.heel_and_toe());
            count += 2;
        }
        Base::of(&points[..count], gait::HALF_FOOT_M)
    }

    /// Moves the body on by `dt` seconds (1/480 s; at most 1/100).
    ///
    /// `load_n` acts on the hands: reaction thrust and hose together, N.
    pub fn substep<G: Ground + ?Sized>(
        &mut self,
        dt: f64,
        intent: &BodyIntent,
        load_n: DVec3,
        ground: &G,
    ) -> BodyEvents {
        let mut events = BodyEvents::default();
        if !(dt > 0.0 && dt <= 0.01) {
            return events;
        }
        let load = finite(load_n);
        let lasting = finite(intent.lasting_n);
        if self.fallen {
            self.fallen_s = (self.fallen_s + dt).min(FALL_S);
            self.strength.hold(dt, 0.0, self.spec.recovery_s);
            return events;
        }

        self.turn_and_brace(dt, intent, &mut events);
        self.move_feet(dt, intent, ground);
        self.eased = if intent.easing {
            (self.eased + dt / self.spec.ease_s).min(1.0)
        } else {
            0.0
        };
        let coming = finite(intent.coming_n);
        self.readied = if coming == DVec3::ZERO {
            0.0
        } else {
            (self.readied + dt / self.spec.ease_s).min(1.0)
        };
        let known = Known {
            eased: self.eased,
            readied: self.readied,
            coming: Plan::of(coming),
            coming_up: coming.y,
        };
        let reckoned = self.percept.reckon(self.spec.mass_kg, &known);
        let felt = reckoned.unwrap_or(Reckoned {
            position: self.com,
            velocity: self.com_velocity,
            load: Plan::ZERO,
            load_up: 0.0,
        });
        let wanted = self.control(dt, &felt);
        self.push_off(dt, wanted, [load, lasting], &mut events);
        self.catch_balance(dt, &felt, &mut events);
        self.arms(dt, intent, load);

        let arms_bear = 1.0 - (1.0 - self.spec.braced_share) * self.braced();
        let fraction = load.length() * arms_bear / self.spec.max_hold_n;
        self.strength.hold(dt, fraction, self.spec.recovery_s);
        events
    }

    fn turn_and_brace(&mut self, dt: f64, intent: &BodyIntent, events: &mut BodyEvents) {
        self.hands.turned(0.0);
        if intent.yaw_rate.is_finite() {
            let rate = intent.yaw_rate.clamp(-6.0, 6.0);
            self.hands.turned(rate);
            self.yaw += rate * dt;
            if self.yaw.abs() > PI {
                self.yaw -= 2.0 * PI * self.yaw.signum();
            }
        }
        let (was, fast) = (self.braced(), self.walk.length() > BRACE_WALK_M_S);
        if !intent.brace {
            self.brace_s = 0.0;
        } else if fast {
            events.brace_lost |= was >= 1.0;
            self.brace_s = 0.0;
        } else {
            self.brace_s = (self.brace_s + dt).min(self.spec.brace_time_s.max(dt));
            events.braced |= was < 1.0 && self.braced() >= 1.0;
        }
    }

    /// The horizontal force the body wants of the ground, N.
    fn control(&mut self, dt: f64, felt: &Reckoned) -> Plan {
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
        if against.length() < bears {
            wanted.shortened(bears)
        } else {
            against
        }
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
    fn push_off(
        &mut self,
        dt: f64,
        wanted: Plan,
        [load, lasting]: [DVec3; 2],
        events: &mut BodyEvents,
    ) {
        let mass = self.spec.mass_kg;
        let normal = self.normal_n(load.y);
        let plan = Plan::of(load);
        let h = self.spec.com_height_m;
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
    fn catch_balance(&mut self, dt: f64, felt: &Reckoned, events: &mut BodyEvents) {
        if self.fallen {
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
        let rate = (GRAVITY_M_S2 / self.spec.com_height_m).sqrt();
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

    /// How far down a falling body is, 0 to 1.
    fn fallen_part(&self) -> f64 {
        if self.fallen {
            self.fallen_s / FALL_S
        } else {
            0.0
        }
    }

    fn fall(&mut self, events: &mut BodyEvents) {
        let ahead = self.com + Facing::at(self.yaw).forward * self.spec.hand_reach_m;
        let down = ahead.at_height(self.ground_height() + LYING_HANDS_M);
        self.fall_hands = [self.hands(), down];
        self.fallen = true;
        self.fallen_s = 0.0;
        events.fell = true;
        self.brace_s = 0.0;
        self.swing = None;
        self.walk = Plan::ZERO;
        self.com_velocity = Plan::ZERO;
        self.hands.drop();
        self.ground_force = DVec3::Y * (self.spec.mass_kg * GRAVITY_M_S2);
    }
}

/// A load within what is reckoned with; none where it is not finite.
fn finite(load_n: DVec3) -> DVec3 {
    if load_n.is_finite() {
        load_n.clamp_length_max(LOAD_LIMIT_N)
    } else {
        DVec3::ZERO
    }
}
