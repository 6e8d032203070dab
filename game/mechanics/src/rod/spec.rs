//! What a hose is made of, and what can be wrong with such a description.

use core::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// Density of the water in the hose, kg/m3, at 20 degC and atmospheric pressure
/// (IAPWS-95). Its rise with pressure, 4 % at 1000 bar, is left out of the weight.
pub const WATER_KG_PER_M3: f64 = 998.2;

/// A hose as a rod: geometry, mass and stiffness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RodSpec {
    /// Length between the couplings, m.
    pub length_m: f64,
    /// Number of equal segments the length is cut into, 2 to 4000. A quarter of
    /// a metre each suits a jetting hose.
    pub segments: usize,
    /// Outer radius, m.
    pub outer_radius_m: f64,
    /// Mass of a metre of empty hose, kg/m.
    pub empty_mass_kg_per_m: f64,
    /// Bore diameter, m.
    pub bore_m: f64,
    /// Bending stiffness `EI` without pressure, N m2.
    pub bending_stiffness_n_m2: f64,
    /// Rise of the bending stiffness with gauge pressure, N m2 per Pa. The rod's
    /// natural shape is straight, so pressure also straightens it.
    pub stiffness_per_pa: f64,
    /// Axial stiffness `EA`, N. It keeps a segment within `T l / EA` of its
    /// length: at 1 MN and 0.25 m, 0.15 mm under 600 N.
    pub axial_stiffness_n: f64,
    /// Retardation time of the bending (stiffness-proportional damping), s.
    pub damping_s: f64,
    /// Smallest bend radius the hose stands, m; below it the rod reports a kink.
    pub min_bend_radius_m: f64,
    /// Factor on the friction of the ground, dimensionless; 1 for a plain cover.
    pub friction_scale: f64,
    /// Speed of a pressure front in the hose, m/s. It times how long a bend is
    /// out of balance when the pressure steps.
    pub wave_speed_m_s: f64,
    /// Drag coefficient of the hose across a stream of air, dimensionless; 1.2 for a
    /// cylinder at Reynolds numbers of 1e3 to 1e5 (handbook values, from memory).
    pub drag_coefficient: f64,
}

/// Why a rod cannot be built.
#[derive(Clone, Debug, PartialEq)]
pub enum RodError {
    /// A field of the description is not finite or out of its range.
    BadField {
        /// Name of the field.
        field: &'static str,
        /// The value found.
        value: f64,
    },
    /// The path has fewer than two points that differ, or one is not finite.
    BadPath,
    /// The hose is shorter than the path.
    PathTooLong {
        /// Length of the path, m.
        path_m: f64,
        /// Length of the hose, m.
        rod_m: f64,
    },
    /// The hose is so much longer than the path that its slack cannot be laid
    /// out in waves beside it.
    PathTooShort {
        /// Length of the path, m.
        path_m: f64,
        /// Length of the hose, m.
        rod_m: f64,
    },
}

impl core::fmt::Display for RodError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            Self::BadField { field, value } => write!(f, "hose: {field} cannot be {value}"),
            Self::BadPath => write!(f, "hose: the path needs two points that differ"),
            Self::PathTooLong { path_m, rod_m } => {
                write!(
                    f,
                    "hose of {rod_m} m does not reach along a path of {path_m} m"
                )
            }
            Self::PathTooShort { path_m, rod_m } => {
                write!(
                    f,
                    "hose of {rod_m} m has too much slack for a path of {path_m} m"
                )
            }
        }
    }
}

impl core::error::Error for RodError {}

impl RodSpec {
    /// Length of one segment, m.
    #[must_use]
    pub fn segment_m(&self) -> f64 {
        self.length_m / self.segments as f64
    }

    /// Area of the bore, m2.
    #[must_use]
    pub fn bore_area_m2(&self) -> f64 {
        PI / 4.0 * self.bore_m * self.bore_m
    }

    /// Mass of a metre with `fill` (0 to 1) of the bore full of water, kg/m.
    #[must_use]
    pub fn mass_kg_per_m(&self, fill: f64) -> f64 {
        self.empty_mass_kg_per_m + fill.clamp(0.0, 1.0) * WATER_KG_PER_M3 * self.bore_area_m2()
    }

    /// Bending stiffness at a gauge pressure, N m2; below atmospheric as at zero.
    #[must_use]
    pub fn bending_stiffness_at(&self, pressure_pa: f64) -> f64 {
        self.bending_stiffness_n_m2 + self.stiffness_per_pa * pressure_pa.max(0.0)
    }

    /// Checks every field against its range.
    ///
    /// # Errors
    /// The first field out of its range.
    pub fn check(&self) -> Result<(), RodError> {
        let bounds = [
            ("length_m", self.length_m, 0.01, 1000.0),
            ("segments", self.segments as f64, 2.0, 4000.0),
            ("outer_radius_m", self.outer_radius_m, 1e-4, 1.0),
            ("empty_mass_kg_per_m", self.empty_mass_kg_per_m, 1e-3, 1e3),
            ("bore_m", self.bore_m, 0.0, 2.0 * self.outer_radius_m),
            (
                "bending_stiffness_n_m2",
                self.bending_stiffness_n_m2,
                0.0,
                1e9,
            ),
            ("stiffness_per_pa", self.stiffness_per_pa, 0.0, 1.0),
            ("axial_stiffness_n", self.axial_stiffness_n, 1e3, 1e10),
            ("damping_s", self.damping_s, 0.0, 10.0),
            ("min_bend_radius_m", self.min_bend_radius_m, 0.0, 100.0),
            ("friction_scale", self.friction_scale, 0.0, 100.0),
            ("wave_speed_m_s", self.wave_speed_m_s, 1.0, 1e5),
            ("drag_coefficient", self.drag_coefficient, 0.0, 10.0),
        ];
        for (field, value, low, high) in bounds {
            // Written so that a NaN fails.
            if !(value >= low && value <= high) {
                return Err(RodError::BadField { field, value });
            }
        }
        Ok(())
    }
}
