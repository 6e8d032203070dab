//! What goes round over the bypass heats the tank: a gun that stays shut is a reason to let the
//! pressure down, and a warm tank an order.

use super::breach::{Breach, Turn};
use super::line::{is_fed, is_loaded, is_released, mean, second_runs};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::Tick;

/// A line does not stand at pressure behind shut tools, one or two, for longer than a limit, unless
/// something is done to it meanwhile; a pump is not kept at pressure once the tank is warm, and feeds nothing at
/// all once it is hot. To dump and to idle is the way out of all three.
pub struct TankHot;

/// How long a hand at the pump has from the alarm to the dump: to see it, to say so, to act,
/// seconds (a choice of this project).
const ALARM_S: f64 = 20.0;

/// The regulator counts as left alone within this share of the job's pressure (a choice of this
/// project: its own play).
const SET_LEFT_SHARE: f64 = 0.02;

impl Rule for TankHot {
    fn id(&self) -> &'static str {
        "tank_hot"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "common practice, no source: a shut gun at pressure turns all of the pump's power into heat of the tank; after two minutes it is dumped, and the tank has an alarm and a stop"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::TankTemperature,
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::Trigger,
            Channel::PumpPressure,
            Channel::SetPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["parked", "alarm", "stop"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            low_bar: limits.stop_test_max_bar.value,
            parked_s: limits.parked_max_s.value,
            alarm_c: limits.tank_alarm_c.value,
            stop_c: limits.tank_stop_c.value,
            set_left_bar: SET_LEFT_SHARE * level.job.pressure_bar,
            second: level.equipment.second.is_some(),
            set_bar: None,
            parked_at: None,
            parked: Breach::default(),
            alarm: Breach::default(),
            stop: Breach::default(),
        })
    }
}

struct Watching {
    /// Up to here a line is at its first low step, where the walk along it takes its time.
    low_bar: f64,
    parked_s: f64,
    alarm_c: f64,
    stop_c: f64,
    set_left_bar: f64,
    /// The unit has a second tool. Its channels are not among those of the rule: what was recorded
    /// before there was one has none, and can be judged all the same.
    second: bool,
    /// The set pressure since it was last changed.
    set_bar: Option<f64>,
    /// When the last breach of that was found.
    parked_at: Option<Tick>,
    parked: Breach,
    alarm: Breach,
    stop: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let set_bar = mean(o, Channel::SetPressure);
        let was_bar = *self.set_bar.get_or_insert(set_bar);
        let left_alone = (set_bar - was_bar).abs() <= self.set_left_bar;
        if !left_alone {
            self.set_bar = Some(set_bar);
        }
        let at_pressure = is_fed(o) && mean(o, Channel::PumpPressure) > self.low_bar;
        let shut = is_released(o) && !(self.second && second_runs(o));
        let parked = at_pressure && is_loaded(o) && shut && left_alone;
        match self.parked.see(o.tick, parked, self.parked_s) {
            Turn::Found(for_s) => {
                found.add(o, "parked", for_s, self.parked_s, "s");
                self.parked_at = Some(o.tick);
            }
            Turn::Over(at) => {
                if let Some(found_at) = self.parked_at {
                    found.came_to("parked", self.parked_s + at.since(found_at));
                }
                found.mend(at, "parked");
            }
            Turn::Same => {}
        }
        let tank_c = mean(o, Channel::TankTemperature);
        let warm = at_pressure && tank_c >= self.alarm_c;
        if let Turn::Found(_) = self.alarm.see(o.tick, warm, ALARM_S) {
            found.add(o, "alarm", tank_c, self.alarm_c, "C");
        }
        let hot = is_fed(o) && tank_c >= self.stop_c;
        if let Turn::Found(_) = self.stop.see(o.tick, hot, 0.0) {
            found.add(o, "stop", tank_c, self.stop_c, "C");
        }
    }
}
