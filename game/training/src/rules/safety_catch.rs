//! The safety catch is on whenever the trigger is let go for longer.

use super::breach::{Breach, Turn};
use super::line::{Footing, in_hands, is_fed, is_released, mean, on};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// With a live tool in the hands and the trigger let go, the catch goes on:
/// soon when one stands, at once when one walks.
pub struct CatchOn;

/// Speed from which one is on the way somewhere, metres per second (a choice of
/// this project).
const MOVES_ABOVE_M_S: f64 = 0.5;

/// How long one has to be on the way, seconds (a choice of this project).
const MOVES_FOR_S: f64 = 0.3;

impl Rule for CatchOn {
    fn id(&self) -> &'static str {
        "safety_catch"
    }
    fn severity(&self) -> Severity {
        Severity::Minor
    }
    fn source(&self) -> &'static str {
        "common practice, no source: catch on at every longer release, every move and every hand-over"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::SafetyCatch,
            Channel::Trigger,
            Channel::ToolAt,
            Channel::NozzleFitted,
            Channel::GunPressure,
            Channel::EngineRuns,
            Channel::DumpOpen,
            Channel::LanceHandSpeed,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["left_off", "moving"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            within_s: limits.catch_within_s.value,
            footing: Footing::default(),
            moving_since: None,
            off: Breach::over_at_once(),
            found: "left_off",
        })
    }
}

struct Watching {
    danger_bar: f64,
    within_s: f64,
    footing: Footing,
    moving_since: Option<Tick>,
    off: Breach,
    found: &'static str,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.footing.see(o);
        let live = on(o, Channel::NozzleFitted)
            && (is_fed(o) || mean(o, Channel::GunPressure) > self.danger_bar);
        let off = in_hands(o) && live && is_released(o) && !on(o, Channel::SafetyCatch);
        let speed_m_s = mean(o, Channel::LanceHandSpeed);
        if off && speed_m_s > MOVES_ABOVE_M_S && !self.footing.recovers(o.tick) {
            self.moving_since.get_or_insert(o.tick);
        } else {
            self.moving_since = None;
        }
        let moving = (self.moving_since).is_some_and(|since| o.tick.since(since) >= MOVES_FOR_S);
        let within_s = if moving { 0.0 } else { self.within_s };
        match self.off.see(o.tick, off, within_s) {
            Turn::Found(_) if moving => {
                self.found = "moving";
                found.add(o, "moving", speed_m_s, MOVES_ABOVE_M_S, "m/s");
            }
            Turn::Found(for_s) => {
                self.found = "left_off";
                found.add(o, "left_off", for_s, self.within_s, "s");
            }
            Turn::Over(at) => found.mend(at, self.found),
            Turn::Same => {}
        }
    }
}
