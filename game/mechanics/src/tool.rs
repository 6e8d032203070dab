//! A hand lance as something that is aimed.
//!
//! **Model.** Two angles, yaw and pitch, measured from the facing of the body, each
//! of them an oscillator: the lance turns about the hands with its moment of
//! inertia, the arms pull it towards the wanted direction like a spring with a
//! damper. The moment of inertia is that of an even rod with its water,
//! `m (a^3 + b^3) / (3 (a + b))`, a the part behind the hands and b the part
//! before them; `m L^2 / 3` where nothing is behind them.
//!
//! **Torques.** The thrust acts along the lance, a lever above the grip, and
//! pitches the muzzle up; the hose adds what it adds. After
//! [`ToolSpec::felt_s`] the arms begin to bear a lasting torque of their own accord
//! (first order, [`ToolSpec::adapt_s`]). So a squeeze kicks the tip, which then
//! comes back; and thrust that goes off makes it dip, because the arms still bear
//! what is no longer there.
//!
//! **Integration.** Spring and damper are taken at the end of the substep, which
//! is stable for any length of it; at 1/480 s this adds about 0.01 to the ratio of
//! damping.
//!
//! **Left out.** The weight of the lance (the arms bear it from the beginning), the
//! coupling of the two angles at a steep pitch, the turning of the body, which
//! carries the lance along, and the bending of the lance itself.

use std::collections::VecDeque;

use glam::DVec3;
use serde::{Deserialize, Serialize};

/// Arms aim no further to the side, and no further up or down, rad. A choice of
/// this project: beyond that a person turns the body.
pub const YAW_LIMIT_RAD: f64 = 1.2;
/// The same up and down, rad.
pub const PITCH_LIMIT_RAD: f64 = 1.3;
/// Where the joints stop, beyond the aim, rad.
const STOP_BEYOND_RAD: f64 = 0.3;
/// Torques and thrusts beyond these are cut, N m and N; nothing in hand-held work comes near.
const TORQUE_LIMIT_N_M: f64 = 500.0;
const THRUST_LIMIT_N: f64 = 5000.0;

/// A hand lance and how it is held.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ToolSpec {
    /// Mass with the water in it, kg; 0.5 to 30.
    pub mass_kg: f64,
    /// Whole length, m; 0.3 to 4.
    pub length_m: f64,
    /// From the hands to the tip, m; 0.1 to the whole length.
    pub tip_ahead_m: f64,
    /// Line of the thrust above the grip, m; -0.2 to 0.2. Above pitches the muzzle up.
    pub thrust_lever_m: f64,
    /// Angular stiffness of rested free arms, N m/rad; 5 to 5000.
    pub stiffness_n_m: f64,
    /// Angular stiffness with the lance braced at the body, N m/rad; from that of
    /// the free arms to 5000.
    pub braced_stiffness_n_m: f64,
    /// Damping relative to critical; 0.05 to 3.
    pub damping_ratio: f64,
    /// How soon the arms learn to bear a lasting torque, s; 0.05 to 1e6, the
    /// greatest meaning never.
    pub adapt_s: f64,
    /// From a torque to the first answer of the arms, s; 0.01 to 1. Answers of the arm
    /// to a pull that was not expected begin after 0.1 to 0.2 s (from memory).
    pub felt_s: f64,
    /// What is left of the stiffness of free arms when they are exhausted, 0.05 to 1
    /// (from memory).
    pub exhausted_share: f64,
}

impl Default for ToolSpec {
    /// A lance of 1.3 m that is held with two hands. Mass and lengths are usual ones
    /// from memory. Stiffnesses are a choice of this project, without a source: they give
    /// 1.5 and 2.5 swings a second, as fast as people point something of this weight,
    /// and at 200 N a kick of some 5 cm free and 2 cm braced.
    fn default() -> Self {
        Self {
            mass_kg: 6.0,
            length_m: 1.3,
            tip_ahead_m: 1.0,
            thrust_lever_m: 0.04,
            stiffness_n_m: 150.0,
            braced_stiffness_n_m: 400.0,
            damping_ratio: 0.7,
            adapt_s: 0.4,
            felt_s: 0.2,
            exhausted_share: 0.3,
        }
    }
}

/// Why a tool cannot be built: a field that is not finite or out of its range.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolError {
    /// Name of the field.
    pub field: &'static str,
    /// The value found.
    pub value: f64,
}

impl core::fmt::Display for ToolError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "tool: {} cannot be {}", self.field, self.value)
    }
}

impl core::error::Error for ToolError {}

impl ToolSpec {
    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field out of its range.
    pub fn check(&self) -> Result<(), ToolError> {
        let free = self.stiffness_n_m;
        let bounds = [
            ("mass_kg", self.mass_kg, 0.5, 30.0),
            ("length_m", self.length_m, 0.3, 4.0),
            ("tip_ahead_m", self.tip_ahead_m, 0.1, self.length_m),
            ("thrust_lever_m", self.thrust_lever_m, -0.2, 0.2),
            ("stiffness_n_m", free, 5.0, 5000.0),
            (
                "braced_stiffness_n_m",
                self.braced_stiffness_n_m,
                free,
                5000.0,
            ),
            ("damping_ratio", self.damping_ratio, 0.05, 3.0),
            ("adapt_s", self.adapt_s, 0.05, 1e6),
            ("felt_s", self.felt_s, 0.01, 1.0),
            ("exhausted_share", self.exhausted_share, 0.05, 1.0),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(ToolError { field, value });
            }
        }
        Ok(())
    }

    /// Moment of inertia about the hands, kg m2: an even rod.
    #[must_use]
    pub fn inertia_kg_m2(&self) -> f64 {
        let ahead = self.tip_ahead_m;
        let behind = self.length_m - ahead;
        let cubes = ahead * ahead * ahead + behind * behind * behind;
        self.mass_kg * cubes / (3.0 * self.length_m)
    }

    /// Angular stiffness of the arms, N m/rad: `braced` and `strength` from 0 to 1.
    /// What bracing adds does not tire.
    #[must_use]
    pub fn stiffness_at(&self, braced: f64, strength: f64) -> f64 {
        let tired = self.exhausted_share + (1.0 - self.exhausted_share) * strength;
        self.stiffness_n_m * tired + (self.braced_stiffness_n_m - self.stiffness_n_m) * braced
    }
}

/// The wanted direction, relative to the body's facing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ToolIntent {
    /// To the left, rad; held within [`YAW_LIMIT_RAD`].
    pub yaw_rad: f64,
    /// Up, rad; held within [`PITCH_LIMIT_RAD`].
    pub pitch_rad: f64,
}

/// One angle of the lance.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Axis {
    angle: f64,
    rate: f64,
    /// Torque that the arms have learned to bear, N m.
    learned: f64,
}

impl Axis {
    /// Moves on by `dt` under an outer torque, of which the arms feel what was.
    fn turn(&mut self, dt: f64, arms: &Arms, want: f64, torque: f64, felt: f64, stop: f64) {
        // Exact for a felt torque that is constant over the substep.
        let part = 1.0 - libm::exp(-dt / arms.adapt_s);
        self.learned += (-felt - self.learned) * part;
        let pull = arms.stiffness * (want - self.angle) + torque + self.learned;
        let inert = arms.inertia + dt * (arms.damping + dt * arms.stiffness);
        self.rate = (arms.inertia * self.rate + dt * pull) / inert;
        let next = self.angle + dt * self.rate;
        self.angle = next.clamp(-stop, stop);
        if self.angle != next {
            self.rate = 0.0;
        }
    }
}

/// The arms as they are in one substep.
struct Arms {
    inertia: f64,
    stiffness: f64,
    damping: f64,
    adapt_s: f64,
}

/// A hand lance in somebody's hands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tool {
    spec: ToolSpec,
    yaw: Axis,
    pitch: Axis,
    /// Torques of the last moments, oldest first: length of the substep, s, about
    /// yaw and pitch, N m.
    past: VecDeque<(f64, f64, f64)>,
}

impl Tool {
    /// A lance at rest, straight ahead and level, with nothing pulling at it so far.
    ///
    /// # Errors
    /// A field of the description out of its range.
    pub fn new(spec: ToolSpec) -> Result<Self, ToolError> {
        spec.check()?;
        Ok(Self {
            spec,
            yaw: Axis::default(),
            pitch: Axis::default(),
            past: VecDeque::new(),
        })
    }

    /// What the lance is.
    #[must_use]
    pub fn spec(&self) -> &ToolSpec {
        &self.spec
    }

    /// To the left of the facing, rad.
    #[must_use]
    pub fn yaw_rad(&self) -> f64 {
        self.yaw.angle
    }

    /// Up from the level, rad.
    #[must_use]
    pub fn pitch_rad(&self) -> f64 {
        self.pitch.angle
    }

    /// Turning to the left, relative to the body, rad/s.
    #[must_use]
    pub fn yaw_rate(&self) -> f64 {
        self.yaw.rate
    }

    /// Turning up, rad/s.
    #[must_use]
    pub fn pitch_rate(&self) -> f64 {
        self.pitch.rate
    }

    /// Torques that the arms bear of their own accord about yaw and pitch, N m.
    #[must_use]
    pub fn learned_n_m(&self) -> (f64, f64) {
        (self.yaw.learned, self.pitch.learned)
    }

    /// Unit vector along the lance for a body that faces `facing_rad` (turn to the
    /// left from looking along x).
    #[must_use]
    pub fn direction(&self, facing_rad: f64) -> DVec3 {
        let yaw = facing_rad + self.yaw.angle;
        let level = libm::cos(self.pitch.angle);
        DVec3::new(
            libm::cos(yaw) * level,
            libm::sin(self.pitch.angle),
            -libm::sin(yaw) * level,
        )
    }

    /// Moves the lance on by `dt` seconds (1/480 s; at most 1/100).
    ///
    /// `braced` and `strength` are those of the body, 0 to 1. `thrust_n` is the
    /// reaction of the jet along the lance. `side_pull` is the torque of the hose
    /// about yaw (to the left) and pitch (up), N m. What is not finite counts as 0.
    pub fn substep(
        &mut self,
        dt: f64,
        intent: &ToolIntent,
        braced: f64,
        strength: f64,
        thrust_n: f64,
        side_pull: (f64, f64),
    ) {
        if !(dt > 0.0 && dt <= 0.01) {
            return;
        }
        let stiffness = self
            .spec
            .stiffness_at(within(braced, 0.0, 1.0), within(strength, 0.0, 1.0));
        let inertia = self.spec.inertia_kg_m2();
        let arms = Arms {
            inertia,
            stiffness,
            damping: 2.0 * self.spec.damping_ratio * (stiffness * inertia).sqrt(),
            adapt_s: self.spec.adapt_s,
        };
        let kick = within(thrust_n, -THRUST_LIMIT_N, THRUST_LIMIT_N) * self.spec.thrust_lever_m;
        let limit = TORQUE_LIMIT_N_M;
        let about_yaw = within(side_pull.0, -limit, limit);
        let about_pitch = within(within(side_pull.1, -limit, limit) + kick, -limit, limit);
        let felt = self.feel(dt, about_yaw, about_pitch);

        let want = within(intent.yaw_rad, -YAW_LIMIT_RAD, YAW_LIMIT_RAD);
        let stop = YAW_LIMIT_RAD + STOP_BEYOND_RAD;
        self.yaw.turn(dt, &arms, want, about_yaw, felt.0, stop);
        let want = within(intent.pitch_rad, -PITCH_LIMIT_RAD, PITCH_LIMIT_RAD);
        let stop = PITCH_LIMIT_RAD + STOP_BEYOND_RAD;
        self.pitch.turn(dt, &arms, want, about_pitch, felt.1, stop);
    }

    /// Remembers the torques of this substep and gives those of a while ago: none,
    /// as long as the lance has not been held for that while.
    fn feel(&mut self, dt: f64, about_yaw: f64, about_pitch: f64) -> (f64, f64) {
        self.past.push_back((dt, about_yaw, about_pitch));
        let mut age: f64 = self.past.iter().map(|m| m.0).sum();
        if age < self.spec.felt_s - 1e-9 {
            return (0.0, 0.0);
        }
        while let Some(first) = self.past.front()
            && self.past.len() > 1
            && age - first.0 >= self.spec.felt_s - 1e-9
        {
            age -= first.0;
            self.past.pop_front();
        }
        self.past.front().map_or((0.0, 0.0), |m| (m.1, m.2))
    }
}

/// The value within its bounds, 0 for what is not finite.
fn within(value: f64, low: f64, high: f64) -> f64 {
    if value.is_finite() {
        value.clamp(low, high)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests;
