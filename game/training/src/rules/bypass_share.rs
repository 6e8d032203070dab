//! Speed to suit the nozzle: most of the water goes to work.

use super::breach::{Breach, Turn};
use super::line::{is_loaded, mean};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Seat;

/// With the trigger open, that of a second tool too where there is one, and nothing being changed, no
/// more than a share of the pump's flow goes over the bypass.
pub struct BypassShare;

/// How long everything has to be steady before the share is judged, seconds
/// (common practice, no source).
const STEADY_S: f64 = 20.0;

/// The trigger counts as open from this share of its travel, percent.
const OPEN_PCT: f64 = 90.0;

/// The throttle counts as left alone within this much, percent of its travel:
/// less than two detents.
const THROTTLE_LEFT_PCT: f64 = 1.5;

/// The regulator counts as left alone within this share of the job's pressure
/// (a choice of this project: its own play).
const SET_LEFT_SHARE: f64 = 0.02;

impl Rule for BypassShare {
    fn id(&self) -> &'static str {
        "bypass_share"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "common practice, no source: bypassed water heats the tank and wears the valve; judged only with the trigger open and all steady"
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
            Channel::Trigger,
            Channel::ToolFlow,
            Channel::BypassFlow,
            Channel::SetPressure,
            Channel::Throttle,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["too_much"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            share_max: level.region.limits.bypass_share_max_pct.value / 100.0,
            set_left_bar: SET_LEFT_SHARE * level.job.pressure_bar,
            second: level.equipment.second.is_some(),
            left: None,
            over: Breach::default(),
        })
    }
}

struct Watching {
    share_max: f64,
    set_left_bar: f64,
    /// The unit has a second tool.
    second: bool,
    /// Set pressure and throttle since they were last changed.
    left: Option<(f64, f64)>,
    over: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let (set_bar, throttle_pct) = (mean(o, Channel::SetPressure), mean(o, Channel::Throttle));
        let other = !self.second || mean(o, Channel::Pedal) >= OPEN_PCT;
        let open = is_loaded(o) && mean(o, Channel::Trigger) >= OPEN_PCT && other;
        let (was_bar, was_pct) = *self.left.get_or_insert((set_bar, throttle_pct));
        let left_alone = (set_bar - was_bar).abs() <= self.set_left_bar
            && (throttle_pct - was_pct).abs() <= THROTTLE_LEFT_PCT;
        if !left_alone {
            self.left = Some((set_bar, throttle_pct));
        }
        let bypass = mean(o, Channel::BypassFlow);
        let tool = mean(o, Channel::ToolFlow) + mean(o, Channel::PedalFlow);
        let share = if bypass + tool > 0.0 {
            bypass / (bypass + tool)
        } else {
            0.0
        };
        let over = open && left_alone && share > self.share_max;
        if let Turn::Found(_) = self.over.see(o.tick, over, STEADY_S) {
            found.add(o, "too_much", 100.0 * share, 100.0 * self.share_max, "%");
        }
    }
}
