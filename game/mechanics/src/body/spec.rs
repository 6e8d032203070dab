//! What an operator's body is, what it is asked to do, and what comes of it.

use glam::DVec3;
use serde::{Deserialize, Serialize};

/// Where the feet are set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Stance {
    /// Side by side, hip-wide.
    #[default]
    Normal,
    /// Side by side, more than shoulder-wide.
    Wide,
    /// One foot ahead, the other well behind, along the facing.
    Staggered,
}

impl Stance {
    /// Ankles of the left and the right foot, forward and to the right of the
    /// point the body stands about, m. Usual distances, from memory.
    #[must_use]
    pub fn offsets(self) -> [(f64, f64); 2] {
        match self {
            Self::Normal => [(0.0, -0.12), (0.0, 0.12)],
            Self::Wide => [(0.0, -0.32), (0.0, 0.32)],
            Self::Staggered => [(0.30, -0.07), (-0.36, 0.08)],
        }
    }

    /// How far the left and the right foot are turned to the left of the facing,
    /// rad: the rear foot of the staggered stance is set across. From memory.
    #[must_use]
    pub fn turned_rad(self) -> [f64; 2] {
        match self {
            Self::Normal | Self::Wide => [0.0, 0.0],
            Self::Staggered => [0.0, -core::f64::consts::FRAC_PI_3],
        }
    }

    /// Stiffness with which the body holds its place over the feet, N/m. Range
    /// 3 to 8 kN/m (from memory); bracing adds up to 3 kN/m, so that only the
    /// braced, staggered stance reaches the upper end.
    #[must_use]
    pub fn stiffness_n_per_m(self) -> f64 {
        match self {
            Self::Normal => 3000.0,
            Self::Wide => 4000.0,
            Self::Staggered => 5000.0,
        }
    }
}

/// An operator's body.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BodySpec {
    /// Mass with clothing, kg; 30 to 250.
    pub mass_kg: f64,
    /// Height of the centre of mass above the ground, m; 0.5 to 1.5.
    pub com_height_m: f64,
    /// Usual height of the hands, where the load acts, m; 0.3 to 1.8.
    pub hand_height_m: f64,
    /// How far the hands are usually ahead of the middle between the feet, m; 0 to 0.8.
    pub hand_reach_m: f64,
    /// Reaction time from load to the first answer, s; 0.05 to 0.5. Range of
    /// whole-body reactions 0.15 to 0.25 (from memory).
    pub reaction_delay_s: f64,
    /// Time to bring the tool to the shoulder, s; 0 to 5.
    pub brace_time_s: f64,
    /// Greatest force the unbraced arms can hold for some seconds, N; 50 to 2000.
    pub max_hold_n: f64,
    /// Part of the load the arms still bear when fully braced, 0 to 1.
    pub braced_share: f64,
    /// Time at rest that restores all strength, s; 1 to 1e5.
    pub recovery_s: f64,
    /// Longest recovery step, m; 0.1 to 1.5.
    pub max_step_m: f64,
}

impl Default for BodySpec {
    /// A grown person of 80 kg. Heights from common anthropometry, the rest from
    /// memory; defaults, not acceptance values.
    fn default() -> Self {
        Self {
            mass_kg: 80.0,
            com_height_m: 1.0,
            hand_height_m: 1.1,
            hand_reach_m: 0.35,
            reaction_delay_s: 0.2,
            brace_time_s: 0.6,
            max_hold_n: 500.0,
            braced_share: 0.4,
            recovery_s: 600.0,
            max_step_m: 0.9,
        }
    }
}

/// Why a body cannot be built: a field that is not finite or out of its range.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyError {
    /// Name of the field.
    pub field: &'static str,
    /// The value found.
    pub value: f64,
}

impl core::fmt::Display for BodyError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "body: {} cannot be {}", self.field, self.value)
    }
}

impl core::error::Error for BodyError {}

impl BodySpec {
    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field out of its range.
    pub fn check(&self) -> Result<(), BodyError> {
        let bounds = [
            ("mass_kg", self.mass_kg, 30.0, 250.0),
            ("com_height_m", self.com_height_m, 0.5, 1.5),
            ("hand_height_m", self.hand_height_m, 0.3, 1.8),
            ("hand_reach_m", self.hand_reach_m, 0.0, 0.8),
            ("reaction_delay_s", self.reaction_delay_s, 0.05, 0.5),
            ("brace_time_s", self.brace_time_s, 0.0, 5.0),
            ("max_hold_n", self.max_hold_n, 50.0, 2000.0),
            ("braced_share", self.braced_share, 0.0, 1.0),
            ("recovery_s", self.recovery_s, 1.0, 1e5),
            ("max_step_m", self.max_step_m, 0.1, 1.5),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(BodyError { field, value });
            }
        }
        Ok(())
    }
}

/// What the operator wants of the body; nothing of it is certain to happen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct BodyIntent {
    /// Velocity forward and to the right of the facing, m/s; walking is up to
    /// 1.4, hurrying up to 2.2, more is not given.
    pub velocity_body: (f64, f64),
    /// Turning to the left, seen from above, rad/s.
    pub yaw_rate: f64,
    /// Where the feet should be.
    pub stance: Stance,
    /// Whether the tool should be at the shoulder.
    pub brace: bool,
    /// Shift of the hands ahead of their usual place over the feet, m; -0.25 to
    /// 0.30, held within that.
    pub hands_ahead_m: f64,
    /// Shift of the hands up from their usual height, m; -0.6 to 0.45, held within
    /// that. The centre of mass stays at its height: stooping is not modelled.
    pub hands_up_m: f64,
    /// Whether the hand is letting go of the trigger, or has: the body then expects
    /// the load to go within [`EASE_S`](super::balance::EASE_S) and not to come. Once
    /// that has passed it counts on what it feels, as ever.
    pub easing: bool,
}

/// What happened to the body within one substep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BodyEvents {
    /// A step had to be made to keep from falling.
    pub stepped: bool,
    /// The feet began to slip.
    pub slipped: bool,
    /// The body fell.
    pub fell: bool,
    /// The tool came to rest at the shoulder.
    pub braced: bool,
    /// The tool left the shoulder without being asked to.
    pub brace_lost: bool,
}

impl BodyEvents {
    /// Adds what happened in another substep.
    pub fn merge(&mut self, other: Self) {
        self.stepped |= other.stepped;
        self.slipped |= other.slipped;
        self.fell |= other.fell;
        self.braced |= other.braced;
        self.brace_lost |= other.brace_lost;
    }
}

/// Where the body is, for whoever draws it or holds its tool.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BodyPose {
    /// Ankles of the left and the right foot on the ground, m; one may be in the air.
    pub feet: [DVec3; 2],
    /// Centre of mass, m.
    pub com: DVec3,
    /// Its velocity, m/s.
    pub com_velocity: DVec3,
    /// Lean forward and to the right of the facing, rad.
    pub lean_rad: (f64, f64),
    /// Facing, rad: turn to the left from looking along x.
    pub yaw: f64,
    /// The hands, m, pushed back by the load.
    pub hands: DVec3,
    /// Their velocity, m/s.
    pub hands_velocity: DVec3,
    /// How far the tool is at the shoulder, 0 to 1.
    pub braced: f64,
    /// The stance the feet are in or on the way to.
    pub stance: Stance,
    /// Whether the body lies on the ground.
    pub fallen: bool,
}
