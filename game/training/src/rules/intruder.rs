//! Somebody walks in, or anybody calls for a stop: the water stops at once.

use super::cue::{CHANNELS, Cause, Cues};
use super::{Found, Rule, Watch};
use crate::finding::Severity;
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// From the moment at which the trainee can see somebody in the zone, or has
/// heard anybody else call for the dump or a stop, the hand at their post acts
/// in time. The line of the procedure's mark about an answered call reads the
/// same cues; it gives points for the answer, this rule takes them for none.
pub struct IntruderStopped;

impl Rule for IntruderStopped {
    fn id(&self) -> &'static str {
        "intruder"
    }
    fn version(&self) -> u32 {
        2
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "AS/NZS 4233.1, 5.4 and the Safe Work Australia guide of 2013, 6.6 (exclusion zones; only their headings were read); that anybody may stop and the seconds: common practice, no source"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Practice
    }
    fn channels(&self) -> &'static [Channel] {
        CHANNELS
    }
    fn details(&self) -> &'static [&'static str] {
        &["trigger_seen", "trigger_called", "dump_seen", "dump_called"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        Box::new(Watching {
            at_lance: level.post == Seat::LANCE,
            cues: Cues::new(level),
            found: None,
        })
    }
}

struct Watching {
    at_lance: bool,
    cues: Cues,
    /// The cue that was last found not answered, and the words for it while the
    /// act is still awaited.
    found: Option<(Tick, Option<&'static str>)>,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        self.cues.see(o);
        let Some(cue) = self.cues.open() else {
            // How late it was is known once the act has come.
            let last = self.cues.all().last().and_then(|cue| cue.acted_s);
            if let (Some((_, late)), Some(acted_s)) = (&mut self.found, last)
                && let Some(detail) = late.take()
            {
                found.came_to(detail, acted_s);
            }
            return;
        };
        let waited_s = o.tick.since(cue.tick);
        if waited_s <= cue.allowed_s || self.found.is_some_and(|(tick, _)| tick == cue.tick) {
            return;
        }
        let detail = match (self.at_lance, cue.cause) {
            (true, Cause::Seen) => "trigger_seen",
            (true, Cause::Called(_)) => "trigger_called",
            (false, Cause::Seen) => "dump_seen",
            (false, Cause::Called(_)) => "dump_called",
        };
        found.add(o, detail, waited_s, cue.allowed_s, "s");
        self.found = Some((cue.tick, Some(detail)));
    }
}
