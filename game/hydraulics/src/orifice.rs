//! Square-root flow through an opening, and its slope, smooth at zero pressure.

use crate::constant;
use serde::{Deserialize, Serialize};

/// Pressure below which the square-root law bends into a straight line, so that its slope stays
/// finite at zero. It takes 0.05 % off the flow at 1 bar and nothing at working pressure.
/// Source: \[model\].
const BEND_PA: f64 = 100.0;

/// Conductance of an opening: mass flow over the square root of the pressure drop, kg/(s sqrt Pa).
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Conductance(pub f64);

impl Conductance {
    /// From discharge coefficient, area (m2) and density (kg/m3): `Cd A sqrt(2 rho)`.
    /// Source: \[bernoulli\].
    pub fn of_opening(cd: f64, area_m2: f64, density: f64) -> Self {
        Self((cd * area_m2).max(0.0) * (2.0 * density).sqrt())
    }

    /// Two openings one after the other, `1/K^2 = 1/K1^2 + 1/K2^2`; nothing passes if either
    /// is shut. Source: \[bernoulli\].
    pub fn in_series(self, other: Self) -> Self {
        if self.0 <= 0.0 || other.0 <= 0.0 {
            return Self(0.0);
        }
        // Written so that an opening without loss (infinite) leaves the other unchanged.
        Self(1.0 / (1.0 / (self.0 * self.0) + 1.0 / (other.0 * other.0)).sqrt())
    }

    /// Of a valve and its passage: loss `K + S (1/s^2 - 1)` on the passage's area (m2) at opening s, in
    /// water of a density, kg/m3; without loss it is infinite. Sources: \[bernoulli\], \[model\].
    pub fn of_seat(loss: f64, seat_loss: f64, opening: f64, area_m2: f64, density: f64) -> Self {
        if opening <= 0.0 {
            return Self(0.0);
        }
        let loss = loss + seat_loss * (1.0 / (opening * opening) - 1.0);
        if loss <= 0.0 {
            return Self(f64::INFINITY);
        }
        Self(area_m2 * (2.0 * density / loss).sqrt())
    }

    /// Mass flow out to atmosphere at a gauge pressure, kg/s: `m = K P / sqrt(P + bend)`, the
    /// square root but for the bend at 100 Pa; none back in. Sources: \[bernoulli\], \[model\].
    pub fn mass_flow(self, gauge_pa: f64) -> f64 {
        if gauge_pa <= 0.0 {
            0.0
        } else {
            self.0 * gauge_pa / (gauge_pa + constant::BEND.at(0, BEND_PA)).sqrt()
        }
    }

    /// Slope of [`Self::mass_flow`] with pressure, kg/(s Pa). Source: \[mathematics\].
    pub fn slope(self, gauge_pa: f64) -> f64 {
        let p = gauge_pa.max(0.0);
        let bend = constant::BEND.at(0, BEND_PA);
        let bent = p + bend;
        self.0 * (0.5 * p + bend) / (bent * bent.sqrt())
    }
}

/// Area of a round bore, m2: `pi d^2 / 4`. Source: \[mathematics\].
pub fn round_area_m2(diameter_m: f64) -> f64 {
    core::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}
