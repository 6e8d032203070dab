//! What several rules need to know of the line: small readings of an
//! observation that have one meaning everywhere.

use crate::{Channel, Event, Observation};
use crew::{Call, Control, Seat, Tick};

/// Whether a state is on; a missing channel never gets here, because the
/// referee leaves a rule out whose channels are not all there.
pub(crate) fn on(o: &Observation, channel: Channel) -> bool {
    o.on(channel).unwrap_or(false)
}

/// Mean of a channel.
pub(crate) fn mean(o: &Observation, channel: Channel) -> f64 {
    o.mean(channel).unwrap_or(0.0)
}

/// Greatest value of a channel.
pub(crate) fn max(o: &Observation, channel: Channel) -> f64 {
    o.max(channel).unwrap_or(0.0)
}

/// The engine runs and the dump is shut, so that the pump feeds the line.
pub(crate) fn is_fed(o: &Observation) -> bool {
    on(o, Channel::EngineRuns) && mean(o, Channel::DumpOpen) < 5.0
}

/// The dump stands open.
pub(crate) fn is_dumped(o: &Observation) -> bool {
    mean(o, Channel::DumpOpen) >= 95.0
}

/// The dump is open and the bleed valve is open and has run out.
pub(crate) fn is_bled(o: &Observation) -> bool {
    is_dumped(o) && on(o, Channel::BleedOpen) && !on(o, Channel::BleedRuns)
}

/// The position that a control was moved to in this tick.
pub(crate) fn moved(o: &Observation, control: Control) -> Option<u16> {
    o.events.iter().rev().find_map(|e| match e {
        Event::Moved { control: c, to, .. } if *c == control => Some(*to),
        _ => None,
    })
}

/// A word that both hands have to say for it to hold: one says it, the other
/// reads it back.
#[derive(Clone, Debug, Default)]
pub(crate) struct Agreed {
    pump: Option<Tick>,
    lance: Option<Tick>,
}

impl Agreed {
    /// Hears the words of this tick.
    pub fn hear(&mut self, o: &Observation, call: Call) {
        for event in &o.events {
            if let Event::Said { seat, call: said } = event
                && *said == call
            {
                match *seat {
                    Seat::PUMP => self.pump = Some(o.tick),
                    Seat::LANCE => self.lance = Some(o.tick),
                    _ => {}
                }
            }
        }
    }

    /// Forgets the word: it has been used up or taken back.
    pub fn forget(&mut self) {
        *self = Agreed::default();
    }

    /// Whether both have said it, each within the last `valid_s` seconds.
    pub fn holds(&self, now: Tick, valid_s: f64) -> bool {
        [self.pump, self.lance]
            .iter()
            .all(|said| said.is_some_and(|tick| now.since(tick) <= valid_s))
    }
}
