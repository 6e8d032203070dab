//! Relief valve: opens above its setting and passes its full flow at the setting plus its
//! accumulation.

use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// A relief valve. The lift grows in proportion to the pressure above the setting; sticking,
/// blow-down of the seat and chatter are not modelled. Source: \[model\].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReliefSpec {
    /// Setting: the pressure at which it begins to open, Pa.
    pub set_pressure_pa: f64,
    /// Rise above the setting, as a fraction of it, at which the full flow passes.
    pub accumulation: f64,
    /// Full flow at the setting plus accumulation, kg/s.
    pub full_flow_kg_s: f64,
}

impl ReliefSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("relief.set_pressure_pa", self.set_pressure_pa, 1.0e5, 5.0e8);
        ranges.check("relief.accumulation", self.accumulation, 0.005, 0.5);
        ranges.check("relief.full_flow_kg_s", self.full_flow_kg_s, 1.0e-3, 100.0);
        ranges.finish()
    }

    /// Pressure at which the full flow passes, Pa: what every part of the line must be rated for.
    pub fn full_flow_pressure_pa(&self) -> f64 {
        self.set_pressure_pa * (1.0 + self.accumulation)
    }

    /// Mass flow (kg/s) and its slope (kg/(s Pa)) at a manifold pressure, Pa:
    /// `m = full flow min(1, over / band) sqrt(P / P of full flow)`; nothing up to the setting.
    ///
    /// Sources: \[bernoulli\], \[model\].
    pub fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let over = pressure_pa - self.set_pressure_pa;
        if over <= 0.0 {
            return (0.0, 0.0);
        }
        let full = self.full_flow_pressure_pa();
        let root = (pressure_pa / full).sqrt();
        let band = self.set_pressure_pa * self.accumulation;
        let lift = (over / band).min(1.0);
        let lift_slope = if over < band { 1.0 / band } else { 0.0 };
        (
            self.full_flow_kg_s * lift * root,
            self.full_flow_kg_s * (lift_slope * root + lift * 0.5 * root / pressure_pa),
        )
    }
}
