//! The jet stays away from one's own feet.

use super::breach::{Breach, Turn};
use super::line::{in_hands, jet_runs};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// The line of a running jet never comes near the feet of the one who holds it.
pub struct PointedAtFeet;

/// How long the jet has to be there, seconds: two samples, because the one in
/// which the jet begins also holds what was before it.
const LASTS_S: f64 = 0.1;

impl Rule for PointedAtFeet {
    fn id(&self) -> &'static str {
        "pointed_at_feet"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "WorkSafe WA, Mines Safety Significant Incident Report 229 (a foot cut with the lance between the legs); DGUV Information 214-022 (feet are hit most often); the distance: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::JetToFeet,
            Channel::ToolAt,
            Channel::NozzleFitted,
            Channel::ToolFlow,
            Channel::Thrust,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["too_near"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            near_m: level.region.limits.jet_to_feet_m.value,
            near: Breach::default(),
        })
    }
}

struct Watching {
    near_m: f64,
    near: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let Some(feet_m) = o.min(Channel::JetToFeet) else {
            return;
        };
        let near = in_hands(o) && jet_runs(o) && feet_m < self.near_m;
        if let Turn::Found(_) = self.near.see(o.tick, near, LASTS_S) {
            found.add(o, "too_near", feet_m, self.near_m, "m");
        }
    }
}
