//! The tool is never aimed at anybody, water or no water.

use super::breach::{Breach, Turn};
use super::line::{in_hands, jet_runs, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::allowed::tool_at;
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// A running jet is not on anybody for a single tick, within the distance at
/// which it can hurt. Without a jet the tool in the hands may sweep past
/// somebody near, but not stay on them; under pressure "near" is further.
pub struct PointedAtPerson;

impl Rule for PointedAtPerson {
    fn id(&self) -> &'static str {
        "pointed_at_person"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-1 (never aimed at anybody); INRS, hazard distance of jets, HST-CND 213 (2008); the distances: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::PointedAt,
            Channel::PointedFrom,
            Channel::ToolAt,
            Channel::NozzleFitted,
            Channel::ToolFlow,
            Channel::Thrust,
            Channel::GunPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["jet", "live", "dry"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            jet_m: limits.jet_hazard_m.value,
            live_m: limits.pointed_live_within_m.value,
            dry_m: limits.pointed_within_m.value,
            for_s: limits.pointed_for_s.value,
            aim: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    jet_m: f64,
    live_m: f64,
    dry_m: f64,
    for_s: f64,
    aim: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let from_m = mean(o, Channel::PointedFrom);
        let (detail, within_m, for_s, held) = if jet_runs(o) {
            // On the ground a running tool aims at whom it likes; in its stand
            // it is made fast.
            let loose = mean(o, Channel::ToolAt) != tool_at::STAND;
            ("jet", self.jet_m, 0.0, loose)
        } else if mean(o, Channel::GunPressure) > self.danger_bar {
            ("live", self.live_m, self.for_s, in_hands(o))
        } else {
            ("dry", self.dry_m, self.for_s, in_hands(o))
        };
        let aimed = held && mean(o, Channel::PointedAt) != 0.0 && from_m <= within_m;
        if let Turn::Found(_) = self.aim.see(o.tick, aimed, for_s) {
            found.add(o, detail, from_m, within_m, "m");
        }
    }
}
