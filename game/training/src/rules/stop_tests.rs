//! Every way to stop is tested at low pressure before work.

use super::line::{is_fed, mean, moved, on};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Control, Tick};

/// Trigger, dump and emergency stop have each taken the thrust away in time,
/// at low pressure, before the pressure goes up. Those that were tested before
/// the attempt count.
pub struct StopTests;

impl Rule for StopTests {
    fn id(&self) -> &'static str {
        "stop_tests"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-9 (stop device tested before use, defective kit not used); DGUV Regel 100-500 chapter 2.36, 3.6.2 (emergency stop); the 70-bar ceiling of the tests: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::PumpPressure,
            Channel::GunPressure,
            Channel::Thrust,
            Channel::Trigger,
            Channel::EmergencyStop,
            Channel::NozzleFitted,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["trigger", "dump", "emergency_stop"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching(StopsSeen::new(level)))
    }
}

struct Watching(StopsSeen);

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.0.see(o);
        if self.0.gone_too_high(o) {
            found.add(
                o,
                self.0.first_untested().unwrap_or("trigger"),
                self.0.count() as f64,
                3.0,
                "stops tested",
            );
        }
    }
}

/// Which ways to stop have been seen to work.
pub(crate) struct StopsSeen {
    danger_bar: f64,
    test_max_bar: f64,
    within_s: f64,
    share: f64,
    tested: [bool; 3],
    pending: [Option<Pending>; 3],
    trigger_was_open: bool,
    stop_was_struck: bool,
    thrust_n: f64,
    gun_bar: f64,
    above_since: Option<Tick>,
    found: bool,
}

/// A stop that has been worked and whose effect is awaited.
struct Pending {
    at: Tick,
    thrust_before_n: f64,
}

const NAMES: [&str; 3] = ["trigger", "dump", "emergency_stop"];

/// Pressure must stay above the ceiling this long, so that no spike of a
/// closing valve is taken for work.
pub(crate) const ABOVE_FOR_S: f64 = 0.5;

impl StopsSeen {
    pub fn new(level: &Level) -> Self {
        let limits = &level.region.limits;
        StopsSeen {
            danger_bar: limits.danger_bar.value,
            test_max_bar: limits.stop_test_max_bar.value,
            within_s: limits.tool_stopped_within_s.value,
            share: limits.tool_stopped_thrust_share_pct.value / 100.0,
            tested: NAMES.map(|name| level.given.stops_tested.iter().any(|t| t == name)),
            pending: [None, None, None],
            trigger_was_open: false,
            stop_was_struck: false,
            thrust_n: 0.0,
            gun_bar: 0.0,
            above_since: None,
            found: false,
        }
    }

    pub fn count(&self) -> usize {
        self.tested.iter().filter(|t| **t).count()
    }

    fn first_untested(&self) -> Option<&'static str> {
        NAMES
            .iter()
            .zip(self.tested)
            .find(|(_, tested)| !tested)
            .map(|(name, _)| *name)
    }

    pub fn see(&mut self, o: &Observation) {
        let fitted = on(o, Channel::NozzleFitted);
        let live = self.gun_bar >= self.danger_bar && fitted;
        let trigger_open = mean(o, Channel::Trigger) >= 90.0;
        let trigger_shut = mean(o, Channel::Trigger) <= 5.0;
        let struck = on(o, Channel::EmergencyStop);
        let worked = [
            self.trigger_was_open && trigger_shut && is_fed(o),
            moved(o, Control::Dump) == Some(1) && on(o, Channel::EngineRuns),
            struck && !self.stop_was_struck && on(o, Channel::EngineRuns),
        ];
        for (pending, worked) in self.pending.iter_mut().zip(worked) {
            if worked && live {
                *pending = Some(Pending {
                    at: o.tick,
                    thrust_before_n: self.thrust_n,
                });
            }
        }
        if trigger_open {
            self.trigger_was_open = true;
        } else if trigger_shut {
            self.trigger_was_open = false;
        }
        self.stop_was_struck = struck;

        let thrust_n = mean(o, Channel::Thrust);
        let gun_bar = mean(o, Channel::GunPressure);
        for (which, slot) in self.pending.iter_mut().enumerate() {
            let Some(pending) = slot else { continue };
            // Let go, a dry-shut gun keeps its pressure: the thrust has to be
            // gone. The dump and the emergency stop have to take the pressure
            // away, whether or not the trigger is squeezed; what the pump
            // still pushes through an open dump is physical and harmless.
            let stopped = if which == 0 {
                thrust_n <= self.share * pending.thrust_before_n.max(1.0)
            } else {
                gun_bar < self.danger_bar
            };
            if stopped {
                self.tested[which] = true;
                *slot = None;
            } else if o.tick.since(pending.at) > self.within_s {
                *slot = None;
            }
        }
        self.thrust_n = thrust_n;
        self.gun_bar = gun_bar;
    }

    /// Whether the pressure has just gone above the ceiling of the tests while
    /// one of them is still owed. Says so once.
    fn gone_too_high(&mut self, o: &Observation) -> bool {
        if !is_fed(o) || mean(o, Channel::PumpPressure) <= self.test_max_bar {
            self.above_since = None;
            return false;
        }
        let since = *self.above_since.get_or_insert(o.tick);
        let gone = o.tick.since(since) >= ABOVE_FOR_S && self.count() < 3 && !self.found;
        self.found |= gone;
        gone
    }
}
