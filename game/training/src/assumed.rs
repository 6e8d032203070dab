//! Numbers that nobody knows exactly.
//!
//! What a jet keeps on its way, what it takes to remove a deposit, how quick and how stiff people
//! are: all that is known within a range at best. The catalogue states the range beside the value,
//! and here it goes with the level, so that an attempt can be run again at either end and its mark
//! be compared.

use crate::Level;
use hydraulics::units::PA_PER_BAR;
use serde::{Deserialize, Serialize};

/// Seconds in a microsecond.
const S_PER_US: f64 = 1.0e-6;
/// Pascals in a gigapascal.
const PA_PER_GPA: f64 = 1.0e9;
/// Newtons in a kilonewton.
const N_PER_KN: f64 = 1.0e3;
/// Metres in a millimetre.
const M_PER_MM: f64 = 1.0e-3;

/// A number that is known only within a range.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Assumed {
    /// What it is: kind, name in the catalogue and field, as in `deposit.algae.threshold_bar`; or
    /// the name of one of the [`Assumptions`](crate::Assumptions).
    pub id: String,
    /// Unit of the number; `1` for a share, factor or coefficient.
    pub unit: String,
    /// The least that it may be.
    pub low: f64,
    /// What the level takes it for.
    pub value: f64,
    /// The most that it may be.
    pub high: f64,
    /// Where the range comes from.
    pub source: String,
}

impl Level {
    /// Takes another value for an assumed number. `false` when the level knows no number of this
    /// id, or this is no value for one; then nothing is changed.
    pub fn assume(&mut self, id: &str, value: f64) -> bool {
        let sound = value.is_finite() && value >= 0.0;
        let Some(assumed) = self.assumed.iter_mut().find(|a| a.id == id && sound) else {
            return false;
        };
        if self.assumptions.put(id, value) {
            assumed.value = value;
            return true;
        }
        if value <= 0.0 {
            return false;
        }
        let mut parts = id.split('.');
        let (kind, name, field) = (parts.next(), parts.next(), parts.next());
        let mut found = false;
        let mut put = |place: &mut f64, value: f64| {
            *place = value;
            found = true;
        };
        match kind {
            Some("deposit") => {
                let coats = self.surface.iter_mut().flat_map(|s| &mut s.coats);
                for coat in coats.filter(|c| Some(c.deposit.as_str()) == name) {
                    match field {
                        Some("threshold_bar") => {
                            put(&mut coat.removal.threshold_pa, value * PA_PER_BAR);
                        }
                        Some("dose_us") => put(&mut coat.removal.dose_s, value * S_PER_US),
                        Some("exponent") => put(&mut coat.removal.exponent, value),
                        _ => {}
                    }
                }
            }
            Some("nozzle") => {
                let nozzles = self.equipment.nozzles.iter_mut();
                for nozzle in nozzles.filter(|n| Some(n.id.as_str()) == name) {
                    match field {
                        Some("core_diameters") => put(&mut nozzle.jet.core_diameters, value),
                        Some("decay") => put(&mut nozzle.jet.decay, value),
                        Some("cd") => put(&mut nozzle.water.discharge_coefficient, value),
                        Some("cv") => put(&mut nozzle.water.velocity_coefficient, value),
                        _ => {}
                    }
                }
            }
            Some("hose") => {
                let bodies = self.equipment.hoses.iter_mut();
                let waters = self.equipment.circuit.hoses.iter_mut();
                for (body, water) in bodies.zip(waters) {
                    if Some(body.id.as_str()) != name {
                        continue;
                    }
                    match field {
                        Some("wall_modulus_gpa") => {
                            put(&mut water.wall_modulus_pa, value * PA_PER_GPA);
                        }
                        Some("bending_stiffness_n_m2") => {
                            put(&mut body.bending_stiffness_n_m2, value);
                        }
                        _ => {}
                    }
                }
            }
            Some("restraint") => {
                let clipped = self.equipment.restraint.iter_mut();
                for restraint in clipped.filter(|r| Some(r.id.as_str()) == name) {
                    match field {
                        Some("strength_kn") => put(&mut restraint.strength_n, value * N_PER_KN),
                        Some("anchor_kn") => put(&mut restraint.anchor_n, value * N_PER_KN),
                        Some("stiffness_kn_m") => {
                            put(&mut restraint.stiffness_n_m, value * N_PER_KN);
                        }
                        Some("slack_mm") => put(&mut restraint.slack_m, value * M_PER_MM),
                        _ => {}
                    }
                }
            }
            Some("footing") => {
                let footings = self.site.footings.iter_mut();
                for footing in footings.filter(|f| Some(f.kind.as_str()) == name) {
                    if field == Some("friction") {
                        put(&mut footing.friction, value);
                    }
                }
            }
            _ => {}
        }
        if found {
            assumed.value = value;
        }
        found
    }
}
