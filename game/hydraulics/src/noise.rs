//! Noise: how a level falls with distance, how long a level may be borne, and the dose of one that
//! changes.
//!
//! Levels are A-weighted sound pressure levels in dB re 20 uPa. What a jet or a machine is as loud
//! as is not computed here: levels come in as data, each with its distance.
//!
//! **Distance.** A small source in the open, with nothing near it that throws sound back:
//! `L = L1 - 20 log10(r / r1)`, the spreading over a sphere. Ground and walls make it louder, air
//! and screens make it quieter; none of that is modelled. It holds from a few sizes of the source
//! (about 1 m for a jet) up to some tens of metres. Sources: \[iso9613_2\], \[model\].
//!
//! **Exposure.** A criterion is a level that may be borne for a time, and an exchange rate: so many
//! dB more halve the time. 3 dB is the rule of equal energy. Which of them is the law where
//! somebody works is data: 85 dB(A) for 8 hours with 3 dB is what NIOSH recommends (publication
//! 98-126, 1998), 83 dB(A) for a shift of 12 hours what the Petroleum Safety Authority Norway held
//! offshore work to. Sources: \[niosh1998\], \[psa_norway\].

use crate::constant;
use crate::spec::{Ranges, SpecError};
use serde::{Deserialize, Serialize};

/// Level at `to_m` from a small source in the open whose level is known at `at_m`, dB.
/// Source: \[iso9613_2\].
///
/// Distances below 1 mm are taken as 1 mm, those that are no number as well, so that a finite level
/// stays finite.
pub fn level_at(level_db: f64, at_m: f64, to_m: f64) -> f64 {
    let held = |m: f64| if m > 1.0e-3 { m.min(1.0e6) } else { 1.0e-3 };
    level_db - constant::SPREADING.at(0, 20.0) * libm::log10(held(to_m) / held(at_m))
}

/// What may be borne in a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Criterion {
    /// Level that may be borne for the whole time, dB(A).
    pub level_db: f64,
    /// The whole time, s.
    pub duration_s: f64,
    /// So much more halves the time, dB.
    pub exchange_db: f64,
}

impl Criterion {
    /// All values out of range.
    ///
    /// # Errors
    /// Each value that is not finite or out of its range.
    pub fn validate(&self) -> Result<(), Vec<SpecError>> {
        let mut ranges = Ranges::default();
        ranges.check("noise.level_db", self.level_db, 60.0, 120.0);
        ranges.check("noise.duration_s", self.duration_s, 60.0, 86_400.0);
        ranges.check("noise.exchange_db", self.exchange_db, 1.0, 10.0);
        ranges.finish()
    }

    /// How long a level may be borne, s: `T = T0 / 2^((L - L0) / q)`. Endless where there is no
    /// sound at all, nothing for a level that is no number. Source: \[niosh1998\].
    pub fn permitted_s(&self, level_db: f64) -> f64 {
        if level_db.is_nan() {
            return 0.0;
        }
        self.duration_s * libm::exp2((self.level_db - level_db) / self.exchange_db)
    }
}

/// What somebody has had of a day's noise.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Dose {
    share: f64,
}

impl Dose {
    /// Share of what may be borne in a day; above 1 it is more.
    pub fn share(&self) -> f64 {
        self.share
    }

    /// Adds a time under a level: `dt / T(L)`. Without a floor: every level counts. A level or a
    /// time that is no number adds nothing. Source: \[niosh1998\].
    pub fn hear(&mut self, criterion: &Criterion, level_db: f64, dt_s: f64) {
        let part = dt_s / criterion.permitted_s(level_db);
        if part.is_finite() && part > 0.0 {
            self.share += part;
        }
    }

    /// Time that is left under a level until the day's dose is full, s; none when it is full.
    pub fn left_s(&self, criterion: &Criterion, level_db: f64) -> f64 {
        (1.0 - self.share).max(0.0) * criterion.permitted_s(level_db)
    }

    /// The level that, borne evenly for the criterion's whole time, gives the same dose, dB(A).
    /// `L = L0 + q log2(dose)`; `None` before anything was heard. Source: \[niosh1998\].
    pub fn even_level_db(&self, criterion: &Criterion) -> Option<f64> {
        (self.share > 0.0)
            .then(|| criterion.level_db + criterion.exchange_db * libm::log2(self.share))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DAY: Criterion = Criterion {
        level_db: 85.0,
        duration_s: 28_800.0,
        exchange_db: 3.0,
    };

    #[test]
    fn a_changing_level_gives_the_sum_of_its_parts() {
        // Closed form: 4 h at the criterion and 2 h at 3 dB more are half a day each.
        let mut dose = Dose::default();
        assert_eq!(dose.even_level_db(&DAY), None);
        dose.hear(&DAY, 85.0, 14_400.0);
        assert!((dose.left_s(&DAY, 88.0) - 7_200.0).abs() < 1.0e-6);
        for _ in 0..7_200 {
            dose.hear(&DAY, 88.0, 1.0);
        }
        assert!((dose.share() - 1.0).abs() < 1.0e-9, "{dose:?}");
        assert!((dose.even_level_db(&DAY).unwrap() - 85.0).abs() < 1.0e-6);
        assert_eq!(dose.left_s(&DAY, 115.0).max(1.0e-3), 1.0e-3);
    }

    /// A ramp of level, dB, over time against the integral of `2^(a t)` in closed form.
    /// Source: \[mathematics\].
    #[test]
    fn a_ramp_of_level_gives_its_integral() {
        let (rise_db, time_s, steps) = (30.0, 600.0, 6_000_u32);
        let dt = time_s / f64::from(steps);
        let mut dose = Dose::default();
        for i in 0..steps {
            let share = (f64::from(i) + 0.5) / f64::from(steps);
            dose.hear(&DAY, 85.0 + rise_db * share, dt);
        }
        let doublings = rise_db / 3.0;
        let ln2 = core::f64::consts::LN_2;
        let want = time_s / 28_800.0 * (libm::exp2(doublings) - 1.0) / (doublings * ln2);
        assert!(
            (dose.share() / want - 1.0).abs() < 1.0e-5,
            "{dose:?} {want}"
        );
    }

    #[test]
    fn with_five_decibels_to_a_halving_the_same_noise_is_borne_longer() {
        let five = Criterion {
            exchange_db: 5.0,
            ..DAY
        };
        assert!((DAY.permitted_s(100.0) - 900.0).abs() < 1.0e-9);
        assert!((five.permitted_s(100.0) - 3_600.0).abs() < 1.0e-9);
        assert!(five.permitted_s(80.0) < DAY.permitted_s(80.0));
    }

    #[test]
    fn what_is_no_number_does_no_harm() {
        let mut dose = Dose::default();
        for (level, time) in [
            (f64::NAN, 1.0),
            (90.0, f64::NAN),
            (90.0, -1.0),
            (f64::NEG_INFINITY, 1.0),
        ] {
            dose.hear(&DAY, level, time);
        }
        assert_eq!(dose.share(), 0.0);
        for m in [0.0, -1.0, f64::NAN, f64::INFINITY, 1.0e300] {
            assert!(level_at(110.0, 1.0, m).is_finite());
            assert!(level_at(110.0, m, 1.0).is_finite());
        }
        let bad = Criterion {
            level_db: f64::NAN,
            duration_s: 0.0,
            exchange_db: 0.0,
        };
        assert_eq!(bad.validate().unwrap_err().len(), 3);
        assert!(DAY.validate().is_ok());
    }
}
