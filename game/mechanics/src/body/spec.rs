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
    /// Knees bent, feet apart and one a little ahead: low, steady and slow.
    Crouched,
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
            Self::Crouched => [(0.16, -0.20), (-0.16, 0.20)],
        }
    }

    /// How far the left and the right foot are turned to the left of the facing,
    /// rad: the rear foot of the staggered stance is set across. From memory.
    #[must_use]
    pub fn turned_rad(self) -> [f64; 2] {
        match self {
            Self::Normal | Self::Wide | Self::Crouched => [0.0, 0.0],
            Self::Staggered => [0.0, -core::f64::consts::FRAC_PI_3],
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
    /// Stiffness with which the body holds its place over the feet in the normal, the
    /// wide and the staggered stance, N/m; 500 to 20 000. Range 3 to 8 kN/m (from
    /// memory); bracing adds to it, so that by default only the braced, staggered stance
    /// reaches the upper end.
    pub stance_n_per_m: [f64; 3],
    /// What bracing adds to that, N/m; 0 to 20 000.
    pub brace_n_per_m: f64,
    /// Damping of the stance relative to critical; 0.1 to 3.
    pub stance_damping: f64,
    /// Time of a step of walking or placing, s; 0.1 to 2. From memory.
    pub step_s: f64,
    /// Time of a recovery step, s; 0.1 to 2. From memory.
    pub recovery_step_s: f64,
    /// Time in which a load that is let go of is expected to vanish, and one that is
    /// squeezed for to come, s; 0.02 to 2. A choice of this project: the trigger's way and
    /// the hose that runs empty.
    pub ease_s: f64,
    /// Time constant with which the arms follow what the hands are wanted to do, s;
    /// 0.02 to 1.
    pub reach_time_s: f64,
    /// The arms go no faster, m/s; 0.1 to 5. From memory.
    pub reach_m_s: f64,
    /// Stiffness of rested arms in the hands, N/m; 200 to 50 000.
    pub arm_n_per_m: f64,
    /// The same with the tool at the shoulder, N/m; from that of the arms to 100 000.
    pub shoulder_n_per_m: f64,
    /// Mass of tool and forearms, kg; 1 to 30.
    pub arm_mass_kg: f64,
    /// Damping of the arms relative to critical; 0.1 to 3.
    pub arm_damping: f64,
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
            stance_n_per_m: [3000.0, 4000.0, 5000.0],
            brace_n_per_m: 3000.0,
            stance_damping: 0.9,
            step_s: 0.42,
            recovery_step_s: 0.25,
            ease_s: 0.25,
            reach_time_s: 0.12,
            reach_m_s: 1.2,
            arm_n_per_m: 2500.0,
            shoulder_n_per_m: 10_000.0,
            arm_mass_kg: 6.0,
            arm_damping: 0.7,
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
            ("stance_n_per_m", self.stance_n_per_m[0], 500.0, 2e4),
            ("stance_n_per_m", self.stance_n_per_m[1], 500.0, 2e4),
            ("stance_n_per_m", self.stance_n_per_m[2], 500.0, 2e4),
            ("brace_n_per_m", self.brace_n_per_m, 0.0, 2e4),
            ("stance_damping", self.stance_damping, 0.1, 3.0),
            ("step_s", self.step_s, 0.1, 2.0),
            ("recovery_step_s", self.recovery_step_s, 0.1, 2.0),
            ("ease_s", self.ease_s, 0.02, 2.0),
            ("reach_time_s", self.reach_time_s, 0.02, 1.0),
            ("reach_m_s", self.reach_m_s, 0.1, 5.0),
            ("arm_n_per_m", self.arm_n_per_m, 200.0, 5e4),
            (
                "shoulder_n_per_m",
                self.shoulder_n_per_m,
                self.arm_n_per_m,
                1e5,
            ),
            ("arm_mass_kg", self.arm_mass_kg, 1.0, 30.0),
            ("arm_damping", self.arm_damping, 0.1, 3.0),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(BodyError { field, value });
            }
        }
        Ok(())
    }

    /// Stiffness with which the body holds its place over the feet, N/m.
    #[must_use]
    pub fn stiffness_n_per_m(&self, stance: Stance) -> f64 {
        let [normal, wide, staggered] = self.stance_n_per_m;
        match stance {
            Stance::Normal => normal,
            // Low and apart, it holds its place as the wide one does.
            Stance::Wide | Stance::Crouched => wide,
            Stance::Staggered => staggered,
        }
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
    /// Where the feet should be. Crouched, walking is up to 0.7 m/s.
    pub stance: Stance,
    /// Whether the tool should be at the shoulder.
    pub brace: bool,
    /// Shift of the hands ahead of their usual place over the feet, m; -0.25 to
    /// 0.30, held within that.
    pub hands_ahead_m: f64,
    /// Shift of the hands up from their usual height, m; -0.6 to 0.45, held within
    /// that. The centre of mass stays at its height, but for crouching.
    pub hands_up_m: f64,
    /// Whether only one hand is at the tool: it holds half of what two do (from memory: one
    /// hand of two, as strong as each other).
    pub one_hand: bool,
    /// Whether the hand is letting go of the trigger, or has: the body then expects
    /// the load to go within [`BodySpec::ease_s`] and not to come. Once
    /// that has passed it counts on what it feels, as ever.
    pub easing: bool,
    /// The part of the load that does not go with the trigger, N: what the hose does. Whoever
    /// has held it knows it, and counts on it. Nothing where it is not finite.
    pub lasting_n: DVec3,
    /// What the hand that squeezes the trigger knows to come on top of that, N: the body
    /// expects it within [`BodySpec::ease_s`] and braces against it. Nothing where nothing
    /// is squeezed, nothing is known, or it is not finite.
    pub coming_n: DVec3,
}

/// What happened to the body within one substep.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
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
    /// A foot caught on something that lies on the ground.
    pub tripped: bool,
    /// The body fell over an edge, onto ground so far below, m.
    pub dropped_m: f64,
    /// The hands could not hold what they held: it is out of them.
    pub lost_hold: bool,
}

impl BodyEvents {
    /// Adds what happened in another substep.
    pub fn merge(&mut self, other: Self) {
        self.stepped |= other.stepped;
        self.slipped |= other.slipped;
        self.fell |= other.fell;
        self.braced |= other.braced;
        self.brace_lost |= other.brace_lost;
        self.tripped |= other.tripped;
        self.dropped_m = self.dropped_m.max(other.dropped_m);
        self.lost_hold |= other.lost_hold;
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
