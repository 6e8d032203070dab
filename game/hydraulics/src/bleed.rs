//! Bleed valve: a small valve from the manifold to atmosphere, to prove that there is no
//! pressure.

use crate::orifice::{Conductance, round_area_m2};
use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// Flow that an eye still sees as drops, kg/s (0.1 mL a second; common practice, no source).
/// Source: \[model\].
const VISIBLE_DRIP_KG_S: f64 = 1.0e-4;

/// A bleed valve.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BleedSpec {
    /// Bore when fully open, m; 1e-4 to 0.02.
    pub bore_m: f64,
    /// Discharge coefficient; 0.1 to 1.
    pub discharge_coefficient: f64,
}

impl BleedSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("bleed.bore_m", self.bore_m, 1.0e-4, 0.02);
        ranges.check(
            "bleed.discharge_coefficient",
            self.discharge_coefficient,
            0.1,
            1.0,
        );
        ranges.finish()
    }

    /// Conductance at an opening from 0 to 1 and a density, kg/m3: the area grows with the opening.
    /// Sources: \[bernoulli\], \[model\].
    pub fn conductance(&self, open: f64, density: f64) -> Conductance {
        let area = round_area_m2(self.bore_m) * open;
        Conductance::of_opening(self.discharge_coefficient, area, density)
    }
}

/// Whether water is still seen to come from an open bleed at this mass flow.
pub fn dripping(mass_flow_kg_s: f64) -> bool {
    mass_flow_kg_s > VISIBLE_DRIP_KG_S
}
