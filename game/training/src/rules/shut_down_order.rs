//! The order of shutting down.

use super::line::{is_bled, is_dumped, mean, moved, on};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, Level, Observation};
use crew::{Control, Seat, Tick};

/// Regulator backed off and dump open, idle to cool, stop, prove zero, supply
/// shut last, dump left open, key out.
pub struct ShutDownOrder;

impl Rule for ShutDownOrder {
    fn id(&self) -> &'static str {
        "shut_down_order"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-10 (pressure let out after work); cooling at idle, supply shut last, dump left open: common practice, no source"
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
            Channel::EmergencyStop,
            Channel::DumpOpen,
            Channel::DumpLever,
            Channel::BleedOpen,
            Channel::BleedRuns,
            Channel::SupplyOpen,
            Channel::SetPressure,
            Channel::Throttle,
            Channel::PumpPressure,
            Channel::GunPressure,
            Channel::Key,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &[
            "supply_before_zero",
            "not_cooled",
            "regulator",
            "not_zero",
            "supply",
            "dump",
            "key",
        ]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            cooling: Cooling::new(level),
            backed_off_bar: limits.start_set_pressure_max_bar.value,
            zero_bar: limits.zero_bar.value,
            danger_bar: limits.danger_bar.value,
        })
    }
}

struct Watching {
    cooling: Cooling,
    backed_off_bar: f64,
    zero_bar: f64,
    danger_bar: f64,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.cooling.see(o);
        let proved = is_bled(o) && !on(o, Channel::EngineRuns);
        if moved(o, Control::Supply) == Some(0) && !proved {
            found.add(o, "supply_before_zero", 0.0, 1.0, "proofs of zero");
        }
        if !o.events.contains(&Event::HandedBack) {
            return;
        }
        if let Some(idled_s) = self.cooling.owed() {
            found.add(o, "not_cooled", idled_s, self.cooling.cool_s, "s");
        }
        let set_bar = mean(o, Channel::SetPressure);
        if set_bar > self.backed_off_bar {
            found.add(o, "regulator", set_bar, self.backed_off_bar, "bar");
        }
        let left_bar = mean(o, Channel::GunPressure);
        // More than that is a graver matter, and a rule of its own.
        let some_left = left_bar > self.zero_bar && left_bar <= self.danger_bar;
        if on(o, Channel::EngineRuns) || some_left {
            found.add(o, "not_zero", left_bar, self.zero_bar, "bar");
        }
        for (detail, channel, wanted) in [
            ("supply", Channel::SupplyOpen, 0.0),
            ("dump", Channel::DumpLever, 1.0),
            ("key", Channel::Key, 0.0),
        ] {
            let position = mean(o, channel);
            if position != wanted {
                found.add(o, detail, position, wanted, "position");
            }
        }
    }
}

/// Whether the engine was idled unloaded before it was last stopped.
pub(crate) struct Cooling {
    cool_s: f64,
    throttle_max_pct: f64,
    loaded_above_bar: f64,
    backed_off_bar: f64,
    /// The engine has worked since it last cooled.
    hot: bool,
    idle_since: Option<Tick>,
    ran: bool,
    /// A part is out of order: nobody lets an engine idle on with it.
    failed: bool,
    stopped: Option<Stopped>,
}

#[derive(Clone, Copy)]
struct Stopped {
    idled_s: f64,
    hot: bool,
    in_emergency: bool,
}

impl Cooling {
    pub fn new(level: &Level) -> Self {
        let limits = &level.region.limits;
        Cooling {
            cool_s: limits.cool_idle_s.value,
            throttle_max_pct: limits.cool_throttle_max_pct.value,
            loaded_above_bar: 0.5 * level.job.pressure_bar,
            backed_off_bar: limits.start_set_pressure_max_bar.value,
            hot: false,
            idle_since: None,
            ran: false,
            failed: false,
            stopped: None,
        }
    }

    pub fn see(&mut self, o: &Observation) {
        for event in &o.events {
            if let Event::Failed { amount, .. } = event {
                self.failed = *amount > 0;
            }
        }
        let runs = on(o, Channel::EngineRuns);
        if runs {
            self.stopped = None;
            if mean(o, Channel::PumpPressure) > self.loaded_above_bar {
                self.hot = true;
            }
            let unloaded = is_dumped(o) || mean(o, Channel::SetPressure) <= self.backed_off_bar;
            if unloaded && mean(o, Channel::Throttle) <= self.throttle_max_pct {
                let since = *self.idle_since.get_or_insert(o.tick);
                if o.tick.since(since) >= self.cool_s {
                    self.hot = false;
                }
            } else {
                self.idle_since = None;
            }
        } else if self.ran {
            self.stopped = Some(Stopped {
                idled_s: self.idle_since.map_or(0.0, |since| o.tick.since(since)),
                hot: self.hot,
                in_emergency: on(o, Channel::EmergencyStop) || self.failed,
            });
            self.idle_since = None;
        }
        self.ran = runs;
    }

    /// The seconds idled, when the last stop came too soon, was no emergency, and
    /// nothing was out of order.
    fn owed(&self) -> Option<f64> {
        self.stopped
            .filter(|s| s.hot && !s.in_emergency)
            .map(|s| s.idled_s)
    }

    /// Whether the engine has worked and was cooled before it was stopped.
    pub fn done(&self, worked: bool) -> bool {
        worked && self.stopped.is_some_and(|s| !s.hot)
    }
}
