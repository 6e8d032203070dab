//! The pressure stays below what the weakest part and the job sheet allow.

use super::breach::{Breach, Turn};
use super::line::{is_loaded, mean};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// Neither the pump's pressure nor that at the gun goes above the lowest rating
/// of hoses, gun and plunger kit, nor, with a nozzle on and the line fed, above the
/// pressure of the job. A regulator lets the pressure rise a little when a tool shuts, so each of them
/// has a margin, and what is told as the limit has it in it.
pub struct OverLowestRating;

/// How long the pressure has to be above, seconds: longer than the spike of a
/// valve that shuts (a choice of this project).
const ABOVE_FOR_S: f64 = 0.5;

const PA_PER_BAR: f64 = 1.0e5;

impl Rule for OverLowestRating {
    fn id(&self) -> &'static str {
        "over_lowest_rating"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-9 (equipment suited to the pressure it is used at); that the weakest part and the job sheet govern: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
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
            Channel::GunPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["rating", "job_sheet"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let equipment = &level.equipment;
        let rating_pa = (equipment.hoses.iter().map(|h| h.rating_pa))
            .chain([equipment.gun_rating_pa])
            .chain(equipment.second.as_ref().map(|second| second.rating_pa))
            .fold(equipment.kit_max_pa, f64::min);
        Box::new(Watching {
            rating_most_bar: rating_pa / PA_PER_BAR * level.region.limits.over_rating_share(),
            job_most_bar: level.job_most_bar(),
            above: Breach::default(),
        })
    }
}

struct Watching {
    /// Each with its margin.
    rating_most_bar: f64,
    job_most_bar: f64,
    above: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let bar = mean(o, Channel::PumpPressure).max(mean(o, Channel::GunPressure));
        let over_rating = bar > self.rating_most_bar;
        let over_job = is_loaded(o) && bar > self.job_most_bar;
        let turn = self.above.see(o.tick, over_rating || over_job, ABOVE_FOR_S);
        if let Turn::Found(_) = turn {
            let (detail, limit_bar) = if over_rating {
                ("rating", self.rating_most_bar)
            } else {
                ("job_sheet", self.job_most_bar)
            };
            found.add(o, detail, bar, limit_bar, "bar");
        }
    }
}
