//! Every coupling of the hose is held by its whip restraint before there is pressure.

use super::breach::{Breach, Turn};
use super::line::{mean, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Control;

/// While there is pressure at the pump, no whip restraint of the level hangs loose. A level without
/// restraints is not judged.
pub struct UnrestrainedCoupling;

impl Rule for UnrestrainedCoupling {
    fn id(&self) -> &'static str {
        "unrestrained_coupling"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Water Jetting Association (United Kingdom), guidance note 103 (2016): every coupling on the supply side is restrained; New Jersey FACE 96NJ044 (a hose that flailed killed one and hurt three)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::PumpPressure,
            Channel::PumpRestraint,
            Channel::GunRestraint,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["pump_end", "gun_end"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let ends = [
            (Control::PumpRestraint, Channel::PumpRestraint, "pump_end"),
            (Control::GunRestraint, Channel::GunRestraint, "gun_end"),
        ];
        Box::new(Watching {
            danger_bar: level.region.limits.danger_bar.value,
            ends: ends
                .into_iter()
                .filter(|(control, ..)| level.site.control(*control).is_some())
                .map(|(_, channel, detail)| (channel, detail, Breach::default()))
                .collect(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    ends: Vec<(Channel, &'static str, Breach)>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let live = mean(o, Channel::PumpPressure) > self.danger_bar;
        for (clipped, detail, loose) in &mut self.ends {
            match loose.see(o.tick, live && !on(o, *clipped), 0.0) {
                Turn::Found(_) => found.add(o, detail, 0.0, 1.0, "clipped"),
                Turn::Over(at) => found.mend(at, detail),
                Turn::Same => {}
            }
        }
    }
}
