//! How long it took from a cause to act to the act, at both posts.

use crate::sheet::{Cause, Cue, Release};
use crew::{Call, Control, Seat};
use training::region::Limits;
use training::{Channel, Event, Observation};

/// A trigger that is squeezed less than this is let go, percent: what play and
/// a resting finger leave (a choice of this project).
const LET_GO_PCT: f64 = 5.0;

/// Whether the trigger is squeezed.
pub(super) fn is_squeezed(o: &Observation) -> bool {
    o.mean(Channel::Trigger).is_some_and(|t| t >= LET_GO_PCT)
}

/// Watches for causes and for the acts that they ask for.
pub(super) struct Cues {
    pub(super) pump: Vec<Cue>,
    pub(super) lance: Vec<Release>,
    dump_s: f64,
    release_s: f64,
    saw_intruder: bool,
}

impl Cues {
    pub(super) fn new(limits: &Limits) -> Self {
        Cues {
            pump: Vec::new(),
            lance: Vec::new(),
            dump_s: limits.dump_on_call_s.value,
            release_s: limits.release_on_cue_s.value,
            saw_intruder: false,
        }
    }

    pub(super) fn see(&mut self, o: &Observation) {
        self.see_pump(o);
        self.see_lance(o);
    }

    fn see_pump(&mut self, o: &Observation) {
        let acted = o.events.iter().any(|event| {
            matches!(
                event,
                Event::Moved {
                    control: Control::Dump | Control::EmergencyStop,
                    to: 1..,
                    ..
                }
            )
        });
        let open = o.mean(Channel::DumpOpen).is_some_and(|open| open >= 95.0);
        for cue in &mut self.pump {
            let since_s = o.tick.since(cue.tick);
            if acted && cue.acted_s.is_none() {
                cue.acted_s = Some(since_s);
            }
            if open && cue.open_s.is_none() {
                cue.open_s = Some(since_s);
            }
        }
        let waits = self.pump.last().is_some_and(|cue| cue.acted_s.is_none());
        if !super::is_fed(o) || waits {
            return;
        }
        let calls = o.events.iter().find_map(|event| match event {
            Event::Said {
                seat: Seat::LANCE,
                call: call @ (Call::Dump | Call::AllStop),
            } => Some(*call),
            _ => None,
        });
        self.pump.extend(calls.map(|call| Cue {
            tick: o.tick,
            call,
            acted_s: None,
            open_s: None,
            allowed_s: self.dump_s,
        }));
    }

    fn see_lance(&mut self, o: &Observation) {
        let squeezed = is_squeezed(o);
        if !squeezed {
            for release in &mut self.lance {
                let since_s = o.tick.since(release.tick);
                release.released_s.get_or_insert(since_s);
            }
        }
        let sees = o.on(Channel::IntruderSeenByLance) == Some(true);
        let appeared = sees && !self.saw_intruder;
        self.saw_intruder = sees;
        let waits = self.lance.last().is_some_and(|r| r.released_s.is_none());
        if !squeezed || waits {
            return;
        }
        let heard = o.events.iter().find_map(|event| match event {
            Event::Said {
                seat,
                call: call @ (Call::Dump | Call::AllStop),
            } if *seat != Seat::LANCE => Some(Cause::Heard(*call)),
            _ => None,
        });
        let cause = heard.or(appeared.then_some(Cause::IntruderSeen));
        self.lance.extend(cause.map(|cause| Release {
            tick: o.tick,
            cause,
            released_s: None,
            allowed_s: self.release_s,
        }));
    }
}
