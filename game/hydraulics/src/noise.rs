//! Noise: how a level falls with distance, how long a level may be borne, and the dose of one that
//! changes.
//!
//! Levels are A-weighted sound pressure levels in dB re 20 uPa. How loud a jet or a machine is comes
//! in as data, each with its distance; how that grows with speed and size is a law with data for
//! its exponent.
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
use crate::jet::Exit;
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

/// Level of several sources that know nothing of each other: `10 log10(sum 10^(L / 10))`. None of
/// them, or none that is a number, is silence: minus infinity. Source: \[mathematics\].
pub fn together_db(levels: impl IntoIterator<Item = f64>) -> f64 {
    let powers = levels.into_iter().filter(|level| !level.is_nan());
    let sum: f64 = powers.map(|level| libm::exp10(0.1 * level)).sum();
    10.0 * libm::log10(sum)
}

/// How loud jets are.
///
/// The sound of a jet in air comes from the air that it tears along. Its power grows with the
/// section of the jet and with a power of its speed: `L = L0 + 10 log10(A / A0) + 10 n log10(v / v0)`.
/// For jets of water `n` lies between 4 and 6 (from memory: some 10 dB from 300 to 1000 bar, and
/// again from there to 2500 bar); what the jet hits, and the hiss of a worn nozzle, are left out.
/// Sources: \[memory\], \[model\].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct JetLoudness {
    /// Level 1 m from a jet of 1 mm diameter with a stagnation pressure of 1000 bar, dB(A).
    pub level_db: f64,
    /// Exponent of the speed.
    pub exponent: f64,
}

/// Diameter and stagnation pressure of the jet that [`JetLoudness`] is given for, m and Pa.
const LOUDNESS_AT: (f64, f64) = (1.0e-3, 1.0e8);

impl JetLoudness {
    /// Level 1 m from a jet, dB(A); silence, minus infinity, where there is none. The speed is
    /// that of the stagnation pressure, `v^2` as `p0`. Sources: \[bernoulli\], \[model\].
    pub fn level_db(&self, exit: &Exit) -> f64 {
        let (diameter_m, stagnation_pa) = LOUDNESS_AT;
        let size = libm::log10(exit.diameter_m / diameter_m);
        let speed = 0.5 * libm::log10(exit.stagnation_pa / stagnation_pa);
        let level = self.level_db + 20.0 * size + 10.0 * self.exponent * speed;
        if level.is_finite() {
            level
        } else {
            f64::NEG_INFINITY
        }
    }
}

/// How loud a machine is.
///
/// The level of an engine with its pump grows with a power of its speed,
/// `L = L0 + 10 n log10(w / w0)`; for engines with compression ignition `n` is about 3 (from
/// memory). Load is left out. Sources: \[memory\], \[model\].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct MachineLoudness {
    /// Level at 1 m and rated speed, dB(A).
    pub level_db: f64,
    /// Rated speed, rad/s.
    pub rated_rad_s: f64,
    /// Exponent of the speed.
    pub exponent: f64,
}

impl MachineLoudness {
    /// Level at 1 m and a speed, dB(A); silence, minus infinity, where it stands. Source:
    /// \[model\].
    pub fn level_db(&self, speed_rad_s: f64) -> f64 {
        let level = self.level_db
            + 10.0 * self.exponent * libm::log10(speed_rad_s.max(0.0) / self.rated_rad_s);
        if level.is_finite() {
            level
        } else {
            f64::NEG_INFINITY
        }
    }
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

    /// Two equal levels are 3.01 dB more, ten are 10 dB more. Source: \[mathematics\].
    #[test]
    fn sources_add_their_powers() {
        let two = together_db([100.0, 100.0]);
        assert!((two - 103.010_299_956_6).abs() < 1.0e-9, "{two}");
        assert!((together_db([80.0; 10]) - 90.0).abs() < 1.0e-9);
        assert!((together_db([100.0, 60.0]) - 100.000_434_3).abs() < 1.0e-6);
        let silent = f64::NEG_INFINITY;
        assert_eq!(together_db([silent, f64::NAN]), silent);
        assert_eq!(together_db([]), silent);
        assert!((together_db([90.0, silent, f64::NAN]) - 90.0).abs() < 1.0e-9);
    }

    /// Closed form: with an exponent of 5, four times the pressure is 10 log10(2^5) more and twice
    /// the diameter 10 log10(4). Source: \[mathematics\].
    #[test]
    fn a_jet_is_as_loud_as_its_law_says_and_a_machine_that_stands_is_silent() {
        let jets = JetLoudness {
            level_db: 100.0,
            exponent: 5.0,
        };
        let exit = |mm: f64, bar: f64| Exit {
            diameter_m: mm * 1.0e-3,
            stagnation_pa: bar * 1.0e5,
            thrust_n: 100.0,
        };
        assert!((jets.level_db(&exit(1.0, 1000.0)) - 100.0).abs() < 1.0e-9);
        let slower = jets.level_db(&exit(1.0, 250.0));
        assert!((slower - (100.0 - 15.051_499_783)).abs() < 1.0e-6);
        let wider = jets.level_db(&exit(2.0, 1000.0));
        assert!((wider - 106.020_599_913).abs() < 1.0e-6);
        assert_eq!(jets.level_db(&Exit::default()), f64::NEG_INFINITY);
        let machine = MachineLoudness {
            level_db: 102.0,
            rated_rad_s: 180.0,
            exponent: 3.0,
        };
        assert!((machine.level_db(180.0) - 102.0).abs() < 1.0e-9);
        assert!((machine.level_db(18.0) - 72.0).abs() < 1.0e-9);
        for still in [0.0, -1.0] {
            assert_eq!(machine.level_db(still), f64::NEG_INFINITY);
        }
    }

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
