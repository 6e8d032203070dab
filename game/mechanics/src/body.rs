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
mod fall;
mod gait;
mod hands;
mod spec;
mod support;
#[cfg(test)]
mod tests;
mod trip;
mod upright;

use core::f64::consts::PI;

use glam::DVec3;
use serde::{Deserialize, Serialize};

use crate::ground::Ground;
use balance::{Known, Moment, Percept, Reckoned};
use endurance::{Grip, Strength};
use fall::Fall;
use gait::{Facing, Foot, Swing};
pub use hands::End;
use hands::Hands;
pub use spec::{BodyError, BodyEvents, BodyIntent, BodyPose, BodySpec, Stance};
use support::{Base, Plan};

/// A row of steps ends after this time without one, s.
const ROW_ENDS_S: f64 = 1.5;
/// Feet stay where a recovery step put them while more than this is felt, N.
const HOLD_FEET_N: f64 = 60.0;
/// Greatest change of walking speed, m/s2, and greatest speed, m/s.
const WALK_ACCELERATION_M_S2: f64 = 2.5;
const WALK_LIMIT_M_S: f64 = 2.2;
/// A crouch takes so long, s, lowers the centre of mass by this part of its height, and lets
/// nobody walk faster than this, m/s (from memory).
const CROUCH_S: f64 = 0.7;
const CROUCH_LOWERS: f64 = 0.35;
const CROUCH_WALK_M_S: f64 = 0.7;
/// Part of what two hands hold that one holds.
const ONE_HAND: f64 = 0.5;
/// Walking faster than this takes the tool from the shoulder, m/s.
const BRACE_WALK_M_S: f64 = 0.6;
/// Loads beyond this are cut, N; nothing in hand-held work comes near.
const LOAD_LIMIT_N: f64 = 5000.0;

/// An operator standing somewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Body {
    spec: BodySpec,
    yaw: f64,
    stance: Stance,
    /// How far the body has gone down into a crouch, 0 to 1.
    crouched: f64,
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
    fall: Option<Fall>,
    hands: Hands,
    strength: Strength,
    grip: Grip,
    /// Time that the body still has no mind for walking, after it has tripped, s.
    stumble_s: f64,
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
            crouched: 0.0,
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
            fall: None,
            hands: Hands::new(&spec),
            strength: Strength::default(),
            grip: Grip::default(),
            stumble_s: 0.0,
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
        if let Some(fall) = &self.fall {
            return fall.hands();
        }
        self.hands.place(self.com, self.yaw, ground)
    }

    /// Velocity of the hands, m/s.
    #[must_use]
    pub fn hands_velocity(&self) -> DVec3 {
        if let Some(fall) = &self.fall {
            return fall.hands_velocity();
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
        self.fall.is_some()
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
        let h = self.com_height_m();
        let standing = self.com.at_height(ground + h);
        let (com, lowered) = match &self.fall {
            Some(fall) => (fall.com(standing, ground), fall.lowered_m()),
            None => (standing, 0.0),
        };
        BodyPose {
            feet: [0, 1].map(|i| self.feet[i].position - lowered * DVec3::Y),
            com,
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
            fallen: self.is_fallen(),
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
        if let Some(fall) = &mut self.fall {
            fall.shift(by);
        }
        self.percept.shift(plan);
    }

    /// Height of the centre of mass over the ground, m.
    fn com_height_m(&self) -> f64 {
        self.spec.com_height_m - self.lowered_m()
    }

    /// How much lower than upright it is in its crouch, m.
    fn lowered_m(&self) -> f64 {
        CROUCH_LOWERS * self.spec.com_height_m * self.crouched
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
        if let Some(fall) = &mut self.fall {
            fall.pass(dt);
            self.strength.hold(dt, 0.0, self.spec.recovery_s);
            return events;
        }

        self.turn_and_brace(dt, intent, &mut events);
        self.crouch(dt, intent);
        self.move_feet(dt, intent, load, ground, &mut events);
        if self.is_fallen() {
            return events;
        }
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
        let hands = if intent.one_hand { ONE_HAND } else { 1.0 };
        let fraction = load.length() * arms_bear / (self.spec.max_hold_n * hands);
        self.strength.hold(dt, fraction, self.spec.recovery_s);
        events.lost_hold |= self.grip.hold(dt, fraction, self.strength.left());
        events
    }

    /// Goes down into a crouch or up from it.
    fn crouch(&mut self, dt: f64, intent: &BodyIntent) {
        let way = dt / CROUCH_S;
        self.crouched = if intent.stance == Stance::Crouched {
            (self.crouched + way).min(1.0)
        } else {
            (self.crouched - way).max(0.0)
        };
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
}

/// A load within what is reckoned with; none where it is not finite.
fn finite(load_n: DVec3) -> DVec3 {
    if load_n.is_finite() {
        load_n.clamp_length_max(LOAD_LIMIT_N)
    } else {
        DVec3::ZERO
    }
}
