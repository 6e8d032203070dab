//! Lubricating oil: how thick it is over temperature.

use crate::constant;
use crate::spec::Ranges;
use crate::units::KELVIN_AT_ZERO_CELSIUS;
use serde::{Deserialize, Serialize};

/// Temperatures between which the equation is used, degC; others are held at the ends. Mineral
/// oils below their pour point do not follow it. Source: \[model\].
const RANGE_C: (f64, f64) = (-30.0, 150.0);

/// The two temperatures at which a grade is given, degC. Source: \[iso3448\].
const GIVEN_C: (f64, f64) = (40.0, 100.0);

/// Square metres a second in a square millimetre a second.
const MM2: f64 = 1.0e-6;

/// An oil. Density and heat capacity are taken as the same at all temperatures. Source: \[model\].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OilSpec {
    /// Kinematic viscosity at 40 degC, m2/s: the number of its ISO grade, in mm2/s.
    pub viscosity_40_m2_s: f64,
    /// Kinematic viscosity at 100 degC, m2/s.
    pub viscosity_100_m2_s: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Heat capacity, J/(kg K).
    pub heat_j_kg_k: f64,
}

impl OilSpec {
    pub(crate) fn check(&self, r: &mut Ranges) {
        // Above 2 mm2/s the equation needs no further terms.
        let at_40 = self.viscosity_40_m2_s;
        r.check("oil.viscosity_40_m2_s", at_40, 5.0 * MM2, 2_000.0 * MM2);
        let most = at_40.max(5.0 * MM2);
        let at_100 = self.viscosity_100_m2_s;
        r.check("oil.viscosity_100_m2_s", at_100, 2.0 * MM2, most);
        r.check("oil.density_kg_m3", self.density_kg_m3, 700.0, 1_200.0);
        r.check("oil.heat_j_kg_k", self.heat_j_kg_k, 1_000.0, 4_000.0);
    }

    /// Kinematic viscosity at a temperature, m2/s: with v in mm2/s and T in K,
    /// `log(log(v + 0.7)) = a - b log(T)` is straight through the two points of the grade. Without
    /// the terms that count below 2 mm2/s. Sources: \[astm_d341\], \[iso3448\].
    pub fn kinematic_m2_s(&self, temperature_c: f64) -> f64 {
        const SHIFT: f64 = 0.7;
        let shift = constant::WALTHER.at(0, SHIFT);
        let zero_k = constant::KELVIN.at(0, KELVIN_AT_ZERO_CELSIUS);
        let place = |c: f64| libm::log(c + zero_k);
        let height = |m2_s: f64| libm::log(libm::log(m2_s / MM2 + shift));
        let (from, to) = (place(GIVEN_C.0), place(GIVEN_C.1));
        let (high, low) = (
            height(self.viscosity_40_m2_s),
            height(self.viscosity_100_m2_s),
        );
        let at = place(temperature_c.clamp(RANGE_C.0, RANGE_C.1));
        let here = high + (low - high) * (at - from) / (to - from);
        MM2 * (libm::exp(libm::exp(here)) - shift)
    }

    /// Dynamic viscosity at a temperature, Pa s. Source: \[astm_d341\].
    pub fn dynamic_pa_s(&self, temperature_c: f64) -> f64 {
        self.kinematic_m2_s(temperature_c) * self.density_kg_m3
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GEAR: OilSpec = OilSpec {
        viscosity_40_m2_s: 220.0e-6,
        viscosity_100_m2_s: 18.75e-6,
        density_kg_m3: 890.0,
        heat_j_kg_k: 1_900.0,
    };

    #[test]
    fn a_grade_has_its_own_viscosity_at_its_two_temperatures_and_thins_with_heat() {
        for (c, want) in [(40.0, 220.0e-6), (100.0, 18.75e-6)] {
            let found = GEAR.kinematic_m2_s(c);
            assert!((found / want - 1.0).abs() < 1e-9, "{c}: {found}");
        }
        let mut last = f64::INFINITY;
        for c in -30..=150 {
            let now = GEAR.kinematic_m2_s(f64::from(c));
            assert!(now < last, "{c}");
            last = now;
        }
        assert_eq!(GEAR.kinematic_m2_s(-60.0), GEAR.kinematic_m2_s(-30.0));
    }

    #[test]
    fn an_oil_that_thickens_with_heat_is_refused() {
        let mut r = Ranges::default();
        OilSpec {
            viscosity_100_m2_s: 230.0e-6,
            ..GEAR
        }
        .check(&mut r);
        assert_eq!(r.finish().unwrap_err()[0].field, "oil.viscosity_100_m2_s");
    }
}
