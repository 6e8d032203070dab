//! What a person can do as things are.
//!
//! The yard asks this of every input before a hand moves, with the observation
//! of the tick before; a screen asks the same to say what a hand could do. So
//! both give the same answer.

use crate::event::Refusal;
use crate::level::Site;
use crate::{Channel, Event, Observation};
use crew::{Act, Control, Handling, Input, Seat, Task};

/// How far a hand reaches from where the feet stand, metres along the ground
/// (from memory: functional reach of adults with a lean, 0.7-0.9 m).
pub const REACH_M: f64 = 0.9;

/// How far somebody can be from a tool and still work on it, metres.
const TOOL_REACH_M: f64 = 1.5;

/// Where the observation has what a seat does.
struct OwnChannels {
    x: Channel,
    z: Channel,
    fallen: Channel,
    holds: Channel,
    works: Channel,
    speaks: Channel,
}

fn own(seat: Seat) -> OwnChannels {
    if seat == Seat::PUMP {
        OwnChannels {
            x: Channel::PumpHandX,
            z: Channel::PumpHandZ,
            fallen: Channel::PumpHandFallen,
            holds: Channel::PumpHandHolds,
            works: Channel::PumpHandWorks,
            speaks: Channel::PumpHandSpeaks,
        }
    } else {
        OwnChannels {
            x: Channel::LanceHandX,
            z: Channel::LanceHandZ,
            fallen: Channel::LanceHandFallen,
            holds: Channel::LanceHandHolds,
            works: Channel::LanceHandWorks,
            speaks: Channel::LanceHandSpeaks,
        }
    }
}

/// The control in a seat's hand.
pub fn held(o: &Observation, seat: Seat) -> Option<Control> {
    let number = o.sample(own(seat).holds)?.mean;
    let index = usize::try_from(number).ok()?.checked_sub(1)?;
    Control::ALL.get(index).copied()
}

/// Whether an input can be carried out as things are.
///
/// # Errors
/// Says why not.
pub fn allowed(input: &Input, o: &Observation, site: &Site) -> Result<(), Refusal> {
    let own = own(input.seat);
    let is = |channel| o.on(channel).unwrap_or(false);
    if o.events.contains(&Event::HandedBack) {
        return Err(Refusal::Over);
    }
    let works = is(own.works);
    let holding = held(o, input.seat);
    let fallen = is(own.fallen);
    let at = [
        o.mean(own.x).unwrap_or(f64::NAN),
        o.mean(own.z).unwrap_or(f64::NAN),
    ];
    let within = |place: [f64; 2], reach: f64| {
        let (dx, dz) = (place[0] - at[0], place[1] - at[1]);
        // A place that is not known is out of reach.
        dx * dx + dz * dz <= reach * reach
    };
    match input.act {
        // What stops or ends something is never refused but for having no hand
        // on it.
        Act::LetGo | Act::LeaveOff | Act::HandBack | Act::Bookmark => Ok(()),
        Act::Aim { .. } | Act::Stand(_) => {
            if fallen {
                Err(Refusal::Fallen)
            } else {
                Ok(())
            }
        }
        Act::Walk { .. } => {
            if fallen {
                Err(Refusal::Fallen)
            } else if works {
                Err(Refusal::HandsBusy)
            } else {
                Ok(())
            }
        }
        Act::Brace(_) | Act::SafetyCatch(_) => {
            if input.seat == Seat::PUMP {
                Err(Refusal::NoTool)
            } else if works {
                Err(Refusal::HandsBusy)
            } else {
                Ok(())
            }
        }
        Act::Squeeze { permille } => {
            if input.seat == Seat::PUMP {
                Err(Refusal::NoTool)
            } else if permille > 0 && works {
                Err(Refusal::HandsBusy)
            } else if permille > 0 && fallen {
                Err(Refusal::Fallen)
            } else if permille > 0 && is(Channel::SafetyCatch) {
                Err(Refusal::CatchOn)
            } else {
                Ok(())
            }
        }
        Act::Take(control) => {
            let Some([x, _, z]) = site.control(control) else {
                return Err(Refusal::NotThere);
            };
            if fallen {
                Err(Refusal::Fallen)
            } else if works || holding.is_some_and(|held| held != control) {
                Err(Refusal::HandsBusy)
            } else if !within([x, z], REACH_M) {
                Err(Refusal::OutOfReach)
            } else {
                Ok(())
            }
        }
        Act::Twist { .. } => match holding.map(Control::handling) {
            None => Err(Refusal::NothingHeld),
            Some(Handling::Twist { .. }) => Ok(()),
            Some(Handling::Push { .. }) => Err(Refusal::WrongWay),
        },
        Act::Push { .. } => match holding.map(Control::handling) {
            None => Err(Refusal::NothingHeld),
            Some(Handling::Push { .. }) => Ok(()),
            Some(Handling::Twist { .. }) => Err(Refusal::WrongWay),
        },
        Act::Say(_) => {
            if is(own.speaks) {
                Err(Refusal::Speaking)
            } else {
                Ok(())
            }
        }
        Act::Begin(task) => {
            let tool = [
                o.mean(Channel::LanceHandX).unwrap_or(f64::NAN),
                o.mean(Channel::LanceHandZ).unwrap_or(f64::NAN),
            ];
            let fitted = is(Channel::NozzleFitted);
            if fallen {
                Err(Refusal::Fallen)
            } else if works || holding.is_some() {
                Err(Refusal::HandsBusy)
            } else if !within(tool, TOOL_REACH_M) {
                Err(Refusal::OutOfReach)
            } else if (task == Task::RemoveNozzle) != fitted {
                // A nozzle that is on is not gauged or fitted; one that is off
                // is not taken off.
                Err(Refusal::NotThere)
            } else {
                Ok(())
            }
        }
    }
}
