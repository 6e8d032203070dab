//! A hose: its data, its friction loss, and how it is cut into cells.

use crate::friction::{REYNOLDS_FLOOR, churchill};
use crate::line::MAX_CELLS;
use crate::orifice::round_area_m2;
use crate::spec::{Ranges, SpecError};
use crate::storage::{Volume, effective_modulus_pa, wave_speed_m_s};
use serde::{Deserialize, Serialize};

/// One hose of a string.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct HoseSpec {
    /// Bore, m.
    pub bore_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Roughness of the liner, m.
    pub roughness_m: f64,
    /// Wall modulus `Kh = V dP/dV`, Pa: spiral steel 2 to 6 GPa, braided steel 0.8 to 2,
    /// textile 0.2 to 0.6 (from memory). Sources: \[wave_speed\], \[memory\].
    pub wall_modulus_pa: f64,
    /// Loss coefficient of both end fittings together, on the bore.
    pub fitting_loss: f64,
    /// Working pressure it is rated for, Pa. Not acted on here.
    pub rated_pressure_pa: f64,
    /// Number of cells it is cut into; see [`HoseSpec::suggested_cells`].
    pub cells: u16,
}

impl HoseSpec {
    /// All values out of range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut r = Ranges::default();
        r.check("hose.bore_m", self.bore_m, 5.0e-4, 0.3);
        r.check("hose.length_m", self.length_m, 0.1, 1_000.0);
        r.check("hose.roughness_m", self.roughness_m, 0.0, 1.0e-3);
        r.check("hose.wall_modulus_pa", self.wall_modulus_pa, 1.0e7, 1.0e12);
        r.check("hose.fitting_loss", self.fitting_loss, 0.0, 50.0);
        r.check(
            "hose.rated_pressure_pa",
            self.rated_pressure_pa,
            1.0e5,
            1.0e9,
        );
        let most = f64::from(MAX_CELLS);
        r.check("hose.cells", f64::from(self.cells), 1.0, most);
        r.finish()
    }

    /// The same hose, so long and cut into as many cells as that asks for.
    pub fn laid(&self, length_m: f64) -> Self {
        Self {
            length_m,
            cells: Self::suggested_cells(length_m, self.wall_modulus_pa),
            ..self.clone()
        }
    }

    /// Cells for a length and a wall: so many that a wave passes each in one substep of 1/960 s or
    /// a little more at any pressure up to 3,200 bar, at least one.
    /// Sources: \[wave_speed\], \[iapws95\].
    pub fn suggested_cells(length_m: f64, wall_modulus_pa: f64) -> u16 {
        // Water at 3,200 bar and 20 degC is the stiffest there is (IAPWS-95).
        const STIFFEST_PA: f64 = 4.3e9;
        const ITS_DENSITY: f64 = 1_111.0;
        let modulus = effective_modulus_pa(STIFFEST_PA, wall_modulus_pa);
        let way_m = wave_speed_m_s(modulus, ITS_DENSITY) / 960.0;
        libm::floor(length_m / way_m).clamp(1.0, f64::from(MAX_CELLS)) as u16
    }

    fn cell_length_m(&self) -> f64 {
        self.length_m / f64::from(self.cells)
    }

    /// What half a cell stores at the node beside it.
    pub(crate) fn half_cell(&self) -> Volume {
        Volume {
            m3: 0.5 * round_area_m2(self.bore_m) * self.cell_length_m(),
            wall_give_1_pa: 1.0 / self.wall_modulus_pa,
        }
    }

    /// The way through one cell, without fittings.
    pub(crate) fn cell(&self) -> Passage {
        Passage {
            bore_m: self.bore_m,
            length_m: self.cell_length_m(),
            roughness_m: self.roughness_m,
            loss: 0.0,
        }
    }
}

/// A length of bore with friction and a local loss.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Passage {
    /// Bore, m.
    pub bore_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Roughness, m.
    pub roughness_m: f64,
    /// Local loss coefficient on the bore.
    pub loss: f64,
}

impl Passage {
    /// Inertance, `length / area`, 1/m: pressure drop over rate of change of mass flow; 0 without
    /// length. Source: \[newton\].
    pub fn inertance(&self) -> f64 {
        if self.length_m > 0.0 {
            self.length_m / round_area_m2(self.bore_m)
        } else {
            0.0
        }
    }

    /// Resistance r in `dP = r |m| m` at a mass flow (kg/s), density and viscosity: Darcy's
    /// `f L/D + K` times `1/(2 rho A^2)`, 1/(m kg). Flows below a Reynolds number of 3,000 have the
    /// factor of 3,000 (see [`REYNOLDS_FLOOR`]). Sources: \[darcy_weisbach\], \[churchill1977\].
    pub fn resistance(&self, mass_flow_kg_s: f64, density: f64, viscosity: f64) -> f64 {
        if self.bore_m <= 0.0 {
            return 0.0;
        }
        let area = round_area_m2(self.bore_m);
        let reynolds = mass_flow_kg_s.abs() * self.bore_m / (area * viscosity);
        let f = churchill(reynolds.max(REYNOLDS_FLOOR), self.roughness_m / self.bore_m);
        self.resistance_of(f, density)
    }

    /// Resistance of a local loss on the bore. Source: \[darcy_weisbach\].
    pub(crate) fn local_resistance(&self, loss: f64, density: f64) -> f64 {
        let area = round_area_m2(self.bore_m);
        loss / (2.0 * density * area * area)
    }

    /// The same from a known Darcy friction factor. Source: \[darcy_weisbach\].
    pub(crate) fn resistance_of(&self, darcy: f64, density: f64) -> f64 {
        let area = round_area_m2(self.bore_m);
        (darcy * self.length_m / self.bore_m + self.loss) / (2.0 * density * area * area)
    }
}
