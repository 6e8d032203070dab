//! What several rules need to know of the line: small readings of an
//! observation that have one meaning everywhere.

use crate::allowed::tool_at;
use crate::{Channel, Event, Observation};
use crew::{Control, Seat, Tick};

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

/// The pump feeds the line and a nozzle is on: what the tool does, it does with
/// the pump behind it.
pub(crate) fn is_loaded(o: &Observation) -> bool {
    is_fed(o) && on(o, Channel::NozzleFitted)
}

/// The trigger is let go. A finger that lies on it squeezes a little (a choice
/// of this project).
pub(crate) fn is_released(o: &Observation) -> bool {
    mean(o, Channel::Trigger) <= 5.0
}

/// The second tool of the pump lets water out: its pedal is down and its cock is open. Where there is
/// none, neither is measured.
pub(crate) fn second_runs(o: &Observation) -> bool {
    mean(o, Channel::Pedal) > 5.0 && on(o, Channel::PedalOutlet)
}

/// The tool is in the hands.
pub(crate) fn in_hands(o: &Observation) -> bool {
    mean(o, Channel::ToolAt) == tool_at::HANDS
}

/// Flow from which water runs out of the tool and does not just drip, L/min (a
/// choice of this project).
const RUNS_ABOVE_L_MIN: f64 = 1.0;

/// Thrust from which running water is a jet, newtons (a choice of this
/// project).
const JET_ABOVE_N: f64 = 5.0;

/// Water runs out of the tool, with or without a nozzle.
pub(crate) fn water_runs(o: &Observation) -> bool {
    mean(o, Channel::ToolFlow) > RUNS_ABOVE_L_MIN
}

/// A jet leaves a nozzle. What runs out of a bare end is none: it comes at the
/// speed of the hose.
pub(crate) fn jet_runs(o: &Observation) -> bool {
    on(o, Channel::NozzleFitted) && water_runs(o) && mean(o, Channel::Thrust) > JET_ABOVE_N
}

/// When somebody last had to move their feet to stay up.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Footing {
    lost: Option<Tick>,
}

/// How long a step to stay up takes until one stands again, seconds (a choice
/// of this project).
const RECOVERY_S: f64 = 1.0;

impl Footing {
    /// Sees whether the lance hand keeps their footing in this tick.
    pub fn see(&mut self, o: &Observation) {
        let lost = o.events.iter().any(|e| {
            matches!(
                e,
                Event::Stepped { seat: Seat::LANCE }
                    | Event::Slipped { seat: Seat::LANCE }
                    | Event::Fell { seat: Seat::LANCE }
            )
        });
        if lost {
            self.lost = Some(o.tick);
        }
    }

    /// Whether what the feet do now is a step to stay up and no walk.
    pub fn recovers(&self, now: Tick) -> bool {
        self.lost.is_some_and(|lost| now.since(lost) < RECOVERY_S)
    }
}

/// The position that a control was moved to in this tick.
pub(crate) fn moved(o: &Observation, control: Control) -> Option<u16> {
    o.events.iter().rev().find_map(|e| match e {
        Event::Moved { control: c, to, .. } if *c == control => Some(*to),
        _ => None,
    })
}
