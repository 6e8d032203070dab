//! Where it is loud, ears are covered, pressure or none.

use super::breach::{Breach, Turn};
use super::line::{is_dumped, max, mean};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Ppe, Seat};

/// Nobody is for longer than a moment above the region's level at the ear without ear defenders:
/// beside an engine that runs as well as beside a jet, and also where the job sheet asks for none.
///
/// [`super::ppe`] finds ear defenders that the level asks for and that are not worn under pressure,
/// however quiet it is. What that finds is not found here again: this rule looks at the time without
/// pressure, and at levels that ask for none.
pub struct UnprotectedNoise;

impl Rule for UnprotectedNoise {
    fn id(&self) -> &'static str {
        "unprotected_noise"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Directive 2003/10/EC (ear defenders worn from the upper action value, 85 dB(A)); NIOSH publication 98-126 (1998): 85 dB(A) for 8 hours; the time in which it is not counted: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::NoiseAtPumpHand,
            Channel::NoiseAtLanceHand,
            Channel::PumpHandWears,
            Channel::LanceHandWears,
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::GunPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["bare_ears"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let (noise, wears) = if level.post == Seat::LANCE {
            (Channel::NoiseAtLanceHand, Channel::LanceHandWears)
        } else {
            (Channel::NoiseAtPumpHand, Channel::PumpHandWears)
        };
        let limits = &level.region.limits;
        Box::new(Watching {
            noise,
            wears,
            level_db: limits.noise_level_db.value,
            for_s: limits.unprotected_s.value,
            danger_bar: limits.danger_bar.value,
            asked_for: level.ppe.required & Ppe::EarDefenders.bit() != 0,
            bare: Breach::default(),
            loudest_db: 0.0,
        })
    }
}

struct Watching {
    noise: Channel,
    wears: Channel,
    level_db: f64,
    for_s: f64,
    danger_bar: f64,
    /// The level asks for ear defenders under pressure.
    asked_for: bool,
    bare: Breach,
    /// Loudest level of the present breach.
    loudest_db: f64,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let worn = max(o, self.wears) as u8 & Ppe::EarDefenders.bit() != 0;
        let bar = mean(o, Channel::PumpPressure).max(mean(o, Channel::GunPressure));
        let found_as_ppe = self.asked_for && !is_dumped(o) && bar > self.danger_bar;
        let level_db = mean(o, self.noise);
        let bare = !worn && !found_as_ppe && level_db > self.level_db;
        self.loudest_db = if bare {
            self.loudest_db.max(level_db)
        } else {
            0.0
        };
        match self.bare.see(o.tick, bare, self.for_s) {
            Turn::Found(_) => found.add(o, "bare_ears", self.loudest_db, self.level_db, "dB(A)"),
            Turn::Over(at) => found.mend(at, "bare_ears"),
            Turn::Same => {}
        }
    }
}
