//! Where the pressure no longer rises, the regulator is not wound in further.

use super::line::{is_loaded, mean};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// With the trigger open and nothing left on the bypass the pump gives all it has: whoever winds the
/// regulator in then gets no more pressure, but a stroke of it as soon as the gun shuts.
pub struct WoundPastSag;

/// The trigger counts as open from this share of its travel, percent.
const OPEN_PCT: f64 = 90.0;
/// The bypass counts as used up below this share of the pump's flow (a choice of this project).
const USED_UP: f64 = 0.03;
/// How long it has to be used up before a hand can know, seconds (a choice of this project: the
/// needle's lag, and a look at it).
const KNOWN_S: f64 = 2.0;
/// How far the set point may be above the needle, and be wound on, as a share of the job's pressure
/// (a choice of this project: a few detents).
const PLAY: f64 = 0.03;

impl Rule for WoundPastSag {
    fn id(&self) -> &'static str {
        "wound_past_sag"
    }
    fn severity(&self) -> Severity {
        Severity::Major
    }
    fn source(&self) -> &'static str {
        "common practice, no source: a sagging needle is a nozzle too big, a pump that starves or one that is worn, and no want of regulator"
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
            Channel::PumpPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["wound_in"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            play_bar: PLAY * level.job.pressure_bar,
            sags: None,
            found: false,
        })
    }
}

struct Watching {
    play_bar: f64,
    /// Since when the bypass is used up, and the set point once that could be known.
    sags: Option<(Tick, Option<f64>)>,
    found: bool,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let (tool, bypass) = (mean(o, Channel::ToolFlow), mean(o, Channel::BypassFlow));
        let set_bar = mean(o, Channel::SetPressure);
        let sags = is_loaded(o)
            && mean(o, Channel::Trigger) >= OPEN_PCT
            && bypass < USED_UP * (tool + bypass)
            && mean(o, Channel::PumpPressure) < set_bar - self.play_bar;
        if !sags {
            self.sags = None;
            self.found = false;
            return;
        }
        let (since, known) = self.sags.get_or_insert((o.tick, None));
        if known.is_none() && o.tick.since(*since) >= KNOWN_S {
            *known = Some(set_bar);
        }
        let Some(from_bar) = known else { return };
        let wound_bar = set_bar - *from_bar;
        if wound_bar > self.play_bar && !self.found {
            self.found = true;
            found.add(o, "wound_in", wound_bar, self.play_bar, "bar");
        }
    }
}
