//! What the trainee made of couplings that can let go.

use super::Seen;
use crate::rules::line::{is_fed, mean, on};
use crate::{Channel, Event, HurtGrade, Level, Observation};
use crew::{Control, Tick};

/// All whip restraints of the level were clipped before there was pressure for the first time.
pub(super) struct Restrained {
    danger_bar: f64,
    ends: Vec<Channel>,
    /// Whether they were, once there was pressure.
    clipped: Option<bool>,
}

impl Restrained {
    pub fn new(level: &Level) -> Self {
        let ends = [
            (Control::PumpRestraint, Channel::PumpRestraint),
            (Control::GunRestraint, Channel::GunRestraint),
        ];
        Restrained {
            danger_bar: level.region.limits.danger_bar.value,
            ends: ends
                .into_iter()
                .filter(|(control, _)| level.site.control(*control).is_some())
                .map(|(_, channel)| channel)
                .collect(),
            clipped: None,
        }
    }
}

impl Seen for Restrained {
    fn see(&mut self, o: &Observation) {
        if self.clipped.is_none() && mean(o, Channel::PumpPressure) > self.danger_bar {
            self.clipped = Some(self.ends.iter().all(|end| on(o, *end)));
        }
    }

    fn measured(&self) -> (f64, f64, &'static str) {
        (f64::from(u8::from(self.clipped == Some(true))), 1.0, "")
    }
}

/// When the hose parted, the pump stopped feeding it in time, and nobody was hurt.
pub(super) struct StoppedForParted {
    within_s: f64,
    parted: Option<Tick>,
    stopped_s: Option<f64>,
    hurt: bool,
}

impl StoppedForParted {
    pub fn new(within_s: f64) -> Self {
        StoppedForParted {
            within_s,
            parted: None,
            stopped_s: None,
            hurt: false,
        }
    }
}

impl Seen for StoppedForParted {
    fn see(&mut self, o: &Observation) {
        if on(o, Channel::HoseParted) {
            let parted = *self.parted.get_or_insert(o.tick);
            if !is_fed(o) {
                self.stopped_s.get_or_insert(o.tick.since(parted));
            }
        }
        // What whips can strike in the very tick of the parting.
        self.hurt |= self.parted.is_some()
            && o.events
                .iter()
                .any(|e| matches!(e, Event::Hurt { grade, .. } if *grade >= HurtGrade::Injury));
    }

    fn measured(&self) -> (f64, f64, &'static str) {
        let in_time = self.stopped_s.is_some_and(|s| s <= self.within_s);
        (f64::from(u8::from(in_time && !self.hurt)), 1.0, "")
    }

    fn had_occasion(&self) -> bool {
        self.parted.is_some()
    }
}
