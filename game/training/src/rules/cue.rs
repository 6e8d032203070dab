//! From a cue to the act: somebody calls for a stop or walks in, and the hand
//! at the trainee's post stops the water.
//!
//! What counts is the act and not what the water does then: the trigger let go
//! at the lance, the dump lever opened or the emergency stop struck at the
//! pump. The rule about it and the lines of the procedure's mark read the same
//! cues, so that one call is never judged in two ways.

use super::line::{is_fed, is_loaded, is_released, mean, on};
use crate::allowed::REACH_M;
use crate::{Channel, Event, Level, Observation};
use crew::{Call, Seat, Tick};

/// The channels that cues are read from.
pub const CHANNELS: &[Channel] = &[
    Channel::EngineRuns,
    Channel::DumpOpen,
    Channel::DumpLever,
    Channel::EmergencyStop,
    Channel::NozzleFitted,
    Channel::Trigger,
    Channel::PumpHandToDump,
    Channel::Intruder,
    Channel::IntruderSeenByLance,
    Channel::IntruderSeenByPump,
];

/// How fast somebody walks to the dump, metres per second (from memory: an
/// adult's comfortable pace).
const WALK_M_S: f64 = 1.2;

/// How long after one's own call for a stop the same from somebody else is an
/// answer and no call, seconds (a choice of this project).
const ANSWERS_S: f64 = 5.0;

/// Who has let go so long before a word was out has answered it as it was spoken, seconds (a
/// choice of this project: the time that such a word takes, and a little more).
const SPOKEN_S: f64 = 1.5;

/// What gave cause to stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Somebody who has no business there was in sight of the post.
    Seen,
    /// Somebody else called for it.
    Called(Call),
}

/// A cause to stop, and the act.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cue {
    /// From when on one could know.
    pub tick: Tick,
    /// What gave cause.
    pub cause: Cause,
    /// Seconds that were allowed for the act, the way to the lever included.
    pub allowed_s: f64,
    /// Seconds until the act; nothing while it is awaited.
    pub acted_s: Option<f64>,
}

impl Cue {
    /// Whether the act came in time.
    pub fn is_met(&self) -> bool {
        self.acted_s.is_some_and(|s| s <= self.allowed_s)
    }
}

/// The cues of an attempt for the trainee's post.
#[derive(Clone, Debug)]
pub struct Cues {
    post: Seat,
    release_s: f64,
    dump_s: f64,
    cues: Vec<Cue>,
    /// When the trainee last called for a stop.
    own_call: Option<Tick>,
    /// The trigger is squeezed, or when it was let go last.
    squeezed: bool,
    let_go: Option<Tick>,
}

impl Cues {
    /// Begins to watch for the post of a level.
    pub fn new(level: &Level) -> Self {
        let limits = &level.region.limits;
        Cues {
            post: level.post,
            release_s: limits.release_on_cue_s.value,
            dump_s: limits.dump_on_call_s.value,
            cues: Vec::new(),
            own_call: None,
            squeezed: false,
            let_go: None,
        }
    }

    /// All cues so far, in the order of time. Only the last one can be open:
    /// who is already called to stop is not called anew.
    pub fn all(&self) -> &[Cue] {
        &self.cues
    }

    /// The cue whose act is awaited.
    pub fn open(&self) -> Option<&Cue> {
        self.cues.last().filter(|cue| cue.acted_s.is_none())
    }

    /// Sees one tick.
    pub fn see(&mut self, o: &Observation) {
        let at_lance = self.post == Seat::LANCE;
        let acted = if at_lance {
            is_released(o)
        } else {
            on(o, Channel::DumpLever) || on(o, Channel::EmergencyStop)
        };
        if acted && self.squeezed {
            self.let_go = Some(o.tick);
        }
        self.squeezed = !acted;
        let called = self.hear(o);
        if let Some(cue) = self.cues.last_mut().filter(|cue| cue.acted_s.is_none()) {
            if acted {
                cue.acted_s = Some(o.tick.since(cue.tick));
            }
            return;
        }
        let seen_by = if at_lance {
            Channel::IntruderSeenByLance
        } else {
            Channel::IntruderSeenByPump
        };
        let seen = !acted && on(o, Channel::Intruder) && on(o, seen_by);
        // A hand that was at the lever before the word was out has answered it,
        // as long as the valve still opens; so has one that let go of the trigger
        // while it was spoken.
        let under_way = if at_lance {
            let since_s = self.let_go.map_or(f64::MAX, |at| o.tick.since(at));
            acted && since_s <= SPOKEN_S && called.is_some()
        } else {
            acted && is_fed(o)
        };
        let Some(cause) = seen.then_some(Cause::Seen).or(called) else {
            return;
        };
        if is_loaded(o) && (!acted || under_way) {
            let way_m = (mean(o, Channel::PumpHandToDump) - REACH_M).max(0.0);
            self.cues.push(Cue {
                tick: o.tick,
                cause,
                allowed_s: if at_lance {
                    self.release_s
                } else {
                    self.dump_s + way_m / WALK_M_S
                },
                acted_s: acted.then_some(0.0),
            });
        }
    }

    /// Hears whether anybody else calls for a stop in this tick.
    fn hear(&mut self, o: &Observation) -> Option<Cause> {
        let stops = o.events.iter().filter_map(|e| match e {
            Event::Said {
                seat,
                call: call @ (Call::Dump | Call::AllStop),
            } => Some((*seat, *call)),
            _ => None,
        });
        let mut called = None;
        for (seat, call) in stops {
            if seat == self.post {
                self.own_call = Some(o.tick);
            } else if self.own_call.is_none_or(|t| o.tick.since(t) > ANSWERS_S) {
                called.get_or_insert(Cause::Called(call));
            }
        }
        called
    }
}
