//! Nothing is handed over with pressure in a line.

use super::line::mean;
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::Seat;

/// When the job is handed back, no line holds pressure: neither behind a gun that shuts dry nor behind
/// the cock of an outlet, where no dump reaches.
pub struct LineLeftCharged;

impl Rule for LineLeftCharged {
    fn id(&self) -> &'static str {
        "line_left_charged"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-10 (pressure let out when the work is left)"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[Channel::GunPressure, Channel::PedalPressure]
    }
    fn details(&self) -> &'static [&'static str] {
        &["lance", "pedal"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            danger_bar: level.region.limits.danger_bar.value,
        })
    }
}

struct Watching {
    danger_bar: f64,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        if !o.events.contains(&Event::HandedBack) {
            return;
        }
        for (detail, channel) in [
            ("lance", Channel::GunPressure),
            ("pedal", Channel::PedalPressure),
        ] {
            let bar = mean(o, channel);
            if bar > self.danger_bar {
                found.add(o, detail, bar, self.danger_bar, "bar");
            }
        }
    }
}
