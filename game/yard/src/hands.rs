//! From inputs to what hands, feet and voices do.

use crate::faults::Faults;
use crate::hose::Hose;
use crate::machine::Station;
use crate::people::{Hands, Person, Push};
use crate::tool::Tool;
use crate::yard::{Happened, Inbox, Last, Now, Over, Place};
use bevy::ecs::system::{Query, Res, ResMut};
use crew::input;
use crew::tick::TICKS_PER_SECOND;
use crew::{Act, Control, Handling, Heard, Input, Seat, Task};
use training::allowed::REACH_M;
use training::{Event, Refusal, allowed};

/// Time of a push from one position to the next, seconds (common practice, no
/// source: a quarter turn of a lever or a ball valve).
const PUSH_S: f64 = 0.25;
/// Time to strike the emergency stop once the hand is on it, seconds.
const STRIKE_S: f64 = 0.1;
/// Fastest turn of a knob by hand, detents per tick (common practice, no
/// source: a third of the regulator's travel in a second).
const MAX_DETENTS: i32 = 3;
/// One unit of an aiming input, radians.
const AIM_RAD: f64 = 1e-4;
/// How far the tool can be pitched, radians.
const MAX_PITCH_RAD: f64 = 1.2;
/// How far the arms turn the tool from the way the body faces before the body
/// turns, radians.
const MAX_TOOL_YAW_RAD: f64 = 0.6;
/// From how near a hose is taken hold of, metres.
const HOSE_REACH_M: f64 = 1.0;
/// Fastest wish to move that is listened to, metres per second.
const MAX_WISH_M_S: f64 = 2.2;

fn ticks(seconds: f64) -> u32 {
    (seconds * f64::from(TICKS_PER_SECOND)).round() as u32
}

/// Carries out the inputs of this tick, one after the other. Each is judged by
/// the observation of the tick before: a hand takes hold in one tick and moves
/// in the next.
#[allow(clippy::too_many_arguments)] // a Bevy system names what it reads
pub fn take_inputs(
    inbox: Res<Inbox>,
    last: Res<Last>,
    place: Res<Place>,
    hose: Res<Hose>,
    mut tool: ResMut<Tool>,
    mut station: ResMut<Station>,
    mut faults: ResMut<Faults>,
    mut over: ResMut<Over>,
    mut happened: ResMut<Happened>,
    mut people: Query<&mut Person>,
) {
    for input in &inbox.0 {
        let refused = if over.0 {
            Err(Refusal::Over)
        } else {
            allowed(input, &last.0, &place.site)
        };
        let refused = refused.and_then(|()| {
            let mut person = people
                .iter_mut()
                .find(|p| p.seat == input.seat)
                .ok_or(Refusal::NotThere)?;
            let mut things = Things {
                place: &place,
                hose: &hose,
                tool: &mut tool,
                station: &mut station,
                faults: &mut faults,
                over: &mut over,
                happened: &mut happened.0,
            };
            carry_out(input, &mut person, &mut things)
        });
        if let Err(why) = refused {
            happened.0.push(Event::Refused {
                seat: input.seat,
                why,
            });
        }
    }
}

/// What hands can lay hold of.
struct Things<'a> {
    place: &'a Place,
    hose: &'a Hose,
    tool: &'a mut Tool,
    station: &'a mut Station,
    faults: &'a mut Faults,
    over: &'a mut Over,
    happened: &'a mut Vec<Event>,
}

fn carry_out(input: &Input, person: &mut Person, things: &mut Things<'_>) -> Result<(), Refusal> {
    let seat = input.seat;
    let Things {
        place,
        hose,
        tool,
        station,
        faults,
        over,
        happened,
    } = things;
    let holds_tool = seat == Seat::LANCE && tool.in_hands();
    let hands = &mut person.hands;
    match input.act {
        Act::Walk {
            forward_cm_s,
            right_cm_s,
        } => {
            let wish = |cm_s: i16| (f64::from(cm_s) / 100.0).clamp(-MAX_WISH_M_S, MAX_WISH_M_S);
            person.gait.velocity_m_s = (wish(forward_cm_s), wish(right_cm_s));
        }
        Act::Aim { yaw, pitch } => {
            let yaw = f64::from(yaw) * AIM_RAD;
            if holds_tool {
                let wanted = person.gait.tool_yaw_rad + yaw;
                let turned = wanted.clamp(-MAX_TOOL_YAW_RAD, MAX_TOOL_YAW_RAD);
                person.gait.tool_yaw_rad = turned;
                person.gait.turn_rad += wanted - turned;
            } else {
                person.gait.turn_rad += yaw;
            }
            person.gait.pitch_rad = (person.gait.pitch_rad + f64::from(pitch) * AIM_RAD)
                .clamp(-MAX_PITCH_RAD, MAX_PITCH_RAD);
        }
        Act::Turn { yaw } => person.gait.turn_rad += f64::from(yaw) * AIM_RAD,
        Act::Reach { mm } => {
            let wanted = person.gait.reach_m + f64::from(mm) * 1e-3;
            person.gait.reach_m = wanted.clamp(input::REACH_M.0, input::REACH_M.1);
        }
        Act::Lift { mm } => {
            let wanted = person.gait.lift_m + f64::from(mm) * 1e-3;
            person.gait.lift_m = wanted.clamp(input::LIFT_M.0, input::LIFT_M.1);
        }
        Act::Stand(stance) => person.gait.stance = stance,
        Act::Brace(on) => person.gait.brace = on,
        Act::Take(control) => hands.holding = Some(control),
        Act::LetGo => {
            hands.hose = None;
            let_go(seat, hands, station, happened);
        }
        Act::Twist { detents } => {
            let control = hands.holding.ok_or(Refusal::NothingHeld)?;
            let by = i32::from(detents).clamp(-MAX_DETENTS, MAX_DETENTS);
            let to = i32::from(station.position(control)) + by;
            station.set(control, to.clamp(0, i32::from(control.top())) as u16);
        }
        Act::Push { on } => {
            let control = hands.holding.ok_or(Refusal::NothingHeld)?;
            let from = station.position(control);
            let to = if on {
                from + 1
            } else {
                from.checked_sub(1).ok_or(Refusal::EndOfTravel)?
            };
            if to > control.top() {
                return Err(Refusal::EndOfTravel);
            }
            let seconds = if control == Control::EmergencyStop && on {
                STRIKE_S
            } else {
                PUSH_S
            };
            hands.push = Some(Push {
                control,
                to,
                ticks: ticks(seconds),
            });
        }
        Act::Squeeze { permille } => hands.squeeze = f64::from(permille.min(1000)) / 1000.0,
        Act::SafetyCatch(on) => {
            hands.catch_on = on;
            if on {
                hands.squeeze = 0.0;
            }
        }
        Act::Say(call) => person.voice.saying = Some((call, ticks(call.duration_s()))),
        Act::LayDown => {
            hands.squeeze = 0.0;
            person.gait.brace = false;
            tool.lay_down(person, place.stand, place.stand_out);
            happened.push(Event::LaidDown { seat });
        }
        Act::TakeUp => {
            tool.take_up(person);
            happened.push(Event::TookUp { seat });
        }
        Act::Choose { nozzle } => {
            if usize::from(nozzle) >= place.nozzles.len() {
                return Err(Refusal::NotThere);
            }
            tool.chosen = nozzle;
            happened.push(Event::Chose { seat, nozzle });
        }
        Act::Wear { item, on } => {
            let wears = if on {
                hands.wears | item.bit()
            } else {
                hands.wears & !item.bit()
            };
            if wears != hands.wears {
                hands.wears = wears;
                happened.push(Event::Wore { seat, item, on });
            }
        }
        Act::Tie(on) => tool.tied = on,
        Act::TakeHose => {
            let feet = person.feet();
            let (node, off_m) = hose.rod.nearest_node(feet);
            if off_m > HOSE_REACH_M {
                return Err(Refusal::OutOfReach);
            }
            person.hands.hose = Some(node);
        }
        Act::Begin(task) => {
            hands.work = Some((task, ticks(task.duration_s())));
            hands.squeeze = 0.0;
            person.gait.velocity_m_s = (0.0, 0.0);
            happened.push(Event::Began { seat, task });
        }
        Act::LeaveOff => {
            if let Some((task, _)) = hands.work.take() {
                happened.push(Event::BrokeOff { seat, task });
            }
        }
        Act::HandBack => {
            over.0 = true;
            happened.push(Event::HandedBack);
        }
        Act::Bookmark => happened.push(Event::Bookmark),
        Act::Fail { fault, amount } => {
            faults.set(fault, amount);
            happened.push(Event::Failed { fault, amount });
        }
        Act::TagOut(part) => happened.push(Event::TaggedOut { seat, part }),
    }
    Ok(())
}

fn let_go(seat: Seat, hands: &mut Hands, station: &mut Station, happened: &mut Vec<Event>) {
    hands.push = None;
    let Some(control) = hands.holding.take() else {
        return;
    };
    if let Handling::Push {
        springs_back_from: Some(sprung),
        ..
    } = control.handling()
        && station.position(control) == u16::from(sprung)
    {
        let to = u16::from(sprung) - 1;
        station.set(control, to);
        happened.push(Event::Moved { seat, control, to });
    }
}

/// Moves on what hands and voices are in the middle of.
pub fn move_hands(
    now: Res<Now>,
    place: Res<Place>,
    mut station: ResMut<Station>,
    mut tool: ResMut<Tool>,
    mut happened: ResMut<Happened>,
    mut people: Query<&mut Person>,
) {
    let mut said = Vec::new();
    for mut person in &mut people {
        let seat = person.seat;
        if person.body.is_fallen() {
            // Hands that break a fall hold nothing: what is held to run, stops.
            person.hands.squeeze = 0.0;
            person.hands.hose = None;
            if seat == Seat::LANCE && tool.in_hands() {
                tool.drop(&person);
                happened.0.push(Event::Dropped { seat });
            }
            person.gait.velocity_m_s = (0.0, 0.0);
            if let Some((task, _)) = person.hands.work.take() {
                happened.0.push(Event::BrokeOff { seat, task });
            }
            let_go(seat, &mut person.hands, &mut station, &mut happened.0);
        }
        if let Some(control) = person.hands.holding
            && out_of_reach(&person, place.site.control(control))
        {
            let_go(seat, &mut person.hands, &mut station, &mut happened.0);
        }
        if let Some(push) = &mut person.hands.push {
            push.ticks = push.ticks.saturating_sub(1);
            if push.ticks == 0 {
                let Push { control, to, .. } = *push;
                person.hands.push = None;
                station.set(control, to);
                happened.0.push(Event::Moved { seat, control, to });
            }
        }
        if let Some((task, left)) = &mut person.hands.work {
            *left = left.saturating_sub(1);
            if *left == 0 {
                let task = *task;
                person.hands.work = None;
                match task {
                    // The hands that have fitted it take the tool up.
                    Task::FitNozzle => {
                        tool.nozzle = Some(tool.chosen);
                        tool.take_up(&person);
                    }
                    Task::RemoveNozzle => tool.nozzle = None,
                    Task::GaugeBore => {}
                }
                happened.0.push(Event::Finished { seat, task });
                if task == Task::FitNozzle {
                    happened.0.push(Event::TookUp { seat });
                }
            }
        }
        if let Some((call, left)) = &mut person.voice.saying {
            *left = left.saturating_sub(1);
            if *left == 0 {
                let call = *call;
                person.voice.saying = None;
                happened.0.push(Event::Said { seat, call });
                said.push(Heard { seat, call });
            }
        }
    }
    let known = now.0.after(place.assumptions.hearing_s);
    for heard in said {
        for mut person in people.iter_mut().filter(|p| p.seat != heard.seat) {
            person.voice.coming.push((heard, known));
        }
    }
    tool.carry();
}

fn out_of_reach(person: &Person, control_at: Option<[f64; 3]>) -> bool {
    let Some([x, _, z]) = control_at else {
        return true;
    };
    let feet = person.feet();
    let (dx, dz) = (x - feet.x, z - feet.z);
    dx * dx + dz * dz > REACH_M * REACH_M
}
