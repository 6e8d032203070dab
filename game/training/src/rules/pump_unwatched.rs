//! Somebody stands by the dump while the pump is under pressure.

use super::breach::{Breach, Turn};
use super::leak_walk::Walk;
use super::line::{is_dumped, mean};
use super::{Found, PUMP_POST, Rule, Watch};
use crate::allowed::REACH_M;
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// Under pressure the hand at the pump stays within reach of the dump. An open
/// dump needs nobody: what the pump still pushes through it is residual.
///
/// The leak walk is the one exception, because with a crew of two somebody has
/// to leave a post for it, and the lance hand may not lay down a live tool.
/// While the level still owes it, and only up to the low pressure at which it
/// is made, the pump hand may be away for as long as such a walk takes. Back at
/// the dump with the walk made, or above that pressure, the exception is gone.
pub struct PumpUnwatched;

/// How long a leak walk takes at most, seconds (common practice, no source: 30
/// to 60 s).
const WALK_MAX_S: f64 = 60.0;

impl Rule for PumpUnwatched {
    fn id(&self) -> &'static str {
        "pump_unwatched"
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-2 (the pump is watched whenever it is under pressure); how far and how long: a choice of this project; that a crew of two leaves the pump for the leak walk at the first low step: common practice, no source, and not what the section says"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Derived
    }
    fn posts(&self) -> &'static [Seat] {
        PUMP_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::DumpOpen,
            Channel::NozzleFitted,
            Channel::PumpPressure,
            Channel::PumpHandToDump,
            Channel::PumpHandX,
            Channel::PumpHandZ,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["unwatched", "long_walk"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            low_max_bar: limits.stop_test_max_bar.value,
            unwatched_s: limits.unwatched_s.value,
            walk: Walk::owed(level),
            away_since: None,
            unwatched: Breach::default(),
        })
    }
}

struct Watching {
    danger_bar: f64,
    low_max_bar: f64,
    unwatched_s: f64,
    /// The leak walk, as long as it is owed.
    walk: Option<Walk>,
    /// Since when nobody has been in reach of the dump under pressure.
    away_since: Option<Tick>,
    unwatched: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let bar = mean(o, Channel::PumpPressure);
        let away = mean(o, Channel::PumpHandToDump) > REACH_M;
        if let Some(walk) = &mut self.walk {
            walk.see(o);
        }
        if !away {
            self.walk.take_if(|walk| walk.is_done());
        }
        if !away || is_dumped(o) || bar <= self.danger_bar {
            self.away_since = None;
            self.unwatched.see(o.tick, false, self.unwatched_s);
            return;
        }
        let away_s = o.tick.since(*self.away_since.get_or_insert(o.tick));
        let on_walk = self.walk.is_some() && bar <= self.low_max_bar;
        let excused = on_walk && away_s <= WALK_MAX_S;
        if let Turn::Found(for_s) = self.unwatched.see(o.tick, !excused, self.unwatched_s) {
            if on_walk {
                found.add(o, "long_walk", away_s, WALK_MAX_S, "s");
            } else {
                found.add(o, "unwatched", for_s, self.unwatched_s, "s");
            }
        }
    }
}
