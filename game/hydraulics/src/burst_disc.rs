//! Burst disc: a membrane at the manifold that tears when the relief has failed, and stays torn.

use crate::dump::travelled;
use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// A burst disc.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BurstDiscSpec {
    /// Pressure at which it tears, Pa. The tolerance of a disc and its tiring are not modelled.
    pub burst_pressure_pa: f64,
    /// Bore of the way that it leaves open, m.
    pub bore_m: f64,
    /// Discharge coefficient of that way.
    pub discharge_coefficient: f64,
    /// Time from the first tear to the open bore, s.
    pub opening_time_s: f64,
}

impl BurstDiscSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        let burst = self.burst_pressure_pa;
        ranges.check("disc.burst_pressure_pa", burst, 1.0e5, 5.0e8);
        ranges.check("disc.bore_m", self.bore_m, 5.0e-4, 0.1);
        let cd = self.discharge_coefficient;
        ranges.check("disc.discharge_coefficient", cd, 0.1, 1.0);
        ranges.check("disc.opening_time_s", self.opening_time_s, 0.0, 1.0);
        ranges.finish()
    }
}

/// The disc as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct BurstDisc {
    /// It has torn.
    pub burst: bool,
    /// Opening of its bore, 0 to 1.
    pub opening: f64,
}

impl BurstDisc {
    /// Tears if the pressure was too high for it, and opens for a time step: an area that grows evenly.
    /// Source: \[model\].
    pub fn step(&mut self, spec: &BurstDiscSpec, pressure_pa: f64, dt_s: f64) {
        self.burst |= pressure_pa >= spec.burst_pressure_pa;
        if self.burst {
            self.opening = travelled(self.opening, 1.0, spec.opening_time_s, dt_s);
        }
    }

    /// Conductance at the present opening and a density, kg/m3. Source: \[bernoulli\].
    pub fn conductance(&self, spec: &BurstDiscSpec, density: f64) -> Conductance {
        let area = round_area_m2(spec.bore_m) * self.opening;
        Conductance::of_opening(spec.discharge_coefficient, area, density)
    }
}
