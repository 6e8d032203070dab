//! How long a muscle holds: static endurance after Rohmert.

use serde::{Deserialize, Serialize};

/// Below this part of the greatest force, holding is taken as endless.
pub const ENDLESS_BELOW: f64 = 0.15;

/// Time, s, for which a constant `fraction` of the greatest force can be held;
/// `None` below 0.15, where it has no end. Above 1 as at 1.
///
/// Source: Rohmert 1960, `T[min] = -1.5 + 2.1/f - 0.6/f^2 + 0.1/f^3` (the
/// coefficients from memory).
#[must_use]
pub fn endurance_s(fraction: f64) -> Option<f64> {
    if fraction.is_nan() || fraction < ENDLESS_BELOW {
        return None;
    }
    let f = fraction.min(1.0);
    Some(60.0 * (-1.5 + 2.1 / f - 0.6 / (f * f) + 0.1 / (f * f * f)))
}

/// What is left of the operator's strength, as a store that drains and fills.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Strength {
    left: f64,
}

impl Default for Strength {
    fn default() -> Self {
        Self { left: 1.0 }
    }
}

impl Strength {
    /// What is left, 1 when rested, 0 when exhausted.
    #[must_use]
    pub fn left(&self) -> f64 {
        self.left
    }

    /// Holds `fraction` of the greatest force for `dt` seconds. Below the endless
    /// fraction the store fills at an even rate that takes `recovery_s` for the whole.
    pub fn hold(&mut self, dt: f64, fraction: f64, recovery_s: f64) {
        let rate = match endurance_s(fraction) {
            Some(time) => -1.0 / time,
            None => 1.0 / recovery_s,
        };
        self.left = (self.left + dt * rate).clamp(0.0, 1.0);
    }
}

/// More than the greatest force is borne for as long as the excess, in units of that force, adds
/// up to this over time, s: twice the force for this long. A choice of this project.
const OVERLOAD_S: f64 = 0.15;

/// Whether the hands still hold what they hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Grip {
    overload_s: f64,
    lost: bool,
}

impl Grip {
    /// Holds `fraction` of the greatest force for `dt` seconds with so much of the strength
    /// `left`, and says whether the hold was lost just now: by more than the hands bear, or for
    /// want of strength. It is taken anew once there is nothing more to hold than is endless.
    pub fn hold(&mut self, dt: f64, fraction: f64, left: f64) -> bool {
        let over = fraction - 1.0;
        self.overload_s = (self.overload_s + dt * over).max(0.0);
        if fraction < ENDLESS_BELOW {
            self.lost = false;
            return false;
        }
        let loses = self.overload_s > OVERLOAD_S || left <= 0.0;
        let now = loses && !self.lost;
        self.lost |= loses;
        now
    }
}
