//! Nozzle: mass flow, jet speed and thrust from the pressure at its inlet.

use crate::controls::fraction;
use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use crate::water::CompressionCurve;
use serde::{Deserialize, Serialize};

/// A round nozzle, or several equal ones.
///
/// `m = n Cd A rho_a psi sqrt(2 P / rho_a)`: the water leaves at atmospheric density, at the
/// speed that its compression and pressure give it. Wear enlarges the area, a blockage takes
/// from it. Within 0.1 % of isentropic expansion up to 3,000 bar but for the coefficient itself.
///
/// Sources: \[bernoulli\], \[continuity\], \[thermodynamics\].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct NozzleSpec {
    /// Bore when new, m.
    pub bore_m: f64,
    /// Number of equal bores.
    pub count: u8,
    /// Discharge coefficient.
    pub discharge_coefficient: f64,
    /// Velocity coefficient: real speed of the jet over the ideal one. 1 for the thrust of the
    /// ideal law; 0.92 to 0.99 for real nozzles (from memory). Source: \[memory\].
    pub velocity_coefficient: f64,
    /// Flow area gained by wear, as a fraction of the new one.
    pub worn: f64,
    /// Fraction of the area that is blocked.
    pub blocked: f64,
}

/// A jet as it leaves.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Jet {
    /// Mass flow, kg/s.
    pub mass_flow_kg_s: f64,
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// Thrust on the tool, N: momentum flux `m v`. Source: \[continuity\].
    pub thrust_n: f64,
}

impl NozzleSpec {
    /// A new nozzle with one round bore.
    pub const fn round(bore_m: f64, cd: f64, cv: f64) -> Self {
        Self {
            bore_m,
            count: 1,
            discharge_coefficient: cd,
            velocity_coefficient: cv,
            worn: 0.0,
            blocked: 0.0,
        }
    }

    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("nozzle.bore_m", self.bore_m, 5.0e-5, 0.1);
        ranges.check("nozzle.count", f64::from(self.count), 1.0, 64.0);
        ranges.check(
            "nozzle.discharge_coefficient",
            self.discharge_coefficient,
            0.1,
            1.0,
        );
        ranges.check(
            "nozzle.velocity_coefficient",
            self.velocity_coefficient,
            0.1,
            1.0,
        );
        ranges.check("nozzle.worn", self.worn, 0.0, 2.0);
        ranges.check("nozzle.blocked", self.blocked, 0.0, 1.0);
        ranges.finish()
    }

    /// Flow area with wear and blockage, m2: `A = n pi d^2 / 4 (1 + worn) (1 - blocked)`. Values out
    /// of range are held, never trusted. Sources: \[mathematics\], \[model\].
    pub fn area_m2(&self) -> f64 {
        let bore = if self.bore_m.is_finite() {
            self.bore_m.clamp(0.0, 0.1)
        } else {
            0.0
        };
        let worn = if self.worn.is_finite() {
            self.worn.clamp(0.0, 2.0)
        } else {
            0.0
        };
        let open = 1.0 - fraction(self.blocked);
        f64::from(self.count) * round_area_m2(bore) * (1.0 + worn) * open
    }

    /// Conductance at an inlet pressure. It depends on pressure only through psi, which changes
    /// by a percent over 1,000 bar, so it may be taken at the pressure of a step ago.
    /// Sources: \[bernoulli\], \[thermodynamics\].
    pub fn conductance(&self, water: &CompressionCurve, pressure_pa: f64) -> Conductance {
        let psi = water.psi_squared(pressure_pa).sqrt();
        let cd = fraction(self.discharge_coefficient);
        Conductance::of_opening(cd * psi, self.area_m2(), water.atmospheric_density())
    }

    /// Mass flow at an inlet pressure, Pa, kg/s: the law above. Source: \[bernoulli\].
    pub fn mass_flow(&self, water: &CompressionCurve, pressure_pa: f64) -> f64 {
        self.conductance(water, pressure_pa).mass_flow(pressure_pa)
    }

    /// Inlet pressure needed for a mass flow, Pa; infinite through a nozzle with no area. The law
    /// above the other way round, to rounding. Source: \[bernoulli\].
    pub fn pressure_for(&self, water: &CompressionCurve, mass_flow_kg_s: f64) -> f64 {
        let mut pressure = 0.0;
        // psi changes slowly, so this settles to rounding in a few rounds.
        for _ in 0..12 {
            let k = self.conductance(water, pressure).0;
            if k <= 0.0 {
                return f64::INFINITY;
            }
            let root = mass_flow_kg_s / k;
            pressure = root * root;
        }
        pressure
    }

    /// The jet at an inlet pressure, Pa, carrying a mass flow, kg/s: `v = Cv` times the ideal
    /// speed, `F = m v`. Sources: \[bernoulli\], \[continuity\].
    pub fn jet(&self, water: &CompressionCurve, pressure_pa: f64, mass_flow_kg_s: f64) -> Jet {
        let speed = fraction(self.velocity_coefficient) * ideal_speed(water, pressure_pa);
        Jet {
            mass_flow_kg_s,
            speed_m_s: speed,
            thrust_n: thrust(mass_flow_kg_s, speed),
        }
    }
}

/// Speed of water let down from a gauge pressure to atmosphere without loss, m/s:
/// `v = psi sqrt(2 P / rho_a)`; psi is held beyond 3,200 bar.
/// Sources: \[bernoulli\], \[thermodynamics\].
pub fn ideal_speed(water: &CompressionCurve, pressure_pa: f64) -> f64 {
    let p = pressure_pa.max(0.0);
    (water.psi_squared(p) * 2.0 * p / water.atmospheric_density()).sqrt()
}

/// Thrust of a jet on what it leaves: mass flow times speed, N. A liquid jet leaves at
/// atmospheric pressure, so no pressure term is added; bends and hose shape do not change it.
/// Source: \[continuity\].
pub fn thrust(mass_flow_kg_s: f64, speed_m_s: f64) -> f64 {
    mass_flow_kg_s * speed_m_s
}
