//! Hands and arms: where the tool is held, and how it is pushed.
//!
//! **Reach.** A person who works with a tool keeps it where it is wanted while the
//! body leans and sways. So the hands seek a place over the middle of the stance,
//! and the arms shift them relative to the centre of mass, first order with
//! [`BodySpec::reach_time_s`], as fast and as far as arms go. A choice of this project, as
//! are the bounds; speeds of reaching arms are from memory.
//!
//! **Give.** Besides, the load pushes the hands back against a spring, stiffer at
//! the shoulder. It reaches the centre of mass at once.

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::gait::Facing;
use super::support::Plan;
use super::{Body, BodyIntent, BodySpec, ROW_ENDS_S};

/// Nearest to the centre of mass, and furthest, along the facing, m; who leans
/// far holds the tool at the hip, beside the body.
const NEAREST_M: f64 = -0.10;
const FURTHEST_M: f64 = 0.75;
/// Furthest to either side, m.
const ASIDE_M: f64 = 0.3;
/// Shift of the hands that may be asked for: ahead and up, m.
const SHIFT_AHEAD_M: (f64, f64) = (-0.25, 0.30);
const SHIFT_UP_M: (f64, f64) = (-0.6, 0.45);
/// Hands are never lower above the ground, m.
const LOWEST_M: f64 = 0.1;
/// Furthest the arms give, m.
const ARM_TRAVEL_M: f64 = 0.3;

/// Where the hands are, seen from the body.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Hands {
    /// From the centre of mass, along the facing and to the right of it, m.
    pub ahead: f64,
    pub aside: f64,
    /// Above the ground, m.
    pub height: f64,
    /// Rates of these three, m/s.
    rate: (f64, f64, f64),
    /// Turning of the body, rad/s.
    turning: f64,
    /// Where the load has pushed the hands from there, m, and how fast, m/s.
    give: DVec3,
    give_rate: DVec3,
}

impl Hands {
    pub fn new(spec: &BodySpec) -> Self {
        Self {
            ahead: spec.hand_reach_m,
            aside: 0.0,
            height: spec.hand_height_m,
            rate: (0.0, 0.0, 0.0),
            turning: 0.0,
            give: DVec3::ZERO,
            give_rate: DVec3::ZERO,
        }
    }

    /// From the centre of mass, on the plan.
    pub fn reach(&self, yaw: f64) -> Plan {
        Facing::at(yaw).place(self.ahead, self.aside)
    }

    /// The place of the hands over a centre of mass on ground of a height, m.
    pub fn place(&self, com: Plan, yaw: f64, ground: f64) -> DVec3 {
        (com + self.reach(yaw)).at_height(ground + self.height) + self.give
    }

    /// Velocity relative to the centre of mass, m/s.
    pub fn velocity(&self, yaw: f64) -> DVec3 {
        let (ahead, aside, up) = self.rate;
        let Facing { forward, right } = Facing::at(yaw);
        // Turning to the left carries what is ahead to the left, what is right ahead.
        let along = forward * (ahead + self.turning * self.aside);
        let across = right * (aside - self.turning * self.ahead);
        (along + across).at_height(up) + self.give_rate
    }

    /// The body has turned at a rate.
    pub fn turned(&mut self, rate: f64) {
        self.turning = rate;
    }

    /// A body that lies holds nothing up.
    pub fn drop(&mut self) {
        self.rate = (0.0, 0.0, 0.0);
        self.turning = 0.0;
        self.give = DVec3::ZERO;
        self.give_rate = DVec3::ZERO;
    }

    /// Reaches for a place relative to the centre of mass: along, aside, above ground;
    /// `free` is the part of their speed that the arms have for it.
    fn reach_for(&mut self, dt: f64, spec: &BodySpec, want: (f64, f64, f64), free: f64) {
        let nearest = NEAREST_M.min(spec.hand_reach_m);
        let furthest = FURTHEST_M.max(spec.hand_reach_m);
        let want = (
            want.0.clamp(nearest, furthest),
            want.1.clamp(-ASIDE_M, ASIDE_M),
            want.2.max(LOWEST_M),
        );
        let now = (self.ahead, self.aside, self.height);
        let rate = DVec3::new(want.0 - now.0, want.1 - now.1, want.2 - now.2) / spec.reach_time_s;
        let rate = rate.clamp_length_max(spec.reach_m_s) * free;
        self.ahead += rate.x * dt;
        self.aside += rate.y * dt;
        self.height += rate.z * dt;
        self.rate = (rate.x, rate.y, rate.z);
    }

    /// Whether the arms are at the end of their reach: ahead, or drawn in.
    pub fn at_end(&self, spec: &BodySpec) -> Option<End> {
        if self.ahead >= FURTHEST_M.max(spec.hand_reach_m) - END_M {
            Some(End::Ahead)
        } else if self.ahead <= NEAREST_M.min(spec.hand_reach_m) + END_M {
            Some(End::DrawnIn)
        } else {
            None
        }
    }

    /// Gives way to a load against a spring.
    fn give_way(&mut self, dt: f64, spec: &BodySpec, stiffness: f64, load: DVec3) {
        let damping = 2.0 * spec.arm_damping * (stiffness * spec.arm_mass_kg).sqrt();
        let pull = load - stiffness * self.give - damping * self.give_rate;
        self.give_rate += dt / spec.arm_mass_kg * pull;
        let next = (self.give + dt * self.give_rate).clamp_length_max(ARM_TRAVEL_M);
        self.give_rate = (next - self.give) / dt;
        self.give = next;
    }
}

/// Nearer than this to the end of a reach is at it, m.
const END_M: f64 = 0.01;

/// An end of what arms can reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// Stretched ahead.
    Ahead,
    /// Drawn in to the body.
    DrawnIn,
}

impl Body {
    /// Whether the arms are at the end of their reach.
    #[must_use]
    pub fn arms_at_end(&self) -> Option<End> {
        self.hands.at_end(&self.spec)
    }

    pub(super) fn arms(&mut self, dt: f64, intent: &BodyIntent, load: DVec3) {
        if self.is_fallen() {
            return;
        }
        let over_feet = self.middle() - self.com;
        let Facing { forward, right } = Facing::at(self.yaw);
        let shift_ahead = within(intent.hands_ahead_m, SHIFT_AHEAD_M);
        let want = (
            over_feet.dot(forward) + self.spec.hand_reach_m + shift_ahead,
            over_feet.dot(right),
            self.spec.hand_height_m - self.lowered_m() + within(intent.hands_up_m, SHIFT_UP_M),
        );
        // Who has to step to stay up keeps the arms as they are until it is over.
        let calm = (self.since_step_s / ROW_ENDS_S).min(1.0);
        self.hands.reach_for(dt, &self.spec, want, calm * calm);

        let tired = 0.3 + 0.7 * self.strength.left();
        let (free, shoulder) = (self.spec.arm_n_per_m, self.spec.shoulder_n_per_m);
        let stiffness = free * tired + (shoulder - free) * self.braced();
        self.hands.give_way(dt, &self.spec, stiffness, load);
    }
}

/// A shift within its bounds, none where it is not finite.
fn within(shift: f64, (low, high): (f64, f64)) -> f64 {
    if shift.is_finite() {
        shift.clamp(low, high)
    } else {
        0.0
    }
}
