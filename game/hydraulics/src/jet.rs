//! Jet in the air: pressure where it meets a surface, and what it takes off.
//!
//! A jet leaves with the stagnation pressure `p0 = rho v^2 / 2` and the thrust `F = m v`. On its
//! axis it keeps `p0` over a core of some diameters and falls as `(core d / x)^n` behind it; air
//! slows what is outside and takes no momentum away, so the footprint spreads until it bears the
//! whole of `F` again. Impact is spread over the footprint by the profile
//! `p / p_c = 1 - 3 (r/R)^2 + 2 (r/R)^3`.

use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// How a nozzle shapes its jet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum JetKind {
    /// One round jet.
    Round,
    /// A flat fan.
    Fan {
        /// Full angle of the fan, rad.
        spread_rad: f64,
    },
    /// A round jet that is led around a cone.
    Rotating {
        /// Angle between the jet and the axis, rad.
        cone_rad: f64,
        /// Distance of the jet from the axis where it leaves, m.
        radius_m: f64,
        /// Turns per second.
        turns_per_s: f64,
    },
}

/// How a jet decays.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct JetSpec {
    /// Shape of the jet.
    pub kind: JetKind,
    /// Length of the core in diameters of the jet.
    pub core_diameters: f64,
    /// Exponent of the decay of the pressure behind the core.
    pub decay: f64,
}

/// A jet as it leaves the nozzle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exit {
    /// Diameter of a round jet of the same section, m.
    pub diameter_m: f64,
    /// Stagnation pressure, Pa.
    pub stagnation_pa: f64,
    /// Momentum flux, N.
    pub thrust_n: f64,
}

impl Exit {
    /// The jet of a mass flow with a thrust, in water of a density at atmospheric pressure.
    /// Without flow there is no jet.
    pub fn of(mass_flow_kg_s: f64, thrust_n: f64, density_kg_m3: f64) -> Option<Self> {
        if !(mass_flow_kg_s > 0.0 && thrust_n > 0.0 && density_kg_m3 > 0.0) {
            return None;
        }
        let speed = thrust_n / mass_flow_kg_s;
        let area = mass_flow_kg_s / (density_kg_m3 * speed);
        Some(Self {
            diameter_m: (4.0 * area / core::f64::consts::PI).sqrt(),
            stagnation_pa: 0.5 * density_kg_m3 * speed * speed,
            thrust_n,
        })
    }
}

/// `integral of (1 - 3 s^2 + 2 s^3) 2 pi s ds` from 0 to 1: the share of `R^2 p_c` that a round
/// footprint bears.
const ROUND_SHARE: f64 = 0.3 * core::f64::consts::PI;

/// Where a jet meets a surface square on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Impact {
    /// Pressure in the middle, Pa.
    pub centre_pa: f64,
    /// From the middle to where nothing is left: radius of a round footprint, half the thickness
    /// of a fan's, m.
    pub half_across_m: f64,
    /// Half the width of a fan's footprint; 0 for a round one, m.
    pub half_along_m: f64,
}

impl JetSpec {
    /// All values out of range.
    ///
    /// # Errors
    /// Each value that is not finite or out of its range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("jet.core_diameters", self.core_diameters, 1.0, 1000.0);
        ranges.check("jet.decay", self.decay, 0.5, 3.0);
        match self.kind {
            JetKind::Round => {}
            JetKind::Fan { spread_rad } => {
                ranges.check("jet.spread_rad", spread_rad, 0.01, 2.0);
            }
            JetKind::Rotating {
                cone_rad,
                radius_m,
                turns_per_s,
            } => {
                ranges.check("jet.cone_rad", cone_rad, 0.0, 1.0);
                ranges.check("jet.radius_m", radius_m, 0.0, 0.1);
                ranges.check("jet.turns_per_s", turns_per_s, 0.1, 500.0);
            }
        }
        ranges.finish()
    }

    /// Where the jet meets a surface after so far a way, m.
    pub fn impact(&self, exit: &Exit, way_m: f64) -> Impact {
        let d = exit.diameter_m;
        let way_m = way_m.max(0.0);
        let core_m = self.core_diameters * d;
        let decayed = if way_m > core_m {
            libm::pow(core_m / way_m, self.decay)
        } else {
            1.0
        };
        match self.kind {
            JetKind::Round | JetKind::Rotating { .. } => {
                let centre_pa = exit.stagnation_pa * decayed;
                Impact {
                    centre_pa,
                    half_across_m: (exit.thrust_n / (ROUND_SHARE * centre_pa)).sqrt(),
                    half_along_m: 0.0,
                }
            }
            JetKind::Fan { spread_rad } => {
                let width_m = d + 2.0 * way_m * libm::tan(0.5 * spread_rad);
                let centre_pa = exit.stagnation_pa * decayed * (d / width_m);
                Impact {
                    centre_pa,
                    // Across the sheet the profile bears `T p_c` a metre.
                    half_across_m: exit.thrust_n / (centre_pa * width_m),
                    half_along_m: 0.5 * width_m,
                }
            }
        }
    }
}

impl Impact {
    /// Pressure at a distance from the middle: `across_m` out of a round footprint or through a
    /// fan's thickness, `along_m` along a fan's width, Pa.
    pub fn pressure_pa(&self, across_m: f64, along_m: f64) -> f64 {
        if self.half_along_m > 0.0 && along_m.abs() > self.half_along_m {
            return 0.0;
        }
        let s = across_m.abs() / self.half_across_m;
        if s >= 1.0 {
            return 0.0;
        }
        self.centre_pa * (1.0 - s * s * (3.0 - 2.0 * s))
    }

    /// How far from the middle the pressure is still above a threshold, m; 0 where it is nowhere.
    pub fn half_cut_m(&self, threshold_pa: f64) -> f64 {
        let share = threshold_pa / self.centre_pa;
        if share >= 1.0 {
            return 0.0;
        }
        if share <= 0.0 {
            return self.half_across_m;
        }
        // Root of 1 - 3 s^2 + 2 s^3 = share in 0..1; with c = 2 s - 1 it is the triple-angle form.
        let s = 0.5 - libm::sin(libm::asin(2.0 * share - 1.0) / 3.0);
        s * self.half_across_m
    }
}

/// What it takes to remove a layer of a deposit.
///
/// Below the threshold nothing comes off however long the jet stays. Above it the dose grows as
/// `((p - threshold) / threshold)^exponent / dose_s`; the layer is gone at a dose of 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Removal {
    /// Pressure on the surface below which nothing comes off, Pa.
    pub threshold_pa: f64,
    /// Time under twice the threshold that removes the layer, s.
    pub dose_s: f64,
    /// Exponent of the excess pressure.
    pub exponent: f64,
}

impl Removal {
    /// Dose per second under a pressure, 1/s.
    pub fn rate(&self, pressure_pa: f64) -> f64 {
        let excess = pressure_pa / self.threshold_pa - 1.0;
        if excess <= 0.0 {
            0.0
        } else if self.exponent == 1.0 {
            excess / self.dose_s
        } else {
            libm::pow(excess, self.exponent) / self.dose_s
        }
    }
}
