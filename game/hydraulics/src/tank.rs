//! Supply tank: what the bypass returns to it warms it, fresh water keeps it full.

use crate::spec::{Ranges, SpecError};
use crate::water::{ATMOSPHERE_PA, Water};
use serde::{Deserialize, Serialize};

/// Hottest the tank is reported, degC: beyond, water would boil off. Source: \[model\].
const HOTTEST_C: f64 = 99.0;

/// A supply tank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TankSpec {
    /// Water in the tank, kept constant by its float valve, m3.
    pub volume_m3: f64,
    /// Temperature of the fresh supply, degC.
    pub temperature_c: f64,
    /// Fraction of the bypass flow that returns to the tank (the rest goes to drain).
    pub bypass_return: f64,
}

impl TankSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("tank.volume_m3", self.volume_m3, 0.01, 1_000.0);
        ranges.check("tank.temperature_c", self.temperature_c, 1.0, 60.0);
        ranges.check("tank.bypass_return", self.bypass_return, 0.0, 1.0);
        ranges.finish()
    }
}

/// The tank's state.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Tank {
    /// Temperature of the mixed water, degC.
    pub temperature_c: f64,
    /// Its mass, that of the full tank at the temperature of the fresh supply, kg.
    mass_kg: f64,
}

impl Tank {
    /// Full, at a temperature.
    pub fn new(spec: &TankSpec, temperature_c: f64) -> Self {
        let density = Water::at_celsius(spec.temperature_c).density(ATMOSPHERE_PA);
        Self {
            temperature_c,
            mass_kg: spec.volume_m3 * density,
        }
    }

    /// Mixes in one time step: `drawn` and `bypassed` in kg/s; the bypass arrives warmer than
    /// the tank by `rise_k`. Sources: \[continuity\], \[thermodynamics\].
    pub fn step(&mut self, spec: &TankSpec, drawn: f64, bypassed: f64, rise_k: f64, dt_s: f64) {
        let returned = bypassed * spec.bypass_return;
        let fresh = (drawn - returned).max(0.0);
        let change = (returned * rise_k + fresh * (spec.temperature_c - self.temperature_c))
            / self.mass_kg
            * dt_s;
        self.temperature_c = (self.temperature_c + change).clamp(0.0, HOTTEST_C);
    }
}
