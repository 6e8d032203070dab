//! How much water a volume holds at a pressure: compression of the water and give of the wall.

use crate::constant;
use crate::polynomial::{crowded, through, value_and_slope};
use crate::water::CompressionCurve;
use serde::{Deserialize, Serialize};

/// Stiffness of a volume below atmospheric pressure, Pa, where gas and vapour come out of the
/// water: about a fifth of the volume turns void on the way down to the vapour pressure. Stands
/// for column separation; the real process is not modelled. Source: \[model\].
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
    /// Source: \[wave_speed\].
    pub wall_give_1_pa: f64,
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

    /// Mass in a volume at a gauge pressure, kg, and its slope, kg/Pa: `m = rho(P) V exp(P / Kh)`.
    /// Sources: \[continuity\], \[model\].
    pub fn stored(&self, volume: &Volume, pressure_pa: f64) -> (f64, f64) {
        if pressure_pa < 0.0 {
            let rest = self.atmospheric_density() * volume.m3;
            let modulus = constant::VOID.at(0, VOID_MODULUS_PA);
            return (rest * (1.0 + pressure_pa / modulus), rest / modulus);
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
}

/// Places at which a [`Law`] is right.
const PLACES: usize = 11;
/// Pressure up to which it is one curve, Pa, unless the wall has given by [`TOP_STRAIN`] before;
/// above, it goes on straight.
const TOP_PA: f64 = 3.2e8;
/// See [`TOP_PA`]: no hose lives to see it.
const TOP_STRAIN: f64 = 0.4;

/// Pressure from stored mass, of one volume or several under one pressure. Mass is what the line
/// carries, so this is asked for everywhere in every step, and is a polynomial: within 1e-6 of
/// the pressure that [`Liquid::stored`] belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Law {
    /// Mass at atmospheric pressure, kg.
    at_zero_kg: f64,
    /// What the mass gains up to the top, kg, and over it, 1/kg.
    gain_kg: f64,
    per_gain_1_kg: f64,
    /// Pressure over the share of the gain, over that share, by rising powers, Pa.
    powers: [f64; PLACES],
}

impl Law {
    /// Of volumes that share one pressure.
    pub fn of(liquid: &Liquid, volumes: &[Volume]) -> Self {
        let stored = |p: f64| {
            let each = volumes.iter().map(|v| liquid.stored(v, p));
            each.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
        };
        let softest = volumes.iter().map(|v| v.wall_give_1_pa).fold(0.0, f64::max);
        let top_pa = if softest * TOP_PA > TOP_STRAIN {
            TOP_STRAIN / softest
        } else {
            TOP_PA
        };
        let at_zero_kg = stored(0.0).0;
        let gain_kg = stored(top_pa).0 - at_zero_kg;
        let slope_at_zero = gain_kg / stored(0.0).1;
        let at = crowded::<PLACES>();
        let over_share = at.map(|share| {
            if share <= 0.0 {
                return slope_at_zero;
            }
            // Newton's method: the stored mass is a smooth, rising function.
            let want = at_zero_kg + share * gain_kg;
            let mut p = share * top_pa;
            for _ in 0..50 {
                let (mass, slope) = stored(p);
                let step = (want - mass) / slope;
                p += step;
                if step.abs() < 1.0e-6 {
                    break;
                }
            }
            p / share
        });
        Self {
            at_zero_kg,
            gain_kg,
            per_gain_1_kg: 1.0 / gain_kg,
            powers: through(&at, over_share),
        }
    }

    /// Mass at atmospheric pressure, kg.
    pub fn at_zero_kg(&self) -> f64 {
        self.at_zero_kg
    }

    /// Mass at which the straight part above begins, kg.
    pub fn top_kg(&self) -> f64 {
        self.at_zero_kg + self.gain_kg
    }

    /// Mass at a gauge pressure, kg.
    pub fn mass_kg(&self, pressure_pa: f64) -> f64 {
        let mut mass = self.at_zero_kg;
        for _ in 0..50 {
            let (p, slope) = self.pressure_and_slope(mass);
            let step = (pressure_pa - p) / slope;
            mass += step;
            if step.abs() <= 1.0e-16 * mass {
                break;
            }
        }
        mass
    }

    /// Gauge pressure, Pa.
    pub fn pressure_pa(&self, mass_kg: f64) -> f64 {
        let share = (mass_kg - self.at_zero_kg) * self.per_gain_1_kg;
        if (0.0..=1.0).contains(&share) {
            let over_share = self.powers.iter().rev().fold(0.0, |sum, c| sum * share + c);
            return over_share * share;
        }
        self.beyond(mass_kg, share).0
    }

    /// Gauge pressures, Pa, of as many masses.
    pub fn pressures_pa(&self, masses_kg: &[f64], pressures_pa: &mut [f64]) {
        let (mut least, mut most) = (0.0_f64, 0.0_f64);
        for (mass, pressure) in masses_kg.iter().zip(pressures_pa.iter_mut()) {
            let share = (mass - self.at_zero_kg) * self.per_gain_1_kg;
            let mut over_share = 0.0;
            for c in self.powers.iter().rev() {
                over_share = over_share * share + c;
            }
            *pressure = over_share * share;
            least = if share < least { share } else { least };
            most = if share > most { share } else { most };
        }
        if least < 0.0 || most > 1.0 {
            for (mass, pressure) in masses_kg.iter().zip(pressures_pa) {
                *pressure = self.pressure_pa(*mass);
            }
        }
    }

    /// Gauge pressure, Pa, and its slope, Pa/kg.
    pub fn pressure_and_slope(&self, mass_kg: f64) -> (f64, f64) {
        let share = (mass_kg - self.at_zero_kg) * self.per_gain_1_kg;
        if (0.0..=1.0).contains(&share) {
            let (over_share, slope) = value_and_slope(&self.powers, share);
            return (
                over_share * share,
                (over_share + slope * share) * self.per_gain_1_kg,
            );
        }
        self.beyond(mass_kg, share)
    }

    /// Integral of pressure over mass from atmosphere on, Pa kg.
    pub fn work_pa_kg(&self, mass_kg: f64) -> f64 {
        let above = mass_kg - self.at_zero_kg;
        let share = above * self.per_gain_1_kg;
        if share < 0.0 {
            return 0.5 * above * self.pressure_pa(mass_kg);
        }
        let within = share.min(1.0);
        let mut sum = 0.0;
        for (power, c) in self.powers.iter().enumerate().rev() {
            sum = sum * within + c / (power + 2) as f64;
        }
        let curved = self.gain_kg * within * within * sum;
        let straight_kg = (above - self.gain_kg).max(0.0);
        let at_top = self.pressure_pa(self.top_kg());
        curved + straight_kg * 0.5 * (at_top + self.pressure_pa(mass_kg))
    }

    /// Below atmosphere and above the top.
    fn beyond(&self, mass_kg: f64, share: f64) -> (f64, f64) {
        if share < 0.0 {
            let slope = constant::VOID.at(0, VOID_MODULUS_PA) / self.at_zero_kg;
            return ((mass_kg - self.at_zero_kg) * slope, slope);
        }
        let (over_share, slope) = value_and_slope(&self.powers, 1.0);
        let slope = (over_share + slope) * self.per_gain_1_kg;
        let above_kg = mass_kg - self.at_zero_kg - self.gain_kg;
        (over_share + slope * above_kg, slope)
    }
}

/// Elastic energy of compressed water, J/kg: what it can give back on the way from a gauge pressure
/// to atmosphere along a curve. A burst of release is quick, so the curve is the isentrope; its
/// water has the temperature that is meant after the release. Of water alone: a wall that gives
/// stores as much more as the modulus falls, `K / Ke` for small pressures.
/// Sources: \[thermodynamics\], \[wave_speed\].
pub fn elastic_energy_j_kg(water: &CompressionCurve, gauge_pa: f64) -> f64 {
    water.work_of_swelling_j_kg(gauge_pa)
}

/// The same for a cubic metre that is filled under the pressure, J/m3. Source: \[thermodynamics\].
pub fn elastic_energy_j_m3(water: &CompressionCurve, gauge_pa: f64) -> f64 {
    water.at(gauge_pa).density * elastic_energy_j_kg(water, gauge_pa)
}

/// Effective bulk modulus of a liquid in a wall that gives: `1/Ke = 1/K + 1/Kh`, Pa.
/// Source: \[wave_speed\].
pub fn effective_modulus_pa(liquid_modulus_pa: f64, wall_modulus_pa: f64) -> f64 {
    1.0 / (1.0 / liquid_modulus_pa + 1.0 / wall_modulus_pa)
}

/// Wave speed in a hose: `sqrt(Ke/rho)`, m/s. Source: \[wave_speed\].
pub fn wave_speed_m_s(effective_modulus_pa: f64, density: f64) -> f64 {
    (effective_modulus_pa / density).sqrt()
}

/// Wall modulus `V dP/dV` of a thick tube with closed form `E / (2 ((R^2+1)/(R^2-1) + nu))`,
/// `R` being outer over inner diameter, above 1, Pa. Elastic, no stress along the
/// tube; what its change of length adds is left out.
/// Source: \[lame\].
pub fn thick_tube_modulus_pa(young_pa: f64, poisson: f64, outer_over_inner: f64) -> f64 {
    let r2 = outer_over_inner * outer_over_inner;
    young_pa / (constant::THICK_TUBE.at(0, 2.0) * ((r2 + 1.0) / (r2 - 1.0) + poisson))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::water::Water;

    /// The claim of [`Law`]: the line carries masses, and this is all that ties them to pressures.
    #[test]
    fn a_law_gives_back_the_pressure_that_a_mass_belongs_to() {
        let liquid = Liquid::Water(Water::at_celsius(15.0).isentrope());
        let volume = |m3, wall_pa: f64| Volume {
            m3,
            wall_give_1_pa: 1.0 / wall_pa,
        };
        for volumes in [
            vec![volume(1.0e-3, f64::INFINITY)],
            vec![volume(2.0e-4, 6.0e9)],
            vec![volume(2.0e-4, 2.0e9), volume(4.0e-4, f64::INFINITY)],
            vec![volume(2.0e-4, 8.0e8), volume(1.0e-4, 4.0e9)],
            vec![volume(2.0e-4, 2.0e8)],
        ] {
            let law = Law::of(&liquid, &volumes);
            let stored = |p: f64| -> f64 { volumes.iter().map(|v| liquid.stored(v, p).0).sum() };
            let top_pa = law.pressure_pa(law.top_kg());
            let mut work = 0.0;
            let steps = 2_000;
            for step in 1..=steps {
                let [before, p] =
                    [step - 1, step].map(|n| top_pa * f64::from(n) / f64::from(steps));
                let got = law.pressure_pa(stored(p));
                assert!((got / p - 1.0).abs() < 1.0e-6, "{p} Pa: {got}");
                let (also, slope) = law.pressure_and_slope(stored(p));
                assert!((also / got - 1.0).abs() < 1.0e-12);
                let by_steps = (p - before) / (stored(p) - stored(before));
                assert!(
                    (slope / by_steps - 1.0).abs() < 0.005,
                    "{p} Pa: {slope} {by_steps}"
                );
                assert!((law.mass_kg(p) / stored(p) - 1.0).abs() < 1.0e-7);
                work += 0.5 * (before + p) * (stored(p) - stored(before));
                assert!((law.work_pa_kg(stored(p)) / work - 1.0).abs() < 1.0e-3);
            }
            // Straight on above, and soft where it is not full.
            let above = law.pressure_pa(1.01 * law.top_kg());
            assert!(above > top_pa);
            let (void, slope) = law.pressure_and_slope(0.9 * law.at_zero_kg());
            assert!((void / (-0.1 * VOID_MODULUS_PA) - 1.0).abs() < 1.0e-9 && slope > 0.0);
        }
    }
}
