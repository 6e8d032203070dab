//! Numbers behind the cleaning that nobody knows exactly.
//!
//! What a jet keeps on its way and what it takes to remove a deposit is known within a range at
//! best. The catalogue states the range beside the value, and here it goes with the level, so
//! that an attempt can be run again at either end and its mark be compared.

use crate::Level;
use hydraulics::units::PA_PER_BAR;
use serde::{Deserialize, Serialize};

/// Seconds in a microsecond.
const S_PER_US: f64 = 1.0e-6;

/// A number that is known only within a range.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Assumed {
    /// What it is: kind, name in the catalogue and field, as in `deposit.algae.threshold_bar`.
    /// The number is in the unit that the field's name ends in.
    pub id: String,
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
        let sound = value.is_finite() && value > 0.0;
        let Some(assumed) = self.assumed.iter_mut().find(|a| a.id == id && sound) else {
            return false;
        };
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
                        _ => {}
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
