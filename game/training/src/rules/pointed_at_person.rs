//! The tool is never aimed at anybody, water or no water.

use super::breach::{Breach, Turn};
use super::line::{in_hands, jet_runs, mean};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::allowed::tool_at;
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;
use hydraulics::water::Water;
use hydraulics::{Exit, JetSpec};

/// A running jet is not on anybody for a single tick, within the distance at
/// which it can hurt: that of its own pressure and nozzle, with room to spare,
/// so that a round jet is kept much further off than a fan. Beyond that, and
/// without a jet, the tool in the hands may sweep past somebody near, but not
/// stay on them; under pressure "near" is further.
pub struct PointedAtPerson;

impl Rule for PointedAtPerson {
    fn id(&self) -> &'static str {
        "pointed_at_person"
    }
    fn version(&self) -> u32 {
        2
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
            Channel::Nozzle,
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
            jets: Jets::of(level),
            live_m: limits.pointed_live_within_m.value,
            dry_m: limits.pointed_within_m.value,
            for_s: limits.pointed_for_s.value,
            aim: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    jets: Jets,
    live_m: f64,
    dry_m: f64,
    for_s: f64,
    aim: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let from_m = mean(o, Channel::PointedFrom);
        let aimed_at = mean(o, Channel::PointedAt) != 0.0;
        let jet = jet_runs(o);
        let hazard_m = if jet && aimed_at {
            self.jets.hazard_m(o)
        } else {
            0.0
        };
        // On the ground a running tool aims at whom it likes; in its stand it
        // is made fast.
        let loose = mean(o, Channel::ToolAt) != tool_at::STAND;
        let (detail, within_m, for_s, held) = if jet && from_m <= hazard_m {
            ("jet", hazard_m, 0.0, loose)
        } else if jet {
            ("live", self.live_m, self.for_s, loose)
        } else if mean(o, Channel::GunPressure) > self.danger_bar {
            ("live", self.live_m, self.for_s, in_hands(o))
        } else {
            ("dry", self.dry_m, self.for_s, in_hands(o))
        };
        let aimed = held && aimed_at && from_m <= within_m;
        if let Turn::Found(_) = self.aim.see(o.tick, aimed, for_s) {
            found.add(o, detail, from_m, within_m, "m");
        }
    }
}

/// What is needed to tell from how far a running jet can hurt.
struct Jets {
    /// What becomes of the jet of each nozzle of the level.
    nozzles: Vec<JetSpec>,
    density_kg_m3: f64,
    danger_pa: f64,
    /// Room to spare, as a factor.
    room: f64,
    /// No jet counts from further off.
    farthest_m: f64,
}

impl Jets {
    fn of(level: &Level) -> Self {
        let limits = &level.region.limits;
        Jets {
            nozzles: level.equipment.nozzles.iter().map(|n| n.jet).collect(),
            density_kg_m3: Water::at_celsius(level.water_c).density(0.0),
            danger_pa: limits.danger_bar.value * 1e5,
            room: limits.hazard_room_pct.value / 100.0,
            farthest_m: limits.jet_hazard_m.value,
        }
    }

    /// From how far the jet that now leaves can hurt, metres, by its flow, its
    /// thrust and its nozzle.
    fn hazard_m(&self, o: &Observation) -> f64 {
        // Counted from one; nothing is on at zero.
        let number = mean(o, Channel::Nozzle) as usize;
        let nozzle = number.checked_sub(1).and_then(|n| self.nozzles.get(n));
        let flow_kg_s = mean(o, Channel::ToolFlow) / 60_000.0 * self.density_kg_m3;
        let exit = Exit::of(flow_kg_s, mean(o, Channel::Thrust), self.density_kg_m3);
        let (Some(nozzle), Some(exit)) = (nozzle, exit) else {
            return self.farthest_m;
        };
        (self.room * nozzle.hazard_m(&exit, self.danger_pa)).min(self.farthest_m)
    }
}
