//! How much water a volume holds at a pressure: compression of the water and give of the wall.

use crate::water::CompressionCurve;
use serde::{Deserialize, Serialize};

/// Stiffness of a volume below atmospheric pressure, Pa, where gas and vapour come out of the
/// water: about a fifth of the volume turns void on the way down to the vapour pressure. Stands
/// for column separation; the real process is not modelled.
const VOID_MODULUS_PA: f64 = 5.0e5;

/// The liquid in the line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Liquid {
    /// Water, compressed fast.
    Water(CompressionCurve),
    /// A liquid whose stored mass grows in proportion to pressure: density and modulus are
    /// constant, as in the closed forms of text books. For comparison with those.
    Proportional {
        /// Density, kg/m3.
        density: f64,
        /// Modulus, Pa.
        modulus_pa: f64,
    },
}

/// One volume of the line.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Volume {
    /// Volume at atmospheric pressure, m3.
    pub m3: f64,
    /// One over the wall's modulus `Kh = V dP/dV`, 1/Pa; 0 for a rigid wall.
    pub wall_give_1_pa: f64,
}

/// Stored mass as a straight line in pressure: `mass = at_zero + slope p`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Linear {
    /// Mass at zero gauge pressure on this line, kg.
    pub at_zero_kg: f64,
    /// Slope, kg/Pa.
    pub slope_kg_pa: f64,
}

impl Liquid {
    /// Density at one atmosphere, kg/m3.
    pub fn atmospheric_density(&self) -> f64 {
        match self {
            Self::Water(water) => water.atmospheric_density(),
            Self::Proportional { density, .. } => *density,
        }
    }

    /// Density at a gauge pressure, kg/m3.
    pub fn density(&self, pressure_pa: f64) -> f64 {
        match self {
            Self::Water(water) => water.at(pressure_pa).density,
            Self::Proportional { density, .. } => *density,
        }
    }

    /// Mass in a volume at a gauge pressure, kg, and its slope, kg/Pa.
    pub fn stored(&self, volume: &Volume, pressure_pa: f64) -> (f64, f64) {
        if pressure_pa < 0.0 {
            let line = self.below_atmosphere(volume);
            return (
                line.at_zero_kg + line.slope_kg_pa * pressure_pa,
                line.slope_kg_pa,
            );
        }
        match self {
            Self::Water(water) => {
                let state = water.at(pressure_pa);
                let strain = pressure_pa * volume.wall_give_1_pa;
                let swollen = if strain > 0.0 {
                    volume.m3 * libm::exp(strain)
                } else {
                    volume.m3
                };
                let mass = state.density * swollen;
                (
                    mass,
                    mass * (1.0 / state.modulus_pa + volume.wall_give_1_pa),
                )
            }
            Self::Proportional {
                density,
                modulus_pa,
            } => {
                let rest = density * volume.m3;
                let give = 1.0 / modulus_pa + volume.wall_give_1_pa;
                (rest * (1.0 + pressure_pa * give), rest * give)
            }
        }
    }

    /// The tangent at a gauge pressure.
    pub fn tangent(&self, volume: &Volume, pressure_pa: f64) -> Linear {
        let (mass, slope) = self.stored(volume, pressure_pa);
        Linear {
            at_zero_kg: mass - slope * pressure_pa,
            slope_kg_pa: slope,
        }
    }

    /// The line below atmospheric pressure.
    pub fn below_atmosphere(&self, volume: &Volume) -> Linear {
        let rest = self.atmospheric_density() * volume.m3;
        Linear {
            at_zero_kg: rest,
            slope_kg_pa: rest / VOID_MODULUS_PA,
        }
    }
}

/// Elastic energy of compressed water, J/kg: what it can give back on the way from a gauge pressure
/// to atmosphere along a curve. A burst of release is quick, so the curve is the isentrope; its
/// water has the temperature that is meant after the release. Of water alone: a wall that gives
/// stores as much more as the modulus falls, `K / Ke` for small pressures.
pub fn elastic_energy_j_kg(water: &CompressionCurve, gauge_pa: f64) -> f64 {
    water.work_of_swelling_j_kg(gauge_pa)
}

/// The same for a cubic metre that is filled under the pressure, J/m3.
pub fn elastic_energy_j_m3(water: &CompressionCurve, gauge_pa: f64) -> f64 {
    water.at(gauge_pa).density * elastic_energy_j_kg(water, gauge_pa)
}

/// Effective bulk modulus of a liquid in a wall that gives: `1/Ke = 1/K + 1/Kh`, Pa.
pub fn effective_modulus_pa(liquid_modulus_pa: f64, wall_modulus_pa: f64) -> f64 {
    1.0 / (1.0 / liquid_modulus_pa + 1.0 / wall_modulus_pa)
}

/// Wave speed in a hose: `sqrt(Ke/rho)`, m/s.
pub fn wave_speed_m_s(effective_modulus_pa: f64, density: f64) -> f64 {
    (effective_modulus_pa / density).sqrt()
}

/// Wall modulus `V dP/dV` of a thick tube with closed form `E / (2 ((R^2+1)/(R^2-1) + nu))`,
/// `R` being outer over inner diameter, Pa.
pub fn thick_tube_modulus_pa(young_pa: f64, poisson: f64, outer_over_inner: f64) -> f64 {
    let r2 = outer_over_inner * outer_over_inner;
    young_pa / (2.0 * ((r2 + 1.0) / (r2 - 1.0) + poisson))
}
