//! The line is walked and looked over at low pressure before it goes up.

use super::breach::{Breach, Turn};
use super::line::{is_loaded, mean, on};
use super::stop_tests::ABOVE_FOR_S;
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::level::CriterionKind;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// At the first low step somebody walks the line past its couplings and looks
/// for leaks; only then does the pressure go up. A level that names no places
/// to walk past is not judged.
pub struct LeakWalked;

impl Rule for LeakWalked {
    fn id(&self) -> &'static str {
        "leak_walk"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "EN 1829-1, 6.1 (found free of leaks before use); the walk at the first low step, at most 70 bar and a metre off the couplings: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::PumpPressure,
            Channel::PumpHandX,
            Channel::PumpHandZ,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["not_walked"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            walk: Walk::owed(level),
            above: Breach::default(),
            low_max_bar: level.region.limits.stop_test_max_bar.value,
        })
    }
}

struct Watching {
    /// The walk, until it has been judged.
    walk: Option<Walk>,
    above: Breach,
    low_max_bar: f64,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let Some(walk) = &mut self.walk else { return };
        walk.see(o);
        let above = is_loaded(o) && mean(o, Channel::PumpPressure) > self.low_max_bar;
        if let Turn::Found(_) = self.above.see(o.tick, above, ABOVE_FOR_S) {
            if !walk.is_done() {
                let (walked, places) = (walk.walked() as f64, walk.places() as f64);
                found.add(o, "not_walked", walked, places, "places");
            }
            self.walk = None;
        }
    }
}

/// The walk along the line at low pressure.
#[derive(Clone, Debug)]
pub(crate) struct Walk {
    places: Vec<([f64; 2], bool)>,
    low_max_bar: f64,
    danger_bar: f64,
}

/// How near to a place counts as having been there (a choice of this project).
const NEAR_M: f64 = 0.6;

impl Walk {
    /// The walk past these places of a level.
    pub fn past(places: &[String], level: &Level) -> Self {
        let limits = &level.region.limits;
        Walk {
            places: places
                .iter()
                .filter_map(|p| level.site.place(p))
                .map(|at| (at, false))
                .collect(),
            low_max_bar: limits.stop_test_max_bar.value,
            danger_bar: limits.danger_bar.value,
        }
    }

    /// The walk that a level asks for, unless it was made before the attempt.
    pub fn owed(level: &Level) -> Option<Self> {
        let asked = level.criteria.iter().find_map(|c| match &c.kind {
            CriterionKind::LeakWalk { places } => Some(Walk::past(places, level)),
            _ => None,
        });
        asked.filter(|_| !level.given.leak_walked)
    }

    pub fn see(&mut self, o: &Observation) {
        let bar = mean(o, Channel::PumpPressure);
        if !on(o, Channel::NozzleFitted) || bar < self.danger_bar || bar > self.low_max_bar {
            return;
        }
        let (x, z) = (mean(o, Channel::PumpHandX), mean(o, Channel::PumpHandZ));
        for (at, walked) in &mut self.places {
            let (dx, dz) = (x - at[0], z - at[1]);
            *walked |= dx * dx + dz * dz <= NEAR_M * NEAR_M;
        }
    }

    pub fn walked(&self) -> usize {
        self.places.iter().filter(|(_, walked)| *walked).count()
    }

    pub fn places(&self) -> usize {
        self.places.len()
    }

    pub fn is_done(&self) -> bool {
        self.walked() == self.places()
    }
}
