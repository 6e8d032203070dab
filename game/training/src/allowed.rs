//! What a person can do as things are.
//!
//! The yard asks this of every input before a hand moves, with the observation
//! of the tick before; a screen asks the same to say what a hand could do. So
//! both give the same answer.

use crate::event::Refusal;
use crate::level::Site;
use crate::{Channel, Event, Observation};
use crew::{Act, Control, Handling, Input, Part, Seat, Source, Task};

/// How far a hand reaches from where the feet stand, metres along the ground
/// (from memory: functional reach of adults with a lean, 0.7-0.9 m).
pub const REACH_M: f64 = 0.9;

/// How far somebody can be from a tool and still work on it, metres.
const TOOL_REACH_M: f64 = 1.5;

/// How far from the rack protective equipment is put on and taken off, metres.
const RACK_REACH_M: f64 = 2.0;

/// Values of [`Channel::ToolAt`].
pub mod tool_at {
    /// In its stand.
    pub const STAND: f64 = 0.0;
    /// In the hands.
    pub const HANDS: f64 = 1.0;
    /// On the ground.
    pub const GROUND: f64 = 2.0;
}

/// Where the observation has what a seat does.
struct OwnChannels {
    x: Channel,
    z: Channel,
    fallen: Channel,
    holds: Channel,
    works: Channel,
    speaks: Channel,
}

/// What is observed of the two who work; of others only where they are.
fn own(seat: Seat) -> Option<OwnChannels> {
    match seat {
        Seat::PUMP => Some(OwnChannels {
            x: Channel::PumpHandX,
            z: Channel::PumpHandZ,
            fallen: Channel::PumpHandFallen,
            holds: Channel::PumpHandHolds,
            works: Channel::PumpHandWorks,
            speaks: Channel::PumpHandSpeaks,
        }),
        Seat::LANCE => Some(OwnChannels {
            x: Channel::LanceHandX,
            z: Channel::LanceHandZ,
            fallen: Channel::LanceHandFallen,
            holds: Channel::LanceHandHolds,
            works: Channel::LanceHandWorks,
            speaks: Channel::LanceHandSpeaks,
        }),
        _ => None,
    }
}

/// The control in a seat's hand.
pub fn held(o: &Observation, seat: Seat) -> Option<Control> {
    let number = o.sample(own(seat)?.holds)?.mean;
    let index = usize::try_from(number).ok()?.checked_sub(1)?;
    Control::ALL.get(index).copied()
}

/// Somebody who does not work here walks, looks and speaks, and no more.
fn bystander(act: Act) -> Result<(), Refusal> {
    match act {
        Act::Walk { .. }
        | Act::Aim { .. }
        | Act::Turn { .. }
        | Act::Say(_)
        | Act::LetGo
        | Act::LeaveOff => Ok(()),
        _ => Err(Refusal::NoTool),
    }
}

/// Whether an input can be carried out as things are.
///
/// # Errors
/// Says why not.
pub fn allowed(input: &Input, o: &Observation, site: &Site) -> Result<(), Refusal> {
    if o.events.contains(&Event::HandedBack) {
        return Err(Refusal::Over);
    }
    // The pedal of the second tool is under the mate's foot.
    if input.seat == Seat::MATE && matches!(input.act, Act::Squeeze { .. }) {
        return Ok(());
    }
    let Some(own) = own(input.seat) else {
        return bystander(input.act);
    };
    let is = |channel| o.on(channel).unwrap_or(false);
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
    let hose = input.seat == Seat::LANCE && is(Channel::HoseHeld);
    let at_tool = o.mean(Channel::ToolAt).unwrap_or(tool_at::STAND);
    let in_hands = input.seat == Seat::LANCE && at_tool == tool_at::HANDS;
    let tool_near = in_hands || o.mean(Channel::ToolAway).unwrap_or(f64::NAN) <= TOOL_REACH_M;
    match input.act {
        Act::Fail { .. } => match input.source {
            Source::Fault | Source::Instructor => Ok(()),
            Source::Trainee | Source::Crew => Err(Refusal::NotThere),
        },
        Act::TagOut(part) => {
            let of_tool = matches!(part, Part::Gun | Part::Nozzle | Part::Hose);
            let at_unit = site
                .controls
                .iter()
                .filter(|(control, _)| !matches!(control, Control::Barrier | Control::GunRestraint))
                .any(|(_, [x, _, z])| within([*x, *z], REACH_M));
            // The tag of what lies out in the yard can hang at the unit too, where the line begins.
            let at_tool = of_tool && input.seat == Seat::LANCE && tool_near;
            if fallen {
                Err(Refusal::Fallen)
            } else if works || hose || in_hands {
                Err(Refusal::HandsBusy)
            } else if !(at_unit || at_tool) {
                Err(Refusal::OutOfReach)
            } else {
                Ok(())
            }
        }
        // What stops or ends something is never refused but for having no hand
        // on it.
        Act::LetGo | Act::LeaveOff | Act::HandBack | Act::Bookmark => Ok(()),
        Act::Aim { .. }
        | Act::Turn { .. }
        | Act::Stand(_)
        | Act::Reach { .. }
        | Act::Lift { .. } => {
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
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if works || hose {
                Err(Refusal::HandsBusy)
            } else if !tool_near {
                Err(Refusal::ToolNotHeld)
            } else {
                Ok(())
            }
        }
        Act::Tie(on) => {
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if works || hose {
                Err(Refusal::HandsBusy)
            } else if on && !tool_near {
                Err(Refusal::ToolNotHeld)
            } else {
                Ok(())
            }
        }
        Act::LayDown => {
            if in_hands {
                Ok(())
            } else {
                Err(Refusal::ToolNotHeld)
            }
        }
        Act::TakeUp => {
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if fallen {
                Err(Refusal::Fallen)
            } else if in_hands {
                Err(Refusal::ToolInHands)
            } else if works || hose || holding.is_some() {
                Err(Refusal::HandsBusy)
            } else if !tool_near {
                Err(Refusal::OutOfReach)
            } else {
                Ok(())
            }
        }
        Act::TakeHose => {
            if fallen {
                Err(Refusal::Fallen)
            } else if in_hands {
                Err(Refusal::ToolInHands)
            } else if input.seat != Seat::LANCE || works || hose || holding.is_some() {
                Err(Refusal::HandsBusy)
            } else {
                Ok(())
            }
        }
        Act::Choose { .. } => {
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if works {
                Err(Refusal::HandsBusy)
            } else if !tool_near {
                Err(Refusal::OutOfReach)
            } else {
                Ok(())
            }
        }
        Act::Wear { .. } => match site.rack {
            None => Err(Refusal::NotThere),
            Some(_) if fallen => Err(Refusal::Fallen),
            Some(_) if works || in_hands => Err(Refusal::HandsBusy),
            Some(rack) if !within(rack, RACK_REACH_M) => Err(Refusal::OutOfReach),
            Some(_) => Ok(()),
        },
        Act::Squeeze { permille } => {
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if permille > 0 && (works || hose) {
                Err(Refusal::HandsBusy)
            } else if permille > 0 && fallen {
                Err(Refusal::Fallen)
            } else if permille > 0 && !tool_near {
                Err(Refusal::ToolNotHeld)
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
            } else if works || hose || holding.is_some_and(|held| held != control) {
                Err(Refusal::HandsBusy)
            } else if in_hands && !matches!(control, Control::EmergencyStop | Control::Dump) {
                // One hand can leave the tool to stop something, for nothing
                // else.
                Err(Refusal::ToolInHands)
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
            let fitted = is(Channel::NozzleFitted);
            if input.seat != Seat::LANCE {
                Err(Refusal::NoTool)
            } else if fallen {
                Err(Refusal::Fallen)
            } else if in_hands {
                Err(Refusal::ToolInHands)
            } else if works || hose || holding.is_some() {
                Err(Refusal::HandsBusy)
            } else if !tool_near {
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
